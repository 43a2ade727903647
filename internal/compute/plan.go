package compute

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
	values map[*procedure.Value]*Value
	order  [4][]*Value                 // of each group, as the template has them
	forms  map[*formula.Expr]*compiled // conditions and figures' numbers
	named  map[string]*ref             // what the names in texts, tables and blanks stand for
	said   map[string]string          // what texts say between their names, in the units of the pages
	faulty bool
	first  diag.Pos // of the first error

	readings map[string]*reading // by name in full
	draws    bool                // a value draws on readings, or a text names one
}

// compiled is a formula with what each of its names stands for.
type compiled struct {
	*formula.Formula
	refs []*ref // of the formula's Names
}

// compiler is the state of compiling one procedure.
type compiler struct {
	c        *Plans
	pl       *plan
	names    *names
	kinds    []quantity.Kind // in which features are measured
	problems diag.List
}

func (c *Plans) compile(p *procedure.Procedure) (*plan, diag.List) {
	pl := &plan{proc: p, values: map[*procedure.Value]*Value{}, forms: map[*formula.Expr]*compiled{}}
	k := &compiler{c: c, pl: pl, names: &names{recorded: c.recorded, plan: pl, members: membersOf(c.book)}}
	k.names.kinds, k.names.mixed, k.kinds = kindsOf(c.book)
	k.listValues()
	k.noteMembers()
	k.noteReadings()
	for _, src := range p.Order {
		k.typeReadings(src)
		switch v := pl.values[src]; {
		case v == nil:
		case v.Group == procedure.PerFeature:
			k.ofFeatures(v)
		default:
			k.value(v)
		}
	}
	k.allReadings()
	k.kept()
	k.conditions()
	k.texts()
	k.readingOrder()
	k.inUnits()
	pl.named = k.names.found[procedure.Single]
	list := k.problems.Sorted()
	for _, pr := range list {
		if pr.Severity == diag.Error {
			pl.faulty, pl.first = true, pr.Pos
			break
		}
	}
	return pl, list
}

// inUnits puts what the texts say into the units of the pages, once for all jobs.
func (k *compiler) inUnits() {
	k.pl.said = map[string]string{}
	if k.c.book.Site == nil {
		return
	}
	k.pl.proc.Texts(func(t procedure.Text) {
		for _, part := range t.Parts {
			k.pl.said[part.Literal] = k.c.book.Site.Units.InText(part.Literal)
		}
	})
}

// listValues lists the procedure's values.
func (k *compiler) listValues() {
	seen := map[string]bool{}
	for g := range k.pl.order {
		list := k.pl.proc.Of(procedure.Group(g))
		for i := range list {
			src := &list[i]
			name := src.Full("")
			if _, taken := ready[g][src.Name]; taken || k.c.recorded[name] != nil {
				k.problems.Errorf(src.At, "name-taken", "choose another name", "%s is already the name of something on record", name)
				continue
			}
			if seen[name] {
				k.problems.Errorf(src.At, "name-taken", "choose another name", "there are two values named %s", name)
				continue
			}
			seen[name] = true
			v := &Value{Value: src}
			k.pl.values[src] = v
			k.pl.order[g] = append(k.pl.order[g], v)
		}
	}
}

// noteMembers adds the joints and features that the procedure itself names, so
// that a site whose designs lack them gets NOT ON RECORD and not a faulty
// template.
func (k *compiler) noteMembers() {
	for _, j := range k.pl.proc.Numbers.Joints {
		k.member(procedure.PerJoint, j.Joint.Name, j.Joint.At)
	}
	for _, f := range k.pl.proc.Wear.Features {
		k.member(procedure.PerFeature, f.Name, f.At)
	}
	k.pl.proc.Mentions(func(r procedure.Ref) {
		if n := procedure.ParseName(r.Name); n.Member != "" {
			k.member(n.Group, n.Member, r.At)
		}
	})
}

// member adds a name. A name that no design has, and that is nearly one that some
// design has, is reported: it is likely misspelt.
func (k *compiler) member(g procedure.Group, name string, at diag.Pos) {
	members := k.names.members[g]
	if members[name] {
		return
	}
	if near := diag.Nearest(name, slices.Sorted(maps.Keys(members))); near != "" {
		full := func(member string) string { return procedure.Name{Group: g, Member: member}.String() }
		k.problems.Warnf(at, "unknown-member", "did you mean "+full(near)+"?", "no design on record has %s", full(name))
	}
	members[name] = true
}

// check checks an expression of the formulas of a group; nil where it is faulty. kind is
// that in which the feature in hand is measured.
func (k *compiler) check(e *formula.Expr, in procedure.Group, kind quantity.Kind) *compiled {
	f, list := k.names.check(e, in, kind)
	k.problems = append(k.problems, list...)
	return f
}

func (k *names) check(e *formula.Expr, in procedure.Group, kind quantity.Kind) (*compiled, diag.List) {
	f, list := e.Check(scope{k, in, kind})
	if f == nil {
		return nil, list
	}
	out := &compiled{Formula: f}
	for _, name := range f.Names() {
		out.refs = append(out.refs, k.find(name, in))
	}
	return out, list
}

