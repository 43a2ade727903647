package scan

import (
	"fmt"
	"math"
	"slices"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/page"
)

// How corner marks are looked for. A mark is a checker of two by two squares, dark at its
// top left and bottom right. Source of the figures: this project's trials (README.md).
const (
	markCell   = 3.0  // mm, side of a square
	markGrain  = 5.0  // pixels to a mm in which it is looked for
	markInset  = 0.6  // mm left out along a square's edges: blur, and a mark that is turned a little
	markLeast  = 0.50 // difference between its squares, of that between black and white
	nearReach  = 2.0  // mm around where a mark is expected, and of the distance from what is
	nearSlope  = 0.045
	farReach   = 5.0 // known: first near, then, where too few are found, far
	farSlope   = 0.15
	bentMisfit = 0.35 // mm by which three marks do not fit a flat page seen straight
	codeWeight = 0.15 // of a point of a code: it is found to 0.1 mm, a mark to 0.02
)

// square finds where the page lies in the picture: from its code, by its corner marks,
// the nearest first, then by the outlines of its boxes.
func (r *reader) square(code Code) error {
	var best *fit
	for _, reach := range [2][2]float64{{nearReach, nearSlope}, {farReach, farSlope}} {
		for _, f := range r.begin(code) {
			r.seek(f, reach[0], reach[1])
			if best == nil || f.better(best) {
				best = f
			}
		}
		if best != nil && best.marks() >= 3 {
			break
		}
	}
	if best == nil {
		return fmt.Errorf("%w: its code is not where the manifest has it", errNotSquare)
	}
	// Two marks with both codes, or two codes far apart, still settle a flat page; whether
	// they did is seen by the outlines.
	if best.marks() < 2 && len(code.at) < 2 {
		return fmt.Errorf("%w: %d of 4 corner marks found", errNotSquare, best.marks())
	}
	r.use(best)
	err := r.outline()
	for i := best.codes; i < len(best.pairs) && err != nil && best.marks() > 2; i++ {
		// One of the marks may be something else, where a corner is torn off, say.
		r.use(best.without(i))
		if again := r.outline(); again == nil {
			err = nil
		}
	}
	return err
}

// use takes a fit for where the page lies.
func (r *reader) use(f *fit) {
	r.warp, r.pairs, r.marks, r.print = f.warp, slices.Clone(f.pairs), f.marks(), f.contrast
	r.misfit = r.warp.misfit(r.pairs[f.codes:])
}

// without gives the fit without one of its pairs.
func (f *fit) without(i int) *fit {
	g := *f
	g.pairs = slices.Delete(slices.Clone(f.pairs), i, i+1)
	g.refit()
	return &g
}

// fit is a supposition of where the page lies.
type fit struct {
	warp     warp
	pairs    []pair  // of the codes, then of the marks
	codes    int     // pairs that are of the codes
	finders  []pair  // the finders among them
	module   float64 // mm, a module of the code
	contrast float64
	known    [4]bool // corner marks found
	visible  float64 // share of the page that lies within the picture
}

func (f *fit) marks() int { return len(f.pairs) - f.codes }

func (f *fit) better(g *fit) bool {
	if f.marks() != g.marks() {
		return f.marks() > g.marks()
	}
	return f.warp.misfit(f.pairs)*(1.2-f.visible) < g.warp.misfit(g.pairs)*(1.2-g.visible)
}

// begin gives the suppositions that the code's symbols allow: each may be any of those
// that the manifest has. What would put most of the page outside the picture is left out.
func (r *reader) begin(code Code) []*fit {
	var all []*fit
	n := len(r.page.Codes)
	try := func(which ...int) {
		f := &fit{}
		for i, k := range which {
			of := codePairs(code.at[i], r.page.Codes[k])
			f.pairs = append(f.pairs, of...)
			f.finders = append(f.finders, of[:min(3, len(of))]...)
			f.module = float64(r.page.Codes[k].Size) / float64(17+4*r.page.Codes[k].Version)
		}
		f.codes = len(f.pairs)
		w, ok := fitAffine(f.pairs)
		if !ok {
			return
		}
		f.warp = w
		if f.visible = r.visible(&w); f.visible < 0.6 {
			return
		}
		f.contrast = r.contrastOf(f)
		all = append(all, f)
	}
	if len(code.at) >= 2 {
		for i := range n {
			for k := range n {
				if i != k {
					try(i, k)
				}
			}
		}
		// Two symbols that are taken the wrong way round put the page on its head, and
		// fit badly: by more than any photo bends a code.
		all = slices.DeleteFunc(all, func(f *fit) bool { return f.warp.misfit(f.pairs) > 3 })
	}
	if len(all) == 0 && len(code.at) >= 1 {
		for i := range n {
			try(i)
		}
	}
	slices.SortStableFunc(all, func(a, b *fit) int {
		return int(math.Copysign(1, b.visible-a.visible))
	})
	return all
}

// codePairs gives the pairs of a symbol.
func codePairs(s symbol, c manifest.Code) (all []pair) {
	n := float64(17 + 4*c.Version)
	places := symbolPlaces(n)
	for i, q := range s.points {
		mm := point{float64(c.X), float64(c.Y)}.plus(places[i].times(float64(c.Size) / n))
		all = append(all, pair{mm, q, codeWeight})
	}
	return all
}

// visible gives the share of the page, by a grid of places, that lies within the picture.
func (r *reader) visible(w *warp) float64 {
	in := 0
	const grid = 9
	for i := range grid {
		for k := range grid {
			q := w.at(point{float64(r.page.W) * float64(i) / (grid - 1), float64(r.page.H) * float64(k) / (grid - 1)})
			// A scanner cuts off a few mm, and a code alone tells the far end to a few mm only.
			if q.x > -0.1*float64(r.plane.w) && q.y > -0.1*float64(r.plane.h) && q.x < 1.1*float64(r.plane.w) && q.y < 1.1*float64(r.plane.h) {
				in++
			}
		}
	}
	return float64(in) / (grid * grid)
}

