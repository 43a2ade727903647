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

// columns is one column, or two side by side.
type columns struct {
	stretch
	right stretch // empty where there is one
	width float64 // of a column
}

func (c *columns) last() int { return max(c.j, c.right.j) }

// leaf is one page: columns over the whole body, and those of the sheet that begins
// below them. One without pieces is the blank back of a leaf before a sheet that begins
// a leaf.
type leaf struct {
	sheet int
	columns
	more bool // the sheet began on an earlier page

	below columns // of the next sheet; empty where that begins a page
	next  int     // that sheet
	at    float64 // how far below the body's top its columns stand
}

// end is the place behind the last piece of the page.
func (l *leaf) end() int { return max(l.last(), l.below.last()) }

// cut cuts the pieces of a sheet from i on into pages of one column, or of two where
// the flow is set half as wide. Where room is not 0 they may begin in so much of it at the
// foot of the last page.
func (f *flow) cut(leaves []leaf, sheet, i int, room float64) []leaf {
	list, began := f.columnsFrom(i, room)
	for n := 0; n < len(list); n++ {
		c := columns{stretch: list[n], width: f.width}
		if f.halved && n+1 < len(list) {
			n++
			c.right = list[n]
		}
		if n == 1 && began {
			last := &leaves[len(leaves)-1]
			last.below, last.next, last.at = c, sheet, f.tall-room
			continue
		}
		leaves = append(leaves, leaf{sheet: sheet, columns: c, more: n > 1 || !f.halved && n > 0})
	}
	return leaves
}

// foot is how much of a page stays free below its one column for the sheet that may
// begin there; 0 where that is too little to begin with.
func (f *flow) foot(l *leaf) float64 {
	if l.right.j > 0 || l.below.j > 0 {
		return 0
	}
	room := f.tall - gapPart
	for k, p := range f.pieces[l.i:l.j] {
		if k > 0 {
			room -= p.gap
		}
		room -= p.h
	}
	if l.heads != 0 {
		room -= f.heads[l.heads-1].h
	}
	if room < footLeast {
		return 0
	}
	return room
}

// ending is how the pieces up to one are best cut into columns.
type ending struct {
	cost  int64
	from  int  // where the last column begins
	below bool // it and the one before it stand at the foot of the page before
}

// What ends of columns cost: first no piece is parted from what it is tied to, then
// there are as few pages as can be, then who signs has what was read on the page, then stages are
// whole and columns few, and then these are filled evenly: room left at the
// foot costs its square in hundredths of a mm. Whole numbers come out alike on every
// machine.
const (
	costPage   = 1e12
	costRight  = 1e9
	costApart  = 1e8  // as much as 100 mm of room
	costBeside = 2e7  // the same, within a page
	costStage  = 1e9  // a stage, or a part of the annex, parted by the end of a page: who looks it up finds half of it
	costNear   = 2e11 // less than another column
	costPaged  = 1e13
	costKept   = 1e14
	costJoined = 1e15
	costFast   = 1e17
)

// costSide is what another column costs on the left of a page, which is one page more, and on
// the right of one.
var costSide = [2]int64{costPage, costRight}

// costOf is what it costs to begin a column with a piece of a tie, on a new page and
// beside the last column.
var costOf = [2][]int64{
	{loose: 0, apart: costApart, near: costNear, paged: costPaged, kept: costKept, joined: costJoined, fast: costFast},
	{loose: 0, apart: costBeside, near: costBeside, paged: costBeside, kept: costKept, joined: costJoined, fast: costFast},
}

