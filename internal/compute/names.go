package compute

import (
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

var (
	number = formula.Is(quantity.KindNumber)
	length = formula.Is(quantity.KindLength)
	torque = formula.Is(quantity.KindTorque)
	text   = formula.Type{Sort: formula.Text}
	yesNo  = formula.Type{Sort: formula.YesNo}
)

// ref is what a name stands for: one of six things. It is found once, when the
// procedure is compiled.
type ref struct {
	name   procedure.Name
	term   *record.Term               // a value of the records
	word   func(*Numbers) record.Text // a text that stands ready everywhere
	energy string                     // whether the unit holds it
	ready  *readyProperty             // what stands ready of a joint, feature or assembly
	value  *Value                     // a value of the procedure, and
	end    procedure.End              // which end of it

	reading *reading // or what is read at a step
}

// typ gives the type of what a name stands for; ok is false where formulas cannot
// use it: a band as a whole, or a value whose own formula is faulty. kind is that in
// which the feature is measured of which it is asked.
func (r *ref) typ(kind quantity.Kind) (t formula.Type, ok bool) {
	switch {
	case r.term != nil:
		return termType(r.term)
	case r.word != nil:
		return text, true
	case r.energy != "":
		return yesNo, true
	case r.ready != nil:
		return r.ready.of(kind), true
	case r.reading != nil:
		return r.reading.typ, r.reading.typed
	}
	v := r.value.as(kind)
	switch {
	case v == nil || !v.typed:
		return t, false
	case r.end != procedure.Whole:
		return v.typ, v.Band() && v.formulas[r.end] != nil
	case v.Band():
		return v.typ, v.formulas[procedure.Target] != nil
	}
	return v.typ, true
}

// termType gives the type of a term as formulas see it; ok is false for a band,
// of which only the ends have one.
func termType(t *record.Term) (formula.Type, bool) {
	switch t.Form {
	case record.FormAmount:
		return formula.Is(t.Kind), true
	case record.FormWords:
		return formula.Type{Sort: formula.Text, OneOf: t.Words}, true
	case record.FormYesNo:
		return yesNo, true
	}
	return formula.Type{}, false
}

// use is a name as it is used for one member of a group; member is "" outside one.
type use struct {
	*ref
	member string
}

// of gives the use of a name in a formula that is evaluated for a member.
func (r *ref) of(member string) use {
	if !r.name.InHand() {
		member = r.name.Member
	}
	return use{r, member}
}

// full writes the name in full.
func (u use) full() string {
	return procedure.Name{Group: u.name.Group, Member: u.member, Rest: u.name.Rest}.String()
}

// lacks writes the name that is put on record where this one has no value: of the
// yes-or-no name beside a term that may be none, the term's.
func (u use) lacks() string {
	if u.term != nil && u.term.Of != "" && u.term.Form == record.FormYesNo {
		return u.term.Of
	}
	return u.full()
}

// recordedNames finds what every formula of every procedure may name: the terms, and
// the texts that stand ready everywhere.
func recordedNames(book *record.Book) map[string]*ref {
	all := make(map[string]*ref, len(book.Terms)+len(readyTexts))
	for name, word := range readyTexts {
		all[name] = &ref{name: procedure.Name{Rest: name}, word: word}
	}
	for name, energy := range energies {
		all[name] = &ref{name: procedure.Name{Rest: name}, energy: energy}
	}
	for name, t := range book.Terms {
		all[name] = &ref{name: procedure.Name{Rest: name}, term: t}
	}
	return all
}

// names finds what a name of a template stands for, which depends on the group of the
// values in whose formulas it is used.
type names struct {
	recorded map[string]*ref
	plan     *plan                    // nil where there is no procedure
	members  [4]map[string]bool       // that are known, by group
	readings map[string]*reading      // by name in full
	kinds    map[string]quantity.Kind // in which features are measured that are no lengths
	mixed    map[string]bool          // features that two sizes measure in two kinds
	found    [4]map[string]*ref       // by group and name; nil for what is nothing
}

// find gives what a name stands for in formulas of a group; nil where it stands for
// nothing.
func (k *names) find(name string, in procedure.Group) *ref {
	if r := k.recorded[name]; r != nil {
		return r
	}
	if k.plan == nil {
		return nil
	}
	r, done := k.found[in][name]
	if !done {
		r = k.lookUp(name, in)
		if k.found[in] == nil {
			k.found[in] = map[string]*ref{}
		}
		k.found[in][name] = r
	}
	return r
}

func (k *names) lookUp(name string, in procedure.Group) *ref {
	if p, is := instrumentProperties[name]; is && in == procedure.PerFeature {
		return &ref{name: procedure.Name{Group: in, Rest: name}, ready: p}
	}
	if rd := k.readings[name]; rd != nil {
		return &ref{name: procedure.Name{Rest: name}, reading: rd}
	}
	n := procedure.ParseName(name)
	if n.InHand() && n.Group != in {
		return nil
	}
	if p, is := ready[n.Group][n.Rest]; is {
		return &ref{name: n, ready: p}
	}
	if src, end := k.plan.proc.Find(n); src != nil && k.plan.values[src] != nil {
		return &ref{name: n, value: k.plan.values[src], end: end}
	}
	return nil
}

// scope is what formulas of a group may name.
type scope struct {
	*names
	in   procedure.Group
	kind quantity.Kind // of the feature in hand
}

// Type gives the type of a name; formula.Scope has it.
func (s scope) Type(name string) (formula.Type, bool) {
	r := s.find(name, s.in)
	switch {
	case r == nil || r.name.Group == procedure.PerFeature && s.mixed[r.name.Member]:
		return formula.Type{}, false
	case r.name.InHand():
		return r.typ(s.kind)
	}
	return r.typ(s.kindOf(r.name))
}

// kindOf gives the kind in which the feature that a name names is measured.
func (k *names) kindOf(n procedure.Name) quantity.Kind {
	if kind, other := k.kinds[n.Member]; other && n.Group == procedure.PerFeature {
		return kind
	}
	return quantity.KindLength
}

// Names lists all names, for hints; formula.Scope has it.
func (s scope) Names() []string {
	var all []string
	add := func(name string) {
		if _, ok := s.Type(name); ok {
			all = append(all, name)
		}
	}
	for name := range s.recorded {
		add(name)
	}
	if s.plan == nil {
		return all
	}
	for name := range instrumentProperties {
		add(name)
	}
	each := func(g procedure.Group, rest string) {
		add(procedure.Name{Group: g, Rest: rest}.String())
		for m := range s.members[g] {
			add(procedure.Name{Group: g, Member: m, Rest: rest}.String())
		}
	}
	for g, properties := range ready {
		for rest := range properties {
			each(procedure.Group(g), rest)
		}
	}
	for name := range s.readings {
		add(name)
	}
	for _, v := range s.plan.values {
		for _, end := range procedure.Ends {
			rest := v.Name
			if end != procedure.Whole {
				rest += "." + end.String()
			}
			each(v.Group, rest)
		}
	}
	return all
}

// kindsOf gives the kinds in which the features of the book's designs are measured that are
// no lengths, by name, which of them two sizes measure in two kinds, and all kinds: a
// length first, which is also where there are none.
func kindsOf(book *record.Book) (kinds map[string]quantity.Kind, mixed map[string]bool, all []quantity.Kind) {
	kinds, mixed = map[string]quantity.Kind{}, map[string]bool{}
	seen := map[string]quantity.Kind{}
	for _, d := range book.Designs {
		for _, s := range d.Sizes {
			for name, f := range s.Features {
				kind, _ := f.Kind()
				if had, twice := seen[name]; twice && had != kind {
					mixed[name] = true
				}
				if seen[name] = kind; kind != quantity.KindLength {
					kinds[name] = kind
				}
				if !slices.Contains(all, kind) {
					all = append(all, kind)
				}
			}
		}
	}
	slices.Sort(all)
	if i := slices.Index(all, quantity.KindLength); i > 0 || len(all) == 0 {
		all = slices.Insert(slices.DeleteFunc(all, func(k quantity.Kind) bool { return k == quantity.KindLength }), 0, quantity.KindLength)
	}
	return kinds, mixed, all
}

// membersOf are the names of all joints, features and assemblies of the book's
// designs, by group.
func membersOf(book *record.Book) [4]map[string]bool {
	var m [4]map[string]bool
	for _, g := range procedure.Groups {
		m[g] = map[string]bool{}
	}
	for _, d := range book.Designs {
		for _, s := range d.Sizes {
			for g, list := range [...][]string{procedure.PerJoint: s.JointOrder, procedure.PerFeature: s.FeatureOrder, procedure.PerAssembly: s.AssemblyOrder} {
				for _, name := range list {
					m[g][name] = true
				}
			}
		}
	}
	return m
}

// gap is a name that is wanted and not on record.
type gap struct {
	Name string
	err  error // where it is a value whose formula has no answer for what is on record
}

func namesOf(gaps []gap) []string {
	out := make([]string, len(gaps))
	for i, g := range gaps {
		out[i] = g.Name
	}
	return out
}

// sorted gives gaps in order of name, each once.
func sorted(gaps []gap) []gap {
	slices.SortStableFunc(gaps, func(a, b gap) int { return strings.Compare(a.Name, b.Name) })
	return slices.CompactFunc(gaps, func(a, b gap) bool { return a.Name == b.Name })
}
