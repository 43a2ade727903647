package slip

import (
	"errors"
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "slip", Functions)
}

// drawn is a pump of a size and liquid that keep every gap laminar.
type drawn struct {
	gaps       Gaps
	lands      Lands
	difference quantity.Pressure
	viscosity  quantity.DynamicViscosity
	density    quantity.Density
}

func draw(t *rapid.T) drawn {
	mm := func(name string, low, high float64) quantity.Length {
		return quantity.Length(rapid.Float64Range(low, high).Draw(t, name) / 1000)
	}
	rotor := mm("rotor", 80, 400)
	return drawn{
		gaps: Gaps{end: mm("end", 0.02, 0.3), tip: mm("tip", 0.02, 0.3), crescent: mm("crescent", 0.02, 0.3), bushing: mm("bushing", 0.01, 0.15)},
		lands: Lands{rotorDiameter: rotor, pinDiameter: rotor * 0.25, rotorWidth: mm("width", 20, 300), endLand: mm("end land", 8, 60),
			tipLand: mm("tip land", 8, 60), crescentLand: mm("crescent land", 8, 60), shaftDiameter: mm("shaft", 20, 100), bushingLength: mm("bushing length", 20, 200)},
		difference: quantity.Pressure(rapid.Float64Range(1e4, 1e6).Draw(t, "difference")),
		viscosity:  quantity.DynamicViscosity(rapid.Float64Range(0.1, 50).Draw(t, "viscosity")),
		density:    quantity.Density(rapid.Float64Range(600, 1800).Draw(t, "density")),
	}
}

func (d drawn) slip(t *rapid.T) quantity.Flow {
	q, err := PumpSlip(d.gaps, d.lands, d.difference, d.viscosity, d.density)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func TestSlipFollowsViscosityPressureAndGaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := draw(t)
		was := d.slip(t)
		factor := rapid.Float64Range(1.01, 3).Draw(t, "factor")
		thicker := d
		thicker.viscosity *= quantity.DynamicViscosity(factor)
		if got, want := thicker.slip(t), was/quantity.Flow(factor); math.Abs(float64(got/want-1)) > 1e-9 {
			t.Errorf("viscosity times %g: slip %g, want %g", factor, got, want)
		}
		for name, widen := range map[string]func(*Gaps){
			"end":      func(g *Gaps) { g.end *= 1.1 },
			"tip":      func(g *Gaps) { g.tip *= 1.1 },
			"crescent": func(g *Gaps) { g.crescent *= 1.1 },
			"bushing":  func(g *Gaps) { g.bushing *= 1.1 },
		} {
			wider := d
			widen(&wider.gaps)
			if wider.slip(t) <= was {
				t.Errorf("a wider %s gap does not slip more", name)
			}
		}
	})
}

func TestEndGapForFlowIsTheBorder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := draw(t)
		speed := quantity.Speed(rapid.Float64Range(5, 100).Draw(t, "speed"))
		slip := d.slip(t)
		larger := rapid.Float64Range(1.1, 50).Draw(t, "theoretical flow over slip")
		displacement := quantity.Volume(max(1e-6, larger*float64(slip)*2*math.Pi/float64(speed)))
		theoretical, err := TheoreticalFlow(displacement, speed)
		if err != nil {
			t.Fatal(err)
		}
		least, err := DeliveredFlow(theoretical, slip)
		if err != nil {
			t.Fatal(err)
		}
		gap, err := EndGapForFlow(d.gaps, d.lands, displacement, speed, least, d.difference, d.viscosity, d.density)
		if err != nil {
			t.Fatal(err)
		}
		// The answer comes from a difference of flows: how far it can be off depends
		// on the part of the flow that goes through the end gap.
		d.gaps.end = gap
		if again := d.slip(t); math.Abs(float64(again-slip)) > 1e-9*float64(theoretical) {
			t.Errorf("at the gap found the slip is %g, want %g", again, slip)
		}
	})
}

