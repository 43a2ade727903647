package wear

import (
	"math"
	"strings"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "wear", Functions)
}

func length(low, high float64) *rapid.Generator[quantity.Length] {
	return rapid.Map(rapid.Float64Range(low, high), func(x float64) quantity.Length { return quantity.Length(x) })
}

// TestGuardBandNeverWidens: what is accepted lies within the limits by U, what is
// rejected outside by U, and an instrument that closes the band is unfit.
func TestGuardBandNeverWidens(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		low := length(0.001, 0.1).Draw(rt, "low")
		high := low + length(1e-6, 1e-3).Draw(rt, "width")
		u := length(1e-7, 1e-3).Draw(rt, "U")
		a, err1 := BandLow(low, high, u)
		b, err2 := BandHigh(low, high, u)
		if (err1 == nil) != (err2 == nil) {
			rt.Fatal("one end of the band is open, the other is not")
		}
		if err1 != nil {
			if 2*u < 0.999*(high-low) || !strings.Contains(err1.Error(), "instrument unfit") {
				rt.Fatalf("U %v of %v: %v", u, high-low, err1)
			}
			return
		}
		if a-low < u*0.999999 || high-b < u*0.999999 || a >= b {
			rt.Fatalf("band %v to %v accepts %v to %v with U %v", low, high, a, b, u)
		}
		g, err := GuardLow(low, u)
		r, err2 := RejectLow(low, u)
		if err != nil || err2 != nil || g-low != low-r && math.Abs(float64(g-2*low+r)) > 1e-15 {
			rt.Fatalf("the zone to measure again is not even about the limit: %v, %v", g, r)
		}
	})
}

// TestGuardBandRegression holds rows computed from the rule (no outside check):
// 25.000 to 25.021 with U 0.004, 49.959 to 49.975 with 0.003, 0.05 to 0.15 with 0.01.
func TestGuardBandRegression(t *testing.T) {
	for _, r := range [][5]float64{{25.000, 25.021, 0.004, 25.004, 25.017}, {49.959, 49.975, 0.003, 49.962, 49.972}, {0.05, 0.15, 0.01, 0.06, 0.14}} {
		l := func(i int) quantity.Length { return quantity.Length(r[i] / 1000) }
		a, err := BandLow(l(0), l(1), l(2))
		b, err2 := BandHigh(l(0), l(1), l(2))
		if err != nil || err2 != nil || math.Abs(float64(a-l(3))) > 1e-12 || math.Abs(float64(b-l(4))) > 1e-12 {
			t.Errorf("%v: %v %v, %v %v", r, a, err, b, err2)
		}
	}
}

func TestBadInputIsAnError(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1} {
		l := quantity.Length(x)
		for what, err := range map[string]error{
			"guard low": second(GuardLow(l, 1e-5)), "guard low U": second(GuardLow(0.03, l)), "guard high": second(GuardHigh(l, 1e-5)), "guard high U": second(GuardHigh(0.03, l)),
			"band low": second(BandLow(l, 0.03, 1e-5)), "band high": second(BandHigh(0.03, l, 1e-5)), "band U": second(BandLow(0.03, 0.031, l)),
			"reject low": second(RejectLow(l, 1e-5)), "reject high": second(RejectHigh(0.03, l)),
			"taper": second(Taper(l, 0.03)), "ovality": second(Ovality(0.03, l)),
			"rate": second(WearRate(l, 0.03, 1e7)), "rate after": second(WearRate(0.03, l, 1e7)), "rate time": second(WearRate(0.03, 0.029, quantity.Time(x))),
			"left": second(TimeLeft(l, 0.03, 1e-11)), "left limit": second(TimeLeft(0.03, l, -1e-11)), "left rate": second(TimeLeft(0.029, 0.03, quantity.Velocity(x))),
		} {
			if err == nil {
				t.Errorf("%s accepts %g", what, x)
			}
		}
	}
	for what, err := range map[string]error{
		"limits swapped": second(BandLow(0.031, 0.03, 1e-5)), "unfit for zero": second(GuardHigh(0.0001, 0.00005)),
		"growing": second(TimeLeft(0.03, 0.029, 1e-11)), "past it": second(TimeLeft(0.028, 0.029, -1e-11)), "at it": second(TimeLeft(0.029, 0.029, -1e-11)),
		"too far": second(TimeLeft(0.03, 0.029, -1e-20)), "two features": second(Taper(0.03, 0.02)),
	} {
		if err == nil {
			t.Errorf("%s is accepted", what)
		}
	}
}

func second[T any](_ T, err error) error { return err }
