package scribble

import (
	"image"
	"math"
	"math/rand/v2"
)

// stray lets things get onto the page that nobody meant as a mark: pens that slip,
// dirty hands, dust, the other side of the sheet. h is who holds the pen.
func (w *written) stray(rng *rand.Rand, o Options, h *Hand, other *image.Gray) {
	each := func(f func()) {
		// As often as o.Strays says on average.
		for n := o.Strays; n > 0; n-- {
			if chance(rng, n) {
				f()
			}
		}
	}
	boxes := w.page.Boxes
	if len(boxes) > 0 {
		each(func() { // a line over two boxes
			i, k := rng.IntN(len(boxes)), rng.IntN(len(boxes))
			if i == k { // within one box it would be a mark like any other
				return
			}
			a, b := boxes[i], boxes[k]
			p, q := point{float64(a.X + a.W*0.6), float64(a.Y + a.H*0.4)}, point{float64(b.X + b.W*0.4), float64(b.Y + b.H*0.6)}
			if d := math.Hypot(q.x-p.x, q.y-p.y); d > 40 {
				q = point{p.x + (q.x-p.x)*40/d, p.y + (q.y-p.y)*40/d}
			}
			s := h.draw(rng, []point{p, {(p.x+q.x)/2 + between(rng, -3, 3), (p.y+q.y)/2 + between(rng, -3, 3)}, q})
			w.paint(s, h.pen, rng.Uint32())
			w.entered(s, -1, "a stray line")
		})
		each(func() { // something written beside a box reaches into it
			b := boxes[rng.IntN(len(boxes))]
			r := rectOf(b)
			side := pick(rng, -1.0, 1.0)
			x, y := r.x+r.w/2+side*(r.w/2+between(rng, 0.3, 2)), r.y+r.h/2
			s := h.draw(rng, []point{{x + side*4, y + 1}, {x + side*1.5, y + 2}, {x + side*1.5, y + 2}, {x - side*between(rng, 0.5, 1.5), y - between(rng, 0.5, 1.5)}})
			w.paint(s, h.pen, rng.Uint32())
			w.entered(s, -1, "a mark from outside")
		})
		each(func() { w.happens("a smear", func() { w.smear(rng, w.near(rng)) }) })
		each(func() { w.happens("a fingerprint", func() { w.fingerprint(rng, w.near(rng)) }) })
		each(func() { w.happens("grease", func() { p := w.near(rng); w.grease(rng, p, between(rng, 3, 9)) }) })
		each(func() { w.happens("a coffee ring", func() { w.ring(rng, w.near(rng)) }) })
		each(func() { w.happens("a fold", func() { w.fold(rng, w.near(rng), between(rng, 0, math.Pi)) }) })
	}
	each(func() { w.happens("dust", func() { w.dust(rng) }) })
	if other != nil && other.Rect == w.img.Rect && chance(rng, o.Strays) {
		w.happens("the other side", func() { w.shine(other, between(rng, 0.05, 0.13)) })
	}
}

// near is a place on the page close to some box.
func (w *written) near(rng *rand.Rand) point {
	b := w.page.Boxes[rng.IntN(len(w.page.Boxes))]
	return point{float64(b.X) + float64(b.W)*rng.Float64() + between(rng, -4, 4), float64(b.Y) + float64(b.H)*rng.Float64() + between(rng, -4, 4)}
}

// anywhere is a place on the page.
func (w *written) anywhere(rng *rand.Rand) point {
	return point{between(rng, 15, float64(w.page.W)-15), between(rng, 15, float64(w.page.H)-15)}
}

// shade multiplies the grey around a place, up to r mm away, by what f gives for each
// place: x, y in mm from it.
func (c *canvas) shade(p point, r float64, f func(x, y float64) float64) {
	part := image.Rect(int((p.x-r)*c.ppm), int((p.y-r)*c.ppm), int((p.x+r)*c.ppm)+1, int((p.y+r)*c.ppm)+1).Intersect(c.img.Rect)
	for y := part.Min.Y; y < part.Max.Y; y++ {
		row := c.img.Pix[c.img.PixOffset(part.Min.X, y):]
		for i := range part.Dx() {
			k := f((float64(part.Min.X+i)+0.5)/c.ppm-p.x, (float64(y)+0.5)/c.ppm-p.y)
			if k != 1 {
				row[i] = uint8(min(max(float64(row[i])*k, 0), 255))
			}
		}
	}
}

