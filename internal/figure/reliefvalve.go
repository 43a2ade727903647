package figure

import "jobsheaf/internal/page"

// reliefValve is the pump seen from the head end, its relief valve on the head or
// on top of the casing, with the adjusting cap toward the suction side.
var reliefValve = spec{
	name: "relief-valve", what: "Relief valve with its cap toward suction", least: 60,
	needs: []Need{
		{Name: "side", Kind: Text, What: "on which side the suction port is, seen from the head", OneOf: []string{"left", "right"}},
		{Name: "place", Kind: Text, What: "what the relief valve is on", OneOf: []string{"on-head", "on-casing"}},
		{Name: "head_bolts", Kind: Number, What: "fasteners of the head", low: 3, high: 48, whole: true, Optional: true},
	},
	words: []string{"suction", "discharge", "relief_toward", "relief_cap", "relief_seen", "top"},
	draw:  drawReliefValve,
}

func drawReliefValve(g *pen) error {
	suction := -1.0 // the side as a sign: -1 to the left
	if g.param("side") == "right" {
		suction = 1
	}
	k := min(g.d.W, 150) / 100
	top := g.middle(strong, 0, 0, g.d.W, g.words("relief_toward")) + 1
	var low float64
	if g.param("place") == "on-head" {
		low = g.reliefOnHead(frame{g.d.W / 2, top + headFlag + headOuter*k, k}, suction)
	} else {
		low = g.reliefOnCasing(frame{g.d.W / 2, top, k}, suction)
	}
	low = g.legend(note, 0, low, g.d.W, 1, []entry{{"A", g.words("relief_cap")}})
	g.d.H = g.para(note, 0, low, g.d.W, g.words("relief_seen")) + 0.5
	return nil
}

// reliefOnCasing draws the pump with the valve on top, the frame's zero at the top
// of the drawing, and gives the y below it.
func (g *pen) reliefOnCasing(f frame, suction float64) float64 {
	// Pump body on its foot, with two ports.
	g.shape(plain, &white, f.polygon(-14, 46, -20, 54, 20, 54, 14, 46))
	for _, e := range []float64{-1, 1} {
		g.shape(plain, &white, f.rect(min(e*14, e*30), 24, 16, 15))
		g.shape(plain, &white, f.rect(min(e*30, e*33), 21, 3, 21))
	}
	g.shape(heavy, &white, f.circle(0, 31.5, 18))
	g.stroke(plain, f.circle(0, 31.5, 14))
	g.boltDots(frame{f.x, f.y + 31.5*f.k, f.k}, 16, 0.7)
	g.valveAcross(frame{f.x, f.y + 7.75*f.k, f.k}, suction, 27)
	words := g.reliefFlow(f, suction, 34.5, 31.5, 43)
	_, foot := f.at(0, 55)
	return max(foot, words+1)
}

// The head as drawn: its radius and that of its bolt circle in units, and the room
// above it for the mark of the top in mm.
const headOuter, headBolts, headFlag = 26.0, 23.3, 5.0

// reliefOnHead draws the head with the valve on its face, the frame's zero at the
// head's middle, and gives the y below it. What the head hides is dashed.
func (g *pen) reliefOnHead(f frame, suction float64) float64 {
	g.shape(plain, &white, f.polygon(-12, 20, -20, 32, 20, 32, 12, 20)) // foot of the casing
	for _, e := range []float64{-1, 1} {
		g.shape(plain, &white, f.rect(min(e*20, e*37), -11, 17, 22))
		g.shape(plain, &white, f.rect(min(e*37, e*40), -14, 3, 28))
	}
	g.shape(heavy, &white, f.circle(0, 0, headOuter))
	for _, e := range []float64{-1, 1} {
		g.dashed(thin, dashes, f.line(e*23.5, -11, e*11, -11))
		g.dashed(thin, dashes, f.line(e*23.5, 11, e*11, 11))
	}
	g.boltDots(f, headBolts, 1)
	g.shape(plain, &white, f.circle(0, 0, 10.5)) // the valve's flange; its bolts are drawn where they are tightened
	g.valveAcross(frame{f.x, f.y, 0.85 * f.k}, suction, 30)
	_, y := f.at(0, -headOuter)
	g.head(f.x, y-0.6, 90, 3)
	g.text(note, f.x+2.2, y-1.2, g.words("top"))
	words := g.reliefFlow(f, suction, 34.5, 17.5, 21)
	_, foot := f.at(0, 33)
	return max(foot, words+1)
}

// boltDots draws the bolts of the head on a circle about the frame's zero, the
// first at twelve o'clock as where they are tightened.
func (g *pen) boltDots(f frame, circle, r float64) {
	n := 8
	if g.given("head_bolts") {
		n = int(g.num("head_bolts"))
	}
	for i := range n {
		x, y := clock(f.x, f.y, circle*f.k, boltAngle(i, n))
		g.fill(&black, page.Circle(x, y, r*f.k))
	}
}

// valveAcross draws the valve across the pump, about the frame's zero, opened to
// show poppet and spring: its cap is black, and an arrow that begins at from says
// which way it points.
func (g *pen) valveAcross(f frame, suction, from float64) {
	g.shape(heavy, &white, f.rect(-16, -5.75, 32, 11.5))
	g.shape(plain, &black, mirrorX(f, suction, 16, -4.25, 22, -4.25, 25, -2.25, 25, 2.25, 22, 4.25, 16, 4.25))
	x1, y := f.at(-9*suction, 0)
	x2, _ := f.at(16*suction, 0)
	g.shape(plain, &white, mirrorX(f, suction, -13, -3.75, -13, 3.75, -9, 2.85, -9, -2.85))
	g.helix(x1, x2, y, 2.6*f.k, 7)
	ax, _ := f.at(from*suction, 0)
	bx, _ := f.at((from+13)*suction, 0)
	g.add(page.Path{Segs: page.Polyline(ax, y, bx, y), Stroke: &white, Width: 9 * plain})
	g.arrow(3*plain, 4, ax, y, bx, y)
	cx, _ := f.at(20.5*suction, 0)
	g.bubble(cx, y, "A")
}

// reliefFlow draws on each side an arrow of the flow at the height y, its inner end
// at x from the middle, with its word from the height below down, broken to its
// side of the figure. It gives the y below the words.
func (g *pen) reliefFlow(f frame, suction, x, y, below float64) float64 {
	w := g.d.W/2 - 20*f.k
	_, top := f.at(0, below)
	low := top
	for _, e := range []struct {
		side, from, to float64
		word           string
	}{{suction, 46, x, g.words("suction")}, {-suction, x, 46, g.words("discharge")}} {
		x1, ay := f.at(e.side*e.from, y)
		x2, _ := f.at(e.side*e.to, y)
		g.arrow(3*plain, 4, x1, ay, x2, ay)
		left := 0.0
		if e.side > 0 {
			left = g.d.W - w
		}
		low = max(low, g.middle(strong, left, top, w, e.word))
	}
	return low
}

// mirrorX is polygon with every x on the other side of the frame's zero where
// side is -1.
func mirrorX(f frame, side float64, xy ...float64) []page.Seg {
	for i := 0; i < len(xy); i += 2 {
		xy[i] *= side
	}
	return f.polygon(xy...)
}
