package figure

import (
	"slices"

	"jobsheaf/internal/page"
)

// frame places a drawing that is thought in units of its own: the point (0, 0)
// lies at (x, y) on the figure, and one unit is k mm. Line weights and text are
// not scaled.
type frame struct{ x, y, k float64 }

func (f frame) at(x, y float64) (float64, float64) { return f.x + f.k*x, f.y + f.k*y }

// polygon gives a closed outline through points in units.
func (f frame) polygon(xy ...float64) []page.Seg { return page.Polygon(f.all(xy)...) }

// line gives an open line through points in units.
func (f frame) line(xy ...float64) []page.Seg { return page.Polyline(f.all(xy)...) }

func (f frame) all(xy []float64) []float64 {
	out := make([]float64, len(xy))
	for i := 0; i+1 < len(xy); i += 2 {
		out[i], out[i+1] = f.at(xy[i], xy[i+1])
	}
	return out
}

// mirror is polygon with every y turned to the other side of the axis where
// side is -1.
func (f frame) mirror(side float64, xy ...float64) []page.Seg {
	out := f.all(xy)
	for i := 1; i < len(out); i += 2 {
		out[i] = f.y + side*(out[i]-f.y)
	}
	return page.Polygon(out...)
}

func (f frame) circle(x, y, r float64) []page.Seg {
	cx, cy := f.at(x, y)
	return page.Circle(cx, cy, f.k*r)
}

func (f frame) rect(x, y, w, h float64) []page.Seg {
	px, py := f.at(x, y)
	return page.Rect(px, py, w*f.k, h*f.k)
}

// callout is a numbered part: where it is, on the figure in mm, and its name.
type callout struct {
	x, y float64
	name string
	top  bool // its number stands above the drawing, else below
}

// callouts puts numbers in a row above and a row below the drawing, joined to
// their parts by leaders, and returns the names by number. Each row is in the
// order of its parts from left to right, so that leaders cross as little as may
// be. Parts of one name share a number.
func (g *pen) callouts(parts []callout, top, bottom, left, right float64) []string {
	names := make([]string, 0, len(parts))
	for _, above := range []bool{true, false} {
		row := make([]callout, 0, len(parts))
		for _, c := range parts {
			if c.top == above {
				row = append(row, c)
			}
		}
		y := bottom
		if above {
			y = top
		}
		for i, x := range spread(row, 2*ball+0.8, left+ball, right-ball) {
			c := row[i]
			g.leader(x, y, c.x, c.y)
			n := slices.Index(names, c.name)
			if n < 0 {
				n = len(names)
				names = append(names, c.name)
			}
			g.bubble(x, y, decimalText(float64(n+1), 0, ""))
		}
	}
	return names
}

// spread gives each part a place for its number, at least gap from the next and
// as near to its part as that allows: clusters share their displacement.
func spread(row []callout, gap, left, right float64) []float64 {
	type group struct {
		sum float64 // of wanted first places
		n   int
	}
	// With place i wanted at x - i*gap, the places must only not decrease.
	var groups []group
	for i, c := range row {
		groups = append(groups, group{c.x - float64(i)*gap, 1})
		for k := len(groups) - 1; k > 0 && groups[k].sum/float64(groups[k].n) < groups[k-1].sum/float64(groups[k-1].n); k-- {
			groups[k-1].sum += groups[k].sum
			groups[k-1].n += groups[k].n
			groups = groups[:k]
		}
	}
	out := make([]float64, 0, len(row))
	for _, gr := range groups {
		for range gr.n {
			i := float64(len(out))
			x := min(gr.sum/float64(gr.n), right-float64(len(row)-1)*gap)
			out = append(out, max(x, left)+i*gap)
		}
	}
	return out
}

// gear gives the outline of a gear of straight-sided teeth between the radii
// root and tip, its first tooth at clock angle a. Wide and narrow are the parts
// of the pitch that a tooth fills at its root and at its tip.
func gear(cx, cy, root, tip float64, teeth int, a, wide, narrow float64) []page.Seg {
	xy := make([]float64, 0, 8*teeth)
	pitch := 360 / float64(teeth)
	for i := range teeth {
		m := a + pitch*float64(i)
		for _, p := range [4][2]float64{{root, -wide / 2}, {tip, -narrow / 2}, {tip, narrow / 2}, {root, wide / 2}} {
			x, y := clock(cx, cy, p[0], m+p[1]*pitch)
			xy = append(xy, x, y)
		}
	}
	return page.Polygon(xy...)
}

// helix draws a compression spring between two points on a line of constant y,
// as a zigzag.
func (g *pen) helix(x1, x2, y, r float64, turns int) {
	xy := make([]float64, 0, 4*turns+2)
	xy = append(xy, x1, y-r)
	for i := range turns {
		t := (x2 - x1) / float64(turns)
		xy = append(xy, x1+t*(float64(i)+0.5), y+r, x1+t*float64(i+1), y-r)
	}
	g.line(plain, xy...)
}

// helixUp is helix along a vertical line.
func (g *pen) helixUp(x, y1, y2, r float64, turns int) {
	xy := make([]float64, 0, 4*turns+2)
	xy = append(xy, x-r, y1)
	for i := range turns {
		t := (y2 - y1) / float64(turns)
		xy = append(xy, x+r, y1+t*(float64(i)+0.5), x-r, y1+t*float64(i+1))
	}
	g.line(plain, xy...)
}

// wave draws a broken-off end as a shallow S at x between two heights.
func (g *pen) wave(x, y1, y2 float64) {
	d := (y2 - y1) / 4
	m := (y1 + y2) / 2
	g.stroke(thin, []page.Seg{
		{Op: page.Move, P: [6]float64{x, y1}},
		{Op: page.Curve, P: [6]float64{x + d*0.5, y1 + d*0.7, x + d*0.5, m - d*0.7, x, m}},
		{Op: page.Curve, P: [6]float64{x - d*0.5, m + d*0.7, x - d*0.5, y2 - d*0.7, x, y2}},
	})
}

// leader draws a line from a number to its part, clear of what it crosses,
// with a dot at its end.
func (g *pen) leader(x, y, px, py float64) {
	g.add(page.Path{Segs: page.Polyline(x, y, px, py), Stroke: &white, Width: 4 * thin})
	g.line(plain, x, y, px, py)
	g.shape(thin, &black, page.Circle(px, py, 0.55))
}
