package figure

import (
	"math"

	"jobsheaf/internal/page"
)

// feature is a small drawing of one feature that is measured, for its row in a
// table: arrows from outside where a part is taken between the jaws, arrows from
// within where a bore is gauged. It has no words.
var feature = spec{
	name: "feature", what: "Where a feature is measured, small", least: 18,
	needs: append([]Need{
		{Name: "feature", Kind: Text, What: "the feature, as records name it", OneOf: featureNames()},
	}, teethNeeds...),
	draw: drawFeature,
}

// featureW and featureH are the size of a small drawing in units; at its usual
// width of 22 mm a unit is a millimetre.
const featureW, featureH = 22.0, 14.0

type featureDrawing struct {
	name string
	draw func(*pen, frame)
}

var featureDrawings = []featureDrawing{
	{"idler_pin_diameter", (*pen).featurePin},
	{"idler_bushing_bore", func(g *pen, f frame) { g.featureBushing(f, 5.2, g.inGear) }},
	{"idler_bore", func(g *pen, f frame) { g.featureBore(f, 4.2, 6.4) }},
	{"idler_bushing_outside", func(g *pen, f frame) { g.featureLoose(f) }},
	{"idler_length", (*pen).featureIdlerLength},
	{"rotor_outside", (*pen).featureRotor},
	{"rotor_width", (*pen).featureRotorWidth},
	{"shaft_journal", func(g *pen, f frame) { g.featureShaft(f, 9.6, true) }},
	{"shaft_at_seal", func(g *pen, f frame) { g.featureShaft(f, 15.4, false) }},
	{"shaft_runout", (*pen).featureRunout},
	{"bracket_bushing_bore", func(g *pen, f frame) { g.featureBushing(f, 6.4, g.inBracket) }},
	{"bracket_bore", func(g *pen, f frame) { g.featureBore(f, 4.2, 6.6) }},
	{"bracket_bushing_outside", func(g *pen, f frame) { g.featureLoose(f) }},
	{"casing_bore", (*pen).featureCasing},
	{"casing_depth", (*pen).featureDepth},
	{"crescent_thickness", (*pen).featureCrescent},
	{"head_face_groove", (*pen).featureGroove},
	{"head_gasket", (*pen).featureGasket},
	{"end_clearance", (*pen).featureClearance},
	{"key_width", (*pen).featureKey},
	{"o_ring_groove", (*pen).featureRingGroove},
}

func featureNames() []string {
	out := make([]string, len(featureDrawings))
	for i := range featureDrawings {
		out[i] = featureDrawings[i].name
	}
	return out
}

func drawFeature(g *pen) error {
	k := min(g.d.W/featureW, 2)
	f := frame{(g.d.W - featureW*k) / 2, 0, k}
	g.d.H = featureH * k
	for i := range featureDrawings {
		if featureDrawings[i].name == g.param("feature") {
			featureDrawings[i].draw(g, f)
		}
	}
	return nil
}

// jaws draws two arrows from outside onto what lies between two points.
func (g *pen) jaws(f frame, x1, y1, x2, y2 float64) {
	d := math.Hypot(x2-x1, y2-y1)
	dx, dy := (x2-x1)/d, (y2-y1)/d
	tail, size := 3.4*f.k, 2*min(1, f.k)
	ax, ay := f.at(x1, y1)
	bx, by := f.at(x2, y2)
	g.arrow(heavy, size, ax-dx*tail, ay-dy*tail, ax, ay)
	g.arrow(heavy, size, bx+dx*tail, by+dy*tail, bx, by)
}

// gauge draws a double arrow within a bore.
func (g *pen) gauge(f frame, x1, y1, x2, y2 float64) {
	ax, ay := f.at(x1, y1)
	bx, by := f.at(x2, y2)
	mx, my := (ax+bx)/2, (ay+by)/2
	g.arrow(heavy, 2, mx, my, ax, ay)
	g.arrow(heavy, 2, mx, my, bx, by)
}

func (g *pen) featurePin(f frame) {
	g.cut(f.polygon(1, 0.6, 5, 0.6, 5, 13.4, 1, 13.4), 45, 1.4)
	g.shape(plain, &white, f.rect(1, 4.2, 15, 5.6))
	g.centre(f, 0.4, 7, 18)
	g.jaws(f, 11, 4.2, 11, 9.8)
}

// featureBushing draws a bushing in section in what holds it.
func (g *pen) featureBushing(f frame, out float64, holder func(f frame, out float64)) {
	holder(f, out)
	for _, s := range []float64{-1, 1} {
		fy := frame{f.x, f.y + 7*f.k, f.k}
		g.cut(fy.mirror(s, 4, 3, 18, 3, 18, 4.4, 4, 4.4), 135, 0.9)
	}
	g.centre(f, 2, 7, 20)
	g.gauge(f, 11, 4, 11, 10)
}

