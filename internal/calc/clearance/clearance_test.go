package clearance

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/material"
	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "clearance", Functions)
}

// TestThreeThouIsThreeQuarters holds the figure that the trade quotes: on a
// housing whose arc is 250 times the clearance, 0.003 in is 0.75 in of arc.
func TestThreeThouIsThreeQuarters(t *testing.T) {
	const in = 0.0254
	for _, lead := range []quantity.Length{in / 8, in / 12, in / 16, 0.0015, 0.003} {
		diameter := 250 * lead / math.Pi
		got, err := ArcTravel(0.003*in, diameter, lead)
		if err != nil || math.Abs(float64(got)-0.75*in) > 1e-12 {
			t.Errorf("lead %v m: %v, %v; want 0.75 in", lead, got/in, err)
		}
	}
}

func length(low, high float64) *rapid.Generator[quantity.Length] {
	return rapid.Map(rapid.Float64Range(low, high), func(x float64) quantity.Length { return quantity.Length(x) })
}

func TestArcAndBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d, lead := length(0.05, 0.5).Draw(rt, "diameter"), length(0.001, 0.01).Draw(rt, "lead")
		c := length(1e-5, 0.0009).Draw(rt, "clearance")
		s, err := ArcTravel(c, d, lead)
		if err != nil {
			rt.Fatal(err)
		}
		back, err := ClearanceOfArc(s, d, lead)
		if err != nil || math.Abs(float64(back-c)) > 1e-12 {
			rt.Fatalf("%v comes back as %v, %v", c, back, err)
		}
		angle, err := TurnAngle(c, lead)
		if err != nil || math.Abs(float64(angle)*float64(d)/2-float64(s)) > 1e-9 {
			rt.Fatalf("the arc %v is not angle %v times radius, %v", s, angle, err)
		}
		wider, err1 := ArcTravel(c, d*1.1, lead)
		slower, err2 := ArcTravel(c, d, lead*1.1)
		if err1 != nil || err2 != nil || wider <= s || slower >= s {
			rt.Fatal("the arc does not rise with the diameter and fall with the lead")
		}
		lost, err := MisreadClearance(0.0005, d, lead)
		if err != nil {
			rt.Fatal(err)
		}
		if more, err := ClearanceOfArc(s+0.0005, d, lead); err == nil && math.Abs(float64(more-c-lost)) > 1e-12 {
			rt.Fatal("a misreading does not cost what it says")
		}
	})
}

var anyMaterial = rapid.SampledFrom([]string{"cast iron", "ductile iron", "steel", "stainless steel", "bronze", "carbon graphite", "silicon carbide"})

func TestHotAndColdAreInverse(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rotor, casing := expansion(rt, anyMaterial.Draw(rt, "rotor")), expansion(rt, anyMaterial.Draw(rt, "casing"))
		lr, lc := length(0.01, 0.3).Draw(rt, "lr"), length(0.01, 0.3).Draw(rt, "lc")
		cold := quantity.Temperature(rapid.Float64Range(263, 303).Draw(rt, "cold"))
		hot := quantity.Temperature(rapid.Float64Range(263, 600).Draw(rt, "running"))
		want := length(2e-5, 0.002).Draw(rt, "clearance")
		taken, err := Closing(lr, rotor, lc, casing, cold, hot)
		if err != nil {
			rt.Fatal(err)
		}
		if longer, err := Closing(lr*1.1, rotor, lc, casing, cold, hot); err != nil || (longer > taken) != (hot > cold) && hot != cold {
			rt.Fatalf("a longer rotor takes %v, not more than %v, %v", longer, taken, err)
		}
		set, err := ColdClearance(want, taken)
		if err != nil {
			return // the casing outgrows the rotor: refused
		}
		back, err := HotClearance(set, taken)
		if err != nil || math.Abs(float64(back-want)) > 1e-12 {
			rt.Fatalf("%v comes back as %v, %v", want, back, err)
		}
		if rotor == casing && lr == lc && set != want {
			rt.Fatal("one material and length changes the clearance")
		}
	})
}

type fatal interface{ Fatal(...any) }

func expansion(t fatal, name string) quantity.Expansion {
	m, err := material.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return m.Expansion
}

