package layout

import (
	"cmp"

	"jobsheaf/internal/packet"
)

const (
	entryGap    = 0.8 // between entries
	entryIndent = 2.6 // of what stands below an entry's first line
	placeGap    = 1.6 // above the words for a place
	indexGap    = 0.4
	headMost    = 0.36 // of the width: a longer head has a line of its own
	opening     = "  " // between a name and what is said of it
)

// annexHeading draws a heading of the annex; it stays with what follows.
func (f *flow) annexHeading(h *packet.Heading) {
	base, gap := faceAnnexTitle, gapBlock
	if h.Level > 1 {
		base, gap = faceAnnexPart, placeGap+gapTight
	}
	t := f.text(h.Text, base, f.width)
	f.begin()
	f.draw(t, f.left, gapTight/2, flushLeft)
	f.titles = append(f.titles, title{text: h.Text, level: max(1, h.Level), index: h.Index})
	f.end(gap, gapTight/2+t.h, loose)
	f.pieces[len(f.pieces)-1].title = int32(len(f.titles))
	f.ruled(rule)
	f.holdNext = true
}

// working draws the working of the numbers of one place.
func (f *flow) working(w *packet.Working) {
	if w.At != "" || len(w.Again) > 0 {
		f.phrase = f.phrase[:0]
		if w.At != "" {
			f.phrase = append(f.phrase, packet.Span{Text: w.At, Style: packet.Strong}, packet.Span{Text: opening})
		}
		f.phrase = append(f.phrase, w.Again...)
		t := f.set(f.phrase, faceAnnex, f.width)
		f.begin()
		f.draw(t, f.left, gapTight/2, flushLeft)
		f.end(placeGap, gapTight/2+t.h, loose)
		f.ruled(thin)
		p := &f.pieces[len(f.pieces)-1]
		p.first, p.last = w.At, cmp.Or(w.To, w.At)
		f.holdNext = len(w.Entries) > 0
	}
	for i := range w.Entries {
		f.reset()
		f.entry(&w.Entries[i])
	}
}

// entry draws an entry: its key, what it is, and how it is printed, at the right where
// that has the room; below them the formula, the inputs with their places, the unrounded
// result and the sources.
func (f *flow) entry(e *packet.Entry) {
	f.phrase = append(f.phrase[:0], packet.Span{Text: e.Key, Style: packet.Strong})
	if e.What != "" {
		f.phrase = append(f.phrase, packet.Span{Text: " "}, packet.Span{Text: e.What, Style: packet.Strong})
	}
	if e.Name != "" && e.Name != e.What {
		f.phrase = append(f.phrase, packet.Span{Text: " "}, packet.Span{Text: e.Name})
	}
	one := e.Recorded || e.Printed == "" // all of it is one paragraph
	if one {
		f.phrase = append(f.phrase, packet.Span{Text: opening})
		f.told(e)
	}
	what := f.set(f.phrase, faceAnnex, f.width)
	printed := f.text(e.Printed, faceAnnexStrong, f.width)
	beside := printed.l1-printed.l0 <= 1 && f.lines[what.l1-1].w+gapSmall+f.widest(printed) <= f.width
	f.phrase = f.phrase[:0]
	if !beside {
		f.phrase = append(f.phrase, packet.Span{Text: e.Printed, Style: packet.Strong}, packet.Span{Text: opening})
	}
	if !one {
		f.told(e)
	}
	body := f.set(f.phrase, faceAnnex, f.width-entryIndent)
	n := len(f.pieces)
	defer func() { f.pieces[n].key = e.Key }()
	f.begin()
	f.draw(what, f.left, 0, flushLeft)
	if beside {
		f.draw(printed, f.left+f.width, what.h-faceAnnex.line(), flushRight)
	}
	head := what.h
	if head+body.h <= f.part() {
		f.draw(body, f.left+entryIndent, head, flushLeft)
		f.end(entryGap, head+body.h, loose)
		return
	}
	f.end(entryGap, head, loose)
	f.parts(body, f.left+entryIndent)
}

// told adds to the phrase in hand how an entry comes about.
func (f *flow) told(e *packet.Entry) {
	from := len(f.phrase)
	apart := func() {
		if len(f.phrase) > from {
			f.phrase = append(f.phrase, packet.Span{Text: "; "})
		}
	}
	add := func(s ...packet.Span) { f.phrase = append(f.phrase, s...) }
	place := func(at packet.Place) {
		if at != (packet.Place{}) {
			add(packet.Span{Text: " ("}, packet.Span{Text: at.String()}, packet.Span{Text: ")"})
		}
	}
	switch {
	case e.Recorded:
		add(packet.Span{Text: e.Exactly})
		place(e.At)
	case e.Reads != "":
		add(packet.Span{Text: e.Reads})
	case len(e.Inputs) > 0 || e.Formula != e.Exactly:
		add(packet.Span{Text: e.Formula})
	}
	for i := range e.Inputs {
		in := &e.Inputs[i]
		if apart(); in.Letter != "" {
			add(packet.Span{Text: in.Letter, Style: packet.Strong}, packet.Span{Text: "\u00a0"})
		}
		add(packet.Span{Text: in.Name}, packet.Span{Text: " = "}, packet.Span{Text: in.Text, Style: packet.Strong})
		if in.Key != "" {
			add(packet.Span{Text: in.Key, Style: packet.Key})
		}
		place(in.At)
	}
	if !e.Recorded && e.Exactly != "" && e.Exactly != e.Printed {
		apart()
		add(packet.Span{Text: "= "}, packet.Span{Text: e.Exactly})
	}
	if e.Rounded != "" {
		apart()
		add(packet.Span{Text: e.Rounded})
	}
	if e.Governed != "" {
		apart()
		add(packet.Span{Text: f.words.say("governed")}, packet.Span{Text: " "}, packet.Span{Text: e.Governed})
	}
	if !e.Recorded && e.At != (packet.Place{}) {
		apart()
		add(packet.Span{Text: e.At.String()})
	}
	for i, s := range e.Sources {
		if i == 0 {
			apart()
		} else {
			add(packet.Span{Text: ", "})
		}
		add(packet.Span{Text: s})
	}
}

// index draws small lines for looking up.
func (f *flow) index(x *packet.Index) {
	indent := 0.0
	for i := range x.Rows {
		f.reset()
		indent = max(indent, f.widest(f.text(x.Rows[i].Head, faceAnnexStrong, f.width)))
	}
	most := headMost * f.width
	if indent = min(indent, most); indent > 0 {
		indent += gapSmall
	}
	gap := gapSmall
	for i := range x.Rows {
		f.reset()
		head := f.text(x.Rows[i].Head, faceAnnexStrong, f.width)
		t := f.set(x.Rows[i].Text, faceAnnex, f.width-indent)
		above := 0.0
		if f.widest(head) > most {
			above = head.h
		}
		n := len(f.pieces)
		f.begin()
		f.draw(head, f.left, 0, flushLeft)
		if above+t.h <= f.part() {
			f.draw(t, f.left+indent, above, flushLeft)
			f.end(gap, max(head.h, above+t.h), loose)
		} else {
			f.end(gap, head.h, loose)
			f.parts(t, f.left+indent)
		}
		f.pieces[n].key = x.Rows[i].Head
		gap = indexGap
	}
}
