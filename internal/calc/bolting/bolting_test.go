package bolting

import (
	"math"
	"strings"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "bolting", Functions)
}

// TestShigleyTable8_14 holds the scatter of oiled bolts against ten tested ones.
// Source: Shigley, Mechanical Engineering Design, table 8-14 (seen): preloads of
// ten lubricated bolts at 90 N·m.
func TestShigleyTable8_14(t *testing.T) {
	tested := []quantity.Force{30.3e3, 32.5e3, 32.5e3, 32.9e3, 32.9e3, 33.8e3, 34.3e3, 34.7e3, 37.4e3, 40.5e3}
	mean := quantity.Force(0)
	for _, f := range tested {
		mean += f / quantity.Force(len(tested))
	}
	if math.Abs(float64(mean)-34180) > 5 {
		t.Fatalf("mean %v, published 34.18 kN", mean)
	}
	s, err := Scatter("torque wrench, oiled")
	if err != nil {
		t.Fatal(err)
	}
	low, _ := PreloadLow(mean, s)
	high, _ := PreloadHigh(mean, s)
	for _, f := range tested {
		if f < low || f > high {
			t.Errorf("a tested bolt at %v N lies outside %v to %v N", f, low, high)
		}
	}
}

// TestTwoLongForms holds the VDI form against the exact one of ISO 16047,
// T = F {½ (P + 1.154 π μ d2)/(π − 1.154 μ P/d2) + μ (Do + dh)/4}.
// Source: ISO 16047 (from memory).
func TestTwoLongForms(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.SampledFrom([]string{"M8", "M10x1", "M12", "M16x1.5", "M20", "M24", "M30", "1/2-13", "3/4-16 UNF", "1-8"}).Draw(rt, "thread")
		mu := quantity.Number(rapid.Float64Range(0.08, 0.30).Draw(rt, "mu"))
		th, err := parseThread(name)
		if err != nil {
			rt.Fatal(err)
		}
		dk, err := th.seatDiameter("hex")
		if err != nil {
			rt.Fatal(err)
		}
		got, err := TorqueFriction(name, 10e3, mu, mu, "hex")
		if err != nil {
			rt.Fatal(err)
		}
		m := float64(mu)
		want := 10e3 * (0.5*(th.pitch+1.154*math.Pi*m*th.d2())/(math.Pi-1.154*m*th.pitch/th.d2()) + m*dk/2)
		if math.Abs(float64(got)-want) > 0.02*want {
			rt.Fatalf("%s μ %.3f: VDI %.2f, ISO 16047 %.2f N·m", name, m, float64(got), want)
		}
	})
}

var (
	anyThread = rapid.SampledFrom([]string{"M6", "M8", "M8x1", "M10", "M12", "M12x1.25", "M16", "M20", "M20x1.5", "M24", "M30", "M36"})
	anyGrade  = rapid.SampledFrom([]string{"4.6", "8.8", "10.9", "12.9", "B7", "A2-50"})
	anyMu     = rapid.Float64Range(0.04, 0.39)
)

func must[T any](t *rapid.T, v T, err error) T {
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestMoreFrictionLessPreload(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		name, seat := anyThread.Draw(rt, "thread"), rapid.SampledFrom([]string{"hex", "socket"}).Draw(rt, "seat")
		mu := quantity.Number(anyMu.Draw(rt, "mu"))
		// The torque for one newton at each friction; at a given torque the
		// preload is its inverse.
		perForce := func(a, b quantity.Number) float64 {
			tq, err := TorqueFriction(name, 1000, a, b, seat)
			return float64(must(rt, tq, err))
		}
		base := perForce(mu, mu)
		if base >= perForce(mu+0.01, mu) || base >= perForce(mu, mu+0.01) {
			rt.Fatal("more friction does not take more torque for the same preload")
		}
		low, err := PreloadYield(name, "8.8", 0.9, mu+0.01)
		high, err2 := PreloadYield(name, "8.8", 0.9, mu)
		if must(rt, low, err) >= must(rt, high, err2) {
			rt.Fatal("more friction does not cost preload at the same use of yield")
		}
	})
}

