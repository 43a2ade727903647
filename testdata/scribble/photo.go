package scribble

import (
	"image"
	"math"
	"math/rand/v2"
)

// photo is how a telephone sees a page: strong is a hasty one, late in the day.
type photo struct {
	w, h        int     // pixels
	fill, bend  float64 // how much of the picture the page takes; how far its corners are off, by its size
	blur        float64 // pixels
	dark, noise float64 // how much darker the worst corner is; grey levels of noise
	quality     int     // of its JPEG
}

var (
	mild   = photo{w: 2304, h: 3072, fill: 0.92, bend: 0.03, blur: 0.8, dark: 0.22, noise: 2.5, quality: 85}
	strong = photo{w: 1944, h: 2592, fill: 0.86, bend: 0.085, blur: 1.1, dark: 0.5, noise: 6, quality: 62}
)

// take makes the picture: a page on a bench, seen from the side, unevenly lit. Its
// resolution is not known any more.
func (f photo) take(w *written, rng *rand.Rand) *image.YCbCr {
	ratio := float64(w.page.W / w.page.H)
	ph := f.fill * min(float64(f.h), float64(f.w)/ratio)
	pw := ph * ratio
	x0, y0 := (float64(f.w)-pw)/2, (float64(f.h)-ph)/2
	off := func() float64 { return between(rng, -1, 1) * f.bend * pw }
	to := [4]point{{x0 + off(), y0 + off()}, {x0 + pw + off(), y0 + off()}, {x0 + off(), y0 + ph + off()}, {x0 + pw + off(), y0 + ph + off()}}
	for i := range to { // all of the page is in the picture
		to[i].x, to[i].y = min(max(to[i].x, 6), float64(f.w)-6), min(max(to[i].y, 6), float64(f.h)-6)
	}
	src := w.img
	if k := float64(src.Rect.Dx()) / pw; k > 1.1 {
		src = clone(src)
		soften(src, 0.3*k)
	}
	tones(src, span(22, 248))
	// Tone 1 is where the bench is: no paper is that dark after span.
	pic := warp(src, f.w, f.h, onto(float64(w.img.Rect.Dx()), float64(w.img.Rect.Dy()), to), 1)
	seed := rng.Uint32()
	table := between(rng, 60, 120)
	// Light falls off to one side; a shadow, of the hand that holds the telephone, lies over a corner.
	a := between(rng, 0, 2*math.Pi)
	lx, ly := math.Cos(a), math.Sin(a)
	sx, sy, sr := between(rng, -0.3, 1.3), between(rng, 0.5, 1.3), between(rng, 0.3, 0.6)
	shadow := f.dark * between(rng, 0.2, 0.6)
	glow := between(rng, 0.86, 0.96)
	const cell = 16 // light changes slowly: worked out in cells and mixed
	cw, ch := f.w/cell+2, f.h/cell+2
	light := make([]float64, cw*ch)
	for y := range ch {
		for x := range cw {
			u, v := float64(x*cell)/float64(f.w), float64(y*cell)/float64(f.h)
			k := glow * (1 - f.dark*smooth(-0.75, 0.75, (u-0.5)*lx+(v-0.5)*ly))
			k *= 1 - 0.12*((u-0.5)*(u-0.5)+(v-0.5)*(v-0.5))
			k *= 1 - shadow*smooth(sr, sr-0.18, math.Hypot(u-sx, (v-sy)*1.3))
			light[y*cw+x] = k
		}
	}
	for y := range f.h {
		row := pic.Pix[y*pic.Stride:][:f.w]
		fy := float64(y%cell) / cell
		l0, l1 := light[y/cell*cw:], light[(y/cell+1)*cw:]
		board := 0.0
		for x, g := range row {
			cx, fx := x/cell, float64(x%cell)/cell
			top, low := l0[cx]+(l0[cx+1]-l0[cx])*fx, l1[cx]+(l1[cx+1]-l1[cx])*fx
			v := float64(g)
			if g < 14 { // the bench: boards with a grain
				if x%8 == 0 || board == 0 {
					board = table * (0.7 + 0.4*grain(float64(x)*0.004, float64(y)*0.06, seed) + 0.2*grain(float64(x)*0.03, float64(y)*0.35, seed+1))
				}
				v = board
			}
			row[x] = uint8(v*(top+(low-top)*fy) + 0.5)
		}
	}
	soften(pic, f.blur)
	speckle(pic, rng, f.noise)
	return f.colour(pic, rng)
}

// colour gives a picture the warm tint of a lamp and noise of many colours.
func (f photo) colour(pic *image.Gray, rng *rand.Rand) *image.YCbCr {
	out := image.NewYCbCr(pic.Rect, image.YCbCrSubsampleRatio420)
	for y := range f.h {
		copy(out.Y[y*out.YStride:], pic.Pix[y*pic.Stride:][:f.w])
	}
	warm := between(rng, -4, 14)
	k := int(f.noise * 0.8 * 16)
	for y := range f.h / 2 {
		cb, cr := out.Cb[y*out.CStride:][:f.w/2], out.Cr[y*out.CStride:][:f.w/2]
		from := noise[rng.IntN(1<<16-1<<13):]
		for x := range cb {
			cb[x] = uint8(128 - int(warm) + int(from[x])*k>>12)
			cr[x] = uint8(128 + int(warm*0.7) + int(from[x+4000])*k>>12)
		}
	}
	return out
}
