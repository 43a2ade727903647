package motor

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"
)

func TestPublished(t *testing.T) {
	published.Run(t, "motor", Functions)
}

// At 40 °C nothing is corrected, and a warmer winding that reads the same is the better.
func TestCorrectionGrowsWithTemperature(t *testing.T) {
	for _, kind := range []string{"thermoplastic", "thermosetting"} {
		was := quantity.Resistance(0)
		for c := 10.0; c <= 85; c += 0.5 {
			r, err := InsulationAt40(100*megohm, quantity.Temperature(c+kelvin), kind)
			if err != nil || r <= was {
				t.Fatalf("%s at %g °C: %g after %g (%v)", kind, c, r, was, err)
			}
			was = r
		}
		if r, err := InsulationAt40(100*megohm, 40+kelvin, kind); err != nil || math.Abs(float64(r/megohm-100)) > 1e-9 {
			t.Errorf("%s at 40 °C: %g (%v)", kind, r, err)
		}
	}
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	good := map[string][]any{
		"insulation_at_40":   {quantity.Resistance(2e8), quantity.Temperature(300), "thermosetting"},
		"insulation_least":   {quantity.Voltage(460), "random"},
		"test_voltage_high":  {quantity.Voltage(460)},
		"polarization_index": {quantity.Resistance(4e8), quantity.Resistance(1e8)},
		"voltage_unbalance":  {quantity.Voltage(460), quantity.Voltage(467), quantity.Voltage(450)},
		"current_unbalance":  {quantity.Current(18), quantity.Current(18.2), quantity.Current(17.9)},
	}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name])
	}
}
