package compute

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// instrumentProperties stand ready in formulas of a feature: what its instrument is
// good for.
var instrumentProperties = map[string]*readyProperty{
	"instrument.resolution": {typ: length, apart: true, get: func(n *Numbers, feature string) property {
		in := n.instrumentOf(feature)
		if in == nil {
			return property{}
		}
		g := in.Show.Grain[n.System]
		step := quantity.FromUnit(g.Step, g.Unit)
		if typ := g.Unit.Kind.Type(); typ.Datum != quantity.Difference {
			step = quantity.OfType(g.Step*g.Unit.Factor, quantity.Type{Dim: typ.Dim})
		}
		return property{value: formula.Value{SI: g.Step * g.Unit.Factor}, amount: step, written: in.Resolution.S, at: in.Resolution.At, known: in.Resolution.Known()}
	}},
	"instrument.uncertainty": {typ: length, apart: true, get: func(n *Numbers, feature string) property {
		in := n.instrumentOf(feature)
		if in == nil {
			return property{}
		}
		return amountOf(in.Uncertainty)
	}},
}

// Feature gives a feature of the unit's size; of one that is not on record only the
// name is known.
func (n *Numbers) Feature(name string) (f *record.Feature, known bool) {
	if n.Size != nil && n.Size.Features[name] != nil {
		return n.Size.Features[name], true
	}
	return &record.Feature{Name: name}, false
}

// instrumentOf gives the instrument that a feature is measured with.
func (n *Numbers) instrumentOf(feature string) *record.Instrument {
	f, _ := n.Feature(feature)
	return n.Instrument(f.Instrument.S)
}

// Instrument gives an instrument by name and notes that the packet names it.
func (n *Numbers) Instrument(name string) *record.Instrument {
	in := n.Book.Instruments[name]
	if in != nil {
		n.tools[name] = in
	}
	return in
}

// ReadsTo gives what an instrument reads to as its record has it, in the systems that
// the page prints; of one that is marked in another alone, that.
func (n *Numbers) ReadsTo(in *record.Instrument) []string { return n.onPage(in.Resolution.S) }

// Uncertain gives the expanded uncertainty of an instrument likewise.
func (n *Numbers) Uncertain(in *record.Instrument) string { return n.onPage(in.Stated.S)[0] }

// onPage gives those of the amounts "0.01 mm or 0.0004 in" that the page prints.
func (n *Numbers) onPage(text string) []string {
	all := strings.SplitN(text, " or ", 2)
	if len(all) == 1 {
		return all
	}
	v, err := quantity.ParseAny(all[0])
	if u, ok := v.Written(); err == nil && ok && u.In(n.System).Symbol != u.Symbol {
		slices.Reverse(all)
	}
	if n.units.Both {
		return all
	}
	return all[:1]
}

// ReadingShow says how the readings of a feature print: to the grain of its
// instrument.
func (n *Numbers) ReadingShow(feature string) quantity.Show {
	f, _ := n.Feature(feature)
	kind, _ := f.Kind()
	if in := n.instrumentOf(feature); in != nil {
		return ofKind(in.Show, kind)
	}
	return quantity.ShowFor(kind)
}

// Instruments are those that the packet names so far.
func (n *Numbers) Instruments() map[string]*record.Instrument { return n.tools }

// Rounding gives the instruments that the packet names, and those to which the
// template and the unit's features round: their resolution is in the numbers.
func (n *Numbers) Rounding() map[string]*record.Instrument {
	all := maps.Clone(n.tools)
	note := func(name string) {
		if in := n.Book.Instruments[name]; in != nil {
			all[name] = in
		}
	}
	n.Procedure.Instruments(func(ref *procedure.Ref) { note(ref.Name) })
	if n.Size != nil {
		for _, f := range n.Size.Features {
			note(f.Instrument.S)
		}
	}
	return all
}
