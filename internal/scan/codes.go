package scan

import (
	"image"
	"slices"

	"jobsheaf/internal/pagecode"
)

// Code is what the codes of a page say. A page carries its code twice; both count as one.
type Code struct {
	Text string
	Ref  pagecode.Ref // which page it is; Link tells the site
	at   []symbol     // where it was read, in pixels of the whole picture
}

// Where a page is looked for in a picture. Its shorter side is taken for that of the
// paper: a photo shows more than that, and the codes are then smaller, by what the later
// rungs allow for.
const (
	shortAt150 = 1240 // pixels of 210 mm at 150 dpi
	shortAt200 = 1654 // pixels of 210 mm at 200 dpi
	cornerPart = 0.42 // of the shorter side: a corner that holds a code, with room for a photo's margin
)

// rung is a way to look for codes. Source: this project's trials (see README.md): most
// pages need the first only.
type rung struct {
	short   int  // pixels of the shorter side; 0: as it is
	corners bool // each corner by itself, since one finds a code sooner where there is no other
	soft    bool // softened: a bilevel or sharpened edge is ragged
	cut     int  // per cent of the way from dark to light around, up to which a pixel is dark
}

var ladder = []rung{
	{short: shortAt150, corners: true, cut: 50},
	{short: shortAt200, corners: true, cut: 50},
	{short: shortAt200, corners: true, soft: true, cut: 50},
	{short: shortAt200, corners: true, cut: 30}, // a dark copy, whose lines have grown
	{short: shortAt150, cut: 50},
	{short: shortAt200, corners: true, cut: 68}, // a pale one, whose lines are thin
	{corners: true, soft: true, cut: 40},
	{short: shortAt200, soft: true, cut: 50},
}

// Codes reads the codes of pages in a picture that may be turned any way, each text once.
// ours says of a text whether it can be a page that is looked for; nil takes the pages of
// any site. What is not the code of a page is passed over, and so does not hide one that
// is beside it. More than one code means more than one page in the picture.
//
// Where no code is found, the result is empty: the page is a blank back, or its codes are
// covered.
func Codes(g *image.Gray, ours func(text string) bool) []Code {
	if g == nil {
		return nil
	}
	p := planeOf(g)
	if min(p.w, p.h) < 100 || max(p.w, p.h) > 50000 {
		return nil
	}
	s := &search{p: p, ours: ours}
	seen := map[rung]bool{}
	for _, r := range ladder {
		if r.short == 0 || r.short > min(p.w, p.h) {
			r.short = min(p.w, p.h)
		}
		if seen[r] {
			continue
		}
		seen[r] = true
		if s.climb(r); len(s.found) > 0 {
			break
		}
	}
	return s.found
}

type search struct {
	p     plane
	ours  func(string) bool
	found []Code
}

// climb looks for codes in the way of one rung.
func (s *search) climb(r rung) {
	short := min(s.p.w, s.p.h)
	factor := float64(short) / float64(r.short)
	whole := image.Rect(0, 0, s.p.w, s.p.h)
	if !r.corners {
		s.look(whole, factor, r)
		return
	}
	a := min(short, round(cornerPart*float64(short)))
	top, low := image.Rect(s.p.w-a, 0, s.p.w, a), image.Rect(0, s.p.h-a, a, s.p.h)
	left, right := image.Rect(0, 0, a, a), image.Rect(s.p.w-a, s.p.h-a, s.p.w, s.p.h)
	// The two codes stand in opposite corners: where one is found, the other is in one place.
	for _, pair := range [2][2]image.Rectangle{{top, low}, {left, right}} {
		for _, part := range pair {
			s.look(part, factor, r)
		}
		if len(s.found) > 0 {
			return
		}
	}
}

// look looks for codes in a part of the picture.
func (s *search) look(part image.Rectangle, factor float64, r rung) {
	small := s.p.shrink(part, factor)
	if r.soft {
		small = small.soften()
	}
	factor = max(1, factor)
	for _, f := range small.symbols(r.cut) {
		for i, q := range f.points {
			f.points[i] = point{(q.x+0.5)*factor - 0.5 + float64(part.Min.X), (q.y+0.5)*factor - 0.5 + float64(part.Min.Y)}
		}
		s.take(f)
	}
}

// take keeps a code, if it is the code of a page that is looked for.
func (s *search) take(f symbol) {
	ref, err := pagecode.Parse(f.text, "")
	if err != nil && ref.Job == "" || s.ours != nil && !s.ours(f.text) {
		return
	}
	i := slices.IndexFunc(s.found, func(c Code) bool { return c.Text == f.text })
	if i < 0 {
		i, s.found = len(s.found), append(s.found, Code{Text: f.text, Ref: ref})
	}
	for _, was := range s.found[i].at { // corners may overlap
		if was.points[1].distance(f.points[1]) < was.points[1].distance(was.points[2])/2 {
			return
		}
	}
	s.found[i].at = append(s.found[i].at, f)
}
