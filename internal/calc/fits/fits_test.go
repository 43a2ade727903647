package fits

import (
	"math"
	"slices"
	"testing"

	"jobsheaf/internal/calc/material"
	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "fits", Functions)
}

// TestTolerancesFollowTheirFormula holds the table of standard tolerances to the
// formula that it was made with: i = 0.45 ∛D + 0.001 D in µm, D the geometric
// mean of the range in mm; IT5 to IT11 = 7, 10, 16, 25, 40, 64, 100 i.
// Source: ISO 286-1, annex (from memory); the table is rounded.
func TestTolerancesFollowTheirFormula(t *testing.T) {
	times := []float64{7, 10, 16, 25, 40, 64, 100}
	from := 1.0
	for band, to := range itBands {
		d := math.Sqrt(from * to)
		from = to
		i := 0.45*math.Cbrt(d) + 0.001*d
		part := 0.05
		if band == 0 {
			part = 0.17 // the first range is rounded further than the others
		}
		for g, k := range times {
			got, want := standardTolerances[band][g+1], k*i
			if math.Abs(got-want) > math.Max(0.75, part*want) {
				t.Errorf("IT%d up to %g mm: table %g, formula %.1f µm", g+5, to, got, want)
			}
		}
	}
}

// TestDeviationsFollowTheirFormulas holds the table of fundamental deviations to
// its formulas: d 16 D^0.44, e 11 D^0.41, f 5.5 D^0.41, g 2.5 D^0.34, n 5 D^0.34,
// above 3 mm. Source: ISO 286-1, annex (from memory); the table is rounded.
func TestDeviationsFollowTheirFormulas(t *testing.T) {
	for _, f := range []struct {
		letter    string
		sign, k   float64
		exponent  float64
		tolerance float64
	}{{"d", -1, 16, 0.44, 0.05}, {"e", -1, 11, 0.41, 0.05}, {"f", -1, 5.5, 0.41, 0.06}, {"g", -1, 2.5, 0.34, 0.10}, {"n", 1, 5, 0.34, 0.06}} {
		col := slices.Index(deviationLetters, f.letter)
		for i, to := range itBands[1:] {
			from := itBands[i]
			d := math.Sqrt(from * to)
			want := f.sign * f.k * math.Pow(d, f.exponent)
			for _, r := range deviations {
				if r.up > from && r.up <= to && math.Abs(r.dev[col]-want) > math.Max(0.8, f.tolerance*math.Abs(want)) {
					t.Errorf("%s up to %g mm: table %g, formula %.1f µm", f.letter, r.up, r.dev[col], want)
				}
			}
		}
	}
}

func TestDeviationsRiseWithSizeAndLetter(t *testing.T) {
	for i, r := range deviations {
		for c := range deviationLetters {
			if i > 0 && r.dev[c] != none && deviations[i-1].dev[c] != none && math.Abs(r.dev[c]) < math.Abs(deviations[i-1].dev[c]) {
				t.Errorf("%s falls at %g mm", deviationLetters[c], r.up)
			}
			if c > 0 && r.dev[c] != none && r.dev[c-1] != none && r.dev[c] <= r.dev[c-1] {
				t.Errorf("%s is not above %s at %g mm", deviationLetters[c], deviationLetters[c-1], r.up)
			}
		}
		if i > 0 && r.up <= deviations[i-1].up {
			t.Errorf("ranges out of order at %g mm", r.up)
		}
	}
}

// TestHoleAndShaftBasisGiveTheSameFit holds the rule that Δ is made for: H7 with
// p6 has the interference of P7 with h6.
func TestHoleAndShaftBasisGiveTheSameFit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		size := quantity.Length(rapid.Float64Range(0.00301, 0.5).Draw(rt, "size"))
		pair := rapid.SampledFrom([][2]string{{"k", "K"}, {"n", "N"}, {"p", "P"}, {"r", "R"}, {"s", "S"}, {"u", "U"}}).Draw(rt, "letter")
		_, hole, err1 := limits("H7", size)
		low, high, err2 := limits(pair[0]+"6", size)
		holeLow, holeHigh, err3 := limits(pair[1]+"7", size)
		shaft, _, err4 := limits("h6", size)
		if err1 != nil || err2 != nil || err3 != nil || err4 != nil {
			rt.Fatal(err1, err2, err3, err4)
		}
		if math.Abs((low-hole)-(shaft-holeHigh)) > 1e-9 || math.Abs(high-(-holeLow)) > 1e-9 {
			rt.Fatalf("%g mm: H7/%s6 %g to %g, %s7/h6 %g to %g", float64(size)/mm, pair[0], low-hole, high, pair[1], shaft-holeHigh, -holeLow)
		}
	})
}

