package layout

import (
	"slices"
	"strings"

	"jobsheaf/internal/packet"
)

// The ways in which a step's blanks stand in one row.

// alone places one blank over the whole width, or tick boxes in rows of their own.
func (f *flow) alone(bs []packet.Blank, width float64) (stack, bool) {
	if len(bs) > 1 && ticks(bs) < len(bs) {
		return stack{}, false
	}
	return f.aside(bs, width), true
}

// inParts places blanks side by side in parts of one width, each behind its caption.
func (f *flow) inParts(bs []packet.Blank, width float64) (stack, bool) {
	s := stack{a: len(f.blanks), w: width}
	parts := 0
	for i := 0; i < len(bs); i += max(1, ticks(bs[i:])) {
		parts++
	}
	if parts < 2 {
		return s, false
	}
	part := (width - float64(parts-1)*boxGap) / float64(parts)
	x := 0.0
	for i := 0; i < len(bs); {
		n := max(1, ticks(bs[i:]))
		one, ok := f.beside(bs[i:i+n], part, faceBody)
		if !ok {
			return s, false
		}
		f.shift(one, x, 0)
		s.h = max(s.h, one.h)
		x += part + boxGap
		i += n
	}
	s.b = len(f.blanks)
	f.atOneLevel(s)
	return s, true
}

// inLine places blanks side by side, each with the width that it needs.
func (f *flow) inLine(bs []packet.Blank, width float64) (stack, bool) {
	return f.line(bs, width, faceBody)
}

// line places blanks side by side, each behind its caption in one line, the last one
// flush right; the first caption has what the others leave and may break.
func (f *flow) line(bs []packet.Blank, width float64, label face) (stack, bool) {
	s := stack{a: len(f.blanks), w: width}
	if len(bs) < 2 || ticks(bs) > 0 {
		return s, false
	}
	right := width
	for i := len(bs) - 1; i >= 0; i-- {
		b := &bs[i]
		if b.Kind == packet.Tick {
			return s, false
		}
		part := right
		if i > 0 {
			w, _ := besideSize(b)
			part = w
			if c := f.captionWidth(b, label); c > 0 {
				part += c + asideGap
			}
		}
		one, ok := f.beside(bs[i:i+1], part, label)
		if !ok || part > right {
			return s, false
		}
		f.shift(one, right-part, 0)
		s.h = max(s.h, one.h)
		right -= part + lineGap
	}
	s.b = len(f.blanks)
	slices.Reverse(f.blanks[s.a:s.b])
	f.atOneLevel(s)
	return s, true
}

// captionWidth is the width of a blank's widest caption, each on one line.
func (f *flow) captionWidth(b *packet.Blank, label face) float64 {
	w := 0.0
	for _, c := range f.captions(b, label) {
		_, all := f.widths(c.phrase, c.face, f.width)
		w = max(w, all)
	}
	return w
}

// caption is one of a blank's captions and how it is set.
type caption struct {
	phrase packet.Phrase
	face   face
}

// captions gives what stands beside a blank: label, target and instrument.
func (f *flow) captions(b *packet.Blank, label face) [3]caption {
	f.labels[0], f.labels[1] = packet.Span{Text: b.Label}, packet.Span{Text: b.Instrument}
	return [...]caption{{f.labels[0:1], label}, {b.Target, faceTarget}, {f.labels[1:2], faceLabel}}
}

// besideSize is the least size of a box that stands behind its caption in a part of a
// row.
func besideSize(b *packet.Blank) (w, h float64) {
	w, h = boxSize(b)
	switch b.Kind {
	case packet.Words:
		w = leastW
	case packet.Sign:
		w = besideSign
	case packet.When:
		w = besideWhen
	}
	return w, h
}

// beside places one blank, or tick boxes, in a part of a row: the caption on the left,
// the box flush right. A reading's unit stands in its box, unless there is no room for
// it and the target says it. ok is false where a word has no room.
func (f *flow) beside(bs []packet.Blank, width float64, label face) (stack, bool) {
	s := stack{a: len(f.blanks), w: width}
	if bs[0].Kind == packet.Tick {
		s.h = f.tickRows(bs, 0, width, false)
		s.b = len(f.blanks)
		return s, s.h <= tickSize+slack && f.blanks[s.b-1].reach(f) <= width
	}
	b := &bs[0]
	if b.NotOnRecord != "" {
		return s, false
	}
	word := 0.0
	for _, c := range f.captions(b, label) {
		w, _ := f.widths(c.phrase, c.face, width)
		word = max(word, w)
	}
	gap := asideGap
	if word == 0 {
		gap = 0
	}
	w, h := besideSize(b)
	if word+gap+w > width+slack && unitSaid(b) {
		f.shared = append(f.shared, *b)
		b = &f.shared[len(f.shared)-1]
		b.Unit = ""
		w, h = besideSize(b)
	}
	if word+gap+w > width+slack {
		return s, false
	}
	if all := f.captionWidth(b, label); b.Kind != packet.Reading && b.Kind != packet.Initial && all+gap < width-w {
		w = width - all - gap // free text, a signature and a time take what the caption leaves
	}
	left := width - w - gap
	p := placed{Blank: b, x: width - w, w: w, h: h}
	high := 0.0
	var set [3]prose
	for i, c := range f.captions(b, label) {
		set[i] = f.set(c.phrase, c.face, max(left, textLeast))
		if i == 2 && b.Instrument == "" || i == 0 && b.Label == "" {
			set[i] = prose{}
		}
		high += set[i].h
	}
	at := max(0, (h-high)/2)
	for _, t := range set {
		p.caption(t, 0, at, flushLeft)
		at += t.h
	}
	p.y = max(0, (high-h)/2)
	f.blanks = append(f.blanks, p)
	s.b, s.h = len(f.blanks), max(h, high)
	return s, true
}

