package compose

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
)

func heading(level int, text string) packet.Block {
	return packet.Block{Heading: &packet.Heading{Text: text, Level: level}}
}

// titled is a list below its heading.
func titled(title string, list packet.List) []packet.Block {
	return []packet.Block{heading(2, title), {List: &list}}
}

// sideBySide puts two groups of blocks side by side; one alone has the whole width.
func sideBySide(groups [][]packet.Block) []packet.Block {
	if len(groups) == 2 {
		return []packet.Block{{Beside: &packet.Beside{Left: groups[0], Right: groups[1]}}}
	}
	return slices.Concat(groups...)
}

// column is a column of a table: its key in the catalogue of words, its weight and
// its least width in mm.
type column struct {
	key           string
	weight, least float64
}

// table begins a table, whose title and headings are the words of its name.
func (r *run) table(name string, columns ...column) *packet.Table {
	t := &packet.Table{ID: name, Title: r.Word(name + ".title")}
	for _, c := range columns {
		t.Columns = append(t.Columns, packet.Column{Title: r.Word(name + "." + c.key), Weight: c.weight, Least: c.least})
	}
	return t
}

// titledTable begins a table whose title stands over its first column, which is so wide.
func (r *run) titledTable(name string, weight float64, columns ...column) *packet.Table {
	t := r.table(name, columns...)
	t.Columns = slices.Insert(t.Columns, 0, packet.Column{Title: t.Title, Weight: weight})
	t.Title = ""
	return t
}

// signBlanks are the places of one signature: name, signature, date and time. They ask
// for what a role signs.
func (r *run) signBlanks(id string, what manifest.For, role string) []packet.Blank {
	ask := &manifest.Ask{For: what, Of: role}
	return []packet.Blank{
		{ID: r.places.id(id, "name"), Kind: packet.Words, Label: r.Word("sign.name"), Characters: 14, Ask: ask},
		{ID: r.places.id(id, "sign"), Kind: packet.Sign, Label: r.Word("sign.signature"), Characters: 12, Ask: ask},
		{ID: r.places.id(id, "when"), Kind: packet.When, Label: r.Word("sign.when"), Characters: 12, Ask: ask},
	}
}

// forKind says what a blank of a template asks for that is no reading.
var forKind = map[procedure.Kind]manifest.For{
	procedure.Written: manifest.ForWords, procedure.Tick: manifest.ForTick, procedure.Initial: manifest.ForInitial,
	procedure.Signed: manifest.ForSign, procedure.Moment: manifest.ForWhen,
}

// items renders the items of a list that apply to this unit.
func (r *run) items(list []procedure.Item, tickID string) []packet.ListItem {
	var out []packet.ListItem
	for i, it := range list {
		text, applies := r.SayWhere(it.When, it.Say)
		if !applies {
			r.omit(it.Say, it.When)
			continue
		}
		li := packet.ListItem{Text: text}
		if tickID != "" {
			li.ID, li.Ask = r.places.id(tickID, fmt.Sprint(i+1)), &manifest.Ask{For: manifest.ForTick}
		}
		out = append(out, li)
	}
	return out
}

// omit notes what does not apply, for the annex. Its names stay as the
// template has them: what is left out asks nothing of the records.
func (r *run) omit(what procedure.Text, when *formula.Expr) {
	if r.ByKind(when) {
		return
	}
	var b strings.Builder
	for _, part := range what.Parts {
		if b.WriteString(r.Literal(part.Literal)); part.Name != "" {
			b.WriteString("…") // its number is not worked out
		}
	}
	o := omission{what: packet.Say(b.String()), when: r.readable(strings.Join(strings.Fields(when.Text), " "))}
	if !slices.ContainsFunc(r.leftOut, func(p omission) bool { return p.when == o.when && p.what.String() == o.what.String() }) {
		o.since = r.since(when)
		r.leftOut = append(r.leftOut, o)
	}
}

// blank renders a blank of a step.
func (r *run) blank(b *procedure.Blank, step string) packet.Blank {
	label := r.Plain(b.Label)
	out := packet.Blank{ID: r.places.id("s"+step, slug(b.Label.Original())), Kind: packet.BlankKind(b.Kind), Label: label}
	if b.Instrument != nil {
		if in := r.useInstrument(r.ToolOf(b)); in != nil {
			out.Instrument = r.Translate(in.ID)
		}
	}
	if b.Kind != procedure.Reading {
		out.Ask = &manifest.Ask{For: forKind[b.Kind]}
		if b.Kind == procedure.Signed {
			out.Ask.Of = label
		}
		return out
	}
	out.Ask = r.AskOf(b)
	var missing []string
	var target packet.Phrase
	digits := 0
	add := func(ref *procedure.Ref, lead string, end procedure.End) {
		if ref == nil {
			return
		}
		is := r.Reference(ref.Name, end)
		missing = append(missing, is.Missing...)
		if is.Show != nil && out.Unit == "" {
			out.Unit = is.Show.Grain[r.System].Unit.Symbol
		}
		if len(is.Text) == 0 || is.Without { // not on record, or this unit has no such limit
			return
		}
		if len(target) > 0 {
			target = append(target, packet.Span{Text: ", "})
		}
		if lead != "" {
			target = append(target, packet.Span{Text: lead + " "})
		}
		target, digits = append(target, is.Text...), max(digits, is.Digits)
	}
	add(b.Target, r.Word("target"), procedure.Target)
	switch {
	case b.Low != nil && b.High != nil && b.Low.Name == b.High.Name:
		add(b.Low, "", procedure.Whole)
	default:
		add(b.Low, r.Word("at_least"), procedure.Low)
		add(b.High, r.Word("at_most"), procedure.High)
	}
	if u, ok := r.UnitOf(b); ok && b.Unit != nil {
		out.Unit = u.Symbol
	}
	const usual, least = 6, 5 // characters of a reading that is held to nothing, and of one that is
	if out.Target, out.Characters = target, max(least, digits); len(target) == 0 {
		out.Characters = usual
	}
	slices.Sort(missing)
	out.NotOnRecord = r.Lack(slices.Compact(missing))
	return out
}
