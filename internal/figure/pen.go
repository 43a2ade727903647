package figure

import (
	"math"
	"slices"

	"jobsheaf/internal/page"
)

// Line weights in mm. There are no others, so that a copy of a copy still tells
// hatching from an outline.
const (
	thin  = 0.25 // centre lines, hatching, ticks
	plain = 0.35 // edges, leaders
	heavy = 0.60 // what the figure is about
)

// The inks. Grey is for what lies behind; nothing hangs on it alone.
var (
	black = page.Ink{}
	white = page.Ink{R: 255, G: 255, B: 255}
	grey  = page.Ink{R: 120, G: 120, B: 120}
	red   = page.Ink{R: 200, G: 0, B: 20} // dark enough to print black where there is no red
)

var dashes = []float64{2, 1.2}

// chain is the dash of a centre line.
var chain = []float64{5, 1.2, 0.8, 1.2}

// pen draws one figure.
type pen struct {
	in Params
	d  Drawing
	// Kept from one hatching to the next.
	edges []edge
	hits  []float64
}

func (g *pen) num(name string) float64          { return g.in.Numbers[name] }
func (g *pen) given(name string) bool           { _, ok := g.in.Numbers[name]; return ok }
func (g *pen) words(name string) string         { return g.in.Words(wordKey(name)) }
func (g *pen) param(name string) string         { return g.in.Texts[name] }
func (g *pen) list(name string) []string        { return g.in.Lists[name] }
func (g *pen) series(name string) []float64     { return g.in.Series[name] }
func (g *pen) add(p page.Path)                  { g.d.Paths = append(g.d.Paths, p) }
func (g *pen) fill(ink *page.Ink, s []page.Seg) { g.add(page.Path{Segs: s, Fill: ink}) }

// stroke draws an outline in black.
func (g *pen) stroke(w float64, segs []page.Seg) {
	g.add(page.Path{Segs: segs, Stroke: &black, Width: w, Round: true})
}

// shape draws an outline over a filling.
func (g *pen) shape(w float64, fill *page.Ink, segs []page.Seg) {
	g.add(page.Path{Segs: segs, Fill: fill, Stroke: &black, Width: w, Round: true})
}

// line draws a line through points.
func (g *pen) line(w float64, xy ...float64) { g.stroke(w, page.Polyline(xy...)) }

// dashed draws a broken line.
func (g *pen) dashed(w float64, dash []float64, segs []page.Seg) {
	g.add(page.Path{Segs: segs, Stroke: &black, Width: w, Dash: dash})
}

// centreLine draws a chain line, a little thin.
func (g *pen) centreLine(x1, y1, x2, y2 float64) {
	g.dashed(thin, chain, page.Polyline(x1, y1, x2, y2))
}

// head draws a filled arrow head with its tip at (x, y), pointing along the
// direction a, in degrees clockwise from three o'clock.
func (g *pen) head(x, y, a, size float64) {
	s, c := math.Sincos(a * math.Pi / 180)
	bx, by := x-size*c, y-size*s
	h := size * 0.38
	g.fill(&black, page.Polygon(x, y, bx-h*s, by+h*c, bx+h*s, by-h*c))
}

// arrow draws a line that ends in a head.
func (g *pen) arrow(w, size, x1, y1, x2, y2 float64) {
	a := math.Atan2(y2-y1, x2-x1)
	s, c := math.Sincos(a)
	g.line(w, x1, y1, x2-size*0.8*c, y2-size*0.8*s)
	g.head(x2, y2, a*180/math.Pi, size)
}

// span draws a line with a head at both ends: a dimension.
func (g *pen) span(x1, y1, x2, y2 float64) {
	const size = 2.2
	a := math.Atan2(y2-y1, x2-x1)
	s, c := math.Sincos(a)
	g.line(thin, x1+size*0.8*c, y1+size*0.8*s, x2-size*0.8*c, y2-size*0.8*s)
	g.head(x2, y2, a*180/math.Pi, size)
	g.head(x1, y1, a*180/math.Pi+180, size)
}

// arcArrow draws an arc from clock angle a over sweep degrees, clockwise where
// sweep is above zero, that ends in a head.
func (g *pen) arcArrow(w, size, cx, cy, r, a, sweep float64) {
	back := math.Copysign(size/r*180/math.Pi, sweep)
	if short := math.Abs(sweep) * 0.8; math.Abs(back) > short {
		back = math.Copysign(short, sweep)
	}
	g.stroke(w, page.Arc(cx, cy, r, a-90, sweep-back*0.8))
	x, y := clock(cx, cy, r, a+sweep)
	// The chord over the head's length points where the head should.
	bx, by := clock(cx, cy, r, a+sweep-back)
	g.head(x, y, math.Atan2(y-by, x-bx)*180/math.Pi, size)
}

// clock gives the point at a distance from a centre, by an angle in degrees
// clockwise from twelve o'clock.
func clock(cx, cy, r, deg float64) (x, y float64) {
	s, c := math.Sincos(deg * math.Pi / 180)
	return cx + r*s, cy - r*c
}

