package quantity

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// gnu gives each of our units in the words of GNU Units, which is the outside
// judge of every factor. Points on a scale are asked for as functions.
var gnu = map[string]string{
	"": "1", "%": "percent", "thou": "mil", "mm²": "mm^2", "cm²": "cm^2", "m²": "m^2", "in²": "in^2", "ft²": "ft^2", "µm": "um", "µin": "microinch",
	"L": "liter", "mL": "milliliter", "cm³": "cm^3", "m³": "m^3", "gal": "gallon", "in³": "in^3", "h": "hour", "d": "day",
	"°": "degree", "rad": "radian", "turn": "revolution", "Δ°C": "degC", "Δ°F": "degF", "N·m": "N m", "kN·m": "kN m", "ft·lbf": "ft lbf", "in·lbf": "in lbf",
	"mm/m": "milliradian", "thou/in": "milliradian", "mL/min": "milliliter/minute", "mL/h": "milliliter/hour",
	"ksi": "1000 psi", "m³/h": "m^3/hour", "L/min": "liter/minute", "L/s": "liter/s", "gal/min": "gallon/minute",
	"rpm": "revolution/minute", "rad/s": "radian/s", "mPa·s": "mPa s", "Pa·s": "Pa s", "cP": "centipoise", "mm²/s": "mm^2/s", "cSt": "centistokes",
	"kg/m³": "kg/m^3", "g/cm³": "g/cm^3", "kg/L": "kg/liter", "lb/ft³": "lb/ft^3", "1/K": "1/K", "µm/(m·K)": "um/(m K)", "J/(kg·K)": "J/(kg K)",
	"kJ/(kg·K)": "kJ/(kg K)", "W/(m·K)": "W/(m K)", "W/(m²·K)": "W/(m^2 K)", "1/MPa": "1/MPa", "MPa·m/s": "MPa m/s", "Ω": "ohm", "kΩ": "kiloohm", "MΩ": "megaohm", "GΩ": "gigaohm", "mm/s": "mm/s", "in/s": "in/s", "psi·ft/min": "psi ft/minute",
}

// si gives the SI unit of a dimension in the words of GNU Units.
func si(t Type) string {
	d := t.Dim
	return fmt.Sprintf("m^%d kg^%d s^%d K^%d radian^%d A^%d", d.L, d.M, d.T, d.K, d.A, d.I)
}

func TestFactorsAgreeWithGNUUnits(t *testing.T) {
	var ask bytes.Buffer
	var asked []Unit
	for _, u := range units {
		name, ok := gnu[u.Symbol]
		if !ok {
			name = strings.TrimSuffix(strings.TrimSuffix(u.Symbol, "(g)"), "(a)")
		}
		if u.offset != 0 || u.Kind == KindTemperature {
			continue
		}
		fmt.Fprintf(&ask, "%s\n%s\n", name, si(u.Kind.Type()))
		asked = append(asked, u)
	}
	cmd := exec.Command("units", "-t", "-d", "17")
	cmd.Stdin = &ask
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("GNU Units did not run (testdata/install-tools installs it): %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != len(asked) {
		t.Fatalf("asked for %d units, %d answers:\n%s", len(asked), len(lines), out)
	}
	for i, u := range asked {
		want, err := strconv.ParseFloat(strings.TrimSpace(lines[i]), 64)
		if err != nil {
			t.Errorf("%s (%s): GNU Units says %q", u.Symbol, u.Kind, lines[i])
			continue
		}
		if math.Abs(u.Factor-want) > 1e-13*want {
			t.Errorf("%s: factor %.17g, GNU Units %.17g", u.Symbol, u.Factor, want)
		}
	}
}

func TestTemperaturesAgreeWithGNUUnits(t *testing.T) {
	for _, c := range []struct {
		text string
		ask  string
	}{{"140 degF", "tempF(140)"}, {"-40 degF", "tempF(-40)"}, {"100 degC", "tempC(100)"}, {"73.4 °F", "tempF(73.4)"}, {"300 K", "300 K"}} {
		out, err := exec.Command("units", "-t", "-d", "15", c.ask, "K").Output()
		if err != nil {
			t.Fatal(err)
		}
		want, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
		if err != nil {
			t.Fatal(err)
		}
		v, err := Parse(c.text, KindTemperature)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(v.SI()-want) > 1e-9 {
			t.Errorf("%s: %.12g K, GNU Units %.12g K", c.text, v.SI(), want)
		}
	}
}

func TestEveryUnitHasAPeerThatPointsBack(t *testing.T) {
	for _, u := range units {
		if u.peer == "" {
			continue
		}
		p, ok := unitOf(u.peer, u.Kind)
		if !ok {
			t.Errorf("%s (%s): no unit %q of that kind stands beside it", u.Symbol, u.Kind, u.peer)
		} else if p.system == u.system {
			t.Errorf("%s: its peer %s is of the same system", u.Symbol, p.Symbol)
		}
	}
	for s := range preferred {
		for k, sym := range preferred[s] {
			if _, ok := unitOf(sym, k); !ok {
				t.Errorf("preferred unit %q of %s is not a unit", sym, k)
			}
		}
	}
}

