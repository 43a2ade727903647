package procedure

// Formulas visits the formulas of the values.
func (p *Procedure) Formulas(visit func(*Expr)) {
	p.values(func(_ string, v *Value) {
		for _, e := range []*Expr{v.Is, v.Low, v.High, v.Target} {
			if e != nil {
				visit(e)
			}
		}
	})
}

// values visits every value with the name by which formulas of its group know it.
func (p *Procedure) values(visit func(name string, v *Value)) {
	for _, g := range []struct {
		prefix string
		list   []Value
	}{{"", p.Values}, {"joint.", p.EachJoint}, {"feature.", p.EachFeature}, {"assembly.", p.EachAssembly}} {
		for i := range g.list {
			visit(g.prefix+g.list[i].Name, &g.list[i])
		}
	}
}

// Conditions visits every condition.
func (p *Procedure) Conditions(visit func(*Expr)) {
	when := func(e *Expr) {
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
	p.Figures(func(f *Figure) { when(f.When) })
	for i := range p.Stages {
		for j := range p.Stages[i].When {
			visit(&p.Stages[i].When[j])
		}
	}
	p.steps(func(s *Step) {
		when(s.When)
		for _, a := range s.Alerts {
			when(a.When)
		}
		for _, b := range s.Blanks {
			when(b.When)
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
	p.values(func(_ string, v *Value) {
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
	p.values(func(_ string, v *Value) {
		visit(&v.What)
		visit(&v.Source)
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
	}
	p.Figures(func(f *Figure) { visit(&f.Caption) })
	for i := range p.Stages {
		visit(&p.Stages[i].Title)
	}
	p.steps(func(s *Step) {
		visit(&s.Do)
		visit(&s.Hold)
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
			for _, r := range []*Ref{s.Blanks[i].Low, s.Blanks[i].High, s.Blanks[i].Target} {
				if r != nil {
					visit(r)
				}
			}
		}
	})
}

func (p *Procedure) itemLists() [][]Item {
	return [][]Item{p.Scope, p.Cover.Prove, p.Cover.Stop, p.Job.Tools, p.Job.Papers, p.Job.Parts}
}

func (p *Procedure) steps(visit func(*Step)) {
	for i := range p.Stages {
		for j := range p.Stages[i].Steps {
			visit(&p.Stages[i].Steps[j])
		}
	}
}
