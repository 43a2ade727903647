package layout

import (
	"math"
	"slices"

	"jobsheaf/internal/packet"
)

// How a step's blanks stand below its text: in rows, which together are as low as they
// can be. A row has one blank or a few, in one of the ways below.

const (
	rowClear = 1.6 // above a row: clear of the text
	rowMost  = 4   // blanks side by side, tick boxes that follow each other counted as one
	lineGap  = 2.4 // between a box and the next caption on its right
	// The least widths of a box for a signature or a time in a part of a row.
	besideSign = 26.0
	besideWhen = 24.0
)

// way places some blanks in one row from (0, 0); ok is false where they do not fit.
type way func(f *flow, bs []packet.Blank, width float64) (s stack, ok bool)

var ways = [...]way{(*flow).alone, (*flow).inCommon, (*flow).inParts, (*flow).inLine, (*flow).captionsAbove}

// planned is a row in which some blanks stand, and how high it and all below it are.
type planned struct {
	n      int // blanks in it
	way    way
	indent float64
	h      float64
}

// rows places a step's blanks below its text in as little height as possible.
func (f *flow) rows(bs []packet.Blank, width float64) stack {
	s := stack{a: len(f.blanks), w: width}
	bs = f.once(bs)
	f.plan = append(f.plan[:0], make([]planned, len(bs)+1)...)
	for i := len(bs) - 1; i >= 0; i-- {
		p := &f.plan[i]
		p.h = math.Inf(1)
		if i > 0 && bs[i].Kind == packet.Tick && bs[i-1].Kind == packet.Tick {
			continue // tick boxes that follow each other are not parted
		}
		n := 0
		for range rowMost {
			if i+n == len(bs) {
				break
			}
			n += max(1, ticks(bs[i+n:]))
			below := f.plan[i+n].h
			if i+n < len(bs) {
				below += rowGap
			}
			for _, w := range ways {
				for _, indent := range [...]float64{stepIndent, 0} {
					if indent == 0 && ticks(bs[i:]) > 0 { // only a step's own box stands at the edge
						continue
					}
					at, shared := f.mark(), len(f.shared)
					one, ok := w(f, bs[i:i+n], width-indent)
					f.forget(at)
					f.shared = f.shared[:shared]
					if ok && one.h+below < p.h-slack {
						*p = planned{n, w, indent, one.h + below}
					}
					if ok {
						break
					}
				}
			}
		}
	}
	for i, row := 0, 0; i < len(bs); row++ {
		p := f.plan[i]
		from := len(f.blanks)
		one, _ := p.way(f, bs[i:i+p.n], width-p.indent)
		f.shift(one, p.indent, s.h)
		for k := from; k < len(f.blanks); k++ {
			f.blanks[k].row = row
		}
		s.h += one.h
		if i += p.n; i < len(bs) {
			s.h += rowGap
		}
	}
	s.b = len(f.blanks)
	return s
}

// once says an instrument at the last of the readings that it takes one after the
// other.
func (f *flow) once(bs []packet.Blank) []packet.Blank {
	from := len(f.shared)
	f.shared = append(f.shared, bs...)
	bs = f.shared[from:len(f.shared):len(f.shared)]
	for i := range bs[:max(0, len(bs)-1)] {
		a, b := &bs[i], &bs[i+1]
		if a.Kind == packet.Reading && b.Kind == packet.Reading && a.Instrument == b.Instrument && !slices.Equal(a.Target, b.Target) {
			a.Instrument = ""
		}
	}
	return bs
}
