package record

import "jobsheaf/internal/source"

// liquid reads a liquid. What is not a key of its own is a term liquid.*.
func (l *loader) liquid(r Record, m *source.Map) *Liquid {
	q := &Liquid{Record: r, Scalars: map[string]Scalar{}}
	m.Text("liquid")
	m.Need("name: Sodium hydroxide solution, 50 %", "source: safety data sheet, section 9")
	from := m.Text("source").S
	q.Name = m.Text("name")
	if m.Has("sheet") {
		s := m.Map("sheet")
		s.Need("issuer: the supplier", "day: 2025-11-03")
		q.Issuer, q.SheetDay, q.Revision = s.Text("issuer"), s.Day("day"), s.Text("revision")
		s.Done()
	}
	q.Statements = m.Texts("statements")
	for _, v := range m.List("wear") {
		w := v.Map()
		w.Need("sign: gloves", "say: Nitrile gauntlets")
		q.Wear = append(q.Wear, Sign{w.Text("sign"), w.Text("say")})
		w.Done()
	}
	q.FirstAid, q.Spill, q.Say = m.Texts("first_aid"), m.Texts("spill"), m.Texts("say")
	q.Confirmed = confirmed(m)
	l.scalars("liquid", m.Rest(), q.Scalars, func(int) string { return from })
	return q
}
