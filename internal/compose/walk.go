package compose

import (
	"cmp"
	"maps"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
)

// everythingElse compiles the conditions and figures' numbers and checks every
// name that stands in a text, a table or a blank.
func (k *compiler) everythingElse() {
	p, scope := k.pl.proc, k.scopes[single]
	compile := func(e *procedure.Expr) *formula.Formula {
		f, list := formula.Compile(e.Text, scope, e.At)
		k.problems = append(k.problems, list...)
		if f != nil {
			k.pl.forms[e.At] = f
		}
		return f
	}
	p.Conditions(func(e *procedure.Expr) {
		if f := compile(e); f != nil && f.Type().Sort != formula.YesNo {
			k.problems.Errorf(e.At, "condition", `compare it, such as built.seal == "component"`, "a condition is yes or no; this is %s", f.Type())
		}
	})
	p.Figures(func(f *procedure.Figure) {
		for i := range f.Numbers {
			if n := compile(&f.Numbers[i].Is); n != nil && n.Type().Sort != formula.Quantity {
				k.problems.Errorf(f.Numbers[i].Is.At, "dimension", "", "the figure's %s is a number; this is %s", f.Numbers[i].Key, n.Type())
			}
		}
	})
	p.Texts(func(t procedure.Text) {
		for _, part := range t.Parts {
			if part.Name != "" {
				k.name(part.Name, part.At)
			}
		}
	})
	p.Refs(func(r *procedure.Ref) { k.name(r.Name, r.At) })
}

// name checks that a name in a text or a table is there.
func (k *compiler) name(n string, at diag.Pos) {
	if v := k.valueNamed(n); v != nil {
		if _, _, rest := split(n); v.group == single || rest != "" {
			return
		}
	}
	scope := k.scopes[single]
	if _, ok := scope[n]; ok || k.c.book.Terms[n] != nil { // a term that is a band is not in the scope, and prints whole
		return
	}
	hint := cmp.Or(diag.DidYouMean(n, slices.Sorted(maps.Keys(scope))), "name a term, a value of this procedure, or a word such as unit.id")
	k.problems.Errorf(at, "unknown-name", hint, "nothing is named %s", n)
}
