package compose

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

func heading(level int, text string) packet.Block {
	return packet.Block{Heading: &packet.Heading{Text: text, Level: level}}
}

// column is a column of a table: its key in the catalogue of words, its weight and
// its least width in mm.
type column struct {
	key           string
	weight, least float64
}

// table begins a table, whose title and headings are the words of its name.
func (r *run) table(name string, columns ...column) *packet.Table {
	t := &packet.Table{ID: name, Title: r.word(name + ".title")}
	for _, c := range columns {
		t.Columns = append(t.Columns, packet.Column{Title: r.word(name + "." + c.key), Weight: c.weight, Least: c.least})
	}
	return t
}

// signBlanks are the places of one signature: name, signature, date and time.
func (r *run) signBlanks(id string) []packet.Blank {
	return []packet.Blank{
		{ID: r.places.id(id, "name"), Kind: packet.Words, Label: r.word("sign.name"), Characters: 14},
		{ID: r.places.id(id, "sign"), Kind: packet.Sign, Label: r.word("sign.signature"), Characters: 12},
		{ID: r.places.id(id, "when"), Kind: packet.When, Label: r.word("sign.when"), Characters: 12},
	}
}

// items renders the items of a list that apply to this unit.
func (r *run) items(list []procedure.Item, tickID string) []packet.ListItem {
	var out []packet.ListItem
	for i, it := range list {
		text, applies := r.sayWhere(it.When, it.Say)
		if !applies {
			r.omit(it.Say, it.When)
			continue
		}
		li := packet.ListItem{Text: text}
		if tickID != "" {
			li.ID = r.places.id(tickID, fmt.Sprint(i+1))
		}
		out = append(out, li)
	}
	return out
}

// omit notes what does not apply, for the working sheet. Its names stay as the
// template has them: what is left out asks nothing of the records.
func (r *run) omit(what procedure.Text, when *procedure.Expr) {
	var b strings.Builder
	for _, part := range what.Parts {
		if b.WriteString(part.Literal); part.Name != "" {
			b.WriteString("…") // its number is not worked out
		}
	}
	o := omission{what: packet.Say(b.String()), when: when.Text}
	if !slices.ContainsFunc(r.leftOut, func(p omission) bool { return p.when == o.when && p.what.String() == o.what.String() }) {
		r.leftOut = append(r.leftOut, o)
	}
}

// blank renders a blank of a step.
func (r *run) blank(b *procedure.Blank, step string) packet.Blank {
	label := r.plain(b.Label)
	out := packet.Blank{ID: r.places.id("s"+step, slug(b.Label.Original())), Kind: packet.BlankKind(b.Kind), Label: label}
	if b.Instrument != nil {
		if in := r.instrument(r.toolOf(b)); in != nil {
			out.Instrument = r.c.own(in.ID)
		}
	}
	if b.Kind != procedure.Reading {
		return out
	}
	var missing []string
	var target packet.Phrase
	add := func(ref *procedure.Ref, lead string, end string) {
		if ref == nil {
			return
		}
		r.places.atStep(ref.Name, step)
		ph, names, show := r.reference(ref.Name, end)
		missing = append(missing, names...)
		if show != nil && out.Unit == "" {
			out.Unit = show.Grain[r.system].Unit.Symbol
		}
		if len(ph) == 0 || ph[0].Text == "–" { // not on record, or this unit has no such limit
			return
		}
		if len(target) > 0 {
			target = append(target, packet.Span{Text: ", "})
		}
		if lead != "" {
			target = append(target, packet.Span{Text: lead + " "})
		}
		target = append(target, ph...)
	}
	add(b.Target, r.word("target"), "target")
	switch {
	case b.Low != nil && b.High != nil && b.Low.Name == b.High.Name:
		add(b.Low, "", "")
	default:
		add(b.Low, r.word("at_least"), "low")
		add(b.High, r.word("at_most"), "high")
	}
	if b.Unit != nil {
		out.Unit = r.unitOf(b).Symbol
	}
	out.Target, out.Characters = target, charactersIn(target)
	slices.Sort(missing)
	out.NotOnRecord = r.lack(slices.Compact(missing))
	return out
}

// unitOf gives the unit that a blank names, in the units of the page: that in which
// its instrument reads, where it has one.
func (r *run) unitOf(b *procedure.Blank) quantity.Unit {
	if b.Instrument != nil {
		if in := r.c.book.Instruments[r.toolOf(b)]; in != nil && in.Show.Grain[r.system].Unit.Kind == b.Unit.Kind {
			return in.Show.Grain[r.system].Unit
		}
	}
	return b.Unit.In(r.system)
}

// reference prints the value that a blank refers to, with what is missing of it
// and how it is shown. end is the part of a band that is meant where the name
// alone does not say.
func (r *run) reference(name, end string) (ph packet.Phrase, missing []string, show *quantity.Show) {
	m := r.meaning(name)
	switch {
	case m.sort == aTerm:
		if _, ok := r.c.book.Scalar(r.unit, name); !ok && !r.c.Blank {
			r.notOnRecord(name, []string{name})
			return nil, []string{name}, &m.term.Show
		}
		return r.recorded(name), nil, &m.term.Show
	case m.sort == aProperty:
		ph := r.memberText(m.group, m.member, m.prop)
		if p := r.member(m.group, m.member, m.prop); !p.known && !p.without && !r.c.Blank {
			return nil, []string{name}, nil
		}
		return ph, nil, nil
	case m.res == nil:
		r.notOnRecord(name, []string{name})
		return nil, []string{name}, nil
	}
	res := m.res
	if m.end != "" {
		end = m.end
	}
	if !res.v.band() || end == "target" && res.got[target] == nil {
		end = ""
	}
	if len(res.missing) > 0 && !r.c.Blank && (res.err == nil || r.doubt > 0) {
		r.notOnRecord(res.name, res.missing)
		return nil, res.missing, &res.show
	}
	return r.number(res, end), nil, &res.show
}

// charactersIn is how many characters a reading takes that is held to a target:
// as many as the longest number of its first system of units.
func charactersIn(target packet.Phrase) int {
	const usual, least = 6, 5
	if len(target) == 0 {
		return usual
	}
	n := least
	for _, s := range target {
		text, _, _ := strings.Cut(s.Text, " (")
		for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c != '.' && c != ',' && !unicode.IsDigit(c) }) {
			n = max(n, len(part))
		}
	}
	return n
}
