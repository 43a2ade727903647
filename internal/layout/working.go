package layout

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

const keyWidth = 13.0 // of a working key

// entries draws the working of numbers, each entry whole: its key, name and
// printed result on the first line, then the formula, the inputs with their
// places, the unrounded result and the sources.
func (f *flow) entries(es []packet.Entry) {
	for i := range es {
		gap := 0.0
		if i == 0 {
			gap = gapBlock
		}
		f.entry(&es[i], gap)
	}
}

func (f *flow) entry(e *packet.Entry, gap float64) {
	const first = gapTight
	f.reset()
	f.begin()
	x, w := f.left+keyWidth, f.width-keyWidth
	printed := f.text(e.Printed, face{page.Bold, sizeBody, black}, w*0.45)
	if len(e.Missing) > 0 {
		f.phrase = append(f.phrase[:0], packet.Span{Text: f.words.say("not_on_record"), Style: packet.Missing})
		printed = f.set(f.phrase, faceTable, w*0.45)
	}
	key := f.text(e.Key, face{page.BoldCondensed, sizeBody, black}, keyWidth-1)
	f.phrase = append(f.phrase[:0], packet.Span{Text: e.What, Style: packet.Strong})
	if e.Name != "" && e.Name != e.What {
		f.phrase = append(f.phrase, packet.Span{Text: "  "}, packet.Span{Text: e.Name, Style: packet.Soft})
	}
	what := f.set(f.phrase, faceTable, w-f.widest(printed)-gutter)
	f.draw(key, f.left, first, flushLeft)
	f.draw(what, x, first, flushLeft)
	f.draw(printed, x+w, first, flushRight)
	y := first + max(key.h, what.h, printed.h)

	var below [3]prose
	below[0] = f.text(e.Formula, faceMono.sized(sizeWorking), w)
	f.inputs(e.Inputs)
	below[1] = f.set(f.phrase, faceTable.sized(sizeWorking), w)
	f.phrase = f.phrase[:0]
	f.remark("exactly", e.Exactly)
	f.remark("governed", e.Governed)
	f.remark("formula_at", e.At)
	for _, s := range e.Sources {
		f.remark("source", s)
	}
	for _, m := range e.Missing {
		f.remark("missing", m)
	}
	below[2] = f.set(f.phrase, faceTable.sized(sizeWorking), w)
	if h := y + below[0].h + below[1].h + below[2].h + gapTight; h <= f.tall {
		for _, t := range below {
			y += f.draw(t, x, y, flushLeft)
		}
		f.end(gap, h, loose)
		f.ruled(thin)
		return
	}
	f.end(gap, y, loose)
	f.ruled(thin)
	for _, t := range below {
		f.parts(t, x)
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
	f.phrase = append(f.phrase, packet.Span{Text: f.words.say(word), Style: packet.Soft}, packet.Span{Text: " "}, packet.Span{Text: text})
}

// sized gives the face in another size.
func (f face) sized(size float64) face {
	f.size = size
	return f
}
