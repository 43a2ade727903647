package layout

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

const (
	boxGap       = 4.0  // between boxes side by side
	rowGap       = 2.2  // between rows of boxes
	asideGap     = 3.2  // between a caption and the box on its right
	captionsWide = 77.0 // captions with more room stand next to their box
	asideLeast   = 24.0 // a caption beside a box has at least this width
	capGap       = 1.8  // between a caption and its box: clear of the outline too
	unitPad      = 1.2  // between the unit and its box's edge
	guess        = 5    // characters of a reading whose blank does not say
	some         = 1.6  // how much wider than it must be a box may be drawn
	whole        = 1e3  // the same, where boxes fill their row
)

// placed is a blank with its place, counted from the corner of the block that
// it stands in, and its captions.
type placed struct {
	*packet.Blank
	x, y, w, h float64 // of the box
	captions   [4]spot
	n          int // captions
	row        int // of a step's blanks
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

// top and bottom are how far a blank reaches with its captions.
func (p *placed) top() float64 {
	y := p.y
	for _, c := range p.captions[:p.n] {
		y = min(y, c.y)
	}
	return y
}

func (p *placed) bottom() float64 {
	y := p.y + p.h
	for _, c := range p.captions[:p.n] {
		y = max(y, c.y+c.h)
	}
	return y
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
		return signW, signH
	case packet.When:
		return whenW, wordsH
	case packet.Initial:
		if n > 0 {
			return max(3, n) * charWidth, wordsH
		}
		return initialW, wordsH
	case packet.Words:
		if n == 0 {
			return wordsW, wordsH
		}
		return min(max(3, n)*charWidth, wordsW), wordsH // long words go on a second line
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

// wantSize gives the width that lets the longest entry stand on one line.
func wantSize(b *packet.Blank) (w, h float64) {
	w, h = boxSize(b)
	if b.Kind != packet.Tick && b.Kind != packet.Reading {
		w = max(w, float64(b.Characters)*charWidth)
	}
	return w, h
}

// signs reports whether the blanks are those of a signature, which stand in one
// row where their least widths allow.
func signs(bs []packet.Blank, width float64, size func(*packet.Blank) (w, h float64)) bool {
	w, signed := -boxGap, false
	for i := range bs {
		least, _ := size(&bs[i])
		w += least + boxGap
		signed = signed || bs[i].Kind == packet.Sign
		if bs[i].Kind == packet.Tick || bs[i].Kind == packet.Reading {
			return false
		}
	}
	return signed && w <= width
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

// notOnRecord sets the words that stand at a hatched blank; what is missing is named
// once a sheet, in words.
func (f *flow) notOnRecord(base face, w float64) prose {
	return f.set(packet.Phrase{{Text: f.words.say("not_on_record"), Style: packet.Missing}}, base, w)
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
