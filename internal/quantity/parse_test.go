package quantity

import (
	"math"
	"strings"
	"testing"
)

func TestNumbersAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]float64{
		"3/8 in": 0.375, "1 1/2 in": 1.5, "1-1/2 in": 1.5, "-3/8 in": -0.375, "-1 1/2 in": -1.5, "−1 1/2 in": -1.5, "+2 in": 2, "  2 in": 2, "2in": 2, ".5 in": 0.5, "2. in": 2,
		"1e1 in": 10, "1E1 in": 10, "1e+1 in": 10, "1e-1 in": 0.1, "1.5e01 in": 15, "9/8 in": 1.125, "999999/1000000 in": math.NaN(), "0/8 in": 0, "1 0/2 in": 1, "12 in": 12, "90 in": 90,
		"1 9/8 in": math.NaN(), "1 2/2 in": math.NaN(), "1.5 1/2 in": math.NaN(), "1 1/0 in": math.NaN(), "1/2.5 in": math.NaN(), "1.5/2 in": math.NaN(), "1.2.3 in": math.NaN(),
		"1e in": math.NaN(), "e1 in": math.NaN(), ". in": math.NaN(), "--1 in": math.NaN(), "1 .5/2 in": math.NaN(), "1/2/3 in": math.NaN(), "5//8 in": math.NaN(), "1 in in": math.NaN(),
	} {
		v, err := Parse(text, KindLength)
		switch got := v.SI() / 0.0254; {
		case math.IsNaN(want) && err == nil:
			t.Errorf("%q is taken as %g in", text, got)
		case !math.IsNaN(want) && (err != nil || math.Abs(got-want) > 1e-12):
			t.Errorf("%q: %g, %v, want %g", text, got, err, want)
		}
	}
}

// A fault of a quantity is told at the rune where it stands, with a hint.
func TestParseTellsThePlace(t *testing.T) {
	for _, c := range []struct {
		text   string
		kind   Kind
		offset int
	}{
		{"3 parsec", KindLength, 2}, {" µ3 mm", KindLength, 0}, {"12  bar", KindLength, 4}, {"3", KindTorque, 1},
		{"3 mm", KindArea, 2}, {"x", KindConductivity, 0}, {"1e14 m", KindLength, 0},
	} {
		_, err := Parse(c.text, c.kind)
		pe, ok := err.(*ParseError)
		if !ok || pe.Offset != c.offset || pe.Hint == "" {
			t.Errorf("%q: %+v", c.text, err)
		}
	}
	for text, want := range map[string]int{"40..45 parsec": 7, "µ..45 N.m": 0, "40 mm..45 N.m": 3, "40..x": 4} {
		_, err := ParseBand(text, KindTorque)
		if pe, ok := err.(*ParseError); !ok || pe.Offset != want {
			t.Errorf("%q: %+v, want the offset %d", text, err, want)
		}
	}
	long := strings.Repeat("9 ", 30) + "mm"
	if _, err := ParseBand(long, KindLength); err == nil || !strings.Contains(err.Error(), "…") || len([]rune(err.Error())) > 60 {
		t.Errorf("a long text is not cut for the message: %v", err)
	}
	whole := strings.Repeat("9", 40)
	if _, err := ParseBand(whole, KindLength); err == nil || strings.Contains(err.Error(), "…") {
		t.Errorf("40 characters are cut: %v", err)
	}
}

func TestBands(t *testing.T) {
	for text, want := range map[string][2]float64{"40..45 N.m": {40, 45}, "40 N.m..45 N.m": {40, 45}, " 40 .. 45 N.m": {40, 45}, "-1..1 N.m": {-1, 1}, "4 kN.m..5000 N.m": {4000, 5000}, "1/2..3/4 N.m": {0.5, 0.75}} {
		b, err := ParseBand(text, KindTorque)
		if err != nil || math.Abs(b.Low.SI()-want[0]) > 1e-9 || math.Abs(b.High.SI()-want[1]) > 1e-9 {
			t.Errorf("%q: %v, %v", text, b, err)
		}
	}
}

// Every example that a hint gives is one that is taken.
func TestExamplesAreTaken(t *testing.T) {
	for k := range kindCount {
		for _, text := range strings.Split(Example(k), " or ") {
			if _, err := Parse(text, k); err != nil {
				t.Errorf("%s: the example %q: %v", k, text, err)
			}
		}
	}
}

func TestEndsOfWhatIsTaken(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		ok   bool
	}{
		{"1e13 m", KindLength, true}, {"1.01e13 m", KindLength, false}, {"-1e13 m", KindLength, true}, {"-1.01e13 m", KindLength, false},
		{"-273.15 degC", KindTemperature, true}, {"-273.16 degC", KindTemperature, false}, {"0 bar(a)", KindAbsolutePressure, true}, {"-0.01 bar(a)", KindAbsolutePressure, false},
		{"-0.01 mm", KindLength, true}, {"-5 K", KindTemperatureDifference, true}, {"-0.9 bar", KindGaugePressure, true},
	} {
		if _, err := Parse(c.text, c.kind); (err == nil) != c.ok {
			t.Errorf("%s as %s: %v", c.text, c.kind, err)
		}
	}
	// A plain pressure is one above the surrounding air where a gauge is meant, and prints so.
	if v := must(t, "6 bar", KindGaugePressure); v.Plain() != "6\u00a0bar(g)" || v.Type() != KindGaugePressure.Type() {
		t.Errorf("%s", v.Plain())
	}
	if v := must(t, "6 mbar", KindGaugePressure); v.Plain() != "6\u00a0mbar" || v.Type() != KindGaugePressure.Type() {
		t.Errorf("%s of %s", v.Plain(), v.Type())
	}
}

func TestParseAnyByItsUnit(t *testing.T) {
	for text, want := range map[string]Kind{
		"5 K": KindTemperatureDifference, "5 degC": KindTemperature, "6 bar": KindPressure, "6 bar(g)": KindGaugePressure, "3 thou": KindLength, "7": KindNumber, "12 L/min": KindFlow, "2 cP": KindDynamicViscosity,
	} {
		if v, err := ParseAny(text); err != nil || v.Type() != want.Type() {
			t.Errorf("%s is a %s, %v, not a %s", text, v.Type(), err, want)
		}
	}
	for _, text := range []string{"5 parsec", "mm", ""} {
		if v, err := ParseAny(text); err == nil {
			t.Errorf("%q is taken as %v", text, v)
		}
	}
	for name, want := range map[string]bool{"mm": true, "kg": false, "": false, "inch": true, "MM": false} {
		if _, ok := UnitNamed(name, KindLength); ok != want {
			t.Errorf("%q as a unit of length: %v", name, ok)
		}
	}
}
