package figure

import (
	"fmt"
	"math"
	"testing"

	"jobsheaf/internal/page"
)

// arrowOf is an arrow as drawn: its head, and the edges of its shaft from the
// tail on.
type arrowOf struct {
	head  []edge
	shaft []edge
}

// arrows finds the arrows of a drawing: a black triangle, and before it the line
// that ends at its base.
func arrows(d Drawing) (out []arrowOf) {
	for i, p := range d.Paths {
		if p.Fill == nil || *p.Fill != black || p.Stroke != nil || len(p.Segs) != 4 || p.Segs[3].Op != page.Close {
			continue
		}
		a := arrowOf{head: flatten(nil, p.Segs)}
		bx, by := (p.Segs[1].P[0]+p.Segs[2].P[0])/2, (p.Segs[1].P[1]+p.Segs[2].P[1])/2
		for k := i - 1; k >= max(0, i-2) && a.shaft == nil; k-- {
			q := d.Paths[k]
			if q.Stroke == nil || *q.Stroke != black || q.Fill != nil || len(q.Segs) < 2 {
				continue
			}
			edges := flatten(nil, q.Segs)
			first, last := edges[0], edges[len(edges)-1]
			size := math.Hypot(p.Segs[0].P[0]-bx, p.Segs[0].P[1]-by)
			switch {
			case math.Hypot(last.x2-bx, last.y2-by) < size*0.6:
				a.shaft = edges
			case math.Hypot(first.x1-bx, first.y1-by) < size*0.6: // the other end of a dimension
				for j := len(edges) - 1; j >= 0; j-- {
					a.shaft = append(a.shaft, edge{edges[j].x2, edges[j].y2, edges[j].x1, edges[j].y1})
				}
			}
		}
		out = append(out, a)
	}
	return out
}

// under gives the part of an edge that a box covers, from 0 to 1.
func (e edge) under(b box) float64 {
	const parts = 40
	n := 0
	for i := range parts + 1 {
		t := float64(i) / parts
		x, y := e.x1+(e.x2-e.x1)*t, e.y1+(e.y2-e.y1)*t
		if x > b.x1 && x < b.x2 && y > b.y1 && y < b.y2 {
			n++
		}
	}
	return float64(n) / (parts + 1)
}

// struckArrows names the arrows that a label lies over. A bubble may stand at an
// arrow's tail, as its number, where enough of the arrow is left to be seen.
func struckArrows(d Drawing, texts, bubbles []box) (out []string) {
	for _, a := range arrows(d) {
		for i, b := range append(append([]box{}, texts...), bubbles...) {
			inset := 0.2
			if i >= len(texts) {
				inset = 0.6 // a bubble is round
			}
			b.x1, b.y1, b.x2, b.y2 = b.x1+inset, b.y1+inset, b.x2-inset, b.y2-inset
			for _, e := range a.head {
				if e.under(b) > 0 {
					out = append(out, fmt.Sprintf("%q lies over the head of an arrow at (%.1f, %.1f)", b.what, e.x1, e.y1))
					break
				}
			}
			if len(a.shaft) == 0 {
				continue
			}
			tail := a.shaft[0]
			numbered := tail.x1 > b.x1-0.5 && tail.x1 < b.x2+0.5 && tail.y1 > b.y1-0.5 && tail.y1 < b.y2+0.5
			seen, struck := 0.0, false
			for _, e := range a.shaft {
				hidden := e.under(b)
				struck = struck || hidden > 0
				seen += (1 - hidden) * math.Hypot(e.x2-e.x1, e.y2-e.y1)
			}
			if struck && (!numbered || seen < 2) {
				out = append(out, fmt.Sprintf("%q lies over an arrow from (%.1f, %.1f), of which %.1f mm are seen", b.what, tail.x1, tail.y1, seen))
			}
		}
	}
	return out
}

// TestArrowsAreFound keeps the search itself honest.
func TestArrowsAreFound(t *testing.T) {
	g := &pen{d: Drawing{W: 50, H: 50}}
	g.arrow(heavy, 3, 5, 5, 40, 5)
	g.arcArrow(heavy, 3, 25, 30, 10, 0, 90)
	g.span(5, 20, 40, 20)
	if found := arrows(g.d); len(found) != 4 || found[0].shaft == nil || found[1].shaft == nil || found[2].shaft == nil || found[3].shaft == nil {
		t.Fatalf("found %+v", found)
	}
	over := []box{{20, 3, 24, 7, "middle"}}
	if f := struckArrows(g.d, over, nil); len(f) != 1 {
		t.Errorf("a label over a line gives %q", f)
	}
	if f := struckArrows(g.d, []box{{37, 3, 41, 7, "tip"}}, nil); len(f) == 0 {
		t.Errorf("a label over a head is not found")
	}
	if f := struckArrows(g.d, nil, []box{{3, 3, 7, 7, "bubble 1"}}); len(f) != 0 {
		t.Errorf("a number at the tail gives %q", f)
	}
}
