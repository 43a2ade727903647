package record

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// The ranges of quantities that are no terms. They catch slips of the pen.
var (
	anyLength  = source.Within(quantity.KindLength, "0.001 mm", "10 m")
	reading    = source.Within(quantity.KindLength, "0 mm", "10 m") // a groove is 0 mm deep when new
	anyMass    = source.Within(quantity.KindMass, "0.01 kg", "20000 kg")
	shiftHours = source.Within(quantity.KindTime, "0.25 h", "24 h")
	jobHours   = source.Within(quantity.KindTime, "0.1 h", "1000 h")
	fraction   = source.Within(quantity.KindNumber, "0.05", "0.95")
	pass       = source.Within(quantity.KindNumber, "0.05", "1")
	boltTorque = source.Within(quantity.KindTorque, "0.1 N.m", "20000 N.m")
)

func recordItself(int) string { return "" }

// unit reads a unit.
func (l *loader) unit(r Record, m *source.Map) *Unit {
	u := &Unit{Record: r, Scalars: map[string]Scalar{}}
	m.Need("name: Transfer pump 4", "design: ring-gear-b", `size: "65"`)
	u.Name, u.Area, u.Serial = m.Text("name"), m.Text("area"), m.Text("serial")
	u.DesignName, u.SizeName = m.Name("design"), m.Name("size")
	if d := l.Designs[u.DesignName.S]; d != nil {
		u.Machine = d.Machine
	}
	l.kind = u.Machine
	defer func() { l.kind = nil }()
	for name, t := range l.Terms {
		if key, own := strings.CutPrefix(name, "unit."); own && t.Of == "" && t.OfMachine(u.Machine) {
			if v, ok := m.Value(key); ok {
				l.scalar(l.own(t), v, u.Scalars, "")
			}
		}
	}
	duty := m.Map("duty")
	u.LiquidName = duty.Name("liquid")
	l.scalars("duty", duty.Rest(), u.Scalars, recordItself)
	for _, owner := range []string{"built", "piping", "drive"} {
		l.scalars(owner, m.Map(owner).Entries(), u.Scalars, recordItself)
	}
	for _, v := range m.List("isolate") {
		u.Isolate = append(u.Isolate, l.isolationPoint(v.Map()))
	}
	l.pointsAt(u, m)
	for _, v := range m.List("history") {
		u.History = append(u.History, historyEntry(v.Map()))
	}
	u.Notes = m.Texts("notes")
	u.Confirmed = confirmed(m)
	return u
}

func (l *loader) isolationPoint(m *source.Map) IsolationPoint {
	m.Need("point: E1", "energy: electrical", "device: motor starter 14", "put: open and locked")
	spots := l.kind.PlaceNames()
	if l.kind == nil { // of a design that is not on record: which kind is meant is not known
		for _, name := range slices.Sorted(maps.Keys(l.Machines)) {
			spots = append(spots, l.Machines[name].PlaceNames()...)
		}
	}
	p := IsolationPoint{Point: m.Name("point"), Energy: m.OneOf("energy", energies...), Device: m.Text("device"),
		Where: m.Text("where"), Put: m.Text("put"), Prove: m.Text("prove"), Spot: m.OneOf("at", spots...), At: m.At()}
	p.place = l.kind.Place(p.Spot.S)
	m.Done()
	return p
}

// pointsAt makes terms of the isolation points, by the place where each stands, so
// that a step can name the valve that it opens: piping.vent_point is "V4".
func (l *loader) pointsAt(u *Unit, m *source.Map) {
	for name, s := range u.Scalars {
		if strings.HasPrefix(name, "piping.") && strings.HasSuffix(name, "_point") {
			m.Doc().Errorf(s.At, "unknown-key", "write at: under the point in isolate", "%s is made from the isolation points", name)
		}
	}
	for _, p := range u.Isolate {
		t := l.Terms[PointAt(p.Spot.S)]
		if t == nil || !p.Point.Known() {
			continue
		}
		s, more := u.Scalars[t.Name]
		if !more {
			s = Scalar{Name: t.Name, Term: t, Form: FormWords, At: p.Point.At}
		}
		s.Text = strings.TrimPrefix(s.Text+", "+p.Point.S, ", ")
		s.Written = s.Text
		u.Scalars[t.Name] = s
	}
}
