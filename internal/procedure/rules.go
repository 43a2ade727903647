package procedure

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/source"
)

// rules reports what is wrong with a procedure as a whole, which is made of some
// templates.
func (l *loader) rules(p *Procedure, of []*template) {
	l.findReadings(p)
	l.namesOfOthers(p)
	l.drawnFrom(p)
	l.tableTwice(p)
	l.fragmentsMissing(p, of)
	l.computeOrder(p)
	l.unused(p)
}

// namesOfOthers reports kinds of machine, instruments, figures and signs that do not exist.
func (l *loader) namesOfOthers(p *Procedure) {
	p.Instruments(func(r *Ref) { l.oneOf(*r, "unknown-instrument", "instrument", l.opt.Instruments) })
	for _, k := range p.Machines {
		l.oneOf(k, "unknown-machine", "kind of machine", l.opt.Machines)
	}
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
	l.problems.Errorf(r.At, rule, diag.OneOf(r.Name, names), "there is no %s named %s", what, source.Quote(r.Name))
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

// fragmentsMissing reports each fragment that holds a value which the procedure
// asks for and does not use: once, where the procedure names what asks for it.
func (l *loader) fragmentsMissing(p *Procedure, of []*template) {
	holder := map[*Value]*template{}
	elsewhere := index{}
	for _, name := range slices.Sorted(maps.Keys(l.templates)) {
		t := l.templates[name]
		if t.fragment && !slices.Contains(of, t) {
			t.everyValue(func(v *Value) { elsewhere[v.key()], holder[v] = v, t })
		}
	}
	reported := map[*template]bool{}
	p.Mentions(func(r Ref) {
		name := ParseName(r.Name)
		v, _ := elsewhere.find(name)
		if have, _ := p.Find(name); v == nil || have != nil || reported[holder[v]] {
			return
		}
		t := holder[v]
		reported[t] = true
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

// computeOrder lists the values so that each comes after those that it is computed from,
// and reports those that are computed from themselves.
func (l *loader) computeOrder(p *Procedure) {
	done, said := map[*Value]bool{}, map[string]bool{}
	var visit func(v *Value, chain []*Value)
	visit = func(v *Value, chain []*Value) {
		if done[v] {
			return
		}
		chain = append(slices.Clone(chain), v)
		for _, n := range p.needs(v) {
			next, _ := p.Find(ParseName(n.Name))
			if next == nil {
				continue
			}
			if i := slices.Index(chain, next); i >= 0 {
				if circle := circleOf(append(chain[i:], next)); !said[circle] {
					said[circle] = true
					l.problems.Errorf(n.At, "circle", "a value cannot be computed from itself", "%s", circle)
				}
				continue
			}
			visit(next, chain)
		}
		done[v] = true
		p.Order = append(p.Order, v)
	}
	p.everyValue(func(v *Value) { visit(v, nil) })
}

// circleOf says which value needs which.
func circleOf(chain []*Value) string {
	said := chain[0].Full("") + " needs "
	for i, v := range chain[1:] {
		if i > 0 {
			said += ", which needs "
		}
		said += v.Full("")
	}
	return said
}

// unused reports values that nothing shows and nothing else is computed from. A
// value of each joint, feature or assembly that says how it is shown has a column
// of its own. Where a formula cannot be read, nothing is said: it may use any; nor of a
// built-in fragment in a site's own procedure, which may take of it what it wants.
func (l *loader) unused(p *Procedure) {
	readable := true
	p.exprs(func(e *formula.Expr) { readable = readable && e.Readable() })
	if !readable {
		return
	}
	own := map[diag.Pos]bool{} // where a value's formula names itself
	p.everyValue(func(v *Value) {
		for _, e := range v.formulas() {
			for _, n := range e.Names() {
				named, _ := p.Find(ParseName(n.Name))
				own[n.At] = own[n.At] || named == v
			}
		}
	})
	used := map[valueKey]bool{} // two of one name are reported already
	p.Mentions(func(r Ref) {
		if v, _ := p.Find(ParseName(r.Name)); v != nil && !own[r.At] {
			used[v.key()] = true
		}
	})
	ours := strings.HasPrefix(p.at.File, source.BuiltIn)
	p.everyValue(func(v *Value) {
		column := v.Group != Single && (v.Show != nil || v.Instrument != nil)
		if !used[v.key()] && !column && (!v.BuiltIn || ours) {
			l.problems.Errorf(v.At, "unused-value", "show it in a step, a blank, a table or a figure, or take it out", "procedure %s shows the value %s nowhere and computes nothing from it", p.Name, v.Full(""))
		}
	})
}
