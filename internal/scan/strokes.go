package scan

import (
	"math"
	"slices"

	"jobsheaf/internal/manifest"
)

// stroke is ink that hangs together, in one patch, in pixels.
type stroke struct {
	area    int // within the zone around boxes
	inside  int // of area, inside the box
	others  int // of area, the most inside any other box
	dark    int // sum of the darkness of what is inside
	bounds  rect
	leaves  bool    // it goes on beyond the zone
	moments [5]int  // of what is inside: sums of x, y, xx, xy, yy
	greys   [16]int // what is inside, by its darkness
}

// findings is what the ink at a box comes to.
type findings struct {
	own       float64 // mm² inside the box, of strokes that are its own
	all       float64 // mm² inside the box, of any stroke
	dark      float64 // mean darkness of its own ink inside, 0 to 1
	extent    float64 // mm, the diagonal of its own ink inside
	share     float64 // of its own strokes, how much lies inside
	core      float64 // darkness that the darkest tenth of it has, 0 to 1
	bend      float64 // mm, root mean square, by which it lies off a straight line
	leaves    bool    // one of its own strokes goes on, away from the box
	trace     float64 // mm, the diagonal of the largest faint trace inside
	crossings int     // places where strokes that are not another box's cross the ring
	fill      float64 // how much darker the inside is than what is around the box, 0 to 1
	solid     float64 // mm² inside the box that is dark over more than a stroke's width, but lighter than ink
	cut       bool    // part of the box lies outside the picture
	near      bool    // a stroke leaves the box's surroundings, towards another box
}

// patch is a box with what is around it, squared up.
type patch struct {
	dark   plane
	ink    plane   // darkness less stains
	from   point   // mm, its top left corner on the page, less the outline's offset
	box    rect    // the box, by the middle of its outline
	others []rect  // other boxes in the patch
	noise  float64 // of the paper, in darkness (standard deviation)
	band   int     // pixels to each side of an outline's middle that are its own
	zone   []bool  // what is near enough to a box to be writing
	label  []int32 // 0: no ink
}

