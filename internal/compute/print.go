package compute

import (
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// Say renders a text of the template, each number with the name of its entry.
func (n *Numbers) Say(t procedure.Text) packet.Phrase {
	if len(t.Parts) == 0 {
		return nil
	}
	out := make(packet.Phrase, 0, len(t.Parts))
	for _, part := range t.Parts {
		if part.Name == "" {
			out = append(out, packet.Span{Text: n.Literal(part.Literal)})
		} else {
			out = append(out, n.Named(part.Name)...)
		}
	}
	return out
}

// Literal gives what a text says between its names: an amount that it states in both
// systems stands there in those of the page.
func (n *Numbers) Literal(text string) string {
	if said, ok := n.plan.said[text]; ok {
		return said
	}
	return n.units.InText(text)
}

// SayWhere renders a text that has a condition, behind what is not on record
// where that cannot be decided; applies is false where it does not apply.
func (n *Numbers) SayWhere(when *formula.Expr, t procedure.Text) (p packet.Phrase, applies bool) {
	yes, only := n.Applies(when)
	if !yes {
		return nil, false
	}
	defer n.Suppose(only)()
	p = n.Say(t)
	if only != nil {
		p = slices.Concat(only, packet.Phrase{{Text: " "}}, p)
	}
	return p, true
}

// Plain renders a text as characters alone, such as a title.
func (n *Numbers) Plain(t procedure.Text) string {
	if len(t.Parts) == 1 && t.Parts[0].Name == "" { // as most are
		return n.Literal(t.Parts[0].Literal)
	}
	return n.Say(t).String()
}

// NotOnRecord is what is printed for missing names, which are remembered.
func (n *Numbers) NotOnRecord(forWhat string, names ...string) packet.Phrase {
	if n.Blank {
		return packet.Phrase{n.Lacking()}
	}
	for _, name := range names {
		n.lacks(name)
		if !slices.Contains(n.missing[name], forWhat) {
			n.missing[name] = append(n.missing[name], forWhat)
		}
	}
	return packet.Phrase{n.Lacking()}
}

// ref gives what a name in a text, a table or a blank stands for; nil where it
// stands for nothing.
func (n *Numbers) ref(name string) *ref {
	if r := n.plans.recorded[name]; r != nil {
		return r
	}
	return n.plan.named[name]
}

// Named prints whatever a name stands for: a word, a recorded value or a computed
// one.
func (n *Numbers) Named(name string) packet.Phrase {
	r := n.ref(name)
	switch {
	case r == nil:
	case r.word != nil:
		s := r.word(n).S
		if s == "" {
			break
		}
		return packet.Say(s)
	case r.energy != "":
		if yes, known := n.holds(r.energy); known {
			return packet.Say(n.yesNo(yes))
		}
	case r.ready != nil:
		return n.propertyText(r.of(""))
	case r.term != nil:
		return n.Recorded(r.term)
	case r.reading != nil:
		return n.readingText(r.reading)
	default:
		return n.Number(n.Result(r.value, r.of("").member), r.end)
	}
	return n.NotOnRecord(name, name)
}

// ResultNamed gives the computed value that a name in a template stands for; nil
// where it stands for something else.
func (n *Numbers) ResultNamed(name string) *Result {
	if r := n.ref(name); r != nil && r.value != nil {
		return n.Result(r.value, r.of("").member)
	}
	return nil
}

// MemberText prints what stands ready of a joint, feature or assembly.
func (n *Numbers) MemberText(g procedure.Group, member, prop string) packet.Phrase {
	return n.propertyText(propertyOf(g, member, prop))
}

func (n *Numbers) propertyText(u use) packet.Phrase {
	p := n.property(u)
	switch {
	case p.without:
		return packet.Say(none)
	case !p.known:
		return n.NotOnRecord(u.full(), u.full())
	}
	typ := n.typeOf(u)
	switch {
	case typ.Sort != formula.Quantity && u.ready.own:
		return packet.Say(n.Translate(p.value.Text))
	case typ.Sort != formula.Quantity:
		return packet.Say(p.value.Text)
	}
	kind, _ := typ.Quantity.Kind()
	q := quantity.OfType(p.value.SI, typ.Quantity)
	text := whole(q, n.Decimal)
	if kind != quantity.KindNumber {
		text = n.AsRecorded(quantity.ShowFor(kind), p.amount)
	}
	return n.Entered(text, packet.Entry{
		Name: u.full(), What: n.propertyWord(u.name.Rest) + ": " + u.member, Recorded: true, Formula: n.Word("as_recorded"), At: packet.Place(p.at), SI: new(p.value.SI), Kind: kind.String(), Exactly: n.WithReason(u.full(), p.written), Printed: text,
	})
}

// propertyWord names what stands ready of a joint, feature or assembly.
func (n *Numbers) propertyWord(prop string) string {
	if nth, pass := strings.CutPrefix(prop, "pass_"); pass {
		return n.WordWith("property.pass", "n", nth)
	}
	return n.Word("property." + prop)
}

// whole prints a plain number without decimals that say nothing.
func whole(q quantity.Value, decimal string) string {
	s := quantity.ShowFor(quantity.KindNumber).Text(q, quantity.Systems{}, decimal)
	if head, tail, ok := strings.Cut(s, decimal); ok && strings.Trim(tail, "0") == "" {
		return head
	}
	return s
}

// Recorded prints a single value of the records.
func (n *Numbers) Recorded(t *record.Term) packet.Phrase {
	name := t.Name
	s, ok := n.Book.Scalar(n.Unit, name)
	switch {
	case !ok && n.Blank && (t.Form == record.FormAmount || t.Form == record.FormBand):
		return n.LackingAmount(t.Show)
	case !ok:
		return n.NotOnRecord(name, name)
	}
	switch s.Form {
	case record.FormNone:
		return packet.Say(n.Word("none"))
	case record.FormWords:
		return packet.Say(n.wordOf(t, s.Text))
	case record.FormYesNo:
		return packet.Say(n.yesNo(s.Yes))
	}
	e := packet.Entry{Name: name, What: n.What(t), Recorded: true, Formula: n.Word("as_recorded"), At: packet.Place(s.At), Kind: t.Kind.String(), Exactly: n.WithReason(name, s.Written)}
	if s.Source != "" {
		e.Sources = []string{s.Source}
	}
	if s.Form == record.FormBand {
		e.Printed = n.bandText(s.Band, t.Show.Following(*s.Band.Low, *s.Band.High))
		e.Low, e.High = new(s.Band.Low.SI()), new(s.Band.High.SI())
		return n.Entered(e.Printed, e)
	}
	e.SI = new(s.Value.SI())
	if t.Kind == quantity.KindNumber {
		e.Printed = whole(s.Value, n.Decimal)
		if t.Whole {
			return n.Entered(e.Printed, e)
		}
	} else {
		e.Printed = n.AsRecorded(t.Show, s.Value)
	}
	return n.Entered(e.Printed, e)
}

// none prints for what the unit does not have.
const none = "–"

// Number prints a computed value; end asks for one end of a band.
func (n *Numbers) Number(res *Result, end procedure.End) packet.Phrase {
	switch {
	case res.err != nil && n.doubt > 0:
		return packet.Phrase{n.Lacking()}
	case res.err != nil:
		n.fault(res.err, res.Name)
		return packet.Say("?") // the packet is refused; what stands here is never printed
	case len(res.missing) > 0 && n.Blank:
		n.toWorkOut(res)
		gap := n.LackingAmount(res.Show)
		gap[0].Entry = res.Name
		return gap
	case len(res.missing) > 0:
		return n.NotOnRecord(res.Name, namesOf(res.missing)...)
	case res.Without:
		return packet.Say(none)
	case res.waitsAt(end):
		return n.toWorkAt(res)
	}
	n.printed(res)
	if res.Value.typ.Sort == formula.Text {
		return entered(n.Translate(res.got[procedure.Whole].Text), res.Name)
	}
	if res.Value.typ.Sort == formula.YesNo {
		if res.got[procedure.Whole].Yes {
			return entered(n.Word("yes"), res.Name)
		}
		return entered(n.Word("no"), res.Name)
	}
	return entered(n.resultText(res, end), res.Name)
}

// TextOf prints an amount in the systems of the page.
func (n *Numbers) TextOf(show quantity.Show, v quantity.Value) string {
	return show.Text(v, n.units, n.Decimal)
}

// AsRecorded prints an amount that stands in a record: as fine as it is written there,
// and a mass never less than it is.
func (n *Numbers) AsRecorded(show quantity.Show, v quantity.Value) string {
	return n.TextOf(recordedShow(show, v), v)
}

func recordedShow(show quantity.Show, v quantity.Value) quantity.Show {
	show = show.Following(v)
	if show.Grain[0].Unit.Kind == quantity.KindMass {
		show.Way = quantity.Up
	}
	return show
}

// Text prints what a value came to, rounded as it is to be.
func (n *Numbers) Text(res *Result) string { return n.resultText(res, procedure.Whole) }

// Held prints a value before the limits that it is held to.
func (n *Numbers) Held(res *Result, between string) packet.Phrase {
	limits := n.Number(res, procedure.Whole)
	if len(res.missing) > 0 || res.err != nil || res.got[procedure.Target] == nil && len(res.waits[procedure.Target]) == 0 || !res.limited() || res.ofPhysics() {
		return limits
	}
	return slices.Concat(n.Number(res, procedure.Target), packet.Phrase{{Text: between}}, limits)
}

// ways are those in which the ends of a band are rounded.
var ways = [...]quantity.Way{procedure.Whole: quantity.Nearest, procedure.Low: quantity.Up, procedure.High: quantity.Down, procedure.Target: quantity.Nearest}

// resultText prints a result's amounts, rounded as it is to be.
func (n *Numbers) resultText(res *Result, end procedure.End) string {
	show := res.Show
	if !res.Value.Band() {
		return n.TextOf(show, res.quantity(res.got[procedure.Whole]))
	}
	if end == procedure.Whole && (!res.limited() || res.ofPhysics()) {
		end = procedure.Target
	}
	if end != procedure.Whole {
		v := res.got[end]
		if v == nil {
			return none
		}
		if end != procedure.Target || !res.ofPhysics() {
			show.Way = ways[end]
		}
		if end == procedure.Target && !res.ofPhysics() {
			show = show.Within(res.quantity(v), res.band(), n.units)
		}
		return n.TextOf(show, res.quantity(v))
	}
	return n.bandText(res.band(), show)
}

// bandText prints a band in the systems of the page, each rounded inward by itself.
// What rounding closes was refused before (hold), and is never printed.
func (n *Numbers) bandText(b quantity.Band, show quantity.Show) string {
	words := [3]string{n.Word("to"), n.Word("at_least"), n.Word("at_most")}
	first, second := show.Grain[n.System], show.Grain[n.System.Other()]
	text, _ := first.BandText(b, n.Decimal, words)
	if !n.units.Both || first.Unit.Symbol == second.Unit.Symbol {
		return text
	}
	other, ok := second.BandText(b, n.Decimal, words)
	for end, v := range map[procedure.End]*quantity.Value{procedure.Low: b.Low, procedure.High: b.High} {
		if show.Way = ways[end]; v != nil && (b.Low == nil || b.High == nil) && show.TooCoarse(*v, quantity.Systems{First: n.System.Other()}) {
			ok = false
		}
	}
	if !ok {
		return text // the second system cannot say it: the first one stands alone
	}
	return text + " (" + other + ")"
}
