package scribble

import (
	"math"
	"math/rand/v2"
)

// corner walks over the pixels near a corner of the page, cut off by a line that meets
// its edges at a and b mm: f gets each, how far it lies from the edges (u, v) and from
// that line (d, below 0 towards the corner), mm. which is 0 to 3: top left, top right,
// bottom left, bottom right.
func (w *written) corner(which int, a, b float64, f func(at *uint8, u, v, d float64)) {
	pw, ph := float64(w.page.W), float64(w.page.H)
	n := math.Hypot(1/a, 1/b)
	for y := range w.img.Rect.Dy() {
		v := (float64(y) + 0.5) / w.ppm
		if which&2 == 2 {
			v = ph - v
		}
		if v > 2*b {
			continue
		}
		for x := range w.img.Rect.Dx() {
			u := (float64(x) + 0.5) / w.ppm
			if which&1 == 1 {
				u = pw - u
			}
			if u < 2*a {
				f(&w.img.Pix[y*w.img.Stride+x], u, v, (u/a+v/b-1)/n)
			}
		}
	}
}

// dogEar folds a corner over: its corner mark is gone, the back of the sheet lies over
// what was there.
func (w *written) dogEar(rng *rand.Rand, which int) {
	a, b := between(rng, 19, 27), between(rng, 19, 27) // past the mark
	n := math.Hypot(1/a, 1/b)
	w.corner(which, a, b, func(at *uint8, u, v, d float64) {
		// The flap is the corner mirrored at the fold.
		mu, mv := u-2*d/a/n, v-2*d/b/n
		switch {
		case d < 0: // the bed of the scanner
			*at = 228
		case mu > 0 && mv > 0:
			*at = uint8(243 - 22*smooth(1.2, 0, d))
		case mu > -1.2 && mv > -1.2: // the flap's shadow
			*at = uint8(float64(*at) * (1 - 0.3*smooth(1.2, 0, -min(mu, mv))))
		}
	})
}

// torn takes a corner away along a ragged line.
func (w *written) torn(rng *rand.Rand, which int) {
	seed := rng.Uint32()
	w.corner(which, between(rng, 22, 36), between(rng, 22, 36), func(at *uint8, u, v, d float64) {
		along := u - v
		d += (grain(along*0.18, 0, seed)-0.5)*6 + (grain(along*1.1, 5, seed)-0.5)*1.2
		switch {
		case d < -0.25:
			*at = 224
		case d < 0: // the shadow of the edge
			*at = 150
		case d < 0.7+0.8*grain(along*0.8, 9, seed): // fibres without print
			*at = max(*at, 236)
		}
	})
}

// holes punches the left margin twice (ISO 838: 6 mm, 80 mm apart, 12 mm from the edge)
// and leaves a staple in the corner.
func (w *written) holes(rng *rand.Rand) {
	h := float64(w.page.H)
	x := 12 + between(rng, -1, 1)
	for _, y := range []float64{h/2 - 40, h/2 + 40} {
		y += between(rng, -1, 1)
		w.shade(point{x, y}, 4, func(u, v float64) float64 {
			d := math.Hypot(u, v)
			if d > 3.3 {
				return 1
			}
			if d > 3 {
				return 0.8
			}
			return 0.30 + 0.1*smooth(-2, 2, u+v) // the dark lid behind
		})
	}
	sx, sy, turn := between(rng, 5, 9), between(rng, 5, 9), between(rng, -0.9, 0.2)
	s := stroke{{sx, sy, 0.28, 1}, {sx + 11*math.Cos(turn)*0.9, sy + math.Abs(11*math.Sin(turn)), 0.28, 1}}
	w.paint(stroke{{s[0].x + 0.3, s[0].y + 0.5, 0.3, 0.5}, {s[1].x + 0.3, s[1].y + 0.5, 0.3, 0.5}}, pen{tone: 120, cover: 0.7}, 0)
	w.paint(s, pen{tone: 85, cover: 0.95}, 0)
	w.paint(stroke{{s[0].x, s[0].y - 0.1, 0.08, 1}, {s[1].x, s[1].y - 0.1, 0.08, 1}}, pen{tone: 60, cover: 0.8}, 0)
}

// lowToner prints pale bands along the way of the paper and drops bits of the print.
func (w *written) lowToner(rng *rand.Rand) {
	seed, pale := rng.Uint32(), between(rng, 0.35, 0.5)
	width := w.img.Rect.Dx()
	band := make([]float64, width)
	for x := range band {
		mm := float64(x) / w.ppm
		band[x] = pale * (0.5 + smooth(0.3, 0.75, grain(mm*0.03, 0, seed)))
	}
	for y := range w.img.Rect.Dy() {
		row := w.img.Pix[y*w.img.Stride:][:width]
		for x, g := range row {
			if g == 255 {
				continue
			}
			k := band[x]
			if grain(float64(x)/w.ppm*4, float64(y)/w.ppm*4, seed+1) > 0.86 {
				k = min(1, k+0.45)
			}
			row[x] = uint8(255 - float64(255-g)*(1-k))
		}
	}
}
