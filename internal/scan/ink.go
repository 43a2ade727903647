package scan

import (
	"slices"

	"jobsheaf/internal/manifest"
)

// How ink is told from paper. Source of the figures: this project's trials (README.md).
const (
	cell      = 20   // pixels, 2.5 mm: the paper's grey is taken from each
	hatSide   = 17   // pixels, 2.1 mm: what is dark over more than that is a stain
	inkLeast  = 51   // darkness, of 255 for the print's black, from which a pixel is ink
	hatchInk  = 128  // darkness of ink where a box is hatched
	zoneReach = 1.4  // mm around a box, within which nothing is printed
	ringReach = 0.55 // mm outside an outline, where strokes that leave a box are counted
	speck     = 6    // pixels: less is dust
	printEdge = 0.35 // mm around printed ink that counts as it
)

// rect is a part of a patch, in pixels: from x0 to x1, the end not included.
type rect struct{ x0, y0, x1, y1 int }

func (r rect) holds(x, y int) bool { return x >= r.x0 && x < r.x1 && y >= r.y0 && y < r.y1 }

func (r rect) grow(n int) rect { return rect{r.x0 - n, r.y0 - n, r.x1 + n, r.y1 + n} }

func (r rect) clip(w, h int) rect {
	return rect{min(max(r.x0, 0), w), min(max(r.y0, 0), h), min(max(r.x1, 0), w), min(max(r.y1, 0), h)}
}

// darkness turns a patch into how dark each pixel is beside the paper around it: 0 is
// paper, 255 the print's black. It gives the grey of the paper.
func (p plane) darkness(contrast float64) (light float64) {
	cols, rows := max(1, (p.w+cell/2)/cell), max(1, (p.h+cell/2)/cell)
	paper := make([]int, cols*rows)
	for j := range rows {
		y0, y1 := j*p.h/rows, (j+1)*p.h/rows
		for i := range cols {
			x0, x1 := i*p.w/cols, (i+1)*p.w/cols
			var count [256]int
			for y := y0; y < y1; y++ {
				for _, v := range p.row(y)[x0:x1] {
					count[v]++
				}
			}
			left := (x1 - x0) * (y1 - y0) * 3 / 10 // the paper is the lighter part of a cell
			v := 255
			for ; v > 0 && left >= count[v]; v-- {
				left -= count[v]
			}
			paper[j*cols+i] = v
		}
	}
	paper = lift(paper, cols, rows)
	for _, v := range paper {
		light += max(1, float64(v)) / float64(len(paper))
	}
	scale := 255 / contrast
	blend := make([]float64, cols)
	for y := range p.h {
		// Between the middles of cells the paper's grey goes over evenly.
		j, below, fy := between(y, p.h, rows)
		for i := range blend {
			blend[i] = float64(paper[j*cols+i])*(1-fy) + float64(paper[below*cols+i])*fy
		}
		row := p.row(y)
		for x, v := range row {
			i, right, fx := between(x, p.w, cols)
			white := max(1, blend[i]*(1-fx)+blend[right]*fx)
			row[x] = uint8(min(max((1-float64(v)/white)*scale, 0), 255))
		}
	}
	return light
}

// between gives the cells between whose middles pixel at of size lies, and how far it is
// from the first to the second.
func between(at, size, cells int) (i, next int, part float64) {
	f := min(max((float64(at)+0.5)*float64(cells)/float64(size)-0.5, 0), float64(cells-1))
	i = int(f)
	return i, min(i+1, cells-1), f - float64(i)
}

// lift gives each cell at least the median of those around it: one that is mostly ink
// knows nothing of the paper.
func lift(paper []int, cols, rows int) []int {
	out := make([]int, len(paper))
	var around []int
	for j := range rows {
		for i := range cols {
			around = around[:0]
			for y := max(0, j-1); y <= min(rows-1, j+1); y++ {
				around = append(around, paper[y*cols+max(0, i-1):y*cols+min(cols, i+2)]...)
			}
			slices.Sort(around)
			out[j*cols+i] = max(paper[j*cols+i], around[len(around)/2])
		}
	}
	return out
}

// hat takes off what is dark over more than hatSide both ways, such as grease: the
// opening by a square. Source: the white top-hat of mathematical morphology.
func (p plane) hat() {
	open := newPlane(p.w, p.h)
	for i, v := range p.pix[:p.w*p.h] {
		open.pix[i] = ^v
	}
	open.widen() // of what is light: what is dark shrinks
	for i, v := range open.pix {
		open.pix[i] = ^v
	}
	open.widen()
	for i, v := range open.pix {
		p.pix[i] -= min(v, p.pix[i])
	}
}

// widen gives each pixel the greatest of the square around it, of hatSide pixels a side.
// Running extremes by blocks: M. van Herk, Pattern Recognition Letters 13 (1992) 517-521,
// from memory.
func (p plane) widen() {
	const half = hatSide / 2
	size := p.w + 2*half
	line, fore, back := make([]uint8, size), make([]uint8, size), make([]uint8, size)
	for y := range p.h {
		row := p.row(y)
		copy(line[half:], row)
		for i, v := range line {
			if i%hatSide != 0 {
				v = max(v, fore[i-1])
			}
			fore[i] = v
		}
		for i := size - 1; i >= 0; i-- {
			v := line[i]
			if i != size-1 && (i+1)%hatSide != 0 {
				v = max(v, back[i+1])
			}
			back[i] = v
		}
		for x := range row {
			row[x] = max(back[x], fore[x+hatSide-1])
		}
	}
	// Columns go by whole rows, so that memory is walked in order.
	n := p.h + 2*half
	down, up := newPlane(p.w, n), newPlane(p.w, n)
	for i := range p.h {
		copy(down.row(i+half), p.row(i))
		copy(up.row(i+half), p.row(i))
	}
	for i := range n {
		if i%hatSide != 0 {
			down.most(i, down.row(i-1))
		}
	}
	for i := n - 2; i >= 0; i-- {
		if (i+1)%hatSide != 0 {
			up.most(i, up.row(i+1))
		}
	}
	for y := range p.h {
		copy(p.row(y), up.row(y))
		p.most(y, down.row(y+hatSide-1))
	}
}

// most gives each pixel of a row the greater of itself and another.
func (p plane) most(y int, other []uint8) {
	row := p.row(y)
	for x, v := range other[:len(row)] {
		row[x] = max(row[x], v)
	}
}

// printed gives the places of a box's printed ink in a patch, in pixels.
func printed(b *manifest.Box, from point) []rect {
	var all []rect
	for _, q := range b.Printed {
		all = append(all, rect{
			round((float64(q.X) - printEdge - from.x) * grain), round((float64(q.Y) - printEdge - from.y) * grain),
			round((float64(q.X+q.W) + printEdge - from.x) * grain), round((float64(q.Y+q.H) + printEdge - from.y) * grain),
		})
	}
	return all
}
