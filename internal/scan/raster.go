package scan

import (
	"image"
	"math"
)

// plane is a grey picture: 0 is black.
type plane struct {
	w, h, stride int
	pix          []uint8
}

func planeOf(g *image.Gray) plane {
	b := g.Bounds()
	if b.Empty() {
		return plane{}
	}
	return plane{b.Dx(), b.Dy(), g.Stride, g.Pix[g.PixOffset(b.Min.X, b.Min.Y):]}
}

func newPlane(w, h int) plane { return plane{w, h, w, make([]uint8, w*h)} }

func (p plane) row(y int) []uint8 { return p.pix[y*p.stride : y*p.stride+p.w] }

// at gives the grey at a place between pixels; outside the picture that of its edge.
func (p plane) at(q point) float64 {
	x, y := min(max(q.x, 0), float64(p.w-1)), min(max(q.y, 0), float64(p.h-1))
	ix, iy := min(int(x), max(0, p.w-2)), min(int(y), max(0, p.h-2))
	fx, fy := x-float64(ix), y-float64(iy)
	i := iy*p.stride + ix
	right, down := min(1, p.w-1), p.stride
	if p.h == 1 {
		down = 0
	}
	top := float64(p.pix[i])*(1-fx) + float64(p.pix[i+right])*fx
	low := float64(p.pix[i+down])*(1-fx) + float64(p.pix[i+down+right])*fx
	return top*(1-fy) + low*fy
}

func (p plane) holds(q point) bool {
	return q.x >= -0.5 && q.y >= -0.5 && q.x <= float64(p.w)-0.5 && q.y <= float64(p.h)-0.5
}

// stretch is how many pixels are placed between two for which the warp is worked out in
// full: over 2 mm even a steep photo is straight to a hundredth of a pixel.
const stretch = 16

// rectify draws a part of the page, its top left corner at from (mm), with so many pixels
// to a mm, into out. What lies outside the picture gets the grey of its edge.
func (p plane) rectify(w *warp, from point, perMM float64, out plane) {
	if p.w < 2 || p.h < 2 {
		for i := range out.pix {
			out.pix[i] = 255
		}
		return
	}
	const one = 1 << 8 // fixed point: a 256th of a pixel
	maxX, maxY := int64(p.w-1)*one-1, int64(p.h-1)*one-1
	place := func(x, y int) (int64, int64) {
		q := w.at(point{from.x + (float64(x)+0.5)/perMM, from.y + (float64(y)+0.5)/perMM})
		const far = 1 << 24
		return int64(min(max(q.x, -far), far) * one), int64(min(max(q.y, -far), far) * one)
	}
	for y := range out.h {
		row := out.row(y)
		ax, ay := place(0, y)
		for x := 0; x < out.w; x += stretch {
			bx, by := place(x+stretch, y)
			stepX, stepY := (bx-ax)*one/stretch, (by-ay)*one/stretch
			cx, cy := ax*one, ay*one
			for i := x; i < min(x+stretch, out.w); i++ {
				sx, sy := min(max(cx/one, 0), maxX), min(max(cy/one, 0), maxY)
				fx, fy := int(sx%one), int(sy%one)
				k := int(sy/one)*p.stride + int(sx/one)
				q := p.pix[k : k+p.stride+2 : k+p.stride+2]
				top := int(q[0])*(one-fx) + int(q[1])*fx
				low := int(q[p.stride])*(one-fx) + int(q[p.stride+1])*fx
				row[i] = uint8((top*(one-fy) + low*fy + one*one/2) / (one * one))
				cx, cy = cx+stepX, cy+stepY
			}
			ax, ay = bx, by
		}
	}
}

// shrink gives a part of the picture made smaller by a factor of at least 1, each pixel
// the mean of those that it covers, whole or in part.
func (p plane) shrink(part image.Rectangle, factor float64) plane {
	if factor <= 1 {
		out := newPlane(part.Dx(), part.Dy())
		for y := range out.h {
			copy(out.row(y), p.row(part.Min.Y + y)[part.Min.X:])
		}
		return out
	}
	out := newPlane(max(1, int(float64(part.Dx())/factor)), max(1, int(float64(part.Dy())/factor)))
	const one = 1 << 8
	type reach struct {
		from    int
		weights []int
	}
	reaches := func(n, size int) []reach {
		all := make([]reach, n)
		for i := range all {
			a, b := float64(i)*factor, min(float64(i+1)*factor, float64(size))
			r := reach{from: int(a)}
			for k := r.from; float64(k) < b-1e-9; k++ {
				r.weights = append(r.weights, int(one*(min(b, float64(k+1))-max(a, float64(k)))))
			}
			all[i] = r
		}
		return all
	}
	cols, rows := reaches(out.w, part.Dx()), reaches(out.h, part.Dy())
	sums := make([]int, out.w)
	for y, r := range rows {
		clear(sums)
		total := 0
		for k, wy := range r.weights {
			src := p.row(part.Min.Y + r.from + k)[part.Min.X:part.Max.X]
			total += wy
			for x := range cols {
				c := &cols[x]
				s, t := 0, 0
				for j, wx := range c.weights {
					s += int(src[c.from+j]) * wx
					t += wx
				}
				sums[x] += s * one / t * wy
			}
		}
		row := out.row(y)
		for x, s := range sums {
			row[x] = uint8(min(255, s/(one*total)))
		}
	}
	return out
}

// soften gives the picture blurred by a 3 by 3 binomial, twice.
func (p plane) soften() plane {
	out := newPlane(p.w, p.h)
	for y := range p.h {
		copy(out.row(y), p.row(y))
	}
	if p.w < 3 || p.h < 3 {
		return out
	}
	buf := make([]uint8, p.w)
	for range 2 {
		for y := range p.h {
			row := out.row(y)
			copy(buf, row)
			for x := 1; x < p.w-1; x++ {
				row[x] = uint8((int(buf[x-1]) + 2*int(buf[x]) + int(buf[x+1]) + 2) / 4)
			}
		}
		above := make([]uint8, p.w)
		copy(above, out.row(0))
		for y := 1; y < p.h-1; y++ {
			row, below := out.row(y), out.row(y+1)
			copy(buf, row)
			for x := range row {
				row[x] = uint8((int(above[x]) + 2*int(row[x]) + int(below[x]) + 2) / 4)
			}
			above, buf = buf, above
		}
	}
	return out
}

// sums are the sums of grey over all rectangles that begin at the top left.
type sums struct {
	w   int
	sum []uint32
}

func (p plane) sums() sums {
	s := sums{p.w + 1, make([]uint32, (p.w+1)*(p.h+1))}
	for y := range p.h {
		var line uint32
		above, here := s.sum[y*s.w:(y+1)*s.w], s.sum[(y+1)*s.w:(y+2)*s.w]
		for x, v := range p.row(y) {
			line += uint32(v)
			here[x+1] = above[x+1] + line
		}
	}
	return s
}

// mean gives the mean grey of x0 to x1 and y0 to y1, the ends not included.
func (s sums) mean(x0, y0, x1, y1 int) float64 {
	n := (x1 - x0) * (y1 - y0)
	return float64(s.sum[y1*s.w+x1]-s.sum[y0*s.w+x1]-s.sum[y1*s.w+x0]+s.sum[y0*s.w+x0]) / float64(n)
}

func round(f float64) int { return int(math.Round(f)) }
