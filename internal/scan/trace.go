package scan

import (
	"math"
	"slices"
)

// Faint traces: a pencil or a dry pen leaves less than ink and more than paper. What has
// any is not blank. Source of the figures: this project's trials (README.md).
const (
	traceLeast = 9   // darkness over that of the paper around, of 255
	traceNoise = 5.0 // times the paper's own unevenness
	traceArea  = 20  // pixels, of a trace that counts
)

// trace gives the diagonal, mm, of the largest faint trace inside the box, 0 for none. It
// looks at means of 3 by 3 pixels, so that the paper's grain counts for less.
func (p *patch) trace() float64 {
	in := p.box.grow(-p.band-1).clip(p.ink.w, p.ink.h)
	w, h := in.x1-in.x0, in.y1-in.y0
	if w < 3 || h < 3 {
		return 0
	}
	mean := newPlane(w, h)
	var count [256]int
	for y := range h {
		for x := range w {
			sum, n := 0, 0
			for j := max(0, y-1); j <= min(h-1, y+1); j++ {
				for _, v := range p.ink.row(in.y0 + j)[in.x0+max(0, x-1) : in.x0+min(w, x+2)] {
					sum += int(v)
					n++
				}
			}
			v := uint8(sum / n)
			mean.pix[y*w+x] = v
			count[v]++
		}
	}
	// The paper's own darkness and how it varies, by its median and quartile.
	at := func(part float64) int {
		left := int(part * float64(w*h))
		for v, n := range count {
			if left -= n; left < 0 {
				return v
			}
		}
		return 255
	}
	mid := at(0.5)
	sigma := float64(at(0.75)-mid+1) * 1.48
	least := float64(mid) + max(traceLeast, traceNoise*sigma)
	most := 0.0
	label := make([]bool, w*h)
	var stack []int
	for k, v := range mean.pix {
		if label[k] || float64(v) < least {
			continue
		}
		label[k] = true
		stack = append(stack[:0], k)
		b, n := rect{w, h, 0, 0}, 0
		for len(stack) > 0 {
			q := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x, y := q%w, q/w
			n++
			b = rect{min(b.x0, x), min(b.y0, y), max(b.x1, x+1), max(b.y1, y+1)}
			for j := max(0, y-1); j <= min(h-1, y+1); j++ {
				for i := max(0, x-1); i <= min(w-1, x+1); i++ {
					if o := j*w + i; !label[o] && float64(mean.pix[o]) >= least {
						label[o] = true
						stack = append(stack, o)
					}
				}
			}
		}
		if n >= traceArea {
			most = max(most, math.Hypot(float64(b.x1-b.x0), float64(b.y1-b.y0)))
		}
	}
	return most / grain
}

var _ = slices.Sort[[]int]
