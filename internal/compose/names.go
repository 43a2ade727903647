package compose

import (
	"cmp"
	"maps"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
)

// conditions compiles the conditions and the numbers of figures.
func (k *compiler) conditions() {
	p, scope := k.pl.proc, k.scopes[single]
	keep := func(e *procedure.Expr, f *formula.Formula, list diag.List) *formula.Formula {
		k.problems = append(k.problems, list...)
		if f != nil {
			k.pl.forms[e.At] = f
		}
		return f
	}
	p.Conditions(func(e *procedure.Expr) {
		f, list := condition(e.Text, scope, e.At)
		keep(e, f, list)
	})
	p.Figures(func(f *procedure.Figure) {
		for i := range f.Numbers {
			e := &f.Numbers[i].Is
			n, list := formula.Compile(e.Text, scope, e.At)
			if keep(e, n, list) != nil && n.Type().Sort != formula.Quantity {
				k.problems.Errorf(e.At, "dimension", "", "the figure's %s is a number; this is %s", f.Numbers[i].Key, n.Type())
			}
		}
	})
}

// names checks every name that stands in a text, a table or a blank.
func (k *compiler) names() {
	p := k.pl.proc
	p.Texts(func(t procedure.Text) {
		for _, part := range t.Parts {
			if part.Name != "" {
				k.name(part.Name, part.At)
			}
		}
	})
	p.Refs(func(r *procedure.Ref) { k.name(r.Name, r.At) })
}

// condition compiles a condition, which is yes or no.
func condition(text string, scope formula.Scope, at diag.Pos) (*formula.Formula, diag.List) {
	f, list := formula.Compile(text, scope, at)
	if f != nil && f.Type().Sort != formula.YesNo {
		list.Errorf(at, "condition", `compare it, such as built.seal == "component"`, "a condition is yes or no; this is %s", f.Type())
	}
	return f, list
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
