package layout

import (
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// canvas gathers what is drawn, in order. The pieces of the body are drawn on
// one canvas with heights counted from each piece's own top; the pages are then
// put together on another.
type canvas struct {
	texts   []page.Text
	paths   []page.Path
	boxes   []page.Box
	segs    []page.Seg     // what the paths point into
	printed []page.Printed // what the boxes point into
}

// span is a stretch of what is drawn on a canvas.
type span struct{ t0, t1, p0, p1, b0, b1 int }

func (c *canvas) from() span {
	return span{t0: len(c.texts), p0: len(c.paths), b0: len(c.boxes)}
}

// upTo closes a span that from opened.
func (c *canvas) upTo(s span) span {
	s.t1, s.p1, s.b1 = len(c.texts), len(c.paths), len(c.boxes)
	return s
}

// copy draws a span of another canvas again, moved to the right by dx and down by dy.
func (c *canvas) copy(o *canvas, s span, dx, dy float64) {
	for _, t := range o.texts[s.t0:s.t1] {
		t.X, t.Y = t.X+dx, t.Y+dy
		c.texts = append(c.texts, t)
	}
	for _, p := range o.paths[s.p0:s.p1] {
		n := len(c.segs)
		for _, g := range p.Segs {
			for k := 0; k < 6; k += 2 {
				g.P[k], g.P[k+1] = g.P[k]+dx, g.P[k+1]+dy
			}
			c.segs = append(c.segs, g)
		}
		p.Segs = c.segs[n:len(c.segs):len(c.segs)]
		c.paths = append(c.paths, p)
	}
	for _, b := range o.boxes[s.b0:s.b1] {
		b.X, b.Y = b.X+dx, b.Y+dy
		if len(b.Printed) > 0 {
			n := len(c.printed)
			for _, q := range b.Printed {
				q.X, q.Y = q.X+dx, q.Y+dy
				c.printed = append(c.printed, q)
			}
			b.Printed = c.printed[n:len(c.printed):len(c.printed)]
		}
		c.boxes = append(c.boxes, b)
	}
}

// say sets one run of text with its baseline at y and gives its width.
func (c *canvas) say(f face, x, y float64, s string) float64 {
	if s != "" {
		c.texts = append(c.texts, page.Text{X: x, Y: y, Size: f.size, Face: f.Face, Ink: f.ink, S: s})
	}
	return typeface.Width(f.Face, f.size, s)
}

// sayRight sets one run of text that ends at x.
func (c *canvas) sayRight(f face, x, y float64, s string) {
	c.say(f, x-typeface.Width(f.Face, f.size, s), y, s)
}

// path adds a path with segments of its own.
func (c *canvas) path(p page.Path, segs ...page.Seg) {
	n := len(c.segs)
	c.segs = append(c.segs, segs...)
	p.Segs = c.segs[n:len(c.segs):len(c.segs)]
	c.paths = append(c.paths, p)
}

// level draws a level line.
func (c *canvas) level(x1, x2, y, width float64, ink *page.Ink) {
	c.path(page.Path{Stroke: ink, Width: width},
		page.Seg{Op: page.Move, P: [6]float64{x1, y}}, page.Seg{Op: page.Line, P: [6]float64{x2, y}})
}

// upright draws an upright line.
func (c *canvas) upright(x, y1, y2, width float64, ink *page.Ink) {
	c.path(page.Path{Stroke: ink, Width: width},
		page.Seg{Op: page.Move, P: [6]float64{x, y1}}, page.Seg{Op: page.Line, P: [6]float64{x, y2}})
}

// fill fills a rectangle.
func (c *canvas) fill(x, y, w, h float64, ink *page.Ink) {
	c.path(page.Path{Fill: ink},
		page.Seg{Op: page.Move, P: [6]float64{x, y}}, page.Seg{Op: page.Line, P: [6]float64{x + w, y}},
		page.Seg{Op: page.Line, P: [6]float64{x + w, y + h}}, page.Seg{Op: page.Line, P: [6]float64{x, y + h}},
		page.Seg{Op: page.Close})
}

// frame draws a rectangle's outline within its edges.
func (c *canvas) frame(x, y, w, h, width float64, ink *page.Ink) {
	x, y, w, h = x+width/2, y+width/2, w-width, h-width
	c.path(page.Path{Stroke: ink, Width: width},
		page.Seg{Op: page.Move, P: [6]float64{x, y}}, page.Seg{Op: page.Line, P: [6]float64{x + w, y}},
		page.Seg{Op: page.Line, P: [6]float64{x + w, y + h}}, page.Seg{Op: page.Line, P: [6]float64{x, y + h}},
		page.Seg{Op: page.Close})
}

// box adds a place to write. What is printed in it is drawn apart.
func (c *canvas) box(b page.Box, printed ...page.Printed) {
	if len(printed) > 0 {
		n := len(c.printed)
		c.printed = append(c.printed, printed...)
		b.Printed = c.printed[n:len(c.printed):len(c.printed)]
	}
	c.boxes = append(c.boxes, b)
}
