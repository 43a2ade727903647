package record

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// Machine is a kind of machine: what a family of designs has in common.
type Machine struct {
	Record
	Terms  map[string]*Term
	Places []Place
	Wants  []Want
	Bars   []Want // what a unit must not have

	Displaces bool // it raises the pressure against a shut outlet until something gives

	liquid    string // whether its units have one
	energies  []Energy
	figures   []drawn
	isDefault Text
	order     []string // of Terms, as the file has them
	relations []Relation
}

// Whether the units of a kind have a liquid.
const (
	liquidWanted   = "wanted"
	liquidOptional = "optional"
	liquidNone     = "none"
)

// Place is where an isolation point may stand on a machine.
type Place struct {
	Place Text
	Is    string // one of roles
	Of    string // the energy that it holds back; "" where that depends
	If    Text   // a term: a unit of which it is false, none or not on record has no such place
	what  string // of the point there, in words
	Side  string // inlet or outlet: the machine takes its liquid in, or gives it out, there
	Apart bool   // what is shut off there is none of the machine's own
	Tags  bool   // what is stored there is let off and tagged, not locked
}

// The roles of a place.
const (
	IsDrive     = "drive"  // what moves the machine: its lock comes off last
	isBlock     = "block"  // shut and locked
	IsVent      = "vent"   // opened and tagged
	IsDrain     = "drain"  // opened and tagged
	isStored    = "stored" // a spring, a raised load, an accumulator
	IsElsewhere = "elsewhere"
)

var roles = []string{IsDrive, isBlock, IsVent, IsDrain, isStored, IsElsewhere}

// The sides of a machine.
const (
	Inlet  = "inlet"
	Outlet = "outlet"
)

// Want is a term that check asks a unit for, or must not find.
type Want struct {
	Term Text
	When Text // a condition; unknown: always
	Why  Text
}

// drawn is a figure that makes sense for a kind, with what the records give it.
type drawn struct {
	figure Text
	takes  []Taken
}

// Taken is a number or a text of a figure that is a value on record.
type Taken struct {
	Key      string
	Name     Text
	Optional bool // what is not on record is left to the figure
}

// machine reads a kind of machine. Its terms are entered once all kinds are read
// (adopt), since a site's kind stands in for a built-in one.
func (l *loader) machine(r Record, m *source.Map) *Machine {
	k := &Machine{Record: r, Terms: map[string]*Term{}}
	m.Text("machine")
	m.Need("title: Internal gear pump", "liquid: wanted", "places: [{place: drive, is: drive}]", "energies: [{energy: electrical, shown_by: [drive], at: [drive]}]")
	m.Text("title")
	if yes, _ := m.YesNo("default"); yes {
		k.isDefault = m.Text("default")
	}
	k.Displaces, _ = m.YesNo("displaces")
	k.liquid = m.OneOf("liquid", liquidWanted, liquidOptional, liquidNone).S
	for _, e := range m.Map("terms").Entries() {
		if t := l.term(e.Key, e.Value.Map(), true); t != nil {
			k.order = append(k.order, t.Name)
			k.Terms[t.Name] = t
			maps.Copy(k.Terms, t.beside())
		}
	}
	for _, v := range m.List("places") {
		k.Places = append(k.Places, place(v.Map()))
	}
	for _, v := range m.List("energies") {
		k.energies = append(k.energies, k.energy(v.Map()))
	}
	k.Wants, k.Bars = wants(m, "wants"), wants(m, "bars")
	for _, v := range m.List("figures") {
		k.figures = append(k.figures, drawing(v))
	}
	k.relations = l.relationsOf(m)
	for i := range k.relations {
		k.relations[i].Machine = k.ID
	}
	return k
}

func place(m *source.Map) Place {
	m.Need("place: drive", "is: drive")
	p := Place{Place: m.Text("place"), Is: m.OneOf("is", roles...).S, Of: m.OneOf("of", energies...).S, If: m.Text("if"), what: m.Text("what").S}
	if p.Place.Known() && !source.IsWord(strings.ReplaceAll(p.Place.S, " ", "_")) {
		p.Place.Errorf(0, "name", "such as jacket supply", "%s is not a valid name of a place: use words of a-z and 0-9", source.Quote(p.Place.S))
		p.Place = Text{}
	}
	if p.what == "" {
		p.what = "Isolation point at the " + p.Place.S
	}
	p.Side = m.OneOf("side", Inlet, Outlet).S
	p.Apart, _ = m.YesNo("apart")
	if p.Tags, _ = m.YesNo("tagged"); p.Tags && p.Is != isStored {
		m.Text("tagged").Errorf(0, "machine", "vents and drains are tagged anyway; all else is locked", "%s stores nothing that is let off: take tagged out", p.Place)
	}
	m.Done()
	return p
}

