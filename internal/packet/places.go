package packet

import "iter"

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
		w := walk{yield: yield}
		w.blocks(s.Blocks)
	}
}

// walk goes over what is printed until yield has enough.
type walk struct {
	yield func(step string, s Span) bool
	step  string
	done  bool
}

func (w *walk) phrase(p Phrase) {
	for i := range p {
		if p[i].Entry != "" && !w.done {
			w.done = !w.yield(w.step, p[i])
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
		for _, it := range b.List.Items {
			w.phrase(it.Text)
		}
	case b.Table != nil:
		w.table(b.Table)
	case b.Step != nil:
		w.aStep(b.Step)
	case b.Done != nil:
		w.blanks(b.Done.Blanks)
	case b.Sign != nil:
		for _, r := range b.Sign.Rows {
			w.phrase(r.For)
			w.blanks(r.Blanks)
		}
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
		for _, c := range t.Rows[i].Cells {
			if c.Figure != nil {
				w.figure(c.Figure)
			}
			w.phrase(c.Text)
			w.blanks(c.Blanks)
		}
	}
	w.phrase(t.Note)
}

func (w *walk) aStep(s *Step) {
	w.step = s.Number
	for i := range s.Alerts {
		w.alert(&s.Alerts[i])
	}
	w.phrase(s.Only)
	w.phrase(s.Text)
	for _, how := range s.How {
		w.phrase(how)
	}
	w.figures(s.Figure)
	w.blanks(s.Blanks)
	w.work(s.Work)
	if s.Hold != nil {
		w.blanks(s.Hold.Blanks)
	}
	w.step = ""
}

func (w *walk) blanks(bs []Blank) {
	for i := range bs {
		w.phrase(bs[i].Target)
	}
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
	for _, name := range f.Entries {
		if !w.done {
			w.done = !w.yield(w.step, Span{Entry: name})
		}
	}
}
