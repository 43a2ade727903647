package scan

import "image"

// picture draws the page squared up.
func (r *reader) picture() *image.Gray {
	g := image.NewGray(image.Rect(0, 0, round(float64(r.page.W)*picturePerMM), round(float64(r.page.H)*picturePerMM)))
	r.plane.rectify(&r.warp, point{}, picturePerMM, planeOf(g))
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
