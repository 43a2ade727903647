package manifest

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
)

// Encode writes the manifest as JSON, a line to each box, the same bytes for the
// same manifest. It refuses a length that is not a number. It is written by hand,
// since encoding/json, box by box, takes five times as long and a manifest is part
// of every packet; Decode reads it with encoding/json, and the tests check one against
// the other.
func (m Manifest) Encode() ([]byte, error) {
	const perPage, perBox = 1024, 256 // bytes, about
	room := perPage
	for i := range m.Pages {
		room += perPage + perBox*len(m.Pages[i].Boxes)
	}
	e := encoder{b: make([]byte, 0, room)}
	e.int("{\n  \"format\": ", m.Format)
	for _, f := range [...][2]string{{"job", m.Job}, {"unit", m.Unit}, {"procedure", m.Procedure}, {"revision", m.Revision},
		{"day", m.Day}, {"fingerprint", m.Fingerprint}, {"program", m.Program}} {
		e.text(",\n  \""+f[0]+"\": ", f[1])
	}
	e.int(",\n  \"annex\": ", m.Annex)
	e.raw(",\n  \"pages\": [\n")
	for i := range m.Pages {
		e.page(&m.Pages[i])
		if i < len(m.Pages)-1 {
			e.raw(",")
		}
		e.raw("\n")
	}
	e.raw("  ]\n}\n")
	return e.b, e.err
}

// encoder appends JSON. err is the first fault that it met.
type encoder struct {
	b   []byte
	err error
}

func (e *encoder) page(p *Page) {
	e.int("    {\"page\": ", p.Number)
	e.int(", \"of\": ", p.Of)
	e.text(",\n      \"sheet\": ", p.Sheet)
	e.mm(",\n      \"w\": ", p.W)
	e.mm(",\n      \"h\": ", p.H)
	e.raw(",\n      \"marks\": [")
	for i, at := range p.Marks {
		e.comma(i)
		e.mm("[", at[0])
		e.mm(",", at[1])
		e.raw("]")
	}
	e.raw("],\n      \"codes\": [")
	for i := range p.Codes {
		c := &p.Codes[i]
		e.comma(i)
		e.mm("{\"x\":", c.X)
		e.mm(",\"y\":", c.Y)
		e.mm(",\"size\":", c.Size)
		e.text(",\"text\":", c.Text)
		e.text(",\"level\":", c.Level)
		e.int(",\"version\":", c.Version)
		e.raw("}")
	}
	e.raw("],\n      \"boxes\": [")
	for i := range p.Boxes {
		e.comma(i)
		e.raw("\n        ")
		e.box(&p.Boxes[i])
	}
	e.raw("\n      ]}")
}

func (e *encoder) box(b *Box) {
	e.text("{\"id\":", b.ID)
	e.text(",\"kind\":", b.Kind)
	e.place(b.X, b.Y, b.W, b.H)
	if b.Hatched {
		e.raw(",\"hatched\":true")
	}
	if len(b.Printed) > 0 {
		e.raw(",\"printed\":[")
		for i, p := range b.Printed {
			e.comma(i)
			e.raw("{")
			if p.Text != "" {
				e.text("\"text\":", p.Text)
				e.raw(",")
			}
			e.mm("\"x\":", p.X)
			e.rest(p.Y, p.W, p.H)
			e.raw("}")
		}
		e.raw("]")
	}
	if b.Ask != nil {
		e.ask(b.Ask)
	}
	e.raw("}")
}

func (e *encoder) ask(a *Ask) {
	e.text(",\"ask\":{\"for\":", string(a.For))
	e.known(",\"step\":", a.Step)
	e.known(",\"of\":", a.Of)
	e.known(",\"label\":", a.Label)
	e.known(",\"unit\":", a.Unit)
	e.limit(",\"low\":", a.Low)
	e.limit(",\"high\":", a.High)
	e.known(",\"limits\":", a.Limits)
	e.known(",\"last\":", a.Last)
	e.known(",\"tool\":", a.Tool)
	e.known(",\"keep\":", a.Keep)
	if a.Optional {
		e.raw(",\"optional\":true")
	}
	e.raw("}")
}

// known writes a string where there is one.
func (e *encoder) known(lead, s string) {
	if s != "" {
		e.text(lead, s)
	}
}

// limit writes a number where there is one. There are few: encoding/json says how.
func (e *encoder) limit(lead string, x *float64) {
	if x == nil {
		return
	}
	raw, err := json.Marshal(*x)
	if err != nil && e.err == nil { // it is not a number
		e.err = err
	}
	e.raw(lead)
	e.b = append(e.b, raw...)
}

func (e *encoder) place(x, y, w, h MM) {
	e.mm(",\"x\":", x)
	e.rest(y, w, h)
}

func (e *encoder) rest(y, w, h MM) {
	e.mm(",\"y\":", y)
	e.mm(",\"w\":", w)
	e.mm(",\"h\":", h)
}

func (e *encoder) raw(s string) { e.b = append(e.b, s...) }

// comma parts an entry of a list from the one before it.
func (e *encoder) comma(i int) {
	if i > 0 {
		e.b = append(e.b, ',')
	}
}

// int, mm and text write a value behind what leads to it, mostly its key.
func (e *encoder) int(lead string, n int) {
	e.b = strconv.AppendInt(append(e.b, lead...), int64(n), 10)
}

func (e *encoder) mm(lead string, m MM) {
	e.raw(lead)
	v := math.Round(float64(m) * 100)
	if !(math.Abs(v) < 1<<53) { // also not a number
		if e.err == nil {
			e.err = fmt.Errorf("manifest: %v is not a length", float64(m))
		}
		return
	}
	n := int64(v)
	if n < 0 {
		e.b = append(e.b, '-')
		n = -n
	}
	e.int("", int(n/100))
	e.b = append(e.b, '.', byte('0'+n%100/10), byte('0'+n%10))
}

// text writes a string. What JSON escapes, and what is not ASCII, is left to
// encoding/json.
func (e *encoder) text(lead, s string) {
	e.raw(lead)
	for i := range len(s) {
		if c := s[i]; c < ' ' || c > '~' || c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' {
			raw, err := json.Marshal(s)
			if err != nil && e.err == nil { // no string is refused
				e.err = err
			}
			e.b = append(e.b, raw...)
			return
		}
	}
	e.b = append(append(append(e.b, '"'), s...), '"')
}