// TestBoundaryInEveryUnit: a size on a boundary belongs to the range below it,
// whatever sum of binary fractions it comes from.
func TestBoundaryInEveryUnit(t *testing.T) {
	for _, size := range []quantity.Length{0.03, 30 * mm, 0.01 + 0.02, 3 * 0.01, 0.0299999999999, 30e-3 * (1 + 1e-12)} {
		if high, err := DeviationHigh("H7", size); err != nil || math.Abs(float64(high)-21e-6) > 1e-12 {
			t.Errorf("H7 at %.17g m: %v, %v; want 21 µm", float64(size), high, err)
		}
	}
}

func TestClassesRefused(t *testing.T) {
	for _, name := range []string{"", "H", "7", "H3", "H12", "Js6", "jS6", "j6", "J7", "z6", "H7/s6", "K4", "K9", "N9", "M11", "c11", "H-7", "H7.5", "h", "Hh7", "H77", "H٧"} {
		if _, err := DeviationLow(name, 0.05); err == nil {
			t.Errorf("class %q is accepted", name)
		}
	}
	if low, err := DeviationLow("k8", 0.05); err != nil || low != 0 {
		t.Errorf("k8: %v, %v; ISO 286-1 gives ei = 0 above IT7", low, err)
	}
	// ISO 286-1, note to M6 over 250 to 315 mm: ES = −9 (from memory).
	if high, err := DeviationHigh("M6", 0.3); err != nil || math.Abs(float64(high)+9e-6) > 1e-12 {
		t.Errorf("M6 at 300 mm: %v, %v", high, err)
	}
}

var anyMaterial = rapid.SampledFrom([]string{"cast iron", "ductile iron", "steel", "stainless steel", "bronze", "carbon graphite", "silicon carbide"})

func length(low, high float64) *rapid.Generator[quantity.Length] {
	return rapid.Map(rapid.Float64Range(low, high), func(x float64) quantity.Length { return quantity.Length(x) })
}

// TestPressedBushing: more interference closes the bore more; the bore never
// closes by more than what the interference shares out; the outer part takes up
// the rest. The last is the condition that the two surfaces meet, which the
// formula for the pressure was derived from: δ = growth of the hub's bore + loss
// of the bushing's outside.
func TestPressedBushing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := length(0.01, 0.2).Draw(rt, "d")
		bore := d * length(0.2, 0.95).Draw(rt, "bore/d")
		outer := d * length(1.1, 4).Draw(rt, "outer/d")
		delta := d * length(1e-5, 0.0019).Draw(rt, "delta/d")
		hub, bush := anyMaterial.Draw(rt, "hub"), anyMaterial.Draw(rt, "bush")
		p, err := FitPressure(delta, d, outer, bore, hub, bush)
		if err != nil {
			rt.Fatal(err)
		}
		closing, err := BoreClosing(delta, d, outer, bore, hub, bush)
		if err != nil {
			rt.Fatal(err)
		}
		after, err := BoreAfter(delta, d, outer, bore, hub, bush)
		if err != nil || math.Abs(float64(after+closing-bore)) > 1e-12 {
			rt.Fatal("bore after is not bore less closing", err)
		}
		more, err := BoreClosing(2*delta, d, outer, bore, hub, bush)
		if err != nil || math.Abs(float64(more-2*closing)) > 1e-9*float64(closing) {
			rt.Fatal("closing is not proportional to interference", err)
		}
		hs, err1 := HubStress(p, d, outer)
		bs, err2 := BushingStress(p, d, bore)
		if err1 != nil || err2 != nil {
			if p >= leastPressure && p <= mostPressure {
				rt.Fatal(err1, err2)
			}
			return
		}
		h, _ := material.Named(hub)
		b, _ := material.Named(bush)
		// Hooke's law at the interface and at the bore, radial stress −p and 0.
		hubGrows := float64(d) * (float64(hs) + float64(h.Poisson*quantity.Number(p))) / float64(h.Modulus)
		outside := float64(bs) - float64(p) // compressive hoop stress at the bushing's outside
		bushShrinks := float64(d) * (outside - float64(b.Poisson*quantity.Number(p))) / float64(b.Modulus)
		if math.Abs(hubGrows+bushShrinks-float64(delta)) > 1e-9*float64(delta) {
			rt.Fatalf("the surfaces do not meet: %g + %g is not %g", hubGrows, bushShrinks, float64(delta))
		}
		if math.Abs(float64(closing)-float64(bore)*float64(bs)/float64(b.Modulus)) > 1e-9*float64(closing) {
			rt.Fatal("the bore does not close by its hoop strain")
		}
	})
}

