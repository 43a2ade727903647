package layout

import (
	"slices"

	"jobsheaf/internal/packet"
)

// across places a step's blanks below its text, over the width of the page, in
// one row or in rows of one or two, whichever is lower.
func (f *flow) across(bs []packet.Blank, width float64) stack {
	mark := len(f.blanks)
	row, fits := f.inRow(bs, width)
	if fits {
		n := len(f.blanks)
		rows := f.acrossRows(bs, width)
		if row.h <= rows.h {
			f.blanks = f.blanks[:n]
			return row
		}
		f.blanks = append(f.blanks[:mark], f.blanks[n:]...)
		return stack{a: mark, b: len(f.blanks), w: width, h: rows.h}
	}
	f.blanks = f.blanks[:mark]
	return f.acrossRows(bs, width)
}

// acrossRows places them in rows of one or two.
func (f *flow) acrossRows(bs []packet.Blank, width float64) stack {
	s := stack{a: len(f.blanks), w: width}
	half := (width - 2*gutter) / 2
	row, paired := 0, false
	for i := 0; i < len(bs); row++ {
		if row > 0 {
			s.h += rowGap
		}
		n := max(1, ticks(bs[i:]))
		high, from := 0.0, len(f.blanks)
		switch {
		case bs[i].Kind != packet.Tick && f.pair(bs[i:], width, half):
			n = 2
			for k := range n {
				one := f.aside(bs[i+k:i+k+1], half)
				f.shift(one, float64(k)*(half+2*gutter), s.h)
				high = max(high, one.h)
			}
		case row > 0 && paired && bs[i].Kind != packet.Tick && bs[i].Kind != packet.Words: // the odd one of a row of pairs
			one := f.aside(bs[i:i+1], half)
			f.shift(one, 0, s.h)
			high = one.h
		default:
			one := f.aside(bs[i:i+n], width)
			f.shift(one, 0, s.h)
			high = one.h
		}
		paired = n == 2 && bs[i].Kind != packet.Tick
		for k := from; k < len(f.blanks); k++ {
			f.blanks[k].row = row
		}
		s.h += high
		i += n
	}
	s.b = len(f.blanks)
	return s
}

// inRow places a step's readings side by side, each below its label. What they
// have in common, target and instrument, stands once above them.
func (f *flow) inRow(bs []packet.Blank, width float64) (stack, bool) {
	s := stack{a: len(f.blanks), w: width}
	from, share := len(f.shared), len(bs) > 1
	for i := range bs {
		if bs[i].Kind == packet.Tick || bs[i].NotOnRecord != "" {
			return s, false
		}
		share = share && bs[i].Kind == packet.Reading && bs[i].Instrument == bs[0].Instrument && slices.Equal(bs[i].Target, bs[0].Target)
	}
	if len(bs) < 2 {
		return s, false
	}
	if !share {
		used := -boxGap
		for i := range bs {
			w, _ := wantSize(&bs[i])
			used += min(w, width) + boxGap
		}
		s.h = f.aboveRow(bs, 0, width, max(1, min(some, (width-float64(len(bs)-1)*boxGap)/(used-float64(len(bs)-1)*boxGap))), wantSize)
	} else {
		f.phrase = append(f.phrase[:0], bs[0].Target...)
		if bs[0].Instrument != "" {
			if len(f.phrase) > 0 {
				f.phrase = append(f.phrase, packet.Span{Text: "; "})
			}
			f.phrase = append(f.phrase, packet.Span{Text: bs[0].Instrument, Style: packet.Soft})
		}
		above := f.set(f.phrase, faceTarget, width)
		f.shared = append(f.shared, bs...)
		for i := range bs {
			b := &f.shared[from+i]
			b.Target, b.Instrument = nil, ""
		}
		x, y := 0.0, above.h
		if y > 0 {
			y += capGap
		}
		for i := range bs {
			b := &f.shared[from+i]
			w, h := boxSize(b)
			label := f.text(b.Label, faceBody, width)
			p := placed{Blank: b, x: x + f.widest(label) + asideGap, y: y, w: w, h: h}
			if i == 0 {
				p.caption(above, 0, 0, flushLeft)
			}
			p.caption(label, x, y+(h-label.h)/2, flushLeft)
			f.blanks = append(f.blanks, p)
			x = p.x + w + 2*gutter
			s.h = y + h
		}
	}
	s.b = len(f.blanks)
	for i := s.a; i < s.b; i++ {
		if p := &f.blanks[i]; p.x+p.w > width+slack {
			return s, false
		}
	}
	return s, true
}

// pair reports whether the next two blanks take less room side by side than one
// below the other.
func (f *flow) pair(bs []packet.Blank, width, half float64) bool {
	if len(bs) < 2 || bs[1].Kind == packet.Tick || bs[0].Kind == packet.Words || bs[1].Kind == packet.Words {
		return false
	}
	mark, runs, lines := len(f.blanks), len(f.runs), len(f.lines)
	both := max(f.aside(bs[:1], half).h, f.aside(bs[1:2], half).h)
	each := f.aside(bs[:2], width).h
	f.blanks, f.runs, f.lines = f.blanks[:mark], f.runs[:runs], f.lines[:lines]
	return both < 0.8*each
}
