package figure

import (
	"fmt"
	"math"

	"jobsheaf/internal/page"
)

// housingMarks is the face of the bearing housing as the mechanic stands before
// it. The arc between the casing marks is to scale with the housing: its angle
// is travel over radius.
var housingMarks = spec{
	name: "housing-marks", what: "Bearing-housing face with its two casing marks", least: 85,
	needs: []Need{
		{Name: "diameter", Kind: Number, What: "outside diameter of the bearing housing, mm", Low: 40, High: 800},
		{Name: "travel", Kind: Number, What: "mark-to-mark travel on the outside, mm", Low: 0.1, High: 2520},
		{Name: "travel", Kind: Text, What: "the travel as printed elsewhere, with its unit"},
		{Name: "clearance", Kind: Text, What: "the end clearance that it sets, as printed elsewhere", Optional: true},
		turnIn,
	},
	words: []string{"housing_turn_in", "housing_turn_back", "housing_mark_zero", "housing_mark_set", "housing_mark", "housing_fixed", "enlarged"},
	draw:  drawHousingMarks,
}

// turnIn is the way the housing is screwed in. It decides on which side the
// second mark goes, so nothing is assumed.
var turnIn = Need{Name: "turn_in", Kind: Text, What: "the way that screws the housing in, seen from the shaft end", OneOf: []string{"cw", "ccw"}}

// arcAngle gives the angle in degrees that an arc on the outside of a circle
// stands for. Source: definition of the radian.
func arcAngle(arc, diameter float64) float64 { return arc / (diameter / 2) * 180 / math.Pi }

// farthest is the largest angle between the marks: beyond it the second mark
// comes round to the first.
const farthest = 330

func drawHousingMarks(g *pen) error {
	d, travel := g.num("diameter"), g.num("travel")
	theta := arcAngle(travel, d)
	if theta > farthest {
		return fmt.Errorf("number \"travel\" is %v mm, outside 0.1 to %.4g mm on a diameter of %v mm: the marks would meet", travel, farthest/360*math.Pi*d, d)
	}
	back := -1.0 // turning back, as a clockwise sign
	if g.param("turn_in") == "ccw" {
		back = 1
	}
	const ringW, foot = 6.0, 6.0
	r := 0.185 * g.d.W
	if r > 45 {
		r = 45
	}
	outer := r + ringW + 2*ball + 0.8
	// The arc lies about three o'clock, beside the words.
	zero, set := 90-back*theta/2, 90+back*theta/2

	// The column of words, from its top: what to do, the travel, the marks.
	x := 2*outer + 5
	w := g.d.W - x
	big := font{page.Bold, 11}
	boxH := big.tall(w-5, g.param("travel")) + 1.5
	if c := g.param("clearance"); c != "" {
		boxH += work.tall(w-5, c)
	}
	inset := 2*ball + 1.6
	doing := []entry{{"A", g.words("housing_turn_in")}, {"1", g.words("housing_mark_zero")}, {"B", g.words("housing_turn_back")}}
	above := 1.0
	for _, e := range doing {
		above += max(note.tall(w-inset, e.text), 2*ball+0.3) + 0.9
	}
	small := theta*math.Pi/180*(r+ringW+ball) < 2*ball+1.2
	lens := 0.0
	if small {
		lens = min(13, w/3)
		above += note.lead() + 1.5
	}
	cy := outer
	if need := above + lens*2 + boxH/2; need > cy {
		cy = need
	}
	cx := outer
	g.housingFace(cx, cy, r, ringW, foot)

	// Marks on the drawing of the whole.
	g.marksAt(cx, cy, r, ringW, zero, set, !small)
	g.turnArrows(cx, cy, r, zero, back, theta)

	bottom := g.legend(note, x, cy-boxH/2-2*lens-above, w, 1, doing)
	boxY := max(bottom+1, cy-boxH/2)
	if small {
		lx, ly := x+w/2, bottom+lens+0.5
		g.magnified(cx+r, cy, lx, ly, lens, r, theta, back)
		boxY = g.middle(note, lx-w/2, ly+lens+0.5, w, g.words("enlarged")) + 0.8
	} else {
		g.line(thin, cx+r, cy, cx+r+ringW+1, cy, x, boxY+boxH/2)
	}
	g.shape(plain, &white, page.Rect(x, boxY, w-0.5, boxH))
	y := g.para(big, x+2, boxY+0.7, w-5, g.param("travel"))
	if c := g.param("clearance"); c != "" {
		g.para(work, x+2, y, w-5, c)
	}
	y = g.legend(note, x, boxY+boxH+1.5, w, 1, []entry{{"2", g.words("housing_mark_set")}, {"▲", g.words("housing_mark")}})
	low := cy + r + ringW + foot
	low = g.middle(note, 0, low+0.8, 2*outer, g.words("housing_fixed"))
	g.d.H = max(y, low) + 0.5
	return nil
}

