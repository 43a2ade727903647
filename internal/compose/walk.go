package compose

import (
	"fmt"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
)

// eachExpr visits every condition and figure's number of the procedure, and the
// formulas of its values.
func (k *compiler) eachExpr(visit func(*procedure.Expr)) {
	p := k.pl.proc
	for _, list := range [][]procedure.Value{p.Values, p.EachJoint, p.EachFeature, p.EachAssembly} {
		for _, v := range list {
			for _, e := range []*procedure.Expr{v.Is, v.Low, v.High, v.Target} {
				if e != nil {
					visit(e)
				}
			}
		}
	}
	k.eachCondition(visit)
	k.eachFigure(func(f *procedure.Figure) {
		for i := range f.Numbers {
			visit(&f.Numbers[i].Is)
		}
	})
}

// eachCondition visits every condition of the procedure.
func (k *compiler) eachCondition(visit func(*procedure.Expr)) {
	p := k.pl.proc
	when := func(e *procedure.Expr) {
		if e != nil {
			visit(e)
		}
	}
	when(p.For)
	for _, list := range k.itemLists() {
		for i := range list {
			when(list[i].When)
		}
	}
	for i := range p.Cover.Hazards {
		when(p.Cover.Hazards[i].When)
	}
	for i := range p.Cover.Wear {
		when(p.Cover.Wear[i].When)
	}
	for i := range p.Numbers.Joints {
		when(p.Numbers.Joints[i].When)
	}
	for i := range p.Numbers.Table {
		when(p.Numbers.Table[i].When)
	}
	k.eachFigure(func(f *procedure.Figure) { when(f.When) })
	for i := range p.Stages {
		st := &p.Stages[i]
		for j := range st.When {
			visit(&st.When[j])
		}
		for j := range st.Steps {
			s := &st.Steps[j]
			when(s.When)
			for _, a := range s.Alerts {
				when(a.When)
			}
			for _, b := range s.Blanks {
				when(b.When)
			}
		}
	}
}

func (k *compiler) itemLists() [][]procedure.Item {
	p := k.pl.proc
	return [][]procedure.Item{p.Scope, p.Cover.Prove, p.Cover.Stop, p.Job.Tools, p.Job.Papers, p.Job.Parts}
}

// eachFigure visits every figure of the procedure.
func (k *compiler) eachFigure(visit func(*procedure.Figure)) {
	p := k.pl.proc
	for _, list := range [][]procedure.Figure{p.Job.Figures, p.Numbers.Figures, p.Wear.Figures} {
		for i := range list {
			visit(&list[i])
		}
	}
	for i := range p.Stages {
		for j := range p.Stages[i].Steps {
			figs := p.Stages[i].Steps[j].Figures
			for n := range figs {
				visit(&figs[n])
			}
		}
	}
}

// eachText visits every text of the procedure.
func (k *compiler) eachText(visit func(procedure.Text)) {
	p := k.pl.proc
	visit(p.Title)
	for _, list := range [][]procedure.Value{p.Values, p.EachJoint, p.EachFeature, p.EachAssembly} {
		for _, v := range list {
			visit(v.What)
		}
	}
	for _, list := range k.itemLists() {
		for _, it := range list {
			visit(it.Say)
		}
	}
	for _, a := range p.Cover.Hazards {
		visit(a.Say)
	}
	for _, s := range p.Cover.Wear {
		visit(s.Say)
	}
	for _, row := range p.Numbers.Table {
		visit(row.How)
	}
	k.eachFigure(func(f *procedure.Figure) {
		visit(f.Caption)
		for _, t := range f.Texts {
			visit(t.Say)
		}
	})
	for _, st := range p.Stages {
		visit(st.Title)
		for _, s := range st.Steps {
			visit(s.Do)
			for _, a := range s.Alerts {
				visit(a.Say)
			}
			for _, b := range s.Blanks {
				visit(b.Label)
			}
		}
	}
}