func wants(m *source.Map, key string) (out []Want) {
	for _, v := range m.List(key) {
		e := v.Map()
		e.Need("term: duty.start_at", "why: a pump is started where its liquid flows")
		out = append(out, Want{Term: e.Text("term"), When: e.Text("when"), Why: e.Text("why")})
		e.Done()
	}
	return out
}

func drawing(v source.Value) drawn {
	if !v.IsMap() {
		return drawn{figure: v.Text()}
	}
	m := v.Map()
	m.Need("figure: section")
	d := drawn{figure: m.Text("figure")}
	for _, key := range []string{"takes", "may_take"} {
		for _, e := range m.Map(key).Entries() {
			if t := e.Value.Text(); t.Known() {
				d.takes = append(d.takes, Taken{Key: e.Key.S, Name: t, Optional: key == "may_take"})
			}
		}
	}
	m.Done()
	return d
}

// adopt enters the terms, the points and the relations of all kinds, the built-in ones
// first and then in order of name, and settles which kind is that of a design which
// names none.
func (l *loader) adopt() {
	kinds := slices.SortedFunc(maps.Values(l.Machines), func(a, b *Machine) int {
		if a.BuiltIn != b.BuiltIn {
			return map[bool]int{true: -1, false: 1}[a.BuiltIn]
		}
		return strings.Compare(a.ID, b.ID)
	})
	var other *Machine // the default kind so far
	for _, k := range kinds {
		for _, t := range k.order {
			l.adoptTerm(k, k.Terms[t])
		}
		for _, p := range k.Places {
			if name := PointAt(p.Place.S); p.Place.Known() && l.Terms[name] == nil {
				l.Terms[name] = &Term{Name: name, What: p.what, Form: FormWords, At: p.Place.At}
			}
		}
		l.Relations = append(l.Relations, k.relations...)
		switch {
		case !k.isDefault.Known():
		case other == nil || other.BuiltIn && !k.BuiltIn:
			other = k
		case other.BuiltIn == k.BuiltIn:
			l.problems.Add(diag.Problem{Pos: k.isDefault.At, Severity: diag.Error, Rule: "machine", Related: []diag.Pos{other.isDefault.At},
				Message: "the kinds " + other.ID + " and " + k.ID + " are both the default", Hint: "take default: out of one of them"})
		}
	}
	l.DefaultMachine = other
	for _, name := range slices.Sorted(maps.Keys(l.Terms)) {
		t := l.Terms[name]
		parent, _, _ := cutLast(name)
		if above := l.Terms[parent]; above != nil && t.Of != parent && (t.machines != nil || above.machines != nil) { // the rest was told of before
			l.problems.Errorf(t.At, "term", "a record could not hold both", "the term %s is also the first part of %s", parent, name)
		}
	}
	for _, k := range kinds {
		l.machineNames(k)
	}
}

// adoptTerm enters a term of a kind among those of all. A formula is compiled once for
// all kinds, so a term that several have is of one form and kind of quantity in each.
func (l *loader) adoptTerm(k *Machine, t *Term) {
	old := l.Terms[t.Name]
	switch {
	case old == nil:
		all := *t
		all.machines = []string{k.ID}
		l.Terms[t.Name] = &all
		for name, end := range t.beside() {
			end.machines = all.machines
			l.Terms[name] = end
		}
		return
	case old.Of != "" || old.Form != t.Form || old.Kind != t.Kind || old.mayBeNone != t.mayBeNone:
		l.problems.Add(diag.Problem{Pos: t.At, Severity: diag.Error, Rule: "term", Related: []diag.Pos{old.At}, Hint: "choose another name, or make them alike",
			Message: "the term " + t.Name + " is " + old.Form.String() + " (" + old.Kind.String() + ") at " + old.At.String() + " and " + t.Form.String() + " (" + t.Kind.String() + ") here"})
		return
	}
	if old.machines != nil { // a kind may say more narrowly what all machines have
		old.machines = append(old.machines, k.ID)
		for name := range old.beside() {
			l.Terms[name].machines = old.machines
		}
	}
	for _, w := range t.Words {
		if !slices.Contains(old.Words, w) {
			old.Words = append(slices.Clone(old.Words), w)
		}
	}
}

