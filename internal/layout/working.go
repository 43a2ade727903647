package layout

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

const (
	keyWidth  = 11.0 // of a working key
	entryFoot = 0.7
	opening   = "  " // between a name and what is said of it
)

var (
	faceKey     = face{page.BoldCondensed, sizeTableHead, black}
	facePrinted = face{page.Bold, sizeTableHead, black}
	faceEntry   = face{page.Condensed, sizeTableHead, black}
	faceWorking = face{page.Condensed, sizeWorking, black}
)

// entrySet is an entry of the working, broken into lines.
type entrySet struct {
	key, what, printed prose
	body               prose // formula, inputs, result and sources
	head, h            float64
}

// entries draws the working of numbers: key, name and printed result, then the
// formula, the inputs with their places, the unrounded result and the sources.
// Two numbers that take few lines stand side by side.
func (f *flow) entries(es []packet.Entry) {
	gap := gapBlock
	half := (f.width - gutter) / 2
	for i := 0; i < len(es); gap = 0 {
		f.reset()
		mark := f.here()
		if i+1 < len(es) {
			a, b := f.setEntry(&es[i], half), f.setEntry(&es[i+1], half)
			if max(a.h, b.h) <= 0.8*(f.setEntry(&es[i], f.width).h+f.setEntry(&es[i+1], f.width).h) {
				f.begin()
				f.drawEntry(&a, f.left, half)
				f.drawEntry(&b, f.left+half+gutter, half)
				f.end(gap, max(a.h, b.h), loose)
				f.ruled(thin)
				f.found(mark, es[i].Key, es[i+1].Key)
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
			f.found(mark, es[i-1].Key, es[i-1].Key)
			continue
		}
		long := &e.body
		if long.l1 == long.l0 {
			long, e.head = &e.what, entryFoot+e.key.h
		}
		body := *long
		*long = prose{}
		f.drawEntry(&e, f.left, f.width)
		f.end(gap, e.head, loose)
		f.ruled(thin)
		f.parts(body, f.left+keyWidth)
		f.found(mark, es[i-1].Key, es[i-1].Key)
	}
}

// setEntry breaks an entry into lines.
func (f *flow) setEntry(e *packet.Entry, width float64) entrySet {
	w := width - keyWidth
	s := entrySet{printed: f.text(e.Printed, facePrinted, w*0.6), key: f.text(e.Key, faceKey, keyWidth-1)}
	f.phrase = append(f.phrase[:0], packet.Span{Text: e.What, Style: packet.Strong})
	if e.Name != "" && e.Name != e.What {
		f.phrase = append(f.phrase, packet.Span{Text: " "}, packet.Span{Text: e.Name, Style: packet.Soft})
	}
	if e.Recorded { // all of it fits on a line
		f.phrase = append(f.phrase, packet.Span{Text: "  " + e.Formula + ": " + e.Exactly + " (" + e.At.String() + ")"})
		for _, t := range e.Sources {
			f.remark("source", t)
		}
		s.what = f.set(f.phrase, faceEntry, w-f.widest(s.printed)-gapSmall)
		s.head = entryFoot + max(s.key.h, s.what.h, s.printed.h)
		s.h = s.head + entryFoot
		return s
	}
	if s.printed.l1 > s.printed.l0 {
		s.what = f.set(f.phrase, faceEntry, w-f.widest(s.printed)-gapSmall)
		f.phrase = f.phrase[:0]
	} else { // nothing stands at the right: all of it is one paragraph
		f.phrase = append(f.phrase, packet.Span{Text: opening})
	}
	if e.Formula != "" && (len(e.Inputs) > 0 || e.Formula != e.Exactly) {
		f.phrase = append(f.phrase, packet.Span{Text: e.Formula})
	}
	f.inputs(e.Inputs)
	f.remark("exactly", e.Exactly)
	f.remark("governed", e.Governed)
	f.remark("formula_at", e.At.String())
	for _, t := range e.Sources {
		f.remark("source", t)
	}
	if s.what.l1 > s.what.l0 {
		s.body = f.set(f.phrase, faceWorking, w)
	} else {
		s.what = f.set(f.phrase, faceWorking, w)
	}
	s.head = entryFoot + max(s.key.h, s.what.h, s.printed.h)
	s.h = s.head + s.body.h + entryFoot
	return s
}

// drawEntry draws an entry with its corner at (x, 0).
func (f *flow) drawEntry(s *entrySet, x, width float64) {
	f.draw(s.key, x, entryFoot, flushLeft)
	f.draw(s.what, x+keyWidth, entryFoot, flushLeft)
	f.draw(s.printed, x+width, entryFoot, flushRight)
	f.draw(s.body, x+keyWidth, s.head, flushLeft)
}

// inputs adds to the phrase in hand what a formula used and where it is
// recorded.
func (f *flow) inputs(ins []packet.Input) {
	for i := range ins {
		in := &ins[i]
		f.apart()
		f.phrase = append(f.phrase, packet.Span{Text: in.Name}, packet.Span{Text: " = "}, packet.Span{Text: in.Text, Style: packet.Strong})
		if in.Key != "" {
			f.phrase = append(f.phrase, packet.Span{Text: in.Key, Style: packet.Key})
		}
		if in.At != (packet.Place{}) {
			f.phrase = append(f.phrase, packet.Span{Text: " ("}, packet.Span{Text: in.At.String(), Style: packet.Soft}, packet.Span{Text: ")"})
		}
	}
}

// remark adds a labelled text to the phrase in hand.
func (f *flow) remark(word, text string) {
	if text == "" {
		return
	}
	f.apart()
	f.phrase = append(f.phrase, packet.Span{Text: f.words.say(word)}, packet.Span{Text: " "}, packet.Span{Text: text})
}

// apart sets what comes next apart from what the phrase in hand says already.
func (f *flow) apart() {
	if n := len(f.phrase); n > 0 && f.phrase[n-1].Text != opening {
		f.phrase = append(f.phrase, packet.Span{Text: "; "})
	}
}
