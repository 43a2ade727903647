package layout

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

const (
	keyWidth  = 12.0 // of a working key
	entryFoot = 1.2
)

var (
	faceKey     = face{page.BoldCondensed, sizeTable, black}
	facePrinted = face{page.Bold, sizeTable, black}
	faceFormula = face{page.Condensed, sizeTableHead, black}
	faceSource  = face{page.Condensed, sizeTableHead, black}
)

// entrySet is an entry of the working, broken into lines.
type entrySet struct {
	key, what, printed prose
	body               [3]prose // formula, inputs, result and sources
	head, h            float64
}

// entries draws the working of numbers: key, name and printed result, then the
// formula, the inputs with their places, the unrounded result and the sources.
// Two numbers that are as recorded stand side by side.
func (f *flow) entries(es []packet.Entry) {
	gap := gapBlock
	half := (f.width - gutter) / 2
	for i := 0; i < len(es); gap = 0 {
		f.reset()
		if i+1 < len(es) && len(es[i].Inputs) == 0 && len(es[i+1].Inputs) == 0 {
			a, b := f.setEntry(&es[i], half), f.setEntry(&es[i+1], half)
			if most := 4.2 * faceKey.line(); a.h <= most && b.h <= most {
				f.begin()
				f.drawEntry(&a, f.left, half)
				f.drawEntry(&b, f.left+half+gutter, half)
				f.end(gap, max(a.h, b.h), loose)
				f.ruled(thin)
				i += 2
				continue
			}
		}
		e := f.setEntry(&es[i], f.width)
		i++
		f.begin()
		if e.h <= f.tall {
			f.drawEntry(&e, f.left, f.width)
			f.end(gap, e.h, loose)
			f.ruled(thin)
			continue
		}
		body := e.body
		e.body = [3]prose{}
		f.drawEntry(&e, f.left, f.width)
		f.end(gap, e.head, loose)
		f.ruled(thin)
		for _, t := range body {
			f.parts(t, f.left+keyWidth)
		}
	}
}

// setEntry breaks an entry into lines.
func (f *flow) setEntry(e *packet.Entry, width float64) entrySet {
	w := width - keyWidth
	s := entrySet{printed: f.text(e.Printed, facePrinted, w*0.45), key: f.text(e.Key, faceKey, keyWidth-1)}
	if len(e.Missing) > 0 {
		f.phrase = append(f.phrase[:0], packet.Span{Text: f.words.say("not_on_record"), Style: packet.Missing})
		s.printed = f.set(f.phrase, faceTable, w*0.45)
	}
	f.phrase = append(f.phrase[:0], packet.Span{Text: e.What, Style: packet.Strong})
	if e.Name != "" && e.Name != e.What {
		f.phrase = append(f.phrase, packet.Span{Text: " "}, packet.Span{Text: e.Name, Style: packet.Soft})
	}
	s.what = f.set(f.phrase, faceTable, w-f.widest(s.printed)-gapSmall)
	s.head = entryFoot + max(s.key.h, s.what.h, s.printed.h)

	f.phrase = f.phrase[:0]
	if len(e.Inputs) > 0 {
		s.body[0] = f.text(e.Formula, faceFormula, w)
		f.inputs(e.Inputs)
		s.body[1] = f.set(f.phrase, faceFormula, w)
		f.phrase = f.phrase[:0]
	} else if e.Formula != "" {
		f.phrase = append(f.phrase, packet.Span{Text: e.Formula})
	}
	f.remark("exactly", e.Exactly)
	f.remark("governed", e.Governed)
	f.remark("formula_at", e.At)
	for _, t := range e.Sources {
		f.remark("source", t)
	}
	for _, t := range e.Missing {
		f.remark("missing", t)
	}
	s.body[2] = f.set(f.phrase, faceSource, w)
	s.h = s.head + s.body[0].h + s.body[1].h + s.body[2].h + entryFoot
	return s
}

// drawEntry draws an entry with its corner at (x, 0).
func (f *flow) drawEntry(s *entrySet, x, width float64) {
	f.draw(s.key, x, entryFoot, flushLeft)
	f.draw(s.what, x+keyWidth, entryFoot, flushLeft)
	f.draw(s.printed, x+width, entryFoot, flushRight)
	y := s.head
	for _, t := range s.body {
		y += f.draw(t, x+keyWidth, y, flushLeft)
	}
}

// inputs makes the phrase in hand say what a formula used and where it is
// recorded.
func (f *flow) inputs(ins []packet.Input) {
	f.phrase = f.phrase[:0]
	for i := range ins {
		in := &ins[i]
		if i > 0 {
			f.phrase = append(f.phrase, packet.Span{Text: "; "})
		}
		f.phrase = append(f.phrase, packet.Span{Text: in.Name}, packet.Span{Text: " = "}, packet.Span{Text: in.Text, Style: packet.Strong})
		if in.Key != "" {
			f.phrase = append(f.phrase, packet.Span{Text: in.Key, Style: packet.Key})
		}
		if in.At != "" {
			f.phrase = append(f.phrase, packet.Span{Text: " ("}, packet.Span{Text: in.At, Style: packet.Soft}, packet.Span{Text: ")"})
		}
	}
}

// remark adds a labelled text to the phrase in hand.
func (f *flow) remark(word, text string) {
	if text == "" {
		return
	}
	if len(f.phrase) > 0 {
		f.phrase = append(f.phrase, packet.Span{Text: "; "})
	}
	f.phrase = append(f.phrase, packet.Span{Text: f.words.say(word)}, packet.Span{Text: " "}, packet.Span{Text: text})
}
