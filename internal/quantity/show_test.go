package quantity

import (
	"strings"
	"testing"
)

func TestShowPrintsBothSystems(t *testing.T) {
	for _, c := range []struct {
		text, show string
		kind       Kind
		first      System
		want       string
	}{
		{"0.75 in", "nearest 0.5 mm or 1/64 in", KindLength, US, "3/4 in (19.0 mm)"},
		{"9.5 mm", "nearest 0.5 mm or 1/64 in", KindLength, Metric, "9.5 mm (3/8 in)"},
		{"63 ft.lbf", "nearest 1 N.m or 1 ft.lbf", KindTorque, Metric, "85 N·m (63 ft·lbf)"},
		{"60 degC", "nearest 1 degC", KindTemperature, Metric, "60 °C (140 °F)"},
		{"280 rpm", "nearest 1 rpm", KindSpeed, US, "280 rpm"},
		{"6 bar", "nearest 0.1 bar(g)", KindGaugePressure, Metric, "6.0 bar(g) (87 psi(g))"},
		{"1 1/2 in", "nearest 1/64 in", KindLength, US, "1 1/2 in (38.0 mm)"},
	} {
		v, err := Parse(c.text, c.kind)
		if err != nil {
			t.Fatalf("%s: %v", c.text, err)
		}
		s, err := ParseShow(c.show)
		if err != nil {
			t.Fatalf("%s: %v", c.show, err)
		}
		got := s.Text(v, Systems{First: c.first, Both: true}, ".")
		if want := nbsp(c.want); got != want {
			t.Errorf("%s as %q: got %q, want %q", c.text, c.show, got, want)
		}
	}
}

// nbsp puts the no-break spaces where the printed form has them: before a unit.
func nbsp(s string) string {
	r := []rune(s)
	for i := 1; i+1 < len(r); i++ {
		if r[i] == ' ' && r[i+1] != '(' && !(r[i+1] >= '0' && r[i+1] <= '9') {
			r[i] = '\u00a0'
		}
	}
	return string(r)
}

func TestFigures(t *testing.T) {
	for _, c := range []struct {
		n    float64
		want string
	}{
		{0.00007879707123, "0.00007879707"}, {-0.00007879707123, "-0.00007879707"}, {206e9, "206000000000"}, {2.061234567e11, "206123500000"},
		{12.5, "12.5"}, {0, "0"}, {1234567.8, "1234568"}, {1e300, "1e+300"}, {1e-300, "1e-300"},
	} {
		if got := Figures(c.n, 7); got != c.want {
			t.Errorf("%g: %s, want %s", c.n, got, c.want)
		}
	}
}

// A fault is told at the rune where it stands in the whole text.
func TestParseShowTellsThePlace(t *testing.T) {
	for text, want := range map[string]int{"nearest 0.5 mmm": 12, "0.01 mm or 0.0005 inn": 18, "down  3 µmm or 1 in": 8} {
		_, err := ParseShow(text)
		if pe, ok := err.(*ParseError); !ok || pe.Offset != want {
			t.Errorf("%q: %+v, want the offset %d", text, err, want)
		}
	}
}

// The two grains of a show are of about one size.
func TestGrainsApart(t *testing.T) {
	for text, fits := range map[string]bool{
		"nearest 0.5 mm or 1/64 in": true, "0.01 mm or 0.0005 in": true, "0.1 mm or 1/64 in": true, "0.09 mm or 1/64 in": false,
		"nearest 500 mm or 1/16 in": false, "1.6 mm or 1/64 in": false, "1.5 mm or 1/64 in": true, "nearest 500 mm": true, "1 degC or 2 degF": true, "1 degC or 9 degF": false,
	} {
		if _, err := ParseShow(text); (err == nil) != fits {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// A grain is too coarse where it is more than a fifth of the value and rounding
// costs more than a tenth.
func TestTooCoarse(t *testing.T) {
	for _, c := range []struct {
		text, show string
		kind       Kind
		want       bool
	}{
		{"23.7 mm", "nearest 500 mm", KindLength, true},
		{"23.7 mm", "nearest 0.5 mm or 1/64 in", KindLength, false},
		{"0.01 mm", "nearest 0.01 mm", KindLength, false}, // a whole grain, and 0.0004 in is 0.0102 mm
		{"0.01 mm", "nearest 0.01 mm or 0.0001 in", KindLength, false},
		{"1.8 kg", "up 0.5 kg or 1 lb", KindMass, true}, // 2.0 kg
		{"1.9 kg", "up 0.5 kg or 1 lb", KindMass, true}, // 2.0 kg, but 5 lb is 2.27 kg
		{"1.9 kg", "up 0.5 kg or 0.5 lb", KindMass, false},
		{"30 mm", "nearest 10 mm or 1/2 in", KindLength, true}, // 1 in is 25.4 mm
		{"30 mm", "nearest 10 mm or 1/4 in", KindLength, false},
		{"-2.4 mm", "nearest 1 mm", KindLength, true},
		{"-6 mm", "nearest 1 mm", KindLength, false},
		{"0 mm", "nearest 1 mm", KindLength, false},
		{"1 degC", "nearest 5 degC", KindTemperature, false},
	} {
		v, err := Parse(c.text, c.kind)
		if err != nil {
			t.Fatal(err)
		}
		s, err := ParseShow(c.show)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.TooCoarse(v, Systems{Both: true}); got != c.want {
			t.Errorf("%s as %q: %v", c.text, c.show, got)
		}
	}
}

// A step below a millionth has its decimals too: 11.7e-6 1/K is not 0 1/K.
func TestFineSteps(t *testing.T) {
	for show, want := range map[string]string{
		"0.0000001 1/K": "0.0000117 1/K", "0.0000005 1/K": "0.0000115 1/K", "1e-9 1/K": "0.000011700 1/K", "1e-12 1/K": "0.000011700000 1/K",
	} {
		s, err := ParseShow(show)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Text(Of(11.7e-6, KindExpansion), Systems{Both: true}, "."); got != strings.Replace(want, " ", "\u00a0", 1) {
			t.Errorf("%s: %s, want %s", show, got, want)
		}
	}
}
