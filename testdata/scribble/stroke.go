package scribble

import (
	"image"
	"math"
	"math/rand/v2"
)

// point is a place on the paper in mm, from its top left corner.
type point struct{ x, y float64 }

// node is a place of a stroke, how wide the pen is there (radius, mm) and how much of
// its ink it leaves (0 to 1).
type node struct{ x, y, r, a float64 }

type stroke []node

// pen is what a stroke is drawn with. tone is the grey of its ink, 0 black to 255; cover
// how much of the paper that ink hides; grain how much of it the paper's roughness
// takes away again, as with a pencil; skip how often the ball stops rolling, per mm.
type pen struct {
	width             float64 // mm
	tone, cover       float64
	grain, skip, drag float64 // drag: how much thinner and paler the end of a quick stroke is
}

// canvas is a page to draw on.
type canvas struct {
	img *image.Gray
	ppm float64 // pixels a mm
	buf []float32
}

// paint lays one stroke down. Where a stroke crosses itself it does not get darker:
// each of its pixels takes the most that any part of it gives.
func (c *canvas) paint(s stroke, p pen, seed uint32) {
	if len(s) == 0 {
		return
	}
	if len(s) == 1 {
		s = append(s, s[0])
	}
	box := c.bounds(s)
	if box.Empty() {
		return
	}
	w := box.Dx()
	need := w * box.Dy()
	if cap(c.buf) < need {
		c.buf = make([]float32, need)
	}
	buf := c.buf[:need]
	clear(buf)
	for i := 1; i < len(s); i++ {
		c.segment(buf, box, s[i-1], s[i])
	}
	for y := box.Min.Y; y < box.Max.Y; y++ {
		row := c.img.Pix[c.img.PixOffset(box.Min.X, y):]
		for x := range w {
			v := float64(buf[(y-box.Min.Y)*w+x])
			if v == 0 {
				continue
			}
			v *= p.cover
			if p.grain > 0 {
				g := grain(float64(box.Min.X+x)/c.ppm/0.16, float64(y)/c.ppm/0.16, seed)
				v *= 1 - p.grain*g
			}
			if was := float64(row[x]); was > p.tone {
				row[x] = uint8(was + (p.tone-was)*v + 0.5)
			}
		}
	}
}

// bounds gives the pixels that a stroke may touch.
func (c *canvas) bounds(s stroke) image.Rectangle {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, n := range s {
		x0, x1 = min(x0, n.x-n.r), max(x1, n.x+n.r)
		y0, y1 = min(y0, n.y-n.r), max(y1, n.y+n.r)
	}
	return image.Rect(int(x0*c.ppm)-2, int(y0*c.ppm)-2, int(x1*c.ppm)+3, int(y1*c.ppm)+3).Intersect(c.img.Rect)
}

// segment adds the cover of one piece of a stroke, its edge softened over one pixel.
func (c *canvas) segment(buf []float32, box image.Rectangle, a, b node) {
	ax, ay, bx, by := a.x*c.ppm, a.y*c.ppm, b.x*c.ppm, b.y*c.ppm
	ra, rb := a.r*c.ppm, b.r*c.ppm
	r := max(ra, rb) + 1
	part := image.Rect(int(min(ax, bx)-r), int(min(ay, by)-r), int(max(ax, bx)+r)+2, int(max(ay, by)+r)+2).Intersect(box)
	dx, dy := bx-ax, by-ay
	long := dx*dx + dy*dy
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			px, py, t := float64(x)+0.5-ax, float64(y)+0.5-ay, 0.0
			if long > 0 {
				t = min(max((px*dx+py*dy)/long, 0), 1)
			}
			ex, ey := px-t*dx, py-t*dy
			rt := ra + t*(rb-ra)
			// A line thinner than a pixel greys it by as much as it covers.
			v := min(max(rt+0.5-math.Sqrt(ex*ex+ey*ey), 0), 1, 2*rt) * (a.a + t*(b.a-a.a))
			if at := &buf[(y-box.Min.Y)*box.Dx()+x-box.Min.X]; float32(v) > *at {
				*at = float32(v)
			}
		}
	}
}