// unitSaid reports whether a blank's target has its unit.
func unitSaid(b *packet.Blank) bool {
	for _, sp := range b.Target {
		if b.Unit != "" && strings.Contains(sp.Text, b.Unit) {
			return true
		}
	}
	return false
}

// reach is how far to the right a blank comes with its captions.
func (p *placed) reach(f *flow) float64 {
	x := p.x + p.w
	for _, c := range p.captions[:p.n] {
		x = max(x, c.x+f.widest(c.prose))
	}
	return x
}

// atOneLevel puts the middles of a row's blanks on one level.
func (f *flow) atOneLevel(s stack) {
	for i := s.a; i < s.b; i++ {
		p := &f.blanks[i]
		dy := (s.h-p.h)/2 - p.y
		p.y += dy
		for k := range p.captions[:p.n] {
			p.captions[k].y += dy
		}
	}
}

// inCommon places readings that are held to the same by the same instrument: that
// stands once above them.
func (f *flow) inCommon(bs []packet.Blank, width float64) (stack, bool) {
	s := stack{a: len(f.blanks), w: width}
	if len(bs) < 2 {
		return s, false
	}
	for i := range bs {
		b := &bs[i]
		if b.Kind != packet.Reading || b.NotOnRecord != "" || b.Instrument != bs[0].Instrument || b.Unit != bs[0].Unit || !slices.Equal(b.Target, bs[0].Target) {
			return s, false
		}
	}
	f.phrase = append(f.phrase[:0], bs[0].Target...)
	if bs[0].Instrument != "" {
		if len(f.phrase) > 0 {
			f.phrase = append(f.phrase, packet.Span{Text: "; "})
		}
		f.phrase = append(f.phrase, packet.Span{Text: bs[0].Instrument, Style: packet.Soft})
	}
	above := f.set(f.phrase, faceTarget, width)
	const gap = 1.8 // between a label and its box
	for _, unit := range [...]bool{true, false} {
		if !unit && !unitSaid(&bs[0]) {
			break
		}
		from, need := len(f.shared), -lineGap
		f.shared = append(f.shared, bs...)
		for i := range bs {
			b := &f.shared[from+i]
			b.Target, b.Instrument = nil, ""
			if !unit {
				b.Unit = ""
			}
			w, _ := boxSize(b)
			f.one[0] = packet.Span{Text: b.Label}
			_, label := f.widths(f.one[:], faceBody, width)
			need += label + gap + w + lineGap
		}
		if need > width+slack {
			f.shared = f.shared[:from]
			continue
		}
		spread := min(2*gutter, lineGap+(width-need)/float64(len(bs)))
		x, y := 0.0, above.h
		if y > 0 {
			y += capGap
		}
		for i := range bs {
			b := &f.shared[from+i]
			w, h := boxSize(b)
			label := f.text(b.Label, faceBody, width)
			p := placed{Blank: b, x: x + f.widest(label) + gap, y: y, w: w, h: h}
			if i == 0 {
				p.caption(above, 0, 0, flushLeft)
			}
			p.caption(label, x, y+(h-label.h)/2, flushLeft)
			f.blanks = append(f.blanks, p)
			x = p.x + w + spread
			s.h = y + h
		}
		s.b = len(f.blanks)
		return s, true
	}
	return s, false
}

// captionsAbove places blanks side by side, each below its captions.
func (f *flow) captionsAbove(bs []packet.Blank, width float64) (stack, bool) {
	s := stack{a: len(f.blanks), w: width}
	if len(bs) < 2 {
		return s, false
	}
	w := (width - float64(len(bs)-1)*boxGap) / float64(len(bs))
	for i := range bs {
		b := &bs[i]
		if b.Kind == packet.Tick || b.NotOnRecord != "" {
			return s, false
		}
		if least, _ := besideSize(b); least > w {
			return s, false
		}
		for k, c := range f.captions(b, faceBody) {
			if k == 1 {
				c.face = faceTable
			}
			if word, _ := f.widths(c.phrase, c.face, width); word > w {
				return s, false
			}
		}
	}
	s.h = f.aboveRow(bs, 0, width, 1, func(b *packet.Blank) (float64, float64) {
		_, h := boxSize(b)
		return w, h
	})
	s.b = len(f.blanks)
	return s, true
}
