package figure

import (
	"strconv"

	"jobsheaf/internal/page"
)

// A sign is drawn in a square of 100 units, from flat shapes one over another.
type sign []flat

// flat is one shape of a sign in one ink.
type flat struct {
	ink  *page.Ink
	segs []page.Seg
}

// shapeOf reads an outline: M, L and C with absolute numbers as in SVG, and Z.
// Outlines are constants of this package, which a test reads through.
func shapeOf(ink *page.Ink, path string) flat {
	segs, _ := readOutline(path)
	return flat{ink, segs}
}

// readOutline is false where the outline cannot be read.
func readOutline(path string) (segs []page.Seg, ok bool) {
	want := map[byte]int{'M': 2, 'L': 2, 'C': 6, 'Z': 0}
	op := map[byte]page.Op{'M': page.Move, 'L': page.Line, 'C': page.Curve, 'Z': page.Close}
	for i := 0; i < len(path); {
		letter := path[i]
		n, known := want[letter]
		if !known {
			return segs, false
		}
		i++
		s := page.Seg{Op: op[letter]}
		for k := range n {
			for i < len(path) && path[i] == ' ' {
				i++
			}
			start := i
			for i < len(path) && (path[i] >= '0' && path[i] <= '9' || path[i] == '.' || path[i] == '-') {
				i++
			}
			v, err := strconv.ParseFloat(path[start:i], 64)
			if err != nil {
				return segs, false
			}
			s.P[k] = v
		}
		for i < len(path) && path[i] == ' ' {
			i++
		}
		segs = append(segs, s)
	}
	return segs, len(segs) > 2
}

func disc(ink *page.Ink, cx, cy, r float64) flat { return flat{ink, page.Circle(cx, cy, r)} }

// bar is a thick line with square ends.
func bar(ink *page.Ink, x1, y1, x2, y2, thick float64) flat {
	dx, dy := across(x1, y1, x2, y2, thick/2)
	return flat{ink, page.Polygon(x1+dx, y1+dy, x2+dx, y2+dy, x2-dx, y2-dy, x1-dx, y1-dy)}
}

// draw sets a sign to the figure's whole width.
func (s sign) draw(g *pen) error {
	k := g.d.W / 100
	g.d.H = g.d.W
	for _, f := range s {
		segs := make([]page.Seg, len(f.segs))
		for i, seg := range f.segs {
			for j := range seg.P {
				seg.P[j] *= k
			}
			segs[i] = seg
		}
		g.fill(f.ink, segs)
	}
	return nil
}

// signSpec makes a figure of a sign.
func signSpec(name, what string, parts ...flat) spec {
	return spec{name: name, what: what, least: 6, draw: sign(parts).draw}
}

// alert is the general warning: a black triangle with an exclamation mark. It
// is thick and holds nothing fine, so that it reads at 6 mm.
var alert = signSpec("alert", "Warning triangle",
	shapeOf(&black, "M44 9C47 4 53 4 56 9L97 82C100 88 97 93 91 93L9 93C3 93 0 88 3 82Z"),
	shapeOf(&white, "M48.5 18C49 17 51 17 51.5 18L87 82C88 84 87 85 85 85L15 85C13 85 12 84 13 82Z"),
	shapeOf(&black, "M50 36C54 36 56.5 39 56 43L53.5 61C53 65 47 65 46.5 61L44 43C43.5 39 46 36 50 36Z"),
	disc(&black, 50, 74, 5.4))
