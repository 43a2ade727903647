package figure

import (
	"math"

	"jobsheaf/internal/page"
)

// headOff shows how the head comes off: drawn straight off the rotor, then tilted
// with its top away from the casing, so that the idler rests on its pin.
var headOff = spec{
	name: "head-off", what: "Tilting the head off with the idler on its pin", least: 60,
	needs: []Need{
		{Name: "lift", Kind: Text, What: "what carries the head", OneOf: []string{"hands", "sling"}},
	},
	words: []string{"tilt_top", "tilt_idler", "tilt_wrong", "tilt_sling", "tilt_hands", "part.idler"},
	draw:  drawHeadOff,
}

// tilted is a frame in which the head, drawn in the section's units, is moved off
// the casing and turned about its lower edge.
type tilted struct {
	frame
	off, angle float64 // units to the left; degrees, above zero with its top to the left
}

// pivot is the head's lower edge at its face, in the section's units.
const pivotX, pivotY = 22.0, 34.0

func (t tilted) at(x, y float64) (float64, float64) {
	s, c := math.Sincos(t.angle * math.Pi / 180)
	dx, dy := x-pivotX, y-pivotY
	return t.frame.at(pivotX-t.off+dx*c+dy*s, pivotY-dx*s+dy*c)
}

func (t tilted) polygon(xy ...float64) []page.Seg {
	out := make([]float64, len(xy))
	for i := 0; i+1 < len(xy); i += 2 {
		out[i], out[i+1] = t.at(xy[i], xy[i+1])
	}
	return page.Polygon(out...)
}

func (t tilted) box(x1, y1, x2, y2 float64) []page.Seg {
	return t.polygon(x1, y1, x2, y1, x2, y2, x1, y2)
}

// tiltedHead draws the head with pin and crescent, and the idler as far along its
// pin as said.
func (g *pen) tiltedHead(t tilted, along float64, gap float64) {
	a := 45 + t.angle
	g.cut(t.polygon(14, 0, 22, 0, 22, 13.4, 36, 13.4, 36, 17, 22, 17, 22, 34, 14, 34), a, gap)
	g.cut(t.polygon(14, -34, 22, -34, 22, -12, 14, -12), a, gap)
	g.shape(plain, &white, t.box(14, -12, 36, 0))
	x := 22.5 + along
	g.shape(heavy, &white, t.box(x, -25.2, x+13.6, 13.1))
	for _, y := range []float64{-18, -12, 0, 6} {
		x1, y1 := t.at(x, y)
		x2, y2 := t.at(x+13.6, y)
		if y == -12 || y == 0 { // its bore, over the pin
			g.dashed(thin, []float64{1.2, 0.9}, page.Polyline(x1, y1, x2, y2))
			continue
		}
		g.line(thin, x1, y1, x2, y2)
	}
}

func drawHeadOff(g *pen) error {
	width := min(g.d.W, 80)
	left := (g.d.W - width) / 2
	main := width * 0.64
	k := (main - 1) / 83
	f := frame{left + 0.5 + 38*k, 50 * k, k}

	// The casing with its rotor stays.
	for _, side := range []float64{-1, 1} {
		g.cut(f.mirror(side, 22.8, 26.5, 44, 26.5, 44, 34, 22.8, 34), 135, 1.7)
		g.cut(f.mirror(side, 22.8, 17.5, 36.4, 17.5, 36.4, 6, 42.4, 6, 42.4, 26, 22.8, 26), 45, 1.4)
	}
	g.shape(plain, &white, f.rect(36.4, -6, 8, 12))
	g.centre(f, 34, 0, 45)

	t := tilted{f, 25, 17}
	sling := g.param("lift") == "sling"
	if sling {
		x, y := t.at(18, -36.5)
		hx, hy := x, f.y-49*k
		g.line(heavy, x, y, hx, hy+3*k)
		g.stroke(heavy, page.Arc(hx, hy+3.6*k, 2.6*k, -90, 360))
		g.shape(heavy, &white, page.Circle(x, y, 2.4*k))
	} else {
		g.hand(t, 12, -27, 0.17*k, 60)
		g.hand(t, 12, 20, 0.17*k, 60)
	}
	g.tiltedHead(t, 0, 1.7)
	// The top goes first.
	px, py := f.at(pivotX-t.off, pivotY)
	r := 74 * k
	if sling {
		r = 70 * k
	}
	g.arcArrow(3*plain, 3.6, px, py, r, 14, -26)
	bx, by := clock(px, py, r, 14+ball/r*180/math.Pi)
	g.bubble(bx, by, "1")
	x, y := t.at(29.3, 9.5)
	g.bubble(x, y, "2")

	// Not so: tilted the other way the idler slides off.
	w := frame{left + main + 0.5 + (width-main)*0.30 - 14*k*0.55, f.y + 4*k, k * 0.55}
	bad := tilted{w, 0, -17}
	g.tiltedHead(bad, 13, 1.5)
	ax, ay := bad.at(51, 18)
	zx, zy := bad.at(58, 18)
	g.arrow(heavy, 2.4, ax, ay, zx+(zx-ax)*0.4, zy+(zy-ay)*0.4)
	cx, cy := w.at(36, -46)
	g.cross(cx, cy, 6)
	nx, ny := w.at(36, 48)
	g.bubble(nx, ny, "3")

	_, low := f.at(0, 36)
	lifted := "tilt_hands"
	if sling {
		lifted = "tilt_sling"
	}
	g.d.H = g.legend(note, 0, low+1, g.d.W, max(1, int(g.d.W/60)), []entry{
		{"1", g.words("tilt_top") + " " + g.words(lifted)}, {"2", g.words("part.idler") + ": " + g.words("tilt_idler")}, {"3", g.words("tilt_wrong")}}) + 0.3
	return nil
}

// hand draws a gloved hand whose palm is at a point of the head, turned by
// degrees clockwise; size is mm to a unit of the glove's outline.
func (g *pen) hand(t tilted, x, y, size, turn float64) {
	px, py := t.at(x, y)
	s, c := math.Sincos(turn * math.Pi / 180)
	outline := shapeOf(nil, glove).segs
	out := make([]page.Seg, len(outline))
	for i, sg := range outline {
		for k := 0; k < 6; k += 2 {
			dx, dy := (sg.P[k]-46)*size, (sg.P[k+1]-45)*size
			sg.P[k], sg.P[k+1] = px+dx*c-dy*s, py+dx*s+dy*c
		}
		out[i] = sg
	}
	g.shape(plain, &white, out)
}
