package layout

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// area is a rectangle on a page.
type area struct{ x0, y0, x1, y1 float64 }

func (a area) grown(d float64) area { return area{a.x0 - d, a.y0 - d, a.x1 + d, a.y1 + d} }

// meets reports whether two areas overlap by more than a hair.
func (a area) meets(b area) bool {
	const hair = 0.01
	return a.x0 < b.x1-hair && b.x0 < a.x1-hair && a.y0 < b.y1-hair && b.y0 < a.y1-hair
}

func (a area) holds(b area) bool {
	const hair = 0.01
	return b.x0 >= a.x0-hair && b.x1 <= a.x1+hair && b.y0 >= a.y0-hair && b.y1 <= a.y1+hair
}

// textArea is where a text's ink may be: from the ascenders to the descenders.
func textArea(t page.Text) area {
	w := typeface.Width(t.Face, t.Size, t.S)
	up, down := 0.74*t.Size*typeface.MM, 0.2*t.Size*typeface.MM
	if strings.Trim(t.S, "0123456789") == "" {
		down = 0.01 * t.Size * typeface.MM // figures stand on the line
	}
	if t.Turn == 0 {
		return area{t.X, t.Y - up, t.X + w, t.Y + down}
	}
	sin, cos := math.Sincos(t.Turn * math.Pi / 180)
	a := area{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, c := range [4][2]float64{{0, -up}, {w, -up}, {0, down}, {w, down}} {
		x, y := t.X+c[0]*cos+c[1]*sin, t.Y-c[0]*sin+c[1]*cos
		a = area{min(a.x0, x), min(a.y0, y), max(a.x1, x), max(a.y1, y)}
	}
	return a
}

func boxArea(b page.Box) area {
	return area{b.X, b.Y, b.X + b.W, b.Y + b.H}.grown(outline / 2)
}

// strokes gives the areas that a path inks: each straight segment of a stroke by
// itself, a curve by its control points, a fill by its bounds.
func strokes(p page.Path) []area {
	var out []area
	all := area{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	var x, y, sx, sy float64
	grow := func(a *area, px, py float64) {
		*a = area{min(a.x0, px), min(a.y0, py), max(a.x1, px), max(a.y1, py)}
	}
	for _, s := range p.Segs {
		a := area{x, y, x, y}
		switch s.Op {
		case page.Move:
			x, y, sx, sy = s.P[0], s.P[1], s.P[0], s.P[1]
			grow(&all, x, y)
			continue
		case page.Line:
			grow(&a, s.P[0], s.P[1])
			x, y = s.P[0], s.P[1]
		case page.Curve:
			for k := 0; k < 6; k += 2 {
				grow(&a, s.P[k], s.P[k+1])
			}
			x, y = s.P[4], s.P[5]
		case page.Close:
			grow(&a, sx, sy)
			x, y = sx, sy
		}
		grow(&all, a.x0, a.y0)
		grow(&all, a.x1, a.y1)
		if p.Stroke != nil {
			g := a.grown(p.Width / 2)
			switch { // a straight line's ends are cut off square
			case a.y0 == a.y1:
				g.x0, g.x1 = a.x0, a.x1
			case a.x0 == a.x1:
				g.y0, g.y1 = a.y0, a.y1
			}
			out = append(out, g)
		}
	}
	if p.Fill != nil {
		out = append(out, all)
	}
	return out
}

// reporter is what a test and a property test have in common.
type reporter interface {
	Helper()
	Errorf(format string, args ...any)
}

// inspect holds a document against the rules of the page.
func inspect(t reporter, doc page.Doc) {
	t.Helper()
	ids := map[string]bool{}
	for n, p := range doc.Pages {
		fault := func(format string, args ...any) {
			t.Helper()
			t.Errorf("page %d (%s): %s", n+1, p.Sheet, fmt.Sprintf(format, args...))
		}
		paper := area{marginLeft, 0, p.W - marginRight, p.H}
		body := area{marginLeft, bodyTop, p.W - marginRight, p.H - bodyFoot}
		var closed []area // where nothing may be printed
		if len(p.Codes) != 2 {
			fault("has %d codes", len(p.Codes))
		}
		for i, c := range p.Codes {
			modules := float64(len(c.Modules))
			if m, least := c.Size/modules, [...]float64{0.5, 0.45}[i]; c.Version <= 3 && m < least {
				fault("code has modules of %.2f mm", m)
			}
			if c.Size != [...]float64{16, 13.9}[i] || c.Text != p.Codes[0].Text {
				fault("code %q of %.1f mm", c.Text, c.Size)
			}
			closed = append(closed, area{c.X, c.Y, c.X + c.Size, c.Y + c.Size}.grown(4*c.Size/modules))
		}
		for _, m := range p.Marks {
			z := area{m[0] - markSize/2, m[1] - markSize/2, m[0] + markSize/2, m[1] + markSize/2}
			for _, c := range p.Codes {
				if z.grown(5 - 0.01).meets(area{c.X, c.Y, c.X + c.Size, c.Y + c.Size}) {
					fault("a mark stands nearer than 5 mm to a code")
				}
			}
			closed = append(closed, z.grown(2))
		}

		texts := make([]area, len(p.Texts))
		filled := false
		for i, x := range p.Texts {
			a := textArea(x)
			texts[i] = a
			filled = filled || body.holds(a)
			if !paper.holds(area{a.x0, a.y0, a.x1, a.y1}) {
				fault("%q stands outside the margins: %.1f to %.1f", x.S, a.x0, a.x1)
			}
			if a.y0 > bodyTop && a.y1 < p.H-footRule && !body.holds(a) {
				fault("%q stands below the body", x.S)
			}
			if x.Size < sizeLabel {
				fault("%q is set in %v pt", x.S, x.Size)
			}
			if bad := typeface.Missing(x.Face, x.S); bad != nil {
				fault("%q has no glyph for %q", x.S, bad)
			}
			if strings.TrimSpace(x.S) == "" {
				fault("an empty text at %.1f, %.1f", x.X, x.Y)
			}
			for j := range i {
				if a.meets(texts[j]) {
					fault("%q is printed over %q", x.S, p.Texts[j].S)
				}
			}
			for _, z := range closed {
				if z.meets(a) {
					fault("%q is printed in a code's or mark's quiet zone", x.S)
				}
			}
		}
		if !filled {
			fault("is empty")
		}

		boxes := make([]area, len(p.Boxes))
		for i, b := range p.Boxes {
			a := boxArea(b)
			boxes[i] = a
			if ids[b.ID] {
				fault("the box %s is there twice", b.ID)
			}
			ids[b.ID] = true
			if !paper.grown(outline).holds(a) || a.y1 > p.H-7 {
				fault("the box %s lies outside the margins", b.ID)
			}
			switch {
			case b.Kind == page.Tick && (b.W < 4.5 || b.H < 4.5):
				fault("the tick box %s is %.1f by %.1f mm", b.ID, b.W, b.H)
			case b.Kind != page.Tick && (b.W < 3*charWidth || b.H < 8):
				fault("the box %s is %.1f by %.1f mm", b.ID, b.W, b.H)
			}
			for j := range i {
				if a.grown(clear).meets(boxes[j]) {
					fault("the boxes %s and %s are nearer than 1.5 mm", b.ID, p.Boxes[j].ID)
				}
				o := p.Boxes[j]
				if b.Kind == page.Tick && o.Kind == page.Tick && math.Abs(b.Y-o.Y) < 1 && math.Abs(b.X-o.X) < 13-0.01 {
					fault("the tick boxes %s and %s are %.1f mm apart", b.ID, o.ID, math.Abs(b.X-o.X))
				}
			}
			for _, z := range closed {
				if z.meets(a) {
					fault("the box %s lies in a code's or mark's quiet zone", b.ID)
				}
			}
			near := a.grown(clear)
			for k, x := range texts {
				if near.meets(x) && !listed(b, x) {
					fault("%q is printed within 1.5 mm of the box %s", p.Texts[k].S, b.ID)
				}
			}
			for _, q := range p.Paths {
				for _, x := range strokes(q) {
					if near.meets(x) && !listed(b, x) {
						fault("a line is drawn within 1.5 mm of the box %s at %.2f: %.2f", b.ID, a, x)
					}
				}
			}
		}
		for _, q := range p.Paths[8:] { // the first eight are the marks
			for _, x := range strokes(q) {
				if !paper.holds(x) {
					fault("a line is drawn outside the margins: %.2f", x)
				}
				for _, z := range closed {
					if z.meets(x) {
						fault("a line is drawn in a quiet zone: %.2f", x)
					}
				}
				if x.x1-x.x0 < 100 || x.y1-x.y0 > 2 {
					continue
				}
				for k, a := range texts {
					if x.meets(a) {
						fault("%q is struck by a line across the page", p.Texts[k].S)
					}
				}
			}
		}
	}
}

// listed reports whether ink lies within ink that the box lists.
func listed(b page.Box, ink area) bool {
	for _, q := range b.Printed {
		if (area{q.X, q.Y, q.X + q.W, q.Y + q.H}).grown(0.02).holds(ink) {
			return true
		}
	}
	return false
}

// blanksOf gives the IDs of all boxes that a packet asks for.
func blanksOf(p packet.Packet) map[string]bool {
	ids := map[string]bool{}
	add := func(bs []packet.Blank) {
		for _, b := range bs {
			ids[b.ID] = true
		}
	}
	var walk func(bs []packet.Block)
	walk = func(bs []packet.Block) {
		for _, b := range bs {
			walk(b.Keep)
			if b.Beside != nil {
				walk(b.Beside.Left)
				walk(b.Beside.Right)
			}
			if b.List != nil && b.List.Tick {
				for _, it := range b.List.Items {
					ids[it.ID] = true
				}
			}
			if b.Table != nil {
				for _, r := range b.Table.Rows {
					for _, c := range r.Cells {
						add(c.Blanks)
					}
				}
			}
			if b.Step != nil {
				ids[b.Step.ID+".done"] = true
				add(b.Step.Blanks)
				for i := range b.Step.Work {
					for _, w := range b.Step.Work[i].Blanks() {
						add([]packet.Blank{*w})
					}
				}
				if b.Step.Hold != nil {
					add(b.Step.Hold.Blanks)
				}
			}
			if b.Done != nil {
				add(b.Done.Blanks)
			}
			if b.Sign != nil {
				for _, r := range b.Sign.Rows {
					add(r.Blanks)
				}
			}
			if b.Notes != nil {
				ids[b.Notes.ID] = true
			}
		}
	}
	for _, s := range p.Sheets {
		walk(s.Blocks)
	}
	return ids
}

// wordsOn gives a document's text without spaces, page by page.
func wordsOn(doc page.Doc) []string {
	var out []string
	for _, p := range doc.Pages {
		var b strings.Builder
		for _, x := range p.Texts {
			b.WriteString(strings.ReplaceAll(x.S, " ", ""))
		}
		out = append(out, b.String())
	}
	return out
}

// complete checks that every box that a packet asks for is there, and no other.
func complete(t testing.TB, p packet.Packet, doc page.Doc) {
	t.Helper()
	want := blanksOf(p)
	for _, pg := range doc.Pages {
		for _, b := range pg.Boxes {
			if !want[b.ID] {
				t.Errorf("the box %q is not asked for, or is there twice", b.ID)
			}
			delete(want, b.ID)
		}
	}
	for id := range want {
		t.Errorf("the box %q is not on any page", id)
	}
}
