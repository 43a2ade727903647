package figure

import "jobsheaf/internal/page"

// accessHole is the wall of the stuffing box with its access plug out and a hex
// key through it on the set screw of the collar.
var accessHole = spec{
	name: "access-hole", what: "Set screw reached through the access hole", least: 60,
	words: []string{"access_plug_out", "access_key", "part.set_collar", "access_wall", "access_turn"},
	draw:  drawAccessHole,
}

func drawAccessHole(g *pen) error {
	side := min(g.d.W*0.5, 46)
	k := (side - 1) / 30
	f := frame{0.5 - 51*k, 35.5*k + 0.3, k}
	// Wall, cut, with the hole and its thread.
	g.cut(f.polygon(51.5, -23, 62.6, -23, 62.6, -boxR, 51.5, -boxR), 45, 1.9)
	g.cut(f.polygon(66.4, -23, 80.5, -23, 80.5, -boxR, 66.4, -boxR), 45, 1.9)
	for _, x := range []float64{63.1, 65.9} {
		g.stroke(thin, f.line(x, -23, x, -18))
	}
	// Shaft, collar cut on both sides of its set screw.
	g.shape(plain, &white, f.polygon(51.5, -shaftR, 80.5, -shaftR, 80.5, 1.5, 51.5, 1.5))
	g.fill(&white, f.rect(51, 0.6, 30, 1.1))
	g.stroke(plain, f.line(51.5, -shaftR, 80.5, -shaftR))
	g.centre(f, 51.5, 0.2, 80.5)
	g.cut(f.polygon(61, -shaftR, 68, -shaftR, 68, -12, 61, -12), 45, 1.3)
	g.shape(plain, &white, f.polygon(63, -shaftR, 66, -shaftR, 66, -11, 63, -11))
	for _, x := range []float64{63.5, 65.5} {
		g.stroke(thin, f.line(x, -shaftR, x, -11))
	}
	// The key, straight through the hole into the screw.
	g.fill(&black, f.polygon(63.8, -8.2, 65.2, -8.2, 65.2, -33.6, 64.4, -34.4, 57.5, -34.4, 57.5, -33, 63.8, -33))
	// The plug beside it.
	for _, half := range [][]float64{{72.2, -26, 76, -26, 76, -31, 72.2, -31}, {72.8, -31, 75.4, -31, 75.4, -33.6, 72.8, -33.6}} {
		g.shape(plain, &white, f.polygon(half...))
	}
	for _, x := range []float64{72.8, 75.4} {
		g.stroke(thin, f.line(x, -26, x, -29.5))
	}
	for i, to := range [][4]float64{{78.6, -28.5, 75.2, -28.5}, {55.2, -28.5, 64.3, -26}, {56.5, -9.5, 61.6, -9}, {56.5, -19.5, 0, 0}} {
		x, y := f.at(to[0], to[1])
		if to[2] != 0 {
			px, py := f.at(to[2], to[3])
			g.add(page.Path{Segs: page.Polyline(x, y, px, py), Stroke: &white, Width: 4 * thin})
			g.line(plain, x, y, px, py)
		}
		g.bubble(min(max(x, ball+rim), side-ball), y, string(rune('1'+i)))
	}
	left := side + 4
	y := g.legend(note, left, 1, g.d.W-left, 1, []entry{
		{"1", g.words("access_plug_out")}, {"2", g.words("access_key")}, {"3", g.words("part.set_collar")}, {"4", g.words("access_wall")}})
	y = g.para(note, left, y+0.5, g.d.W-left, g.words("access_turn"))
	_, low := f.at(0, 1.8)
	g.d.H = max(y, low) + 0.3
	return nil
}
