package record

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// Energy is an energy that the units of a kind may hold.
type Energy struct {
	Energy  string   // one of Energies
	as      []string // energies whose points count as points of it
	shownBy []shown  // a unit holds it where one of these is on record, and neither false nor none
	unless  []string // it is supposed of a unit that shows nothing of it and has no point of these; nil: it is not
	At      []string // the places where its points stand
	Points  int      // how many there are as a rule
}

// shown is what shows an energy: a term of the unit or of its size, the first word of
// terms, or duty.liquid. With a word it shows it where the term says that word.
type shown struct{ by, is Text }

func (k *Machine) energy(m *source.Map) Energy {
	m.Need("energy: electrical")
	e := Energy{Energy: m.OneOf("energy", energies...).S, Points: int(m.Whole("points", 1, 20).Value.SI())}
	for _, v := range m.List("shown_by") {
		if !v.IsMap() {
			e.shownBy = append(e.shownBy, shown{by: v.Text()})
			continue
		}
		by := v.Map()
		by.Need("term: built.take_up", "is: spring")
		e.shownBy = append(e.shownBy, shown{by.Text("term"), by.Text("is")})
		by.Done()
	}
	names := func(key string) []string {
		var out []string
		for _, t := range m.Texts(key) {
			if !slices.Contains(energies, t.S) {
				t.Errorf(0, "one-of", diag.DidYouMean(t.S, energies), "found %s where one of these is wanted: %s", source.Quote(t.S), strings.Join(energies, ", "))
			}
			out = append(out, t.S)
		}
		return out
	}
	e.as, e.unless = names("as"), names("unless")
	for _, t := range m.Texts("at") {
		if k.Place(t.S) == nil {
			t.Errorf(0, "one-of", diag.DidYouMean(t.S, k.PlaceNames()), "%s is not one of the places above: %s", source.Quote(t.S), strings.Join(k.PlaceNames(), ", "))
		}
		e.At = append(e.At, t.S)
	}
	m.Done()
	return e
}

// MayHold reports whether a unit of the kind may hold an energy: the kind names it, counts
// it as another or supposes it, or has a place of it. Liquid is also what a unit may be
// given on record.
func (k *Machine) MayHold(energy string) bool {
	return energy == "liquid" && k.liquid != liquidNone ||
		slices.ContainsFunc(k.Places, func(p Place) bool { return p.Of == energy }) ||
		slices.ContainsFunc(k.energies, func(e Energy) bool {
			return e.Energy == energy || slices.Contains(e.as, energy) || slices.Contains(e.unless, energy)
		})
}

// shownNames reports what shows no energy: terms that are nowhere, or not the unit's, and
// words that they never say.
func (l *loader) shownNames(k *Machine, e *Energy) {
	for _, s := range e.shownBy {
		t := l.Terms[s.by.S]
		owner := func(name string) bool { return s.by.S == name || strings.HasPrefix(s.by.S, name+".") }
		switch {
		case !s.by.Known():
		case owner("site") || owner("liquid"):
			l.problems.Errorf(s.by.At, "machine", "name what is on record of a unit or of its size; duty.liquid is whether it has a liquid", "%s does not show what a unit holds", source.Quote(s.by.S))
		case s.is.Known() && t != nil && t.Form != FormWords:
			l.problems.Errorf(s.is.At, "machine", "take is out", "%s is no term that says a word", source.Quote(s.by.S))
		case s.is.Known() && t != nil && !slices.Contains(k.words(t), s.is.S) && k.words(t) != nil:
			l.problems.Errorf(s.is.At, "one-of", diag.DidYouMean(s.is.S, k.words(t)), "found %s where one of these is wanted: %s", source.Quote(s.is.S), strings.Join(k.words(t), ", "))
		case s.by.S != "duty.liquid" && (t == nil || !t.OfMachine(k)) && (s.is.Known() || !l.isFirst(k, s.by.S)):
			l.problems.Errorf(s.by.At, "machine", diag.DidYouMean(s.by.S, slices.Sorted(maps.Keys(l.Terms))), "there is no term %s", source.Quote(s.by.S))
		}
	}
}

// isFirst reports whether terms of a kind begin with a word, such as drive.
func (l *loader) isFirst(k *Machine, word string) bool {
	for name, t := range l.Terms {
		if strings.HasPrefix(name, word+".") && t.OfMachine(k) {
			return true
		}
	}
	return false
}

// words are those that a term may say on a unit of the kind.
func (k *Machine) words(t *Term) []string {
	if own := k.Terms[t.Name]; own != nil {
		return own.Words
	}
	return t.Words
}
