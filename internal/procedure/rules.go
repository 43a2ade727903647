package procedure

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// rules reports what is wrong with a procedure as a whole, which is made of some
// templates.
func (l *loader) rules(p *Procedure, of []*template) {
	l.namesOfOthers(p)
	l.drawnFrom(p)
	l.tableTwice(p)
	index := map[string]*Value{}
	p.values(func(name string, v *Value) { index[name] = v })
	l.fragmentsMissing(p, of, index)
	l.circles(p, index)
	l.unused(p, index)
}

// namesOfOthers reports instruments, figures and signs that do not exist.
func (l *loader) namesOfOthers(p *Procedure) {
	p.Instruments(func(r *Ref) { l.oneOf(*r, "unknown-instrument", "instrument", l.opt.Instruments) })
	p.Figures(func(f *Figure) { l.oneOf(f.Figure, "unknown-figure", "figure", l.opt.Figures) })
	for _, s := range p.Cover.Wear {
		l.oneOf(s.Sign, "unknown-sign", "sign", l.opt.Signs)
	}
}

// oneOf holds a name to those that exist; nil holds it to none.
func (l *loader) oneOf(r Ref, rule, what string, names []string) {
	if names == nil || slices.Contains(names, r.Name) {
		return
	}
	hint := cmp.Or(diag.DidYouMean(r.Name, names), "there are: "+diag.Some(slices.Sorted(slices.Values(names)), 8))
	l.problems.Errorf(r.At, rule, hint, "there is no %s named %s", what, source.Quote(r.Name))
}

// tableTwice reports a value that stands in the table of numbers twice.
func (l *loader) tableTwice(p *Procedure) {
	seen := map[string]diag.Pos{}
	for _, row := range p.Numbers.Table {
		key := row.Value.Name + whenKey(row.When)
		if first, twice := seen[key]; twice {
			l.problems.Add(diag.Problem{Pos: row.Value.At, Severity: diag.Error, Rule: "duplicate-value", Related: []diag.Pos{first},
				Message: "the table of numbers of procedure " + p.Name + " has " + row.Value.Name + " twice", Hint: "keep one of the two"})
		}
		seen[key] = row.Value.At
	}
}

var groups = map[string]string{"joints": "joint", "features": "feature", "assemblies": "assembly"}

// valueOf gives the value that a name means, by the name of its group: travel,
// travel.low, joint.torque, joints.head.torque.target. Terms give "".
func valueOf(name string, index map[string]*Value) string {
	parts := strings.Split(name, ".")
	if singular, ok := groups[parts[0]]; ok && len(parts) > 2 {
		parts = append([]string{singular}, parts[2:]...)
	}
	if last := parts[len(parts)-1]; len(parts) > 1 && (last == "low" || last == "high" || last == "target") {
		if v := strings.Join(parts[:len(parts)-1], "."); index[v] != nil {
			return v
		}
	}
	if v := strings.Join(parts, "."); index[v] != nil {
		return v
	}
	return ""
}

// mentions visits every name that formulas, conditions, figures, texts, tables and
// blanks ask for, with its place.
func (p *Procedure) mentions(visit func(Ref)) {
	formula := func(e *Expr) {
		for _, r := range e.names() {
			visit(r)
		}
	}
	p.Formulas(formula)
	p.Conditions(formula)
	p.Figures(func(f *Figure) {
		for i := range f.Numbers {
			formula(&f.Numbers[i].Is)
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

// fragmentsMissing reports each fragment that holds a value which the procedure
// asks for and does not use: once, where the procedure names what asks for it.
func (l *loader) fragmentsMissing(p *Procedure, of []*template, index map[string]*Value) {
	holder := map[string]*template{}
	elsewhere := map[string]*Value{}
	for _, name := range slices.Sorted(maps.Keys(l.templates)) {
		t := l.templates[name]
		if t.fragment && !slices.Contains(of, t) {
			t.values(func(name string, v *Value) { elsewhere[name], holder[name] = v, t })
		}
	}
	told := map[*template]bool{}
	p.mentions(func(r Ref) {
		name := valueOf(r.Name, elsewhere)
		if name == "" || valueOf(r.Name, index) != "" || told[holder[name]] {
			return
		}
		t := holder[name]
		told[t] = true
		at, what := r.At, "this"
		own := of[len(of)-1]
		for _, u := range own.use {
			if part := l.templates[u.Name]; part != own && part != nil && part.doc.Span.Holds(r.At) {
				at, what = u.At, "the fragment "+u.Name
			}
		}
		l.problems.Add(diag.Problem{Pos: at, Severity: diag.Error, Rule: "missing-fragment", Related: []diag.Pos{r.At},
			Message: what + " asks for " + r.Name + ", which stands in the fragment " + t.Name, Hint: "add " + t.Name + " to the use: of procedure " + p.Name})
	})
}

// circles reports values that hang on themselves.
func (l *loader) circles(p *Procedure, index map[string]*Value) {
	done, said := map[string]bool{}, map[string]bool{}
	var visit func(name string, chain []string)
	visit = func(name string, chain []string) {
		if done[name] {
			return
		}
		chain = append(slices.Clone(chain), name)
		v := index[name]
		for _, e := range []*Expr{v.Is, v.Low, v.High, v.Target} {
			if e == nil {
				continue
			}
			for _, r := range e.names() {
				next := valueOf(r.Name, index)
				if next == "" {
					continue
				}
				if i := slices.Index(chain, next); i >= 0 {
					if circle := strings.Join(append(slices.Clone(chain[i:]), next), ", which needs "); !said[circle] {
						said[circle] = true
						l.problems.Errorf(r.At, "circle", "a value cannot hang on itself", "%s", strings.Replace(circle, ", which", "", 1))
					}
					continue
				}
				visit(next, chain)
			}
		}
		done[name] = true
	}
	p.values(func(name string, _ *Value) { visit(name, nil) })
}

// unused reports values that nothing shows and nothing else is computed from. A
// value of each joint, feature or assembly that says how it is shown has a column
// of its own.
func (l *loader) unused(p *Procedure, index map[string]*Value) {
	used := map[string]bool{}
	own := map[diag.Pos]bool{} // where a value's formula names itself
	p.values(func(name string, v *Value) {
		for _, e := range []*Expr{v.Is, v.Low, v.High, v.Target} {
			if e == nil {
				continue
			}
			for _, r := range e.names() {
				own[r.At] = own[r.At] || valueOf(r.Name, index) == name
			}
		}
	})
	p.mentions(func(r Ref) {
		if !own[r.At] {
			used[valueOf(r.Name, index)] = true
		}
	})
	p.values(func(name string, v *Value) {
		column := strings.Contains(name, ".") && (v.Show != nil || v.Instrument != nil)
		if !used[name] && !column {
			l.problems.Errorf(v.At, "unused-value", "show it in a step, a blank, a table or a figure, or take it out", "procedure %s shows the value %s nowhere and computes nothing from it", p.Name, name)
		}
	})
}
