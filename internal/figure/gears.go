package figure

import (
	"math"

	"jobsheaf/internal/page"
)

// gears is the pump seen from the head with the head off: pin and crescent
// evenly between the ports.
var gears = spec{
	name: "gears", what: "Pin and crescent between the ports", least: 70,
	needs: []Need{
		{Name: "port_angle", Kind: Number, What: "angle between the two ports, degrees", Low: 60, High: 180},
		{Name: "pin", Kind: Text, What: "where the pin lies with the pump on its feet", OneOf: []string{"up", "left", "right", "up-left", "up-right"}, Optional: true},
	},
	words: []string{"gears_seen", "gears_even", "part.idler_pin", "part.crescent", "port"},
	draw:  drawGears,
}

// Teeth and proportions are of a gear pair that meshes: pitch radii 22 and 16,
// eccentricity 6, all in units of the frame.
const (
	rotorTeeth, idlerTeeth = 11, 8
	rotorIn, rotorOut      = 17.5, 26.0
	idlerRoot, idlerTip    = 11.6, 19.2
	eccentricity           = 6.0
)

var pinWay = map[string]float64{"": 0, "up": 0, "left": -90, "right": 90, "up-left": -45, "up-right": 45}

func drawGears(g *pen) error {
	side := min(g.d.W*0.62, 75)
	k := (side/2 - ball - 0.5) / 38.2
	way := pinWay[g.param("pin")]
	half := g.num("port_angle") / 2
	f := frame{side / 2, side/2 + 0.3, k}
	cx, cy := f.at(0, 0)

	// Casing with two ports.
	for _, s := range []float64{-1, 1} {
		g.port(f, way+s*half)
	}
	g.cut(join(false, f.circle(0, 0, 32), f.circle(0, 0, 26.6)), 45, 1.8)
	for _, s := range []float64{-1, 1} {
		a := way + s*half
		open := math.Asin(9.0/29) * 180 / math.Pi
		g.fill(&white, sector(cx, cy, 26.3*k, 32.3*k, a-open, 2*open))
		for _, e := range []float64{-1, 1} {
			x1, y1 := clock(cx, cy, 26.6*k, a+e*open)
			x2, y2 := clock(cx, cy, 32*k, a+e*open)
			g.line(plain, x1, y1, x2, y2)
		}
	}
	// Rotor teeth, cut: each stands alone.
	pitch := 360.0 / rotorTeeth
	for i := range rotorTeeth {
		a := way + pitch*(float64(i)+0.5)
		xy := make([]float64, 0, 8)
		for _, p := range [2][3]float64{{rotorIn, -0.17, 0.17}, {rotorOut, -0.27, 0.27}} {
			lo, hi := p[1], p[2]
			if p[0] == rotorOut {
				lo, hi = hi, lo
			}
			x, y := clock(cx, cy, p[0]*k, a+lo*pitch)
			xy = append(xy, x, y)
			x, y = clock(cx, cy, p[0]*k, a+hi*pitch)
			xy = append(xy, x, y)
		}
		g.cut(page.Polygon(xy...), -45, 1.1)
	}
	// Idler on its pin, offset toward the ports.
	ix, iy := clock(cx, cy, eccentricity*k, way)
	g.shape(plain, &white, gear(ix, iy, idlerRoot*k, idlerTip*k, idlerTeeth, way, 0.6, 0.33))
	g.stroke(plain, page.Circle(ix, iy, 8.2*k))
	g.fill(&black, page.Circle(ix, iy, 5.8*k))
	// Crescent, on the far side: between the rotor's inner circle and the
	// idler's outer one.
	g.fill(&black, crescentShape(cx, cy, ix, iy, (rotorIn-0.5)*k, (idlerTip+0.5)*k, way+180, 66))

	// The angle from the pin's line to each port is the same.
	tx, ty := clock(cx, cy, 41*k, way)
	g.centreLine(cx, cy, tx, ty)
	for _, s := range []float64{-1, 1} {
		px, py := clock(cx, cy, 41*k, way+s*half)
		g.centreLine(cx, cy, px, py)
		g.arcArrow(plain, 2.4, cx, cy, 39*k, way, s*half)
		ex, ey := clock(cx, cy, 39*k, way+s*half/2)
		g.fill(&white, page.Circle(ex, ey, 1.9))
		g.mid(strong, ex, ey, "=")
	}

	x := side + 4
	w := g.d.W - x
	y := g.para(strong, x, 1, w, g.words("gears_even"))
	y = g.legend(note, x, y+2, w, 1, []entry{{"A", g.words("part.idler_pin")}, {"B", g.words("part.crescent")}, {"C", g.words("port")}})
	y = g.para(note, x, y+1, w, g.words("gears_seen"))
	g.bubble(ix, iy, "A")
	bx, by := clock(cx, cy, 38*k, way+180)
	tx, ty = clock(cx, cy, 15.4*k, way+180)
	g.add(page.Path{Segs: page.Polyline(bx, by, tx, ty), Stroke: &white, Width: 4 * thin})
	g.line(thin, bx, by, tx, ty)
	g.bubble(bx, by, "B")
	for _, s := range []float64{-1, 1} {
		px, py := clock(cx, cy, 31*k, way+s*half)
		g.bubble(px, py, "C")
	}
	g.d.H = max(y, side+0.6)
	return nil
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
