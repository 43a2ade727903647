package layout

import (
	"math"
	"slices"
)

// stretch is what stands below one another: the pieces from i up to j, below repeated
// heads where the column begins within a table or with a step's drawing, and above a
// line where that drawing stands in the next column.
type stretch struct {
	i, j  int
	heads int32
	foot  int32
}

// leaf is one page: one column over the whole body, or two side by side. One without
// pieces is the blank back of a leaf before a sheet that begins a leaf.
type leaf struct {
	sheet int
	stretch
	right stretch // empty where the page has one column
	width float64
	more  bool // the sheet began on an earlier page
}

// end is the place behind the last piece of the page.
func (l *leaf) end() int { return max(l.j, l.right.j) }

// cut cuts the pieces of a sheet from i on into pages of one column, or of two where
// the flow is set half as wide.
func (f *flow) cut(leaves []leaf, sheet, i int) []leaf {
	columns := f.columnsFrom(i)
	for n := 0; n < len(columns); n++ {
		l := leaf{sheet: sheet, stretch: columns[n], width: f.width, more: n > 0}
		if f.halved && n+1 < len(columns) {
			n++
			l.right = columns[n]
		}
		leaves = append(leaves, l)
	}
	return leaves
}

// ending is how the pieces up to one are best cut into columns.
type ending struct {
	cost int64
	from int // where the last column begins
}

// What ends of columns cost: first no piece is parted from what it is tied to, then
// there are as few columns as can be, then who signs has what was read on the page, and then these are filled evenly: room left at the
// foot costs its square in hundredths of a mm. Whole numbers come out alike on every
// machine.
const (
	costColumn = 1e12
	costApart  = 1e8  // as much as 100 mm of room
	costBeside = 2e7  // the same, within a page
	costNear   = 2e11 // less than another column
	costPaged  = 1e13
	costKept   = 1e14
	costJoined = 1e15
	costFast   = 1e17
)

// costOf is what it costs to begin a column with a piece of a tie, on a new page and
// beside the last column.
var costOf = [2][]int64{
	{loose: 0, apart: costApart, near: costNear, paged: costPaged, kept: costKept, joined: costJoined, fast: costFast},
	{loose: 0, apart: costBeside, near: costBeside, paged: costBeside, kept: costKept, joined: costJoined, fast: costFast},
}

// columnsFrom cuts the pieces from i on into columns, the best of all ways to do it.
func (f *flow) columnsFrom(i int) []stretch {
	n := len(f.pieces) - i
	sides := 1
	if f.halved {
		sides = 2
	}
	// best[to][side] ends with a column on that side of a page.
	f.endings = append(f.endings[:0], make([][2]ending, n+1)...)
	best := f.endings
	for k := range best {
		best[k] = [2]ending{{cost: math.MaxInt64}, {cost: math.MaxInt64}}
	}
	best[0][sides-1].cost = 0
	for from := range n {
		first := &f.pieces[i+from]
		top := 0.0
		if first.head != 0 {
			top = f.heads[first.head-1].h
		}
		for last := range sides {
			if best[from][last].cost == math.MaxInt64 {
				continue
			}
			side := (last + 1) % sides
			before := best[from][last].cost + costColumn
			if from > 0 {
				before += costOf[side][first.tie]
			}
			y := top
			for to := from + 1; to <= n; to++ {
				p := &f.pieces[i+to-1]
				if to > from+1 {
					y += p.gap
				}
				if y += p.h; y > f.tall+slack && to > from+1 {
					break
				}
				foot := 0.0
				if p.foot != 0 && to < n {
					foot = f.heads[p.foot-1].h
				}
				if y+foot > f.tall+slack && to > from+1 {
					continue
				}
				cost := before
				if left := int64(math.Round((f.tall - y - foot) * 100)); to < n && left > 0 {
					cost += left * left
				}
				if cost < best[to][side].cost {
					best[to][side] = ending{cost, from}
				}
			}
		}
	}
	var out []stretch
	side := 0
	if best[n][1].cost < best[n][0].cost {
		side = 1
	}
	for to := n; to > 0; side = (side + 1) % sides {
		from := best[to][side].from
		c := stretch{i: i + from, j: i + to, heads: f.pieces[i+from].head}
		if to < n {
			c.foot = f.pieces[c.j-1].foot
		}
		out = append(out, c)
		to = from
	}
	slices.Reverse(out)
	for _, c := range out {
		if p := f.pieces[c.i]; c.j == c.i+1 && p.h > f.tall+slack {
			f.errorf("too-tall", "shorten it or split it",
				"a part of the sheet is %.0f mm high, and a page has room for %.0f mm", p.h, f.tall)
		}
	}
	return out
}

// put draws a page's pieces on a canvas, from the body's top downward.
func (f *flow) put(to *canvas, l leaf, top float64) {
	f.putColumn(to, l.stretch, 0, l.width, top)
	if l.right.j > 0 {
		f.putColumn(to, l.right, l.width+columnGap, l.width, top)
		x := f.left + l.width + columnGap/2
		to.upright(x, top, top+f.tall, thin, &mid)
	}
}

// putColumn draws one column of a page, moved to the right by dx.
func (f *flow) putColumn(to *canvas, c stretch, dx, width, y float64) {
	if c.heads != 0 {
		h := f.heads[c.heads-1]
		to.copy(&f.canvas, h.span, dx, y)
		y += h.h
	}
	for k, p := range f.pieces[c.i:c.j] {
		if k > 0 {
			y += p.gap
			if p.over > 0 {
				to.level(f.left+dx, f.left+dx+width, y+p.over/2, p.over, &black)
			}
		}
		to.copy(&f.canvas, p.span, dx, y)
		y += p.h
	}
	if c.foot != 0 {
		to.copy(&f.canvas, f.heads[c.foot-1].span, dx, y)
	}
}
