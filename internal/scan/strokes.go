package scan

import (
	"math"
	"slices"
)

// stroke is ink that hangs together, in one patch, in pixels.
type stroke struct {
	area    int // within the zone around boxes
	around  int // of area, within the zone of this box
	inside  int // of area, inside the box
	others  int // of area, the most inside any other box
	dark    int // sum of the darkness of what is inside
	bounds  rect
	leaves  bool    // it goes on beyond the zone
	crosses bool    // the ring around the box
	touches bool    // its outline from inside, or what is printed in it: there it may be cut off
	moments [5]int  // of what is inside: sums of x, y, xx, xy, yy
	greys   [16]int // what is inside, by its darkness
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
	own := p.box.grow(round(zoneReach * grain))
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
			if own.holds(x, y) {
				s.around++
			}
			if inner.holds(x, y) {
				s.touches = s.touches || x == inner.x0 || y == inner.y0 || x == inner.x1-1 || y == inner.y1-1 ||
					slices.ContainsFunc(p.printed, func(q rect) bool { return q.grow(1).holds(x, y) })
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
	// Along the outline a stroke may move, while it crosses, by a little more than it moves
	// across: so one that leaves by a corner is joined too.
	slant := 2*p.band + 4
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

// extent gives the diagonal of what is inside, in pixels.
func (s *stroke) extent() float64 {
	return math.Hypot(float64(s.bounds.x1-s.bounds.x0), float64(s.bounds.y1-s.bounds.y0))
}

// slipped reports whether a stroke may be of a pen that was on its way to somewhere else,
// or of a fold or a ring: nearly straight, and going on beyond the box.
func (s *stroke) slipped(tick bool) bool {
	if tick {
		// A line of width w is off its own axis by w/√12; w is about ink over length. A
		// tick that goes on has most of itself in the box, and a bend.
		return s.leaves && (s.extent() < tickExtent*grain || s.bend() < lineBend*0.289*float64(s.inside)/max(s.extent(), 1))
	}
	return (s.crosses || s.touches) && s.bend() < textBend*grain
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
