package compose

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// plan is a procedure with everything in it compiled: what is the same for every
// job.
type plan struct {
	proc   *procedure.Procedure
	values map[string]*value             // by local name: travel, joint.torque
	order  [4][]*value                   // of each group, as the template has them
	forms  map[diag.Pos]*formula.Formula // conditions and figures' numbers, by place
	faulty bool
	first  diag.Pos // of the first error
}

// compiler is the state of compiling one procedure.
type compiler struct {
	c        *Composer
	pl       *plan
	scopes   [4]formula.Scope // by group
	members  [4]map[string]bool
	busy     map[string]bool
	problems diag.List
}

func (c *Composer) compile(p *procedure.Procedure) (*plan, diag.List) {
	k := &compiler{
		c: c, members: c.members(), busy: map[string]bool{},
		pl: &plan{proc: p, values: map[string]*value{}, forms: map[diag.Pos]*formula.Formula{}},
	}
	k.nameValues()
	k.noteMembers()
	k.openScopes()
	for g := range k.pl.order {
		for _, v := range k.pl.order[g] {
			k.value(v)
		}
	}
	k.conditions()
	k.names()
	list := k.problems.Sorted()
	for _, pr := range list {
		if pr.Severity == diag.Error {
			k.pl.faulty, k.pl.first = true, pr.Pos
			break
		}
	}
	return k.pl, list
}

// nameValues lists the procedure's values under their local names.
func (k *compiler) nameValues() {
	p := k.pl.proc
	for g, list := range [][]procedure.Value{p.Values, p.EachJoint, p.EachFeature, p.EachAssembly} {
		for i := range list {
			src := &list[i]
			v := &value{src: src, group: group(g), name: local[g] + src.Name}
			if _, taken := ready[g][src.Name]; taken || k.c.book.Terms[v.name] != nil {
				k.problems.Errorf(src.At, "name-taken", "choose another name", "%s is already the name of something on record", v.name)
				continue
			}
			if _, dup := k.pl.values[v.name]; dup {
				k.problems.Errorf(src.At, "name-taken", "choose another name", "there are two values named %s", v.name)
				continue
			}
			k.pl.values[v.name] = v
			k.pl.order[g] = append(k.pl.order[g], v)
		}
	}
}

// noteMembers adds the joints and features that the procedure itself names, so
// that a site whose designs lack them gets NOT ON RECORD and not a faulty
// template.
func (k *compiler) noteMembers() {
	for _, j := range k.pl.proc.Numbers.Joints {
		k.member(perJoint, j.Joint.Name, j.Joint.At)
	}
	for _, f := range k.pl.proc.Wear.Features {
		k.member(perFeature, f.Name, f.At)
	}
	see := func(s string, at diag.Pos) {
		for _, n := range namePattern.FindAllString(s, -1) {
			if g, m, rest := split(n); g != single && rest != "" {
				k.member(g, m, at)
			}
		}
	}
	p := k.pl.proc
	expr := func(e *procedure.Expr) { see(e.Text, e.At) }
	p.Formulas(expr)
	p.Conditions(expr)
	p.Figures(func(f *procedure.Figure) {
		for i := range f.Numbers {
			expr(&f.Numbers[i].Is)
		}
	})
	p.Texts(func(t procedure.Text) {
		for _, part := range t.Parts {
			see(part.Name, part.At)
		}
	})
	p.Refs(func(r *procedure.Ref) { see(r.Name, r.At) })
}

// member adds a name. A name that no design has, and that is nearly one that some
// design has, is told: it is likely misspelt.
func (k *compiler) member(g group, name string, at diag.Pos) {
	if k.members[g][name] {
		return
	}
	if near := diag.Nearest(name, slices.Sorted(maps.Keys(k.members[g]))); near != "" {
		k.problems.Warnf(at, "unknown-member", "did you mean "+plural[g]+near+"?", "no design on record has %s%s", plural[g], name)
	}
	k.members[g][name] = true
}

func (k *compiler) openScopes() {
	for g := range k.scopes {
		s := k.c.baseScope()
		k.scopes[g] = s
		if g == int(perFeature) {
			for n, t := range instrumentNames {
				s[n] = t
			}
		}
		for h := perJoint; h <= perAssembly; h++ {
			for prop, p := range ready[h] {
				if g == int(h) {
					s[local[h]+prop] = p.typ
				}
				for m := range k.members[h] {
					s[plural[h]+m+"."+prop] = p.typ
				}
			}
		}
	}
}

