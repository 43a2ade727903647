package scan

import "math"

// Faint traces: a pencil or a dry pen leaves less than ink and more than paper. What has
// any is not blank. Source of the figures: this project's trials (README.md).
const (
	traceLeast = 8   // darkness over that of the paper around, of 255
	traceNoise = 4.5 // times the noise that the mean of 3 by 3 pixels has
	traceArea  = 12  // pixels, of a trace that counts
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
	left, mid := w*h/2, 0
	for ; mid < 255 && left >= count[mid]; mid++ {
		left -= count[mid]
	}
	// Nine pixels that were drawn from about four count for half the noise of one.
	least := float64(mid) + max(traceLeast, traceNoise*p.noise/2)
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

// unevenness gives the noise of a part of a picture, in greys (standard deviation), by
// pixels that are 3 apart: strokes are on too few of them to count.
func (p plane) unevenness(in rect) float64 {
	const step = 3
	in = in.clip(p.w, p.h)
	var count [256]int
	n := 0
	for y := in.y0; y < in.y1; y++ {
		row := p.row(y)
		for x := in.x0; x+step < in.x1; x++ {
			d := int(row[x]) - int(row[x+step])
			count[max(d, -d)]++
			n++
		}
	}
	left, v := n/2, 0
	for ; v < 255 && left >= count[v]; v++ {
		left -= count[v]
	}
	// The median of the difference of two is 0.954 times the deviation of one; v is a
	// whole number, on average half of one too large or too small.
	part := 0.5
	if count[v] > 0 {
		part = float64(left) / float64(count[v])
	}
	return max(0, float64(v)-0.5+part) / 0.954
}
