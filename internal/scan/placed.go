package scan

import (
	"fmt"
	"image"
	"slices"

	"jobsheaf/internal/manifest"
)

// How a page without a code is looked for: as filling the picture, within reach (mm) and
// slope of it. A person has said which page it is; outlines show whether it is.
const (
	cornerWeight = 0.02 // of a corner of the picture, beside a mark
	placedReach  = 6.0
	placedSlope  = 0.10
	placedMarks  = 2 // that must be found; whether it is that page is seen by the boxes
)

// ReadPlaced reads a page whose code cannot be read, as the one that a person says it is. It
// lies flat and about fills the picture, turned by any quarter. The error wraps
// errNotSquare, also where the boxes are not those of that page.
func ReadPlaced(g *image.Gray, p *manifest.Page) (Sheet, error) {
	if g == nil || p == nil || g.Bounds().Empty() {
		return Sheet{}, fmt.Errorf("%w: there is no picture or no page", errNotSquare)
	}
	var best *reader
	err := fmt.Errorf("%w: its corner marks are not found", errNotSquare)
	for turn := range 4 {
		r := &reader{plane: planeOf(g), page: p}
		if !r.suppose(turn) {
			continue
		}
		if oerr := r.outline(); oerr != nil {
			err = oerr
			continue
		}
		if best == nil || r.found() > best.found() {
			best = r
		}
	}
	if best == nil {
		return Sheet{}, err
	}
	return best.sheet(), nil
}

// suppose takes the page to fill the picture, turned clockwise by so many quarters, and
// looks for its marks from there.
func (r *reader) suppose(turn int) bool {
	w, h := float64(r.page.W), float64(r.page.H)
	x, y := float64(r.plane.w-1), float64(r.plane.h-1)
	corners := []point{{0, 0}, {x, 0}, {x, y}, {0, y}} // of the picture, clockwise
	f := &fit{codes: 4, contrast: r.contrastOfAll()}
	for i, mm := range []point{{0, 0}, {w, 0}, {w, h}, {0, h}} {
		f.pairs = append(f.pairs, pair{mm, corners[(i+turn)%4], cornerWeight})
	}
	var ok bool
	if f.warp, ok = fitAffine(f.pairs); !ok {
		return false
	}
	r.seek(f, placedReach, placedSlope)
	if f.marks() < placedMarks {
		return false
	}
	r.warp, r.pairs, r.marks, r.print = f.warp, f.pairs[f.codes:], f.marks(), f.contrast
	r.misfit = r.warp.misfit(r.pairs)
	return true
}

// contrastOfAll gives the contrast of a whole picture: its darkest grey of note against its
// paper's.
func (r *reader) contrastOfAll() float64 {
	var all []uint8
	const step = 7
	for y := 0; y < r.plane.h; y += step {
		row := r.plane.row(y)
		for x := 0; x < len(row); x += step {
			all = append(all, row[x])
		}
	}
	slices.Sort(all)
	dark, light := float64(all[len(all)/100]), float64(all[len(all)*7/10])
	if light < 1 {
		return 0
	}
	return min(max(1-dark/light, 0.05), 1)
}

// found is how many outlines were found.
func (r *reader) found() (n int) {
	for _, e := range r.edges {
		if e.score >= edgeLeast {
			n++
		}
	}
	return n
}

// sheet reads the boxes of a page that was squared up.
func (r *reader) sheet() Sheet {
	boxes := r.boxes()
	return Sheet{Picture: r.picture(), Boxes: boxes, Quality: r.quality(boxes), Rotated: r.rotated()}
}
