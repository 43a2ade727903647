package scan

import (
	"image"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/page"
)

// limits are those between blank, unsure and marked, for a kind of box. Source: this
// project's trials (README.md).
type limits struct {
	blank  float64 // mm² of ink, under which a box is blank
	marked float64 // mm² of ink, from which it may be marked
	dark   float64 // and its mean darkness
	extent float64 // and its size, mm
	inside float64 // and the share of it that lies inside
	ring   bool    // blank only if no stroke crosses the ring around it
}

var limitsOf = map[page.BoxKind]limits{
	page.Tick:  {blank: 0.3, marked: 1.6, dark: 0.25, extent: 1.8, inside: 0.4, ring: true},
	page.Blank: {blank: 1.0, marked: 4.5, dark: 0.30, extent: 3, inside: 0.65},
	page.Sign:  {blank: 2.0, marked: 14, dark: 0.30, extent: 5, inside: 0.65},
}

// boxes reads every box.
func (r *reader) boxes() []Box {
	all := make([]Box, len(r.page.Boxes))
	for i := range r.page.Boxes {
		b := &r.page.Boxes[i]
		f := r.look(i, margin)
		all[i] = Box{ID: b.ID, Is: r.decide(b, f, r.edges[i].score), Ink: f.own, Edge: r.edges[i].score, f: f}
	}
	return all
}

// decide says of a box what its ink comes to.
func (r *reader) decide(b *manifest.Box, f findings, edge float64) State {
	l := limitsOf[page.BoxKind(b.Kind)]
	if f.cut || edge < edgeLeast {
		return Unsure
	}
	if f.own < l.blank && !(l.ring && f.crossings > 0) {
		return Blank
	}
	inside := l.inside
	if l.ring && f.crossings <= 1 {
		inside /= 2
	}
	if f.own >= l.marked && f.dark >= l.dark && f.extent >= l.extent && f.share >= inside {
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
