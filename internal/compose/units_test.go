package compose_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// siOf gives the SI amount of one of a printed unit, and of its zero. By definition
// of the units, apart from the program; a test of quantity holds these to GNU Units.
var siOf = map[string][2]float64{
	"": {1}, "%": {0.01}, "mm": {1e-3}, "µm": {1e-6}, "m": {1}, "in": {0.0254}, "µin": {0.0254e-6}, "ft": {0.3048}, "°": {math.Pi / 180},
	"mm²/s": {1e-6}, "cSt": {1e-6}, "mPa·s": {1e-3}, "cP": {1e-3}, "L": {1e-3}, "gal": {231 * 0.0254 * 0.0254 * 0.0254},
	"m³/h": {1. / 3600}, "L/min": {1e-3 / 60}, "mL/min": {1e-6 / 60}, "gal/min": {231 * 0.0254 * 0.0254 * 0.0254 / 60}, "kg": {1}, "lb": {0.45359237}, "g": {1e-3}, "oz": {0.45359237 / 16},
	"h": {3600}, "rpm": {math.Pi / 30}, "bar": {1e5}, "bar(g)": {1e5}, "MPa": {1e6}, "psi": {4.4482216152605 / (0.0254 * 0.0254)}, "psi(g)": {4.4482216152605 / (0.0254 * 0.0254)},
	"N": {1}, "kN": {1e3}, "lbf": {4.4482216152605}, "N·m": {1}, "ft·lbf": {4.4482216152605 * 0.3048}, "in·lbf": {4.4482216152605 * 0.0254},
	"kW": {1e3}, "hp": {550 * 4.4482216152605 * 0.3048}, "mm/m": {1e-3}, "thou/in": {1e-3}, "m/s": {1}, "ft/s": {0.3048}, "MPa·m/s": {1e6}, "psi·ft/min": {4.4482216152605 / (0.0254 * 0.0254) * 0.3048 / 60},
	"°C": {1, 273.15}, "°F": {5. / 9, 459.67 * 5 / 9}, "mm a year": {1e-3 / (365.25 * 86400)}, "in a year": {0.0254 / (365.25 * 86400)},
}

// reading is what a printed text says: one amount, or the ends of a band.
type reading struct {
	low, high, one *float64 // SI
	grain          float64  // at most, SI
	unit           string
}

var (
	amounts  = regexp.MustCompile(`^(?:(at least|at most) )?(−?[0-9][0-9 ./]*?)(?: to (−?[0-9][0-9 ./]*?))?\x{a0}?(\pL.*|%|°.*)?$`)
	brackets = regexp.MustCompile(`^(.*?) \((.*)\)( a year)?$`)
)

// readings takes a printed text apart: what it says in one unit system, and in the
// other.
func readings(text string) ([]reading, error) {
	var out []reading
	for _, part := range strings.Split(text, "; ") {
		pieces := []string{part}
		if m := brackets.FindStringSubmatch(part); m != nil {
			pieces = []string{m[1] + m[3], m[2] + m[3]}
		}
		for _, p := range pieces {
			m := amounts.FindStringSubmatch(p)
			if m == nil {
				return nil, fmt.Errorf("%q is no amount", p)
			}
			unit := strings.TrimSpace(m[4])
			si, ok := siOf[unit]
			if !ok {
				return nil, fmt.Errorf("%q has an unknown unit %q", p, unit)
			}
			r := reading{unit: unit}
			value := func(s string) *float64 {
				x, grain := plainNumber(s)
				r.grain = max(r.grain, grain*si[0])
				return new(x*si[0] + si[1])
			}
			switch {
			case m[3] != "":
				r.low, r.high = value(m[2]), value(m[3])
			case m[1] == "at least":
				r.low = value(m[2])
			case m[1] == "at most":
				r.high = value(m[2])
			default:
				r.one = value(m[2])
			}
			out = append(out, r)
		}
	}
	return out, nil
}

// plainNumber reads "0.0040", "55/64", "1 17/64" and "62000", and gives at most how
// coarsely it was rounded.
func plainNumber(s string) (x, grain float64) {
	s = strings.Replace(s, "−", "-", 1)
	whole, fraction, mixed := strings.Cut(s, " ")
	if !mixed && strings.Contains(s, "/") {
		whole, fraction = "0", s
	}
	x, _ = strconv.ParseFloat(whole, 64)
	if fraction != "" {
		top, under, _ := strings.Cut(fraction, "/")
		a, _ := strconv.ParseFloat(top, 64)
		b, _ := strconv.ParseFloat(under, 64)
		if b <= 16 { // it may be rounded to the nearest sixteenth, as a tape reads
			return x + a/b, 1. / 32
		}
		return x + a/b, 1. / 64
	}
	if _, decimals, ok := strings.Cut(whole, "."); ok {
		return x, 5 * math.Pow10(-len(decimals))
	}
	return x, math.Pow10(len(whole) - len(strings.TrimRight(whole, "0")))
}

