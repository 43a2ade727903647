package compose

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
)

// annexed notes a number that nobody at the pump acts on: whoever checks finds it in
// the annex.
func (r *run) annexed(what, value packet.Phrase) {
	says := append(packet.Phrase{}, what...)
	if len(value) > 0 {
		says = append(append(says, packet.Span{Text: ": "}), value...)
	}
	r.further = append(r.further, packet.Looked{Text: says})
}

// figuresFor renders the drawings of a carried sheet; those that belong to the annex go
// there.
func (r *run) figuresFor(list []procedure.Figure) []packet.Figure {
	var carried []procedure.Figure
	for i := range list {
		if !list[i].Annex {
			carried = append(carried, list[i])
			continue
		}
		for _, f := range r.figures(list[i : i+1]) {
			r.aside = append(r.aside, packet.Block{Figures: []packet.Figure{f}})
		}
	}
	return r.figures(carried)
}