// rotor is a plausible pump: the lye pump of the demo, half a litre a turn.
var rotor = Lands{rotorDiameter: 0.14, pinDiameter: 0.032, rotorWidth: 0.06, endLand: 0.015, tipLand: 0.02, crescentLand: 0.02, shaftDiameter: 0.04, bushingLength: 0.06}

func TestEndGapForFlowRefuses(t *testing.T) {
	gaps := Gaps{tip: 1e-4, crescent: 1e-4, bushing: 4e-5}
	speed := quantity.Speed(280 * 2 * math.Pi / 60)
	for name, tc := range map[string]struct {
		least     quantity.Flow
		viscosity quantity.DynamicViscosity
		want      error
	}{
		"wants more than the pump gives": {least: 10.0 / 3600, viscosity: 0.0107, want: errDutyMissed},
		"others leak too much":           {least: 9.2 / 3600, viscosity: 0.0107, want: errDutyMissed},
		"thick liquid, small duty":       {least: 0.5 / 3600, viscosity: 900, want: errDutyMet},
		"thin liquid, turbulent first":   {least: 1.0 / 3600, viscosity: 0.0107, want: errDutyMet},
	} {
		_, err := EndGapForFlow(gaps, rotor, 0.55e-3, speed, tc.least, 5.8e5, tc.viscosity, 1525)
		if !errors.Is(err, tc.want) {
			t.Errorf("%s: %v, want %v", name, err, tc.want)
		}
	}
	gap, err := EndGapForFlow(gaps, rotor, 0.55e-3, speed, 8.7/3600, 5.8e5, 0.0107, 1525)
	if err != nil || gap < 0.1e-3 || gap > 0.3e-3 {
		t.Errorf("the demo pump misses its duty at %g m (%v): want some tenths of a millimetre", gap, err)
	}
}

func TestSlotCubes(t *testing.T) {
	flow := func(width, gap, length quantity.Length, difference quantity.Pressure) float64 {
		q, err := SlotFlow(width, gap, length, difference, 0.1, 900)
		if err != nil {
			t.Fatal(err)
		}
		return float64(q)
	}
	one := flow(0.05, 5e-5, 0.02, 5e5)
	for name, got := range map[string]float64{
		"twice the gap":        flow(0.05, 1e-4, 0.02, 5e5) / 8,
		"twice the pressure":   flow(0.05, 5e-5, 0.02, 1e6) / 2,
		"twice the length":     flow(0.05, 5e-5, 0.04, 5e5) * 2,
		"half the width":       flow(0.025, 5e-5, 0.02, 5e5) * 2,
		"by hand, 7.8125 mL/m": 0.0078125 * 1e-3 / 60,
	} {
		if math.Abs(got/one-1) > 1e-12 {
			t.Errorf("%s: %g, want %g", name, got, one)
		}
	}
}

// The exact flow through a ring, White, Fluid Mechanics, equation 6.6x (from
// memory), shows what the thin-gap form costs.
func TestAnnulusAgainstExactRing(t *testing.T) {
	exact := func(inner, outer float64) float64 {
		d := outer*outer - inner*inner
		return math.Pi * 1e5 / (8 * 10 * 0.1) * (math.Pow(outer, 4) - math.Pow(inner, 4) - d*d/math.Log(outer/inner))
	}
	for _, part := range []float64{1e-3, 1e-2, 0.0499} {
		shaft, gap := 0.05, 0.05*part
		mean, err := AnnulusFlow(quantity.Length(shaft+gap), quantity.Length(gap), 0.1, 1e5, 10, 900)
		if err != nil {
			t.Fatal(err)
		}
		bare, err := AnnulusFlow(quantity.Length(shaft), quantity.Length(gap), 0.1, 1e5, 10, 900)
		if err != nil {
			t.Fatal(err)
		}
		want := exact(shaft/2, shaft/2+gap)
		if off := math.Abs(float64(mean)/want - 1); off > 1e-3 {
			t.Errorf("gap %g of the diameter: by the mean diameter %g off", part, off)
		}
		if off := math.Abs(float64(bare)/want - 1); off > 0.05 {
			t.Errorf("gap %g of the diameter: by the shaft's diameter %g off", part, off)
		}
	}
}

func TestGapForSlipInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := quantity.Length(rapid.Float64Range(1e-5, 3e-4).Draw(t, "gap"))
		q, err := SlotFlow(0.1, gap, 0.02, 5e5, 1, 900)
		if err != nil {
			t.Fatal(err)
		}
		back, err := GapForSlip(q, 0.1, 0.02, 5e5, 1, 900)
		if err != nil || math.Abs(float64(back/gap-1)) > 1e-9 {
			t.Errorf("gap %g comes back as %g (%v)", gap, back, err)
		}
	})
}

// Every argument of every function is spoilt in turn: the answer is an error that
// names a range, never a number and never a panic.
func TestNothingButNumbersInRange(t *testing.T) {
	turning := []any{quantity.Length(1e-4), quantity.Length(1e-4), quantity.Length(1e-4), quantity.Length(4e-5), rotor.rotorDiameter, rotor.pinDiameter, rotor.rotorWidth,
		rotor.endLand, rotor.tipLand, rotor.crescentLand, rotor.shaftDiameter, rotor.bushingLength, quantity.Speed(5), quantity.Pressure(5e5), quantity.DynamicViscosity(0.02), quantity.Density(900)}
	good := map[string][]any{
		"theoretical_flow": {quantity.Volume(0.55e-3), quantity.Speed(29)},
		"delivered_flow":   {quantity.Flow(0.002), quantity.Flow(0.0001)},
		"slot_flow":        {quantity.Length(0.1), quantity.Length(1e-4), quantity.Length(0.02), quantity.Pressure(5e5), quantity.DynamicViscosity(0.1), quantity.Density(900)},
		"annulus_flow":     {quantity.Length(0.1), quantity.Length(1e-4), quantity.Length(0.02), quantity.Pressure(5e5), quantity.DynamicViscosity(0.1), quantity.Density(900)},
		"eccentric_flow":   {quantity.Length(0.1), quantity.Length(1e-4), quantity.Length(0.02), quantity.Number(0.5), quantity.Pressure(5e5), quantity.DynamicViscosity(0.1), quantity.Density(900)},
		"gap_for_slip":     {quantity.Flow(1e-6), quantity.Length(0.1), quantity.Length(0.02), quantity.Pressure(5e5), quantity.DynamicViscosity(0.1), quantity.Density(900)},
		"pump_slip": {quantity.Length(1e-4), quantity.Length(1e-4), quantity.Length(1e-4), quantity.Length(4e-5), rotor.rotorDiameter, rotor.pinDiameter, rotor.rotorWidth,
			rotor.endLand, rotor.tipLand, rotor.crescentLand, rotor.shaftDiameter, rotor.bushingLength, quantity.Pressure(5e5), quantity.DynamicViscosity(0.1), quantity.Density(900)},
		"running_slip": turning, "slip_bound": turning, "drag_share": turning,
		"first_to_renew": {quantity.Length(2e-4), quantity.Length(2e-4), quantity.Length(2e-4), quantity.Length(8e-5),
			quantity.Length(1e-4), quantity.Length(1e-4), quantity.Length(1e-4), quantity.Length(4e-5), rotor.rotorDiameter, rotor.pinDiameter, rotor.rotorWidth,
			rotor.endLand, rotor.tipLand, rotor.crescentLand, rotor.shaftDiameter, rotor.bushingLength, quantity.Pressure(5e5), quantity.DynamicViscosity(0.1), quantity.Density(900)},
		"end_gap_for_flow": {quantity.Length(1e-4), quantity.Length(1e-4), quantity.Length(4e-5), rotor.rotorDiameter, rotor.pinDiameter, rotor.rotorWidth,
			rotor.endLand, rotor.tipLand, rotor.crescentLand, rotor.shaftDiameter, rotor.bushingLength, quantity.Volume(0.55e-3), quantity.Speed(29), quantity.Flow(0.0025),
			quantity.Pressure(5e5), quantity.DynamicViscosity(0.1), quantity.Density(900)},
	}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name], "slip", "eccentricity")
	}
}
