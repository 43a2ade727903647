package compose

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// needs gives what the job needs, once its sheets are written: the instruments and
// the numbers that they name are known only then.
func (r *run) needs(sheets []packet.Sheet) packet.Needs {
	var n packet.Needs
	if r.Size != nil && r.Procedure.Job.Kits {
		r.kitNeeds(&n)
		for i, s := range r.Size.Supplies {
			if r.WantsSupply(i) {
				n.Supplies = append(n.Supplies, packet.Supply{Item: s.Item.S, Amount: asWritten(s.Amount)})
			}
		}
	}
	n.Parts = r.itemNeeds(r.Procedure.Job.Parts)
	for _, it := range r.itemNeeds(r.Procedure.Job.Tools) {
		if slices.ContainsFunc(it.Asks, func(a packet.Amount) bool { return a.Kind == quantity.KindVolume.String() }) {
			n.Containers = append(n.Containers, it)
		} else {
			n.Tools = append(n.Tools, it)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(r.Instruments())) {
		n.Instruments = append(n.Instruments, r.instrumentNeed(name))
	}
	for _, p := range r.Unit.Isolate {
		n.Locks = append(n.Locks, packet.Lock{Point: p.Point.S, Energy: p.Energy.S, Device: p.Device.S, Where: p.Where.S, Put: p.Put.S, Prove: p.Prove.S, Last: p.AtDrive()})
	}
	for _, gap := range r.Unit.Unisolated() {
		n.Locks = append(n.Locks, packet.Lock{Energy: gap.Energy, Missing: true})
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

func (r *run) kitNeeds(n *packet.Needs) {
	for i, k := range r.Size.Kits {
		yes, sure := r.WantsKit(i)
		fits, known := k.ForSerial(r.Unit.Serial)
		if !yes || known && !fits {
			continue
		}
		kit := packet.Kit{Kit: k.Kit.S, Number: k.Number.S, Ask: !sure || !known}
		for _, it := range k.Items {
			kit.Items = append(kit.Items, it.S)
		}
		n.Kits = append(n.Kits, kit)
	}
	n.KitsUnknown = len(n.Kits) == 0
}

// itemNeeds gives the items that apply, each with the computed amounts that its
// words name.
func (r *run) itemNeeds(list []procedure.Item) []packet.Item {
	var out []packet.Item
	for _, it := range list {
		text, applies := r.SayWhere(it.When, it.Say)
		if !applies {
			continue
		}
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
		out = append(out, item)
	}
	return out
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
