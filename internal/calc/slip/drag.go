package slip

import (
	"fmt"
	"slices"

	"jobsheaf/internal/quantity"
)

// dragLimit is the DragShare up to which the slip of still walls is used: beyond, what
// the turning walls may carry is more than what the pressure drives. Our own rule, no
// outside source.
const dragLimit = 1

// drag is the most that the turning walls can carry through end, tip and crescent gap,
// all of it taken as going back: U h/2 for each metre of width, with the speed U of the
// rotor's outside at every wall. In the bushing the wall moves across the leak.
func (l Lands) drag(g Gaps, speed quantity.Speed) (float64, error) {
	if err := quantity.Within("speed", speed, 0.1, 600); err != nil {
		return 0, err
	}
	wall := float64(speed) * float64(l.rotorDiameter) / 2
	return wall / 2 * (float64(l.rotorDiameter-l.pinDiameter)*float64(g.end) + 2*float64(l.rotorWidth)*float64(g.tip+g.crescent)), nil
}

// DragShare gives the flow that the turning walls may carry through the gaps, as a part
// of the slip of still walls:
//
//	[(D−d) e + 2 b (t + c)] · U/2 / Q_slip,  U = ω D/2
//
// The drag goes forward on one side of the pump and back on the other, and much of it
// cancels: this takes all of it as going back. Slip falls with the viscosity and drag
// does not, so that a thick liquid passes dragLimit.
// Range: that of PumpSlip; speed from 0.1 to 600 rad/s.
//
// Source: plane Couette flow, Fox & McDonald, Introduction to Fluid Mechanics, section
// 8.2; its sum over the gaps is this project's own model, no outside source.
func DragShare(g Gaps, l Lands, speed quantity.Speed, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Number, error) {
	q, err := PumpSlip(g, l, difference, viscosity, density)
	if err != nil {
		return 0, err
	}
	drag, err := l.drag(g, speed)
	return quantity.Number(drag / float64(q)), err
}

// RunningSlip is PumpSlip held to the range in which the drag of the turning walls may
// be left out: DragShare at most dragLimit, so that the slip is at most twice the
// figure given. Range: that of DragShare, within the limit. Source: as PumpSlip and
// DragShare.
func RunningSlip(g Gaps, l Lands, speed quantity.Speed, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	share, err := DragShare(g, l, speed, difference, viscosity, density)
	if err != nil {
		return 0, err
	}
	if share > dragLimit {
		return 0, fmt.Errorf("the turning walls may carry %.3g times what the pressure drives, out of range: want at most %d; say how much slips at most instead", share, dragLimit)
	}
	return PumpSlip(g, l, difference, viscosity, density)
}

// SlipBound gives the most that can slip: PumpSlip and the whole of the drag of the
// turning walls, as if all of it went back. It holds for thick liquids too, where the
// slip of still walls says little. Range and source: as DragShare.
func SlipBound(g Gaps, l Lands, speed quantity.Speed, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	q, err := PumpSlip(g, l, difference, viscosity, density)
	if err != nil {
		return 0, err
	}
	drag, err := l.drag(g, speed)
	return q + quantity.Flow(drag), err
}

// gapNames are what FirstToRenew may answer, in the order of Gaps.
var gapNames = []string{"end clearance", "tip clearance", "crescent clearance", "bushing clearance"}

// FirstToRenew names the clearance whose setting back from worn to new wins most of the
// slip back: "end clearance", "tip clearance", "crescent clearance" or "bushing
// clearance". Every worn gap is at least as wide as the new one, and one is wider.
// Range and source: as PumpSlip, for the worn and the new gaps.
func FirstToRenew(worn, renewed Gaps, l Lands, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (string, error) {
	all, err := PumpSlip(worn, l, difference, viscosity, density)
	if err != nil {
		return "", err
	}
	var won []quantity.Flow
	for i := range gapNames {
		one := worn
		was, now := []*quantity.Length{&one.end, &one.tip, &one.crescent, &one.bushing}[i], []quantity.Length{renewed.end, renewed.tip, renewed.crescent, renewed.bushing}[i]
		if err := quantity.Within(gapNames[i]+", new,", now, leastGap, *was); err != nil {
			return "", err
		}
		*was = now
		q, err := PumpSlip(one, l, difference, viscosity, density)
		if err != nil {
			return "", err
		}
		won = append(won, all-q)
	}
	most := slices.Max(won)
	if most <= 0 {
		return "", fmt.Errorf("no worn clearance is wider than the new one: want one at least that is")
	}
	return gapNames[slices.Index(won, most)], nil
}
