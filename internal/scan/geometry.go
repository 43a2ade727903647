package scan

import "math"

// point is a place, in mm on the page or in pixels of the picture. A pixel's middle has
// whole coordinates.
type point struct{ x, y float64 }

func (p point) minus(q point) point      { return point{p.x - q.x, p.y - q.y} }
func (p point) plus(q point) point       { return point{p.x + q.x, p.y + q.y} }
func (p point) times(f float64) point    { return point{p.x * f, p.y * f} }
func (p point) length() float64          { return math.Hypot(p.x, p.y) }
func (p point) distance(q point) float64 { return p.minus(q).length() }

// warp takes a place on the page, in mm, to its place in the picture, in pixels:
// (ax + by + c, dx + ey + f) / (gx + hy + 1), row by row.
type warp [8]float64

func (w *warp) at(p point) point {
	s := 1 / (w[6]*p.x + w[7]*p.y + 1)
	return point{(w[0]*p.x + w[1]*p.y + w[2]) * s, (w[3]*p.x + w[4]*p.y + w[5]) * s}
}

// along gives how a step of 1 mm to the right and one of 1 mm down move in the picture, in
// pixels, at a place of the page.
func (w *warp) along(p point) (right, down point) {
	const h = 0.5
	right = w.at(point{p.x + h, p.y}).minus(w.at(point{p.x - h, p.y}))
	down = w.at(point{p.x, p.y + h}).minus(w.at(point{p.x, p.y - h}))
	return right, down
}

// scale gives the pixels to a mm at a place of the page.
func (w *warp) scale(p point) float64 {
	right, down := w.along(p)
	return math.Sqrt(math.Abs(right.x*down.y - right.y*down.x))
}

// pair is a place on the page that was found in the picture, and what it counts for.
type pair struct {
	mm, px point
	weight float64
}

// fitAffine gives the affine warp with the least squared error over at least three pairs
// that are not in line. ok is false where they do not settle it.
func fitAffine(pairs []pair) (w warp, ok bool) {
	m, n := middle(pairs)
	var a [3][4]float64 // normal equations, for x
	var b [3][4]float64 // and for y
	for _, p := range pairs {
		v := [3]float64{p.mm.x - m.x, p.mm.y - m.y, 1}
		for i := range 3 {
			for k := range 3 {
				a[i][k] += p.weight * v[i] * v[k]
				b[i][k] += p.weight * v[i] * v[k]
			}
			a[i][3] += p.weight * v[i] * (p.px.x - n.x)
			b[i][3] += p.weight * v[i] * (p.px.y - n.y)
		}
	}
	x, okX := solve([][]float64{a[0][:], a[1][:], a[2][:]})
	y, okY := solve([][]float64{b[0][:], b[1][:], b[2][:]})
	if !okX || !okY {
		return warp{}, false
	}
	return warp{x[0], x[1], x[2] + n.x - x[0]*m.x - x[1]*m.y, y[0], y[1], y[2] + n.y - y[0]*m.x - y[1]*m.y, 0, 0}, true
}

// fitPerspective gives the warp with the least squared error over at least four pairs, by
// linear equations that are weighted by the depth of a first answer, once.
func fitPerspective(pairs []pair) (w warp, ok bool) {
	m, n := middle(pairs)
	const unit = 100.0 // mm and pixels in a unit, so that the equations are of one size
	depth := make([]float64, len(pairs))
	for i := range depth {
		depth[i] = 1
	}
	var h []float64
	for range 3 {
		rows := make([][]float64, 8)
		for i := range rows {
			rows[i] = make([]float64, 9)
		}
		for i, p := range pairs {
			x, y := (p.mm.x-m.x)/unit, (p.mm.y-m.y)/unit
			u, v := (p.px.x-n.x)/unit, (p.px.y-n.y)/unit
			weight := p.weight / (depth[i] * depth[i])
			for _, r := range [2][9]float64{{x, y, 1, 0, 0, 0, -u * x, -u * y, u}, {0, 0, 0, x, y, 1, -v * x, -v * y, v}} {
				for j := range 8 {
					for k := range 9 {
						rows[j][k] += weight * r[j] * r[k]
					}
				}
			}
		}
		if h, ok = solve(rows); !ok {
			return warp{}, false
		}
		for i, p := range pairs {
			depth[i] = h[6]*(p.mm.x-m.x)/unit + h[7]*(p.mm.y-m.y)/unit + 1
			if depth[i] < 0.2 {
				return warp{}, false // the page would be seen from behind
			}
		}
	}
	// Back from the units about the middles: T = shift(n) * scale * H * scale⁻¹ * shift(-m).
	hm := [9]float64{h[0], h[1], h[2] * unit, h[3], h[4], h[5] * unit, h[6] / unit, h[7] / unit, 1}
	for i := range 3 { // the pixels' middle
		hm[i] += n.x * hm[6+i]
		hm[3+i] += n.y * hm[6+i]
	}
	for r := 0; r < 9; r += 3 { // the page's middle
		hm[r+2] -= hm[r]*m.x + hm[r+1]*m.y
	}
	for i := range w {
		w[i] = hm[i] / hm[8]
	}
	return w, true
}

// middle gives the weighted middles of pairs, on the page and in the picture.
func middle(pairs []pair) (mm, px point) {
	var sum float64
	for _, p := range pairs {
		mm, px, sum = mm.plus(p.mm.times(p.weight)), px.plus(p.px.times(p.weight)), sum+p.weight
	}
	if sum == 0 {
		return mm, px
	}
	return mm.times(1 / sum), px.times(1 / sum)
}

// solve solves linear equations, one a row with the right side last, in place. ok is
// false where they do not settle all unknowns.
func solve(rows [][]float64) (x []float64, ok bool) {
	n := len(rows)
	for i := range n {
		best := i
		for r := i + 1; r < n; r++ {
			if math.Abs(rows[r][i]) > math.Abs(rows[best][i]) {
				best = r
			}
		}
		rows[i], rows[best] = rows[best], rows[i]
		if !(math.Abs(rows[i][i]) > 1e-9) {
			return nil, false
		}
		for r := i + 1; r < n; r++ {
			f := rows[r][i] / rows[i][i]
			for c := i; c <= n; c++ {
				rows[r][c] -= f * rows[i][c]
			}
		}
	}
	x = make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		x[i] = rows[i][n]
		for c := i + 1; c < n; c++ {
			x[i] -= rows[i][c] * x[c]
		}
		x[i] /= rows[i][i]
	}
	return x, true
}

// misfit gives the root mean square of the distances by which pairs are off, in mm on the
// page.
func (w *warp) misfit(pairs []pair) float64 {
	var sum float64
	for _, p := range pairs {
		d := w.at(p.mm).distance(p.px) / w.scale(p.mm)
		sum += d * d
	}
	return math.Sqrt(sum / float64(max(1, len(pairs))))
}
