package figure

import (
	"slices"
	"strings"

	"jobsheaf/internal/page"
)

// wearPoints shows where a worn part is measured: at the lettered places A, B
// and C, in the directions 1 and 2, as the wear sheet names its readings.
var wearPoints = spec{
	name: "wear-points", what: "Where to measure a worn part", least: 72,
	needs: append([]Need{
		{Name: "part", Kind: Text, What: "the part", OneOf: wearParts},
		{Name: "places", Kind: List, What: "the places that are read, such as A1, A2, B1, B2; all of them where left out", low: 1, high: 12, Optional: true},
	}, teethNeeds...),
	words: []string{"wear_face_places", "wear_face_directions", "wear_crescent_places", "wear_round",
		"wear.idler-pin", "wear.idler-bushing", "wear.bracket-bushing", "wear.idler", "wear.rotor", "wear.casing-bore", "wear.head-face", "wear.crescent"},
	draw: drawWearPoints,
}

var wearParts = []string{"idler-pin", "idler-bushing", "bracket-bushing", "idler", "rotor", "casing-bore", "head-face", "crescent"}

// wearView is the frame of a part's two views: 100 units wide, 48 high, the
// axis at y = 24; the side view about x = 6 to 54, the end view about (75, 24).
const (
	wearEndX, wearAxis = 75.0, 24.0
)

func drawWearPoints(g *pen) error {
	part := g.param("part")
	width := min(g.d.W, 130)
	f := frame{(g.d.W - width) / 2, 0, width / 100}
	y := g.para(strong, 0, 0, g.d.W, g.words("wear."+part)) + 1
	f.y = y + 1
	// What the letters and numbers mean is told below where it is not what they
	// mean on most parts: places along it and directions at right angles.
	letters, directions := "", ""
	switch part {
	case "idler-pin":
		g.wearPin(f)
	case "idler-bushing", "bracket-bushing", "casing-bore":
		g.wearBore(f, part)
	case "idler":
		g.wearLength(f)
		letters = "wear_round"
	case "rotor":
		g.wearTeeth(f)
	case "head-face":
		g.wearFace(f)
		letters, directions = "wear_face_places", "wear_face_directions"
	case "crescent":
		g.wearCrescent(f)
		directions = "wear_crescent_places"
	}
	_, y = f.at(0, 48)
	if letters != "" {
		y = g.legendNames(y, strings.Join(g.letters(), " "), g.words(letters)) + 0.6
	}
	if directions != "" && g.directed() {
		y = g.legendNames(y, "1 2", g.words(directions)) + 0.6
	}
	g.d.H = y
	return nil
}

// places gives the places that are read where each is a letter, or a letter and a
// direction: others cannot be drawn.
func (g *pen) places() []string {
	list := g.list("places")
	for _, p := range list {
		if len(p) == 0 || len(p) > 2 || p[0] < 'A' || p[0] > 'C' || len(p) == 2 && p[1] != '1' && p[1] != '2' {
			return nil
		}
	}
	return list
}

// letters gives the lettered places that are read.
func (g *pen) letters() []string {
	var out []string
	for _, p := range g.places() {
		if !slices.Contains(out, p[:1]) {
			out = append(out, p[:1])
		}
	}
	if len(out) == 0 {
		return []string{"A", "B", "C"}
	}
	slices.Sort(out)
	return out
}

// directed reports whether each place is read in two directions.
func (g *pen) directed() bool {
	places := g.places()
	return len(places) == 0 || slices.ContainsFunc(places, func(p string) bool { return len(p) == 2 && p[1] == '2' })
}

// along gives as many of three places as are read, the outer ones first.
func (g *pen) along(a, b, c float64) []float64 {
	switch len(g.letters()) {
	case 1:
		return []float64{b}
	case 2:
		return []float64{a, c}
	}
	return []float64{a, b, c}
}

// legendNames sets a bold name and what it means.
func (g *pen) legendNames(y float64, name, text string) float64 {
	inset := strong.width("A B C") + 2
	g.text(strong, 0, y+work.ascent(), name)
	return g.para(work, inset, y, g.d.W-inset, text)
}

// planes draws A, B and C across the side view, from y1 to y2.
func (g *pen) planes(f frame, y1, y2 float64, xs ...float64) {
	for i, x := range xs {
		px, py := f.at(x, y1)
		_, qy := f.at(x, y2)
		g.centreLine(px, py+ball, px, qy)
		g.bubble(px, py, g.letters()[i])
	}
}

// squeeze draws two arrows from outside onto a diameter: an outside
// measurement. The point (x, y) is the centre, r the radius; upright or across.
func (g *pen) squeeze(f frame, x, y, r float64, upright bool) {
	for _, s := range []float64{-1, 1} {
		x1, y1, x2, y2 := x+s*(r+7), y, x+s*r, y
		if upright {
			x1, y1, x2, y2 = x, y+s*(r+7), x, y+s*r
		}
		ax, ay := f.at(x1, y1)
		bx, by := f.at(x2, y2)
		g.arrow(heavy, 2.8, ax, ay, bx, by)
	}
}

