package belts

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "belts", Functions)
}

func near(t *rapid.T, what string, got, want float64) {
	if math.Abs(got-want) > 1e-9*math.Abs(want) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// The belt is made of two spans and two arcs, and each inverse leads back.
func TestBeltsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		d := quantity.Length(draw("small", 0.05, 0.4))
		large := d * quantity.Length(draw("ratio", 1, 5))
		c := (large + d) * quantity.Length(draw("centres", 0.6, 4))
		span, err := SpanLength(c, large, d)
		wrap, err2 := WrapAngle(c, large, d)
		length, err3 := BeltLength(c, large, d)
		if err != nil || err2 != nil || err3 != nil {
			t.Fatal(err, err2, err3)
		}
		round := quantity.Length(wrap)*d/2 + quantity.Length(2*math.Pi-wrap)*large/2
		near(t, "length", float64(length), float64(2*span+round))

		// ARPM's factor (2.5 − G)/G, G = 1.25 (1 − 5^(−θ/π)), with no mass to carry.
		pull, theta := draw("pull", 10, 5000), draw("wrap", 1.5, math.Pi)
		g := 1.25 * (1 - math.Pow(5, -theta/math.Pi))
		tension, err := StaticTension(quantity.Power(pull), 1, 1, quantity.Angle(theta), 0.1)
		if err != nil {
			t.Fatal(err)
		}
		if want := pull/2*(2.5-g)/g + 0.1; math.Abs(float64(tension)/want-1) > 1e-3 {
			t.Errorf("tension %g, by ARPM %g", tension, want)
		}

		force, err := DeflectionForce(tension, 30, span, length)
		if err != nil {
			t.Fatal(err)
		}
		back, err := TensionOfForce(force, 30, span, length)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "tension by force", float64(back), float64(tension))
		f, err := SpanFrequency(tension, 0.2, span)
		if err != nil {
			t.Fatal(err)
		}
		if f >= 1 && f <= 1000 {
			if back, err = TensionOfFrequency(f, 0.2, span); err != nil {
				t.Fatal(err)
			}
			near(t, "tension by tone", float64(back), float64(tension))
		}
		gap, err := SheaveGap(quantity.Angle(draw("angle", 0.001, 0.1)), span)
		if err != nil || gap > 0.2 {
			return
		}
		a, err := SheaveAngle(gap, span)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := SheaveGap(a, span)
		near(t, "gap", float64(again), float64(gap))
	})
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	sheaves := []any{quantity.Length(0.6), quantity.Length(0.3), quantity.Length(0.1)}
	good := map[string][]any{
		"span_length": sheaves, "wrap_angle": sheaves, "belt_length": sheaves,
		"sheave_angle":         {quantity.Length(0.003), quantity.Length(0.6)},
		"sheave_gap":           {quantity.Angle(0.009), quantity.Length(0.6)},
		"belt_deflection":      {quantity.Length(0.6)},
		"centrifugal_tension":  {quantity.LinearDensity(0.2), quantity.Velocity(15)},
		"static_tension":       {quantity.Power(7500), quantity.Number(3), quantity.Velocity(15), quantity.Angle(2.8), quantity.LinearDensity(0.2)},
		"deflection_force":     {quantity.Force(200), quantity.Force(30), quantity.Length(0.6), quantity.Length(1.8)},
		"tension_of_force":     {quantity.Force(13), quantity.Force(30), quantity.Length(0.6), quantity.Length(1.8)},
		"span_frequency":       {quantity.Force(200), quantity.LinearDensity(0.2), quantity.Length(0.6)},
		"tension_of_frequency": {quantity.Frequency(26), quantity.LinearDensity(0.2), quantity.Length(0.6)},
	}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name], "gap", "stiffness")
	}
}
