package formula

import (
	"fmt"
	"reflect"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// A value says what it took from the program's tables, by the names that it looked up;
// a side that was not chosen takes nothing.
func TestFigures(t *testing.T) {
	scope := named{"oil": {Sort: Text}, "f": Is(quantity.KindForce)}
	env := func(name string) (Value, bool) {
		return map[string]Value{"oil": {Text: "oiled"}, "f": {SI: 20000}}[name], true
	}
	for text, want := range map[string]string{
		`torque(nut_factor(oil), "M12", f)`:                  "K[oiled]=0.18 d[M12]=0.012 ",
		`f > q("10 kN") ? nut_factor(oil) : scatter("feel")`: "K[oiled]=0.18 ",
		`2 * expansion("steel")`:                             "α[steel]=1.17e-05 ",
		`preload("M12", "8.8", 0.65)`:                        "As[M12]=8.427e-05 Sp[8.8 M12]=5.8e+08 ",
		`weight_limit(q("40 cm"), q("50 cm"), q("50 cm"), q("0 °"), 0.2, q("1 h"), "fair")`: "FM[]=1 CM[fair]=0.95 ",
		`f * 2`: "",
	} {
		f, problems := check(text, scope, diag.Pos{File: "t", Line: 1, Col: 1})
		if f == nil {
			t.Errorf("%s: %v", text, problems)
			continue
		}
		got, err := f.eval(env)
		said := ""
		for _, fig := range got.Figures {
			said += fmt.Sprintf("%s%v=%.4g ", fig.Function.Symbol, fig.Of, fig.SI)
		}
		if err != nil || said != want {
			t.Errorf("%s: %s (%v), want %s", text, said, err, want)
		}
	}
}

// What a function says that it looks up is a function with a symbol, called with
// arguments of its own.
func TestTables(t *testing.T) {
	for _, f := range table {
		for i, l := range looksUp(f) {
			if l.f.Symbol == "" || len(l.args) != len(l.f.Args) {
				t.Errorf("%s: what it looks up, %q, is not a function of a table", f.Name, f.Tables)
			}
			for _, a := range l.args {
				if a < 0 {
					t.Errorf("%s: figure %d is looked up by what it does not take", f.Name, i)
				}
			}
			kind, ok := quantity.KindOfGo(reflect.TypeOf(l.f.Call).Out(0))
			if _, named := quantity.UnitNamed(l.f.Unit, kind); !ok || !named {
				t.Errorf("%s has no unit %q", l.f.Name, l.f.Unit)
			}
		}
	}
}