// publish makes a compiled value known to the formulas that come after it.
func (k *compiler) publish(v *value) {
	names := []string{""}
	if v.band() {
		names = nil
		for _, part := range []part{lower, upper, target} {
			if v.formulas[part] != nil {
				names = append(names, "."+ends[part])
			}
		}
		if v.formulas[target] != nil {
			names = append(names, "")
		}
	}
	for _, n := range names {
		for g := range k.scopes {
			if v.group == single || int(v.group) == g {
				k.scopes[g][v.name+n] = v.typ
			}
			if v.group != single {
				for m := range k.members[v.group] {
					k.scopes[g][v.of(m)+n] = v.typ
				}
			}
		}
	}
}

// valueNamed finds the value that a name in a formula or a text of group g means.
func (k *compiler) valueNamed(name string) *value {
	base, _ := stem(name)
	for _, n := range []string{name, base} {
		if v := k.pl.values[n]; v != nil {
			return v
		}
		if g, _, rest := split(n); g != single {
			if v := k.pl.values[local[g]+rest]; v != nil {
				return v
			}
		}
	}
	return nil
}

// value compiles a value after those that it uses.
func (k *compiler) value(v *value) {
	if k.busy[v.name] {
		return // done, or a circle, which the procedure room has refused
	}
	k.busy[v.name] = true
	exprs := [...]*procedure.Expr{itself: v.src.Is, lower: v.src.Low, upper: v.src.High, target: v.src.Target}
	for _, e := range exprs {
		if e == nil {
			continue
		}
		for _, n := range namePattern.FindAllString(e.Text, -1) {
			w := k.valueNamed(n)
			if w != nil {
				k.value(w)
			}
		}
	}
	typed := false
	for part, e := range exprs {
		if e == nil {
			continue
		}
		f, list := formula.Compile(e.Text, k.scopes[v.group], e.At)
		k.problems = append(k.problems, list...)
		if f == nil {
			continue
		}
		k.speak(v, e, f)
		v.formulas[part] = k.c.told(f)
		if typed && f.Type().String() != v.typ.String() {
			k.problems.Errorf(e.At, "dimension", "", "%s is %s here and %s in the same band", v.name, f.Type(), v.typ)
		}
		v.typ, typed = f.Type(), true
		if len(f.Functions()) == 0 && v.src.Source.Empty() && computes(e.Text) {
			k.problems.Errorf(e.At, "no-source", `say where it comes from, such as source: "common practice, no source"`, "%s is computed by no function and names no source", v.name)
		}
	}
	if typed {
		k.howShown(v)
		k.publish(v)
	}
}

// computes reports whether an expression does more than name one thing on record,
// choose between texts or compare.
func computes(expr string) bool {
	return strings.ContainsAny(expr, "+*/") || strings.Contains(expr, " - ") || !strings.ContainsFunc(expr, func(r rune) bool { return r >= 'a' && r <= 'z' })
}

// howShown settles the grain to which a value is printed.
func (k *compiler) howShown(v *value) {
	if v.typ.Sort != formula.Quantity {
		v.given = v.src.Show != nil
		return
	}
	kind, named := v.typ.Quantity.Kind()
	if !named {
		k.problems.Errorf(v.src.At, "dimension", "check the formula: its result is nothing that can be measured", "%s comes to %s, for which there is no unit", v.name, v.typ)
		return
	}
	switch {
	case v.src.Show != nil:
		v.show, v.given = *v.src.Show, true
	case v.src.Instrument != nil && k.c.book.Instruments[v.src.Instrument.Name] != nil:
		v.show, v.given = k.c.book.Instruments[v.src.Instrument.Name].Show, true
	case !v.band() && k.c.book.Terms[v.formulas[itself].Text()] != nil:
		v.show = k.c.book.Terms[v.formulas[itself].Text()].Show
	default:
		v.show = quantity.ShowFor(kind)
	}
	if f := v.src.Finer; f != nil && k.c.book.Instruments[f.Name] != nil {
		v.fine = new(ofKind(k.c.book.Instruments[f.Name].Show, kind))
	}
	if got := v.show.Grain[0].Unit.Kind; got.Type().Dim != kind.Type().Dim {
		at := v.src.ShowAt
		if v.src.Show == nil {
			at = v.src.At
		}
		k.problems.Errorf(at, "dimension", "", "%s is %s and cannot be printed as %s", v.name, v.typ, got)
	} else {
		v.show = ofKind(v.show, kind)
	}
}

// ofKind gives a show whose units are those of the kind: bar(g) for bar where the
// value is a gauge pressure, °C for K where it is a temperature.
func ofKind(s quantity.Show, kind quantity.Kind) quantity.Show {
	for i, g := range s.Grain {
		if g.Unit.Kind == kind {
			continue
		}
		for _, suffix := range []string{"", "(g)", "(a)"} {
			if u, ok := quantity.UnitNamed(strings.TrimSuffix(strings.TrimSuffix(g.Unit.Symbol, "(g)"), "(a)")+suffix, kind); ok && u.Kind == kind {
				s.Grain[i].Unit = u
				break
			}
		}
	}
	return s
}
