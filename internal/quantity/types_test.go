package quantity

import (
	"math"
	"strings"
	"testing"
)

// TestTypeArithmetic holds the types of sums, differences, products and quotients.
func TestTypeArithmetic(t *testing.T) {
	dim := func(l, m, s, k, a int8) Type { return Type{Dim: Dim{L: l, M: m, T: s, K: k, A: a}} }
	a, b := dim(1, 2, 3, 4, 5), dim(10, 20, 30, 40, 50)
	if got, err := a.Times(b); err != nil || got != dim(11, 22, 33, 44, 55) {
		t.Error(got, err)
	}
	if got, err := b.Over(a); err != nil || got != dim(9, 18, 27, 36, 45) {
		t.Error(got, err)
	}
	temp, rise, gauge, abs := KindTemperature.Type(), KindTemperatureDifference.Type(), KindGaugePressure.Type(), KindAbsolutePressure.Type()
	length, press := KindLength.Type(), KindPressure.Type()
	type op func(x, y Type) (Type, error)
	plus, minus, times, over := Type.Plus, Type.Minus, Type.Times, Type.Over
	for name, c := range map[string]struct {
		do   op
		x, y Type
		want *Type // nil: an error
	}{
		"length + length": {plus, length, length, &length}, "length + number": {plus, length, Type{}, nil},
		"temperature + rise": {plus, temp, rise, &temp}, "rise + temperature": {plus, rise, temp, &temp}, "temperature + temperature": {plus, temp, temp, nil},
		"gauge + pressure": {plus, gauge, press, &gauge}, "gauge + absolute": {plus, gauge, abs, nil},
		"temperature - temperature": {minus, temp, temp, &rise}, "temperature - rise": {minus, temp, rise, &temp}, "rise - temperature": {minus, rise, temp, nil},
		"gauge - gauge": {minus, gauge, gauge, &press}, "gauge - absolute": {minus, gauge, abs, nil}, "length - rise": {minus, length, rise, nil},
		"temperature * number": {times, temp, Type{}, nil}, "number * temperature": {times, Type{}, temp, nil}, "rise * number": {times, rise, Type{}, &rise},
		"temperature / number": {over, temp, Type{}, nil}, "number / gauge": {over, Type{}, gauge, nil}, "rise / number": {over, rise, Type{}, &rise},
	} {
		got, err := c.do(c.x, c.y)
		if (err == nil) != (c.want != nil) || c.want != nil && got != *c.want {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}

// TestBandText prints every form of a band, and tells one that rounding closes.
func TestBandText(t *testing.T) {
	words := [3]string{"to", "at least", "at most"}
	mm := func(text string) *Value {
		if text == "" {
			return nil
		}
		v, err := Parse(text, KindLength)
		if err != nil {
			t.Fatal(err)
		}
		return &v
	}
	for _, c := range []struct {
		grain, low, high, want string
		ok                     bool
	}{
		{"0.01 mm", "0.081 mm", "0.119 mm", "0.09 to 0.11 mm", true},
		{"0.01 mm", "0.08 mm", "", "at least 0.08 mm", true},
		{"0.01 mm", "", "0.129 mm", "at most 0.12 mm", true},
		{"0.01 mm", "", "", "", false},
		{"0.01 mm", "0.08 mm", "0.08 mm", "0.08 to 0.08 mm", true},
		{"0.01 mm", "0.081 mm", "0.089 mm", "0.09 to 0.08 mm", false},
		{"0.01 mm", "0.081 mm", "0.11 mm", "0.09 to 0.11 mm", true},
		{"1/64 in", "1/2 in", "33/64 in", "1/2 to 33/64 in", true},
	} {
		g, err := parseGrain(c.grain)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := g.BandText(Band{Low: mm(c.low), High: mm(c.high)}, ".", words)
		if strings.ReplaceAll(got, "\u00a0", " ") != c.want || ok != c.ok {
			t.Errorf("%s to %s in %s: %q, %v, want %q", c.low, c.high, c.grain, got, ok, c.want)
		}
	}
}

// TestParseGrain reads steps that are decimals and fractions.
func TestParseGrain(t *testing.T) {
	for text, den := range map[string]int{"1/64 in": 64, "1/2 in": 2, "0.5 mm": 0, "3/64 in": 0, "1/128 in": 128, "1/256 in": 0, "1/10 in": 0} {
		if g, err := parseGrain(text); err != nil || g.denominator != den {
			t.Errorf("%s: denominator %d, %v, want %d", text, g.denominator, err, den)
		}
	}
	for _, text := range []string{"0 mm", "-1 mm", "mm", "1 elephant"} {
		if _, err := parseGrain(text); err == nil {
			t.Errorf("%s passes for a resolution", text)
		}
	}
	for _, c := range []struct {
		n    float64
		want string
	}{{1e21, "1000000000000000000000"}, {2e21, "2e+21"}, {1e-15, "0.000000000000001"}, {5e-16, "5e-16"}, {-2e10, "-20000000000"}, {1234.5, "1234.5"}} {
		if got := Figures(c.n, 7); got != c.want {
			t.Errorf("Figures(%g) = %s, want %s", c.n, got, c.want)
		}
	}
}

// TestPressureIsGaugeInRecords reads a plain bar as a gauge pressure where one is
// wanted, and only there.
func TestPressureIsGaugeInRecords(t *testing.T) {
	v, err := Parse("6 bar", KindGaugePressure)
	if err != nil || v.Type() != KindGaugePressure.Type() || math.Abs(v.SI()-6e5) > 1e-6 {
		t.Error(v, err)
	}
	if u, _ := v.Written(); u.Symbol != "bar(g)" {
		t.Errorf("it is written in %s", u.Symbol)
	}
	v, err = Parse("6 bar", KindPressure)
	if u, _ := v.Written(); err != nil || v.Type() != KindPressure.Type() || u.Symbol != "bar" {
		t.Error(v, err, u.Symbol)
	}
	if v, err := Parse("6 bar(g)", KindGaugePressure); err != nil || v.Type() != KindGaugePressure.Type() {
		t.Error(v, err)
	}
}
