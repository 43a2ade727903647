package layout

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/typeface"
)

// The ways in which blanks are arranged: in rows with captions above them (in
// tables, facts and signatures), flush right with their captions beside them, and in rows below a
// step's text (rows.go). Each places the blanks of one stack, counted from its corner.

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
		size := wantSize
		switch {
		case signs(bs[i:], width, boxSize):
			size = boxSize
		case signs(bs[i:], width, besideSize):
			size = besideSize
		}
		for i+n < len(bs) {
			w, _ := size(&bs[i+n])
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
			s.h += f.aboveRow(bs[i:i+n], s.h, width, min(most, 1+max(0, width-used)/boxes), size)
		}
		i += n
	}
	s.b = len(f.blanks)
	return s
}

// aboveRow places one row of blanks, boxes k times as wide as they must be, and
// gives its height. Its boxes are of one height; tick boxes stand level with
// their middle.
func (f *flow) aboveRow(bs []packet.Blank, y, width, k float64, size func(*packet.Blank) (w, h float64)) float64 {
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
		w, h := size(b)
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
			t := f.notOnRecord(faceTable, p.w)
			p.caption(t, p.x, y+bottom+capGap, flushLeft)
			bottom += capGap + t.h
		}
		low = max(low, bottom)
	}
	return low
}

// tickRows places tick boxes: in one row with their labels beside them where
// the width allows, else with the labels above where allowed, else one below
// the other. It gives the height.
func (f *flow) tickRows(bs []packet.Blank, y, width float64, over bool) float64 {
	const label = tickSize + 2 // from a box's left edge to its label
	base := faceTable
	if !over {
		base = faceBody
	}
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
// and its box flush right. A box that leaves them too little has them above.
func (f *flow) aside(bs []packet.Blank, width float64) stack {
	s := stack{a: len(f.blanks), w: width}
	for i := 0; i < len(bs); {
		if s.h > 0 {
			s.h += rowGap
		}
		if n := ticks(bs[i:]); n > 0 {
			s.h += f.tickRows(bs[i:i+n], s.h, width, false)
			i += n
			continue
		}
		w := asideWidth(&bs[i], width)
		if width-w-asideGap < asideLeast && bs[i].Kind != packet.Words || w == 0 {
			w, _ = boxSize(&bs[i])
			s.h += f.aboveRow(bs[i:i+1], s.h, width, width/min(w, width), boxSize)
		} else {
			n := len(f.blanks)
			h := f.asideRow(&bs[i], s.h, width, w)
			if p := &f.blanks[n]; h > 2*p.h && len(p.Target) > 0 { // many short lines: they read better above
				least, _ := boxSize(&bs[i])
				above := f.aboveRow(bs[i:i+1], s.h, width, width/min(least, width), boxSize)
				if above <= h {
					f.blanks[n] = f.blanks[n+1]
					h = above
				}
				f.blanks = f.blanks[:n+1]
			}
			s.h += h
		}
		i++
	}
	s.b = len(f.blanks)
	return s
}

// asideWidth is the width of a box whose captions stand on its left. Free text
// has all the room that its label leaves; 0 says that this is too little.
func asideWidth(b *packet.Blank, width float64) float64 {
	w, _ := boxSize(b)
	if b.Kind != packet.Words {
		return w
	}
	if len(b.Target) > 0 || b.Instrument != "" || b.NotOnRecord != "" {
		return 0
	}
	want, _ := wantSize(b)
	label := typeface.Width(faceBody.Face, faceBody.size, b.Label) + slack
	if w = width - label - asideGap; w < want {
		return 0
	}
	return w
}

// asideRow places one blank and gives its height.
func (f *flow) asideRow(b *packet.Blank, y, width, w float64) float64 {
	_, h := boxSize(b)
	left := width - w - asideGap
	p := placed{Blank: b, x: width - w, y: y, w: w, h: h}
	parts := [...]prose{f.text(b.Label, faceBody, left), f.set(b.Target, faceTarget, left), f.text(b.Instrument, faceLabel, left), {}}
	if b.NotOnRecord != "" {
		parts[3] = f.notOnRecord(faceTable, left)
	}
	high := 0.0
	for _, t := range parts {
		high += t.h
	}
	beside := parts[2].l1-parts[2].l0 == 1 && parts[0].l1-parts[0].l0 == 1 && f.widest(parts[0])+gapSmall+f.widest(parts[2]) <= left
	if beside {
		high -= parts[2].h
	}
	at := y + max(0, (h-high)/2)
	x, to := 0.0, flushLeft
	if left > captionsWide { // across the page captions stand next to their box
		x, to = left, flushRight
	}
	for i, t := range parts {
		if i == 2 && beside {
			continue
		}
		if i == 0 && beside { // the instrument stands on the label's line
			lx, tx := x, x+f.widest(t)+gapSmall
			if to == flushRight {
				lx, tx = x-f.widest(parts[2])-gapSmall, x
			}
			p.caption(t, lx, at, to)
			p.caption(parts[2], tx, at+faceBody.rise()-faceLabel.rise(), to)
		} else {
			p.caption(t, x, at, to)
		}
		at += t.h
	}
	f.blanks = append(f.blanks, p)
	return max(high, h)
}

// shift moves placed blanks.
func (f *flow) shift(s stack, dx, dy float64) {
	for i := s.a; i < s.b; i++ {
		p := &f.blanks[i]
		p.x, p.y = p.x+dx, p.y+dy
		for k := range p.captions[:p.n] {
			p.captions[k].x, p.captions[k].y = p.captions[k].x+dx, p.captions[k].y+dy
		}
	}
}
