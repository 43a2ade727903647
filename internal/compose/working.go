package compose

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
)

// working holds the entries of a packet's numbers, in the order of their keys.
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

// add gives the working key of a printed number, adding its entry the first time
// that it is printed.
func (w *working) add(e packet.Entry) string {
	if had := w.of(e.Name); had != nil {
		return had.Key
	}
	e.Key = "W" + strconv.Itoa(len(w.entries)+1)
	w.index[e.Name] = len(w.entries)
	w.entries = append(w.entries, e)
	return e.Key
}

// printed gives the working key of a computed value that stands on a sheet.
func (r *run) printed(res *result) string {
	key := r.explain(res)
	if e := r.working.of(res.name); e.Printed == "" {
		e.Printed = r.printedText(res, e.Exactly)
		r.targetWithin(res)
	}
	return key
}

// targetWithin holds a target to the limits that stand beside it: what cannot be
// met is an error of the records, such as a seal that runs beyond its rating.
func (r *run) targetWithin(res *result) {
	const slack = 1e-9
	t := res.got[target]
	if t == nil {
		return
	}
	room := slack * math.Abs(t.SI)
	low, high := res.got[lower], res.got[upper]
	if low != nil && t.SI < low.SI-room || high != nil && t.SI > high.SI+room {
		p := diag.Problem{Pos: r.unit.At, Severity: diag.Error, Rule: "target-outside", Related: []diag.Pos{res.v.src.At},
			Message: "unit " + r.unit.ID + ", " + res.name + " (" + r.plain(res.v.src.What) + "): " + r.exactly(res, t) + " lies outside its own limits, " + r.resultText(res, ""),
			Hint:    "correct the records that it draws on"}
		for _, one := range r.recordedOf(nil, res.asked) {
			p.Related = append(p.Related, one.at)
		}
		r.problems.Add(p)
	}
}

// printedText is a computed value as it stands on the sheets.
func (r *run) printedText(res *result, exactly string) string {
	switch {
	case res.v.typ.Sort != formula.Quantity:
		return exactly
	case res.got[target] != nil && res.limited():
		return r.resultText(res, "target") + "; " + r.resultText(res, "")
	}
	return r.resultText(res, "")
}

// explain gives the working key of a computed value, adding its entry and those of
// the values that it was computed from. The entry of one that is but a step of the
// working says nothing printed.
func (r *run) explain(res *result) string {
	if had := r.working.of(res.name); had != nil {
		return had.Key
	}
	v := res.v
	g, member, _ := split(res.name)
	e := r.entryOf(v, res.name)
	if k, ok := v.typ.Quantity.Kind(); ok && v.typ.Sort == formula.Quantity {
		e.Kind = k.String()
	}
	e.Key = r.working.add(e) // before its inputs, so that it stands before them
	var formulas, exact, governed []string
	seen := func(name string) bool {
		return slices.ContainsFunc(e.Inputs, func(in packet.Input) bool { return in.Name == name })
	}
	for p, f := range v.formulas {
		got := res.got[p]
		if f == nil || got == nil {
			continue
		}
		lead := r.lead(part(p))
		formulas = append(formulas, lead+f.text)
		exact = append(exact, lead+r.exactly(res, got))
		for _, by := range res.by[p] {
			governed = append(governed, lead+r.governing(by))
		}
		for _, src := range f.sources {
			e.Sources = appendNew(e.Sources, src)
		}
		for _, n := range f.names {
			full := r.full(n, g, member)
			if slices.Contains(res.asked, full) && !seen(full) {
				if in, ok := r.input(full); ok {
					e.Inputs = append(e.Inputs, in)
				}
			}
		}
	}
	if r.size != nil && g == perJoint && slices.ContainsFunc(e.Inputs, func(in packet.Input) bool { return strings.Contains(in.Name, ".recorded.") }) {
		e.Sources = appendNew(e.Sources, r.size.Joints[member].TorqueSource.S)
	}
	e.Formula, e.Exactly, e.Governed = strings.Join(formulas, "; "), strings.Join(exact, "; "), strings.Join(governed, "; ")
	if at, ok := r.asRecorded(v, g, member); ok {
		e.Recorded, e.At = true, at
	}
	if v.typ.Sort == formula.Quantity {
		amount := func(p *formula.Value) *float64 {
			if p == nil {
				return nil
			}
			return new(p.SI)
		}
		e.SI, e.Low, e.High = amount(res.part("")), amount(res.got[lower]), amount(res.got[upper])
	}
	*r.working.of(res.name) = e
	return e.Key
}

// entryOf begins the entry of a value.
func (r *run) entryOf(v *value, name string) packet.Entry {
	e := packet.Entry{Name: name, What: r.plain(v.src.What), At: v.src.At.String()}
	if !v.src.Source.Empty() {
		e.Sources = append(e.Sources, r.plain(v.src.Source))
	}
	return e
}