// TestStartFromCold: while the casing lags, more is taken than when both are hot; once
// it is as warm as WarmUp says, the least clearance is left, and not before.
func TestStartFromCold(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rotor, casing := expansion(rt, anyMaterial.Draw(rt, "rotor")), expansion(rt, anyMaterial.Draw(rt, "casing"))
		lr, lc := length(0.01, 0.3).Draw(rt, "lr"), length(0.01, 0.3).Draw(rt, "lc")
		cold := quantity.Temperature(rapid.Float64Range(263, 303).Draw(rt, "cold"))
		hot := cold + quantity.Temperature(rapid.Float64Range(1, 200).Draw(rt, "hotter by"))
		set := length(5e-5, 0.002).Draw(rt, "set")
		least := set * length(0.1, 0.9).Draw(rt, "least/set")
		both, err := Closing(lr, rotor, lc, casing, cold, hot)
		if err != nil {
			rt.Fatal(err)
		}
		lagging, err := ClosingApart(lr, rotor, lc, casing, cold, hot, cold)
		if err != nil || lagging <= both {
			rt.Fatalf("a cold casing takes %v, not more than %v (%v)", lagging, both, err)
		}
		warm, err := WarmUp(set, least, lr, rotor, lc, casing, cold, hot)
		if err != nil {
			if set-both >= least {
				rt.Fatalf("refused, though %v is left hot: %v", set-both, err)
			}
			return
		}
		taken, err := ClosingApart(lr, rotor, lc, casing, cold, hot, warm)
		if err != nil || set-taken < least-1e-12 || warm < cold || warm > hot*(1+1e-12) {
			rt.Fatalf("at %v K %v is left, want %v (%v)", warm, set-taken, least, err)
		}
		if warm > cold && math.Abs(float64(set-taken-least)) > 1e-12 {
			rt.Fatalf("warmed to %v K, though %v would be left", warm, set-taken)
		}
		if warm == cold && set-lagging < least-1e-12 {
			rt.Fatal("no warm-up, though too little is left")
		}
	})
}

// TestSettable: a whole number of steps, no less than what is wanted and less than a
// step more.
func TestSettable(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		wanted, step := length(2e-6, 0.01).Draw(rt, "wanted"), length(1e-6, 1e-3).Draw(rt, "step")
		got, err := Settable(wanted, step)
		if err != nil {
			rt.Fatal(err)
		}
		n := float64(got / step)
		if math.Abs(n-math.Round(n)) > 1e-6 || got < wanted-step/5000 || got >= wanted+step {
			rt.Fatalf("%v by %v: %v", wanted, step, got)
		}
	})
}

// TestStainlessRotorInIronCasing works one case by hand: rotor 316 and casing
// iron, 100 mm each, 20 to 100 °C: (15.9 − 11.4) × 0.1 × 80 = 36 µm.
func TestStainlessRotorInIronCasing(t *testing.T) {
	steel, iron := expansion(t, "stainless steel"), expansion(t, "cast-iron")
	taken, err := Closing(0.1, steel, 0.1, iron, 293.15, 373.15)
	if err != nil || math.Abs(float64(taken)-0.000036) > 1e-9 {
		t.Fatalf("the heat takes %v m, %v; want 0.036 mm", taken, err)
	}
	got, err := ColdClearance(0.0001, taken)
	if err != nil || math.Abs(float64(got)-0.000136) > 1e-9 {
		t.Errorf("got %v m, %v; want 0.136 mm", got, err)
	}
	if got, err := HotClearance(0.00003, taken); err == nil {
		t.Errorf("a rotor that touches gives %v", got)
	}
	if got, err := ColdClearance(0.00003, -taken); err == nil {
		t.Errorf("a clearance below nothing gives %v", got)
	}
}

// The expansions of the table stand in for the mean ones up to 200 °C: for steel the
// standard's are 7 to 10 % more.
// Source: EN 1993-1-2, 3.4.1.1 (seen): ΔL/L = 1.2·10⁻⁵ t + 0.4·10⁻⁸ t² − 2.416·10⁻⁴.
func TestSteelGrowsAsTheStandardHasIt(t *testing.T) {
	for at := 50.0; at <= 200; at += 10 {
		want := 1.2e-5*at + 0.4e-8*at*at - 2.416e-4
		got, err := Growth(1, expansion(t, "steel"), quantity.TemperatureDifference(at-20))
		if err != nil || float64(got) > want || float64(got) < 0.9*want {
			t.Errorf("up to %v °C a metre grows %v m, %v; the standard has %v", at, got, err, want)
		}
	}
}

