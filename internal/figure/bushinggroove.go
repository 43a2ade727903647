package figure

import "jobsheaf/internal/page"

// bushingGroove is the end of a grooved bushing in its bore, the groove at
// twelve o'clock.
var bushingGroove = spec{
	name: "bushing-groove", what: "Bushing groove at twelve o'clock", least: 60,
	words: []string{"groove_up", "groove_bushing", "groove_groove", "top"},
	draw:  drawBushingGroove,
}

func drawBushingGroove(g *pen) error {
	side := min(g.d.W*0.46, 60)
	f := frame{side / 2, 6, side / 60}
	const out, in = 17.0, 12.0
	g.cut(join(false, f.polygon(-26, 44, -26, 40, -20, 30, -20, 4, 20, 4, 20, 30, 26, 40, 26, 44), f.circle(0, 24, out)), 45, 2)
	cx, cy := f.at(0, 24)
	g.cut(join(false, f.circle(0, 24, out), f.circle(0, 24, in)), 135, 1.2)
	// The groove: a notch in the bore, all black.
	g.shape(plain, &black, sector(cx, cy, (in-0.1)*f.k, (in+2.8)*f.k, -11, 22))
	for _, a := range []float64{0, 90, 180, 270} {
		x1, y1 := clock(cx, cy, (out+3)*f.k, a)
		x2, y2 := clock(cx, cy, (out+1)*f.k, a)
		g.add(page.Path{Segs: page.Polyline(x1, y1, x2, y2), Stroke: &white, Width: 4 * thin})
		g.line(heavy, x1, y1, x2, y2)
	}
	// Twelve o'clock.
	tx, ty := f.at(0, 3)
	g.head(tx, ty, 90, 3.4)
	g.text(note, tx+2.6, ty-1, g.words("top"))
	x := side + 4
	w := g.d.W - x
	y := g.para(strong, x, 1, w, g.words("groove_up"))
	y = g.legend(work, x, y+2, w, 1, []entry{{"A", g.words("groove_groove")}, {"B", g.words("groove_bushing")}})
	// The letters stand in the bore, with leaders.
	for i, to := range [][2]float64{{0, 24 - in - 1.4}, {0, 24 + in + 2.5}} {
		bx, by := f.at(0, 24-5+10*float64(i))
		px, py := f.at(to[0], to[1])
		g.line(plain, bx, by, px, py)
		g.bubble(bx, by, string(rune('A'+i)))
	}
	_, low := f.at(0, 44)
	g.d.H = max(y, low+1)
	return nil
}
