package packet

import (
	"iter"

	"jobsheaf/internal/manifest"
)

// Spot is where a number stands: on a sheet, and at one of its steps where it has any.
type Spot struct {
	Sheet string `json:"sheet"`          // its ID
	Step  string `json:"step,omitempty"` // its number
}

// Numbers gives the spans of a sheet that print a number which has an entry of the
// working, in the order in which they are read, each with the step at which it stands
// ("" for none). Of a number in a drawing the span has no text.
func (s *Sheet) Numbers() iter.Seq2[string, Span] {
	return func(yield func(string, Span) bool) {
		w := walk{number: yield}
		w.blocks(s.Blocks)
	}
}

// walk goes over what is printed until there is enough: over its numbers, or over its boxes
// to write in. The other of the two is nil.
type walk struct {
	number func(step string, s Span) bool
	box    func(id string, a manifest.Ask)
	step   string
	done   bool
}

func (w *walk) phrase(p Phrase) {
	if w.number == nil {
		return
	}
	for i := range p {
		if p[i].Entry != "" && !w.done {
			w.done = !w.number(w.step, p[i])
		}
	}
}

func (w *walk) blocks(bs []Block) {
	for i := range bs {
		if w.done {
			return
		}
		w.block(&bs[i])
	}
}

func (w *walk) block(b *Block) {
	switch {
	case b.Para != nil:
		w.phrase(b.Para.Text)
	case b.Hazard != nil:
		w.phrase(b.Hazard.Condition)
		w.phrase(b.Hazard.Source)
	case b.Alert != nil:
		w.alert(b.Alert)
	case b.Facts != nil:
		for _, r := range b.Facts.Rows {
			w.phrase(r.Value)
		}
	case b.List != nil:
		for i := range b.List.Items {
			it := &b.List.Items[i]
			w.phrase(it.Text)
			if it.ID != "" {
				w.ticked(it.ID, it.Ask, it.Text.String())
			}
		}
	case b.Table != nil:
		w.table(b.Table)
	case b.Step != nil:
		w.aStep(b.Step)
	case b.Done != nil:
		w.blanks(b.Done.Blanks, b.Done.Text)
	case b.Sign != nil:
		for _, r := range b.Sign.Rows {
			w.phrase(r.For)
			w.blanks(r.Blanks, "")
		}
	case b.Notes != nil:
		w.ticked(b.Notes.ID, b.Notes.Ask, b.Notes.Title)
	case b.Figures != nil:
		w.figures(b.Figures)
	case b.Index != nil:
		for i := range b.Index.Rows {
			w.phrase(b.Index.Rows[i].Text)
		}
	case b.Keep != nil:
		w.blocks(b.Keep)
	case b.Beside != nil:
		w.blocks(b.Beside.Left)
		w.blocks(b.Beside.Right)
	}
}

func (w *walk) table(t *Table) {
	for i := range t.Rows {
		for k, c := range t.Rows[i].Cells {
			if c.Figure != nil {
				w.figure(c.Figure)
			}
			w.phrase(c.Text)
			w.blanks(c.Blanks, t.Columns[k].Title)
		}
	}
	w.phrase(t.Note)
}

func (w *walk) aStep(s *Step) {
	w.step = s.Number
	if w.box != nil {
		w.box(s.TickID(), manifest.Ask{For: manifest.ForDone, Step: s.Number, Label: Beginning(s.Text.String(), mostTold), Optional: s.Optional})
	}
	for i := range s.Alerts {
		w.alert(&s.Alerts[i])
	}
	w.phrase(s.Only)
	w.phrase(s.Text)
	for _, how := range s.How {
		w.phrase(how)
	}
	w.figures(s.Figure)
	w.blanks(s.Blanks, "")
	w.work(s.Work)
	if s.Hold != nil {
		w.blanks(s.Hold.Blanks, "")
	}
	w.step = ""
}

func (w *walk) alert(a *Alert) {
	w.phrase(a.Text)
	for _, line := range a.Lines {
		w.phrase(line)
	}
}

func (w *walk) figures(fs []Figure) {
	for i := range fs {
		w.figure(&fs[i])
	}
}

func (w *walk) figure(f *Figure) {
	w.phrase(f.Caption)
	if w.number == nil {
		return
	}
	for _, name := range f.Entries {
		if !w.done {
			w.done = !w.number(w.step, Span{Entry: name})
		}
	}
}
