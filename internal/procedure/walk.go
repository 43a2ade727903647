package procedure

import "jobsheaf/internal/formula"

// groups gives the values by their group, as the template has them.
func (p *Procedure) groups() [4][]Value {
	return [...][]Value{Single: p.values, PerJoint: p.eachJoint, PerFeature: p.eachFeature, PerAssembly: p.eachAssembly}
}

// Of lists the values of a group as the template has them.
func (p *Procedure) Of(g Group) []Value { return p.groups()[g] }

// everyValue visits every value.
func (p *Procedure) everyValue(visit func(v *Value)) {
	for _, list := range p.groups() {
		for i := range list {
			visit(&list[i])
		}
	}
}

// formulas lists the formulas of a value.
func (v *Value) formulas() []*formula.Expr {
	var out []*formula.Expr
	for _, end := range Ends {
		if e := v.Formula(end); e != nil {
			out = append(out, e)
		}
	}
	return out
}

// Mentions visits every name that formulas, conditions, figures, texts, tables and
// blanks ask for, with its place.
func (p *Procedure) Mentions(visit func(Ref)) {
	p.exprs(func(e *formula.Expr) {
		for _, n := range e.Names() {
			visit(Ref(n))
		}
	})
	p.Texts(func(t Text) {
		for _, part := range t.Parts {
			if part.Name != "" {
				visit(Ref{part.Name, part.At})
			}
		}
	})
	p.Refs(func(r *Ref) { visit(*r) })
}

// exprs visits every formula and condition.
func (p *Procedure) exprs(visit func(*formula.Expr)) {
	p.everyValue(func(v *Value) {
		for _, e := range v.formulas() {
			visit(e)
		}
	})
	p.Conditions(visit)
	p.Figures(func(f *Figure) {
		for _, n := range f.Numbers {
			visit(n.Is)
		}
	})
}

// Conditions visits every condition.
func (p *Procedure) Conditions(visit func(*formula.Expr)) {
	when := func(e *formula.Expr) {
		if e != nil {
			visit(e)
		}
	}
	when(p.For)
	for _, list := range p.itemLists() {
		for i := range list {
			when(list[i].When)
		}
	}
	for _, a := range p.Cover.Hazards {
		when(a.When)
	}
	for _, s := range p.Cover.Wear {
		when(s.When)
	}
	for _, j := range p.Numbers.Joints {
		when(j.When)
	}
	for _, r := range p.Numbers.Table {
		when(r.When)
	}
	for _, h := range p.Holds {
		when(h.When)
	}
	p.Figures(func(f *Figure) { when(f.When) })
	for i := range p.Stages {
		for _, e := range p.Stages[i].When {
			visit(e)
		}
		for _, a := range p.Stages[i].Alerts {
			when(a.When)
		}
	}
	p.steps(func(s *Step) {
		when(s.When)
		for _, h := range s.How {
			when(h.When)
		}
		for _, a := range s.Alerts {
			when(a.When)
		}
		for _, b := range s.Blanks {
			when(b.When)
		}
		for _, d := range s.Does {
			when(d.When)
		}
	})
}

// Figures visits every figure.
func (p *Procedure) Figures(visit func(*Figure)) {
	for _, list := range [][]Figure{p.Job.Figures, p.Numbers.Figures, p.Wear.Figures} {
		for i := range list {
			visit(&list[i])
		}
	}
	p.steps(func(s *Step) {
		for i := range s.Figures {
			visit(&s.Figures[i])
		}
	})
}

// Instruments visits every name of an instrument.
func (p *Procedure) Instruments(visit func(*Ref)) {
	p.everyValue(func(v *Value) {
		for _, in := range []*Ref{v.Instrument, v.Finer} {
			if in != nil {
				visit(in)
			}
		}
	})
	p.steps(func(s *Step) {
		for _, b := range s.Blanks {
			if b.Instrument != nil {
				visit(b.Instrument)
			}
		}
	})
}

// Texts visits every text that is printed, or given to a figure.
func (p *Procedure) Texts(visit func(Text)) {
	p.prose(func(t *Text) { visit(*t) })
	p.Figures(func(f *Figure) {
		for _, t := range f.Texts {
			visit(t.Say)
		}
	})
}

// prose visits every text that is written in a language. The texts of a figure
// are names that its drawing knows, and are in none.
func (p *Procedure) prose(visit func(*Text)) {
	visit(&p.Title)
	p.everyValue(func(v *Value) {
		visit(&v.What)
		visit(&v.Source)
		visit(&v.Reads)
	})
	for _, list := range p.itemLists() {
		for i := range list {
			visit(&list[i].Say)
		}
	}
	for i := range p.Cover.Hazards {
		visit(&p.Cover.Hazards[i].Say)
	}
	for i := range p.Cover.Wear {
		visit(&p.Cover.Wear[i].Say)
	}
	for i := range p.Numbers.Table {
		visit(&p.Numbers.Table[i].How)
		visit(&p.Numbers.Table[i].Index)
	}
	p.Figures(func(f *Figure) { visit(&f.Caption) })
	for i := range p.Stages {
		visit(&p.Stages[i].Title)
		for j := range p.Stages[i].Alerts {
			visit(&p.Stages[i].Alerts[j].Say)
		}
	}
	p.steps(func(s *Step) {
		visit(&s.Do)
		for i := range s.How {
			visit(&s.How[i].Say)
		}
		visit(&s.Hold)
		visit(&s.Index)
		for i := range s.Alerts {
			visit(&s.Alerts[i].Say)
		}
		for i := range s.Blanks {
			visit(&s.Blanks[i].Label)
		}
	})
}

// Refs visits every name of a value or term that stands by itself: in the table
// of numbers and as the target or limit of a blank.
func (p *Procedure) Refs(visit func(*Ref)) {
	for i := range p.Numbers.Table {
		visit(&p.Numbers.Table[i].Value)
	}
	p.steps(func(s *Step) {
		for i := range s.Blanks {
			for _, r := range s.Blanks[i].Limits() {
				visit(r)
			}
		}
	})
}

func (p *Procedure) itemLists() [][]Item {
	return [][]Item{p.Scope, p.Cover.FirstAid, p.Cover.Prove, p.Cover.Stop, p.Job.Tools, p.Job.Papers, p.Job.Parts}
}

func (p *Procedure) steps(visit func(*Step)) {
	for i := range p.Stages {
		for j := range p.Stages[i].Steps {
			visit(&p.Stages[i].Steps[j])
		}
	}
}
