package compose

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// needs gives what the job needs, once its sheets are written: what the job sheet asks
// for, and the instruments that all of them name.
func (r *run) needs(sheets []packet.Sheet) packet.Needs {
	n := r.need
	for _, name := range slices.Sorted(maps.Keys(r.Instruments())) {
		if r.used[name] || r.onWear[name] {
			n.Instruments = append(n.Instruments, r.instrumentNeed(name))
		}
	}
	for _, p := range r.Unit.Isolate {
		n.Locks = append(n.Locks, packet.Lock{Point: p.Point.S, Energy: p.Energy.S, Device: p.Device.S, Where: p.Where.S, Put: p.Put.S, Prove: p.Prove.S, Tagged: p.Tagged(), Last: p.AtDrive()})
	}
	for _, gap := range r.Unit.Unisolated() {
		n.Locks = append(n.Locks, packet.Lock{Energy: gap, Missing: true})
	}
	n.Due, n.Dangers = r.due(), dangers(sheets)
	for _, s := range sheets {
		for _, b := range s.Blocks {
			if b.Hazard != nil {
				n.Liquid = b.Hazard
			}
		}
	}
	return n
}

// itemNeed gives a rendered item with the computed amounts that its words name.
func (r *run) itemNeed(text packet.Phrase) packet.Item {
	item := packet.Item{Item: strings.Join(strings.Fields(text.String()), " ")}
	for _, span := range text {
		e := r.Entry(span.Entry)
		if e == nil || e.SI == nil && e.Low == nil && e.High == nil {
			continue
		}
		a := packet.Amount{Kind: e.Kind, Written: e.Printed, Low: e.Low, High: e.High}
		if e.SI != nil {
			a.SI = *e.SI
		}
		item.Asks = append(item.Asks, a)
	}
	return item
}

func (r *run) instrumentNeed(name string) packet.Instrument {
	in := r.Instruments()[name]
	need := packet.Instrument{Name: r.Translate(name), Counts: in.Show.Grain[r.System].Unit.Symbol == ""}
	written := func(text string, at diag.Pos) *packet.Amount {
		v, err := quantity.ParseAny(text)
		if err != nil {
			return nil
		}
		return asWritten(record.Amount{Text: record.Text{S: text, At: at}, Value: v})
	}
	for _, text := range r.ReadsTo(in) {
		if a := written(text, in.Resolution.At); a != nil { // the record was held to this before
			need.Resolution = append(need.Resolution, *a)
		}
	}
	if in.Uncertainty.Known() {
		need.Uncertainty = written(r.Uncertain(in), in.Uncertainty.At)
	}
	return need
}

// asWritten gives a recorded amount in the digits in which it was written; nil where
// it is not on record.
func asWritten(a record.Amount) *packet.Amount {
	if !a.Known() {
		return nil
	}
	out := &packet.Amount{SI: a.Value.SI(), Written: a.S}
	if k, ok := a.Value.Type().Kind(); ok {
		out.Kind = k.String()
	}
	if u, ok := a.Value.Written(); ok {
		out.Kind, out.Unit = u.Kind.String(), u.Symbol
		if at := strings.LastIndex(a.S, " "); at > 0 {
			out.Written = strings.Join(strings.Fields(u.Join(a.S[:at])), " ")
		}
	}
	return out
}
