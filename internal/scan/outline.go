package scan

import (
	"fmt"
	"math"
	"slices"

	"jobsheaf/internal/manifest"
)

// How a box's outline is looked for. Source of the figures: this project's trials
// (README.md).
const (
	grain       = 8.0  // pixels to a mm in which boxes are read
	margin      = 3.25 // mm around a box that is looked at
	flatReach   = 0.8  // mm by which an outline may be off where marks fit
	bentReach   = 1.5  // and where they do not, by more than
	flatMisfit  = 0.2  // mm
	edgeHalf    = 0.2  // mm to each side of an outline's middle that is its own
	edgeGap     = 0.45 // mm from its middle to what it is held against
	edgeLeast   = 0.30 // how dark an outline must be, beside its black, to be found
	edgesLeast  = 0.60 // share of the outlines without which a page is not square
	edgesBarely = 0.25 // the same, of all, where others are hidden under ink
	edgesEnough = 4    // boxes on a page by which that can be told
)

// outline is what was found of a box's outline.
type outline struct {
	off   point   // mm, by which it lies off where the warp has it
	score float64 // how dark, 0 to 1; under edgeLeast it was not found
	inked bool    // the box is shaded all over, which hides an outline
}

// outline finds the outline of each box, and fits the page anew to all that were found.
func (r *reader) outline() error {
	n := len(r.page.Boxes)
	r.edges = make([]outline, n)
	reach := flatReach
	if r.misfit > flatMisfit {
		reach = bentReach
	}
	found := r.outlines(reach)
	hidden := 0
	for _, e := range r.edges {
		if e.inked && e.score < edgeLeast {
			hidden++
		}
	}
	if n >= edgesEnough && (float64(found) < edgesLeast*float64(n-hidden) || float64(found) < edgesBarely*float64(n)) {
		return fmt.Errorf("%w: %d of %d boxes are where the manifest has them", ErrNotSquare, found, n)
	}
	if n < edgesEnough && (r.marks < 3 || r.misfit > 1) {
		return fmt.Errorf("%w: %d of 4 corner marks found, %.1f mm off, and too few boxes to go by", ErrNotSquare, r.marks, r.misfit)
	}
	if found < n && found >= edgesEnough {
		r.again()
	}
	r.settle()
	return nil
}

// outlines looks for each box's outline within reach (mm) and gives the number found.
func (r *reader) outlines(reach float64) (found int) {
	for i := range r.page.Boxes {
		r.edges[i] = r.findOutline(&r.page.Boxes[i], point{}, reach)
		if r.edges[i].score >= edgeLeast {
			found++
		}
	}
	return found
}

// again looks for the outlines that were not found, where those around them say.
func (r *reader) again() {
	before := slices.Clone(r.edges)
	for i := range r.page.Boxes {
		if before[i].score >= edgeLeast {
			continue
		}
		b := &r.page.Boxes[i]
		off := r.offNear(before, centre(b))
		if e := r.findOutline(b, off, 0.5); e.score > before[i].score || e.score >= edgeLeast {
			r.edges[i] = e
		}
		if r.edges[i].score < edgeLeast {
			r.edges[i].off = off
		}
	}
}

// offNear gives by how much the outlines that were found near a place are off, the nearer
// counting for more.
func (r *reader) offNear(edges []outline, at point) point {
	var sum point
	var weight float64
	for i, e := range edges {
		if e.score < edgeLeast {
			continue
		}
		d := centre(&r.page.Boxes[i]).distance(at)
		w := 1 / math.Pow(d*d+100, 2)
		sum, weight = sum.plus(e.off.times(w)), weight+w
	}
	if weight == 0 {
		return point{}
	}
	return sum.times(1 / weight)
}

// settle fits the warp to the outlines too, which matters to the picture, and takes what
// that changes off each box's own offset.
func (r *reader) settle() {
	was := r.warp
	pairs := slices.Clone(r.pairs)
	for i, e := range r.edges {
		if e.score >= edgeLeast {
			mm := centre(&r.page.Boxes[i])
			pairs = append(pairs, pair{mm, was.at(mm.plus(e.off)), 0.5})
		}
	}
	if len(pairs) == len(r.pairs) {
		return
	}
	w, ok := fitAffine(pairs)
	if r.marks == 4 || r.marks == 3 && len(pairs) > 12 {
		w, ok = fitPerspective(pairs)
	}
	if !ok {
		return
	}
	r.warp, r.pairs = w, pairs
	r.misfit = w.misfit(slices.DeleteFunc(slices.Clone(pairs), func(p pair) bool { return p.weight == codeWeight }))
	for i := range r.edges {
		// The place in the picture stays; the offset is what the new warp lacks of it.
		mm := centre(&r.page.Boxes[i])
		px := was.at(mm.plus(r.edges[i].off))
		right, down := w.along(mm)
		d := px.minus(w.at(mm))
		det := right.x*down.y - right.y*down.x
		if math.Abs(det) < 1e-9 {
			continue
		}
		r.edges[i].off = point{(d.x*down.y - d.y*down.x) / det, (right.x*d.y - right.y*d.x) / det}
	}
}