// misprinted gives what is wrong with how the numbers of a packet are printed: a band
// that rounding widened, an end or a value that is off by more than its grain.
func misprinted(p *packet.Packet) (faults []string, looked int) {
	for _, e := range p.Working {
		if e.Printed == "" || e.SI == nil && e.Low == nil && e.High == nil || strings.HasPrefix(e.Printed, "as worked out at ") {
			continue
		}
		fault := func(format string, args ...any) {
			faults = append(faults, e.Name+" "+fmt.Sprintf(format, args...)+", printed "+e.Printed)
		}
		parts, err := readings(e.Printed)
		if err != nil {
			fault("cannot be read back: %v", err)
			continue
		}
		near := func(what string, got, want *float64, r reading) {
			looked++
			if want == nil {
				fault("has no %s", what)
			} else if w := *want; math.Abs(*got-w) > r.grain*(1+1e-6) && math.Abs(*got-math.Abs(w)) > r.grain*(1+1e-6) {
				fault("is %g in %q, and %g exactly", *got, r.unit, w)
			}
		}
		for _, r := range parts {
			if r.one != nil {
				near("value", r.one, e.SI, r)
			}
			// A part in ten million of a grain is the error of binary arithmetic.
			if r.low != nil {
				if near("lower limit", r.low, e.Low, r); e.Low != nil && *r.low < *e.Low-r.grain*1e-6 {
					fault("is widened below %g", *e.Low)
				}
			}
			if r.high != nil {
				if near("upper limit", r.high, e.High, r); e.High != nil && *r.high > *e.High+r.grain*1e-6 {
					fault("is widened above %g", *e.High)
				}
			}
		}
	}
	return faults, looked
}

// TestPrintedAgrees reads every number of every demo packet back, in both unit
// systems, and holds it to the exact one: no band is widened, and nothing is off by
// more than its rounding. The packet of the same job in the other system first has
// the same exact numbers and the same texts, the other way round.
func TestPrintedAgrees(t *testing.T) {
	for name, alone := range map[string]string{"soapworks": "units: metric", "candleworks-us": "units: us"} {
		own := open(t, demo(t, name, edit{"site.yaml", alone, "units: both"}))
		swapped := open(t, demo(t, name, edit{"site.yaml", alone, "units: us and metric"}))
		for _, j := range own.jobs() {
			a := own.packet(t, j.Unit.S, j.Procedure.S)
			b := swapped.packet(t, j.Unit.S, j.Procedure.S)
			for _, p := range []*packet.Packet{a, b} {
				faults, looked := misprinted(p)
				for _, f := range faults {
					t.Errorf("%s, %s first: %s", j.ID, p.System, f)
				}
				if looked < 30 { // a regreasing has few
					t.Errorf("%s: %d numbers read back only", j.ID, looked)
				}
			}
			inB := entries(b)
			for _, e := range a.Working {
				f, ok := inB[e.Name]
				if !ok || !sameAmount(e.SI, f.SI) || !sameAmount(e.Low, f.Low) || !sameAmount(e.High, f.High) {
					t.Errorf("%s: %s is %s in one system and %s in the other", j.ID, e.Name, e.Exactly, f.Exactly)
				}
				if x, y := pieces(e.Printed), pieces(f.Printed); !slices.Equal(x, y) {
					t.Errorf("%s: %s prints %q in one system and %q in the other", j.ID, e.Name, x, y)
				}
			}
		}
	}
}

func sameAmount(x, y *float64) bool { return (x == nil) == (y == nil) && (x == nil || *x == *y) }

// pieces are the texts of a printed number in both systems, sorted.
func pieces(text string) []string {
	var out []string
	for _, part := range strings.Split(text, "; ") {
		if m := brackets.FindStringSubmatch(part); m != nil {
			out = append(out, m[1], m[2])
		} else {
			out = append(out, part)
		}
	}
	slices.Sort(out)
	return out
}

// The reading back finds a band that is a little too wide and a number that is off.
func TestMisprintsAreFound(t *testing.T) {
	s := open(t, edited(t, os.DirFS(workedDir+"metric"), edit{"site.yaml", "units: metric", "units: both"}))
	for _, c := range []struct{ name, old, new string }{
		{"clearance_band", "0.09 to", "0.08 to"}, {"joints.head.torque", "to 71.0", "to 71.5"}, {"joints.head.torque", "52.5", "53.0"},
		{"travel", "24.0", "25.0"}, {"travel", "61/64", "7/8"}, {"touch", "51", "53"}, {"theoretical", "40.7", "42.7"},
	} {
		p := s.packet(t, "P-214", "rebuild-component-seal")
		i := slices.IndexFunc(p.Working, func(e packet.Entry) bool { return e.Name == c.name })
		e := &p.Working[i]
		if !strings.Contains(e.Printed, c.old) {
			t.Errorf("%s prints %q, without %q", c.name, e.Printed, c.old)
			continue
		}
		e.Printed = strings.Replace(e.Printed, c.old, c.new, 1)
		if faults, _ := misprinted(p); len(faults) == 0 {
			t.Errorf("%s printed %q is not found", c.name, e.Printed)
		}
	}
}