// lead says which part of a band follows.
func (r *run) lead(p part) string {
	if p == itself {
		return ""
	}
	return r.word(ends[p]) + ": "
}

// asRecorded reports whether a value only repeats what one line of a record says,
// and gives that line.
func (r *run) asRecorded(v *value, g group, member string) (string, bool) {
	place := ""
	for _, f := range v.formulas {
		if f == nil {
			continue
		}
		if len(f.names) != 1 || f.names[0] != f.Text() {
			return "", false
		}
		in, ok := r.input(r.full(f.Text(), g, member))
		if !ok {
			continue
		}
		if in.At == "" || place != "" && place != in.At {
			return "", false
		}
		place = in.At
	}
	return place, place != ""
}

// governing says which limit a value took, and why.
func (r *run) governing(by formula.Governing) string {
	taken := by.Taken
	if name, _, call := strings.Cut(taken, "("); call && len(taken) > longest && strings.HasSuffix(taken, ")") && !strings.ContainsAny(name, " *") {
		taken = name + "(…)" // the formula itself stands above it
	}
	switch {
	case by.When == "":
		return taken
	case by.Yes:
		return r.wordWith("governed_since", "taken", taken, "when", by.When)
	}
	return r.wordWith("governed_unless", "taken", taken, "when", by.When)
}

// longest is how long a call may be that is repeated to say which limit governed.
const longest = 64

func appendNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// exactly prints an unrounded amount.
func (r *run) exactly(res *result, v *formula.Value) string {
	switch res.v.typ.Sort {
	case formula.Text:
		return r.c.own(v.Text)
	case formula.YesNo:
		if v.Yes {
			return r.word("yes")
		}
		return r.word("no")
	}
	u := res.show.Grain[r.system].Unit
	return u.Join(strings.Replace(quantity.Figures(res.quantity(v).In(u), 7), ".", r.decimal, 1))
}

// input says what a formula drew on: a recorded value with its place, or another
// computed value with its key. ok is false where it is not on record.
func (r *run) input(name string) (in packet.Input, ok bool) {
	in.Name = name
	switch m := r.meaning(name); m.sort {
	case aProperty:
		p := r.member(m.group, m.member, m.prop)
		in.Text, in.At = p.written, p.at.String()
		return in, p.known
	case anInstrument:
		return r.instrumentInput(name, m.member, m.prop)
	case aTerm:
		s, ok := r.c.book.Scalar(r.unit, name)
		if ok {
			in.Text, in.At = s.Written, s.At.String()
		}
		return in, ok
	case aWord:
		in.Text, ok = r.ready(name)
		return in, ok
	default:
		if m.res == nil || m.res.err != nil || len(m.res.missing) > 0 || m.res.without {
			return in, false
		}
		in.Key = r.explain(m.res)
		part := m.res.part(m.end)
		if part == nil {
			return in, false
		}
		in.Text = r.exactly(m.res, part)
		return in, true
	}
}

// gaps gives a warning for each name that the packet lacks.
func (r *run) gaps() diag.List {
	var list diag.List
	for name, what := range r.missing {
		at, where := r.home(name)
		lack := &diag.Lack{Name: name, In: where, By: "unit " + r.unit.ID + ", procedure " + r.plan.proc.Name, For: slices.Compact(slices.Sorted(slices.Values(what)))}
		if t := r.c.book.Terms[name]; t != nil {
			lack.What = t.What
		}
		list.Warnf(at, "not-on-record", "put it on record, or the sheet prints NOT ON RECORD and the place is left to be filled by hand",
			"%s is not on record in %s; %s wants it for %s", r.whatIs(name), where, lack.By, diag.Some(lack.For, 3))
		list[len(list)-1].Lack = lack
	}
	return list
}

// whatIs names something on record with what it is.
func (r *run) whatIs(name string) string {
	if t := r.c.book.Terms[name]; t != nil {
		return name + " (" + t.What + ")"
	}
	return name
}

// home says in which record a name belongs.
func (r *run) home(name string) (diag.Pos, string) {
	head, _, dotted := strings.Cut(name, ".")
	switch {
	case head == "liquid" && r.unit.Liquid != nil:
		return r.unit.Liquid.At, r.unit.Liquid.String()
	case head == "site":
		return r.c.book.Site.At, "the site's record"
	case dotted && slices.Contains([]string{"built", "duty", "piping", "drive", "unit", "job", "liquid"}, head):
		return r.unit.At, r.unit.String()
	case r.size != nil:
		return r.size.At, "design " + r.unit.DesignName.S + ", size " + r.size.Name
	}
	return r.unit.At, r.unit.String()
}
