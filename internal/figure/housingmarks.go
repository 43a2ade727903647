package figure

import (
	"fmt"
	"math"
	"slices"

	"jobsheaf/internal/page"
)

// housingMarks is the face of the bearing housing as the mechanic stands before
// it. The arc between the casing marks is to scale with the housing: its angle
// is travel over radius.
var housingMarks = spec{
	name: "housing-marks", what: "Bearing-housing face with its two casing marks", least: 85,
	needs: []Need{
		{Name: "diameter", Kind: Number, What: "outside diameter of the bearing housing, mm", low: 40, high: 800},
		{Name: "travel", Kind: Number, What: "mark-to-mark travel on the outside, mm", low: 0.1, high: 2520},
		{Name: "travel", Kind: Text, What: "the travel as printed elsewhere, with its unit"},
		{Name: "clearance", Kind: Text, What: "the end clearance that it sets, as printed elsewhere", Optional: true},
		turnIn,
	},
	words: []string{"housing_turn_in", "housing_turn_back", "housing_mark_zero", "housing_mark_set", "housing_mark", "housing_fixed", "housing_sets", "enlarged"},
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

// rimW is how wide the fixed part around the housing is drawn, foot how high the
// foot below it, in mm.
const rimW, foot = 6.0, 6.0

// besideDial is the room between the dial and the words beside it, narrowWords the least
// width of these, smallDial the least radius of a dial that makes room for them.
const besideDial, narrowWords, smallDial = 5.0, 29.0, 14.0

// dial is the housing's face as drawn: its centre, its radius, and the clock angles
// of the two marks, which lie about three o'clock, beside the words.
type dial struct {
	cx, cy, r float64
	theta     float64 // between the marks, degrees
	back      float64 // turning back, as a clockwise sign
	zero, set float64
}

// small says whether the true angle is too small for two bubbles side by side.
func (d dial) small() bool { return d.theta*math.Pi/180*(d.r+rimW+ball) < 2*ball+1.2 }

// outer is the radius of all that is drawn about the centre.
func (d dial) outer() float64 { return d.r + rimW + 2*ball + 0.8 }

func drawHousingMarks(g *pen) error {
	diameter, travel := g.num("diameter"), g.num("travel")
	theta := arcAngle(travel, diameter)
	if theta > farthest {
		return fmt.Errorf("number \"travel\" is %v mm, outside 0.1 to %.4g mm on a diameter of %v mm: the marks would meet", travel, farthest/360*math.Pi*diameter, diameter)
	}
	d := dial{r: min(0.185*g.d.W, 45), theta: theta, back: -1}
	if r := (g.d.W-besideDial-narrowWords)/2 - (d.outer() - d.r); r >= smallDial { // the words have room beside a smaller dial
		d.r = min(d.r, r)
	}
	if g.param("turn_in") == "ccw" {
		d.back = 1
	}
	d.zero, d.set = 90-d.back*theta/2, 90+d.back*theta/2
	w := g.marksColumn(d)
	d.cx, d.cy = d.outer(), max(d.outer(), w.above+w.lens*2+w.boxH/2)

	g.housingFace(d)
	g.marksAt(d)
	g.turnArrows(d)
	low := g.marksWords(d, w)
	fixed := g.middle(note, 0, d.cy+d.r+rimW+foot+0.8, 2*d.outer(), g.words("housing_fixed"))
	low = max(low, fixed)
	if len(w.below) > 0 {
		low = g.legend(note, 0, low+1, g.d.W, max(1, int(g.d.W/40)), w.below)
	}
	g.d.H = low + 0.5
	return nil
}

// column is the words beside the dial: what to do, the travel in a box at the
// height of the marks, the marks. Where it is narrow, the words stand below.
type column struct {
	x, w        float64
	doing       []entry
	marks       []entry
	below       []entry // all of them, where the column is too narrow for words
	above, boxH float64 // heights: of what stands above the box or the glass, of the box
	lens        float64 // radius of the glass that magnifies small angles, else 0
}

var travelFont = font{page.Bold, 11}

func (g *pen) marksColumn(d dial) column {
	x := 2*d.outer() + besideDial
	c := column{x: x, w: g.d.W - x, above: 1,
		doing: []entry{{"A", g.words("housing_turn_in")}, {"1", g.words("housing_mark_zero")}, {"B", g.words("housing_turn_back")}},
		marks: []entry{{"2", g.words("housing_mark_set")}, {"▲", g.words("housing_mark")}}}
	if c.w < narrowWords-rim {
		c.doing, c.marks, c.below = nil, nil, slices.Concat(c.doing, c.marks)
	}
	c.boxH = travelFont.tall(c.w-5, g.param("travel")) + 1.5
	if s := g.sets(); s != "" {
		c.boxH += strong.tall(c.w-5, s)
	}
	inset := 2*ball + 1.6
	for _, e := range c.doing {
		c.above += max(note.tall(c.w-inset, e.text), 2*ball+0.3) + 0.9
	}
	if d.small() {
		c.lens = min(13, c.w/3)
		c.above += note.lead() + 1.5
	}
	return c
}

// sets says what the travel sets; "" where that is not given.
func (g *pen) sets() string {
	s := g.param("clearance")
	if s != "" {
		s = g.words("housing_sets") + " " + s
	}
	return s
}

// marksWords draws the column and gives the y below it.
func (g *pen) marksWords(d dial, c column) float64 {
	bottom := g.legend(note, c.x, d.cy-c.boxH/2-2*c.lens-c.above, c.w, 1, c.doing)
	boxY := max(bottom+1, d.cy-c.boxH/2)
	if d.small() {
		lx, ly := c.x+c.w/2, bottom+c.lens+0.5
		g.magnified(d, lx, ly, c.lens)
		boxY = g.middle(note, lx-c.w/2, ly+c.lens+0.5, c.w, g.words("enlarged")) + 0.8
	} else {
		g.line(thin, d.cx+d.r, d.cy, d.cx+d.r+rimW+1, d.cy, c.x, boxY+c.boxH/2)
	}
	g.shape(plain, &white, page.Rect(c.x, boxY, c.w-0.5, c.boxH))
	y := g.para(travelFont, c.x+2, boxY+0.7, c.w-5, g.param("travel"))
	if s := g.sets(); s != "" {
		g.para(strong, c.x+2, y, c.w-5, s)
	}
	return g.legend(note, c.x, boxY+c.boxH+1.5, c.w, 1, c.marks)
}

// housingFace draws the fixed part around, on its foot, and the housing in it.
func (g *pen) housingFace(d dial) {
	cx, cy, r, out := d.cx, d.cy, d.r, d.r+rimW
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
func (g *pen) marksAt(d dial) {
	for i, a := range []float64{d.zero, d.set} {
		x1, y1 := clock(d.cx, d.cy, d.r, a)
		x2, y2 := clock(d.cx, d.cy, d.r+rimW, a)
		g.add(page.Path{Segs: page.Polyline(x1, y1, x2, y2), Stroke: &white, Width: 3 * heavy})
		g.line(heavy, x1, y1, x2, y2)
		if !d.small() {
			x, y := clock(d.cx, d.cy, d.r+rimW+ball+0.2, a)
			g.bubble(x, y, fmt.Sprint(i+1))
		}
	}
	// The travel itself, along the rim.
	g.add(page.Path{Segs: page.Arc(d.cx, d.cy, d.r, min(d.zero, d.set)-90, math.Abs(d.set-d.zero)), Stroke: &black, Width: 3 * plain})
	x, y := clock(d.cx, d.cy, d.r, d.zero)
	size := 3.4
	if d.small() {
		size = 2.4
	}
	g.head(x, y, d.zero-90, size)
}

// turnArrows draws A, in, and B, back to the second mark.
func (g *pen) turnArrows(d dial) {
	// A stands on the side away from the zero mark.
	g.arcArrow(heavy, 3, d.cx, d.cy, d.r*0.34, d.zero+180+d.back*50, -d.back*120)
	x, y := clock(d.cx, d.cy, d.r*0.34, d.zero+180+d.back*50)
	g.bubble(x, y, "A")
	sweep := min(max(d.theta, 55), 285) // its head stays clear of its number
	g.arcArrow(heavy, 3, d.cx, d.cy, d.r*0.57, d.zero, d.back*sweep)
	x, y = clock(d.cx, d.cy, d.r*0.57, d.zero-d.back*8)
	g.bubble(x, y, "B")
}

// magnified draws the marks as through a glass with its centre at (lx, ly), where the true angle is too
// small for the eye.
func (g *pen) magnified(d dial, lx, ly, lens float64) {
	fx, fy := d.cx+d.r, d.cy
	g.stroke(thin, page.Circle(fx, fy, 2.6))
	g.line(thin, fx+2.6, fy, lx-lens*0.9, ly+lens*0.44)
	g.shape(plain, &white, page.Circle(lx, ly, lens))
	gap := lens * 0.95 // between the marks, as drawn
	big := gap / (d.theta * math.Pi / 180)
	// The rim is an arc of the same magnification, cut at the glass.
	half := math.Asin(min(1, lens*0.985/big/2)) * 2 * 180 / math.Pi
	rim := lx - lens*0.25
	g.stroke(heavy, page.Arc(rim-big, ly, big, -half, 2*half))
	for i, s := range []float64{-1, 1} {
		a := s * d.back * d.theta / 2 * math.Pi / 180
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