func TestParseTakesWhatPeopleWrite(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		want float64
	}{
		{"3 thou", KindLength, 76.2e-6}, {"0.003 in", KindLength, 76.2e-6}, {"1/64 in", KindLength, 0.0254 / 64}, {"1 1/2 in", KindLength, 0.0381},
		{"1-1/2\"", KindLength, 0.0381}, {"40µm", KindLength, 40e-6}, {"40 um", KindLength, 40e-6}, {"85 N.m", KindTorque, 85}, {"85 Nm", KindTorque, 85},
		{"85 N·m", KindTorque, 85}, {"63 ft.lbf", KindTorque, 63 * 1.3558179483314004}, {"63 lbf.ft", KindTorque, 63 * 1.3558179483314004},
		{"6 bar", KindGaugePressure, 6e5}, {"6 barg", KindGaugePressure, 6e5}, {"15 psig", KindGaugePressure, 15 * 6894.757293168361},
		{"1.01325 bar(a)", KindAbsolutePressure, 101325}, {"-0.3 bar", KindGaugePressure, -3e4}, {"280 rpm", KindSpeed, 280 * 2 * math.Pi / 60},
		{"9 m3/h", KindFlow, 0.0025}, {"0.75", KindNumber, 0.75}, {"75 %", KindNumber, 0.75}, {"5 K", KindTemperatureDifference, 5},
		{"9 delta degF", KindTemperatureDifference, 5}, {"11.7 um/(m.K)", KindExpansion, 11.7e-6}, {"460 J/(kg.K)", KindSpecificHeat, 460}, {"2e-3 m", KindLength, 0.002},
	} {
		v, err := Parse(c.text, c.kind)
		if err != nil {
			t.Errorf("%q as %s: %v", c.text, c.kind, err)
			continue
		}
		if math.Abs(v.SI()-c.want) > 1e-12*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%q as %s: %v, want %v", c.text, c.kind, v.SI(), c.want)
		}
		if v.Type() != c.kind.Type() {
			t.Errorf("%q: type %s, want %s", c.text, v.Type(), c.kind)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		want string
	}{
		{"", KindLength, "found nothing"}, {"0.08", KindLength, "no unit"}, {"0,08 mm", KindLength, "comma"}, {"6 bar", KindLength, "measures a pressure"},
		{"85 N.m", KindForce, "measures a torque"}, {"1.0 bar(a)", KindGaugePressure, "measures an absolute pressure"}, {"NaN mm", KindLength, "does not start with a number"},
		{"inf mm", KindLength, "does not start with a number"}, {"1e999 mm", KindLength, "does not start with a number"}, {"1e300 mm", KindLength, "too large"},
		{"-300 degC", KindTemperature, "below absolute zero"}, {"3/0 in", KindLength, "divides by zero"}, {"3 parsec", KindLength, "not a unit"},
		{"5 degC", KindTemperatureDifference, "measures a temperature"}, {"-2 bar(a)", KindAbsolutePressure, "below vacuum"}, {"3 4 mm", KindLength, "not a unit"},
	} {
		v, err := Parse(c.text, c.kind)
		if err == nil {
			t.Errorf("%q as %s: taken as %v", c.text, c.kind, v.SI())
		} else if !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q as %s: %q, want it to say %q", c.text, c.kind, err, c.want)
		}
	}
	for _, text := range []string{"45..40 N.m", "40..40 N.m", "40 N.m", "40..45", "40 mm..45 N.m"} {
		if b, err := ParseBand(text, KindTorque); err == nil {
			t.Errorf("band %q taken as %v", text, b)
		}
	}
}

func TestRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit")
		n := rapid.Float64Range(-1e6, 1e6).Draw(t, "n")
		v := FromUnit(n, u)
		if got := v.In(u); math.Abs(got-n) > 1e-9*math.Max(1, math.Abs(n)+math.Abs(u.offset)) {
			t.Fatalf("%v %s comes back as %v", n, u.Symbol, got)
		}
		text := strconv.FormatFloat(math.Abs(n), 'g', -1, 64) + " " + ASCII(u.Symbol)
		p, err := Parse(text, u.Kind)
		if err != nil {
			if strings.Contains(err.Error(), "too large") {
				return
			}
			t.Fatalf("%q: %v", text, err)
		}
		if want := FromUnit(math.Abs(n), u); p.SI() != want.SI() {
			t.Fatalf("%q: %v, want %v", text, p.SI(), want.SI())
		}
	})
}

func TestRoundingNeverWidensABand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom([]Kind{KindLength, KindTorque, KindTemperature, KindGaugePressure, KindMass}).Draw(t, "kind")
		show := ShowFor(k)
		g := show.Grain[rapid.IntRange(0, 1).Draw(t, "system")]
		lo := rapid.Float64Range(0.001, 500).Draw(t, "low")
		hi := lo + rapid.Float64Range(0, 50).Draw(t, "width")
		l, h := Of(lo, k), Of(hi, k)
		r, ok := g.inward(Band{&l, &h})
		if !ok {
			return
		}
		eps := 2 * math.Max(g.Step*g.Unit.Factor*tolerance, hi*binary)
		if r.Low.SI() < lo-eps || r.High.SI() > hi+eps {
			t.Fatalf("%v..%v became %v..%v at %v %s", lo, hi, r.Low.SI(), r.High.SI(), g.Step, g.Unit.Symbol)
		}
		if r.Low.SI() > r.High.SI()+eps {
			t.Fatalf("a closed band was called open: %v..%v", r.Low.SI(), r.High.SI())
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"0.08 mm", "1 1/2 in", "40..45 N.m", "−5 °C", "1e-3 m", "3/8\"", "nearest 0.5 mm or 1/64 in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for k := range kindCount {
			if v, err := Parse(s, k); err == nil && (math.IsNaN(v.SI()) || math.Abs(v.SI()) > Largest) {
				t.Fatalf("%q: %v", s, v.SI())
			}
			if b, err := ParseBand(s, k); err == nil && b.Low.SI() >= b.High.SI() {
				t.Fatalf("%q: swapped", s)
			}
		}
		if sh, err := ParseShow(s); err == nil {
			v := Of(1, sh.Grain[0].Unit.Kind)
			_ = sh.Text(v, Systems{Both: true}, ",")
		}
	})
}
