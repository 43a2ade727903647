package formula

import (
	"slices"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// A value says which limit it took; what the build decides is no limit.
func TestGoverned(t *testing.T) {
	scope := named{"a": Is(quantity.KindLength), "b": Is(quantity.KindLength), "built": {Sort: Text}}
	env := func(a, b float64) func(string) (Value, bool) {
		return func(name string) (Value, bool) {
			return map[string]Value{"a": {SI: a}, "b": {SI: b}, "built": {Text: "bronze"}}[name], true
		}
	}
	for _, c := range []struct {
		text string
		want []Governing
	}{
		{"max(a, b)", []Governing{{Taken: "b"}}},
		{"min(a, b)", []Governing{{Taken: "a"}}},
		{"2 * max(a, b) + q(\"1 mm\")", []Governing{{Taken: "b"}}},
		{"max(a, min(b, a))", []Governing{{Taken: "a"}}},
		{"max(a, min(b, 3 * a))", []Governing{{Taken: "min(b, 3 * a)"}, {Taken: "b"}}},
		{"a > b ? a : b", []Governing{{Taken: "b", When: "a > b"}}},
		{"not (a > b) ? a : b", []Governing{{Taken: "a", When: "not (a > b)", Yes: true}}},
		{`built == "bronze" ? a : b`, nil},
		{`guard_low(max(a, b), q("0.001 mm"))`, []Governing{{Taken: "b"}}},
		{"a + b", nil},
	} {
		f, problems := check(c.text, scope, diag.Pos{File: "t", Line: 1, Col: 1})
		if f == nil {
			t.Errorf("%s: %v", c.text, problems)
			continue
		}
		got, err := f.eval(env(0.1, 0.2))
		if err != nil || !slices.Equal(got.Governed, c.want) {
			t.Errorf("%s is governed by %v (%v), want %v", c.text, got.Governed, err, c.want)
		}
	}
}
