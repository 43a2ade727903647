package record

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// reserved are the first words of names that formulas use for something else.
var reserved = []string{"unit", "job", "joint", "joints", "feature", "features", "assembly", "assemblies", "instrument", "size", "design",
	"name", "source", "kits", "supplies", "energy", "readings"}

// unitKeys are the keys of a unit's record and the words that formulas have for it,
// which no term unit.NAME may take.
var unitKeys = []string{"unit", "id", "name", "serial", "area", "design", "size", "machine", "duty", "built", "piping", "drive", "isolate", "history", "notes",
	"confirmed", "locks_off_first", "locks_off_last"}

// terms reads a record of terms. A term of the site may replace a built-in
// one if it is of the same form and kind, so that procedures still mean the same.
func (l *loader) terms(m *source.Map) {
	for _, e := range m.Map("terms").Entries() {
		t := l.term(e.Key, e.Value.Map(), false)
		if t == nil {
			continue
		}
		if old := l.Terms[t.Name]; old != nil {
			switch {
			case old.Of != "":
				e.Key.Errorf(0, "term", "choose another name", "the term %s is already an end of %s", t.Name, old.Of)
				continue
			case old.Form != t.Form || old.Kind != t.Kind:
				e.Key.Errorf(0, "term", "procedures rely on it: choose another name", "the built-in term %s is %s (%s), this one %s (%s)", t.Name, old.Form, old.Kind, t.Form, t.Kind)
				continue
			}
		}
		l.Terms[t.Name] = t
		maps.Copy(l.Terms, t.beside())
	}
	for name, t := range l.Terms {
		if parent, _, ok := cutLast(name); ok && t.Of != parent && l.Terms[parent] != nil {
			m.Errorf("terms", "term", "a record could not hold both", "the term %s is also the first part of %s", parent, name)
		}
	}
}

// Range says what a term may be: from where to where, or which words; "" where it may be
// any.
func (t *Term) Range() string {
	says := strings.Join(t.Words, ", ")
	if t.bounds.Low != nil && t.bounds.High != nil {
		says = t.bounds.Low.Plain() + " to " + t.bounds.High.Plain()
	}
	if t.mayBeNone {
		says += ", or none"
	}
	return says
}

// beside gives the terms that stand beside one: the ends of a band, and whether it is
// none.
func (t *Term) beside() map[string]*Term {
	out := map[string]*Term{}
	for end, form := range t.ends() {
		out[t.Name+"."+end] = &Term{Name: t.Name + "." + end, What: t.What + ", " + end, Form: form, Kind: t.Kind, bounds: t.bounds, Show: t.Show, Of: t.Name, At: t.At, machines: t.machines, broken: t.broken}
	}
	return out
}

// ends gives the names that stand beside a term, with their forms.
func (t *Term) ends() map[string]Form {
	ends := map[string]Form{}
	if t.Form == FormBand {
		ends["low"], ends["high"] = FormAmount, FormAmount
	}
	if t.mayBeNone {
		ends["none"] = FormYesNo
	}
	return ends
}

func cutLast(name string) (before, after string, ok bool) {
	i := strings.LastIndexByte(name, '.')
	if i < 0 {
		return "", name, false
	}
	return name[:i], name[i+1:], true
}

