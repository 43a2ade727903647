package compute

import (
	"unicode/utf8"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// Reference is a value that a blank refers to, as it prints.
type Reference struct {
	Text    packet.Phrase // empty where the value is not on record
	Without bool          // the unit has no such value
	Missing []string
	Show    *quantity.Show // nil where it has no grain of its own
	Digits  int            // characters of its longest number in the page's own system
}

// Reference prints the value that a blank refers to. end is the end of a band that
// is meant where the name alone does not say.
func (n *Numbers) Reference(name string, end procedure.End) Reference {
	r := n.ref(name)
	gap := func(show *quantity.Show) Reference {
		n.NotOnRecord(name, name)
		return Reference{Missing: []string{name}, Show: show}
	}
	switch {
	case r == nil, r.word != nil, r.energy != "":
		return gap(nil)
	case r.reading != nil:
		return Reference{Text: n.readingText(r.reading)}
	case r.term != nil:
		if _, ok := n.Book.Scalar(n.Unit, name); !ok && !n.Blank {
			return gap(&r.term.Show)
		}
		return Reference{Text: n.Recorded(r.term), Show: &r.term.Show, Digits: n.recordedDigits(r.term)}
	case r.ready != nil:
		text := n.propertyText(r.of(""))
		p := n.property(r.of(""))
		if !p.known && !p.without && !n.Blank {
			return Reference{Missing: []string{name}}
		}
		return Reference{Text: text, Without: p.without}
	}
	res := n.Result(r.value, r.of("").member)
	if r.end != procedure.Whole {
		end = r.end
	}
	if !res.Value.Band() || end == procedure.Target && res.got[end] == nil {
		end = procedure.Whole
	}
	if len(res.missing) > 0 && !n.Blank && (res.err == nil || n.doubt > 0) {
		n.NotOnRecord(res.Name, namesOf(res.missing)...)
		return Reference{Missing: namesOf(res.missing), Show: &res.Show}
	}
	return Reference{Text: n.Number(res, end), Without: res.Without || res.Known() && res.hasNone(end), Show: &res.Show, Digits: n.digits(res.Show, res.Value.typ.Quantity, res.printedEnds(end))}
}

// digits gives how many characters the longest number of a band takes in the page's
// own system; Whole is one that stands for itself.
func (n *Numbers) digits(show quantity.Show, typ quantity.Type, ends [4]*formula.Value) int {
	g, most := show.Grain[n.System], 0
	for end, v := range ends {
		if v != nil {
			most = max(most, utf8.RuneCountInString(g.Number(quantity.OfType(v.SI, typ), ways[end], n.Decimal)))
		}
	}
	return most
}

// recordedDigits is digits of a term's value.
func (n *Numbers) recordedDigits(t *record.Term) int {
	s, _ := n.Book.Scalar(n.Unit, t.Name)
	var ends [4]*formula.Value
	put := func(end procedure.End, v *quantity.Value) {
		if v != nil {
			ends[end] = &formula.Value{SI: v.SI()}
		}
	}
	switch s.Form {
	case record.FormAmount:
		put(procedure.Whole, &s.Value)
	case record.FormBand:
		put(procedure.Low, s.Band.Low)
		put(procedure.High, s.Band.High)
	}
	return n.digits(t.Show, t.Kind.Type(), ends)
}

// printedEnds gives the ends that print where one is asked for.
func (res *Result) printedEnds(end procedure.End) (ends [4]*formula.Value) {
	switch {
	case res.Value.typ.Sort != formula.Quantity:
	case end != procedure.Whole || !res.Value.Band():
		ends[end] = res.got[end]
	case res.limited():
		ends[procedure.Low], ends[procedure.High] = res.got[procedure.Low], res.got[procedure.High]
	default:
		ends[procedure.Target] = res.got[procedure.Target]
	}
	return ends
}

// hasNone reports whether a result has nothing to print for an end.
func (res *Result) hasNone(end procedure.End) bool {
	if !res.Value.Band() {
		end = procedure.Whole
	} else if end == procedure.Whole {
		return !res.limited() && res.got[procedure.Target] == nil
	}
	return res.got[end] == nil
}
