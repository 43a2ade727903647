package layout

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

const (
	boxGap  = 4.0 // between boxes side by side
	rowGap  = 3.0 // between rows of boxes
	capGap  = 1.8 // between a caption and its box: clear of the outline too
	unitPad = 1.2 // between the unit and its box's edge
	guess   = 5   // characters of a reading whose blank does not say
	some    = 1.6 // how much wider than it must be a box may be drawn
	whole   = 1e3 // the same, where boxes fill their row
)

// placed is a blank with its place, counted from the corner of the block that
// it stands in, and its captions.
type placed struct {
	*packet.Blank
	x, y, w, h float64 // of the box
	captions   [4]spot
	n          int
}

// spot is a text at a place.
type spot struct {
	prose
	x, y float64
	to   side
}

func (p *placed) caption(t prose, x, y float64, to side) {
	if t.l1 > t.l0 {
		p.captions[p.n] = spot{t, x, y, to}
		p.n++
	}
}

// stack is a group of blanks that have been placed: blanks from a up to b.
type stack struct {
	a, b int
	w, h float64
}

// boxSize gives the least width and the height of a blank's box.
func boxSize(b *packet.Blank) (w, h float64) {
	n := float64(b.Characters)
	switch b.Kind {
	case packet.Tick:
		return tickSize, tickSize
	case packet.Sign:
		return max(signW, n*charWidth), signH
	case packet.When:
		return max(whenW, n*charWidth), wordsH
	case packet.Initial:
		return max(initialW, n*charWidth), wordsH
	case packet.Words:
		if n == 0 {
			return wordsW, wordsH
		}
		return max(leastW, n*charWidth), wordsH
	}
	if n == 0 {
		n = guess
	}
	w = max(leastW, n*charWidth)
	if b.Unit != "" {
		w += unitWidth(b.Unit)
	}
	return w, readingH
}

// unitWidth is what a unit takes of its box.
func unitWidth(unit string) float64 {
	return typeface.Width(faceLabel.Face, faceLabel.size, unit) + 2*unitPad
}

// boxKind is what the manifest calls a blank.
func boxKind(k packet.BlankKind) page.BoxKind {
	switch k {
	case packet.Tick:
		return page.Tick
	case packet.Sign, packet.Initial:
		return page.Sign
	}
	return page.Blank
}

// leastWidth is the width below which a group of blanks, captions above, cannot
// be placed.
func (f *flow) leastWidth(bs []packet.Blank) float64 {
	w := 0.0
	for i := 0; i < len(bs); {
		if n := ticks(bs[i:]); n > 0 {
			w = max(w, float64(n)*f.tickStep(bs[i:i+n]))
			i += n
			continue
		}
		least, _ := boxSize(&bs[i])
		if bs[i].Kind == packet.Words {
			least = min(least, wordsW) // long words go on a second line
		}
		w = max(w, least)
		i++
	}
	return w
}

// ticks counts the tick boxes that bs begins with.
func ticks(bs []packet.Blank) int {
	n := 0
	for n < len(bs) && bs[n].Kind == packet.Tick {
		n++
	}
	return n
}

// tickStep is the distance between tick boxes whose labels stand above them.
func (f *flow) tickStep(bs []packet.Blank) float64 {
	step := tickPitch
	for i := range bs {
		step = max(step, typeface.Width(faceTick.Face, faceTick.size, bs[i].Label)+gapTight)
	}
	return step
}

