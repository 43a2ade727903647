package bolting

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

// What a preload leaves on the gasket, the same stress asks for again; and a joint of
// more bolts scatters less than one bolt, never more.
func TestGasketStressIsInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		n, left := quantity.Number(rapid.IntRange(3, 48).Draw(t, "bolts")), quantity.Number(draw("left", 0.4, 1))
		inside := quantity.Length(draw("inside", 0.05, 0.8))
		area, err := GasketArea(inside*1.2, inside)
		if err != nil {
			t.Fatal(err)
		}
		p, sigma := quantity.Pressure(draw("pressure", 0, 4e6)), quantity.Pressure(draw("stress", 5e6, 8e7))
		f, err := GasketPreloadLow(sigma, n, left, area, inside, p)
		if err != nil {
			t.Fatal(err)
		}
		if f > mostForce {
			return
		}
		back, err := GasketStress(f, n, left, area, inside, p)
		if err != nil || math.Abs(float64(back/sigma-1)) > 1e-9 {
			t.Errorf("%g Pa comes back as %g (%v)", sigma, back, err)
		}
		s, err := JointScatter(0.3, n)
		if err != nil || s >= 0.3 {
			t.Errorf("%g bolts scatter by %g (%v)", n, s, err)
		}
	})
}

// The seating width does not jump where its formula changes.
func TestSeatingWidthJoins(t *testing.T) {
	low, err := SeatingWidth(narrow)
	high, err2 := SeatingWidth(narrow * 1.000001)
	if err != nil || err2 != nil || math.Abs(float64(high/low-1)) > 1e-6 {
		t.Errorf("%g and %g (%v, %v)", low, high, err, err2)
	}
}

func TestWorthlessGasketsAreRefused(t *testing.T) {
	ring := []any{quantity.Length(0.2), quantity.Length(0.16)}
	good := map[string][]any{
		"gasket_area": ring, "seating_diameter": ring,
		"seating_width":      {quantity.Length(0.01)},
		"seating_load":       {quantity.Length(0.18), quantity.Length(0.008), quantity.Pressure(7e7)},
		"operating_load":     {quantity.Length(0.18), quantity.Length(0.008), quantity.Number(3), quantity.Pressure(1e6)},
		"gasket_preload":     {quantity.Pressure(5e7), quantity.Area(0.0113), quantity.Number(8)},
		"gasket_stress":      {quantity.Force(1e5), quantity.Number(8), quantity.Number(0.7), quantity.Area(0.0113), quantity.Length(0.16), quantity.Pressure(2e6)},
		"gasket_preload_low": {quantity.Pressure(2e7), quantity.Number(8), quantity.Number(0.7), quantity.Area(0.0113), quantity.Length(0.16), quantity.Pressure(2e6)},
		"joint_scatter":      {quantity.Number(0.3), quantity.Number(8)},
		"lid_force":          {quantity.Pressure(1e4), quantity.Length(0.3)},
	}
	for _, f := range Functions {
		if args, ok := good[f.Name]; ok {
			zero := []string{"scatter"}
			if f.Name == "gasket_stress" || f.Name == "gasket_preload_low" {
				zero = append(zero, "pressure")
			}
			published.Spoil(t, f, args, zero...)
		}
	}
}
