package layout

// stretch is what stands below one another: the pieces from i up to j, below repeated
// heads where the column begins within a table.
type stretch struct {
	i, j  int
	heads int32
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
	first := i
	for i < len(f.pieces) {
		l := leaf{sheet: sheet, stretch: f.stretch(i), width: f.width, more: i > first}
		if i = l.j; f.halved && i < len(f.pieces) {
			l.right = f.stretch(i)
			i = l.right.j
		}
		leaves = append(leaves, l)
	}
	return leaves
}

// stretch takes as many pieces from i on as fit below one another; the next column
// begins before the piece of the weakest tie, the last of those.
func (f *flow) stretch(i int) stretch {
	y := 0.0
	head := f.pieces[i].head
	if head != 0 {
		y = f.heads[head-1].h
	}
	j, best := i, -1
	for ; j < len(f.pieces); j++ {
		p := f.pieces[j]
		if j > i {
			if best < 0 || p.tie <= f.pieces[best].tie {
				best = j
			}
			y += p.gap
		}
		if y += p.h; y > f.tall+slack {
			break
		}
	}
	switch {
	case j == len(f.pieces):
		best = j
	case j == i: // not even one piece fits
		f.errorf("too-tall", "shorten it or split it",
			"a part of the sheet is %.0f mm high, and a page has room for %.0f mm", f.pieces[i].h, f.tall)
		best = i + 1
	}
	return stretch{i, best, head}
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
}
