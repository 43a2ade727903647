package scan

import (
	"errors"
	"math"
	"slices"
	"testing"

	"jobsheaf/internal/manifest"
)

// A page as printed is squared up however it lies: every outline where the manifest has
// it, in the picture too, every box blank.
func TestACleanPageIsBlank(t *testing.T) {
	for _, n := range []int{2, 6, 14} {
		g, p := clean(t, n, 200)
		page := &p.Manifest.Pages[n-1]
		for turn := range 4 {
			codes := Codes(g, nil)
			if len(codes) != 1 {
				t.Fatalf("page %d, turned %d times: %d codes", n, turn, len(codes))
			}
			s, err := Read(g, codes[0], page)
			if err != nil {
				t.Fatalf("page %d, turned %d times: %v", n, turn, err)
			}
			if q := s.Quality; s.Rotated != 90*turn || q.Marks != 4 || q.Edges != len(page.Boxes) || q.Misfit > 0.1 || math.Abs(q.PerMM-7.87) > 0.03 || q.Contrast < 0.9 || q.Bilevel || q.Look != "" {
				t.Errorf("page %d, turned %d times: rotated %d, %+v", n, turn, s.Rotated, q)
			}
			for i, b := range s.Boxes {
				if b.ID != page.Boxes[i].ID || b.Is != Blank || b.Ink > 0.05 {
					t.Errorf("page %d, turned %d times: %+v", n, turn, b)
				}
				// The left edge, half way down, is dark in the picture; 1 mm beside it is paper.
				o := &page.Boxes[i]
				x, y := float64(o.X)*picturePerMM, float64(o.Y+o.H/2)*picturePerMM
				at := planeOf(s.Picture)
				if dark, light := at.at(point{x - 0.5, y}), at.at(point{x - 0.5 - picturePerMM, y}); dark > 140 || light < 230 {
					t.Errorf("page %d, turned %d times, %s: its edge is %.0f, the paper %.0f", n, turn, b.ID, dark, light)
				}
			}
			g = quarter(g)
		}
	}
}

// A page is never read as another: neither by its code nor, should that be wrong, by
// where its boxes are.
func TestAnotherPageIsRefused(t *testing.T) {
	pages := []int{2, 4, 6, 9, 14, 16}
	for _, n := range pages {
		g, p := clean(t, n, 150)
		code := Codes(g, nil)[0]
		if _, err := Read(g, Code{Text: "HTTPS://JOBS.EXAMPLE.ORG/J/K-1/1/1/0000", at: code.at}, &p.Manifest.Pages[n-1]); !errors.Is(err, errNotSquare) {
			t.Errorf("page %d with the code of another: %v", n, err)
		}
		for _, other := range pages {
			m := p.Manifest.Pages[other-1]
			if n == other {
				// The same page of another print, on which all stands a little lower.
				m.Boxes = slices.Clone(m.Boxes)
				for i := range m.Boxes {
					m.Boxes[i].Y += 2.5
				}
			}
			// As if its code had said so.
			if s, err := Read(g, Code{Text: m.Codes[0].Text, at: code.at}, &m); !errors.Is(err, errNotSquare) {
				t.Errorf("page %d was read as page %d: %+v, %v", n, other, s.Quality, err)
			}
		}
	}
}

// A manifest that no packet has is refused or read, in bounded time and memory.
func TestOddManifests(t *testing.T) {
	g, p := clean(t, 4, 150)
	code := Codes(g, nil)[0]
	for name, change := range map[string]func(*manifest.Page){
		"large paper":    func(m *manifest.Page) { m.W, m.H = 2000, 2000 },
		"no codes":       func(m *manifest.Page) { m.Codes = nil },
		"code of size 0": func(m *manifest.Page) { m.Codes = []manifest.Code{{Text: code.Text}} },
		"marks at once":  func(m *manifest.Page) { m.Marks = [4][2]manifest.MM{} },
		"version 0":      func(m *manifest.Page) { m.Codes[0].Version, m.Codes[1].Version = 0, -4 },
	} {
		m := p.Manifest.Pages[3]
		m.Codes = slices.Clone(m.Codes)
		change(&m)
		if _, err := Read(g, code, &m); err == nil && name != "marks at once" {
			t.Errorf("%s: it was read", name)
		}
	}
}
