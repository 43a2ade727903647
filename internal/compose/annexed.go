package compose

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
)

// annexed notes a number that nobody at the pump acts on: whoever checks finds it in
// the annex.
func (r *run) annexed(what, value packet.Phrase) {
	r.annex = append(r.annex, packet.Row{Cells: []packet.Cell{{Text: what}, {Text: value}}})
}

// annexBlocks is the table of those numbers.
func (r *run) annexBlocks() []packet.Block {
	if len(r.annex) == 0 {
		return nil
	}
	t := r.deskTable("expected", column{"what", 5, 0}, column{"value", 4, 0})
	t.Double, t.Rows = true, r.annex
	return []packet.Block{{Table: t}}
}

// onPaper leaves out the drawings that stand in the annex alone.
func onPaper(list []procedure.Figure) []procedure.Figure {
	var out []procedure.Figure
	for _, f := range list {
		if !f.Annex {
			out = append(out, f)
		}
	}
	return out
}
