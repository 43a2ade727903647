package layout

import (
	"slices"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// A list's items stand one below the other, or side by side where they are many and
// short: two in a row, or on a dense sheet in columns that are read downward.

const (
	bulletIndent = 5.0               // from a bullet's left edge to its text
	tickIndent   = tickSize + 2.5    // the same of a box
	tickClose    = clear + outline/2 // from a box to what stands above it or below
	listMost     = 3                 // columns of a dense list
)

// listStyle is how the items of a list are set.
type listStyle struct {
	tick               bool
	indent, least, gap float64 // least is the height of a line with its box
	from, most         int     // items that a list must have to stand in columns, and the most of these
	clearly            float64 // what of the height they must leave at most
}

func (f *flow) listStyle(l *packet.List) listStyle {
	s := listStyle{tick: l.Tick, indent: bulletIndent, gap: gapTight, from: 6, most: 2, clearly: 0.8}
	if l.Tick {
		s.indent, s.least, s.gap = tickIndent, tickSize+outline, tickGap
	}
	if f.dense {
		s.gap, s.from, s.most, s.clearly = f.gap(s.gap), 2, listMost, 0.9
		if l.Tick {
			s.gap = tickClose
		}
	}
	return s
}

// list draws a list.
func (f *flow) list(l *packet.List) {
	if slices.ContainsFunc(l.Items, func(it packet.ListItem) bool { return it.Sign != "" }) {
		f.signed(l)
		return
	}
	s := f.listStyle(l)
	cols, down := f.listColumns(l, &s)
	share := f.listWidth(cols)
	above, mark := f.gap(gapList), f.here()
	if l.Tick {
		above = max(above, tickClose)
	}
	if down {
		f.begin()
		h, ends := f.downward(l, &s, cols)
		for c, i := 0, 0; c < len(ends); c++ {
			y := 0.0
			for ; i < ends[c]; i++ {
				y += f.listItem(&l.Items[i], &s, f.left+float64(c)*(share+gutter), y, share) + s.gap
			}
		}
		f.end(above, h, loose)
		return
	}
	for i := 0; i < len(l.Items); i += cols {
		f.begin()
		h := 0.0
		for c := 0; c < cols && i+c < len(l.Items); c++ {
			h = max(h, f.listItem(&l.Items[i+c], &s, f.left+float64(c)*(share+gutter), 0, share))
		}
		f.end(above, h, loose)
		above = s.gap
	}
	f.pairEnds(mark)
}

// listWidth is the width of one of so many columns of a list.
func (f *flow) listWidth(cols int) float64 {
	if cols == 1 {
		return f.running()
	}
	return (f.width - float64(cols-1)*gutter) / float64(cols)
}

// listItem draws an item with its top at y and gives its height.
func (f *flow) listItem(it *packet.ListItem, s *listStyle, x, y, width float64) float64 {
	f.reset()
	t := f.set(it.Text, f.body(), width-s.indent)
	if t.h > f.tall { // never so in practice
		f.errorf("too-tall", "split it", "an item of a list is %.0f mm high, and a page has room for %.0f mm", t.h, f.tall)
	}
	line := faceBody.line()
	if !s.tick {
		f.fill(x+0.6, y+line/2-0.7, 1.4, 1.4, &black)
		f.draw(t, x+s.indent, y, flushLeft)
		return t.h
	}
	down, top := besideTick(), max(0, (line-tickSize)/2)
	f.box(page.Box{ID: it.ID, Kind: page.Tick, X: x, Y: y + top, W: tickSize, H: tickSize})
	f.draw(t, x+s.indent, y+down, flushLeft)
	return max(top+tickSize+outline, down+t.h)
}

// besideTick is how far below the top of its box an item's text begins.
func besideTick() float64 { return max(0, (tickSize-faceBody.line())/2) }

// itemHeight is how high an item is in a column so wide.
func (f *flow) itemHeight(it *packet.ListItem, s *listStyle, width float64) float64 {
	f.reset()
	h := f.set(it.Text, f.body(), width-s.indent).h
	if s.tick {
		h += besideTick()
	}
	return max(s.least, h)
}

// listColumns is in how many columns a list takes clearly the least room, and whether
// these are read downward.
func (f *flow) listColumns(l *packet.List, s *listStyle) (best int, down bool) {
	best = 1
	low := 0.0
	for cols := 1; cols <= s.most && (cols == 1 || len(l.Items) >= s.from); cols++ {
		all, downward := 0.0, f.dense && cols > 1
		if downward {
			all, _ = f.downward(l, s, cols)
			downward = all <= f.tall
		}
		if !downward {
			all = 0
			row := 0.0
			for i := range l.Items {
				if i%cols == 0 {
					all, row = all+row, s.gap
				}
				row = max(row, s.gap+f.itemHeight(&l.Items[i], s, f.listWidth(cols)))
			}
			all += row - s.gap
		}
		if cols == 1 || all <= s.clearly*low {
			best, low, down = cols, all, downward
		}
	}
	return best, down
}

// downward fills columns of a list one after the other so that the highest is as low as
// can be: its height, and behind which item each column ends.
func (f *flow) downward(l *packet.List, s *listStyle, cols int) (high float64, ends []int) {
	heights, least := make([]float64, len(l.Items)), 0.0
	for i := range l.Items {
		heights[i] = f.itemHeight(&l.Items[i], s, f.listWidth(cols))
		least = max(least, heights[i])
	}
	const step = 0.5
	for most := least; ; most += step {
		ends, high = ends[:0], 0
		y := -s.gap
		for i, h := range heights {
			if y+s.gap+h > most && i > 0 {
				ends, y = append(ends, i), -s.gap
			}
			y += s.gap + h
			high = max(high, y)
		}
		if ends = append(ends, len(heights)); len(ends) <= cols {
			return high, ends
		}
	}
}