// eachRef visits every name of a value that stands by itself.
func (k *compiler) eachRef(visit func(*procedure.Ref)) {
	p := k.pl.proc
	for i := range p.Numbers.Table {
		visit(&p.Numbers.Table[i].Value)
	}
	for i := range p.Stages {
		for j := range p.Stages[i].Steps {
			for n := range p.Stages[i].Steps[j].Blanks {
				b := &p.Stages[i].Steps[j].Blanks[n]
				for _, r := range []*procedure.Ref{b.Low, b.High, b.Target} {
					if r != nil {
						visit(r)
					}
				}
			}
		}
	}
}

// everythingElse compiles the conditions and figures' numbers and checks every
// name that stands in a text, a table or a blank.
func (k *compiler) everythingElse() {
	scope := k.scopes[single]
	compile := func(e *procedure.Expr) *formula.Formula {
		f, list := formula.Compile(e.Text, scope, e.At)
		k.problems = append(k.problems, list...)
		if f != nil {
			k.pl.forms[e.At] = f
			for _, n := range f.Names() {
				k.use(n)
			}
		}
		return f
	}
	k.eachCondition(func(e *procedure.Expr) {
		if f := compile(e); f != nil && f.Type().Sort != formula.YesNo {
			k.problems.Errorf(e.At, "condition", `compare it, such as built.seal == "component"`, "a condition is yes or no; this is %s", f.Type())
		}
	})
	k.eachFigure(func(f *procedure.Figure) {
		for i := range f.Numbers {
			if n := compile(&f.Numbers[i].Is); n != nil && n.Type().Sort != formula.Quantity {
				k.problems.Errorf(f.Numbers[i].Is.At, "dimension", "", "the figure's %s is a number; this is %s", f.Numbers[i].Key, n.Type())
			}
		}
	})
	k.eachText(func(t procedure.Text) {
		for _, part := range t.Parts {
			if part.Name != "" {
				k.name(part.Name, part.At, scope)
			}
		}
	})
	k.eachRef(func(r *procedure.Ref) { k.name(r.Name, r.At, scope) })
	for i := range k.pl.proc.Stages {
		for j := range k.pl.proc.Stages[i].Steps {
			for n := range k.pl.proc.Stages[i].Steps[j].Blanks {
				k.blank(&k.pl.proc.Stages[i].Steps[j].Blanks[n])
			}
		}
	}
}

func (k *compiler) use(name string) {
	if v := k.valueNamed(name); v != nil {
		k.used[v.name] = true
	}
}

// name checks that a name in a text or a table is there, and counts it as shown.
func (k *compiler) name(n string, at diag.Pos, scope formula.Scope) {
	k.use(n)
	if v := k.valueNamed(n); v != nil {
		if _, _, rest := split(n); v.group == single || rest != "" {
			return
		}
	}
	if _, ok := scope[n]; ok {
		return
	}
	if t := k.c.book.Terms[n]; t != nil {
		return // a band, which prints whole
	}
	names := make([]string, 0, len(scope))
	for s := range scope {
		names = append(names, s)
	}
	slices.Sort(names)
	hint := "name a term, a value of this procedure, or a word such as unit.id"
	if near := diag.Nearest(n, names); near != "" {
		hint = fmt.Sprintf("did you mean %s?", near)
	}
	k.problems.Errorf(at, "unknown-name", hint, "nothing is named %s", n)
}

// blank checks that a blank for a reading has a unit and a known instrument.
func (k *compiler) blank(b *procedure.Blank) {
	if b.Instrument != nil {
		k.instrument(b.Instrument)
	}
	if b.Kind == procedure.Reading && b.Unit == nil && b.Low == nil && b.High == nil && b.Target == nil {
		k.problems.Errorf(b.At, "blank-unit", "give the blank a target, limits, or unit: mm", "the blank for a reading has no unit")
	}
}
