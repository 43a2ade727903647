package record

import (
	"slices"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// Papers are the papers that a site may print on.
var Papers = []string{"A4", "Letter", "Legal", "Foolscap", "Folio"}

// site reads the site record. What is not a key of its own is a term site.*.
func (l *loader) site(r Record, m *source.Map) *Site {
	s := &Site{Record: r, Crews: map[string]*Crew{}, Scalars: map[string]Scalar{}}
	m.Need("name: Candle Row Soap Works", "paper: A4", "units: metric", "language: en",
		"energy_control: Site rule SR-7, control of hazardous energy", "emergency: Dial 5555; shower and eyewash at column C4")
	s.Name = m.Text("name")
	s.Paper = m.OneOf("paper", Papers...).S
	if m.OneOf("units", quantity.Metric.String(), quantity.US.String()).S == quantity.US.String() {
		s.System = quantity.US
	}
	s.Language = m.Language("language").S
	s.Link = m.Text("link")
	s.EnergyControl = m.Text("energy_control")
	s.Emergency = m.Text("emergency")
	s.Dates = m.OneOf("dates", DateOrders...).S
	s.columns(m.Map("columns"))
	for _, e := range m.Map("crews").Entries() {
		name := e.Key
		if fault := source.NameFault(name.S); fault != "" {
			name.Errorf(0, "name", source.NameHint, "%s is no name: %s", source.Quote(name.S), fault)
			continue
		}
		c := e.Value.Map()
		c.Need("people: 2", "hours: 8 h")
		s.Crews[name.S] = &Crew{Name: name.S, People: c.Whole("people", 1, 200), Hours: c.Amount("hours", quantity.KindTime, shiftHours), At: name.At}
		c.Done()
	}
	m.Text("site")
	l.scalars("site", m.Rest(), s.Scalars, recordItself)
	return s
}

// columns reads which headings of a planner's lists stand for which key of a job,
// and for its status.
func (s *Site) columns(m *source.Map) {
	s.Columns = map[string][]Text{}
	for _, key := range append(slices.Clone(JobKeys), "status") {
		v, ok := m.Value(key)
		switch {
		case !ok:
		case v.IsList():
			s.Columns[key] = m.Texts(key)
		default:
			s.Columns[key] = []Text{v.Text()}
		}
	}
	m.Done()
}