// inGear is the idler round its bushing: its teeth are not hatched.
func (g *pen) inGear(f frame, out float64) {
	for _, s := range []float64{-1, 1} {
		fy := frame{f.x, f.y + 7*f.k, f.k}
		g.shape(plain, &white, fy.mirror(s, 4, out, 18, out, 18, 6.7, 4, 6.7))
		g.cut(fy.mirror(s, 4, 4.4, 18, 4.4, 18, out, 4, out), 45, 1)
	}
}

// inBracket is the bracket round its bushing, with the casing's flange.
func (g *pen) inBracket(f frame, out float64) {
	for _, s := range []float64{-1, 1} {
		fy := frame{f.x, f.y + 7*f.k, f.k}
		g.cut(fy.mirror(s, 4, 4.4, 20.5, 4.4, 20.5, out, 7, out, 7, 6.8, 4, 6.8), 45, 1.4)
	}
}

// featureBore draws the empty bore that a bushing is pressed into.
func (g *pen) featureBore(f frame, in, out float64) {
	for _, s := range []float64{-1, 1} {
		fy := frame{f.x, f.y + 7*f.k, f.k}
		g.cut(fy.mirror(s, 3, in, 19, in, 19, out, 3, out), 45, 1.4)
	}
	g.centre(f, 1, 7, 21)
	g.gauge(f, 11, 7-in, 11, 7+in)
}

// featureLoose draws a bushing by itself, measured outside.
func (g *pen) featureLoose(f frame) {
	for _, s := range []float64{-1, 1} {
		fy := frame{f.x, f.y + 7*f.k, f.k}
		g.cut(fy.mirror(s, 4, 1.6, 18, 1.6, 18, 3.2, 4, 3.2), 135, 0.9)
	}
	for _, x := range []float64{4, 18} {
		g.stroke(thin, f.line(x, 5.4, x, 8.6))
	}
	g.centre(f, 2, 7, 20)
	g.jaws(f, 11, 3.8, 11, 10.2)
}

func (g *pen) featureIdlerLength(f frame) {
	g.shape(plain, &white, f.rect(5.5, 1, 11, 12))
	for _, y := range []float64{2.6, 5, 9.4, 11.6} {
		g.stroke(thin, f.line(5.5, y, 16.5, y))
	}
	g.jaws(f, 5.5, 7.2, 16.5, 7.2)
}

// rotorEnd draws the rotor's teeth as seen from the head.
func (g *pen) rotorEnd(cx, cy, in, out float64, teeth int) {
	pitch := 360 / float64(teeth)
	for i := range teeth {
		g.shape(plain, &white, sector(cx, cy, in, out, pitch*float64(i)-pitch*0.27, pitch*0.54))
	}
}

func (g *pen) featureRotor(f frame) {
	cx, cy := f.at(11, 7)
	g.dashed(thin, dashes, page.Circle(cx, cy, 6.4*f.k))
	g.rotorEnd(cx, cy, 3.9*f.k, 6.4*f.k, g.rotorTeeth())
	g.jaws(f, 4.6, 7, 17.4, 7)
}

func (g *pen) featureRotorWidth(f frame) {
	for _, y := range []float64{1, 9.4} {
		g.shape(plain, &white, f.rect(5, y, 9, 3.6))
	}
	g.shape(plain, &white, f.rect(14, 0.6, 3, 12.8))
	g.shape(plain, &white, f.rect(17, 5, 4.6, 4))
	g.stroke(thin, f.line(5, 4.6, 5, 9.4))
	g.gauge(f, 5, 7, 14, 7)
}

// featureShaft draws the rotor with its shaft, measured at x; the journal runs in
// the bracket's bushing, which is dashed.
func (g *pen) featureShaft(f frame, x float64, journal bool) {
	g.shape(plain, &white, f.rect(0.6, 1, 4.4, 12))
	g.stroke(thin, f.line(3.4, 1, 3.4, 13))
	g.shape(plain, &white, f.rect(5, 4.4, 16, 5.2))
	if journal {
		g.dashed(thin, []float64{1, 0.7}, f.rect(6.2, 3.2, 7, 7.6))
	} else {
		for _, s := range []float64{-1, 1} { // the seal's rotary member, dashed
			fy := frame{f.x, f.y + 7*f.k, f.k}
			g.dashed(thin, []float64{1, 0.7}, fy.mirror(s, 10.6, 2.6, 13.4, 2.6, 13.4, 4.8, 10.6, 4.8))
		}
	}
	g.centre(f, 0.3, 7, 21.7)
	g.jaws(f, x, 4.4, x, 9.6)
}

