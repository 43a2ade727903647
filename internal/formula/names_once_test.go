package formula

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// lengths is a scope in which every name of one letter is a length.
type lengths struct{}

func (lengths) Type(name string) (Type, bool) { return Is(quantity.KindLength), len(name) == 1 }
func (lengths) Names() []string               { return []string{"a", "b", "c"} }

// A formula has each of its names once, in order, however often it is mentioned, and
// asks for them by that order.
func TestNamesOnce(t *testing.T) {
	for text, want := range map[string]string{"a": "a", "a + a": "a", "c + b + a + b": "a b c", "b > a ? b : c": "a b c", "1 + 1": "", "a < b < c": "a b c"} {
		f, problems := Parse(text, diag.Pos{File: "f", Line: 1, Col: 1}).Check(lengths{})
		if f == nil {
			t.Fatal(text, problems)
		}
		if got := strings.Join(f.Names(), " "); got != want {
			t.Errorf("%s names %q, want %q", text, got, want)
		}
		got, err := f.Eval(func(i int) (Value, bool) { return Value{SI: float64(i + 1)}, true })
		if err != nil || len(got.Missing) > 0 {
			t.Errorf("%s: %v, missing %v", text, err, got.Missing)
		}
		if v := map[string]float64{"a": 1, "a + a": 2, "c + b + a + b": 8, "b > a ? b : c": 2, "1 + 1": 2}[text]; v != 0 && got.Value.SI != v {
			t.Errorf("%s is %v, want %v", text, got.Value.SI, v)
		}
	}
}

// The place of a name is that of its first rune, on whichever line of the expression.
func TestPlacesOfNames(t *testing.T) {
	var got []string
	for _, n := range Parse("µ + a\n  * b[\"x\"].y\n+ none(c)", diag.Pos{File: "f", Line: 7, Col: 5}).Names() {
		got = append(got, fmt.Sprintf("%s %d:%d", n.Name, n.At.Line, n.At.Col))
	}
	if want := "µ 7:5; a 7:9; b.x.y 8:9; c.none 9:12"; strings.Join(got, "; ") != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if p := Parse("a + b", diag.Pos{}).Names()[1].At; p != (diag.Pos{}) {
		t.Errorf("a name of no file is at %v", p)
	}
}

// What is only a name, and what does arithmetic of its own.
func TestBareAndComputing(t *testing.T) {
	for text, want := range map[string][2]bool{
		"a": {true, false}, "a.b": {true, false}, `a["b"]`: {true, false}, "a + b": {false, true}, "-a": {false, false}, "3": {false, true}, "3.5": {false, true}, "min(a, b)": {false, false}, "min(a * 2, b)": {false, true}, "a > b": {false, false},
		"a ? b : c": {false, false}, "a ? b / 2 : c": {false, true}, `"x"`: {false, false}, "a +": {false, false}, "a[0]": {false, false}, "a ** 2": {false, true}, "a - b": {false, true}, "not a": {false, false},
	} {
		e := Parse(text, diag.Pos{File: "f", Line: 1, Col: 1})
		if e.Bare() != want[0] || e.Computes() != want[1] || e.Readable() != (text != "a +") {
			t.Errorf("%s: bare %t, computes %t, readable %t", text, e.Bare(), e.Computes(), e.Readable())
		}
	}
}

// How long and how involved an expression may be.
func TestHowInvolved(t *testing.T) {
	check := func(text string) string {
		_, problems := Parse(text, diag.Pos{File: "f", Line: 1, Col: 1}).Check(lengths{})
		if len(problems) == 0 {
			return ""
		}
		return problems[0].Message
	}
	for text, want := range map[string]string{
		"a" + strings.Repeat(" ", longest-1): "", "a" + strings.Repeat(" ", longest): "longer than 2000",
		"a" + strings.Repeat("+a", 999): "", // 1,999 nodes
		"":                              "found nothing", "  ": "found nothing", "\xff": "not text", "a +": "ends too early", "a b": `found "b" where it cannot stand`, "1e999": "too large", "a = b": "where it cannot stand",
	} {
		if got := check(text); (got == "") != (want == "") || !strings.Contains(got, want) {
			t.Errorf("%.20q of %d: %q, want %q", text, len(text), got, want)
		}
	}
	for text, want := range map[string]string{"5 mm": `write a constant with its unit as q("5 mm")`, "a * 2.5bar": `write a constant with its unit as q("2.5 bar")`, "a = b": "compare with ==", "a ≤ b": "write <=", "a × b": "write *", "a − b": "write -", "a b": "write it as"} {
		_, problems := Parse(text, diag.Pos{File: "f", Line: 1, Col: 1}).Check(lengths{})
		if len(problems) != 1 || !strings.HasPrefix(problems[0].Hint, want) {
			t.Errorf("%s: %v", text, problems)
		}
	}
}

