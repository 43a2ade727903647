package layout

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/figure"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// drawn is a figure of the row in hand.
type drawn struct {
	figure.Drawing
	caption prose
	x, w    float64
}

// drawFigures draws figures with their captions below them, two side by side
// where both can be read so. Exact ones have a row of their own and are as large
// as they are.
func (f *flow) drawFigures(figs []packet.Figure, x, width, gap float64, t tie) {
	for i := range figs {
		if f.least(figs[i].Name) > width { // the whole column then
			x, width = f.left, f.width
		}
	}
	half := (width - gutter) / 2
	for i := 0; i < len(figs); gap = f.blockGap() {
		if n := f.signs(figs[i:]); n > 0 {
			n = min(n, int((width+gapSmall)/(signSize+gapSmall)))
			f.signRow(figs[i:i+n], x, gap, t)
			i += n
			continue
		}
		n, w := 1, width
		if !figs[i].Exact {
			w = min(width, figureAlone)
			if f.least(figs[i].Name) > figureMost { // one that needs the whole width has it
				w = width
				if f.squeeze == len(denser)-1 { // but for room
					w = f.least(figs[i].Name)
				}
			}
			if i+1 < len(figs) && !figs[i+1].Exact && f.readable(figs[i].Name, half) && f.readable(figs[i+1].Name, half) {
				n, w = 2, half
			}
		}
		f.reset()
		f.figures = f.figures[:0]
		for k := range figs[i : i+n] {
			g := &figs[i+k]
			d, ok := f.figure(g, max(w, min(f.least(g.Name), width)))
			if !ok {
				continue
			}
			for _, other := range [...]float64{min(width, figureMost), max(f.least(g.Name), figureSmall)} {
				if n > 1 || g.Exact || other == w || other > width || other < w && !f.halved {
					continue
				}
				if e, ok := f.figure(g, other); ok && e.H < d.H { // wider is lower where words stand beside, narrower where none do
					d, w = e, other
				}
			}
			f.figures = append(f.figures, drawn{Drawing: d, caption: f.set(g.Caption, faceSmall, max(w, min(d.W, width))), x: x + float64(k)*(half+gutter), w: w})
		}
		i += n
		f.figureRow(gap, t)
	}
}

// signs counts the signs without a caption that a row of figures begins with.
func (f *flow) signs(figs []packet.Figure) int {
	n := 0
	for n < len(figs) && len(figs[n].Caption) == 0 {
		if w := f.least(figs[n].Name); w == 0 || w > signLeast {
			break
		}
		n++
	}
	return n
}

// signRow draws signs side by side.
func (f *flow) signRow(figs []packet.Figure, x, gap float64, t tie) {
	f.begin()
	h := 0.0
	for i := range figs {
		if d, ok := f.figure(&figs[i], signSize); ok {
			f.drawing(&d, x+float64(i)*(signSize+gapSmall), 0, math.Inf(-1), math.Inf(1))
			h = max(h, d.H)
		}
	}
	f.end(gap, h, t)
}

// readable reports whether a figure can be read at a width.
func (f *flow) readable(name string, w float64) bool { return w >= figureLeast && f.least(name) <= w }

func (f *flow) least(name string) float64 {
	w, err := figure.Least(name)
	if err != nil {
		return 0 // drawing it says what is wrong
	}
	return w
}

// figure has a figure drawn.
func (f *flow) figure(g *packet.Figure, w float64) (figure.Drawing, bool) {
	d, err := figure.Draw(g.Name, figure.Params{Numbers: g.Numbers, Texts: g.Texts, Lists: g.Lists, Series: g.Series, Words: f.packet.Words.Get}, w)
	if err != nil {
		f.errorf("figure", "", "%v", err)
		return d, false
	}
	if d.W > f.width+slack {
		f.errorf("figure", "", "the figure %s is %.0f mm wide, and the page has room for %.0f mm", g.Name, d.W, f.width)
		return d, false
	}
	return d, true
}

// cellFigure draws the figure of a table's cell; nil where there is none, or where it has
// no drawing of what it is asked for, such as a part that a site alone knows.
func (f *flow) cellFigure(g *packet.Figure) *figure.Drawing {
	if g == nil {
		return nil
	}
	needs, err := figure.Needs(g.Name)
	for _, n := range needs {
		if err == nil && n.OneOf != nil && g.Texts[n.Name] != "" && !slices.Contains(n.OneOf, g.Texts[n.Name]) {
			return nil
		}
	}
	d, ok := f.figure(g, figureCell)
	if !ok {
		return nil
	}
	return &d
}