func (g *pen) featureRunout(f frame) {
	g.shape(plain, &white, f.rect(1, 8, 3, 5.2))
	g.shape(plain, &white, f.rect(4, 9, 14.4, 3))
	for _, x := range []float64{6.5, 16} { // V-blocks
		g.shape(plain, &black, f.polygon(x-1.6, 13.4, x, 12, x+1.6, 13.4))
	}
	g.shape(plain, &white, f.circle(11, 3.4, 3))
	cx, cy := f.at(11, 3.4)
	x, y := clock(cx, cy, 2.2*f.k, 30)
	g.line(plain, cx, cy, x, y)
	g.shape(plain, &white, f.rect(10.6, 6.4, 0.8, 2.6))
	g.arcArrow(heavy, 1.8, f.x+18.2*f.k, f.y+10.5*f.k, 2.8*f.k, 25, 130)
}

func (g *pen) featureCasing(f frame) {
	cx, cy := f.at(11, 7)
	g.cut(ring(cx, cy, 5.2*f.k, 6.7*f.k), 45, 1.3)
	g.gauge(f, 5.8, 7, 16.2, 7)
}

// featureDepth draws the casing in section, its depth from the head's face.
func (g *pen) featureDepth(f frame) {
	for _, s := range []float64{-1, 1} {
		fy := frame{f.x, f.y + 7*f.k, f.k}
		g.cut(fy.mirror(s, 4, 4.8, 15, 4.8, 15, 1.6, 18, 1.6, 18, 6.6, 4, 6.6), 45, 1.4)
	}
	g.stroke(thin, f.line(4, 2.2, 4, 11.8))
	g.gauge(f, 4, 8.2, 15, 8.2)
}

func (g *pen) featureCrescent(f frame) {
	cx, cy := f.at(11, -4.4)
	ix, iy := f.at(11, -10.2)
	g.shape(plain, &white, crescentShape(cx, cy, ix, iy, 14*f.k, 15.6*f.k, 180, 46))
	g.jaws(f, 11, 5.4, 11, 9.6)
}

func (g *pen) featureGroove(f frame) {
	g.cut(f.polygon(1, 6.4, 5, 6.4, 6, 9, 16, 9, 17, 6.4, 21, 6.4, 21, 13.2, 1, 13.2), 45, 1.4)
	g.shape(plain, &white, f.rect(0.6, 3.8, 20.8, 2.6)) // straight edge
	g.gauge(f, 11, 6.4, 11, 9)
}

func (g *pen) featureGasket(f frame) {
	g.cut(f.polygon(2, 5.9, 20, 5.9, 20, 8.1, 2, 8.1), 45, 0.8)
	g.jaws(f, 11, 5.9, 11, 8.1)
}

// featureClearance draws the gap between rotor and head, far too wide.
func (g *pen) featureClearance(f frame) {
	g.cut(f.polygon(2, 0.6, 7.6, 0.6, 7.6, 13.4, 2, 13.4), 45, 1.4)
	g.cut(f.polygon(11.2, 1.6, 18, 1.6, 18, 12.4, 11.2, 12.4), 135, 1.4)
	g.shape(plain, &white, f.rect(18, 4.6, 3.4, 4.8))
	ax, ay := f.at(4.4, 7)
	bx, _ := f.at(7.6, 7)
	cx, _ := f.at(11.2, 7)
	dx, _ := f.at(14.4, 7)
	for _, x := range [2][2]float64{{ax, bx}, {dx, cx}} {
		g.add(page.Path{Segs: page.Polyline(x[0], ay, x[1], ay), Stroke: &white, Width: 4 * heavy})
		g.arrow(heavy, 2, x[0], ay, x[1], ay)
	}
}

func (g *pen) featureKey(f frame) {
	cx, cy := f.at(11, 8.6)
	g.cut(page.Circle(cx, cy, 5*f.k), 45, 1.4)
	g.fill(&white, f.rect(9.2, 1.2, 3.6, 4.6))
	g.shape(plain, &white, f.rect(9.2, 2, 3.6, 4.6))
	g.jaws(f, 9.2, 3.2, 12.8, 3.2)
}

func (g *pen) featureRingGroove(f frame) {
	g.cut(f.polygon(1, 4.6, 7, 4.6, 7, 10, 15, 10, 15, 4.6, 21, 4.6, 21, 13.2, 1, 13.2), 45, 1.4)
	g.gauge(f, 7, 7.6, 15, 7.6)
}
