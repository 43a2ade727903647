package wear

import (
	"testing"

	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

// The guards of any kind give for lengths what those of lengths give, and refuse what
// can prove nothing.
func TestGuardsOfAnyKindAreThoseOfLengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0.001, 1).Draw(t, "low")
		width := rapid.Float64Range(0.001, 0.5).Draw(t, "width")
		u := rapid.Float64Range(1e-7, 0.002).Draw(t, "U")
		high := low + width
		same := func(name string, a quantity.Length, errA error, b quantity.Number, errB error) {
			if (errA == nil) != (errB == nil) || errA == nil && float64(a) != float64(b) {
				t.Errorf("%s: %v (%v) of lengths, %v (%v) of any kind", name, a, errA, b, errB)
			}
		}
		a, errA := BandLow(quantity.Length(low), quantity.Length(high), quantity.Length(u))
		b, errB := bandLow(quantity.Number(low), quantity.Number(high), quantity.Number(u))
		same("band_low", a, errA, b, errB)
		a, errA = BandHigh(quantity.Length(low), quantity.Length(high), quantity.Length(u))
		b, errB = bandHigh(quantity.Number(low), quantity.Number(high), quantity.Number(u))
		same("band_high", a, errA, b, errB)
		a, errA = GuardLow(quantity.Length(low), quantity.Length(u))
		b, errB = raised(quantity.Number(low), quantity.Number(u))
		same("guard_low", a, errA, b, errB)
		if 2*u < low {
			a, errA = GuardHigh(quantity.Length(low), quantity.Length(u))
			b, errB = lowered(quantity.Number(low), quantity.Number(u))
			same("guard_high", a, errA, b, errB)
		}
	})
	for _, u := range []quantity.Number{0, -1} {
		_, errLow := raised(300, u)
		_, errHigh := lowered(300, u)
		_, errBand := bandLow(300, 310, u)
		if errLow == nil || errHigh == nil || errBand == nil {
			t.Errorf("an uncertainty of %v is taken", u)
		}
	}
}
