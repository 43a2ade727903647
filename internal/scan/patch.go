package scan

import (
	"slices"

	"jobsheaf/internal/manifest"
)

// patch is a box with what is around it, squared up.
type patch struct {
	dark    plane
	ink     plane   // darkness less stains
	from    point   // mm, its top left corner on the page, less the outline's offset
	box     rect    // the box, by the middle of its outline
	others  []rect  // other boxes in the patch
	printed []rect  // ink in the box that is there before anyone writes
	noise   float64 // of the paper, in darkness (standard deviation)
	tick    bool    // it is a box to tick
	band    int     // pixels to each side of an outline's middle that are its own
	zone    []bool  // what is near enough to a box to be writing
	label   []int32 // 0: no ink
}

// look finds the ink at box i, with so many mm around it.
func (r *reader) look(i int, around float64) findings {
	b := &r.page.Boxes[i]
	off := r.edges[i].off
	x0, y0 := float64(b.X)-around, float64(b.Y)-around
	w, h := int((float64(b.W)+2*around)*grain), int((float64(b.H)+2*around)*grain)
	p := &patch{dark: newPlane(w, h), from: point{x0, y0}, tick: tick(*b)}
	start := point{x0 + off.x, y0 + off.y}
	r.plane.rectify(&r.warp, start, grain, p.dark)
	var f findings
	for _, q := range [4]point{{float64(b.X), float64(b.Y)}, {float64(b.X + b.W), float64(b.Y)}, {float64(b.X), float64(b.Y + b.H)}, {float64(b.X + b.W), float64(b.Y + b.H)}} {
		f.cut = f.cut || !r.plane.holds(r.warp.at(q.plus(off)))
	}
	p.box = p.rectOf(b, point{})
	noise := p.dark.unevenness(p.box.grow(-4))
	paper := p.dark.darkness(r.print)
	p.noise = noise / (paper * r.print) * 255
	p.ink = newPlane(w, h)
	copy(p.ink.pix, p.dark.pix)
	p.ink.hat()
	p.band = p.bandOf()
	p.mask(p.box)
	p.printed = printed(b, p.from)
	for _, q := range p.printed {
		p.ink.clear(q)
		p.dark.clear(q)
	}
	for k := range r.page.Boxes {
		o := &r.page.Boxes[k]
		if k == i || float64(o.X) > float64(b.X+b.W)+around || float64(o.X+o.W) < x0 || float64(o.Y) > float64(b.Y+b.H)+around || float64(o.Y+o.H) < y0 {
			continue
		}
		shift := r.edges[k].off.minus(off)
		q := p.rectOf(o, shift)
		p.others = append(p.others, q)
		p.mask(q)
		for _, q := range printed(o, p.from.minus(shift)) {
			p.ink.clear(q)
		}
	}
	least := uint8(inkLeast)
	if b.Hatched {
		least = hatchInk
	}
	p.mark()
	all := p.strokes(least)
	p.tails(all, least)
	p.sum(all, &f)
	f.trace = p.trace()
	return f
}

func (p *patch) rectOf(b *manifest.Box, shift point) rect {
	at := func(v, from float64) int { return round((v-from)*grain - 0.5) }
	return rect{at(float64(b.X)+shift.x, p.from.x), at(float64(b.Y)+shift.y, p.from.y),
		at(float64(b.X+b.W)+shift.x, p.from.x), at(float64(b.Y+b.H)+shift.y, p.from.y)}
}

// bandOf gives how far an outline's ink reaches to each side: it is wider where the
// picture is blurred or the print is heavy. Most of each edge is free of writing, so that
// the median along it tells.
func (p *patch) bandOf() int {
	const most = 5
	for d := 2; d < most; d++ {
		dark := uint8(0)
		for _, q := range [2]rect{p.box.grow(-d), p.box.grow(d)} {
			var grey [4][]uint8
			p.around(q, func(k, side int) { grey[side] = append(grey[side], p.ink.pix[k]) })
			for _, g := range grey {
				if len(g) > 0 {
					slices.Sort(g)
					dark = max(dark, g[len(g)/2])
				}
			}
		}
		if dark < inkLeast*6/10 {
			return d
		}
	}
	return most
}

// around goes along the sides of a rectangle, clockwise from its top left corner.
func (p *patch) around(q rect, visit func(k, side int)) {
	w, h := p.ink.w, p.ink.h
	for x := q.x0; x <= q.x1; x++ {
		if q.y0 >= 0 && q.y0 < h && x >= 0 && x < w {
			visit(q.y0*w+x, 0)
		}
	}
	for y := q.y0 + 1; y <= q.y1; y++ {
		if q.x1 >= 0 && q.x1 < w && y >= 0 && y < h {
			visit(y*w+q.x1, 1)
		}
	}
	for x := q.x1 - 1; x >= q.x0; x-- {
		if q.y1 >= 0 && q.y1 < h && x >= 0 && x < w {
			visit(q.y1*w+x, 2)
		}
	}
	for y := q.y1 - 1; y > q.y0; y-- {
		if q.x0 >= 0 && q.x0 < w && y >= 0 && y < h {
			visit(y*w+q.x0, 3)
		}
	}
}

// mask takes a box's outline off the ink.
func (p *patch) mask(q rect) {
	b := p.band
	p.ink.clear(rect{q.x0 - b, q.y0 - b, q.x1 + b + 1, q.y0 + b + 1})
	p.ink.clear(rect{q.x0 - b, q.y1 - b, q.x1 + b + 1, q.y1 + b + 1})
	p.ink.clear(rect{q.x0 - b, q.y0 - b, q.x0 + b + 1, q.y1 + b + 1})
	p.ink.clear(rect{q.x1 - b, q.y0 - b, q.x1 + b + 1, q.y1 + b + 1})
}

// clear makes a part of a plane 0.
func (p plane) clear(q rect) {
	q = q.clip(p.w, p.h)
	for y := q.y0; y < q.y1; y++ {
		clear(p.row(y)[q.x0:max(q.x0, q.x1)])
	}
}

// mark says which part of the patch is near a box: what is printed on the page stands
// further off.
func (p *patch) mark() {
	w, h := p.ink.w, p.ink.h
	p.zone = make([]bool, w*h)
	for _, q := range append([]rect{p.box}, p.others...) {
		q = q.grow(round(zoneReach*grain)).clip(w, h)
		for y := q.y0; y < q.y1; y++ {
			row := p.zone[y*w : (y+1)*w]
			for x := q.x0; x < q.x1; x++ {
				row[x] = true
			}
		}
	}
}

// fill gives by how much the inside of the box is darker than the zone around it, 0 to 1.
// The outline, and other boxes, are left out.
func (p *patch) fill() float64 {
	in, out := p.box.grow(-p.band-2), p.box.grow(p.band+3)
	var sum, n [2]float64
	far := p.box.grow(round(zoneReach*grain)).clip(p.dark.w, p.dark.h)
	for y := far.y0; y < far.y1; y++ {
		for x := far.x0; x < far.x1; x++ {
			i := 0
			if !in.holds(x, y) {
				if i = 1; out.holds(x, y) || slices.ContainsFunc(p.others, func(q rect) bool { return q.grow(p.band+2).holds(x, y) }) {
					continue
				}
			}
			sum[i] += float64(p.dark.pix[y*p.dark.w+x])
			n[i]++
		}
	}
	if n[0] == 0 || n[1] == 0 {
		return 0
	}
	return (sum[0]/n[0] - sum[1]/n[1]) / 255
}
