package formula

import (
	"fmt"
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