// stretch draws a double arrow across a bore: an inside measurement.
func (g *pen) stretch(f frame, x, y, r float64, upright bool) {
	x1, y1, x2, y2 := x-r, y, x+r, y
	if upright {
		x1, y1, x2, y2 = x, y-r, x, y+r
	}
	ax, ay := f.at(x1, y1)
	bx, by := f.at(x2, y2)
	mx, my := (ax+bx)/2, (ay+by)/2
	g.arrow(heavy, 2.8, mx, my, ax, ay)
	g.arrow(heavy, 2.8, mx, my, bx, by)
}

// directions puts the bubbles 1 (upright) and 2 (across) at a distance from the
// end view's centre.
func (g *pen) directions(f frame, r float64) {
	if !g.directed() {
		return
	}
	x, y := f.at(wearEndX, wearAxis-r)
	g.bubble(x, y, "1")
	x, y = f.at(wearEndX+r, wearAxis)
	g.bubble(x, y, "2")
}

func (g *pen) wearPin(f frame) {
	g.cut(f.polygon(6, 4, 16, 4, 16, 44, 6, 44), 45, 1.9)
	g.shape(heavy, &white, f.rect(16, wearAxis-9, 38, 18))
	g.shape(plain, &white, f.rect(6, wearAxis-9, 10, 18))
	g.centre(f, 2, wearAxis, 58)
	xs := g.along(22, 35, 48)
	for _, x := range xs {
		g.squeeze(f, x, wearAxis, 9, true)
	}
	g.planes(f, 4.5, wearAxis+16, xs...)
	g.shape(heavy, &white, f.circle(wearEndX, wearAxis, 9))
	g.squeeze(f, wearEndX, wearAxis, 9, true)
	g.squeeze(f, wearEndX, wearAxis, 9, false)
	g.directions(f, 18)
}

// wearBore draws a bore in section: a bushing in its part, or the casing's.
func (g *pen) wearBore(f frame, part string) {
	in, wall, out := 8.0, 3.0, 17.0
	if part == "casing-bore" {
		in, wall, out = 14, 0, 19
	}
	for _, s := range []float64{-1, 1} {
		fy := frame{f.x, f.y + f.k*wearAxis, f.k}
		g.cut(fy.mirror(s, 6, in+wall, 48, in+wall, 48, out, 6, out), 45, 1.9)
		if wall > 0 {
			g.cut(fy.mirror(s, 6, in, 48, in, 48, in+wall, 6, in+wall), 135, 1.1)
		}
	}
	if part == "casing-bore" {
		// The casing's closed side, behind which the bracket is.
		g.cut(f.polygon(48, wearAxis-out, 52, wearAxis-out, 52, wearAxis-5, 48, wearAxis-5), 45, 1.9)
		g.cut(f.polygon(48, wearAxis+5, 52, wearAxis+5, 52, wearAxis+out, 48, wearAxis+out), 45, 1.9)
	}
	g.centre(f, 2, wearAxis, 55)
	xs := g.along(12, 27, 42)
	g.planes(f, 2.5, wearAxis+in+wall, xs...)
	for _, x := range xs {
		g.stretch(f, x, wearAxis, in, true)
	}
	k := 0.86 // the end view is a little smaller, so that the numbers stand clear
	if wall > 0 {
		g.cut(join(false, f.circle(wearEndX, wearAxis, in+wall+3), f.circle(wearEndX, wearAxis, in+wall)), 45, 1.9)
		g.cut(join(false, f.circle(wearEndX, wearAxis, in+wall), f.circle(wearEndX, wearAxis, in)), 135, 1.1)
		k = 1
	} else {
		g.cut(join(false, f.circle(wearEndX, wearAxis, 15.5), f.circle(wearEndX, wearAxis, in*k)), 45, 1.9)
	}
	g.stretch(f, wearEndX, wearAxis, in*k, true)
	g.stretch(f, wearEndX, wearAxis, in*k, false)
	g.directions(f, 18)
}

// wearTeeth draws the rotor, measured over the tips of the teeth.
func (g *pen) wearTeeth(f frame) {
	const tip = 12.0
	cx, cy := f.at(wearEndX, wearAxis)
	g.shape(plain, &white, f.polygon(44, wearAxis-4, 52, wearAxis-4, 52, wearAxis+4, 44, wearAxis+4))
	px, py := f.at(52, wearAxis-4)
	_, qy := f.at(52, wearAxis+4)
	g.wave(px, py, qy)
	g.shape(plain, &white, f.rect(38, wearAxis-tip, 6, 2*tip))
	for i := range 4 {
		g.shape(plain, &white, f.rect(6, wearAxis-tip+float64(i)*6.5, 32, 4.5))
	}
	g.rotorEnd(cx, cy, 7.5*f.k, tip*f.k, g.rotorTeeth())
	g.dashed(thin, dashes, f.circle(wearEndX, wearAxis, tip))
	g.centre(f, 3, wearAxis, 53)
	xs := g.along(11, 22, 33)
	for _, x := range xs {
		g.squeeze(f, x, wearAxis, tip, true)
	}
	g.planes(f, 2.4, wearAxis+tip, xs...)
	g.squeeze(f, wearEndX, wearAxis, tip, true)
	g.squeeze(f, wearEndX, wearAxis, tip, false)
	g.directions(f, tip+9)
}

