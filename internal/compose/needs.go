package compose

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// needs gives what the job needs, once its sheets are written: what the job sheet asks
// for, and the instruments that all of them name.
func (r *run) needs(sheets []packet.Sheet) packet.Needs {
	n := r.need
	for _, name := range slices.Sorted(maps.Keys(r.Instruments())) {
		n.Instruments = append(n.Instruments, r.instrumentNeed(name))
	}
	for _, p := range r.Unit.Isolate {
		n.Locks = append(n.Locks, packet.Lock{Point: p.Point.S, Energy: p.Energy.S, Device: p.Device.S, Where: p.Where.S, Put: p.Put.S, Prove: p.Prove.S, Last: p.AtDrive()})
	}
	for _, gap := range r.Unit.Unisolated() {
		n.Locks = append(n.Locks, packet.Lock{Energy: gap.Energy, Missing: true})
	}
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
	item := packet.Item{Item: strings.Join(strings.Fields(compute.Keyless(text)), " ")}
	for _, span := range text {
		if span.Style != packet.Key {
			continue
		}
		working := r.Working()
		at := slices.IndexFunc(working, func(e packet.Entry) bool { return e.Key == strings.TrimSpace(span.Text) })
		if at < 0 || working[at].SI == nil && working[at].Low == nil && working[at].High == nil {
			continue
		}
		e := working[at]
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
	need := packet.Instrument{Name: r.Translate(name), Counts: in.Show.Grain[r.System].Unit.Symbol == "", Uncertainty: asWritten(in.Uncertainty)}
	for _, text := range strings.SplitN(in.Resolution.S, " or ", 2) {
		v, err := quantity.ParseAny(text)
		if err == nil { // the record was held to this before
			need.Resolution = append(need.Resolution, *asWritten(record.Amount{Text: record.Text{S: text, At: in.Resolution.At}, Value: v}))
		}
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
