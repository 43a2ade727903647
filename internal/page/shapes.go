package page

import "math"

// kappa places a cubic Bézier's controls so that it follows a quarter circle to
// within 0.03 % of the radius.
const kappa = 0.5522847498307936

// Polyline gives the segments of an open line through points x1, y1, x2, y2...
func Polyline(xy ...float64) []Seg {
	segs := make([]Seg, 0, len(xy)/2+1)
	for i := 0; i+1 < len(xy); i += 2 {
		op := Line
		if i == 0 {
			op = Move
		}
		segs = append(segs, Seg{Op: op, P: [6]float64{xy[i], xy[i+1]}})
	}
	return segs
}

// Polygon gives the segments of a closed figure through the points.
func Polygon(xy ...float64) []Seg { return append(Polyline(xy...), Seg{Op: Close}) }

// Rect gives the segments of a rectangle.
func Rect(x, y, w, h float64) []Seg { return Polygon(x, y, x+w, y, x+w, y+h, x, y+h) }

// Circle gives the segments of a circle about (cx, cy).
func Circle(cx, cy, r float64) []Seg {
	k := r * kappa
	return []Seg{
		{Move, [6]float64{cx + r, cy}},
		{Curve, [6]float64{cx + r, cy + k, cx + k, cy + r, cx, cy + r}},
		{Curve, [6]float64{cx - k, cy + r, cx - r, cy + k, cx - r, cy}},
		{Curve, [6]float64{cx - r, cy - k, cx - k, cy - r, cx, cy - r}},
		{Curve, [6]float64{cx + k, cy - r, cx + r, cy - k, cx + r, cy}},
		{Op: Close},
	}
}

// Arc gives the segments of a circular arc from angle a, sweeping by sweep.
// Both are in degrees, clockwise on the page from three o'clock (y grows
// downward), each piece at most 45 degrees.
func Arc(cx, cy, r, a, sweep float64) []Seg {
	n := max(1, int(math.Ceil(math.Abs(sweep)/45)))
	step := sweep / float64(n) * math.Pi / 180
	k := 4.0 / 3 * math.Tan(step/4) * r
	at := a * math.Pi / 180
	s, c := math.Sincos(at)
	segs := []Seg{{Move, [6]float64{cx + r*c, cy + r*s}}}
	for range n {
		s2, c2 := math.Sincos(at + step)
		segs = append(segs, Seg{Curve, [6]float64{
			cx + r*c - k*s, cy + r*s + k*c,
			cx + r*c2 + k*s2, cy + r*s2 - k*c2,
			cx + r*c2, cy + r*s2,
		}})
		at, s, c = at+step, s2, c2
	}
	return segs
}
