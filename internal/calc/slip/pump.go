package slip

import (
	"errors"
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

// bushingEccentricity: the pressure on the rotor lays the shaft against one side
// of its bushing, so the ring there is taken as fully eccentric.
const bushingEccentricity = 1

// TheoreticalFlow gives the flow of a pump without slip:
//
//	Q = V n
//
// with the displacement V in m³ a turn and n in turns a second (the speed in
// rad/s over 2π). Range: V from 1 µL to 1 m³, speed from 0.1 to 600 rad/s.
//
// Source: Esposito, Fluid Power with Applications, chapter 5.
func TheoreticalFlow(displacement quantity.Volume, speed quantity.Speed) (quantity.Flow, error) {
	if err := quantity.Within("displacement", displacement, 1e-9, 1); err != nil {
		return 0, err
	}
	if err := quantity.Within("speed", speed, 0.1, 600); err != nil {
		return 0, err
	}
	return quantity.Flow(float64(displacement) * float64(speed) / (2 * math.Pi)), nil
}

// DeliveredFlow gives what leaves the pump: theoretical flow less slip, in m³/s.
// Range: a slip below the theoretical flow, else nothing is delivered: an error.
//
// Source: Esposito, Fluid Power with Applications, chapter 5 (slip as internal leakage).
func DeliveredFlow(theoretical, slip quantity.Flow) (quantity.Flow, error) {
	if err := quantity.Within("theoretical flow", theoretical, 1e-15, 10); err != nil {
		return 0, err
	}
	if err := quantity.Within("slip", slip, 0, 10); err != nil {
		return 0, err
	}
	if slip >= theoretical {
		return 0, fmt.Errorf("slip %.4g m³/h is out of range: want less than the theoretical flow of %.4g m³/h", slip*3600, theoretical*3600)
	}
	return theoretical - slip, nil
}

// Gaps are the four clearances of an internal gear pump through which liquid
// leaks from the discharge side back to the suction side, in m.
type Gaps struct {
	end      quantity.Length // axial, between the tooth ends of rotor and idler and the head
	tip      quantity.Length // radial, between the rotor's outside and the casing bore
	crescent quantity.Length // radial, between the crescent and the teeth on either side of it
	bushing  quantity.Length // radial, between the shaft and its bushing: half the diametral clearance
}

// Lands are the metal faces along which those gaps seal, in m. Lengths are taken
// along the leak, widths across it. The model and its assumptions:
//
//   - Half of each face, turning with the rotor, sees full discharge pressure and
//     the other half suction pressure; every gap holds off the whole difference.
//   - End: one face of the two leaks, that to the head; the rotor's other end is
//     closed by its own plate. The leak crosses the face at the mesh and at the
//     crescent, each over the ring between pin and rotor outside, so the width is
//     rotorDiameter − pinDiameter in all, the length endLand.
//   - Tip: two ways around, by the mesh and by the crescent, each as wide as the
//     rotor; the length of each is tipLand, the tooth tops that seal at once,
//     added up.
//   - Crescent: two ways, over its outer and its inner curve, each as wide as the
//     rotor and crescentLand long, again counting tooth tops only.
//   - Bushing: the ring between shaft and bushing, fully eccentric, with discharge
//     pressure at one end and suction pressure at the other.
//   - Walls stand still: the drag of the turning faces, which carries liquid forward
//     on one side and back on the other, the squeeze of the teeth and the losses at
//     the ends of a land are left out. DragShare says how large the drag may be.
//     Leaving out the end losses overstates slip; that errs on the side of an early
//     warning.
type Lands struct {
	rotorDiameter quantity.Length // outside
	pinDiameter   quantity.Length // of the idler pin
	rotorWidth    quantity.Length // axial length of the teeth
	endLand       quantity.Length
	tipLand       quantity.Length
	crescentLand  quantity.Length
	shaftDiameter quantity.Length // in the bushing
	bushingLength quantity.Length
}

func (l Lands) endWidth() (quantity.Length, error) {
	if !(l.pinDiameter > 0 && l.pinDiameter < l.rotorDiameter) {
		return 0, fmt.Errorf("pin diameter %.4g mm is out of range: want above 0 and less than the rotor diameter of %.4g mm", l.pinDiameter*1e3, l.rotorDiameter*1e3)
	}
	return l.rotorDiameter - l.pinDiameter, nil
}

// otherPaths is the slip through all gaps but the end clearance.
func (s stream) otherPaths(g Gaps, l Lands) (quantity.Flow, error) {
	tip, err := s.slot("tip", l.rotorWidth, g.tip, l.tipLand)
	if err != nil {
		return 0, err
	}
	crescent, err := s.slot("crescent", l.rotorWidth, g.crescent, l.crescentLand)
	if err != nil {
		return 0, err
	}
	bushing, err := s.annulus("bushing", l.shaftDiameter, g.bushing, l.bushingLength, bushingEccentricity)
	if err != nil {
		return 0, err
	}
	return 2*tip + 2*crescent + bushing, nil
}

// PumpSlip gives the slip of a pump, the flow through all four gaps together:
//
//	Q = Δp/(12 μ) · [ (D−d) e³/L_e + 2 b t³/L_t + 2 b c³/L_c + 2.5 π d_s r³/L_b ]
//
// with the end, tip, crescent and bushing gaps e, t, c, r over their lands; see
// Lands for the assumptions. Range: that of SlotFlow in every gap.
//
// Source: plane Poiseuille flow as in SlotFlow; the way the gaps are put together
// is this project's own model, no outside source.
func PumpSlip(g Gaps, l Lands, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	s := stream{difference, viscosity, density}
	width, err := l.endWidth()
	if err != nil {
		return 0, err
	}
	end, err := s.slot("end", width, g.end, l.endLand)
	if err != nil {
		return 0, err
	}
	others, err := s.otherPaths(g, l)
	if err != nil {
		return 0, err
	}
	return end + others, nil
}

// errDutyMissed marks a duty that is missed at any end clearance: the other gaps
// alone slip too much, or the pump is too small.
var errDutyMissed = errors.New("the least flow is missed at any end clearance")

// errDutyMet marks a duty that is still met at the widest end clearance for which
// the formula holds.
var errDutyMet = errors.New("the least flow is met at any end clearance in range")

// EndGapForFlow gives the end clearance at which a pump delivers just the least
// flow of its duty; any more and the duty is missed. The tip, crescent and
// bushing gaps stay as given (g.End is not used). Since only the end path depends
// on the end clearance, the cube of SlotFlow is solved for it outright:
//
//	e = ∛(12 μ L_e (Q_th − Q_others − Q_least) / ((D−d) Δp))
//
// Range: e from 1 µm to 5 mm and laminar; errDutyMissed or errDutyMet where no e
// in the range is the answer.
//
// Source: as PumpSlip.
func EndGapForFlow(g Gaps, l Lands, displacement quantity.Volume, speed quantity.Speed, least quantity.Flow,
	difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Length, error) {
	theoretical, err := TheoreticalFlow(displacement, speed)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("least flow", least, 1e-15, 10); err != nil {
		return 0, err
	}
	s := stream{difference, viscosity, density}
	width, err := l.endWidth()
	if err != nil {
		return 0, err
	}
	// The narrowest gap checks the widths, the lands and the liquid once.
	narrowest, err := s.slot("end", width, leastGap, l.endLand)
	if err != nil {
		return 0, err
	}
	others, err := s.otherPaths(g, l)
	if err != nil {
		return 0, err
	}
	spare := theoretical - others - least
	if spare < narrowest {
		return 0, fmt.Errorf("%w: the theoretical flow is %.4g m³/h, the other gaps slip %.4g m³/h, and %.4g m³/h are wanted",
			errDutyMissed, theoretical*3600, others*3600, least*3600)
	}
	widest := s.widest(width, l.endLand)
	if spare > quantity.Flow(s.perWidth(widest, l.endLand)*float64(width)) {
		return 0, fmt.Errorf("%w: it still is at %.4g mm, up to which the flow in the gap is laminar and the formula holds", errDutyMet, widest*1e3)
	}
	return GapForSlip(spare, width, l.endLand, difference, viscosity, density)
}

// widest is the largest gap of a slot that is in the range of the formula.
func (s stream) widest(width, length quantity.Length) quantity.Length {
	laminar := leastGap * quantity.Length(math.Cbrt(laminarLimit/s.reynolds(leastGap, length)))
	// Just inside the limit, so that rounding does not carry it over.
	return min(laminar*(1-1e-9), greatestGap, width/10, length)
}