// The root of a square has the unit that was squared, of whatever it was; what is no
// square has none.
func TestRoots(t *testing.T) {
	for unit, kind := range map[string]quantity.Kind{"m": quantity.KindLength, "kg": quantity.KindMass, "s": quantity.KindTime, "K": quantity.KindTemperatureDifference, "rad": quantity.KindAngle} {
		f, problems := Parse(`sqrt(q("4 `+unit+`") * q("9 `+unit+`"))`, diag.Pos{File: "f", Line: 1, Col: 1}).Check(lengths{})
		if f == nil {
			t.Errorf("%s: %v", unit, problems)
			continue
		}
		got, err := f.Eval(nil)
		if want, _ := quantity.Parse("6 "+unit, kind); err != nil || f.Type().Quantity != kind.Type() || math.Abs(got.Value.SI-want.SI()) > 1e-12 {
			t.Errorf("%s: %v %s, %v", unit, got.Value.SI, f.Type(), err)
		}
		if _, problems := Parse(`sqrt(q("4 `+unit+`"))`, diag.Pos{File: "f", Line: 1, Col: 1}).Check(lengths{}); len(problems) != 1 || !strings.Contains(problems[0].Message, "has no square root with a unit") {
			t.Errorf("%s: %v", unit, problems)
		}
	}
}

// A function may come to a text or to a yes, as well as to a quantity.
func TestWhatFunctionsComeTo(t *testing.T) {
	for text, want := range map[string]func(Value) bool{
		`material_source("steel")`:                        func(v Value) bool { return v.Text != "" && v.SI == 0 },
		"corrosive_ph(14)":                                func(v Value) bool { return v.Yes },
		"corrosive_ph(7)":                                 func(v Value) bool { return !v.Yes },
		`arc_travel(q("0.1 mm"), q("140 mm"), q("2 mm"))`: func(v Value) bool { return math.Abs(v.SI-0.0219911) < 1e-6 },
	} {
		f, problems := Parse(text, diag.Pos{File: "f", Line: 1, Col: 1}).Check(lengths{})
		if f == nil {
			t.Errorf("%s: %v", text, problems)
			continue
		}
		if got, err := f.Eval(nil); err != nil || !want(got.Value) {
			t.Errorf("%s: %+v, %v", text, got.Value, err)
		}
	}
}

// words is a scope of terms that are one of some words.
type words map[string][]string

func (w words) Type(name string) (Type, bool) {
	of, ok := w[name]
	return Type{Sort: Text, OneOf: of}, ok
}
func (words) Names() []string { return nil }

// Two words that can never be the same are told at the one that is misspelt: the one
// that stands in the text, on whichever side, or else the second.
func TestWordsThatAreNeverTheSame(t *testing.T) {
	scope := words{"seal": {"component", "packing"}, "drive": {"belt", "gear"}}
	for text, want := range map[string]string{
		`seal == "componet"`: `1:9 "componet" can never be the other side, which is one of component, packing did you mean "component"?`,
		`"componet" == seal`: `1:1 "componet" can never be the other side, which is one of component, packing did you mean "component"?`,
		"seal == drive":      `1:9 "belt", "gear" can never be the other side, which is one of component, packing `,
		`"a" == "b"`:         `1:8 "b" can never be the other side, which is one of a did you mean "a"?`,
		`seal == "packing"`:  "", "seal == seal": "",
	} {
		_, problems := Parse(text, diag.Pos{File: "f", Line: 1, Col: 1}).Check(scope)
		got := ""
		for _, p := range problems {
			got += strings.TrimPrefix(p.Pos.String(), "f:") + " " + p.Message + " " + p.Hint
		}
		if got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}
