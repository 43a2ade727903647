package figure

import (
	"math"

	"jobsheaf/internal/page"
)

// gears is the pump seen from the head with the head off: pin and crescent
// evenly between the ports.
var gears = spec{
	name: "gears", what: "Pin and crescent between the ports", least: 70,
	needs: append([]Need{
		{Name: "port_angle", Kind: Number, What: "angle between the two ports, degrees", low: 60, high: 180},
		{Name: "pin", Kind: Text, What: "where the pin lies with the pump on its feet", OneOf: []string{"up", "left", "right", "up-left", "up-right"}, Optional: true},
	}, teethNeeds...),
	words: []string{"gears_seen", "gears_even", "part.idler_pin", "part.crescent", "port"},
	draw:  drawGears,
}

// Proportions are of a gear pair that meshes: pitch radii 22 and 16, eccentricity
// 6, all in units of the frame.
const (
	rotorIn, rotorOut   = 17.5, 26.0
	idlerRoot, idlerTip = 11.6, 19.2
	eccentricity        = 6.0
)

// Teeth of the rotor and the idler in every figure where the records do not say
// how many there are.
const usualRotor, usualIdler = 11, 8

// teethNeeds are what every figure that shows teeth takes of them.
var teethNeeds = []Need{
	{Name: "rotor_teeth", Kind: Number, What: "teeth of the rotor", low: 6, high: 24, whole: true, Optional: true},
	{Name: "idler_teeth", Kind: Number, What: "teeth of the idler", low: 4, high: 20, whole: true, Optional: true},
	{Name: "odd_teeth", Kind: Text, What: "whether the rotor has an odd number of teeth, where it is not said how many", OneOf: yesNo, Optional: true},
}

func (g *pen) rotorTeeth() int {
	switch {
	case g.given("rotor_teeth"):
		return int(g.num("rotor_teeth"))
	case g.param("odd_teeth") == "no":
		return usualRotor - 1
	}
	return usualRotor
}

func (g *pen) idlerTeeth() int {
	if g.given("idler_teeth") {
		return int(g.num("idler_teeth"))
	}
	return usualIdler
}

var pinWay = map[string]float64{"": 0, "up": 0, "left": -90, "right": 90, "up-left": -45, "up-right": 45}

// pair is the gears drawing in hand, in a frame whose zero is the rotor's axis. The
// pin lies at the clock angle way, and each port half the port angle beside it.
type pair struct {
	frame
	way, half float64
}

// idler gives the idler's axis, which is off the rotor's toward the pin's side.
func (p pair) idler() (x, y float64) { return clock(p.x, p.y, eccentricity*p.k, p.way) }

func drawGears(g *pen) error {
	side := min(g.d.W*0.62, 75)
	p := pair{frame{side / 2, side/2 + 0.3, (side/2 - ball - 0.5) / 38.2}, pinWay[g.param("pin")], g.num("port_angle") / 2}
	g.gearsCasing(p)
	g.cutTeeth(p)
	g.idlerAndCrescent(p)
	g.evenAngles(p)
	words := g.gearsWords(side + 4)
	g.gearsLetters(p)
	g.d.H = max(words, side+0.6)
	return nil
}

// gearsCasing draws the casing, cut, with its two ports open.
func (g *pen) gearsCasing(p pair) {
	for _, s := range []float64{-1, 1} {
		g.port(p.frame, p.way+s*p.half)
	}
	g.cut(join(false, p.circle(0, 0, 32), p.circle(0, 0, 26.6)), 45, 1.8)
	open := math.Asin(9.0/29) * 180 / math.Pi
	for _, s := range []float64{-1, 1} {
		a := p.way + s*p.half
		g.fill(&white, sector(p.x, p.y, 26.3*p.k, 32.3*p.k, a-open, 2*open))
		for _, e := range []float64{-1, 1} {
			x1, y1 := clock(p.x, p.y, 26.6*p.k, a+e*open)
			x2, y2 := clock(p.x, p.y, 32*p.k, a+e*open)
			g.line(plain, x1, y1, x2, y2)
		}
	}
}