// smooth goes from 0 at a to 1 at b.
func smooth(a, b, x float64) float64 {
	t := min(max((x-a)/(b-a), 0), 1)
	return t * t * (3 - 2*t)
}

// smear is where a sleeve or a thumb dragged ink or dirt along.
func (c *canvas) smear(rng *rand.Rand, p point) {
	turn, long, wide := between(rng, -0.5, 0.5), between(rng, 6, 18), between(rng, 1.5, 4)
	deep, seed := between(rng, 0.10, 0.3), rng.Uint32()
	cos, sin := math.Cos(turn), math.Sin(turn)
	c.shade(p, long, func(x, y float64) float64 {
		u, v := x*cos+y*sin, y*cos-x*sin
		if math.Abs(u) > long || math.Abs(v) > wide {
			return 1
		}
		streak := grain(u*0.15, v*3, seed)*0.7 + grain(u*0.8, v*8, seed+1)*0.3
		return 1 - deep*streak*smooth(long, 0.2*long, math.Abs(u))*smooth(wide, 0.5*wide, math.Abs(v))
	})
}

// fingerprint is an oily thumb: ridges around a middle.
func (c *canvas) fingerprint(rng *rand.Rand, p point) {
	turn, deep, seed := between(rng, -0.6, 0.6), between(rng, 0.15, 0.42), rng.Uint32()
	cos, sin := math.Cos(turn), math.Sin(turn)
	c.shade(p, 12, func(x, y float64) float64 {
		u, v := x*cos+y*sin, y*cos-x*sin
		d := math.Hypot(u/7.5, v/10.5)
		if d > 1 {
			return 1
		}
		wob := grain(u*0.35, v*0.35, seed) * 3
		ridge := 0.5 + 0.5*math.Sin((math.Hypot(u*1.15, v-3)+wob)*2*math.Pi/0.55)
		patch := smooth(0.25, 0.7, grain(u*0.4+9, v*0.4, seed+7))
		return 1 - deep*smooth(0.35, 0.75, ridge)*(0.35+0.65*patch)*smooth(1, 0.75, d)
	})
}

// grease makes the paper darker and clear, more at its rim.
func (c *canvas) grease(rng *rand.Rand, p point, r float64) {
	deep, seed := between(rng, 0.10, 0.34), rng.Uint32()
	c.shade(p, r*1.5, func(x, y float64) float64 {
		a := math.Atan2(y, x)
		edge := r * (0.78 + 0.5*grain(2.2*math.Cos(a)+5, 2.2*math.Sin(a)+5, seed))
		d := math.Hypot(x, y)
		if d > edge {
			return 1
		}
		body := 0.75 + 0.25*grain(x*0.6, y*0.6, seed+3)
		rim := 1 + 0.35*smooth(edge-1.2, edge-0.3, d)
		return 1 - deep*body*rim*smooth(edge, edge-0.9, d)
	})
}

// ring is what a wet cup leaves: a thin, uneven, brown line, open at places.
func (c *canvas) ring(rng *rand.Rand, p point) {
	r, deep, seed := between(rng, 32, 43), between(rng, 0.18, 0.42), rng.Uint32()
	wide := between(rng, 0.9, 2.2)
	a0 := between(rng, 0, 2*math.Pi) // the ring passes the place, somewhere
	mid := point{p.x + r*math.Cos(a0), p.y + r*math.Sin(a0)}
	c.shade(mid, r+5, func(x, y float64) float64 {
		d := math.Hypot(x, y)
		if d < r-5 || d > r+4 {
			return 1
		}
		cx, cy := x/d, y/d
		d += (grain(cx*3+4, cy*3+4, seed) - 0.5) * 0.9
		there := 0.15 + 0.85*smooth(0.25, 0.6, grain(cx*1.7+8, cy*1.7+8, seed+2))
		line := smooth(r-wide, r, d) * smooth(r+0.45, r, d)
		wash := 0.25 * smooth(r-4, r, d) * smooth(r+0.4, r, d)
		return 1 - deep*there*max(line, wash)
	})
}

