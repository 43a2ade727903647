package scan

import (
	"image"

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
	page.Tick:  {ink: 1.1, extent: 1.6, inside: 0.4},
	page.Blank: {ink: 2.2, extent: 2.5, inside: 0.55},
	page.Sign:  {ink: 3.0, extent: 3, inside: 0.55},
}

// What holds for boxes of every kind. Source: as above.
const (
	blankInk   = 0.12 // mm² of ink, from which a box is not blank
	blankTrace = 0.8  // mm, of a faint trace
	blankStain = 1.0  // mm² that is dark without being ink: what is under it cannot be seen
	blankFill  = 0.10 // darkness of the whole box beside what is around it
	markDark   = 0.26 // mean darkness of a mark's ink
	markCore   = 0.42 // darkness of its darkest tenth: a fold or a coffee ring has less
	markFill   = 0.38 // darkness of a box that is shaded all over
	markBend   = 0.20 // mm: what is straighter and goes on beyond the box is a pen that slipped
	wider      = 10.0 // mm around a box that are looked at where a neighbour's stroke may reach into it
)

// boxes reads every box.
func (r *reader) boxes() []Box {
	all := make([]Box, len(r.page.Boxes))
	for i := range r.page.Boxes {
		b := &r.page.Boxes[i]
		f := r.look(i, margin)
		if f.crossings > 0 && r.beside(i) {
			f = r.look(i, wider)
		}
		all[i] = Box{ID: b.ID, Is: r.decide(b, f, r.edges[i].score), Ink: f.own, Edge: r.edges[i].score, f: f}
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

// decide says of a box what its ink comes to.
func (r *reader) decide(b *manifest.Box, f findings, edge float64) State {
	if f.cut || edge < edgeLeast {
		return Unsure
	}
	if f.own < blankInk && f.crossings == 0 && f.trace < blankTrace && f.solid < blankStain && f.fill < blankFill {
		return Blank
	}
	l := limitsOf[page.BoxKind(b.Kind)]
	inside := l.inside
	if tick(*b) && f.crossings <= 1 {
		inside /= 2
	}
	if tick(*b) && f.fill >= markFill {
		return Marked
	}
	slipped := f.leaves && f.bend < markBend
	if !slipped && f.own >= l.ink && f.dark >= markDark && f.core >= markCore && f.extent >= l.extent && f.share >= inside {
		return Marked
	}
	return Unsure
}

// picture draws the page squared up.
func (r *reader) picture() *image.Gray {
	g := image.NewGray(image.Rect(0, 0, round(float64(r.page.W)*PerMM), round(float64(r.page.H)*PerMM)))
	r.plane.rectify(&r.warp, point{}, PerMM, planeOf(g))
	return g
}

// quality says how well the page could be read.
func (r *reader) quality(boxes []Box) Quality {
	q := Quality{Marks: r.marks, Misfit: r.misfit, Contrast: r.print, Bilevel: r.plane.bilevel(),
		PerMM: r.warp.scale(point{float64(r.page.W) / 2, float64(r.page.H) / 2})}
	unsure := 0
	for i, e := range r.edges {
		if e.score >= edgeLeast {
			q.Edges++
		}
		if boxes[i].Is == Unsure {
			unsure++
		}
	}
	switch missed := len(boxes) - q.Edges; {
	case q.PerMM < 5.5:
		q.Look = "the picture is coarse: scan at 200 dpi or more"
	case missed > 0 && missed*10 >= len(boxes):
		q.Look = "part of the page is covered, folded or cut off"
	case q.Contrast < 0.35:
		q.Look = "the print is faint"
	case q.Marks < 3:
		q.Look = "corners of the page are covered or cut off"
	case q.Misfit > 0.6:
		q.Look = "the page was not flat"
	case unsure*3 > len(boxes) && len(boxes) >= edgesEnough:
		q.Look = "many boxes are not clear"
	}
	return q
}

// bilevel reports whether a picture has black and white alone.
func (p plane) bilevel() bool {
	between, seen := 0, 0
	for y := 0; y < p.h; y += 7 {
		for _, v := range p.row(y) {
			seen++
			if v > 8 && v < 247 {
				between++
			}
		}
	}
	return between*200 < seen
}