func centre(b *manifest.Box) point {
	return point{float64(b.X + b.W/2), float64(b.Y + b.H/2)}
}

// findOutline looks for a box's outline within reach (mm) of where warp and off have it.
func (r *reader) findOutline(b *manifest.Box, off point, reach float64) outline {
	m := reach + edgeGap + 0.3
	w, h := float64(b.W), float64(b.H)
	patch := newPlane(int((w+2*m)*grain), int((h+2*m)*grain))
	r.plane.rectify(&r.warp, point{float64(b.X) - m + off.x, float64(b.Y) - m + off.y}, grain, patch)
	// Means along the box's sides: of rows for those that lie, of columns for those that
	// stand. An edge is a line that is darker than what is on both its sides.
	in := int((m + 0.6) * grain)
	ox, sx := side(patch.cols(in, patch.h-in), m, m+w, reach, r.print)
	oy, sy := side(patch.rows(in, patch.w-in), m, m+h, reach, r.print)
	k := int(m * grain)
	inside := patch.mean(rect{k, k, patch.w - k, patch.h - k}.grow(-round(0.4 * grain)))
	light := max(patch.mean(rect{0, 0, patch.w, 4}), patch.mean(rect{0, patch.h - 4, patch.w, patch.h}))
	inked := light > 1 && 1-inside/light > markFill*r.print
	return outline{point{off.x + ox, off.y + oy}, min(sx, sy) + 0.25*math.Abs(sx-sy), inked}
}

// side looks for two parallel edges, at a and b (mm from the profile's start), within
// reach, and gives the offset and how dark they are beside the print's black.
func side(profile []float64, a, b, reach, contrast float64) (off, score float64) {
	best, at := math.Inf(-1), 0
	n := int(reach * grain)
	scores := make([]float64, 2*n+1)
	for d := -n; d <= n; d++ {
		o := float64(d) / grain
		p, q := ridge(profile, a+o, -1, contrast), ridge(profile, b+o, 1, contrast)
		// Both must be there: a line of text or a rule is one edge alone.
		s := min(p, q) + 0.25*math.Abs(p-q)
		scores[d+n] = s
		if s > best {
			best, at = s, d
		}
	}
	off = float64(at) / grain
	if i := at + n; i > 0 && i < 2*n { // between pixels, by a parabola
		l, m, r := scores[i-1], scores[i], scores[i+1]
		if den := l - 2*m + r; den < -1e-9 {
			off += (l - r) / (2 * den) / grain
		}
	}
	return off, max(0, min(best, 1))
}

// A box that is scribbled full has an edge on its outer side alone: the inside is darker
// than so much of the outside, and such an edge counts for so much of one on both.
const (
	fullInside = 0.7
	fullCounts = 0.7
)

// ridge says how much darker a profile is at a place (mm) than on both sides of it, as a
// part of what an outline of the print's black would be. Outside is the side, -1 or 1, on
// which nobody writes on purpose.
func ridge(profile []float64, at, outside, contrast float64) float64 {
	mean := func(from, to float64) float64 {
		a, b := max(0, int(math.Round(from*grain))), min(len(profile), int(math.Round(to*grain))+1)
		if b <= a {
			return 255
		}
		var sum float64
		for _, v := range profile[a:b] {
			sum += v
		}
		return sum / float64(b-a)
	}
	at -= 0.5 / grain
	line := mean(at-edgeHalf, at+edgeHalf)
	out, in := mean(at-edgeGap-0.2, at-edgeGap), mean(at+edgeGap, at+edgeGap+0.2)
	if outside > 0 {
		out, in = in, out
	}
	light, counts := min(out, in), 1.0
	if in < fullInside*out {
		light, counts = out, fullCounts
	}
	if light < 1 {
		return 0
	}
	// The line, 0.265 mm wide, takes up so much of what is looked at.
	const share = 0.265 / (2*edgeHalf + 1/grain)
	return min(counts, (1-line/light)/(contrast*share))
}

// mean gives the mean grey of a part.
func (p plane) mean(q rect) float64 {
	q = q.clip(p.w, p.h)
	sum := 0
	for y := q.y0; y < q.y1; y++ {
		for _, v := range p.row(y)[q.x0:q.x1] {
			sum += int(v)
		}
	}
	return float64(sum) / float64(max(1, (q.x1-q.x0)*(q.y1-q.y0)))
}

// rows gives the mean grey of each row between two columns; cols that of each column.
func (p plane) rows(from, to int) []float64 {
	all := make([]float64, p.h)
	to = max(to, from+1)
	for y := range all {
		sum := 0
		for _, v := range p.row(y)[from:to] {
			sum += int(v)
		}
		all[y] = float64(sum) / float64(to-from)
	}
	return all
}

func (p plane) cols(from, to int) []float64 {
	all := make([]float64, p.w)
	to = max(to, from+1)
	for y := from; y < to; y++ {
		for x, v := range p.row(y) {
			all[x] += float64(v)
		}
	}
	for x := range all {
		all[x] /= float64(to - from)
	}
	return all
}
