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

// id makes a blank's name unique in the packet.
func (r *run) id(parts ...string) string {
	base := strings.Join(parts, ".")
	name := base
	for n := 2; r.ids[name]; n++ {
		name = fmt.Sprintf("%s-%d", base, n)
	}
	r.ids[name] = true
	return name
}

// slug makes a short name of a label: letters and digits, at most 24.
func slug(label string) string {
	var b strings.Builder
	for _, c := range strings.ToLower(label) {
		switch {
		case unicode.IsLetter(c) || unicode.IsDigit(c):
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 24 {
			break
		}
	}
	return strings.Trim(b.String(), "-")
}

// signBlanks are the places of one signature: name, signature, date and time.
func (r *run) signBlanks(id string) []packet.Blank {
	return []packet.Blank{
		{ID: r.id(id, "name"), Kind: packet.Words, Label: r.word("sign.name"), Characters: 14},
		{ID: r.id(id, "sign"), Kind: packet.Sign, Label: r.word("sign.signature"), Characters: 12},
		{ID: r.id(id, "when"), Kind: packet.When, Label: r.word("sign.when"), Characters: 12},
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
			li.ID = r.id(tickID, fmt.Sprint(i+1))
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
			b.WriteString("{" + part.Name + "}")
		}
	}
	r.leftOut = append(r.leftOut, omission{what: packet.Say(b.String()), when: when.Text})
}

// blank renders a blank of a step or an item.
func (r *run) blank(b *procedure.Blank, id string) packet.Blank {
	label := r.plain(b.Label)
	out := packet.Blank{ID: r.id(id, slug(b.Label.Original())), Kind: packet.BlankKind(b.Kind), Label: label}
	if b.Instrument != nil {
		if in := r.instrument(b.Instrument.Name); in != nil {
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
		if at := r.writtenAt[ref.Name]; r.atStep != "" && !slices.Contains(at, r.atStep) {
			r.writtenAt[ref.Name] = append(at, r.atStep)
		}
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
		out.Unit = b.Unit.In(r.system).Symbol
	}
	out.Target, out.Characters = target, charactersIn(target)
	slices.Sort(missing)
	out.NotOnRecord = r.lack(slices.Compact(missing))
	return out
}

// reference prints the value that a blank refers to, with what is missing of it
// and how it is shown. end is the part of a band that is meant where the name
// alone does not say.
func (r *run) reference(name, end string) (ph packet.Phrase, missing []string, show *quantity.Show) {
	if t := r.c.book.Terms[name]; t != nil {
		if _, ok := r.c.book.Scalar(r.unit, name); !ok && !r.c.Blank {
			r.notOnRecord(name, []string{name})
			return nil, []string{name}, &t.Show
		}
		return r.recorded(name), nil, &t.Show
	}
	res, named := r.find(name)
	if res == nil {
		if g, member, rest := split(name); g != single {
			ph := r.memberText(g, member, rest)
			if p, _ := r.member(g, member, rest); !p.known && !p.without && !r.c.Blank {
				return nil, []string{name}, nil
			}
			return ph, nil, nil
		}
		r.notOnRecord(name, []string{name})
		return nil, []string{name}, nil
	}
	if named != "" {
		end = named
	}
	if !res.v.band() || end == "target" && res.target == nil {
		end = ""
	}
	if len(res.missing) > 0 && !r.c.Blank && (res.err == nil || r.doubt > 0) {
		r.notOnRecord(res.name, res.missing)
		return nil, res.missing, &res.v.show
	}
	return r.number(res, end), nil, &res.v.show
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
