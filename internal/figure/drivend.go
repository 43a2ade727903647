package figure

import "jobsheaf/internal/page"

// Radii of the drive end in the section's units. What comes off toward the
// shaft end has to pass what stays: the seal holder leaves through the thread of
// the bearing housing.
const (
	shaftR  = 6.0  // shaft from the rotor to the bearing
	neckR   = 5.0  // shaft in the bearing where a shoulder holds the collar
	collarR = 9.4  // outside of both collars, on which the lip seals run
	lipR    = 13.4 // bore that a lip seal is pressed into
	boxR    = 16.0 // bore of the stuffing box
	holderR = 21.2 // outside of the seal holder
	threadR = 22.0 // thread of the bearing housing in the bracket
)

// driveEnd is the bearing housing with all that is in it.
type driveEnd struct {
	taper        bool   // a pair of tapered roller bearings, else a ball bearing
	halves       bool   // half rings hold the inner collar, else a shoulder of the shaft
	inner, outer string // where the lips point; empty for crossed blocks
}

// seat is the radius of the shaft in the bearing.
func (d driveEnd) seat() float64 {
	if d.halves {
		return shaftR
	}
	return neckR
}

// driveEndShaft draws the shaft from x on to its end, with thread and key.
func (g *pen) driveEndShaft(f frame, d driveEnd, x float64) {
	s := d.seat()
	g.shape(plain, &white, f.polygon(x, -shaftR, 104.8, -shaftR, 104.8, -s, 157, -s, 158, -s+1, 158, s-1, 157, s, 104.8, s, 104.8, shaftR, x, shaftR))
	if !d.halves {
		g.stroke(plain, f.line(104.8, -shaftR, 104.8, shaftR))
	}
	for _, side := range []float64{-1, 1} { // the nut's thread
		g.stroke(thin, f.line(139.8, side*(s-0.7), 148, side*(s-0.7)))
	}
	g.shape(thin, &white, f.rect(149.5, -2, 7.5, 4))
}

// bearingPart draws one side of the bearing housing: -1 above the axis, 1 below.
func (g *pen) bearingPart(f frame, d driveEnd, side float64) {
	s := d.seat()
	g.cut(f.mirror(side, 104, lipR, 109.8, lipR, 109.8, 11, 111, 11, 111, 15.2, 113, 15.2, 113, 17, 138, 17, 138, 25, 134.5, 25, 134.5, threadR, 104, threadR), 135, 1.6)
	g.cut(f.mirror(side, 125.2, 14.4, 130.2, 14.4, 130.2, 11, 131.2, 11, 131.2, lipR, 139.4, lipR, 139.4, 17, 125.2, 17), 45, 1.4)
	// The inner collar is hollow toward the rotor where half rings sit in it.
	if d.halves {
		g.cut(f.mirror(side, 104.8, 8.1, 108.8, 8.1, 108.8, s, 113, s, 113, collarR, 104.8, collarR), 135, 1)
		g.shape(plain, &black, f.mirror(side, 105.1, s-1.6, 108.4, s-1.6, 108.4, 7.7, 105.1, 7.7))
	} else {
		g.cut(f.mirror(side, 104.8, s, 113, s, 113, collarR, 104.8, collarR), 135, 1)
	}
	g.cut(f.mirror(side, 125, s, 139.6, s, 139.6, collarR, 125, collarR), 135, 1)
	g.lipSeal(f, side, 104.6, 109.4, d.inner)
	g.lipSeal(f, side, 131.5, 136.3, d.outer)
	g.fill(&black, f.mirror(side, 139.8, s, 141.2, s, 141.2, 11.4, 139.8, 11.4)) // lock washer
	g.cut(f.mirror(side, 141.2, s, 146.4, s, 146.4, 10.4, 141.2, 10.4), 45, 1)
	if d.taper {
		g.taperedPair(f, s, side)
	} else {
		g.ballBearing(f, s, side)
	}
}

// taperedPair draws two tapered roller bearings that the end cap adjusts: it
// presses on the second outer ring, so the wide ends of the outer rings are
// toward each other and the large ends of the inner rings touch.
func (g *pen) taperedPair(f frame, s, side float64) {
	for _, to := range []float64{-1, 1} { // from the middle of the pair
		x := func(t float64) float64 { return 119 + to*t }
		// A cut along the cone: small end outside, large end in the middle.
		g.cut(f.mirror(side, x(0.1), s, x(6), s, x(6), 8.8, x(5.4), 8.8, x(5.4), 8, x(1), 10.2, x(1), 11, x(0.1), 11), 45, 1)
		g.cut(f.mirror(side, x(5.9), 17, x(0.7), 17, x(0.7), 15.5, x(5.9), 12.9), 135, 1)
		g.shape(plain, &white, f.mirror(side, x(5.2), 8.3, x(1.2), 10.3, x(1.2), 15.1, x(5.2), 13.1))
	}
}

