package quantity

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write how the units print into testdata; read the diff")

// How a number prints in each unit where nothing else is asked for, and what then
// stands in brackets.
func TestHowUnitsPrint(t *testing.T) {
	var b strings.Builder
	for _, u := range units {
		g := Grain{Unit: u, Step: math.Pow10(-u.places)}
		peer := u.In(u.system.Other())
		p := Grain{Unit: peer, Step: math.Pow10(-peer.places)}
		v := FromUnit(12.3456789, u)
		text := g.Text(v, Nearest, ".")
		if peer.Symbol != u.Symbol {
			text += " (" + p.Text(v, Nearest, ".") + ")"
		}
		fmt.Fprintf(&b, "%s, %s: %s\n", u.Kind, u.system, text)
	}
	for k := range kindCount {
		s := ShowFor(k)
		fmt.Fprintf(&b, "%s: %s, %s\n", k, s.Grain[Metric].Text(Of(7, k), Nearest, "."), s.Grain[US].Text(Of(7, k), Nearest, "."))
	}
	const file = "testdata/units.txt"
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("got\n%s", b.String())
	}
}

func TestNumbersOnThePage(t *testing.T) {
	for _, c := range []struct {
		text    string
		kind    Kind
		grain   string
		way     Way
		decimal string
		want    string
	}{
		{"-0.3 mm", KindLength, "0.1 mm", Nearest, ".", "−0.3 mm"},
		{"-0.04 mm", KindLength, "0.1 mm", Nearest, ".", "0.0 mm"}, // no minus before zero
		{"-0.04 mm", KindLength, "0.1 mm", Down, ".", "−0.1 mm"},
		{"-0.04 mm", KindLength, "0.1 mm", Up, ".", "0.0 mm"},
		{"-10 mm", KindLength, "10 mm", Nearest, ".", "−10 mm"},
		{"1234.5 mm", KindLength, "0.5 mm", Nearest, ",", "1234,5 mm"},
		{"1234.5 mm", KindLength, "0.5 mm", Nearest, "", "1234.5 mm"},
		{"0.25 in", KindLength, "1/64 in", Nearest, ".", "1/4 in"},
		{"-0.25 in", KindLength, "1/64 in", Nearest, ".", "−1/4 in"},
		{"-1.5 in", KindLength, "1/64 in", Nearest, ".", "−1 1/2 in"},
		{"0 in", KindLength, "1/64 in", Nearest, ".", "0 in"},
		{"-2 in", KindLength, "1/64 in", Nearest, ".", "−2 in"},
		{"1 63/64 in", KindLength, "1/64 in", Nearest, ".", "1 63/64 in"},
		{"1/128 in", KindLength, "1/128 in", Nearest, ".", "1/128 in"},
		{"0.004 in", KindLength, "1/256 in", Up, ".", "0.00781250 in"}, // no rule is marked so: decimals
		{"0.5 in", KindLength, "1/3 in", Down, ".", "0.333333333 in"},
		{"12.34 deg", KindAngle, "0.5 deg", Up, ".", "12.5°"},
		{"12.3 deg", KindAngle, "1 turn", Down, ".", "0 turn"},
		{"3.7", KindNumber, "1", Up, ".", "4"},
		{"1e9 mm", KindLength, "0.001 mm", Up, ".", "1000000000.000 mm"},
	} {
		g, err := parseGrain(c.grain)
		if err != nil {
			t.Fatalf("%s: %v", c.grain, err)
		}
		if got := strings.ReplaceAll(g.Text(must(t, c.text, c.kind), c.way, c.decimal), "\u00a0", " "); got != c.want {
			t.Errorf("%s to %s: %s, want %s", c.text, c.grain, got, c.want)
		}
	}
	for text, want := range map[string]string{"0 mm": "above zero", "-1 mm": "above zero", "1 parsec": "not a unit", "": "found nothing", "0 degC": "above zero"} {
		if _, err := parseGrain(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("a grain of %q: %v", text, err)
		}
	}
}

func TestBandsOnThePage(t *testing.T) {
	words := [3]string{"to", "at least", "at most"}
	for _, c := range []struct {
		low, high, grain, want string
		ok                     bool
	}{
		{"0.081 mm", "0.119 mm", "0.01 mm", "0.09 to 0.11 mm", true},
		{"0.081 mm", "", "0.01 mm", "at least 0.09 mm", true},
		{"", "0.119 mm", "0.01 mm", "at most 0.11 mm", true},
		{"", "", "0.01 mm", "", false},
		{"0.08 mm", "0.08 mm", "0.01 mm", "0.08 to 0.08 mm", true},
		{"0.081 mm", "0.089 mm", "0.01 mm", "0.09 to 0.08 mm", false},
		{"0.081 mm", "0.095 mm", "0.01 mm", "0.09 to 0.09 mm", true},
	} {
		g, err := parseGrain(c.grain)
		if err != nil {
			t.Fatal(err)
		}
		var b Band
		if c.low != "" {
			v := must(t, c.low, KindLength)
			b.Low = &v
		}
		if c.high != "" {
			v := must(t, c.high, KindLength)
			b.High = &v
		}
		got, ok := g.BandText(b, ".", words)
		if got = strings.ReplaceAll(got, "\u00a0", " "); got != c.want || ok != c.ok {
			t.Errorf("%s to %s: %q %v, want %q %v", c.low, c.high, got, ok, c.want, c.ok)
		}
	}
}

// Values for working and messages are said as they were written.
func TestPlain(t *testing.T) {
	for want, v := range map[string]Value{
		"3 thou": must(t, "3 thou", KindLength), "60 °C": must(t, "60 degC", KindTemperature), "0.08 mm": Of(8e-5, KindLength), "12.34568 mm": Of(0.012345678, KindLength),
		"7 m^4": OfType(7, Type{Dim: Dim{L: 4}}), "−3 K": Of(-3, KindTemperatureDifference), "26.85 °C": Of(300, KindTemperature), "0.00001234568 mm": Of(1.2345678e-8, KindLength),
	} {
		if got := strings.ReplaceAll(strings.ReplaceAll(v.Plain(), "\u00a0", " "), "-", "−"); strings.ReplaceAll(got, "^−", "^-") != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

func TestParseShowRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"0.01 mm or 0.02 mm": "two grains in one unit system", "0.01 mm or 1 lb": "mixes a length with a mass", "1 degC or 1 delta degF": "mixes a temperature with",
		"nearest": "does not start with a number", "up 0 mm": "above zero", "": "found nothing",
	} {
		if s, err := ParseShow(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v", text, s, err)
		}
	}
	for text, want := range map[string]Way{"nearest 1 mm": Nearest, "down 1 mm": Down, " up  1 mm": Up, "1 mm": Nearest} {
		if s, err := ParseShow(text); err != nil || s.Way != want || s.Grain[Metric].Step < 0.9999 || s.Grain[Metric].Step > 1.0001 {
			t.Errorf("%q: %v, %v", text, s, err)
		}
	}
}