// above places blanks in rows, each with its captions above it, in a block of
// the given width. Boxes grow into the room of their row, up to most times as
// wide as they must be.
func (f *flow) above(bs []packet.Blank, width, most float64) stack {
	s := stack{a: len(f.blanks), w: width}
	for i := 0; i < len(bs); {
		if s.h > 0 {
			s.h += rowGap
		}
		n, used, boxes := 0, 0.0, 0.0
		for i+n < len(bs) {
			w, _ := boxSize(&bs[i+n])
			w = min(w, width)
			m := ticks(bs[i+n:])
			if m > 0 {
				w = float64(m) * f.tickStep(bs[i+n:i+n+m])
			}
			if n > 0 && used+boxGap+w > width+slack {
				break
			}
			if n > 0 {
				used += boxGap
			}
			used += w
			if m == 0 {
				boxes += w
			}
			n += max(m, 1)
		}
		if boxes == 0 {
			s.h += f.tickRows(bs[i:i+n], s.h, width, true)
		} else {
			s.h += f.aboveRow(bs[i:i+n], s.h, width, min(most, 1+max(0, width-used)/boxes))
		}
		i += n
	}
	s.b = len(f.blanks)
	return s
}

// aboveRow places one row of blanks, boxes k times as wide as they must be, and
// gives its height. Its boxes are of one height; tick boxes stand level with
// their middle.
func (f *flow) aboveRow(bs []packet.Blank, y, width, k float64) float64 {
	from := len(f.blanks)
	x, top, high := 0.0, 0.0, 0.0
	for i := 0; i < len(bs); {
		if n := ticks(bs[i:]); n > 0 {
			step := f.tickStep(bs[i : i+n])
			for j := range n {
				b := &bs[i+j]
				at := x + step*(float64(j)+0.5)
				p := placed{Blank: b, x: at - tickSize/2, w: tickSize, h: tickSize}
				p.caption(f.text(b.Label, faceTick, step), at, 0, centred)
				f.blanks = append(f.blanks, p)
			}
			x += step*float64(n) + boxGap
			i += n
			continue
		}
		b := &bs[i]
		i++
		w, h := boxSize(b)
		p := placed{Blank: b, x: x, w: min(w, width) * k}
		cy := 0.0
		for _, t := range [...]prose{f.text(b.Label, faceLabel, p.w), f.set(b.Target, faceTable, p.w), f.text(b.Instrument, faceLabel, p.w)} {
			p.caption(t, x, cy, flushLeft)
			cy += t.h
		}
		if cy > 0 {
			cy += capGap
		}
		top, high = max(top, cy), max(high, h)
		f.blanks = append(f.blanks, p)
		x += p.w + boxGap
	}
	low := 0.0
	for i := from; i < len(f.blanks); i++ {
		p := &f.blanks[i]
		p.y = y + top
		if p.Kind == packet.Tick {
			p.y += (high - tickSize) / 2
		} else {
			p.h = high
		}
		if p.n > 0 { // captions stand right above their box
			last := p.captions[p.n-1]
			lift := p.y - capGap - last.y - last.h
			for j := range p.captions[:p.n] {
				p.captions[j].y += lift
			}
		}
		bottom := top + high
		if p.NotOnRecord != "" {
			t := f.notOnRecord(p.Blank, faceTable, p.w)
			p.caption(t, p.x, y+bottom+capGap, flushLeft)
			bottom += capGap + t.h
		}
		low = max(low, bottom)
	}
	return low
}

// notOnRecord sets the words that stand at a hatched blank.
func (f *flow) notOnRecord(b *packet.Blank, base face, w float64) prose {
	return f.set(packet.Phrase{{Text: f.words.say("not_on_record"), Style: packet.Missing}, {Text: " "}, {Text: b.NotOnRecord}}, base, w)
}

