package scribble

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

// noise has normal deviates, scaled by 1/16 of a grey level; a shot reads them from
// somewhere in it, row by row.
var noise = func() []int16 {
	rng := rand.New(rand.NewPCG(12, 12))
	out := make([]int16, 1<<16+1<<13)
	for i := range out {
		out[i] = int16(rng.NormFloat64() * 16 * 16)
	}
	return out
}()

// speckle adds noise of sigma grey levels.
func speckle(g *image.Gray, rng *rand.Rand, sigma float64) {
	k := int(sigma * 16)
	w := g.Rect.Dx()
	for y := range g.Rect.Dy() {
		row := g.Pix[y*g.Stride:][:w]
		for x := 0; x < w; x += 1 << 12 {
			from := noise[rng.IntN(1<<16):]
			for i := range row[x:min(w, x+1<<12)] {
				v := int(row[x+i]) + int(from[i])*k>>12
				row[x+i] = uint8(min(max(v, 0), 255))
			}
		}
	}
}

// tones sends each grey through a curve.
func tones(g *image.Gray, f func(v float64) float64) {
	var t [256]uint8
	for i := range t {
		t[i] = uint8(min(max(f(float64(i)), 0), 255))
	}
	for i, v := range g.Pix {
		g.Pix[i] = t[v]
	}
}

// span is a curve that puts black at one grey and white at another.
func span(black, white float64) func(float64) float64 {
	return func(v float64) float64 { return black + v*(white-black)/255 }
}

// contrast steepens around a middle: k above 1 is a copier, below 1 a tired one.
func contrast(mid, k float64) func(float64) float64 {
	return func(v float64) float64 { return 255 / (1 + math.Exp(-k*(v-mid)/45)) }
}

// glass is a plain scanner: the page lies a little askew on it, its lens softens, its
// black is not quite black. skew in degrees, dx and dy in mm, scale by 1. Resolution
// and size stay.
func (w *written) glass(rng *rand.Rand, skew, dx, dy, scale, soft float64) {
	skew += between(rng, -0.15, 0.15)
	dx, dy = dx+between(rng, -0.5, 0.5), dy+between(rng, -0.5, 0.5)
	pw, ph := w.img.Rect.Dx(), w.img.Rect.Dy()
	cx, cy := float64(pw)/2, float64(ph)/2
	m := shift(-cx-dx*w.ppm, -cy-dy*w.ppm).then(turn(-skew)).then(zoom(1 / scale)).then(shift(cx, cy))
	w.img = warp(w.img, pw, ph, m, 246)
	soften(w.img, soft*w.ppm/7.9)
	tones(w.img, span(between(rng, 14, 30), between(rng, 240, 250)))
	speckle(w.img, rng, between(rng, 1.2, 2.4))
}

// bed is the page lying crooked on a larger scan bed, whose tone is under; its edge
// throws a thin shadow on white.
func (w *written) bed(rng *rand.Rand, under uint8, skew float64) {
	pw, ph := float64(w.img.Rect.Dx()), float64(w.img.Rect.Dy())
	bw, bh := int(pw+34*w.ppm), int(ph+30*w.ppm)
	x, y := between(rng, 8, 24)*w.ppm, between(rng, 8, 20)*w.ppm
	for i := range w.img.Rect.Dx() { // the edges of the sheet can be seen
		for k := range 2 {
			w.img.Pix[k*w.img.Stride+i], w.img.Pix[(w.img.Rect.Dy()-1-k)*w.img.Stride+i] = 205, 190
		}
	}
	for i := range w.img.Rect.Dy() {
		for k := range 2 {
			w.img.Pix[i*w.img.Stride+k], w.img.Pix[i*w.img.Stride+w.img.Rect.Dx()-1-k] = 205, 190
		}
	}
	m := shift(-x-pw/2, -y-ph/2).then(turn(-skew)).then(shift(pw/2, ph/2))
	w.img = warp(w.img, bw, bh, m, under)
	soften(w.img, 0.6)
	tones(w.img, span(16, 247))
	speckle(w.img, rng, 2)
}

// copied is what comes out of a copier: the page scanned, its contrast changed, printed
// again with grain. skew in degrees, scale by 1.
func (w *written) copied(rng *rand.Rand, skew, scale float64, curve func(float64) float64, dirt float64) {
	pw, ph := w.img.Rect.Dx(), w.img.Rect.Dy()
	cx, cy := float64(pw)/2, float64(ph)/2
	w.img = warp(w.img, pw, ph, shift(-cx, -cy).then(turn(-skew)).then(zoom(1/scale)).then(shift(cx, cy)), 250)
	soften(w.img, 0.11*w.ppm)
	speckle(w.img, rng, dirt)
	tones(w.img, curve)
	speckle(w.img, rng, dirt*0.6)
}

// resample changes the resolution.
func (w *written) resample(dpi float64) {
	k := dpi / (w.ppm * 25.4)
	if k < 1 {
		soften(w.img, 0.35/k)
	}
	nw, nh := int(math.Round(float64(w.img.Rect.Dx())*k)), int(math.Round(float64(w.img.Rect.Dy())*k))
	w.img = warp(w.img, nw, nh, zoom(1/k), 250)
	w.ppm *= k
}

// otsu gives the grey that parts a picture's two kinds of pixels best (Otsu, A
// threshold selection method from gray-level histograms, 1979).
func otsu(g *image.Gray) uint8 {
	var hist [256]float64
	for _, v := range g.Pix {
		hist[v]++
	}
	total, sum := float64(len(g.Pix)), 0.0
	for i, n := range hist {
		sum += float64(i) * n
	}
	best, at, below, part := -1.0, 128, 0.0, 0.0
	for i, n := range hist {
		below += n
		part += float64(i) * n
		if below == 0 || below == total {
			continue
		}
		d := part/below - (sum-part)/(total-below)
		if s := below * (total - below) * d * d; s > best {
			best, at = s, i
		}
	}
	return uint8(at)
}

// bilevel makes each pixel black or white.
func bilevel(g *image.Gray, threshold uint8) {
	for i, v := range g.Pix {
		if v <= threshold {
			g.Pix[i] = 0
		} else {
			g.Pix[i] = 255
		}
	}
}

// throughJPEG encodes a picture and reads it back: what is left is what a reader gets.
func throughJPEG(img image.Image, quality int) (*image.Gray, []byte) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		panic(err) // a buffer takes everything, and no page is 65536 pixels wide
	}
	back, err := jpeg.Decode(bytes.NewReader(b.Bytes()))
	if err != nil {
		panic(err)
	}
	return grey(back), b.Bytes()
}

// grey gives a picture's brightness.
func grey(img image.Image) *image.Gray {
	r := img.Bounds()
	out := image.NewGray(image.Rect(0, 0, r.Dx(), r.Dy()))
	for y := range r.Dy() {
		row := out.Pix[y*out.Stride:][:r.Dx()]
		switch src := img.(type) {
		case *image.Gray:
			copy(row, src.Pix[src.PixOffset(r.Min.X, r.Min.Y+y):])
		case *image.YCbCr:
			copy(row, src.Y[src.YOffset(r.Min.X, r.Min.Y+y):])
		default:
			for x := range row {
				row[x] = color.GrayModel.Convert(img.At(r.Min.X+x, r.Min.Y+y)).(color.Gray).Y
			}
		}
	}
	return out
}
