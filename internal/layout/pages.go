package layout

// leaf is one page: the pieces from i up to j, below repeated heads where the
// page begins within a table.
type leaf struct {
	sheet int
	i, j  int
	heads int32
	more  bool // the sheet began on an earlier page
}

// cut cuts the pieces from i on into pages: as many pieces on each as fit, the
// next page beginning before the piece of the weakest tie, the last of those.
func (f *flow) cut(leaves []leaf, sheet, i int) []leaf {
	for first := i; i < len(f.pieces); {
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
		leaves = append(leaves, leaf{sheet, i, best, head, i > first})
		i = best
	}
	return leaves
}

// put draws a page's pieces on a canvas, from the body's top downward.
func (f *flow) put(to *canvas, l leaf, top float64) {
	y := top
	if l.heads != 0 {
		h := f.heads[l.heads-1]
		to.copy(&f.canvas, h.span, y)
		y += h.h
	}
	for k, p := range f.pieces[l.i:l.j] {
		if k > 0 {
			y += p.gap
			if p.over > 0 {
				to.level(f.left, f.left+f.width, y+p.over/2, p.over, &black)
			}
		}
		to.copy(&f.canvas, p.span, y)
		y += p.h
	}
}