// curve runs smoothly through points; one that is given twice is a corner.
func curve(pts []point, step float64) []point {
	out := []point{pts[0]}
	at := func(i int) point { return pts[min(max(i, 0), len(pts)-1)] }
	for i := 0; i+1 < len(pts); i++ {
		p0, p1, p2, p3 := at(i-1), at(i), at(i+1), at(i+2)
		long := math.Hypot(p2.x-p1.x, p2.y-p1.y)
		if long == 0 {
			continue
		}
		n := max(int(long/step), 2)
		for k := 1; k <= n; k++ {
			t := float64(k) / float64(n)
			out = append(out, point{spline(p0.x, p1.x, p2.x, p3.x, t), spline(p0.y, p1.y, p2.y, p3.y, t)})
		}
	}
	return out
}

// spline is the Catmull-Rom polynomial between b and c.
func spline(a, b, c, d, t float64) float64 {
	return b + 0.5*t*(c-a+t*(2*a-5*b+4*c-d+t*(3*(b-c)+d-a)))
}

// draw makes a stroke of the points that a hand aims at: the hand trembles, the pen
// presses more or less, and may stop leaving ink for a bit.
func (h *Hand) draw(rng *rand.Rand, pts []point) stroke {
	line := curve(pts, 0.22)
	s := make(stroke, len(line))
	w1, w2 := between(rng, 0.5, 1.1), between(rng, 1.8, 3.2)
	f := [6]float64{}
	for i := range f {
		f[i] = between(rng, 0, 2*math.Pi)
	}
	press := between(rng, 0.88, 1.12)
	gap, run := 0.0, 0.0
	for i, p := range line {
		if i > 0 {
			step := math.Hypot(p.x-line[i-1].x, p.y-line[i-1].y)
			run += step
			if gap -= step; gap <= 0 && rng.Float64() < h.pen.skip*step {
				gap = between(rng, 0.3, 1.1)
			}
		}
		j := h.tremble
		s[i] = node{
			x: p.x + j*(math.Sin(run*w1+f[0])+0.5*math.Sin(run*w2+f[1])),
			y: p.y + j*(math.Sin(run*w1+f[2])+0.5*math.Sin(run*w2+f[3])),
			r: h.pen.width / 2 * press * (1 + 0.12*math.Sin(run*0.9+f[4])),
			a: min(1, 0.92+0.1*math.Sin(run*1.3+f[5])),
		}
		if gap > 0 {
			s[i].a *= 0.08
		}
	}
	// A quick stroke thins out where the pen leaves the paper.
	if h.pen.drag > 0 && run > 2 {
		tail := max(len(s)/4, 2)
		for i := len(s) - tail; i < len(s); i++ {
			if i < 0 {
				continue
			}
			t := float64(i-(len(s)-tail)) / float64(tail)
			s[i].r *= 1 - 0.55*h.pen.drag*t
			s[i].a *= 1 - 0.45*h.pen.drag*t
		}
	}
	return s
}

func between(rng *rand.Rand, a, b float64) float64 { return a + (b-a)*rng.Float64() }

func pick[T any](rng *rand.Rand, of ...T) T { return of[rng.IntN(len(of))] }

func chance(rng *rand.Rand, p float64) bool { return rng.Float64() < p }

// hash mixes a place and a seed into 32 bits.
func hash(x, y int32, seed uint32) uint32 {
	h := uint32(x)*0x9E3779B1 ^ uint32(y)*0x85EBCA6B ^ seed*0xC2B2AE35
	h ^= h >> 15
	h *= 0x2C1B3C6D
	h ^= h >> 12
	h *= 0x297A2D39
	return h ^ h>>15
}

// grain is noise from 0 to 1 that changes over a length of about one.
func grain(x, y float64, seed uint32) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int32(fx), int32(fy)
	x, y = x-fx, y-fy
	x, y = x*x*(3-2*x), y*y*(3-2*y)
	v := func(i, k int32) float64 { return float64(hash(ix+i, iy+k, seed)>>8) / (1 << 24) }
	top := v(0, 0) + x*(v(1, 0)-v(0, 0))
	return top + y*(v(0, 1)+x*(v(1, 1)-v(0, 1))-top)
}
