package figure

import "jobsheaf/internal/page"

// halfRings shows the two half rings in the groove of the shaft and the collar
// that goes over them: from the end and in section.
var halfRings = spec{
	name: "half-rings", what: "Half rings and their collar", least: 60,
	words: []string{"half_rings_groove", "half_rings_collar", "part.shaft", "rotor_end", "shaft_end"},
	draw:  drawHalfRings,
}

func drawHalfRings(g *pen) error {
	const s = shaftR
	k := min(g.d.W-1, 75) / 50
	left := (g.d.W - 50*k) / 2
	// In section: the collar comes from the shaft end, its hollow side first.
	f := frame{left - (98-21)*k, 12*k + 0.5, k}
	g.shape(plain, &white, f.polygon(99, -s, 106, -s, 106, 1.6-s, 109.9, 1.6-s, 109.9, -s, 126, -s, 126, s, 109.9, s, 109.9, s-1.6, 106, s-1.6, 106, s, 99, s))
	const off = 10.5 // how far the collar still has to go
	for _, side := range []float64{-1, 1} {
		g.shape(plain, &black, f.mirror(side, 106.3, s-1.5, 109.6, s-1.5, 109.6, 7.8, 106.3, 7.8))
		g.cut(f.mirror(side, 106+off, 8.1, 110+off, 8.1, 110+off, s+0.1, 113+off, s+0.1, 113+off, collarR, 106+off, collarR), 135, 1.1)
		x1, y := f.at(106+off-1, side*8.8)
		x2, _ := f.at(110.6, side*8.8)
		g.arrow(heavy, 2.6, x1, y, x2, y)
	}
	for _, x := range []float64{106, 109.9, 106 + off, 113 + off} {
		r := s - 1.6
		if x > 110 {
			r = s
		}
		g.stroke(thin, f.line(x, -r, x, r))
	}
	g.centre(f, 98.4, 0, 126.6)
	// From the end: the halves close over the groove.
	e := frame{left + 9.4*k, f.y, k}
	g.cut(e.circle(0, 0, s-1.6), 45, 1.6)
	for _, side := range []float64{-1, 1} {
		_, cy := e.at(0, side*1.3)
		a := 90.0
		if side < 0 {
			a = -90
		}
		g.shape(plain, &black, sector(e.x, cy, (s-1.4)*k, 7.8*k, a, 180))
		x, y1 := e.at(0, side*11.8)
		_, y2 := e.at(0, side*9.3)
		g.arrow(heavy, 2, x, y1, x, y2)
	}
	mark := func(n string, x, y float64, fr frame, px, py float64) {
		bx, by := fr.at(x, y)
		tx, ty := fr.at(px, py)
		g.add(page.Path{Segs: page.Polyline(bx, by, tx, ty), Stroke: &white, Width: 4 * thin})
		g.line(plain, bx, by, tx, ty)
		g.bubble(bx, by, n)
	}
	mark("1", 103, -9.6, f, 107.5, -7.4)
	mark("2", 122.6, -2.6, f, 121.8, -7.6)
	bx, by := f.at(114.6, 2.8)
	g.bubble(bx, by, "3")
	_, y := f.at(0, 12.2)
	y = g.ends(y)
	g.d.H = g.legend(note, 0, y+1, g.d.W, max(1, int(g.d.W/50)), []entry{{"1", g.words("half_rings_groove")}, {"2", g.words("half_rings_collar")}, {"3", g.words("part.shaft")}}) + 0.3
	return nil
}