// columnsFrom cuts the pieces from i on into columns, the best of all ways to do it. Where
// room is not 0 the first two may stand in so much of it; began says that they do.
func (f *flow) columnsFrom(i int, room float64) (out []stretch, began bool) {
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
	if room > 0 && f.halved {
		f.beginBelow(i, room)
	}
	for from := range n {
		first := &f.pieces[i+from]
		for last := range sides {
			if best[from][last].cost == math.MaxInt64 {
				continue
			}
			side := (last + 1) % sides
			before := best[from][last].cost + costSide[side]
			if from > 0 {
				before += costOf[side][first.tie]
				if side == 0 && f.halved && !f.partFrom(first) {
					before += costStage
				}
			}
			f.ends(i, from, f.tall, func(to int, left float64) {
				cost := before
				if left := int64(math.Round(left * 100)); to < n && left > 0 {
					cost += left * left
				}
				if cost < best[to][side].cost {
					best[to][side] = ending{cost: cost, from: from}
				}
			})
		}
	}
	column := func(from, to int) {
		c := stretch{i: i + from, j: i + to, heads: f.pieces[i+from].head}
		if to < n {
			c.foot = f.pieces[c.j-1].foot
		}
		out = append(out, c)
	}
	side := 0
	if best[n][1].cost < best[n][0].cost {
		side = 1
	}
	for to := n; to > 0; side = (side + 1) % sides {
		e := best[to][side]
		if column(e.from, to); e.below {
			column(0, e.from)
			began = true
			break
		}
		to = e.from
	}
	slices.Reverse(out)
	for _, c := range out {
		if p := f.pieces[c.i]; c.j == c.i+1 && p.h > f.tall+slack {
			f.errorf("too-tall", "shorten it or split it",
				"a part of the sheet is %.0f mm high, and a page has room for %.0f mm", p.h, f.tall)
		}
	}
	return out, began
}

// partFrom reports whether a piece is the heading of a stage, or of a part of the annex.
func (f *flow) partFrom(p *piece) bool {
	return p.title != 0 && (f.annex || f.titles[p.title-1].level <= 1)
}

// ends visits where a column so high that begins with a piece may end, with the room that
// it leaves. One piece may be higher than the column.
func (f *flow) ends(i, from int, tall float64, visit func(to int, left float64)) {
	y := 0.0
	if h := f.pieces[i+from].head; h != 0 {
		y = f.heads[h-1].h
	}
	n := len(f.pieces) - i
	for to := from + 1; to <= n; to++ {
		p := &f.pieces[i+to-1]
		if to > from+1 {
			y += p.gap
		}
		if y += p.h; y > tall+slack && to > from+1 {
			return
		}
		foot := 0.0
		if p.foot != 0 && to < n {
			foot = f.heads[p.foot-1].h
		}
		if y+foot > tall+slack && to > from+1 {
			continue
		}
		visit(to, tall-y-foot)
	}
}

// beginBelow enters the ways in which the pieces from i on begin in two columns at the
// foot of a page, which cost nothing but what they part.
func (f *flow) beginBelow(i int, room float64) {
	best := f.endings
	f.ends(i, 0, room, func(mid int, left float64) {
		if left < -slack || mid == len(best)-1 {
			return
		}
		f.ends(i, mid, room, func(to int, left float64) {
			if left < -slack {
				return
			}
			if cost := costOf[1][f.pieces[i+mid].tie]; cost < best[to][1].cost {
				best[to][1] = ending{cost: cost, from: mid, below: true}
			}
		})
	})
}

// put draws a page's pieces on a canvas, from the body's top downward.
func (f *flow) put(to *canvas, l leaf, top float64) {
	f.putColumns(to, l.columns, top, f.tall)
	if l.below.j > 0 {
		f.putColumns(to, l.below, top+l.at, f.tall-l.at)
	}
}

// putColumns draws columns from y down, and the line between two of them.
func (f *flow) putColumns(to *canvas, c columns, y, high float64) {
	f.putColumn(to, c.stretch, 0, c.width, y)
	if c.right.j > 0 {
		f.putColumn(to, c.right, c.width+columnGap, c.width, y)
		x := f.left + c.width + columnGap/2
		to.upright(x, y, y+high, thin, &mid)
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
