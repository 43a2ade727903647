package record

import (
	"slices"
	"strings"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// papers are the papers that a site may print on.
var papers = []string{"A4", "Letter", "Legal", "Foolscap", "Folio"}

// site reads the site record. What is not a key of its own is a term site.*.
func (l *loader) site(r Record, m *source.Map) *Site {
	s := &Site{Record: r, Crews: map[string]*Crew{}, Scalars: map[string]Scalar{}}
	m.Need("name: Candle Row Soap Works", "paper: A4", "units: metric", "language: en",
		"energy_control: Site rule SR-7, control of hazardous energy", "emergency: Dial 5555; shower and eyewash at column C4")
	s.Name = m.Text("name")
	s.Paper = m.OneOf("paper", papers...).S
	if m.OneOf("units", quantity.Metric.String(), quantity.US.String()).S == quantity.US.String() {
		s.System = quantity.US
	}
	s.Language = m.Language("language").S
	s.Link = link(m)
	s.EnergyControl = m.Text("energy_control")
	s.Emergency = m.Text("emergency")
	s.Dates = m.OneOf("dates", dateOrders...).S
	s.columns(m.Map("columns"))
	for _, e := range m.Map("crews").Entries() {
		name := e.Key
		if fault := source.NameFault(name.S); fault != "" {
			name.Errorf(0, "name", source.NameHint, "%s is not a valid name: %s", source.Quote(name.S), fault)
			continue
		}
		c := e.Value.Map()
		c.Need("people: 2", "hours: 8 h")
		s.Crews[name.S] = &Crew{Name: name.S, People: c.Whole("people", 1, 200), Hours: c.Amount("hours", quantity.KindTime, shiftHours)}
		c.Done()
	}
	m.Text("site")
	s.Confirmed = confirmed(m)
	l.scalars("site", m.Rest(), s.Scalars, recordItself)
	return s
}

// link reads the link that the code of each page begins with. The case of its host
// never matters; that of its path may, and lower case makes the code finer.
func link(m *source.Map) source.Text {
	t, letters := m.Text("link"), m.OneOf("link_case", "upper", "as-written").S
	_, rest, _ := strings.Cut(t.S, "://")
	_, path, _ := strings.Cut(rest, "/")
	switch {
	case letters == "upper":
		t.S = strings.ToUpper(t.S)
	case letters == "" && path != strings.ToUpper(path):
		t.Warnf(0, "link-case", "where the server takes upper case, write the path in it or add link_case: upper; where it does not, add link_case: as-written",
			"the path /%s has lower-case letters, which make the code of each page finer and harder to read after a photocopy", path)
	}
	return t
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