// TestThinBushingInRigidHub: a thin bushing in a housing that hardly gives
// closes in by nearly the whole interference.
func TestThinBushingInRigidHub(t *testing.T) {
	got, err := BoreClosing(0.00004, 0.05, 0.5, 0.047, "silicon carbide", "carbon graphite")
	if err != nil || got < 0.9*0.00004 || got > 1.06*0.00004 {
		t.Errorf("closing %v m, %v; want about 0.04 mm", got, err)
	}
}

// A bushing is crushed before or after its bore is: the part of its strength that it
// uses is the hoop stress over the strength, and grows as its wall thins.
func TestStrengthUsed(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		name := anyMaterial.Draw(rt, "material")
		p := quantity.Pressure(rapid.Float64Range(1e5, 2e8).Draw(rt, "pressure"))
		d := quantity.Length(rapid.Float64Range(0.01, 0.3).Draw(rt, "diameter"))
		bore := d * quantity.Length(rapid.Float64Range(0.2, 0.95).Draw(rt, "bore"))
		outer := d * quantity.Length(rapid.Float64Range(1.1, 4).Draw(rt, "outer"))
		tension, err7 := Tension(name)
		crushing, err4 := Crushing(name)
		use, err := BushingUse(p, d, bore, crushing)
		wider, err2 := BushingUse(p, d, bore*1.01, crushing)
		stress, err3 := BushingStress(p, d, bore)
		hub, err5 := HubUse(p, d, outer, tension)
		thicker, err6 := HubUse(p, d, outer*1.01, tension)
		for _, err := range []error{err, err2, err3, err4, err5, err6, err7} {
			if err != nil {
				rt.Fatal(err)
			}
		}
		if math.Abs(float64(use)*float64(crushing)/float64(stress)-1) > 1e-12 || wider <= use {
			rt.Fatalf("the bushing uses %v of its strength, with a thinner wall %v", use, wider)
		}
		// From outside inward no stress in the hub is greater than p (do²+d²)/(do²−d²) + p, Lamé.
		o2, d2 := float64(outer)*float64(outer), float64(d)*float64(d)
		if want := float64(p) * 2 * o2 / (o2 - d2) / float64(tension); math.Abs(float64(hub)/want-1) > 1e-9 || thicker >= hub {
			rt.Fatalf("the hub uses %v of its strength, want %v; with a thicker wall %v", hub, want, thicker)
		}
	})
}

// A carbon bushing in an iron or steel hub loses its grip as it warms, a bronze one
// holds the tighter; what heat takes, cold gives back.
// Source: makers of carbon bushings say to add to the interference of hot ones (seen).
func TestInterferenceWhenHot(t *testing.T) {
	const cold, hot = 293.15, 433.15
	for _, c := range []struct {
		bushing string
		tighter bool
	}{{"carbon graphite", false}, {"silicon carbide", false}, {"bronze", true}} {
		got, err := HotInterference(50e-6, 0.05, "steel", c.bushing, cold, hot)
		if err != nil || got > 50e-6 != c.tighter {
			t.Errorf("%s: %v m, %v", c.bushing, got, err)
		}
		back, err := HotInterference(got, 0.05, "steel", c.bushing, hot, cold)
		if err != nil || math.Abs(float64(back)-50e-6) > 1e-15 {
			t.Errorf("%s comes back as %v m, %v", c.bushing, back, err)
		}
	}
	// 7.2 µm/(m·K) less than steel, over 50 mm and 140 K, is 50 µm.
	if got, err := HotInterference(50e-6, 0.05, "steel", "carbon graphite", cold, hot); err != nil || math.Abs(float64(got)+0.4e-6) > 1e-9 {
		t.Errorf("carbon graphite keeps %v m, want −0.4 µm, %v", got, err)
	}
	for _, c := range []struct{ d, at quantity.Length }{{0, 293}, {0.05, 500}, {0.05, 200}, {0.05, quantity.Length(math.NaN())}} {
		if _, err := HotInterference(1e-6, c.d, "steel", "bronze", 293.15, quantity.Temperature(c.at)); err == nil {
			t.Errorf("diameter %v and temperature %v are accepted", c.d, c.at)
		}
	}
}

