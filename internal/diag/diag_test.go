package diag

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestProblemPrints(t *testing.T) {
	p := Problem{Pos: Pos{"units/a.yaml", 14, 11}, Severity: Error, Rule: "range", Message: "too hot", Hint: "look again", Related: []Pos{{File: "b.yaml", Line: 2}, {File: "c.yaml"}, {}}}
	want := "units/a.yaml:14:11: error: too hot [range]\n    hint: look again\n    see also: b.yaml:2\n    see also: c.yaml\n    see also: -"
	if got := p.String(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestSortedIsInOrderWithoutDoubles(t *testing.T) {
	var l List
	at := func(file string, line, col int) Pos { return Pos{file, line, col} }
	l.Warnf(at("b", 1, 1), "r", "", "w")
	l.Errorf(at("b", 1, 1), "r", "", "e")
	l.Errorf(at("a", 2, 1), "r", "", "x")
	l.Errorf(at("a", 1, 9), "r", "", "x")
	l.Errorf(at("a", 1, 9), "r", "other hint", "x")
	l.Errorf(at("a", 1, 10), "q", "", "x")
	var got []string
	for _, p := range l.Sorted() {
		got = append(got, fmt.Sprint(p.Pos, " ", p.Severity, " ", p.Rule))
	}
	if s := strings.Join(got, "; "); s != "a:1:9 error r; a:1:10 error q; a:2:1 error r; b:1:1 error r; b:1:1 warning r" {
		t.Error(s)
	}
	if len(l) != 6 || !l.HasErrors() || (List{l[0]}).HasErrors() {
		t.Error("the list itself was changed, or its weight is wrong")
	}
}

func TestHints(t *testing.T) {
	words := []string{"housing_face", "head", "end_clearance"}
	for word, want := range map[string]string{"housing_fase": "did you mean housing_face?", "HEAD": "did you mean head?", "head": "", "gasket": "", "": ""} {
		if got := DidYouMean(word, words); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
	if a, b := Some(words, 3), Some(words, 2); a != "housing_face, head, end_clearance" || b != "housing_face, head (and 1 more)" {
		t.Errorf("%q, %q", a, b)
	}
}

// Of many names a hint names one.
func TestOneOf(t *testing.T) {
	few := []string{"strip", "bolt-circle"}
	many := append([]string{"section", "tang", "trend", "head-off", "gears", "dial-indicator", "isolation"}, few...)
	for _, row := range []struct {
		word  string
		names []string
		want  string
	}{
		{"dial-clock", few, "there are: bolt-circle, strip"},
		{"dial-clock", many, "the nearest is dial-indicator"},
		{"valve gears", many, "the nearest is gears"},
		{"bolt-circel", many, "did you mean bolt-circle?"},
		{"dial-clock", nil, ""},
	} {
		if got := OneOf(row.word, row.names); got != row.want {
			t.Errorf("%s: %q, want %q", row.word, got, row.want)
		}
	}
}

// Distances are those of a metric.
func TestDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[abä]{0,8}`)
		a, b, c := word.Draw(t, "a"), word.Draw(t, "b"), word.Draw(t, "c")
		ab := distance(a, b)
		if (ab == 0) != (a == b) || ab != distance(b, a) || ab > distance(a, c)+distance(c, b) || ab > max(len([]rune(a)), len([]rune(b))) {
			t.Fatalf("%q to %q: %d", a, b, ab)
		}
	})
}

// A word that is a part of several names is meant as one of these, not as a name that
// has letters in common with it.
func TestDidYouMeanOneOfSeveral(t *testing.T) {
	names := []string{"outside micrometer", "inside micrometer", "tachometer", "micrometers"}
	if got := DidYouMean("Micrometer", names); got != "did you mean outside micrometer, inside micrometer?" {
		t.Error(got)
	}
	if got := DidYouMean("tachometr", names); got != "did you mean tachometer?" {
		t.Error(got)
	}
}

// An error is shown with its line and a caret under the place, of a long line what is
// around it, and nothing that would drive a terminal.
func TestBeside(t *testing.T) {
	long := strings.Repeat("x", 100) + "HERE" + strings.Repeat("y", 100)
	for _, c := range []struct {
		line string
		col  int
		want string
	}{
		{"units: metrc", 8, "\n    7 | units: metrc\n      |        ^"},
		{"a:\tb\x1b[31m", 4, "\n    7 | a: b [31m\n      |    ^"},
		{"short", 40, "\n    7 | short\n      |      ^"},
		{"", 3, ""}, {"unit: x", 0, ""},
		{long, 101, "\n    7 | …" + strings.Repeat("x", 35) + "HERE" + strings.Repeat("y", 31) + "…\n      | " + strings.Repeat(" ", 36) + "^"},
		{long, 204, "\n    7 | …" + strings.Repeat("y", 71) + "\n      | " + strings.Repeat(" ", 71) + "^"},
		{long, 1, "\n    7 | " + strings.Repeat("x", 71) + "…\n      | ^"},
	} {
		p := Problem{Pos: Pos{"u.yaml", 7, c.col}, Severity: Error, Rule: "r", Message: "m", Hint: "h"}
		got := p.Beside(c.line)
		if want := fmt.Sprintf("%s: error: m [r]%s\n    hint: h", p.Pos, c.want); got != want {
			t.Errorf("%q:%d:\n%s\nwant\n%s", c.line, c.col, got, want)
		}
	}
}
