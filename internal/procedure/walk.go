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

// Texts visits every text that is printed.
func (p *Procedure) Texts(visit func(Text)) {
	visit(p.Title)
	p.values(func(_ string, v *Value) { visit(v.What) })
	for _, list := range p.itemLists() {
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
	p.Figures(func(f *Figure) {
		visit(f.Caption)
		for _, t := range f.Texts {
			visit(t.Say)
		}
	})
	for _, st := range p.Stages {
		visit(st.Title)
	}
	p.steps(func(s *Step) {
		visit(s.Do)
		for _, a := range s.Alerts {
			visit(a.Say)
		}
		for _, b := range s.Blanks {
			visit(b.Label)
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
