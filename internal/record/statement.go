package record

import (
	"slices"
	"strings"

	"jobsheaf/internal/source"
)

var pictograms = []string{"GHS01", "GHS02", "GHS03", "GHS04", "GHS05", "GHS06", "GHS07", "GHS08", "GHS09"}

// statements reads the GHS statements and which pictogram hides which.
func (l *loader) statements(m *source.Map) {
	m.Text("source")
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
		s.Need("text: Causes severe skin burns and eye damage", "class: Skin corrosion 1", "signal: danger", "pictograms: [GHS05]")
		st := &Statement{Code: e.Key.S, Text: s.Text("text").S, Signal: s.OneOf("signal", "danger", "warning", "none").S, At: e.Key.At}
		s.Text("class")
		s.Text("source")
		for _, t := range s.Texts("pictograms") {
			if !slices.Contains(pictograms, t.S) {
				t.Errorf(0, "one-of", "", "found %s where one of these is wanted: %s", source.Quote(t.S), strings.Join(pictograms, ", "))
			}
			st.Pictograms = append(st.Pictograms, t.S)
		}
		s.Done()
		l.Statements[st.Code] = st
	}
	for _, v := range m.List("precedence") {
		p := v.Map()
		p.Need("shown: GHS05", "hides: GHS07", "of: [H315]")
		l.Precedence = append(l.Precedence, Precedence{Shown: p.OneOf("shown", pictograms...).S, For: codes(p, "for"), Hides: p.OneOf("hides", pictograms...).S, Of: codes(p, "of")})
		p.Text("source")
		p.Done()
	}
}
