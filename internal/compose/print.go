package compose

import (
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// say renders a text of the template, each number with its working key.
func (r *run) say(t procedure.Text) packet.Phrase {
	if len(t.Parts) == 0 {
		return nil
	}
	out := make(packet.Phrase, 0, 2*len(t.Parts)) // most names give a number and its key
	for _, part := range t.Parts {
		if part.Name == "" {
			out = append(out, packet.Span{Text: part.Literal})
		} else {
			out = append(out, r.named(part.Name)...)
		}
	}
	return out
}

// sayWhere renders a text that hangs on a condition, behind what is not on record
// where that cannot be decided; applies is false where it does not apply.
func (r *run) sayWhere(when *procedure.Expr, t procedure.Text) (p packet.Phrase, applies bool) {
	yes, only := r.applies(when)
	if !yes {
		return nil, false
	}
	defer r.enter(only)()
	p = r.say(t)
	if only != nil {
		p = slices.Concat(only, packet.Phrase{{Text: " "}}, p)
	}
	return p, true
}

// plain renders a text where no keys belong, such as a title.
func (r *run) plain(t procedure.Text) string { return keyless(r.say(t)) }

// keyless gives a phrase's characters without the working keys.
func keyless(p packet.Phrase) string {
	var b strings.Builder
	for _, s := range p {
		if s.Style != packet.Key {
			b.WriteString(s.Text)
		}
	}
	return b.String()
}

// notOnRecord is what is printed for missing names, which are remembered.
func (r *run) notOnRecord(forWhat string, names []string) packet.Phrase {
	if r.c.Blank {
		return packet.Phrase{r.lacking()}
	}
	for _, n := range names {
		if !slices.Contains(r.missing[n], forWhat) {
			r.missing[n] = append(r.missing[n], forWhat)
		}
	}
	return packet.Phrase{r.lacking()}
}

// named prints whatever a name means: a word, a recorded value or a computed one.
func (r *run) named(name string) packet.Phrase {
	m := r.meaning(name)
	switch {
	case m.sort == aWord:
		s, ok := r.ready(name)
		if !ok {
			break
		}
		if name == "unit.suction" {
			s = r.c.own(s)
		}
		return packet.Say(s)
	case m.sort == aProperty:
		return r.memberText(m.group, m.member, m.prop)
	case m.sort == aTerm:
		return r.recorded(name)
	case m.res != nil:
		return r.number(m.res, m.end)
	}
	return r.notOnRecord(name, []string{name})
}

// memberText prints what stands ready of a joint, feature or assembly.
func (r *run) memberText(g group, member, prop string) packet.Phrase {
	name := plural[g] + member + "." + prop
	p := r.member(g, member, prop)
	switch {
	case p.without:
		return packet.Say("–")
	case !p.known:
		return r.notOnRecord(name, []string{name})
	}
	typ := ready[g][prop].typ
	switch {
	case typ.Sort != formula.Quantity && ready[g][prop].own:
		return packet.Say(r.c.own(p.value.Text))
	case typ.Sort != formula.Quantity:
		return packet.Say(p.value.Text)
	}
	kind, _ := typ.Quantity.Kind()
	q := quantity.OfType(p.value.SI, typ.Quantity)
	text := whole(q, r.decimal)
	if kind != quantity.KindNumber {
		text = quantity.ShowFor(kind).Both(q, r.system, r.decimal)
	}
	return r.keyed(text, r.working.add(packet.Entry{
		Name: name, What: r.property(prop) + ": " + member, Recorded: true, Formula: r.word("as_recorded"), At: p.at.String(), SI: new(p.value.SI), Kind: kind.String(), Exactly: p.written, Printed: text,
	}))
}

// property names what stands ready of a joint, feature or assembly.
func (r *run) property(prop string) string {
	if n, pass := strings.CutPrefix(prop, "pass_"); pass {
		return r.wordWith("property.pass", "n", n)
	}
	return r.word("property." + prop)
}

// whole prints a plain number without decimals that say nothing.
func whole(q quantity.Value, decimal string) string {
	s := quantity.ShowFor(quantity.KindNumber).Both(q, quantity.Metric, decimal)
	if head, tail, ok := strings.Cut(s, decimal); ok && strings.Trim(tail, "0") == "" {
		return head
	}
	return s
}

// recorded prints a single value of the records.
func (r *run) recorded(name string) packet.Phrase {
	t := r.c.book.Terms[name]
	s, ok := r.c.book.Scalar(r.unit, name)
	switch {
	case !ok && r.c.Blank && (t.Form == record.FormAmount || t.Form == record.FormBand):
		return r.lackingAmount(t.Show)
	case !ok:
		return r.notOnRecord(name, []string{name})
	}
	switch s.Form {
	case record.FormNone:
		return packet.Say(r.word("none"))
	case record.FormWords:
		return packet.Say(r.wordOf(t, s.Text))
	case record.FormYesNo:
		if s.Yes {
			return packet.Say(r.word("yes"))
		}
		return packet.Say(r.word("no"))
	}
	e := packet.Entry{Name: name, What: r.what(t), Recorded: true, Formula: r.word("as_recorded"), At: s.At.String(), Kind: t.Kind.String(), Exactly: s.Written}
	if s.Source != "" {
		e.Sources = []string{s.Source}
	}
	if s.Form == record.FormBand {
		e.Printed = r.bandText(s.Band, t.Show, name)
		e.Low, e.High = new(s.Band.Low.SI()), new(s.Band.High.SI())
		return r.keyed(e.Printed, r.working.add(e))
	}
	e.SI = new(s.Value.SI())
	if t.Kind == quantity.KindNumber {
		e.Printed = whole(s.Value, r.decimal)
		if t.Whole {
			return r.keyed(e.Printed, r.working.add(e))
		}
	} else {
		e.Printed = t.Show.Both(s.Value, r.system, r.decimal)
	}
	return r.keyed(e.Printed, r.working.add(e))
}

// number prints a computed value; end asks for one end of a band.
func (r *run) number(res *result, end string) packet.Phrase {
	switch {
	case res.err != nil && r.doubt > 0:
		return packet.Phrase{r.lacking()}
	case res.err != nil:
		r.fault(res.err, res.name)
		return packet.Say("?") // the packet is refused; what stands here is never printed
	case len(res.missing) > 0 && r.c.Blank:
		return append(r.lackingAmount(res.show), packet.Span{Text: r.toWorkOut(res), Style: packet.Key})
	case len(res.missing) > 0:
		return r.notOnRecord(res.name, res.missing)
	case res.without:
		return packet.Say("–")
	}
	key := r.printed(res)
	if res.v.typ.Sort == formula.Text {
		return r.keyed(r.c.own(res.got[itself].Text), key)
	}
	if res.v.typ.Sort == formula.YesNo {
		if res.got[itself].Yes {
			return r.keyed(r.word("yes"), key)
		}
		return r.keyed(r.word("no"), key)
	}
	return r.keyed(r.resultText(res, end), key)
}

// resultText prints a result's amounts, rounded as it is to be.
func (r *run) resultText(res *result, end string) string {
	show := res.show
	if !res.v.band() {
		return show.Both(res.quantity(res.got[itself]), r.system, r.decimal)
	}
	one := func(v *formula.Value, way quantity.Way) string {
		if v == nil {
			return "–"
		}
		show.Way = way
		return show.Both(res.quantity(v), r.system, r.decimal)
	}
	switch end {
	case "low":
		return one(res.got[lower], quantity.Up)
	case "high":
		return one(res.got[upper], quantity.Down)
	case "target":
		return one(res.got[target], quantity.Nearest)
	}
	b := quantity.Band{}
	if low := res.got[lower]; low != nil {
		b.Low = new(res.quantity(low))
	}
	if high := res.got[upper]; high != nil {
		b.High = new(res.quantity(high))
	}
	if b.Low == nil && b.High == nil {
		return one(res.got[target], quantity.Nearest)
	}
	return r.bandText(b, show, res.name)
}

// quantity gives an amount of the result with its type.
func (res *result) quantity(v *formula.Value) quantity.Value {
	return quantity.OfType(v.SI, res.v.typ.Quantity)
}

// bandText prints a band in both systems, each rounded inward by itself. A band
// that rounding closes is an error: no instrument can tell that it is met.
func (r *run) bandText(b quantity.Band, show quantity.Show, name string) string {
	words := [3]string{r.word("to"), r.word("at_least"), r.word("at_most")}
	first, second := show.Grain[r.system], show.Grain[r.system.Other()]
	text, ok := first.BandText(b, r.decimal, words)
	if !ok {
		step := first.Number(quantity.FromUnit(first.Step, first.Unit), quantity.Nearest, ".")
		r.problems.Errorf(r.unit.At, "band-closed", "use a finer instrument, or correct the limits on record",
			"unit %s: the band %s is closed by rounding inward to %s", r.unit.ID, name, first.Unit.Join(step))
		return text
	}
	if first.Unit.Symbol == second.Unit.Symbol {
		return text
	}
	other, ok := second.BandText(b, r.decimal, words)
	if !ok {
		return text // the second system cannot say it without widening: the first one stands alone
	}
	return text + " (" + other + ")"
}

// keyed puts the working key beside a number.
func (r *run) keyed(text, key string) packet.Phrase {
	return packet.Phrase{{Text: text, Style: packet.Strong}, {Text: key, Style: packet.Key}}
}
