package relief

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "relief", Functions)
}

// A valve leaks nothing that is counted above its set pressure, and it is full open above
// and tight below it.
func TestPressuresStandInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set := quantity.GaugePressure(rapid.Float64Range(15, 5900).Draw(t, "set") * psi)
		tight, err := TightnessPressure(set)
		open, err2 := FullOpen(set)
		tol, err3 := SetTolerance(set)
		if err != nil || err2 != nil || err3 != nil {
			t.Fatal(err, err2, err3)
		}
		if tight >= set-quantity.GaugePressure(tol) || open <= set+quantity.GaugePressure(tol) {
			t.Errorf("set %g: tight at %g, band ±%g, full open at %g", set, tight, tol, open)
		}
		b := quantity.Number(rapid.Float64Range(0, 0.5).Draw(t, "blowdown"))
		closes, err := Reseat(set, b)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := Blowdown(set, closes); err != nil || math.Abs(float64(back-b)) > 1e-9 {
			t.Errorf("%g comes back as %g (%v)", b, back, err)
		}
	})
}

func TestTurnsReachTheSetPressure(t *testing.T) {
	turn, err := ChangeOfTurn(5e4, 0.02, 1.5e-3)
	n, err2 := TurnsToSet(1.2e6, 1e6, 5e4, 0.02, 1.5e-3)
	if err != nil || err2 != nil || math.Abs(float64(n)*float64(turn)-2e5) > 1e-6 {
		t.Errorf("%g turns of %g Pa (%v, %v)", n, turn, err, err2)
	}
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	spring := []any{quantity.Stiffness(5e4), quantity.Length(0.02), quantity.Length(1.5e-3)}
	good := map[string][]any{
		"set_tolerance":      {quantity.GaugePressure(1e6)},
		"test_pressure":      {quantity.GaugePressure(1e6), quantity.GaugePressure(1e5), quantity.Number(1.02)},
		"full_open":          {quantity.GaugePressure(1e6)},
		"blowdown":           {quantity.GaugePressure(1e6), quantity.GaugePressure(0.93e6)},
		"reseat":             {quantity.GaugePressure(1e6), quantity.Number(0.07)},
		"tightness_pressure": {quantity.GaugePressure(1e6)},
		"seat_bubbles":       {quantity.GaugePressure(1e6), quantity.Length(0.01)},
		"seat_water":         {quantity.Length(0.05)},
		"change_of_turn":     spring,
		"turns_to_set":       append([]any{quantity.GaugePressure(1.2e6), quantity.GaugePressure(1e6)}, spring...),
	}
	for _, f := range Functions {
		zero := []string{"back", "found"}
		if f.Name == "reseat" {
			zero = append(zero, "blowdown")
		}
		published.Spoil(t, f, good[f.Name], zero...)
	}
}
