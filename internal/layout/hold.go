package layout

import (
	"math"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

const (
	holdBand = 6.2 // least height of the band of a hold point
	stopSize = 2.1 // radius of its stop sign
)

// hold draws a hold point: a heavy box with a black band, that says who signs,
// and one row of boxes to sign in.
func (f *flow) hold(h *packet.Hold) {
	f.reset()
	f.blanks = f.blanks[:0]
	f.begin()
	x, w := f.left, f.width
	in, inner := x+frame+clear+outline, w-2*(frame+clear+outline)
	word := f.text(f.words.say("hold"), face{page.Bold, sizeStep, white}, inner)
	left := in + 2*stopSize + gapSmall + f.widest(word) + gapSmall
	says := f.text(f.words.say("hold_signs", "role", h.Role), face{page.Bold, sizeBody, white}, in+inner-left)
	band := max(holdBand, says.h+gapTight)
	f.fill(x, 0, w, band, &black)
	f.stopSign(in+stopSize, band/2, stopSize)
	f.draw(word, in+2*stopSize+gapSmall, (band-word.h)/2, flushLeft)
	f.draw(says, left, (band-says.h)/2, flushLeft)
	s := f.above(h.Blanks, inner, whole)
	y := band + gapTight/2
	f.drawStack(s, in, y)
	y += s.h + clear + outline + frame
	f.frame(x, 0, w, y, frame, &black)
	f.end(gapSmall, y, joined)
	// What follows keeps its distance, so that the frame closes the step.
	f.begin()
	f.end(0, stepFoot, fast)
}

// stopSign draws a white octagon about a point.
func (f *flow) stopSign(x, y, r float64) {
	var at [16]float64
	for i := range 8 {
		s, c := math.Sincos((float64(i) + 0.5) * math.Pi / 4)
		at[2*i], at[2*i+1] = x+r*c, y+r*s
	}
	f.path(page.Path{Fill: &white}, page.Polygon(at[:]...)...)
	f.fill(x-r*0.55, y-0.3, r*1.1, 0.6, &black)
}