// machineNames reports terms that a kind names and that are nowhere.
func (l *loader) machineNames(k *Machine) {
	unknown := func(t Text) {
		l.problems.Errorf(t.At, "machine", diag.DidYouMean(t.S, slices.Sorted(maps.Keys(l.Terms))), "there is no term %s", source.Quote(t.S))
	}
	has := func(t Text) bool {
		old := l.Terms[t.S]
		return old != nil && old.OfMachine(k)
	}
	for _, p := range k.Places {
		if p.If.Known() && (!has(p.If) || l.Terms[p.If.S].Form != FormYesNo && l.Terms[p.If.S].Form != FormWords) {
			l.problems.Errorf(p.If.At, "machine", "name a term that is true or false, or a word", "the place %s depends on %s, which is no such term", p.Place, source.Quote(p.If.S))
		}
	}
	for i := range k.energies {
		l.shownNames(k, &k.energies[i])
	}
	for _, list := range [][]Want{k.Wants, k.Bars} {
		for _, w := range list {
			if w.Term.Known() && !has(w.Term) {
				unknown(w.Term)
			}
		}
	}
}

// PointAt gives the name of the term that is made of the isolation points at a place.
func PointAt(place string) string {
	return "piping." + strings.ReplaceAll(place, " ", "_") + "_point"
}

// Place gives a place by its name; nil where the kind has none of it.
func (k *Machine) Place(name string) *Place {
	if k == nil {
		return nil
	}
	for i := range k.Places {
		if k.Places[i].Place.S == name {
			return &k.Places[i]
		}
	}
	return nil
}

// PlaceNames names the places, with "elsewhere", which every machine has.
func (k *Machine) PlaceNames() []string {
	var out []string
	if k != nil {
		for _, p := range k.Places {
			if p.Place.Known() { // else its own fault is told
				out = append(out, p.Place.S)
			}
		}
	}
	if !slices.Contains(out, IsElsewhere) {
		out = append(out, IsElsewhere)
	}
	return out
}

// OfMachine reports whether a kind has the term; nil, a kind that is not known, may
// have any.
func (t *Term) OfMachine(k *Machine) bool {
	return k == nil || t.machines == nil || slices.Contains(t.machines, k.ID)
}

// Draws gives what the records give a figure for a kind. ok is false where the figure
// makes sense for other kinds alone: a figure that no kind names is for all.
func (b *Book) Draws(k *Machine, figure string) (takes []Taken, ok bool) {
	named := false
	for _, m := range b.Machines {
		for _, d := range m.figures {
			if d.figure.S != figure {
				continue
			}
			if named = true; m == k {
				return d.takes, true
			}
		}
	}
	return nil, !named || k == nil
}

// Given names what some kind gives a figure from the records.
func (b *Book) Given(figure string) (keys []string) {
	for _, m := range b.Machines {
		for _, d := range m.figures {
			for _, t := range d.takes {
				if d.figure.S == figure && !slices.Contains(keys, t.Key) {
					keys = append(keys, t.Key)
				}
			}
		}
	}
	slices.Sort(keys)
	return keys
}

// TermOf gives a term as a unit's kind has it: what it is and its words may differ
// from those of another kind.
func (b *Book) TermOf(u *Unit, name string) *Term {
	if u != nil && u.Machine != nil {
		if t := u.Machine.Terms[name]; t != nil {
			return t
		}
	}
	return b.Terms[name]
}

// HasLiquid reports whether anything is asked of a unit's liquid: its kind wants one,
// or one is on record.
func (u *Unit) HasLiquid() bool {
	switch {
	case u.Machine == nil || u.Machine.liquid == liquidWanted || u.Machine.liquid == "":
		return true
	}
	return u.LiquidName.Known()
}
