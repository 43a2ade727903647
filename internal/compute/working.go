package compute

import (
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// working holds the entries of a packet's numbers, in the order in which they were
// first asked for.
type working struct {
	entries []packet.Entry
	index   map[string]int // by name
}

func newWorking(numbers int) working {
	return working{entries: make([]packet.Entry, 0, numbers), index: make(map[string]int, numbers)}
}

// of gives the entry of a name; nil where it has none yet. It is good until the
// next is added.
func (w *working) of(name string) *packet.Entry {
	if i, ok := w.index[name]; ok {
		return &w.entries[i]
	}
	return nil
}

// add gives the key of a number's entry, which is added the first time that it is
// asked for.
func (w *working) add(e packet.Entry) string {
	if had := w.of(e.Name); had != nil {
		return had.Key
	}
	e.Key = "W" + strconv.Itoa(len(w.entries)+1)
	w.index[e.Name] = len(w.entries)
	w.entries = append(w.entries, e)
	return e.Key
}

// Entered gives a printed number with the name of its entry, which is added the first
// time that it is printed.
func (n *Numbers) Entered(text string, e packet.Entry) packet.Phrase {
	n.working.add(e)
	return entered(text, e.Name)
}

// entered gives a printed number with the name of its entry.
func entered(text, name string) packet.Phrase {
	return packet.Phrase{{Text: text, Style: packet.Strong, Entry: name}}
}

// Entry gives the entry of a number that was printed, by its name; nil where it has
// none. It is good until the next number is printed.
func (n *Numbers) Entry(name string) *packet.Entry { return n.working.of(name) }

// Working lists the entries of the numbers that were printed so far, in the order of
// their keys.
func (n *Numbers) Working() []packet.Entry { return n.working.entries }

// printed adds the entry of a computed value that stands on a sheet.
func (n *Numbers) printed(res *Result) {
	n.explain(res)
	if e := n.working.of(res.Name); e.Printed == "" {
		e.Printed, e.Rounded = n.printedText(res, e.Exactly), n.rounded(res)
		n.targetWithin(res)
		n.hold(res)
	}
}

// targetWithin holds a target to the limits that stand beside it: what cannot be
// met is an error of the records, such as a seal that runs beyond its rating.
func (n *Numbers) targetWithin(res *Result) {
	const tolerance = 1e-9 // relative; the error of binary arithmetic
	t := res.got[procedure.Target]
	if t == nil {
		return
	}
	room := tolerance * math.Abs(t.SI)
	low, high := res.got[procedure.Low], res.got[procedure.High]
	if low != nil && t.SI < low.SI-room || high != nil && t.SI > high.SI+room {
		p := diag.Problem{Pos: n.Unit.At, Severity: diag.Error, Rule: "target-outside", Related: []diag.Pos{res.Value.At},
			Message: "unit " + n.Unit.ID + ", " + res.Name + " (" + n.Plain(res.Value.What) + "): " + n.exactly(res, t) + " lies outside its own limits, " + n.bandText(res.band(), res.Show),
			Hint:    "correct the records that it draws on"}
		for _, one := range n.recordedOf(nil, res.asked) {
			p.Related = append(p.Related, one.at)
		}
		n.Problems.Add(p)
	}
}

// printedText is a computed value as it stands on the sheets.
func (n *Numbers) printedText(res *Result, exactly string) string {
	switch {
	case len(res.waits[procedure.Target]) > 0 && res.limited() && !res.waitsAt(procedure.Whole):
		return n.asWorked(res) + "; " + n.Text(res)
	case res.waiting():
		return n.asWorked(res)
	case res.Value.typ.Sort != formula.Quantity:
		return exactly
	case res.got[procedure.Target] != nil && res.limited() && !res.ofPhysics():
		return n.resultText(res, procedure.Target) + "; " + n.Text(res)
	}
	return n.Text(res)
}

// rounded says to what a number is rounded, where it is and the last of its figures does
// not show that: to a step of 0.5 mm, or up.
func (n *Numbers) rounded(res *Result) string {
	if res.Value.typ.Sort != formula.Quantity {
		return ""
	}
	const tolerance = 1e-6 // of a step; the error of binary arithmetic
	g := res.Show.Grain[n.System]
	digits := math.Log10(g.Step)
	if shows := digits < tolerance && math.Abs(digits-math.Round(digits)) < tolerance; shows && res.Show.Way == quantity.Nearest {
		return ""
	}
	for _, v := range res.got {
		if v == nil {
			continue
		}
		if steps := res.quantity(v).In(g.Unit) / g.Step; math.Abs(steps-math.Round(steps)) > tolerance {
			step := g.Text(quantity.FromUnit(g.Step, g.Unit), quantity.Nearest, n.Decimal)
			return n.WordWith([...]string{quantity.Nearest: "rounded_nearest", quantity.Down: "rounded_down", quantity.Up: "rounded_up"}[res.Show.Way], "step", step)
		}
	}
	return ""
}

// explain gives the key of a computed value's entry, adding it and those of
// the values that it was computed from. The entry of one that is but a step of the
// working says nothing printed.
func (n *Numbers) explain(res *Result) string {
	if had := n.working.of(res.Name); had != nil {
		return had.Key
	}
	v := res.Value
	e := n.entryOf(res)
	if k, ok := v.Kind(); ok {
		e.Kind = k.String()
	}
	e.Key = n.working.add(e) // before its inputs, so that it stands before them
	var formulas, exact, governed []string
	asked := map[string]bool{} // whether each name that was looked at is listed already
	var stated []string        // of which joints the design states the torque that is among the inputs
	for end, f := range v.formulas {
		got := res.got[end]
		if f == nil || got == nil && len(res.waits[end]) == 0 {
			continue
		}
		lead := n.lead(procedure.End(end))
		formulas = append(formulas, lead+f.text)
		if got != nil {
			exact = append(exact, lead+n.exactly(res, got))
		}
		for _, by := range res.by[end] {
			governed = append(governed, lead+n.governing(by))
		}
		for _, src := range f.sources {
			e.Sources = appendNew(e.Sources, src)
		}
		for _, r := range f.refs {
			u := r.of(res.member)
			if full := u.full(); slices.Contains(res.asked, u) && !asked[full] {
				if in, ok := n.input(u); ok {
					in.Letter = v.letterOf[r.name]
					e.Inputs, asked[full] = append(e.Inputs, in), true
					if r.ready != nil && r.ready.stated {
						stated = append(stated, u.member)
					}
				}
			}
		}
	}
	for _, fig := range res.figures {
		if in := n.figure(fig); !slices.Contains(e.Inputs, in) {
			e.Inputs = append(e.Inputs, in)
		}
	}
	for _, joint := range stated {
		e.Sources = appendNew(e.Sources, n.Size.Joints[joint].TorqueSource.S)
	}
	e.Formula, e.Exactly, e.Governed = strings.Join(formulas, "; "), strings.Join(exact, "; "), strings.Join(governed, "; ")
	if at, ok := n.asRecorded(res); ok {
		e.Recorded, e.At = true, at
	}
	if v.typ.Sort == formula.Quantity {
		amount := func(p *formula.Value) *float64 {
			if p == nil {
				return nil
			}
			return new(p.SI)
		}
		e.SI, e.Low, e.High = amount(res.at(procedure.Whole)), amount(res.got[procedure.Low]), amount(res.got[procedure.High])
	}
	*n.working.of(res.Name) = e
	return e.Key
}

// entryOf begins the entry of a value.
func (n *Numbers) entryOf(res *Result) packet.Entry {
	v := res.Value
	e := packet.Entry{Name: res.Name, What: n.Plain(v.What), At: packet.Place(v.At), Reads: n.Plain(v.Reads)}
	if !v.Source.Empty() {
		e.Sources = append(e.Sources, n.Plain(v.Source))
	}
	return e
}

// lead says which end of a band follows.
func (n *Numbers) lead(end procedure.End) string {
	if end == procedure.Whole {
		return ""
	}
	return n.Word(end.String()) + ": "
}

// asRecorded reports whether a value only repeats what one line of a record says,
// and gives that line.
func (n *Numbers) asRecorded(res *Result) (packet.Place, bool) {
	none := packet.Place{}
	place := none
	for _, f := range res.Value.formulas {
		if f == nil {
			continue
		}
		if !f.bare {
			return none, false
		}
		in, ok := n.input(f.refs[0].of(res.member))
		if !ok {
			continue
		}
		if in.At == none || place != none && place != in.At {
			return none, false
		}
		place = in.At
	}
	return place, place != none
}

// governing says which limit a value took, and why.
func (n *Numbers) governing(by formula.Governing) string {
	taken := by.Taken
	if name, _, call := strings.Cut(taken, "("); call && len(taken) > longest && strings.HasSuffix(taken, ")") && !strings.ContainsAny(name, " *") {
		taken = name + "(…)" // the formula itself stands above it
	}
	switch {
	case by.When == "":
		return taken
	case by.Yes:
		return n.WordWith("governed_since", "taken", taken, "when", by.When)
	}
	return n.WordWith("governed_unless", "taken", taken, "when", by.When)
}

// longest is how long a call may be that is repeated to say which limit governed.
const longest = 64

func appendNew[T comparable](list []T, s T) []T {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

func (n *Numbers) yesNo(yes bool) string {
	if yes {
		return n.Word("yes")
	}
	return n.Word("no")
}

// exactly prints an unrounded amount.
func (n *Numbers) exactly(res *Result, v *formula.Value) string {
	switch res.Value.typ.Sort {
	case formula.Text:
		return n.Translate(v.Text)
	case formula.YesNo:
		return n.yesNo(v.Yes)
	}
	u := res.Show.Grain[n.System].Unit
	return u.Join(strings.Replace(quantity.Figures(res.quantity(v).In(u), 7), ".", n.Decimal, 1))
}

// input says what a formula drew on: a recorded value with its place, or another
// computed value with its key. ok is false where it is not on record.
func (n *Numbers) input(u use) (in packet.Input, ok bool) {
	in.Name = u.full()
	switch {
	case u.ready != nil:
		p := n.property(u)
		in.Text, in.At = n.WithReason(in.Name, p.written), packet.Place(p.at)
		return in, p.known
	case u.term != nil:
		s, ok := n.Book.Scalar(n.Unit, u.term.Name)
		if ok {
			in.Text, in.At = n.WithReason(in.Name, s.Written), packet.Place(s.At)
		}
		return in, ok
	case u.word != nil:
		in.Text = u.word(n).S
		return in, in.Text != ""
	case u.energy != "":
		yes, known := n.holds(u.energy)
		in.Text, in.At = n.yesNo(yes), packet.Place(n.Unit.At)
		return in, known
	case u.reading != nil:
		in.Text = n.asRead(u.reading)
		return in, true
	}
	res := n.Result(u.value, u.member)
	if len(res.missing) == 0 && res.err == nil && res.waitsAt(u.end) {
		in.Key, in.Text = n.explain(res), n.asWorked(res)
		return in, true
	}
	if len(res.missing) > 0 || res.err != nil || res.Without {
		return in, false
	}
	in.Key = n.explain(res)
	part := res.at(u.end)
	if part == nil {
		return in, false
	}
	in.Text = n.exactly(res, part)
	return in, true
}

// figure says what a formula took from a table of the program, and by which of the
// table's names.
func (n *Numbers) figure(f formula.Figure) packet.Input {
	of := make([]string, len(f.Of))
	for i, name := range f.Of {
		of[i] = n.Translate(name)
	}
	in := packet.Input{Letter: f.Function.Symbol, Table: f.Function.Name}
	if len(of) > 0 {
		in.Name = "(" + strings.Join(of, ", ") + ")"
	}
	kind, _ := quantity.KindOfGo(reflect.TypeOf(f.Function.Call).Out(0))
	u, _ := quantity.UnitNamed(f.Function.Unit, kind)
	u = u.In(n.System)
	in.Text = u.Join(strings.Replace(quantity.Figures(quantity.Of(f.SI, kind).In(u), 5), ".", n.Decimal, 1))
	return in
}

// Gaps gives a warning for each name that the packet lacks.
func (n *Numbers) Gaps() diag.List {
	var list diag.List
	for name, what := range n.missing {
		at, where := n.home(name)
		lack := &diag.Lack{Name: name, In: where, By: "unit " + n.Unit.ID + ", procedure " + n.Procedure.Name, For: slices.Compact(slices.Sorted(slices.Values(what)))}
		if t := n.Book.TermOf(n.Unit, name); t != nil {
			lack.What = t.What
		}
		list.Warnf(at, "not-on-record", "put it on record, or the sheet prints NOT ON RECORD and the place is left to be filled by hand",
			"%s is not on record in %s; %s needs it for %s", n.whatIs(name), where, lack.By, diag.Some(lack.For, 3))
		list[len(list)-1].Lack = lack
	}
	return list
}

// whatIs names something on record with what it is.
func (n *Numbers) whatIs(name string) string {
	if t := n.Book.TermOf(n.Unit, name); t != nil {
		return name + " (" + t.What + ")"
	}
	return name
}

// home says in which record a name belongs.
func (n *Numbers) home(name string) (diag.Pos, string) {
	head, _, dotted := strings.Cut(name, ".")
	switch {
	case head == "liquid" && n.Unit.Liquid != nil:
		return n.Unit.Liquid.At, n.Unit.Liquid.String()
	case head == "site":
		return n.Book.Site.At, "the site's record"
	case dotted && slices.Contains([]string{"built", "duty", "piping", "drive", "unit", "energy", "job", "liquid"}, head):
		return n.Unit.At, n.Unit.String()
	case n.Size != nil:
		return n.Size.At, "design " + n.Unit.DesignName.S + ", size " + n.Size.Name
	}
	return n.Unit.At, n.Unit.String()
}