// cutTeeth draws the rotor's teeth, cut: each stands alone.
func (g *pen) cutTeeth(p pair) {
	teeth := g.rotorTeeth()
	pitch := 360 / float64(teeth)
	for i := range teeth {
		a := p.way + pitch*(float64(i)+0.5)
		xy := make([]float64, 0, 8)
		for _, c := range [4][2]float64{{rotorIn, -0.17}, {rotorIn, 0.17}, {rotorOut, 0.27}, {rotorOut, -0.27}} {
			x, y := clock(p.x, p.y, c[0]*p.k, a+c[1]*pitch)
			xy = append(xy, x, y)
		}
		g.cut(page.Polygon(xy...), -45, 1.1)
	}
}

// idlerAndCrescent draws the idler on its pin, and the crescent on the far side:
// between the rotor's inner circle and the idler's outer one.
func (g *pen) idlerAndCrescent(p pair) {
	x, y := p.idler()
	g.shape(plain, &white, gear(x, y, idlerRoot*p.k, idlerTip*p.k, g.idlerTeeth(), p.way, 0.6, 0.33))
	g.stroke(plain, page.Circle(x, y, 8.2*p.k))
	g.fill(&black, page.Circle(x, y, 5.8*p.k))
	g.fill(&black, crescentShape(p.x, p.y, x, y, (rotorIn-0.5)*p.k, (idlerTip+0.5)*p.k, p.way+180, 66))
}

// evenAngles shows that the angle from the pin's line to each port is the same.
func (g *pen) evenAngles(p pair) {
	x, y := clock(p.x, p.y, 41*p.k, p.way)
	g.centreLine(p.x, p.y, x, y)
	for _, s := range []float64{-1, 1} {
		px, py := clock(p.x, p.y, 41*p.k, p.way+s*p.half)
		g.centreLine(p.x, p.y, px, py)
		g.arcArrow(plain, 2.4, p.x, p.y, 39*p.k, p.way, s*p.half)
		ex, ey := clock(p.x, p.y, 39*p.k-2.2, p.way+s*p.half*0.36)
		g.fill(&white, page.Circle(ex, ey, 1.7))
		g.mid(strong, ex, ey, "=")
	}
}

// gearsWords sets the words from x to the right edge and gives the y below them.
func (g *pen) gearsWords(x float64) float64 {
	w := g.d.W - x
	y := g.para(strong, x, 1, w, g.words("gears_even"))
	y = g.legend(note, x, y+2, w, 1, []entry{{"A", g.words("part.idler_pin")}, {"B", g.words("part.crescent")}, {"C", g.words("port")}})
	return g.para(note, x, y+1, w, g.words("gears_seen"))
}

// gearsLetters puts the legend's letters on pin, crescent and ports.
func (g *pen) gearsLetters(p pair) {
	x, y := p.idler()
	g.bubble(x, y, "A")
	bx, by := clock(p.x, p.y, 38*p.k, p.way+180)
	tx, ty := clock(p.x, p.y, 15.4*p.k, p.way+180)
	g.add(page.Path{Segs: page.Polyline(bx, by, tx, ty), Stroke: &white, Width: 4 * thin})
	g.line(plain, bx, by, tx, ty)
	g.bubble(bx, by, "B")
	for _, s := range []float64{-1, 1} {
		px, py := clock(p.x, p.y, 29*p.k, p.way+s*p.half)
		g.bubble(px, py, "C")
	}
}

// port draws the two walls of a port that leaves the casing at clock angle a.
func (g *pen) port(f frame, a float64) {
	s, c := math.Sincos(a * math.Pi / 180)
	for _, e := range []float64{-9, 9} {
		x1, y1 := f.at(30.5*s+e*c, -30.5*c+e*s)
		x2, y2 := f.at(40*s+e*c, -40*c+e*s)
		g.line(plain, x1, y1, x2, y2)
	}
}

// crescentShape lies between a circle of radius out about (cx, cy) and one of
// radius in about (ix, iy), over half degrees to either side of clock angle a.
func crescentShape(cx, cy, ix, iy, out, in, a, half float64) []page.Seg {
	outer := page.Arc(cx, cy, out, a-half-90, 2*half)
	// The inner arc ends where the outer one does, seen from its own centre.
	x1, y1 := clock(cx, cy, out, a+half)
	x2, y2 := clock(cx, cy, out, a-half)
	from := math.Atan2(y1-iy, x1-ix) * 180 / math.Pi
	to := math.Atan2(y2-iy, x2-ix) * 180 / math.Pi
	sweep := math.Mod(to-from, 360)
	if sweep > 0 {
		sweep -= 360
	}
	return closed(join(true, outer, page.Arc(ix, iy, in, from, sweep)))
}
