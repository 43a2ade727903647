package scan

import (
	"slices"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/page"
)

// limits are those from which a box is marked, for a kind of box. Source: this project's
// trials (README.md).
type limits struct {
	ink    float64 // mm² of its own ink
	extent float64 // mm, its size
	inside float64 // the share of it that lies inside
}

var limitsOf = map[page.BoxKind]limits{
	page.Tick:  {ink: 1.1, extent: 1.6, inside: 0.5},
	page.Blank: {ink: 2.2, extent: 2.5, inside: 0.5},
	page.Sign:  {ink: 3.0, extent: 3, inside: 0.5},
}

// What holds for boxes of every kind. Source: as above.
const (
	blankInk   = 0.12 // mm² of ink, from which a box is not blank
	blankTrace = 0.7  // mm, of a faint trace
	blankStain = 1.0  // mm² that is dark without being ink: what is under it cannot be seen
	blankFill  = 0.03 // darkness of the whole box beside what is around it
	markDark   = 0.25 // mean darkness of a mark's ink
	markCore   = 0.42 // darkness of its darkest tenth: a fold or a coffee ring has less
	innerCore  = 0.32 // the same, of ink that stays inside its box, as folds and rings do not
	markFill   = 0.38 // darkness of a box to tick that is shaded all over
	lineBend   = 1.45 // of what a straight line of its width has: less, and going on, is a pen that slipped
	tickExtent = 3.3  // mm: a tick that goes on beyond its box has at least this in it
	looseShare = 0.12 // of its own ink: more dirt than that around a box, and what is in it may be dirt too
	pageCore   = 0.58 // of the core that marks of the page have: what is paler is no pen of theirs
	textBend   = 0.6  // mm: writing that crosses its box's outline bends more; a slipped pen less
	wider      = 10.0 // mm around a box that are looked at where a neighbour's stroke may reach into it
)

// boxes reads every box.
func (r *reader) boxes() []Box {
	all, found := make([]Box, len(r.page.Boxes)), make([]findings, len(r.page.Boxes))
	var cores []float64
	for i := range found {
		f := r.look(i, margin)
		if f.crossings > 0 && r.beside(i) {
			f = r.look(i, wider)
		}
		if found[i] = f; f.sure > limitsOf[page.Sign].ink && f.core >= markCore {
			cores = append(cores, f.core)
		}
	}
	core := 0.0 // of the pens that wrote on this page
	if len(cores) >= 3 {
		slices.Sort(cores)
		core = cores[len(cores)/2] * pageCore
	}
	for i, f := range found {
		b := &r.page.Boxes[i]
		all[i] = Box{ID: b.ID, Is: decide(b, f, r.edges[i].score, core), Ink: f.own, f: f}
	}
	return all
}

// beside reports whether another box is so near that its writing may reach into this one.
func (r *reader) beside(i int) bool {
	const near = 6 // mm
	b := &r.page.Boxes[i]
	for k := range r.page.Boxes {
		o := &r.page.Boxes[k]
		if k != i && o.X < b.X+b.W+near && o.X+o.W+near > b.X && o.Y < b.Y+b.H+near && o.Y+o.H+near > b.Y {
			return true
		}
	}
	return false
}

// decide says of a box what its ink comes to. Core is the least that the ink of this page
// has in its darkest tenth.
func decide(b *manifest.Box, f findings, edge, core float64) State {
	switch {
	case f.cut:
		return Unsure
	case tick(*b) && f.fill >= markFill:
		return Marked // shaded, and its outline with it: where it is, the others have shown
	case edge < edgeLeast:
		return Unsure
	case f.own < blankInk && f.crossings == 0 && f.trace < blankTrace && f.solid < blankStain && f.fill < blankFill:
		return Blank
	}
	if f.crossings == 0 {
		core = max(core, innerCore)
	} else {
		core = max(core, markCore)
	}
	l := limitsOf[page.BoxKind(b.Kind)]
	if f.sure >= l.ink && f.dark >= markDark && f.core >= core && f.extent >= l.extent && f.share >= l.inside && f.loose <= looseShare*f.own {
		return Marked
	}
	return Unsure
}