// look finds the ink at box i, with so many mm around it.
func (r *reader) look(i int, around float64) findings {
	b := &r.page.Boxes[i]
	off := r.edges[i].off
	x0, y0 := float64(b.X)-around, float64(b.Y)-around
	w, h := int((float64(b.W)+2*around)*grain), int((float64(b.H)+2*around)*grain)
	p := &patch{dark: newPlane(w, h), from: point{x0, y0}}
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
	for _, q := range printed(b, p.from) {
		p.clear(q)
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
			p.clear(q)
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
	p.clear(rect{q.x0 - b, q.y0 - b, q.x1 + b + 1, q.y0 + b + 1})
	p.clear(rect{q.x0 - b, q.y1 - b, q.x1 + b + 1, q.y1 + b + 1})
	p.clear(rect{q.x0 - b, q.y0 - b, q.x0 + b + 1, q.y1 + b + 1})
	p.clear(rect{q.x1 - b, q.y0 - b, q.x1 + b + 1, q.y1 + b + 1})
}

func (p *patch) clear(q rect) {
	q = q.clip(p.ink.w, p.ink.h)
	for y := q.y0; y < q.y1; y++ {
		clear(p.ink.row(y)[q.x0:max(q.x0, q.x1)])
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

// strokes gives the ink that hangs together; across an outline too.
func (p *patch) strokes(least uint8) []stroke {
	w, h := p.ink.w, p.ink.h
	p.label = make([]int32, w*h)
	same := []int32{0} // label to an older one of the same stroke
	root := func(l int32) int32 {
		for same[l] != l {
			same[l] = same[same[l]]
			l = same[l]
		}
		return l
	}
	join := func(a, b int32) {
		if a, b = root(a), root(b); a != b {
			same[max(a, b)] = min(a, b)
		}
	}
	for y := range h {
		for x := range w {
			k := y*w + x
			if p.ink.pix[k] < least || !p.zone[k] {
				continue
			}
			var l int32
			near := func(n int32) {
				if n == 0 {
					return
				}
				if l == 0 {
					l = n
				} else if l != n {
					join(l, n)
				}
			}
			if x > 0 {
				near(p.label[k-1])
			}
			if y > 0 {
				near(p.label[k-w])
				if x > 0 {
					near(p.label[k-w-1])
				}
				if x < w-1 {
					near(p.label[k-w+1])
				}
			}
			if l == 0 {
				l = int32(len(same))
				same = append(same, l)
			}
			p.label[k] = l
		}
	}
	for _, q := range append([]rect{p.box}, p.others...) {
		p.bridge(q, join)
	}
	all := make([]stroke, len(same))
	inner := p.box.grow(-p.band)
	inner.x1, inner.y1 = inner.x1+1, inner.y1+1
	inOther := make([][]int, len(p.others))
	for i := range inOther {
		inOther[i] = make([]int, len(same))
	}
	for y := range h {
		for x := range w {
			k := y*w + x
			if p.label[k] == 0 {
				continue
			}
			l := root(p.label[k])
			p.label[k] = l
			s := &all[l]
			s.area++
			if inner.holds(x, y) {
				if s.inside == 0 {
					s.bounds = rect{x, y, x + 1, y + 1}
				}
				s.inside++
				s.dark += int(p.dark.pix[k])
				s.greys[p.dark.pix[k]>>4]++
				for i, v := range [5]int{x, y, x * x, x * y, y * y} {
					s.moments[i] += v
				}
				s.bounds = rect{min(s.bounds.x0, x), min(s.bounds.y0, y), max(s.bounds.x1, x+1), max(s.bounds.y1, y+1)}
				continue
			}
			for i, q := range p.others {
				if q.holds(x, y) {
					inOther[i][l]++
					s.others = max(s.others, inOther[i][l])
				}
			}
		}
	}
	return all
}

// bridge joins strokes that an outline has cut in two: ink on both sides of it, straight
// across or nearly so.
func (p *patch) bridge(q rect, join func(a, b int32)) {
	const slant = 4 // pixels along the outline by which a stroke may move while it crosses
	w, h := p.ink.w, p.ink.h
	at := func(x, y int) int32 {
		if x < 0 || y < 0 || x >= w || y >= h {
			return 0
		}
		return p.label[y*w+x]
	}
	across := func(n int, place func(along, out int) int32) {
		for t := range n {
			in := place(t, -p.band-1)
			if in == 0 {
				continue
			}
			for s := -slant; s <= slant; s++ {
				if out := place(t+s, p.band+1); out != 0 {
					join(in, out)
				}
			}
		}
	}
	across(q.x1-q.x0+1, func(t, out int) int32 { return at(q.x0+t, q.y0-out) })
	across(q.x1-q.x0+1, func(t, out int) int32 { return at(q.x0+t, q.y1+out) })
	across(q.y1-q.y0+1, func(t, out int) int32 { return at(q.x0-out, q.y0+t) })
	across(q.y1-q.y0+1, func(t, out int) int32 { return at(q.x1+out, q.y0+t) })
}

// sum says what the strokes come to. A stroke belongs to the box that holds most of it.
func (p *patch) sum(all []stroke, f *findings) {
	const mm2 = grain * grain
	ring := p.box.grow(max(round(ringReach*grain), p.band+2))
	last := int32(-1)
	p.around(ring, func(k, _ int) {
		l := p.label[k]
		if l != 0 && l != last && all[l].area >= speck && all[l].inside >= all[l].others {
			f.crossings++
		}
		last = l
	})
	var own stroke
	inside := 0
	for i := range all {
		s := &all[i]
		if s.area < speck || s.inside == 0 {
			continue
		}
		inside += s.inside
		if s.others > s.inside {
			f.near = true
			continue
		}
		own.add(s)
	}
	f.own, f.all = float64(own.inside)/mm2, float64(inside)/mm2
	if own.inside > 0 {
		f.dark = float64(own.dark) / float64(own.inside) / 255
		f.share = float64(own.inside) / float64(own.area)
		f.extent = math.Hypot(float64(own.bounds.x1-own.bounds.x0), float64(own.bounds.y1-own.bounds.y0)) / grain
		f.core, f.bend, f.leaves = own.core(), own.bend()/grain, own.leaves
	}
	// What is dark here and not ink was taken for a stain.
	q := p.box.grow(-p.band-2).clip(p.ink.w, p.ink.h)
	stain := 0
	for y := q.y0; y < q.y1; y++ {
		for x := q.x0; x < q.x1; x++ {
			if k := y*p.ink.w + x; p.dark.pix[k] > stainDark && p.ink.pix[k] < inkLeast && p.label[k] == 0 {
				stain++
			}
		}
	}
	f.solid = float64(stain) / mm2
	f.fill = p.fill()
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

// add takes another stroke in.
func (s *stroke) add(t *stroke) {
	if s.inside == 0 {
		s.bounds = t.bounds
	}
	s.bounds = rect{min(s.bounds.x0, t.bounds.x0), min(s.bounds.y0, t.bounds.y0), max(s.bounds.x1, t.bounds.x1), max(s.bounds.y1, t.bounds.y1)}
	s.area, s.inside, s.dark, s.leaves = s.area+t.area, s.inside+t.inside, s.dark+t.dark, s.leaves || t.leaves
	for i, v := range t.moments {
		s.moments[i] += v
	}
	for i, v := range t.greys {
		s.greys[i] += v
	}
}

// core gives the darkness that the darkest tenth of a stroke has, 0 to 1.
func (s *stroke) core() float64 {
	left := s.inside / 10
	for i := len(s.greys) - 1; i > 0; i-- {
		if left -= s.greys[i]; left < 0 {
			return (float64(i) + 0.5) / float64(len(s.greys))
		}
	}
	return 0
}

// bend gives the root mean square, in pixels, by which a stroke lies off its own long axis.
func (s *stroke) bend() float64 {
	n := float64(s.inside)
	mx, my := float64(s.moments[0])/n, float64(s.moments[1])/n
	xx, xy, yy := float64(s.moments[2])/n-mx*mx, float64(s.moments[3])/n-mx*my, float64(s.moments[4])/n-my*my
	least := (xx+yy)/2 - math.Hypot((xx-yy)/2, xy)
	return math.Sqrt(max(0, least))
}

// tails says which strokes go on from the zone to the patch's end: a pen that was on its
// way to somewhere else. Beyond the zone there is print too; a stroke that runs into it
// may be taken to go on.
func (p *patch) tails(all []stroke, least uint8) {
	w, h := p.ink.w, p.ink.h
	ink := func(k int) bool { return !p.zone[k] && p.ink.pix[k] >= least }
	seen := map[int]bool{}
	var stack []int
	for k, l := range p.label {
		if l == 0 || all[l].inside == 0 || all[l].leaves {
			continue
		}
		x, y := k%w, k/w
		if x == 0 || y == 0 || x == w-1 || y == h-1 {
			all[l].leaves = true
			continue
		}
		stack = stack[:0]
		for _, n := range [4]int{k - 1, k + 1, k - w, k + w} {
			if ink(n) && !seen[n] {
				stack = append(stack, n)
			}
		}
		for len(stack) > 0 {
			q := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if seen[q] {
				continue
			}
			seen[q] = true
			x, y := q%w, q/w
			if x == 0 || y == 0 || x == w-1 || y == h-1 {
				all[l].leaves = true
				break
			}
			for _, n := range [8]int{q - 1, q + 1, q - w, q + w, q - w - 1, q - w + 1, q + w - 1, q + w + 1} {
				if ink(n) && !seen[n] {
					stack = append(stack, n)
				}
			}
		}
	}
}

const stainDark = 100 // darkness, of 255, that writing under a stain may hide in