// wearLength draws the idler, measured over its end faces at places round it.
func (g *pen) wearLength(f frame) {
	const tip = 12.0
	cx, cy := f.at(wearEndX, wearAxis)
	g.shape(plain, &white, f.rect(14, wearAxis-tip, 28, 2*tip))
	for _, y := range []float64{-9.5, -4, 2, 7.5} {
		g.stroke(thin, f.line(14, wearAxis+y, 42, wearAxis+y))
	}
	g.centre(f, 8, wearAxis, 48)
	g.squeeze(f, 28, wearAxis-6.8, 14, false)
	g.shape(plain, &white, gear(cx, cy, 7.5*f.k, tip*f.k, g.idlerTeeth(), 0, 0.6, 0.34))
	g.stroke(plain, page.Circle(cx, cy, 4*f.k))
	for i, letter := range g.letters() {
		a := 360 * float64(i) / float64(len(g.letters()))
		bx, by := clock(cx, cy, tip*f.k+ball+1, a)
		g.bubble(bx, by, letter)
	}
}

// wearFace draws the head's inside face under a straight edge.
func (g *pen) wearFace(f frame) {
	const x, r = 28.0, 21.0
	cx, cy := f.at(x, wearAxis)
	g.shape(plain, &white, page.Circle(cx, cy, r*f.k))
	g.dashed(thin, dashes, page.Circle(cx, cy, 17*f.k))
	ix, iy := f.at(x-3, wearAxis-3)
	g.shape(plain, &white, crescentShape(cx, cy, ix, iy, 11*f.k, 12.3*f.k, 135, 52))
	g.shape(plain, &white, page.Circle(ix, iy, 4*f.k))
	// The straight edge's places keep clear of pin and crescent.
	g.shape(plain, &white, f.rect(x-16, wearAxis-15.5, 32, 3))
	for k, letter := range g.letters() {
		px, py := f.at(x+11-11*float64(k), wearAxis-14)
		g.bubble(px, py, letter)
	}
	if g.directed() {
		g.shape(plain, &white, f.rect(x+12.5, wearAxis-10.5, 3, 26))
		for k, letter := range g.letters() {
			px, py := f.at(x+14, wearAxis-7+9*float64(k))
			g.bubble(px, py, letter)
		}
		one, oneY := f.at(x+14, wearAxis+20)
		g.bubble(one, oneY, "1")
		two, twoY := f.at(x-20, wearAxis-14)
		g.bubble(two, twoY, "2")
	}

	// Seen from the side: the edge bridges the worn hollow, the feeler goes under.
	g.cut(f.polygon(60, 26, 66, 26, 68, 28.5, 92, 28.5, 94, 26, 98, 26, 98, 40, 60, 40), 45, 1.9)
	g.shape(heavy, &white, f.rect(58, 20, 41, 6))
	px, py := f.at(80, 27.3)
	qx, qy := f.at(80, 14)
	g.arrow(heavy, 2.8, qx, qy, px, py)
	g.fill(&black, f.rect(76, 26.6, 8, 1.2))
}

// wearCrescent draws the crescent standing on its head.
func (g *pen) wearCrescent(f frame) {
	g.cut(f.polygon(6, 6, 16, 6, 16, 44, 6, 44), 45, 1.9)
	g.shape(heavy, &white, f.rect(16, wearAxis-5, 38, 10))
	xs := g.along(22, 35, 48)
	for _, x := range xs {
		g.squeeze(f, x, wearAxis, 5, true)
	}
	g.planes(f, 6, wearAxis+14, xs...)
	cx, cy := f.at(wearEndX-1, wearAxis-9)
	ix, iy := f.at(wearEndX-1, wearAxis-17)
	g.add(page.Path{Segs: crescentShape(cx, cy, ix, iy, 20*f.k, 22*f.k, 180, 70), Fill: &white, Stroke: &black, Width: heavy, Round: true})
	across := []float64{160, 200}
	if !g.directed() {
		across = []float64{180} // the middle
	}
	for i, a := range across {
		// Across the crescent, outer face to inner face.
		ox, oy := clock(cx, cy, 20*f.k, a)
		nx, ny := clock(cx, cy, 15*f.k, a)
		fx, fy := clock(cx, cy, 27*f.k, a)
		hx, hy := clock(cx, cy, 8*f.k, a)
		g.arrow(heavy, 2.8, fx, fy, ox, oy)
		g.arrow(heavy, 2.8, hx, hy, nx, ny)
		if len(across) > 1 {
			bx, by := clock(cx, cy, 27*f.k+ball, a)
			g.bubble(bx, by, string(rune('1'+i)))
		}
	}
}