// housingFace draws the fixed part around, on its foot, and the housing in it.
func (g *pen) housingFace(cx, cy, r, ringW, foot float64) {
	out := r + ringW
	g.shape(plain, &white, page.Polygon(cx-out*0.55, cy+out*0.7, cx-out*0.75, cy+out+foot, cx+out*0.75, cy+out+foot, cx+out*0.55, cy+out*0.7))
	g.shape(plain, &white, page.Circle(cx, cy, out))
	g.hatch(ring(cx, cy, r, out), 45, 2.2)
	g.shape(heavy, &white, page.Circle(cx, cy, r))
	g.shape(plain, &white, page.Circle(cx, cy, r*0.13))
	g.fill(&black, page.Rect(cx-r*0.035, cy-r*0.15, r*0.07, r*0.07))
	// A little cross marks the axis, about which it turns.
	g.line(thin, cx-1, cy, cx+1, cy)
	g.line(thin, cx, cy-1, cx, cy+1)
}

// marksAt draws the two marks on the fixed part and the housing's own mark at
// the first of them.
func (g *pen) marksAt(cx, cy, r, ringW, zero, set float64, bubbles bool) {
	for i, a := range []float64{zero, set} {
		x1, y1 := clock(cx, cy, r, a)
		x2, y2 := clock(cx, cy, r+ringW, a)
		g.add(page.Path{Segs: page.Polyline(x1, y1, x2, y2), Stroke: &white, Width: 3 * heavy})
		g.line(heavy, x1, y1, x2, y2)
		if bubbles {
			x, y := clock(cx, cy, r+ringW+ball+0.2, a)
			g.bubble(x, y, fmt.Sprint(i+1))
		}
	}
	// The travel itself, along the rim.
	g.add(page.Path{Segs: page.Arc(cx, cy, r, min(zero, set)-90, math.Abs(set-zero)), Stroke: &black, Width: 3 * plain})
	x, y := clock(cx, cy, r, zero)
	size := 3.4
	if !bubbles {
		size = 2.4
	}
	g.head(x, y, zero-90, size)
}

// turnArrows draws A, in, and B, back to the second mark.
func (g *pen) turnArrows(cx, cy, r, zero, back, theta float64) {
	// A stands on the side away from the marks.
	g.arcArrow(heavy, 3, cx, cy, r*0.37, 270+back*50, -back*120)
	x, y := clock(cx, cy, r*0.37, 270+back*50)
	g.bubble(x, y, "A")
	sweep := max(theta, 40)
	g.arcArrow(heavy, 3, cx, cy, r*0.78, zero, back*sweep)
	x, y = clock(cx, cy, r*0.78, zero-back*8)
	g.bubble(x, y, "B")
}

// magnified draws the marks as through a glass, where the true angle is too
// small for the eye.
func (g *pen) magnified(fx, fy, lx, ly, lens, r, theta, back float64) {
	g.stroke(thin, page.Circle(fx, fy, 2.6))
	g.line(thin, fx+2.6, fy, lx-lens*0.9, ly+lens*0.44)
	g.shape(plain, &white, page.Circle(lx, ly, lens))
	gap := lens * 0.95 // between the marks, as drawn
	big := gap / (theta * math.Pi / 180)
	// The rim is an arc of the same magnification, cut at the glass.
	half := math.Asin(min(1, lens*0.985/big/2)) * 2 * 180 / math.Pi
	rim := lx - lens*0.25
	g.stroke(heavy, page.Arc(rim-big, ly, big, -half, 2*half))
	for i, s := range []float64{-1, 1} {
		a := s * back * theta / 2 * math.Pi / 180
		sin, cos := math.Sincos(a)
		x, y := rim-big+big*cos, ly+big*sin
		g.line(heavy, x, y, x+lens*0.42, y+lens*0.42*sin)
		g.bubble(x+lens*0.42+ball, y, fmt.Sprint(i+1))
		if s < 0 {
			g.head(x, y, 0, 3)
		}
	}
	g.span(rim+lens*0.14, ly-gap/2, rim+lens*0.14, ly+gap/2)
}