// figureRow draws the figures of f.figures side by side. A row that is higher
// than a page is cut where no line or word stands, so that a strip's pieces go
// on to the next page.
func (f *flow) figureRow(gap float64, t tie) {
	h := 0.0
	for i := range f.figures {
		h = max(h, f.figures[i].H+gapSmall+f.figures[i].caption.h)
	}
	if len(f.figures) == 0 {
		return
	}
	if h <= f.tall {
		f.begin()
		for i := range f.figures {
			g := &f.figures[i]
			f.drawing(&g.Drawing, g.x, 0, math.Inf(-1), math.Inf(1))
			f.draw(g.caption, g.x, g.H+gapSmall, flushLeft)
		}
		f.end(gap, h, t)
		return
	}
	g := &f.figures[0]
	for _, b := range bands(&g.Drawing) {
		f.begin()
		f.drawing(&g.Drawing, g.x, -b[0], b[0], b[1])
		f.end(gap, b[1]-b[0], t)
		gap, t = 0, loose
	}
	if len(f.figures) > 1 {
		f.errorf("figure", "", "two figures side by side are %.0f mm high, and a page has room for %.0f mm", h, f.tall)
	}
	f.begin()
	f.end(gapSmall, f.draw(g.caption, g.x, 0, flushLeft), fast)
}

// drawing draws what of a figure lies between two heights, moved by (dx, dy).
func (f *flow) drawing(d *figure.Drawing, dx, dy, from, to float64) {
	for _, p := range d.Paths {
		if y0, y1 := pathSpan(&p); y0 < from-slack || y1 > to+slack {
			continue
		}
		n := len(f.segs)
		for _, g := range p.Segs {
			for k := 0; k < 6; k += 2 {
				g.P[k], g.P[k+1] = g.P[k]+dx, g.P[k+1]+dy
			}
			f.segs = append(f.segs, g)
		}
		p.Segs = f.segs[n:len(f.segs):len(f.segs)]
		f.paths = append(f.paths, p)
	}
	for _, t := range d.Texts {
		if y0, y1 := textSpan(&t); y0 < from-slack || y1 > to+slack {
			continue
		}
		t.X, t.Y = t.X+dx, t.Y+dy
		f.texts = append(f.texts, t)
	}
}

// bands gives the stretches of height into which a drawing can be cut without
// cutting a line or a word; each ends where the next begins.
func bands(d *figure.Drawing) [][2]float64 {
	var ink [][2]float64
	for i := range d.Paths {
		a, b := pathSpan(&d.Paths[i])
		ink = append(ink, [2]float64{a, b})
	}
	for i := range d.Texts {
		a, b := textSpan(&d.Texts[i])
		ink = append(ink, [2]float64{a, b})
	}
	slices.SortFunc(ink, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out [][2]float64
	for _, k := range ink {
		if n := len(out); n > 0 && k[0] < out[n-1][1]+gapTight {
			out[n-1][1] = max(out[n-1][1], k[1])
			continue
		}
		out = append(out, k)
	}
	for i := range out {
		if i+1 < len(out) {
			out[i][1] = out[i+1][0]
		}
	}
	return out
}

func pathSpan(p *page.Path) (y0, y1 float64) {
	y0, y1 = math.Inf(1), math.Inf(-1)
	for i := range p.Segs {
		g := &p.Segs[i]
		n := 2
		switch g.Op {
		case page.Curve:
			n = 6
		case page.Close:
			n = 0
		}
		for k := 1; k < n; k += 2 {
			y0, y1 = min(y0, g.P[k]), max(y1, g.P[k])
		}
	}
	if p.Stroke != nil {
		y0, y1 = y0-p.Width/2, y1+p.Width/2
	}
	return y0, y1
}

func textSpan(t *page.Text) (y0, y1 float64) {
	up, down := typeface.CapHeight(t.Face, t.Size), typeface.Descent(t.Face, t.Size)
	w := typeface.Width(t.Face, t.Size, t.S)
	sin, cos := math.Sincos(t.Turn * math.Pi / 180)
	y0, y1 = math.Inf(1), math.Inf(-1)
	for _, c := range [4][2]float64{{0, -up}, {w, -up}, {0, down}, {w, down}} {
		y := t.Y - c[0]*sin + c[1]*cos
		y0, y1 = min(y0, y), max(y1, y)
	}
	return y0, y1
}

// pictograms draws GHS signs in a row and gives their height.
func (f *flow) pictograms(codes []string, x, y, size float64) float64 {
	h := 0.0
	for i, c := range codes {
		if d, ok := f.figure(&packet.Figure{Name: strings.ToLower(c)}, size); ok {
			f.drawing(&d, x+float64(i)*(size+gapSmall), y, math.Inf(-1), math.Inf(1))
			h = max(h, d.H)
		}
	}
	return h
}