// term reads one term; nil where its name cannot be one. Those of a kind of machine may
// be unit.NAME, which stands in a unit's record by itself, and none of a site's or a
// liquid's.
func (l *loader) term(key Text, m *source.Map, ofMachine bool) *Term {
	parts := strings.Split(key.S, ".")
	for _, p := range parts {
		if !source.IsWord(p) || len(parts) > 4 {
			key.Errorf(0, "term", "a term is words of a-z, 0-9 and _, joined by points, such as end_clearance.set", "%s is not a valid name of a term", source.Quote(key.S))
			return nil
		}
	}
	switch own := ofMachine && len(parts) == 2 && parts[0] == "unit"; {
	case own && slices.Contains(unitKeys, parts[1]):
		key.Errorf(0, "term", "choose another name", "the word %s is taken: a unit's record uses it for something else", parts[1])
		return nil
	case ofMachine && (parts[0] == "site" || parts[0] == "liquid"):
		key.Errorf(0, "term", "move it to terms.yaml", "%s is no term of a machine", key.S)
		return nil
	}
	for _, r := range reserved {
		if parts[0] == r && !(r == "unit" && ofMachine && len(parts) == 2) {
			key.Errorf(0, "term", "choose another first word", "the word %s is taken: formulas use it for something else", r)
			return nil
		}
	}
	if len(parts) == 1 && (isOwner(parts[0]) || parts[0] == "all") {
		key.Errorf(0, "term", "such as built."+parts[0], "the word %s says whose a term is, and is none itself", parts[0])
		return nil
	}
	before := 0
	if d := m.Doc(); d != nil {
		before = len(d.Problems)
	}
	t := &Term{Name: key.S, At: key.At}
	m.Need("what: End clearance to set cold")
	t.What = m.Text("what").S
	t.form(m)
	t.mayBeNone, _ = m.YesNo("none")
	if t.mayBeNone && t.Form != FormAmount {
		m.Errorf("none", "term", "delete it", "only a quantity can be none")
	}
	t.Fact = m.Text("fact").S
	m.Done()
	t.broken = m == nil || len(m.Doc().Problems) > before
	return t
}

// form reads what the values of a term may be.
func (t *Term) form(m *source.Map) {
	kind := m.OneOf("kind", quantity.KindNames()...)
	words := m.Texts("one_of")
	text, _ := m.YesNo("text")
	yesNo, _ := m.YesNo("yes_no")
	band, _ := m.YesNo("band")
	count := 0
	for _, is := range []bool{m.Has("kind"), m.Has("one_of"), text, yesNo} {
		if is {
			count++
		}
	}
	if count != 1 {
		m.Errorf("what", "term", "write one of them, such as kind: length", "a term has one of kind, one_of, text: true and yes_no: true; this one has %d", count)
	}
	for _, w := range words {
		t.Words = append(t.Words, w.S)
	}
	switch {
	case kind.Known():
		t.Form = FormAmount
		if band {
			t.Form = FormBand
		}
		t.amount(m, kind.S)
		return
	case yesNo:
		t.Form = FormYesNo
	case text || len(words) > 0:
		t.Form = FormWords
	default:
		t.Form = FormAmount
	}
	for _, key := range []string{"band", "whole", "from", "to", "show"} {
		if m.Has(key) && !m.Has("kind") {
			m.Errorf(key, "term", "add kind: ..., or delete it", "%s belongs to a quantity", key)
		}
	}
}

// amount reads the kind, range and print of a quantity's term.
func (t *Term) amount(m *source.Map, kind string) {
	t.Kind, _ = quantity.KindNamed(kind)
	t.Show = quantity.ShowFor(t.Kind)
	t.Whole, _ = m.YesNo("whole")
	if t.Whole && t.Kind != quantity.KindNumber {
		m.Errorf("whole", "term", "delete it", "only a number can be whole, not a %s", kind)
	}
	m.Need("from: 0.01 mm", "to: 2 mm")
	any := quantity.Band{}
	from, to := m.Amount("from", t.Kind, any), m.Amount("to", t.Kind, any)
	if from.Known() && to.Known() {
		if from.Value.SI() >= to.Value.SI() {
			m.Errorf("to", "swapped-limits", "write the lower end in from", "the range from %s to %s is empty", from, to)
		}
		t.bounds = quantity.Band{Low: &from.Value, High: &to.Value}
	}
	if show := m.Text("show"); show.Known() {
		s, err := quantity.ParseShow(show.S)
		switch {
		case err != nil:
			show.QuantityError(err)
		case s.Grain[0].Unit.Kind.Type().Dim != t.Kind.Type().Dim:
			show.Errorf(0, "quantity", "give the grain in a unit of "+kind, "%s is a %s where a %s is printed", source.Quote(show.S), s.Grain[0].Unit.Kind, kind)
		default:
			t.Show = s
		}
	}
	if t.Whole {
		t.Show.Grain = [2]quantity.Grain{{Step: 1}, {Step: 1}}
		for i := range t.Show.Grain {
			t.Show.Grain[i].Unit, _ = quantity.UnitNamed("", quantity.KindNumber)
		}
	}
}

// isOwner reports whether a first word says whose a term is.
func isOwner(word string) bool {
	switch word {
	case "site", "built", "duty", "piping", "drive", "liquid":
		return true
	}
	return false
}
