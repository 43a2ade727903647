package compute

import (
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// This file lays out what is worked out by hand: a sum in bare numbers, each in the unit
// that stands in its box. The numbers of one kind are all in one unit, so that the units
// of a sum agree; where those of the result do not come out of it, the sum says by what
// to multiply at its end.

// handFigures is to how many figures a number stands in a sum: more than any reading has.
const handFigures = 6

// WorkAt gives what is worked out at a step, each value once in a packet. The names of the
// boxes are within the step.
func (n *Numbers) WorkAt(s *procedure.Step) []packet.Work {
	var out []packet.Work
	for _, res := range n.outlined().work[s] {
		n.printed(res)
		if t := res.Value.table; t != nil {
			out = append(out, packet.Work{Lookup: n.lookupOver(res, t)})
			continue
		}
		for _, end := range procedure.Ends {
			if len(res.waits[end]) > 0 && res.Value.laid[end] != nil {
				out = append(out, packet.Work{Sum: n.sum(res, end)})
			}
		}
	}
	return out
}

// whatOf says which value is worked out, and which end of it.
func (n *Numbers) whatOf(res *Result, end procedure.End) packet.Phrase {
	what := n.Plain(res.Value.What)
	if (end == procedure.Low || end == procedure.High) && res.Value.Band() {
		what += ", " + n.Word(end.String())
	}
	out := packet.Phrase{{Text: what, Style: packet.Strong, Entry: res.Name}}
	if reads := n.Plain(res.Value.Reads); reads != "" && end != procedure.Low && end != procedure.High {
		out = append(out, packet.Span{Text: ": " + strings.ReplaceAll(reads, " ", "\u00a0")}) // it is not parted
	}
	return out
}

// resultBlank is the box for a result. It is held to the limits of its value where they are
// known.
func (n *Numbers) resultBlank(res *Result, end procedure.End) packet.Blank {
	g := res.Show.Grain[n.System]
	b := packet.Blank{ID: res.Value.Name, Kind: packet.Reading, Unit: g.Unit.Symbol, Characters: 6,
		Label: n.WordWith("work.rounded", "step", g.Text(quantity.FromUnit(g.Step, g.Unit), quantity.Nearest, n.Decimal))}
	if res.Value.Band() {
		b.ID += "." + end.String()
	}
	b.Ask = &manifest.Ask{For: manifest.ForReading, Of: n.Plain(res.Value.What)}
	if end == procedure.Target && res.limited() && !res.waitsAt(procedure.Whole) {
		b.Target = n.Number(res, procedure.Whole)
		b.Ask.Low, b.Ask.High = n.HeldAs(res)
	}
	return b
}

// hand is a part of a sum: its terms, and how its bare number gives the amount in SI:
// factor × number + offset.
type hand struct {
	terms          []packet.Term
	factor, offset float64
	level          int     // how strongly it holds together: 0 a sum, 1 a product, 2 one term
	count          bool    // it is one printed number without a dimension, which stands in % where it is added to what does
	si             float64 // of such a number
}

// summer lays out one sum.
type summer struct {
	*Numbers
	res   *Result
	f     *worked
	units map[quantity.Type]quantity.Unit
	fault error
}

// sum lays out the formula of an end of a value.
func (n *Numbers) sum(res *Result, end procedure.End) *packet.Sum {
	s := &summer{Numbers: n, res: res, f: res.Value.formulas[end], units: map[quantity.Type]quantity.Unit{}}
	s.chooseUnits(res.Value.laid[end])
	h := s.lay(res.Value.laid[end])
	result := n.resultBlank(res, end)
	to := res.Show.Grain[n.System].Unit
	if k := h.factor / to.Factor; math.Abs(k-1) > 1e-9 && s.fault == nil {
		if h.offset != 0 || quantity.FromUnit(0, to).SI() != 0 {
			s.fault = errScales
		}
		if h.level == 0 {
			h.terms = bracketed(h.terms)
		}
		h.terms = append(h.terms, sign("×"), packet.Term{Text: s.figures(k)})
	} else if math.Abs(h.offset-quantity.FromUnit(0, to).SI()) > 1e-9 && s.fault == nil {
		s.fault = errScales
	}
	if s.fault != nil {
		n.fault(s.fault, res.Name)
	}
	return &packet.Sum{What: n.whatOf(res, end), Terms: append(h.terms, sign("="), packet.Term{Blank: &result})}
}

type handError string

func (e handError) Error() string { return string(e) }

// errScales says that a sum mixes scales that begin at different points.
const errScales = handError("it mixes scales that begin at different points, and cannot be worked out by hand: subtract one point from another first")

func sign(text string) packet.Term { return packet.Term{Text: text} }

func bracketed(terms []packet.Term) []packet.Term {
	return append(append([]packet.Term{sign("(")}, terms...), sign(")"))
}

func (s *summer) figures(x float64) string {
	text := strings.Replace(quantity.Figures(x, handFigures), ".", s.Decimal, 1)
	return strings.Replace(text, "-", "−", 1)
}

// chooseUnits takes for each kind the unit of its first reading, else that of the result.
func (s *summer) chooseUnits(l *formula.Laid) {
	if l == nil {
		return
	}
	if l.Op == "" && l.Open >= 0 {
		if u, ok := s.unitAt(l.Open); ok {
			if _, had := s.units[l.Type.Quantity]; !had {
				s.units[l.Type.Quantity] = u
			}
		}
	}
	for _, p := range l.Parts {
		s.chooseUnits(p)
	}
}

// unitAt gives the unit in whose box a name of the formula stands.
func (s *summer) unitAt(name int) (quantity.Unit, bool) {
	switch r := s.f.refs[name]; {
	case r.reading != nil:
		return s.UnitOf(r.reading.Blank)
	case r.value != nil:
		return s.Result(r.value, r.of("").member).Show.Grain[s.System].Unit, true
	}
	return quantity.Unit{}, false
}

// unitFor gives the unit of a number of a type that stands printed.
func (s *summer) unitFor(t quantity.Type) quantity.Unit {
	if u, chosen := s.units[t]; chosen {
		return u
	}
	if u := s.res.Show.Grain[s.System].Unit; u.Kind.Type() == t {
		s.units[t] = u
		return u
	}
	kind, _ := t.Kind()
	u := quantity.Preferred(kind, s.System)
	s.units[t] = u
	return u
}

func (s *summer) lay(l *formula.Laid) hand {
	switch {
	case l == nil:
		return hand{factor: 1}
	case l.Op == "":
		return s.number(l)
	case l.Op == "?":
		if s.closed(l.When).Yes {
			return s.lay(l.Parts[0])
		}
		return s.lay(l.Parts[1])
	case l.Op == "neg":
		h := s.lay(l.Parts[0])
		if h.level < 2 {
			h.terms = bracketed(h.terms)
		}
		h.terms, h.level = append([]packet.Term{sign("−")}, h.terms...), 0
		return h
	case l.Op == "abs":
		h := s.lay(l.Parts[0])
		h.terms, h.level = append(append([]packet.Term{sign("|")}, h.terms...), sign("|")), 2
		return h
	case l.Op == "min" || l.Op == "max":
		out := hand{terms: []packet.Term{sign(s.Word("work." + l.Op)), sign("(")}, level: 2}
		parts := make([]hand, len(l.Parts))
		for i, p := range l.Parts {
			parts[i] = s.lay(p)
		}
		first := max(0, slices.IndexFunc(parts, func(h hand) bool { return !h.count }))
		out.factor, out.offset = parts[first].factor, parts[first].offset
		for i, h := range parts {
			if i > 0 {
				out.terms = append(out.terms, sign(";"))
			}
			out.terms = append(out.terms, s.inUnit(h, out.factor, out.offset).terms...)
		}
		out.terms = append(out.terms, sign(")"))
		return out
	}
	a, b := s.lay(l.Parts[0]), s.lay(l.Parts[1])
	switch l.Op {
	case "+", "-":
		if a.count && !b.count {
			a = s.inUnit(a, b.factor, 0)
		}
		shift := b.offset
		if b.offset != 0 && a.offset == 0 && l.Op == "+" {
			shift = 0 // a difference and a point give a point
		}
		out := hand{factor: a.factor, offset: a.offset, level: 0}
		switch {
		case l.Op == "-" && b.offset != 0:
			if math.Abs(a.offset-b.offset) > 1e-9 {
				s.fault = errScales
			}
			out.offset = 0
		case l.Op == "+" && a.offset == 0:
			out.offset = b.offset
		}
		b = s.inUnit(b, a.factor, shift)
		if b.level == 0 {
			b.terms = bracketed(b.terms)
		}
		out.terms = append(append(a.terms, sign(map[string]string{"+": "+", "-": "−"}[l.Op])), b.terms...)
		return out
	}
	if a.level == 0 {
		a.terms = bracketed(a.terms)
	}
	if b.level == 0 || b.level == 1 && l.Op == "/" {
		b.terms = bracketed(b.terms)
	}
	out := hand{level: 1, factor: a.factor * b.factor}
	op := "×"
	if l.Op == "/" {
		op, out.factor = "÷", a.factor/b.factor
	}
	out.terms = append(append(a.terms, sign(op)), b.terms...)
	return out
}

// inUnit brings a part to another unit, for a sum with what is in that.
func (s *summer) inUnit(h hand, factor, offset float64) hand {
	k := h.factor / factor
	if math.Abs(k-1) < 1e-9 {
		return h
	}
	if h.count {
		if u := s.unitFor(quantity.Type{}); math.Abs(u.Factor-factor) < 1e-9 {
			return s.printedIn(h.si, quantity.Type{}, u)
		}
	}
	if h.offset != 0 || offset != 0 {
		s.fault = errScales
	}
	if h.level == 0 {
		h.terms = bracketed(h.terms)
	}
	h.terms = append(h.terms, sign("×"), packet.Term{Text: s.figures(k)})
	h.level, h.factor = 1, factor
	return h
}

// number lays out one number: a box for what is read or worked out before, else the
// number itself.
func (s *summer) number(l *formula.Laid) hand {
	if l.Open >= 0 {
		r := s.f.refs[l.Open]
		if waits := s.waitsFor(r.of("")); len(waits) > 0 {
			u, _ := s.unitAt(l.Open)
			b := packet.Blank{ID: s.res.Value.Name + "." + shortOf(r), Kind: packet.Reading, Unit: u.Symbol, Characters: 5, Label: s.termLabel(r), Ask: &manifest.Ask{For: manifest.ForReading}}
			return hand{terms: []packet.Term{{Blank: &b}}, factor: u.Factor, offset: quantity.FromUnit(0, u).SI(), level: 2}
		}
		v, _, _ := s.lookup(r.of(""))
		return s.printedNumber(v.SI, l.Type.Quantity)
	}
	return s.printedNumber(s.closed(l.Closed).SI, l.Type.Quantity)
}

// printedNumber lays out a number that is known when the page is printed. One without a
// dimension stands bare, whatever the result is shown in: 2, not 200 %.
func (s *summer) printedNumber(si float64, t quantity.Type) hand {
	if t != (quantity.Type{}) {
		return s.printedIn(si, t, s.unitFor(t))
	}
	h := s.printedIn(si, t, quantity.Preferred(quantity.KindNumber, s.System))
	h.count, h.si = true, si
	return h
}

func (s *summer) printedIn(si float64, t quantity.Type, u quantity.Unit) hand {
	x := quantity.OfType(si, t).In(u)
	h := hand{factor: u.Factor, offset: quantity.FromUnit(0, u).SI(), level: 2}
	h.terms = []packet.Term{{Text: u.Join(s.figures(x))}}
	if x < 0 {
		h.level = 0
	}
	return h
}

// closed evaluates a part that hangs on no reading.
func (s *summer) closed(f *formula.Formula) formula.Value {
	got, err := f.Eval(func(i int) (formula.Value, bool) {
		v, ok, _ := s.lookup(s.f.refs[i].of(""))
		return v, ok
	})
	if err != nil {
		s.fault = err
	}
	return got.Value
}

// shortOf is the name of a box within those of its value.
func shortOf(r *ref) string {
	name, _ := strings.CutPrefix(r.name.String(), "readings.")
	return name
}

// termLabel says what is written into the box of a term, and where it stands.
func (s *summer) termLabel(r *ref) string {
	letter := s.res.Value.letterOf[r.name]
	if letter != "" {
		letter += ": "
	}
	o := s.outlined()
	if r.reading != nil {
		return letter + s.WordWith("work.from", "what", s.Plain(r.reading.Blank.Label), "n", o.read[r.reading.name])
	}
	res := s.Result(r.value, r.of("").member)
	return letter + s.WordWith("work.from", "what", s.Plain(r.value.What), "n", o.shown[res.Name])
}