func TestBadInputIsAnError(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1} {
		l, n := quantity.Length(x), quantity.Number(x)
		for what, err := range map[string]error{
			"arc c": second(ArcTravel(l, 0.1, 0.002)), "arc D": second(ArcTravel(1e-4, l, 0.002)), "arc lead": second(ArcTravel(1e-4, 0.1, l)),
			"back s": second(ClearanceOfArc(l, 0.1, 0.002)), "back D": second(ClearanceOfArc(0.01, l, 0.002)), "back lead": second(ClearanceOfArc(0.01, 0.1, l)),
			"misread": second(MisreadClearance(l, 0.1, 0.002)), "misread D": second(MisreadClearance(1e-3, l, 0.002)),
			"turns": second(TurnCount(l, 0.002)), "turns lead": second(TurnCount(1e-4, l)), "angle": second(TurnAngle(l, 0.002)),
			"pitch": second(LeadMetric(l, 1)), "starts": second(LeadMetric(0.002, n)), "tpi": second(LeadInch(n, 1)), "starts in": second(LeadInch(8, n)),
			"growth": second(Growth(l, 1e-5, 10)), "growth α": second(Growth(0.1, quantity.Expansion(x), 10)),
			"closing Lr":      second(Closing(l, 1e-5, 0.1, 1e-5, 293, 333)),
			"closing αr":      second(Closing(0.1, quantity.Expansion(x), 0.1, 1e-5, 293, 333)),
			"closing Lc":      second(Closing(0.1, 1e-5, l, 1e-5, 293, 333)),
			"closing αc":      second(Closing(0.1, 1e-5, 0.1, quantity.Expansion(x), 293, 333)),
			"closing T":       second(Closing(0.1, 1e-5, 0.1, 1e-5, quantity.Temperature(x), 333)),
			"closing running": second(Closing(0.1, 1e-5, 0.1, 1e-5, 293, quantity.Temperature(x))),
			"apart rotor":     second(ClosingApart(0.1, 1e-5, 0.1, 1e-5, 293, quantity.Temperature(x), 333)),
			"apart casing":    second(ClosingApart(0.1, 1e-5, 0.1, 1e-5, 293, 333, quantity.Temperature(x))),
			"warm c":          second(WarmUp(l, 1e-5, 0.1, 1e-5, 0.1, 1e-5, 293, 333)),
			"warm least":      second(WarmUp(1e-4, l, 0.1, 1e-5, 0.1, 1e-5, 293, 333)),
			"warm Lc":         second(WarmUp(1e-4, 1e-5, 0.1, 1e-5, l, 1e-5, 293, 333)),
			"warm αc":         second(WarmUp(1e-4, 1e-5, 0.1, 1e-5, 0.1, quantity.Expansion(x), 293, 333)),
			"warm T":          second(WarmUp(1e-4, 1e-5, 0.1, 1e-5, 0.1, 1e-5, quantity.Temperature(x), 333)),
			"warm running":    second(WarmUp(1e-4, 1e-5, 0.1, 1e-5, 0.1, 1e-5, 293, quantity.Temperature(x))),
			"settable":        second(Settable(l, 1e-5)),
			"step":            second(Settable(1e-4, l)),
			"cold c":          second(ColdClearance(l, 1e-5)),
			"hot c":           second(HotClearance(l, 1e-5)),
		} {
			if err == nil {
				t.Errorf("%s accepts %g", what, x)
			}
		}
	}
	for what, err := range map[string]error{
		"more than a turn":   second(ArcTravel(0.0021, 0.1, 0.002)),
		"arc beyond a turn":  second(ClearanceOfArc(0.35, 0.1, 0.002)),
		"lead above D":       second(ArcTravel(1e-4, 0.01, 0.02)),
		"half a start":       second(LeadMetric(0.002, 1.5)),
		"closing no number":  second(ColdClearance(1e-4, quantity.Length(math.NaN()))),
		"hotter than 400 °C": second(Closing(0.1, 1e-5, 0.1, 1e-5, 293, 700)),
		"cold before hot":    second(WarmUp(1e-4, 1e-5, 0.1, 1e-5, 0.1, 1e-5, 333, 293)),
		"least above set":    second(WarmUp(1e-5, 1e-4, 0.1, 1e-5, 0.1, 1e-5, 293, 333)),
		"ΔT not a number":    second(Growth(0.1, 1e-5, quantity.TemperatureDifference(math.NaN()))),
	} {
		if err == nil {
			t.Errorf("%s is accepted", what)
		}
	}
}

func second[T any](_ T, err error) error { return err }