// The bore before pressing is what BoreAfter turns into the wanted one.
func TestBoreBeforeAndAfter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := length(0.01, 0.2).Draw(rt, "d")
		after := d * length(0.2, 0.95).Draw(rt, "after/d")
		outer := d * length(1.1, 4).Draw(rt, "outer/d")
		delta := d * length(1e-5, 0.002).Draw(rt, "delta/d")
		hub, bush := anyMaterial.Draw(rt, "hub"), anyMaterial.Draw(rt, "bush")
		bore, err := BoreBefore(after, delta, d, outer, hub, bush)
		if err != nil {
			rt.Fatal(err)
		}
		back, err := BoreAfter(delta, d, outer, bore, hub, bush)
		if err != nil || math.Abs(float64(back-after)) > 1e-12 || bore <= after {
			rt.Fatalf("%v before gives %v after, want %v (%v)", bore, back, after, err)
		}
	})
}

// TestSleeveInPlasticEquilibrium integrates the equilibrium of a sleeve that has
// yielded right through, dσr/dr = (σt − σr)/r with σr − σt = 2k = 2R/√3, from its free
// bore to its outside: the pressure there is the most that it holds.
func TestSleeveInPlasticEquilibrium(t *testing.T) {
	for _, ratio := range []float64{1.02, 1.25, 2, 4} {
		const bore, strength, steps = 0.04, 125e6, 20000
		pressure, r, dr := 0.0, bore, bore*(ratio-1)/steps
		for range steps {
			pressure += 2 * strength / math.Sqrt(3) / (r + dr/2) * dr
			r += dr
		}
		got, err := SleevePressure(9e8, quantity.Length(bore*ratio), bore, strength)
		if err != nil || math.Abs(float64(got)/pressure-1) > 1e-6 {
			t.Errorf("ratio %g: %v Pa, %v; by integration %g", ratio, got, err, pressure)
		}
		// It holds more than the pressure at which its bore begins to yield.
		if use, err := BushingUse(got, quantity.Length(bore*ratio), bore, strength); err != nil || use <= 1 {
			t.Errorf("ratio %g: uses %v of its strength, %v", ratio, use, err)
		}
	}
	for _, bad := range []quantity.Pressure{0, -1, quantity.Pressure(math.NaN()), 1e12} {
		if p, err := SleevePressure(bad, 0.05, 0.04, 125e6); err == nil {
			t.Errorf("an elastic pressure of %v gives %v", bad, p)
		}
		if p, err := SleevePressure(2e7, 0.05, 0.04, bad); err == nil {
			t.Errorf("a strength of %v gives %v", bad, p)
		}
	}
}

func TestPressureIsMonotonic(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := length(0.01, 0.2).Draw(rt, "d")
		ratio := length(1.1, 4).Draw(rt, "outer/d")
		a, err := FitPressure(d/1000, d, d*ratio, 0, "cast iron", "steel")
		b, err2 := FitPressure(d/1000, d, d*ratio*1.05, 0, "cast iron", "steel")
		c, err3 := FitPressure(d/1000, d, d*ratio, d/2, "cast iron", "steel")
		if err != nil || err2 != nil || err3 != nil {
			rt.Fatal(err, err2, err3)
		}
		if b <= a || c >= a {
			rt.Fatal("a thicker hub should press more, a hollow shaft less")
		}
	})
}

func TestHeatAndCool(t *testing.T) {
	hot, err := HeatTemperature(0.000059, 0.00005, 0.05, "steel", 293.15)
	if err != nil || math.Abs(float64(hot)-273.15-206.3) > 0.2 {
		t.Errorf("got %v, %v; 0.109 mm on 50 mm at 11.7e-6 is 186.3 K", hot, err)
	}
	cold, err := CoolTemperature(0.00002, 0.00002, 0.05, "steel", 293.15)
	if err != nil || math.Abs(float64(cold)-293.15+68.4) > 0.1 {
		t.Errorf("got %v, %v; 0.04 mm on 50 mm at 11.7e-6 is 68.4 K", cold, err)
	}
	if got, err := CoolTemperature(0.00006, 0.00005, 0.05, "steel", 293.15); err == nil {
		t.Errorf("a shaft at %v K is allowed", got)
	}
	if s, err := MaterialSource("carbon graphite"); err != nil || s == "" {
		t.Error("no source for carbon graphite", err)
	}
}