// ballBearing draws a ball bearing of two rows.
func (g *pen) ballBearing(f frame, s, side float64) {
	g.cut(f.mirror(side, 113, s, 125, s, 125, 9.6, 113, 9.6), 45, 1)
	g.cut(f.mirror(side, 113, 13.4, 125, 13.4, 125, 17, 113, 17), 135, 1)
	for _, x := range []float64{116.1, 121.9} {
		g.shape(plain, &white, f.circle(x, side*11.5, 2.6))
	}
}

// lipSeal draws a lip seal that runs on a collar, its open side toward the
// rotor or the shaft end. Where the way is not said it is a crossed block, as is
// the custom.
func (g *pen) lipSeal(f frame, side, x1, x2 float64, way string) {
	if way == "" {
		g.crossed(f, x1, x2, side, collarR, lipR)
		return
	}
	back, open := x1, x2
	if way == "rotor" {
		back, open = x2, x1
	}
	// In parts of the seal's width and height: case, back wall, and the lip that
	// comes down to the collar at the open side.
	outline := []float64{0, 1, 1, 1, 1, 0.88, 0.2, 0.88, 0.2, 0.5, 0.42, 0.34, 0.6, 0.24, 0.9, 0.3, 0.96, 0.2, 0.8, 0, 0.7, 0, 0.5, 0.14, 0, 0.3}
	for i := 0; i < len(outline); i += 2 {
		outline[i] = back + (open-back)*outline[i]
		outline[i+1] = collarR + (lipR-collarR)*outline[i+1]
	}
	g.fill(&black, f.mirror(side, outline...))
	x, y := f.at(back+(open-back)*0.74, side*(collarR+(lipR-collarR)*0.42))
	g.shape(thin, &white, page.Circle(x, y, 0.42*f.k))
}

// faceScrew draws the screw that jams the thread of the bearing housing: it
// draws the housing together over a slit.
func (g *pen) faceScrew(f frame, side float64) {
	g.fill(&white, f.mirror(side, 130.6, 17.6, 131.5, 17.6, 131.5, threadR, 130.6, threadR))
	for _, x := range []float64{130.6, 131.5} {
		g.stroke(thin, f.mirror(side, x, 17.6, x, threadR))
	}
	g.screw(f, side, 138, 135.6, 124.5, 19.6, 1)
	g.fill(&black, f.mirror(side, 136.4, 18.9, 138.1, 18.9, 138.1, 20.3, 136.4, 20.3)) // its socket
}

// radialScrew draws the screw that locks the end cap, on its soft plug.
func (g *pen) radialScrew(f frame, side float64) {
	g.shape(plain, &white, f.mirror(side, 135.2, 18.6, 137.2, 18.6, 137.2, 25.2, 135.2, 25.2))
	for _, x := range []float64{135.7, 136.7} {
		g.stroke(thin, f.mirror(side, x, 18.8, x, 24))
	}
	g.fill(&black, f.mirror(side, 135.2, 17, 137.2, 17, 137.2, 18.6, 135.2, 18.6))
}

// screw draws a screw along the axis at the radius y: its head from the top to
// the face that it bears on, its shank with its thread to the tip.
func (g *pen) screw(f frame, side, top, face, tip, y, half float64) {
	g.shape(plain, &white, f.mirror(side, face, y-half, tip, y-half, tip, y+half, face, y+half))
	for _, e := range []float64{-0.6, 0.6} {
		g.stroke(thin, f.mirror(side, (face+tip)/2, y+e*half, tip, y+e*half))
	}
	g.shape(plain, &white, f.mirror(side, top, y-1.8*half, face, y-1.8*half, face, y+1.8*half, top, y+1.8*half))
}

// plug draws a threaded plug that closes a radial hole from the radius in to
// out, with a square head on it.
func (g *pen) plug(f frame, side, x, half, in, out float64) {
	g.shape(plain, &white, f.mirror(side, x-half, in, x+half, in, x+half, out, x-half, out))
	for _, e := range []float64{-0.6, 0.6} {
		g.stroke(thin, f.mirror(side, x+e*half, (in+out)/2, x+e*half, out))
	}
	g.shape(plain, &white, f.mirror(side, x-0.8*half, out, x+0.8*half, out, x+0.8*half, out+2.4, x-0.8*half, out+2.4))
}

// crossed draws a soft seal in section as a crossed block, as is the custom.
func (g *pen) crossed(f frame, x1, x2, side, y1, y2 float64) {
	g.shape(plain, &white, f.mirror(side, x1, y1, x2, y1, x2, y2, x1, y2))
	g.stroke(thin, f.mirror(side, x1, y1, x2, y2))
	g.stroke(thin, f.mirror(side, x2, y1, x1, y2))
}
