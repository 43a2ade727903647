package formula

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
)

// named is a scope as the tests write it.
type named map[string]Type

func (s named) Type(name string) (Type, bool) { t, ok := s[name]; return t, ok }
func (s named) Names() []string               { return slices.Collect(maps.Keys(s)) }

func check(text string, s named, at diag.Pos) (*Formula, diag.List) { return Parse(text, at).Check(s) }

// outcome is a Result with its missing names spelt out.
type outcome struct {
	Value    Value
	Missing  []string
	Governed []Governing
	Figures  []Figure
}

// eval evaluates a formula from values by name.
func (f *Formula) eval(env func(name string) (Value, bool)) (outcome, error) {
	r, err := f.Eval(func(i int) (Value, bool) { return env(f.names[i]) })
	out := outcome{Value: r.Value, Governed: r.Governed, Figures: r.Figures}
	for _, i := range r.Missing {
		out.Missing = append(out.Missing, f.names[i])
	}
	return out, err
}

// TestScan finds the names of expressions, sound in their meaning or not: what is
// quoted or called is none, and a text that cannot be read has none.
func TestScan(t *testing.T) {
	for text, want := range map[string]string{
		"a + b.c*joint.load":              "a b.c joint.load",
		`torque(nut_factor("dry"), t, x)`: "t x",
		`a == "b.c" and 'd' != e`:         "a e",
		`built.seal == "component"`:       "built.seal",
		`joints["head"].torque.low`:       "joints.head.torque.low",
		`joints.head["torque"]`:           "joints.head.torque",
		`q("1 mm\" x") / 1e3 + x2`:        "x2",
		`a ? b : c`:                       "a b c",
		`not a and -b > c ** 2`:           "a b c",
		`a in [b, "c"]`:                   "a b",
		`min(a, len(b))`:                  "a b",
		`known(a.b) or none(c.d)`:         "a.b c.d.none",
		`a < b < c`:                       "a b c",
		`a + a`:                           "a a",
		`f(a).b + c`:                      "a c",
		`a[b].c`:                          "a b",
		`"a`:                              "",
		`a +`:                             "",
		"":                                "",
	} {
		e := Parse(text, at)
		var got []string
		for _, n := range e.Names() {
			got = append(got, n.Name)
		}
		if strings.Join(got, " ") != want || e.Readable() != (want != "") {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
	n := Parse("a +\n  b", diag.Pos{File: "f", Line: 3, Col: 7}).Names()
	if len(n) != 2 || n[1].At != (diag.Pos{File: "f", Line: 4, Col: 9}) {
		t.Error(n)
	}
}

// TestBareAndComputes holds what an expression says of itself before it is checked.
func TestBareAndComputes(t *testing.T) {
	for text, want := range map[string][2]bool{
		"gap":                               {true, false},
		`joints["head"].torque`:             {true, false},
		"12":                                {false, true},
		"1.5":                               {false, true},
		"gap * 2":                           {false, true},
		"hot ? gap - width : gap":           {false, true},
		"max(gap, x ** 2)":                  {false, true},
		`built.seal == "a/b - c" ? gap : x`: {false, false},
		`torque(x, "1/2-13", load)`:         {false, false},
		`gap < width and hot`:               {false, false},
		"gap +":                             {false, false},
	} {
		e := Parse(text, at)
		if e.Bare() != want[0] || e.Computes() != want[1] {
			t.Errorf("%s: bare %v, computes %v", text, e.Bare(), e.Computes())
		}
	}
}