// fold is a crease through a place: a pale line where ink broke off, a shadow beside it.
func (c *canvas) fold(rng *rand.Rand, p point, turn float64) {
	cos, sin, seed := math.Cos(turn), math.Sin(turn), rng.Uint32()
	deep := between(rng, 0.14, 0.34)
	h := float64(c.img.Rect.Dy())
	for y := range c.img.Rect.Dy() {
		row := c.img.Pix[y*c.img.Stride:]
		x0, x1 := 0, c.img.Rect.Dx()
		if math.Abs(sin) > 1e-3 { // only what lies close to the line
			at := p.x + ((float64(y)+0.5)/c.ppm-p.y)*cos/sin
			reach := 4 / math.Abs(sin)
			x0, x1 = max(0, int((at-reach)*c.ppm)), min(x1, int((at+reach)*c.ppm))
		} else if math.Abs(float64(y)/c.ppm-p.y) > 4 || h == 0 {
			continue
		}
		for x := x0; x < x1; x++ {
			u, v := (float64(x)+0.5)/c.ppm-p.x, (float64(y)+0.5)/c.ppm-p.y
			along := u*cos + v*sin
			d := v*cos - u*sin + (grain(along*0.35, 0, seed)-0.5)*0.5
			if math.Abs(d) > 3 {
				continue
			}
			g := float64(row[x])
			shadow := deep * (0.6 + 0.8*grain(along*1.5, 7, seed)) * smooth(1.6, 0.1, math.Abs(d)) * smooth(-0.25, 0.15, d)
			g *= 1 - shadow
			if k := smooth(0.28, 0.06, math.Abs(d)) * smooth(0.35, 0.7, grain(along*2.2, 3, seed)); k > 0 {
				g += (238 - g) * k * 0.8
			}
			row[x] = uint8(min(max(g, 0), 255))
		}
	}
}

// dust is specks and a hair or two.
func (c *canvas) dust(rng *rand.Rand) {
	w, h := float64(c.img.Rect.Dx())/c.ppm, float64(c.img.Rect.Dy())/c.ppm
	p := pen{tone: between(rng, 60, 130), cover: 0.9}
	for range 40 + rng.IntN(80) {
		x, y, r := between(rng, 0, w), between(rng, 0, h), between(rng, 0.04, 0.16)
		if chance(rng, 0.06) {
			r *= 2
		}
		c.paint(stroke{{x, y, r, 1}, {x + between(rng, -r, r), y + between(rng, -r, r), r * 0.8, 1}}, p, 0)
	}
	for range rng.IntN(3) {
		x, y, turn := between(rng, 0, w), between(rng, 0, h), between(rng, 0, 7)
		var pts []point
		for range 5 {
			pts = append(pts, point{x, y})
			turn += between(rng, -0.9, 0.9)
			x, y = x+2*math.Cos(turn), y+2*math.Sin(turn)
		}
		var s stroke
		for _, q := range curve(pts, 0.25) {
			s = append(s, node{q.x, q.y, 0.05, 0.8})
		}
		c.paint(s, p, 0)
	}
}

// shine lets the other side of the sheet show through: mirrored, soft, pale.
func (c *canvas) shine(other *image.Gray, much float64) {
	soft := clone(other)
	soften(soft, 0.28*c.ppm)
	w := c.img.Rect.Dx()
	for y := range c.img.Rect.Dy() {
		row, back := c.img.Pix[y*c.img.Stride:][:w], soft.Pix[y*soft.Stride:][:w]
		for x := range row {
			if d := 255 - float64(back[w-1-x]); d > 8 {
				row[x] = uint8(float64(row[x]) * (1 - much*d/255))
			}
		}
	}
}
