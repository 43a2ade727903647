package figure

import "jobsheaf/internal/page"

// dialIndicator is a dial indicator on the end of the shaft, its stem in line
// with the shaft and its base on a part that stays still. Zero is at the first
// drag on the head: pushing the shaft to and fro alone would read the play of the
// bearing and not the end clearance.
var dialIndicator = spec{
	name: "dial-indicator", what: "Dial indicator on the end of the shaft", least: 60,
	words: []string{"dial_stem", "dial_base", "dial_in", "dial_out", "part.bearing_housing"},
	draw:  drawDialIndicator,
}

func drawDialIndicator(g *pen) error {
	width := min(g.d.W-1, 72)
	k := width / 96
	left := (g.d.W - width) / 2
	f := frame{left, 28.5*k + 0.3, k}
	// Bracket with its foot, bearing housing, end cap, nut, shaft: from outside.
	g.shape(plain, &white, f.polygon(0, -28, 17, -28, 17, 28, 0, 28))
	g.shape(plain, &white, f.polygon(0, 28, 17, 28, 20, 34, 0, 34))
	for _, b := range [][4]float64{{17, 25, 6, 0}, {23, 17, 2.5, 0}, {25.5, 11.4, 1.4, 0}, {26.9, 10.4, 6, 0}, {32.9, 6, 22, 0}} {
		g.shape(plain, &white, f.rect(b[0], -b[1], b[2], 2*b[1]))
	}
	g.fill(&black, f.rect(25.5, -11.4, 1.4, 22.8))
	g.shape(thin, &white, f.rect(45, -2, 8, 4)) // key slot
	g.shape(plain, &white, f.polygon(54.9, -6, 55.9, -5, 55.9, 5, 54.9, 6))
	// Base plate, stand, indicator.
	g.cut(f.rect(0, 34, 96, 4), 45, 1.7)
	g.shape(plain, &black, f.rect(66, 26, 18, 8))
	g.shape(plain, &white, f.rect(73.8, 9, 2.4, 17))
	g.shape(heavy, &white, f.circle(75, 0, 11))
	g.shape(plain, &white, f.rect(59.5, -1.5, 4.6, 3))
	g.shape(plain, &white, f.rect(56.2, -0.7, 3.3, 1.4))
	cx, cy := f.at(75, 0)
	for i := range 20 {
		r1, r2 := 9.6*k, 8.2*k
		if i%5 == 0 {
			r2 = 7.2 * k
		}
		x1, y1 := clock(cx, cy, r1, 18*float64(i))
		x2, y2 := clock(cx, cy, r2, 18*float64(i))
		g.line(thin, x1, y1, x2, y2)
	}
	x, y := clock(cx, cy, 6.6*k, 24)
	g.line(heavy, cx, cy, x, y)
	g.fill(&black, page.Circle(cx, cy, 0.7))
	// Bearing housing and shaft go in to the drag, and come back out.
	for _, to := range []float64{-1, 1} {
		ax, ay := f.at(44+to*1.5, -13)
		bx, _ := f.at(44+to*10.5, -13)
		g.arrow(heavy, 3, ax, ay, bx, ay)
		nx, _ := f.at(44+to*10.5, -13)
		g.bubble(nx+to*(ball+1), ay, map[float64]string{-1: "3", 1: "4"}[to])
	}
	nx, ny := f.at(60, 14)
	px, py := f.at(58.5, 0.6)
	g.leader(nx, ny, px, py)
	g.bubble(nx, ny, "1")
	nx, ny = f.at(90, 22)
	px, py = f.at(82, 29)
	g.line(plain, nx, ny, px, py)
	g.bubble(nx, ny, "2")
	nx, ny = f.at(20, 0)
	g.bubble(nx, ny, "5")
	_, low := f.at(0, 38.5)
	g.d.H = g.legend(note, 0, low+1, g.d.W, max(1, int(g.d.W/42)), []entry{
		{"1", g.words("dial_stem")}, {"2", g.words("dial_base")}, {"3", g.words("dial_in")}, {"4", g.words("dial_out")}, {"5", g.words("part.bearing_housing")}}) + 0.3
	return nil
}
