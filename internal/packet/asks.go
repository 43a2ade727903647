package packet

import (
	"cmp"
	"iter"

	"jobsheaf/internal/manifest"
)

// mostTold is how many characters of a text say which it is.
const mostTold = 60

// Asks gives what each box of the carried sheets asks for, by the box's ID: what compose
// says of it, and what stands beside it on the page.
func (p *Packet) Asks() iter.Seq2[string, manifest.Ask] {
	return func(yield func(string, manifest.Ask) bool) {
		w := walk{}
		w.box = func(id string, a manifest.Ask) {
			if id != "" && !w.done {
				w.done = !yield(id, a)
			}
		}
		for i := range p.Sheets {
			w.blocks(p.Sheets[i].Blocks)
		}
	}
}

// TickID names the box in which the step is ticked off.
func (s *Step) TickID() string { return s.ID + ".done" }

// blanks walks over blanks; label is what the page says of those that have none.
func (w *walk) blanks(bs []Blank, label string) {
	for i := range bs {
		w.blank(&bs[i], label)
	}
}

func (w *walk) blank(b *Blank, label string) {
	w.phrase(b.Target)
	if w.box == nil {
		return
	}
	var a manifest.Ask
	if b.Ask != nil {
		a = *b.Ask
	}
	a.Step, a.Label = cmp.Or(a.Step, w.step), cmp.Or(b.Label, label)
	a.Unit, a.Limits, a.Tool = cmp.Or(b.Unit, a.Unit), cmp.Or(b.Target.String(), a.Limits), cmp.Or(b.Instrument, a.Tool)
	w.box(b.ID, a)
}

// ticked walks over what is ticked off by itself, and over room to write: label says which.
func (w *walk) ticked(id string, ask *manifest.Ask, label string) {
	if w.box == nil {
		return
	}
	var a manifest.Ask
	if ask != nil {
		a = *ask
	}
	a.Label = Beginning(label, mostTold)
	w.box(id, a)
}
