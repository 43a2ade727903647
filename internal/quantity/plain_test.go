package quantity

import (
	"fmt"
	"strings"
	"testing"
)

// An amount in a message prints in a unit that suits its size, and without an exponent
// where people write none.
func TestPlainAmounts(t *testing.T) {
	for _, c := range []struct {
		si   float64
		kind Kind
		want string
	}{
		{0, KindNumber, "0"}, {1.23456789, KindNumber, "1.234568"}, {0.00123456789, KindNumber, "0.123457 %"}, {0.000123456789, KindNumber, "0.000123457"}, {-0.000123456789, KindNumber, "−0.000123457"}, {1e-7, KindNumber, "1e−07"},
		{9999999, KindNumber, "9999999"}, {10000000, KindNumber, "1e+07"}, {123456789, KindNumber, "1.23457e+08"}, {-123456789, KindNumber, "−1.23457e+08"}, {-17.5, KindNumber, "−17.5"},
		{0.0001, KindLength, "0.1 mm"}, {0.00009, KindLength, "90 µm"}, {9.99, KindLength, "9990 mm"}, {10, KindLength, "1000 cm"}, {200, KindLength, "200 m"}, {0, KindLength, "0 mm"}, {-0.00009, KindLength, "−90 µm"},
		{273.15, KindTemperature, "0 °C"}, {0.15, KindTemperature, "−273 °C"}, {1e5, KindTemperature, "99726.85 °C"},
	} {
		if got := strings.ReplaceAll(plain(c.si, c.kind), "\u00a0", " "); got != c.want {
			t.Errorf("%v %s is %q, want %q", c.si, c.kind, got, c.want)
		}
	}
	for n, want := range map[float64]bool{0: true, 0.1: true, 0.0999: false, 9999: true, 10000: false, -0.1: true, -10000: false} {
		if readable(n) != want {
			t.Errorf("%v: %v", n, !want)
		}
	}
}

// Figures need no exponent within what records can hold.
func TestFiguresWithoutExponent(t *testing.T) {
	for _, c := range []struct {
		n       float64
		figures int
		want    string
	}{
		{1234567, 3, "1230000"}, {0.0000123456, 3, "0.0000123"}, {-1234567, 3, "-1230000"}, {12.5, 7, "12.5"}, {0, 3, "0"}, {1e20, 3, "100000000000000000000"}, {2e21, 3, "2e+21"}, {2e-15, 3, "0.000000000000002"}, {2e-16, 3, "2e-16"}, {-2e21, 3, "-2e+21"},
	} {
		if got := Figures(c.n, c.figures); got != c.want {
			t.Errorf("%v to %d figures is %s, want %s", c.n, c.figures, got, c.want)
		}
	}
}

// Numbers and fractions as people write them, and what only resembles one.
func TestNumbersAsWritten(t *testing.T) {
	for text, want := range map[string]string{
		"1 1/2": "1.5 ''", "1-1/2": "1.5 ''", "-1 1/2": "-1.5 ''", "−3/8": "-0.375 ''", "+3/8 in": "0.375 ' in'", "3/8in": "0.375 'in'", "1 1/2 in": "1.5 ' in'",
		"1 2/2": "1 ' 2/2'", "1 3/2": "1 ' 3/2'", "1 1/0": "1 ' 1/0'", "1.5 1/2": "1.5 ' 1/2'", "1 1.5/2": "1 ' 1.5/2'", "1 1/2.5": "1 ' 1/2.5'", "3/8.5": "3 '/8.5'", "3.5/8": "3.5 '/8'", "1 x": "1 ' x'", "1 2": "1 ' 2'",
		"1e3": "1000 ''", "1E-3 m": "0.001 ' m'", "1e+2": "100 ''", "1e": "1 'e'", "1e+": "1 'e+'", "1ex": "1 'ex'", "5 e3": "5 ' e3'", ".5": "0.5 ''", "5.": "5 ''", "1.2.3": "1.2 '.3'", "1..2": "1 '..2'", "  7": "7 ''",
		"": "?", "-": "?", "x": "?", "1,5": "?", "3/0": "?", ".": "?", "1e999": "?", "--1": "?", "−−1": "?", "e3": "?", "1000000/2": "1e+06 '/2'", "999999/3": "333333 ''", "1/1000000": "1 '/1000000'",
	} {
		n, rest, err := parseNumber(text)
		got := fmt.Sprintf("%v '%s'", n, rest)
		if err != nil {
			got = "?"
		}
		if got != want {
			t.Errorf("%q is %s (%v), want %s", text, got, err, want)
		}
	}
}

// A unit in one system, and what it is printed as in the other.
func TestUnitsAndTheirPeers(t *testing.T) {
	for _, c := range []struct {
		unit string
		kind Kind
		us   bool
		want string
	}{
		{"mm", KindLength, true, "in"}, {"mm", KindLength, false, "mm"}, {"in", KindLength, false, "mm"}, {"in", KindLength, true, "in"}, {"cm", KindLength, true, "in"}, {"ft", KindLength, false, "m"}, {"hp", KindPower, false, "kW"}, {"kW", KindPower, true, "hp"}, {"rpm", KindSpeed, true, "rpm"}, {"rpm", KindSpeed, false, "rpm"},
	} {
		u, ok := UnitNamed(c.unit, c.kind)
		if !ok {
			t.Fatal(c.unit)
		}
		s := Metric
		if c.us {
			s = US
		}
		if got := u.In(s); got.Symbol != c.want {
			t.Errorf("%s in the other system is %s, want %s", c.unit, got.Symbol, c.want)
		}
	}
}