// join makes one path out of several, for shapes with holes and for outlines
// made of arcs and lines. Every part but the first may be welded to the one
// before it: its Move becomes a Line.
func join(weld bool, parts ...[]page.Seg) []page.Seg {
	n := 0
	for _, p := range parts {
		n += len(p)
	}
	out := make([]page.Seg, 0, n+1)
	for i, p := range parts {
		at := len(out)
		out = append(out, p...)
		if weld && i > 0 && len(p) > 0 {
			out[at].Op = page.Line
		}
	}
	return out
}

// closed ends a path.
func closed(segs []page.Seg) []page.Seg { return append(segs, page.Seg{Op: page.Close}) }

// ring is a flat ring, to be filled by the even-odd rule.
func ring(cx, cy, r1, r2 float64) []page.Seg {
	return join(false, page.Circle(cx, cy, r1), page.Circle(cx, cy, r2))
}

// sector is the piece of a ring between two radii, from clock angle a over
// sweep degrees.
func sector(cx, cy, r1, r2, a, sweep float64) []page.Seg {
	return closed(join(true, page.Arc(cx, cy, r2, a-90, sweep), page.Arc(cx, cy, r1, a-90+sweep, -sweep)))
}

// hexagon has a flat at the top; r is half the distance over the corners.
func hexagon(cx, cy, r, turn float64) []page.Seg {
	xy := make([]float64, 0, 12)
	for i := range 6 {
		x, y := clock(cx, cy, r, turn+30+60*float64(i))
		xy = append(xy, x, y)
	}
	return page.Polygon(xy...)
}

// hatch draws lines at an angle (degrees, counter-clockwise from three o'clock)
// and a distance in mm over the inside of an outline, by the even-odd rule. A
// section is hatched so, since a tint does not survive a photocopier.
func (g *pen) hatch(segs []page.Seg, angle, gap float64) {
	g.edges = flatten(g.edges[:0], segs)
	edges := g.edges
	sin, cos := math.Sincos(angle * math.Pi / 180)
	// In turned axes u runs along the lines and v across them.
	for i := range edges {
		e := &edges[i]
		e.x1, e.y1 = e.x1*cos-e.y1*sin, e.x1*sin+e.y1*cos
		e.x2, e.y2 = e.x2*cos-e.y2*sin, e.x2*sin+e.y2*cos
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, e := range edges {
		low, high = min(low, e.y1, e.y2), max(high, e.y1, e.y2)
	}
	if !(high > low) {
		return
	}
	out := make([]page.Seg, 0, 2*int((high-low)/gap+2))
	hits := g.hits
	for k := math.Ceil(low / gap); k*gap < high; k++ {
		v := k * gap
		hits = hits[:0]
		for _, e := range edges {
			if (e.y1 <= v) != (e.y2 <= v) {
				hits = append(hits, e.x1+(v-e.y1)*(e.x2-e.x1)/(e.y2-e.y1))
			}
		}
		slices.Sort(hits)
		for i := 0; i+1 < len(hits); i += 2 {
			u1, u2 := hits[i], hits[i+1]
			out = append(out,
				page.Seg{Op: page.Move, P: [6]float64{u1*cos + v*sin, -u1*sin + v*cos}},
				page.Seg{Op: page.Line, P: [6]float64{u2*cos + v*sin, -u2*sin + v*cos}})
		}
	}
	g.hits = hits
	if len(out) > 0 {
		g.add(page.Path{Segs: out, Stroke: &black, Width: thin})
	}
}

// cut draws a part in section: white ground, hatching, outline.
func (g *pen) cut(segs []page.Seg, angle, gap float64) {
	g.add(page.Path{Segs: segs, Fill: &white, Even: true})
	g.hatch(segs, angle, gap)
	g.stroke(plain, segs)
}

type edge struct{ x1, y1, x2, y2 float64 }

// flatten adds a path's edges to a list; a curve becomes eight.
func flatten(out []edge, segs []page.Seg) []edge {
	var x, y, sx, sy float64
	to := func(nx, ny float64) {
		out = append(out, edge{x, y, nx, ny})
		x, y = nx, ny
	}
	for _, s := range segs {
		switch s.Op {
		case page.Move:
			x, y = s.P[0], s.P[1]
			sx, sy = x, y
		case page.Line:
			to(s.P[0], s.P[1])
		case page.Curve:
			x0, y0 := x, y
			for i := 1; i <= 8; i++ {
				t := float64(i) / 8
				a, b, c, d := (1-t)*(1-t)*(1-t), 3*t*(1-t)*(1-t), 3*t*t*(1-t), t*t*t
				to(a*x0+b*s.P[0]+c*s.P[2]+d*s.P[4], a*y0+b*s.P[1]+c*s.P[3]+d*s.P[5])
			}
		case page.Close:
			to(sx, sy)
		}
	}
	return out
}

// ringLine draws a thin circle in an ink.
func (g *pen) ringLine(ink page.Ink, cx, cy, r float64) {
	g.add(page.Path{Segs: page.Circle(cx, cy, r), Stroke: &ink, Width: thin})
}