// contrastOf gives the contrast of the print by the finders of the codes: their dark
// middles against the light around them.
func (r *reader) contrastOf(f *fit) float64 {
	var all []float64
	for _, p := range f.finders {
		right, down := f.warp.along(p.mm)
		ring := func(d float64) (sum float64) {
			for k := range 16 {
				s, c := math.Sincos(float64(k) * math.Pi / 8)
				sum += r.plane.at(p.px.plus(right.times(c*d)).plus(down.times(s*d))) / 16
			}
			return sum
		}
		// A finder is 3 dark modules, a light ring of 1, a dark one of 1.
		dark, light := ring(0.7*f.module), ring(4.6*f.module)
		light = max(light, ring(2.1*f.module))
		if light > 1 {
			all = append(all, 1-dark/light)
		}
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return min(max(all[len(all)/2], 0.05), 1)
}

// seek looks for the marks that are not found yet, the nearest to what is known first,
// and fits anew after each.
func (r *reader) seek(f *fit, reach, slope float64) {
	tried := f.known
	for {
		next, far := -1, math.Inf(1)
		for i, m := range r.page.Marks {
			if tried[i] {
				continue
			}
			at := point{float64(m[0]), float64(m[1])}
			for _, p := range f.pairs {
				if d := p.mm.distance(at); d < far {
					next, far = i, d
				}
			}
		}
		if next < 0 {
			return
		}
		tried[next] = true
		m := point{float64(r.page.Marks[next][0]), float64(r.page.Marks[next][1])}
		px, ok := r.findMark(&f.warp, m, reach+slope*far, f.contrast)
		if !ok {
			continue
		}
		f.pairs, f.known[next] = append(f.pairs, pair{m, px, 1}), true
		f.refit()
		tried = f.known // from here the others may be found after all
	}
}

// refit fits the page to what is known: as flat and seen straight, until enough marks are
// known to say that it is not. Two marks never do.
func (f *fit) refit() {
	w, ok := fitAffine(f.pairs)
	if !ok {
		return
	}
	n := f.marks()
	if n == 4 || n == 3 && w.misfit(f.pairs) > bentMisfit {
		if v, ok := fitPerspective(f.pairs); ok {
			w = v
		}
	}
	f.warp = w
}

// findMark looks for a corner mark within reach (mm) of where the warp has it.
func (r *reader) findMark(w *warp, at point, reach, contrast float64) (px point, ok bool) {
	half := reach + markCell + 1
	side := int(2 * half * markGrain)
	patch := newPlane(side, side)
	from := point{at.x - half, at.y - half}
	r.plane.rectify(w, from, markGrain, patch)
	s := patch.sums()
	const a, b = int(markInset * markGrain), int((markCell - markInset) * markGrain)
	const edge = int(markCell*markGrain) + 1
	best, bx, by := 0.0, 0, 0
	for y := edge; y < side-edge; y++ {
		for x := edge; x < side-edge; x++ {
			light := min(s.mean(x+a, y-b, x+b, y-a), s.mean(x-b, y+a, x-a, y+b))
			dark := max(s.mean(x-b, y-b, x-a, y-a), s.mean(x+a, y+a, x+b, y+b))
			if light-dark > best*light {
				best, bx, by = (light-dark)/light, x, y
			}
		}
	}
	if best < markLeast*contrast {
		return point{}, false
	}
	x, y := patch.saddle(float64(bx)-0.5, float64(by)-0.5)
	mm := point{from.x + (x+0.5)/markGrain, from.y + (y+0.5)/markGrain}
	px = w.at(mm)
	return px, r.plane.holds(px)
}

// saddle finds the middle of a checker near x, y: there every edge's gradient is square to
// the line to the middle. Source: common practice in finding the corners of a chessboard.
func (p plane) saddle(x, y float64) (float64, float64) {
	const half = 2.2 * markGrain
	x0, y0 := x, y
	for range 6 {
		var a, b, c, u, v float64
		for j := -half; j <= half; j++ {
			for i := -half; i <= half; i++ {
				q := point{x + i, y + j}
				gx := (p.at(point{q.x + 1, q.y}) - p.at(point{q.x - 1, q.y})) / 2
				gy := (p.at(point{q.x, q.y + 1}) - p.at(point{q.x, q.y - 1})) / 2
				weight := math.Exp(-(i*i + j*j) / (half * half / 2))
				xx, xy, yy := weight*gx*gx, weight*gx*gy, weight*gy*gy
				a, b, c = a+xx, b+xy, c+yy
				u, v = u+xx*i+xy*j, v+xy*i+yy*j
			}
		}
		det := a*c - b*b
		if det < 1e-6*(a+c)*(a+c)+1e-9 {
			return x0, y0
		}
		dx, dy := (c*u-b*v)/det, (a*v-b*u)/det
		x, y = x+dx, y+dy
		if math.Hypot(x-x0, y-y0) > half {
			return x0, y0 // it ran away: what was seen is not a clean mark
		}
		if math.Hypot(dx, dy) < 0.01 {
			break
		}
	}
	return x, y
}

// rotated gives the quarter turn, clockwise, by which the page lay in the picture.
func (r *reader) rotated() int {
	right, _ := r.warp.along(point{float64(r.page.W) / 2, float64(r.page.H) / 2})
	return (round(math.Atan2(right.y, right.x)*2/math.Pi)*90 + 360) % 360
}

// tick reports whether a box is one to tick.
func tick(b manifest.Box) bool { return page.BoxKind(b.Kind) == page.Tick }
