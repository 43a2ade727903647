package compute

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// This file holds what prints to what it is read with: a band that its instrument
// cannot tell from its neighbours, and a number that rounding leaves nothing of, are
// refused.

// reader is what a number is read with, and the place that says so.
type reader struct {
	in *record.Instrument
	at diag.Pos
}

// readerOf gives the instrument of a value: its own, or that of its feature; none
// where it is told and not read.
func (n *Numbers) readerOf(res *Result) reader {
	if ref := res.Tool(); ref != nil {
		return reader{n.Book.Instruments[ref.Name], ref.At}
	}
	if res.Value.Group == procedure.PerFeature {
		f, _ := n.Feature(res.member)
		return reader{n.Book.Instruments[f.Instrument.S], f.Instrument.At}
	}
	return reader{at: res.Value.shownAt()}
}

// featureShow prints the limits of a feature as its readings are taken: to the grain of
// its instrument, in the unit that it is marked in.
func (n *Numbers) featureShow(res *Result) {
	if res.Value.Group != procedure.PerFeature || !res.limited() {
		return
	}
	f, _ := n.Feature(res.member)
	if in := n.Book.Instruments[f.Instrument.S]; in != nil {
		if show := ofKind(in.Show, res.Show.Grain[0].Unit.Kind); show.Grain[0].Unit.Kind == res.Show.Grain[0].Unit.Kind {
			res.Show.Grain = show.Grain
		}
	}
}

// refine prints to a finer grain what the show of a built-in procedure is too coarse for,
// such as the last of a flow: nobody at a site can mend that line. One of the site's own
// is an error there (hold).
func (n *Numbers) refine(res *Result) {
	_, quantified := res.Value.Kind()
	if !quantified || n.readerOf(res).in != nil || !res.Value.BuiltIn || res.Value.drawsOn() {
		return
	}
	if b := res.band(); b.Low != nil && b.High != nil {
		if unfit := res.Show.Grain[n.System].Suits(b, 0); unfit != nil && b.Low.SI() < b.High.SI() {
			res.Show = res.Show.Following(*b.Low, *b.High)
		}
		return
	}
	for end, v := range res.got {
		show := res.Show
		if e := procedure.End(end); e == procedure.Low || e == procedure.High {
			show.Way = ways[e]
		}
		if v != nil && !res.ofPhysics() && show.TooCoarse(res.quantity(v), n.units) {
			res.Show = res.Show.Following(res.quantity(v))
		}
	}
}

// shownAt is the line that says how the value prints.
func (v *Value) shownAt() diag.Pos {
	if v.Show != nil {
		return v.ShowAt
	}
	return v.At
}

// band gives the limits of a result; an end that it has not is open.
func (res *Result) band() (b quantity.Band) {
	if low := res.got[procedure.Low]; low != nil {
		b.Low = new(res.quantity(low))
	}
	if high := res.got[procedure.High]; high != nil {
		b.High = new(res.quantity(high))
	}
	return b
}

// hold refuses a result that cannot be read as it prints.
func (n *Numbers) hold(res *Result) {
	kind, quantified := res.Value.Kind()
	if !quantified {
		return
	}
	by, on := n.readerOf(res), n.units
	if by.in != nil {
		on.Both = false // what is in brackets is not read
	}
	b := res.band()
	if b.Low != nil && b.High != nil {
		n.holdBand(b, kind, res.Show.Grain[n.System], by, res.Name)
	}
	for end, v := range res.got {
		show := res.Show
		switch procedure.End(end) {
		case procedure.Low, procedure.High:
			if b.Low != nil && b.High != nil || res.ofPhysics() {
				continue // held above; or not printed
			}
			show.Way = ways[end]
		}
		if v != nil && !res.Value.drawsOn() && show.TooCoarse(res.quantity(v), on) { // what is read may well come to little
			n.Problems.Errorf(by.at, "coarse-show", "show it, or read it, to a finer grain", "unit %s: %s is %s, and rounding makes it %s", n.Unit.ID, res.Name, n.exactly(res, v), n.TextOf(show, res.quantity(v)))
			return
		}
	}
}

// holdBand refuses a band that is too narrow for what it is read with, or that
// rounding leaves fewer than five steps of.
func (n *Numbers) holdBand(b quantity.Band, kind quantity.Kind, g quantity.Grain, by reader, name string) {
	uncertainty := 0.0
	if by.in != nil && by.in.Uncertainty.Known() {
		uncertainty = by.in.Uncertainty.Value.SI()
	}
	var unfit *quantity.Unsuited
	if !errors.As(g.Suits(b, uncertainty), &unfit) {
		return
	}
	if by.in == nil {
		n.Problems.Errorf(by.at, "coarse-show", "show it to a finer grain, or correct the limits on record", "unit %s: %s is shown too coarsely: %s", n.Unit.ID, name, unfit)
		return
	}
	n.Problems.Errorf(by.at, "band-unreadable", n.wouldDo(b, kind, by.in, unfit), "unit %s: %s cannot be read with the %s: %s", n.Unit.ID, name, by.in.ID, unfit)
}

// wouldDo names the instruments on record that can read a band: a finer one of the
// same name, else those of the coarsest resolution.
func (n *Numbers) wouldDo(b quantity.Band, kind quantity.Kind, instead *record.Instrument, unfit *quantity.Unsuited) string {
	var fit []*record.Instrument
	for _, in := range n.Book.Instruments {
		show := ofKind(in.Show, kind)
		if in.Uncertainty.Known() && show.Grain[n.System].Unit.Kind == kind && show.Grain[n.System].Suits(b, in.Uncertainty.Value.SI()) == nil {
			fit = append(fit, in)
		}
	}
	lead := "take another that can read it, such as "
	if same := slices.DeleteFunc(slices.Clone(fit), func(in *record.Instrument) bool { return !strings.Contains(in.ID, instead.ID) }); len(same) > 0 {
		fit, lead = same, "take "
	}
	size := func(in *record.Instrument) float64 {
		g := in.Show.Grain[n.System]
		return g.Step * g.Unit.Factor
	}
	slices.SortFunc(fit, func(a, b *record.Instrument) int {
		return cmp.Or(cmp.Compare(size(b), size(a)), strings.Compare(a.ID, b.ID))
	})
	if len(fit) == 0 {
		plain := func(si float64) string { return quantity.OfType(si, quantity.Type{Dim: kind.Type().Dim}).Plain() }
		return "no instrument on record would do: put one on record that reads to " + plain(unfit.Grain) + " with an uncertainty of " + plain(unfit.Uncertainty) + " at most, or correct the limits"
	}
	names := make([]string, len(fit))
	for i, in := range fit {
		names[i] = in.ID
	}
	return lead + diag.Some(names, 3) + "; or put a finer " + instead.ID + " on record, or correct the limits"
}

// holdBlank refuses a blank that asks for a band to be read with an instrument that
// cannot tell whether it is met: the value may name another one, or none.
func (n *Numbers) holdBlank(b *procedure.Blank) {
	in := n.Book.Instruments[b.Instrument.Name]
	if in == nil || b.Low == nil || b.High == nil || b.Low.Name != b.High.Name {
		return
	}
	res := n.ResultNamed(b.Low.Name)
	if res == nil || !res.limited() || n.readerOf(res).in == in { // which its value is held to
		return
	}
	if kind, ok := res.Value.Kind(); ok {
		n.holdBand(res.band(), kind, ofKind(in.Show, kind).Grain[n.System], reader{in, b.Instrument.At}, res.Name)
	}
}