func TestShortFormIsLinearAndLoosensWithK(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		name := anyThread.Draw(rt, "thread")
		k := quantity.Number(rapid.Float64Range(0.05, 0.29).Draw(rt, "k"))
		f := quantity.Force(rapid.Float64Range(100, 1e5).Draw(rt, "f"))
		a, err := Torque(k, name, f)
		b, err2 := Torque(2*k, name, f)
		c, err3 := Torque(k, name, 2*f)
		must(rt, a, err)
		if math.Abs(float64(must(rt, b, err2)-2*a)) > 1e-9*float64(b) || math.Abs(float64(must(rt, c, err3)-2*a)) > 1e-9*float64(c) {
			rt.Fatal("torque is not proportional to nut factor and preload")
		}
	})
}

// A nut factor is that of the friction it stands for: the long form with that
// friction comes to the short form with that factor. For unified threads, whose seat
// is taken as 1.25 d in both.
func TestFrictionOfANutFactor(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.SampledFrom([]string{"1/4-20", "1/4-28", "3/8-16", "1/2-13", "1/2-20 UNF", "3/4-10", "1-8", "1-1/2-6", "2-8 8UN"}).Draw(rt, "thread")
		k := quantity.Number(rapid.Float64Range(0.085, 0.45).Draw(rt, "k"))
		mu, err := FrictionOf(k, name)
		long, err2 := TorqueFriction(name, 1e4, must(rt, mu, err), mu, "hex")
		short, err3 := Torque(k, name, 1e4)
		if math.Abs(float64(must(rt, long, err2)/must(rt, short, err3)-1)) > 1e-9 {
			rt.Fatalf("%s: K %v stands for a friction of %v, which gives %v, not %v", name, k, mu, long, short)
		}
	})
}

func TestUseOfYield(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		name, grade := anyThread.Draw(rt, "thread"), anyGrade.Draw(rt, "grade")
		mu := quantity.Number(anyMu.Draw(rt, "mu"))
		part := quantity.Number(rapid.Float64Range(0.1, 0.9).Draw(rt, "part"))
		f, err := PreloadYield(name, grade, part, mu)
		back, err2 := YieldUseTorsion(name, grade, must(rt, f, err), mu)
		if math.Abs(float64(must(rt, back, err2)-part)) > 1e-9 {
			rt.Fatalf("%s %s: %v of yield comes back as %v", name, grade, part, back)
		}
		axial, err3 := YieldUse(name, grade, f)
		if must(rt, axial, err3) >= back {
			rt.Fatal("torsion does not add to the use of yield")
		}
		proof, err4 := ProofStrength(grade, name)
		yield, err5 := YieldStrength(grade, name)
		ultimate, err6 := TensileStrength(grade, name)
		if must(rt, proof, err4) > must(rt, yield, err5) || yield > must(rt, ultimate, err6) {
			rt.Fatalf("%s: proof %v, yield %v, tensile %v are not in order", grade, proof, yield, ultimate)
		}
	})
}