// ofFeatures compiles a value of the features once for each kind of quantity in which
// features are measured. It need not mean something in all of them: what it is not for is
// reported where a unit has such a feature (Result).
func (k *compiler) ofFeatures(v *Value) {
	before := k.problems
	var first diag.List
	v.kinds = map[quantity.Kind]*Value{}
	shown := v.Show == nil
	for i, kind := range k.kinds {
		one := &Value{Value: v.Value, kind: kind}
		k.problems = nil
		k.value(one)
		if i == 0 {
			first = k.problems
		}
		if k.problems.HasErrors() {
			continue
		}
		shown = shown || one.shown
		if v.kinds[kind] = one; !v.typed {
			first = k.problems
			kinds := v.kinds
			*v = *one
			v.kinds = kinds
		}
	}
	k.problems = append(before, first...)
	if len(v.kinds) > 0 && !shown {
		k.problems.Errorf(v.ShowAt, "dimension", "", "%s is %s and cannot be printed as %s", v.Full(""), v.typ, v.Show.Grain[0].Unit.Kind)
	}
}

// value compiles a value; those that it uses are compiled already.
func (k *compiler) value(v *Value) {
	for _, end := range procedure.Ends {
		e := v.Formula(end)
		if e == nil {
			continue
		}
		if k.unknownReading(e) {
			continue
		}
		f := k.check(e, v.Group, v.kind)
		if f == nil {
			continue
		}
		k.drawn(v, end, e, f)
		k.wantTexts(v, e, f.Formula)
		v.formulas[end] = k.c.working(e, f)
		if v.typed && f.Type().String() != v.typ.String() {
			k.problems.Errorf(e.At, "dimension", "", "%s is %s here and %s in the same band", v.Full(""), f.Type(), v.typ)
		}
		v.typ, v.typed = f.Type(), true
		if len(f.Functions()) == 0 && v.Source.Empty() && e.Computes() {
			k.problems.Errorf(e.At, "no-source", `say where it comes from, such as source: "common practice, no source"`, "%s is computed by no function and names no source", v.Full(""))
		}
	}
	if v.typed {
		k.howShown(v)
		k.letters(v)
		k.onPaper(v)
	}
}

// letters finds what the letters of a value's formula stand for: names that it takes.
func (k *compiler) letters(v *Value) {
	for _, l := range v.Letters {
		found := k.names.find(l.Name.Name, v.Group)
		taken := found != nil && slices.ContainsFunc(v.formulas[:], func(f *worked) bool {
			return f != nil && slices.ContainsFunc(f.refs, func(r *ref) bool { return r.name == found.name })
		})
		if !taken {
			k.problems.Errorf(l.Name.At, "value", "name what its formula takes", "the formula of %s takes no %s, for which the letter %s stands", v.Full(""), l.Name.Name, l.Letter)
			continue
		}
		if v.letterOf == nil {
			v.letterOf = map[procedure.Name]string{}
		}
		v.letterOf[found.name] = l.Letter
	}
}

// howShown settles the grain to which a value is printed.
func (k *compiler) howShown(v *Value) {
	if v.typ.Sort != formula.Quantity {
		v.given = v.Show != nil
		return
	}
	kind, named := v.typ.Quantity.Kind()
	if !named {
		k.problems.Errorf(v.At, "dimension", "check the formula: its result is nothing that can be measured", "%s comes to %s, for which there is no unit", v.Full(""), v.typ)
		return
	}
	instruments := k.c.book.Instruments
	switch {
	case v.Show != nil:
		v.show, v.given = *v.Show, true
	case v.Instrument != nil && instruments[v.Instrument.Name] != nil:
		v.show, v.given = instruments[v.Instrument.Name].Show, true
	default:
		v.show = quantity.ShowFor(kind)
		if f := v.formulas[procedure.Whole]; f != nil && f.bare && f.refs[0].term != nil {
			v.show = f.refs[0].term.Show
		}
	}
	if f := v.Finer; f != nil && instruments[f.Name] != nil {
		v.fine = new(ofKind(instruments[f.Name].Show, kind))
	}
	if got := v.show.Grain[0].Unit.Kind; got.Type().Dim != kind.Type().Dim {
		at := v.ShowAt
		if v.Show == nil {
			at = v.At
		}
		if v.Group == procedure.PerFeature && v.Show != nil { // it is how those of another kind print
			v.show = quantity.ShowFor(kind)
			return
		}
		k.problems.Errorf(at, "dimension", "", "%s is %s and cannot be printed as %s", v.Full(""), v.typ, got)
	} else {
		v.show, v.shown = ofKind(v.show, kind), true
	}
}

// ofKind gives a show whose units are those of the kind: bar(g) for bar where the
// value is a gauge pressure, °C for K where it is a temperature.
func ofKind(s quantity.Show, kind quantity.Kind) quantity.Show {
	for i, g := range s.Grain {
		if g.Unit.Kind == kind {
			continue
		}
		if kind == quantity.KindTemperature && g.Unit.Symbol == "K" { // a step of 2 K is one of 2 °C
			s.Grain[i].Unit, _ = quantity.UnitNamed("°C", kind)
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
