package compose

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// instrumentOf gives the instrument that a feature is measured with.
func (r *run) instrumentOf(feature string) *record.Instrument {
	f, _ := r.feature(feature)
	return r.instrument(f.Instrument.S)
}

// instrument gives an instrument by name and notes that the packet names it.
func (r *run) instrument(name string) *record.Instrument {
	in := r.c.book.Instruments[name]
	if in != nil {
		r.tools[name] = in
	}
	return in
}

// readingShow says how the readings of a feature print: to the grain of its
// instrument.
func (r *run) readingShow(feature string) quantity.Show {
	if in := r.instrumentOf(feature); in != nil {
		return in.Show
	}
	return quantity.ShowFor(quantity.KindLength)
}

// instrumentValue gives what an instrument is good for as formulas see it.
func (r *run) instrumentValue(feature, prop string) (formula.Value, bool) {
	in := r.instrumentOf(feature)
	if in == nil {
		return formula.Value{}, false
	}
	if prop == "uncertainty" {
		return formula.Value{SI: in.Uncertainty.Value.SI()}, in.Uncertainty.Known()
	}
	g := in.Show.Grain[r.system]
	return formula.Value{SI: g.Step * g.Unit.Factor}, true
}

// instrumentInput says what a feature's instrument is good for.
func (r *run) instrumentInput(name, member, prop string) (packet.Input, bool) {
	in := r.instrumentOf(member)
	if in == nil {
		return packet.Input{}, false
	}
	if prop == "uncertainty" {
		return packet.Input{Name: name, Text: in.Uncertainty.S, At: in.Uncertainty.At.String()}, in.Uncertainty.Known()
	}
	return packet.Input{Name: name, Text: in.Resolution.S, At: in.Resolution.At.String()}, in.Resolution.Known()
}

// instrumentTable asks for the number and the calibration of each instrument that
// the packet names, which are known once the sheets are written; nil where it names
// none.
func (r *run) instrumentTable() *packet.Table {
	if len(r.tools) == 0 {
		return nil
	}
	t := r.table("instruments", column{"name", 3, 0}, column{"number", 1, 0}, column{"due", 1, 0})
	t.Double = true
	for _, n := range slices.Sorted(maps.Keys(r.tools)) {
		in := r.tools[n]
		first, other, both := strings.Cut(in.Resolution.S, " or ")
		text := packet.Say(r.c.own(n) + "\n")
		if in.Show.Grain[r.system].Unit.Symbol == "" {
			text = append(text, packet.Span{Text: r.word("instruments.counts") + " "})
		}
		text = append(text, packet.Span{Text: r.pointed(first)})
		if both {
			text = append(text, packet.Span{Text: " " + r.word("or") + " " + r.pointed(other)})
		}
		if in.Uncertainty.Known() {
			text = append(text, packet.Span{Text: "; ±\u00a0" + r.pointed(in.Uncertainty.S)})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{{Text: text},
			{Blanks: []packet.Blank{{ID: r.places.id("instrument", slug(n), "number"), Kind: packet.Words, Characters: 5}}},
			{Blanks: []packet.Blank{{ID: r.places.id("instrument", slug(n), "due"), Kind: packet.Words, Characters: 6}}}}})
	}
	return t
}

// instruments are those that the packet names, and those to which the template and
// the unit's features round: their resolution is in the numbers.
func (r *run) instruments() map[string]*record.Instrument {
	all := maps.Clone(r.tools)
	note := func(name string) {
		if in := r.c.book.Instruments[name]; in != nil {
			all[name] = in
		}
	}
	r.plan.proc.Instruments(func(ref *procedure.Ref) { note(ref.Name) })
	if r.size != nil {
		for _, f := range r.size.Features {
			note(f.Instrument.S)
		}
	}
	return all
}
