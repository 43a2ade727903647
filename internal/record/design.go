package record

import (
	"maps"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// design reads a design with its size table. Each size is laid over what all
// sizes share, key by key.
func (l *loader) design(r Record, m *source.Map) *Design {
	d := &Design{Record: r, Sizes: map[string]*Size{}}
	m.Text("design")
	m.Need("name: Ring gear B", "source: Works drawing set RB, issue 4", `sizes: {"65": {displacement: 0.55 L}}`)
	d.Name, d.Source = m.Text("name"), m.Text("source")
	d.Machine = l.machineOf(m)
	l.kind = d.Machine
	defer func() { l.kind = nil }()
	all, _ := m.Value("all")
	for _, e := range m.Map("sizes").Entries() {
		if fault := source.NameFault(e.Key.S); fault != "" {
			e.Key.Errorf(0, "name", source.NameHint, "%s is not a valid name of a size: %s", source.Quote(e.Key.S), fault)
			continue
		}
		own := e.Value.Map()
		if m.Has("all") {
			own = own.Over(all.Map())
		}
		s := l.size(d, e.Key, own)
		s.From, s.To = e.Value.Extent()
		d.Sizes[s.Name] = s
	}
	return d
}

// machineOf gives the kind that a design names, else the default one; nil where there is
// none of the name.
func (l *loader) machineOf(m *source.Map) *Machine {
	t := m.Name("machine")
	if !t.Known() {
		return l.DefaultMachine
	}
	k := l.Machines[t.S]
	if k == nil {
		t.Errorf(0, "machine", diag.OneOf(t.S, slices.Sorted(maps.Keys(l.Machines))), "there is no kind of machine %s", source.Quote(t.S))
	}
	return k
}

// size reads one size from the laid-over table.
func (l *loader) size(d *Design, key Text, m *source.Map) *Size {
	s := &Size{Name: key.S, Design: d, At: key.At, Source: d.Source.S,
		Scalars: map[string]Scalar{}, Joints: map[string]*Joint{}, Features: map[string]*Feature{}, Assemblies: map[string]*Assembly{}}
	if own := m.Text("source"); own.Known() {
		s.Source = own.S
	}
	from := func(layer int) string {
		if layer > 0 {
			return d.Source.S
		}
		return s.Source
	}
	each(m, "joints", func(name Text, j *source.Map) {
		s.Joints[name.S] = joint(name, j)
		s.JointOrder = append(s.JointOrder, name.S)
	})
	each(m, "features", func(name Text, f *source.Map) {
		s.Features[name.S] = feature(name, f)
		s.FeatureOrder = append(s.FeatureOrder, name.S)
	})
	each(m, "assemblies", func(name Text, a *source.Map) {
		a.Need("what: Casing cover")
		s.Assemblies[name.S] = &Assembly{What: a.Text("what"), Mass: a.Amount("mass", quantity.KindMass, anyMass)}
		a.Done()
		s.AssemblyOrder = append(s.AssemblyOrder, name.S)
	})
	for _, v := range m.List("kits") {
		k := v.Map()
		k.Need("kit: Seal kit", "number: RB65-SK1", "items: [Seal, Gasket set]")
		s.Kits = append(s.Kits, Kit{Kit: k.Text("kit"), Number: k.Text("number"), When: k.Text("when"),
			FromSerial: k.Text("from_serial"), ToSerial: k.Text("to_serial"), Items: k.Texts("items")})
		k.Done()
	}
	for _, v := range m.List("supplies") {
		p := v.Map()
		p.Need("item: Bearing grease")
		s.Supplies = append(s.Supplies, Supply{Item: p.Text("item"), Amount: anyAmount(p.Text("amount")), Where: p.Text("where"), When: p.Text("when")})
		p.Done()
	}
	s.Confirmed = confirmed(m)
	l.scalars("", m.Rest(), s.Scalars, from)
	return s
}

// each reads the parts of one kind, by name. A name is used in formulas.
func each(m *source.Map, key string, read func(name Text, part *source.Map)) {
	for _, e := range m.Map(key).Entries() {
		if !source.IsWord(e.Key.S) {
			e.Key.Errorf(0, "name", "such as housing_face", "%s cannot be a name in formulas: use words of a-z and 0-9, joined by _", source.Quote(e.Key.S))
			continue
		}
		read(e.Key, e.Value.Map())
	}
}

// anyAmount reads how much of a supply is wanted, in whatever it is measured.
func anyAmount(t Text) Amount {
	v, ok := ofAnyKind(t)
	if !ok {
		return Amount{}
	}
	if v.SI() <= 0 {
		t.Errorf(0, "range", "such as 15 g", "the amount %s is not above zero", source.Quote(t.S))
		return Amount{}
	}
	return Amount{Text: t, Value: v}
}

// maxPasses is how many passes of tightening a joint may have: as many as the
// sheets have columns for. One that no sheet prints would leave a bolt loose.
const maxPasses = 3

func joint(name Text, m *source.Map) *Joint {
	m.Need("what: Head to casing")
	j := &Joint{
		At: name.At, What: m.Text("what"), Count: m.Whole("count", 1, 48), Thread: m.Text("thread"), Grade: m.Text("grade"), Seat: m.Text("seat"),
		Circle: m.Amount("circle", quantity.KindLength, anyLength), Condition: m.Text("condition"), Method: m.Text("method"),
		Fraction: m.Amount("fraction", quantity.KindNumber, fraction), Passes: m.Amounts("passes", quantity.KindNumber, pass),
		Order: m.OneOf("order", Orders...).S, Torque: m.Band("torque", quantity.KindTorque, boltTorque), TorqueSource: m.Text("torque_source"),
	}
	if j.Order == "" {
		j.Order = "cross"
	}
	if j.Torque.Known() && !j.TorqueSource.Known() {
		j.Torque.Errorf(0, "missing-key", "such as torque_source: Works drawing set RB, sheet 3", "a torque that is recorded instead of computed needs its torque_source")
	}
	for i, p := range j.Passes {
		switch {
		case i == maxPasses:
			p.Errorf(0, "range", "such as [0.3, 0.6, 1.0]", "found more than %d passes: a sheet prints no more, and the last of them is the whole torque", maxPasses)
		case i > 0 && p.Value.SI() <= j.Passes[i-1].Value.SI():
			p.Errorf(0, "order", "such as [0.3, 0.6, 1.0]", "the passes do not rise: %s follows %s", p, j.Passes[i-1])
		case i == len(j.Passes)-1 && p.Value.SI() != 1:
			p.Errorf(0, "range", "such as [0.3, 0.6, 1.0]", "the last pass is %s of the torque, not 1", p)
		}
	}
	m.Done()
	return j
}

func feature(name Text, m *source.Map) *Feature {
	m.Need("part: shaft", "what: Diameter where the bearing sits")
	f := &Feature{
		Name: name.S, Part: m.Text("part"), What: m.Text("what"), New: measured(m.Text("new")),
		RejectBelow: measured(m.Text("reject_below")), RejectAbove: measured(m.Text("reject_above")),
		Instrument: m.Text("instrument"), Places: m.Texts("places"), IfWorn: m.Text("if_worn"), Points: m.Text("points"), Replaces: m.Text("replaces"),
	}
	oneKind(f)
	m.Done()
	return f
}
