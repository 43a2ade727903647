package record

import (
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

// site reads the site record. What is not a key of its own is a term site.*.
func (l *loader) site(r Record, m *source.Map) *Site {
	s := &Site{Record: r, Crews: map[string]*Crew{}, Scalars: map[string]Scalar{}}
	m.Need("name", "paper", "units", "language", "energy_control", "emergency")
	s.Name = m.Text("name")
	s.Paper = m.OneOf("paper", "A4", "Letter").S
	if m.OneOf("units", quantity.Metric.String(), quantity.US.String()).S == quantity.US.String() {
		s.System = quantity.US
	}
	language := m.Text("language")
	if s.Language = language.S; language.Known() && !isLanguage(language.S) {
		language.Errorf(0, "language", "such as en or de", "%s is no code of a language: two letters a to z are wanted", source.Quote(language.S))
	}
	s.Link = m.Text("link")
	s.EnergyControl = m.Text("energy_control")
	s.Emergency = m.Text("emergency")
	for _, e := range m.Map("crews").Entries() {
		name := e.Key
		if fault := source.NameFault(name.S); fault != "" {
			name.Errorf(0, "name", source.NameHint, "%s is no name: %s", source.Quote(name.S), fault)
			continue
		}
		c := e.Value.Map()
		c.Need("people", "hours")
		s.Crews[name.S] = &Crew{Name: name.S, People: c.Whole("people", 1, 200), Hours: c.Amount("hours", quantity.KindTime, shiftHours), At: name.At}
		c.Done()
	}
	m.Text("site")
	l.scalars("site", m.Rest(), s.Scalars, recordItself)
	return s
}

func isLanguage(s string) bool {
	return len(s) == 2 && s[0] >= 'a' && s[0] <= 'z' && s[1] >= 'a' && s[1] <= 'z'
}

// unit reads a unit.
func (l *loader) unit(r Record, m *source.Map) *Unit {
	u := &Unit{Record: r, Scalars: map[string]Scalar{}}
	m.Need("name", "design", "size")
	u.Name, u.Area, u.Serial = m.Text("name"), m.Text("area"), m.Text("serial")
	u.DesignName, u.SizeName = m.Name("design"), m.Name("size")
	u.Suction = m.OneOf("suction", "left", "right")
	duty := m.Map("duty")
	u.LiquidName = duty.Name("liquid")
	l.scalars("duty", duty.Rest(), u.Scalars, recordItself)
	for _, owner := range []string{"built", "piping", "drive"} {
		l.scalars(owner, m.Map(owner).Entries(), u.Scalars, recordItself)
	}
	for _, v := range m.List("isolate") {
		u.Isolate = append(u.Isolate, isolationPoint(v.Map()))
	}
	for _, v := range m.List("history") {
		u.History = append(u.History, historyEntry(v.Map()))
	}
	u.Notes = m.Texts("notes")
	return u
}

func isolationPoint(m *source.Map) IsolationPoint {
	m.Need("point", "energy", "device", "where", "put", "prove")
	p := IsolationPoint{Point: m.Name("point"), Energy: m.OneOf("energy", Energies...), Device: m.Text("device"),
		Where: m.Text("where"), Put: m.Text("put"), Prove: m.Text("prove"), At: m.At()}
	m.Done()
	return p
}

func historyEntry(m *source.Map) HistoryEntry {
	m.Need("job", "day")
	h := HistoryEntry{Job: m.Name("job"), Day: m.Day("day"), Replaced: m.Texts("replaced"), At: m.At(),
		AsFound: readings(m.Map("as_found")), AsLeft: readings(m.Map("as_left"))}
	m.Done()
	return h
}

// readings reads measured lengths by name; which names there may be is known to
// the unit's size, so check looks at them.
func readings(m *source.Map) map[string]Amount {
	out := map[string]Amount{}
	for _, e := range m.Entries() {
		if a, ok := e.Value.Text().Amount(quantity.KindLength, reading); ok {
			out[e.Key.S] = a
		}
	}
	return out
}

// liquid reads a liquid. What is not a key of its own is a term liquid.*.
func (l *loader) liquid(r Record, m *source.Map) *Liquid {
	q := &Liquid{Record: r, Scalars: map[string]Scalar{}}
	m.Text("liquid")
	m.Need("name", "source")
	q.Name, q.Source = m.Text("name"), m.Text("source")
	if m.Has("sheet") {
		s := m.Map("sheet")
		s.Need("issuer", "day")
		q.Issuer, q.SheetDay, q.Revision = s.Text("issuer"), s.Day("day"), s.Text("revision")
		s.Done()
	}
	q.Statements = m.Texts("statements")
	for _, v := range m.List("wear") {
		w := v.Map()
		w.Need("sign", "say")
		q.Wear = append(q.Wear, Sign{w.Text("sign"), w.Text("say")})
		w.Done()
	}
	q.FirstAid, q.Spill, q.Say = m.Texts("first_aid"), m.Texts("spill"), m.Texts("say")
	l.scalars("liquid", m.Rest(), q.Scalars, func(int) string { return q.Source.S })
	return q
}

// instrument reads an instrument.
func (l *loader) instrument(r Record, m *source.Map) *Instrument {
	i := &Instrument{Record: r}
	m.Text("instrument")
	m.Need("resolution", "uncertainty", "source")
	i.Resolution, i.Source = m.Text("resolution"), m.Text("source")
	uncertainty := m.Text("uncertainty")
	if !i.Resolution.Known() {
		return i
	}
	show, err := quantity.ParseShow(i.Resolution.S)
	if err != nil {
		quantityError(i.Resolution, err)
		return i
	}
	if show.Way != quantity.Nearest || strings.HasPrefix(i.Resolution.S, "nearest") {
		i.Resolution.Errorf(0, "quantity", "write it as 0.01 mm or 0.0005 in", "a resolution has no direction of rounding")
	}
	i.Show = show
	kind := differenceOf(show.Grain[0].Unit.Kind)
	low, high := quantity.Of(0, kind), quantity.Of(quantity.Largest, kind)
	i.Uncertainty, _ = uncertainty.Amount(kind, quantity.Band{Low: &low, High: &high})
	return i
}

// differenceOf gives the kind of a difference between two readings of a kind: an
// uncertainty of a temperature is not itself a temperature.
func differenceOf(k quantity.Kind) quantity.Kind {
	if d, ok := (quantity.Type{Dim: k.Type().Dim}).Kind(); ok {
		return d
	}
	return k
}

// list reads a list of jobs.
func (l *loader) list(r Record, m *source.Map) *List {
	li := &List{Record: r}
	m.Text("list")
	m.Need("jobs")
	for _, v := range m.List("jobs") {
		j := v.Map()
		job := &Job{List: li, At: v.At()}
		job.From, job.To = v.Extent()
		j.Need("job", "unit", "procedure", "day")
		job.ID, job.Unit, job.Procedure, job.Day = j.Name("job"), j.Name("unit"), j.Name("procedure"), j.Day("day")
		if at := strings.IndexByte(job.ID.S, '_'); at >= 0 {
			job.ID.Errorf(at, "name", "write - for it", "the job ID %s has an underscore, which a page's code cannot hold", job.ID)
		}
		job.Crew = j.Name("crew")
		job.People, job.Hours = j.Whole("people", 1, 200), j.Amount("hours", quantity.KindTime, jobHours)
		j.Done()
		li.Jobs = append(li.Jobs, job)
	}
	return li
}

var pictograms = []string{"GHS01", "GHS02", "GHS03", "GHS04", "GHS05", "GHS06", "GHS07", "GHS08", "GHS09"}

// statements reads the GHS statements and which pictogram hides which.
func (l *loader) statements(m *source.Map) {
	all := m.Text("source")
	codes := func(m *source.Map, key string) (out []string) {
		for _, t := range m.Texts(key) {
			if l.Statements[t.S] == nil {
				t.Errorf(0, "unknown-statement", "add it to statements", "the statement %s is not listed above", source.Quote(t.S))
			}
			out = append(out, t.S)
		}
		return out
	}
	for _, e := range m.Map("statements").Entries() {
		s := e.Value.Map()
		s.Need("text", "class", "signal", "pictograms")
		st := &Statement{Code: e.Key.S, Text: s.Text("text").S, Class: s.Text("class").S, Signal: s.OneOf("signal", "danger", "warning", "none").S, Source: s.Text("source"), At: e.Key.At}
		for _, t := range s.Texts("pictograms") {
			if !contains(pictograms, t.S) {
				t.Errorf(0, "one-of", "", "found %s where one of these is wanted: %s", source.Quote(t.S), strings.Join(pictograms, ", "))
			}
			st.Pictograms = append(st.Pictograms, t.S)
		}
		if !st.Source.Known() {
			st.Source = all
		}
		s.Done()
		l.Statements[st.Code] = st
	}
	for _, v := range m.List("precedence") {
		p := v.Map()
		p.Need("shown", "hides", "of")
		l.Precedence = append(l.Precedence, Precedence{Shown: p.OneOf("shown", pictograms...).S, For: codes(p, "for"), Hides: p.OneOf("hides", pictograms...).S, Of: codes(p, "of"), Source: p.Text("source"), At: v.At()})
		p.Done()
	}
}
