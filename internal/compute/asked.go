package compute

import (
	"strconv"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// This file says of a box for a reading what is asked for, for whoever types the reading
// in: the numbers of its limits as they print, what was read last time, and where in the
// unit's history the reading belongs.

// AskOf says what a blank for a reading asks for, but for what its packet.Blank says.
func (n *Numbers) AskOf(b *procedure.Blank) *manifest.Ask {
	a := &manifest.Ask{For: manifest.ForReading}
	a.Low, a.High = n.heldTo(b)
	if b.Keep != nil {
		a.Keep = b.Keep.String()
		f, _ := n.Feature(b.Keep.Name.Name)
		a.Last = n.LastText(f)
	}
	return a
}

// heldTo gives the limits of a blank as they print, in the unit in which it is filled in.
func (n *Numbers) heldTo(b *procedure.Blank) (low, high *float64) {
	unit, known := n.UnitOf(b)
	at := func(name string, end procedure.End) *float64 {
		v, show, ok := n.limit(name, end)
		if !ok {
			return nil
		}
		g := show.Grain[n.System]
		x := g.Printed(v, show.Way)
		if known && unit.Symbol != g.Unit.Symbol {
			x = tidy(quantity.FromUnit(x, g.Unit).In(unit))
		}
		return &x
	}
	switch {
	case b.Low != nil || b.High != nil:
		if b.Low != nil {
			low = at(b.Low.Name, procedure.Low)
		}
		if b.High != nil {
			high = at(b.High.Name, procedure.High)
		}
	case b.Target != nil && n.printsBand(b.Target.Name):
		low, high = at(b.Target.Name, procedure.Low), at(b.Target.Name, procedure.High)
	}
	return low, high
}

// printsBand reports whether what a blank aims at prints as a band.
func (n *Numbers) printsBand(name string) bool {
	switch r := n.ref(name); {
	case r == nil:
	case r.term != nil:
		s, have := n.Book.Scalar(n.Unit, r.term.Name)
		return have && s.Form == record.FormBand
	case r.value != nil && r.end == procedure.Whole:
		res := n.Result(r.value, r.of("").member)
		return res.limited() && res.got[procedure.Target] == nil && !res.ofPhysics()
	}
	return false
}

// HeldAs gives the limits of a result as its band prints, in the unit of its show.
func (n *Numbers) HeldAs(res *Result) (low, high *float64) {
	if !res.limited() || res.ofPhysics() || res.waitsAt(procedure.Whole) {
		return nil, nil
	}
	b, g := res.band(), res.Show.Grain[n.System]
	if b.Low != nil {
		low = new(g.Printed(*b.Low, quantity.Up))
	}
	if b.High != nil {
		high = new(g.Printed(*b.High, quantity.Down))
	}
	return low, high
}

// LastText prints a feature's reading as it was left last time, and the day; "" where there
// is none. Of what is no feature, such as a term that a history names, the name is enough.
func (n *Numbers) LastText(f *record.Feature) string {
	a, day, known := n.Last(f)
	if !known {
		return ""
	}
	kind, _ := a.Value.Type().Kind()
	show := quantity.ShowFor(kind)
	if in := n.Book.Instruments[f.Instrument.S]; in != nil {
		show = ofKind(in.Show, kind)
	}
	show.Way = quantity.Nearest
	return n.AsRecorded(show, a.Value) + ", " + day
}

// tidy takes the error of binary arithmetic from a number that was put into another unit.
func tidy(x float64) float64 {
	const figures = 9 // more than any instrument shows
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', figures, 64), 64)
	return x
}

// kept reports readings that go into the history under the name of what is of another
// kind. Whether there is anything of the name is for check: a packet's inputs hold one
// unit's records alone.
func (k *compiler) kept() {
	for i := range k.pl.proc.Stages {
		for j := range k.pl.proc.Stages[i].Steps {
			blanks := k.pl.proc.Stages[i].Steps[j].Blanks
			for n := range blanks {
				if b := &blanks[n]; b.Keep != nil {
					k.keptAs(&reading{Taken: procedure.Taken{Blank: b}}, b.Keep)
				}
			}
		}
	}
}

func (k *compiler) keptAs(rd *reading, keep *procedure.Keep) {
	wanted, known := k.historyKind(keep.Name.Name)
	k.typeReading(rd)
	if kind, ok := rd.typ.Quantity.Kind(); known && rd.typed && ok && kind != wanted {
		k.problems.Errorf(keep.Name.At, "keep", "name what is read at this blank", "the reading is a %s, and a history has %s as a %s", kind, keep.Name.Name, wanted)
	}
}

// historyKind gives the kind in which a history has a feature, or a term of a size.
func (k *compiler) historyKind(name string) (kind quantity.Kind, known bool) {
	if k.names.members[procedure.PerFeature][name] {
		if kind, other := k.names.kinds[name]; other {
			return kind, !k.names.mixed[name]
		}
		return quantity.KindLength, !k.names.mixed[name]
	}
	if t := k.c.book.HistoryTerm(name); t != nil {
		return t.Kind, true
	}
	return 0, false
}
