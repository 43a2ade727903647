package gland

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "gland", Functions)
}

// The rings and what no ring fills never come to more than the box, and one more ring
// always would.
func TestRingsFillTheBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		section := quantity.Length(rapid.Float64Range(3e-3, 25e-3).Draw(t, "section"))
		depth := section * quantity.Length(rapid.Float64Range(2, 15).Draw(t, "depth in sections"))
		taken := (depth - section) * quantity.Length(rapid.Float64Range(0, 1).Draw(t, "taken"))
		n, err := PackingRings(depth, taken, section)
		if err != nil {
			t.Fatal(err)
		}
		full := float64(taken) + float64(n)*float64(section)
		if full > float64(depth)*(1+1e-9) || full+float64(section) <= float64(depth)*(1-1e-9) {
			t.Errorf("%g rings of %g after %g in a box of %g", n, section, taken, depth)
		}
	})
}

func TestInverses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		drops, per := quantity.Number(rapid.Float64Range(1, 300).Draw(t, "drops")), quantity.Number(rapid.Float64Range(10, 60).Draw(t, "per mL"))
		q, err := DripFlow(drops, per)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := DripRate(q, per); err != nil || math.Abs(float64(back/drops-1)) > 1e-12 {
			t.Errorf("%g drops come back as %g (%v)", drops, back, err)
		}
		heat, rise := quantity.Power(rapid.Float64Range(50, 1e4).Draw(t, "heat")), quantity.TemperatureDifference(rapid.Float64Range(2, 30).Draw(t, "rise"))
		q, err = FlushFlow(heat, 980, 4180, rise)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := FlushRise(heat, 980, 4180, q); err != nil || math.Abs(float64(back/rise-1)) > 1e-12 {
			t.Errorf("a rise of %g comes back as %g (%v)", rise, back, err)
		}
	})
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	good := map[string][]any{
		"packing_section": {quantity.Length(0.1), quantity.Length(0.08)},
		"packing_rings":   {quantity.Length(0.1), quantity.Length(0.02), quantity.Length(0.01)},
		"ring_length":     {quantity.Length(0.08), quantity.Length(0.01)},
		"packing_length":  {quantity.Number(5), quantity.Length(0.08), quantity.Length(0.01)},
		"drip_flow":       {quantity.Number(60), quantity.Number(20)},
		"drip_rate":       {quantity.Flow(5e-8), quantity.Number(20)},
		"gland_travel":    {quantity.Number(1), quantity.Length(0.00175)},
		"face_heat":       {quantity.Pressure(5e5), quantity.Length(0.07), quantity.Length(0.06), quantity.Speed(150), quantity.Number(0.07)},
		"flush_flow":      {quantity.Power(1000), quantity.Density(980), quantity.SpecificHeat(4180), quantity.TemperatureDifference(10)},
		"flush_rise":      {quantity.Power(1000), quantity.Density(980), quantity.SpecificHeat(4180), quantity.Flow(1e-4)},
	}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name], "taken")
	}
}