// tickRows places tick boxes: in one row with their labels beside them where
// the width allows, else with the labels above where allowed, else one below
// the other. It gives the height.
func (f *flow) tickRows(bs []packet.Blank, y, width float64, over bool) float64 {
	const label = tickSize + 2 // from a box's left edge to its label
	base := faceTable
	wide := 0.0
	for i := range bs {
		w := label + typeface.Width(base.Face, base.size, bs[i].Label)
		if i < len(bs)-1 {
			w = max(tickPitch, w+boxGap)
		}
		wide += w
	}
	if step := f.tickStep(bs); wide > width && over && step*float64(len(bs)) <= width+slack {
		top := faceTick.line() + capGap
		for i := range bs {
			at := step*float64(i) + step/2
			p := placed{Blank: &bs[i], x: at - tickSize/2, y: y + top, w: tickSize, h: tickSize}
			p.caption(f.text(bs[i].Label, faceTick, step), at, y, centred)
			f.blanks = append(f.blanks, p)
		}
		return top + tickSize
	}
	x, h := 0.0, 0.0
	for i := range bs {
		w := label + typeface.Width(base.Face, base.size, bs[i].Label)
		if i > 0 && (x+w > width+slack || wide > width && len(bs) < 4) {
			x, h = 0, h+tickSize+rowGap
		}
		t := f.text(bs[i].Label, base, width-label)
		p := placed{Blank: &bs[i], x: x, y: y + h, w: tickSize, h: tickSize}
		lift := (tickSize - base.line()) / 2
		p.caption(t, x+label, y+h+lift, flushLeft)
		f.blanks = append(f.blanks, p)
		if t.l1-t.l0 > 1 {
			x, h = width, h+t.h-base.line()
		}
		x += max(tickPitch, w+boxGap)
	}
	return h + tickSize
}

// aside places blanks one below the other, each with its captions to its left
// and its box flush right. Free text has its caption above, to be long enough.
func (f *flow) aside(bs []packet.Blank, width float64) stack {
	s := stack{a: len(f.blanks), w: width}
	for i := 0; i < len(bs); {
		if s.h > 0 {
			s.h += rowGap
		}
		b := &bs[i]
		if n := ticks(bs[i:]); n > 0 {
			s.h += f.tickRows(bs[i:i+n], s.h, width, false)
			i += n
			continue
		}
		i++
		w, h := boxSize(b)
		left := width - w - gapSmall - 1
		if b.Kind == packet.Words || left < 24 {
			s.h += f.aboveRow(bs[i-1:i], s.h, width, width/min(w, width))
			continue
		}
		p := placed{Blank: b, x: width - w, w: w, h: h}
		parts := [...]prose{f.text(b.Label, faceBody, left), f.set(b.Target, faceBody, left), f.text(b.Instrument, faceLabel, left), {}}
		if b.NotOnRecord != "" {
			parts[3] = f.notOnRecord(b, faceTable, left)
		}
		th := 0.0
		for _, t := range parts {
			th += t.h
		}
		row := max(th, h)
		cy := s.h + max(0, (h-th)/2)
		for _, t := range parts {
			p.caption(t, 0, cy, flushLeft)
			cy += t.h
		}
		p.y = s.h
		f.blanks = append(f.blanks, p)
		s.h += row
	}
	s.b = len(f.blanks)
	return s
}

// drawStack draws placed blanks with the corner of their block at (x, y).
func (f *flow) drawStack(s stack, x, y float64) {
	for i := s.a; i < s.b; i++ {
		p := &f.blanks[i]
		for _, c := range p.captions[:p.n] {
			f.draw(c.prose, x+c.x, y+c.y, c.to)
		}
		f.drawBox(p.Blank, x+p.x, y+p.y, p.w, p.h)
	}
}

// drawBox draws a blank's box with its unit in it.
func (f *flow) drawBox(b *packet.Blank, x, y, w, h float64) {
	box := page.Box{ID: b.ID, Kind: boxKind(b.Kind), X: x, Y: y, W: w, H: h, Hatched: b.NotOnRecord != ""}
	if b.Unit == "" || b.Kind != packet.Reading {
		f.box(box)
		return
	}
	uw := typeface.Width(faceLabel.Face, faceLabel.size, b.Unit)
	base := y + h - 2.2
	ux := x + w - unitPad - uw
	up, down := typeface.Ascent(faceLabel.Face, faceLabel.size), typeface.Descent(faceLabel.Face, faceLabel.size)
	f.box(box, page.Printed{Text: b.Unit, X: ux, Y: base - up, W: uw, H: up + down})
	f.say(faceLabel, ux, base, b.Unit)
}