func TestBadInputIsAnError(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1} {
		l, p, n, temp := quantity.Length(x), quantity.Pressure(x), quantity.Number(x), quantity.Temperature(x)
		for what, err := range map[string]error{
			"deviation":    second(DeviationLow("H7", l)),
			"limit low":    second(LimitLow("H7", l)),
			"limit high":   second(LimitHigh("H7", l)),
			"hole":         second(InterferenceLow(l, 0.05, 0.05, 0.05)),
			"shaft":        second(InterferenceHigh(0.05, 0.05, 0.05, l)),
			"interference": second(FitPressure(l, 0.05, 0.1, 0, "steel", "steel")),
			"diameter":     second(FitPressure(1e-5, l, 0.1, 0, "steel", "steel")),
			"outer":        second(FitPressure(1e-5, 0.05, l, 0, "steel", "steel")),
			"modulus":      second(InterfacePressure(1e-5, 0.05, 0.1, 0, p, 0.3, 2e11, 0.3)),
			"force p":      second(PressForce(p, 0.05, 0.05, 0.1)),
			"force d":      second(PressForce(1e7, l, 0.05, 0.1)),
			"force L":      second(PressForce(1e7, 0.05, l, 0.1)),
			"force f":      second(PressForce(1e7, 0.05, 0.05, n)),
			"hub p":        second(HubStress(p, 0.05, 0.1)),
			"hub d":        second(HubStress(1e7, l, 0.1)),
			"bush p":       second(BushingStress(p, 0.05, 0.04)),
			"bush bore":    second(BushingStress(1e7, 0.05, l)),
			"closing bore": second(BoreClosing(1e-5, 0.05, 0.1, l, "steel", "bronze")),
			"before":       second(BoreBefore(l, 1e-5, 0.05, 0.1, "steel", "bronze")),
			"before δ":     second(BoreBefore(0.04, l, 0.05, 0.1, "steel", "bronze")),
			"after":        second(BoreAfter(l, 0.05, 0.1, 0.04, "steel", "bronze")),
			"heat d":       second(HeatTemperature(1e-5, 1e-5, l, "steel", 293)),
			"heat from":    second(HeatTemperature(1e-5, 1e-5, 0.05, "steel", temp)),
			"heat cap":     second(HeatTemperatureBelow(1e-5, 1e-5, 0.05, "steel", 293, temp)),
			"cool d":       second(CoolTemperature(1e-5, 1e-5, l, "steel", 293)),
			"rise α":       second(HeatRise(1e-5, 1e-5, 0.05, quantity.Expansion(x))),
		} {
			if err == nil {
				t.Errorf("%s accepts %g", what, x)
			}
		}
		if x != 0 && second(FitPressure(1e-5, 0.05, 0.1, l, "steel", "steel")) == nil {
			t.Errorf("the bore accepts %g", x)
		}
	}
	for what, err := range map[string]error{
		"hub inside shaft":   second(FitPressure(1e-5, 0.05, 0.05, 0, "steel", "steel")),
		"bore outside shaft": second(FitPressure(1e-5, 0.05, 0.1, 0.05, "steel", "steel")),
		"limits swapped":     second(InterferenceLow(0.051, 0.05, 0.05, 0.05)),
		"unknown hub":        second(FitPressure(1e-5, 0.05, 0.1, 0, "wood", "steel")),
		"unknown bushing":    second(BoreClosing(1e-5, 0.05, 0.1, 0.04, "steel", "wood")),
		"unknown heated":     second(HeatTemperature(1e-5, 1e-5, 0.05, "wood", 293)),
		"nothing to heat":    second(HeatRise(0, 0, 0.05, 1e-5)),
	} {
		if err == nil {
			t.Errorf("%s is accepted", what)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func FuzzParseClass(f *testing.F) {
	for _, s := range []string{"H7", "s6", "JS7", "k8", "P7"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		low, high, err := limits(name, 0.05)
		if err == nil && !(low < high && high-low <= 160 && low > -500 && high < 500) {
			t.Errorf("%q gives %g to %g µm", name, low, high)
		}
	})
}