// TestBadInputIsAnError feeds every function what no formula holds for.
func TestBadInputIsAnError(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, x := range []float64{nan, inf, -inf, 0, -1} {
		n, f, q := quantity.Number(x), quantity.Force(x), quantity.Torque(x)
		for what, err := range map[string]error{
			"preload":          second(Preload("M12", "8.8", n)),
			"torque k":         second(Torque(n, "M12", 1e4)),
			"torque F":         second(Torque(0.2, "M12", f)),
			"friction thread":  second(TorqueFriction("M12", 1e4, n, 0.12, "hex")),
			"friction seat":    second(TorqueFriction("M12", 1e4, 0.12, n, "hex")),
			"friction preload": second(TorqueFriction("M12", f, 0.12, 0.12, "hex")),
			"friction of":      second(FrictionOf(n, "M12")),
			"preload low":      second(PreloadLow(f, 0.3)),
			"preload high":     second(PreloadHigh(f, 0.3)),
			"yield use":        second(YieldUse("M12", "8.8", f)),
			"yield torsion F":  second(YieldUseTorsion("M12", "8.8", f, 0.12)),
			"yield torsion mu": second(YieldUseTorsion("M12", "8.8", 1e4, n)),
			"preload yield":    second(PreloadYield("M12", "8.8", n, 0.12)),
			"preload yield mu": second(PreloadYield("M12", "8.8", 0.9, n)),
			"pass":             second(PassTorque(q, 0.5)),
			"pass fraction":    second(PassTorque(100, n)),
		} {
			if err == nil {
				t.Errorf("%s accepts %g", what, x)
			}
		}
		if x != 0 && second(PreloadLow(1e4, n)) == nil {
			t.Errorf("scatter accepts %g", x)
		}
	}
	for _, name := range []string{"", "M", "M0", "M12x", "M12x9", "Mx1", "M-12", "M1e1", "MInf", "MNaN", "-", "/", "3/0-16", "0-8", "1/3-0", "3/8-0", "3/8-", "3/8-16-2",
		"3/8-16 UNF", "3/8 UNC", "9/8-7", "1/1-8", "1-1-8", "1-1/8-1/8-7", "1/8-1/8-7", "1-8 BSW", "+1-8", "1 2 3-8", "half-13", "½-13"} {
		if _, err := StressArea(name); err == nil {
			t.Errorf("thread %q is accepted", name)
		}
	}
	for _, pair := range [][2]string{{"8.8", "1/2-13"}, {"SAE 5", "M12"}, {"8.8", "M4"}, {"9.9", "M12"}, {"", "M12"}, {"A2-70", "M24"}, {"SAE 2", "2-8 8UN"}} {
		if _, err := ProofStrength(pair[0], pair[1]); err == nil {
			t.Errorf("grade %q in %s is accepted", pair[0], pair[1])
		}
	}
	for _, err := range []error{second(NutFactor("stainless")), second(Scatter("eye")), second(TorqueFriction("M12", 1e4, 0.12, 0.12, "countersunk")),
		second(TorqueFriction("M18", 1e4, 0.12, 0.12, "socket")), second(TorqueFriction("M3", 1e3, 0.12, 0.12, "hex"))} {
		if err == nil {
			t.Error("an unknown name is accepted")
		}
	}
}

func second[T any](_ T, err error) error { return err }

// Every method and condition: a torque wrench's scatter is given or refused as the
// joint's threads are, and never differs from Scatter.
func TestTorqueScatterAgreesWithTheJoint(t *testing.T) {
	given := 0
	for _, m := range Methods() {
		for _, c := range Conditions() {
			want, err := Scatter(m)
			if err != nil {
				t.Fatal(err)
			}
			got, err := TorqueScatter(m, c)
			if err == nil {
				given++
				if got != want || !strings.Contains(m, "torque wrench") {
					t.Errorf("%s, %s: %v, want %v", m, c, got, want)
				}
			} else if !strings.Contains(err.Error(), "want") {
				t.Errorf("%s, %s: %v does not say what is wanted", m, c, err)
			}
		}
	}
	// All seven conditions by the plain wrench, two dry ones, one plated, three oiled.
	if given != len(Conditions())+2+1+3 {
		t.Errorf("%d pairs of method and condition are given", given)
	}
	for _, pair := range [][2]string{{"eye", "oiled"}, {"torque wrench", "wet"}} {
		if _, err := TorqueScatter(pair[0], pair[1]); err == nil {
			t.Errorf("%v is accepted", pair)
		}
	}
}

func TestNamesAreForgiving(t *testing.T) {
	for a, b := range map[string]string{"m12 x 1.25": "M12x1.25", "M12×1.25": "M12X1.25", "1 1/8-8 UN": "1-1/8-8 8UN", "3/8-16unc": "3/8-16"} {
		x, err := StressArea(a)
		y, err2 := StressArea(b)
		if err != nil || err2 != nil || x != y {
			t.Errorf("%q and %q differ: %v, %v", a, b, err, err2)
		}
	}
	if k, err := NutFactor(" Anti-Seize "); err != nil || k != 0.12 {
		t.Errorf("anti-seize: %v, %v", k, err)
	}
}

func FuzzParseThread(f *testing.F) {
	for _, s := range []string{"M12", "M12x1.25", "3/8-16", "1-1/8-7 UNC", "1/2-20 UNF", "2-8 8UN"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		th, err := parseThread(name)
		if err == nil && !(th.d3() > 0 && th.d3() < th.d2() && th.d2() < th.diameter && th.diameter < 0.07) {
			t.Errorf("%q gives %+v", name, th)
		}
	})
}
