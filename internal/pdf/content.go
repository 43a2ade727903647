package pdf

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// pt is one millimetre in points.
const pt = 72 / 25.4

const (
	boxLine      = 0.265 // mm; page.Box says so
	hatchLine    = 0.18  // mm
	hatchPitch   = 2.0   // mm between hatching lines, measured along the edge
	taller       = 0.02  // by how much of a module a run of dark modules is drawn taller
	mostPlace    = 2e4   // mm; paper is smaller, and a place beyond it a fault in the layout
	minimumTrace = 1e-9  // mm; a hatching line shorter than this is left out
)

var (
	black    = page.Ink{}
	hatchInk = page.Ink{R: 170, G: 170, B: 170}
)

// content writes one page's drawing operators and remembers what is set, so that
// nothing is set twice. Places are turned from mm downward to points upward.
type content struct {
	b    []byte
	h    float64 // height of the page, mm
	used *usage
	err  error

	fill, stroke page.Ink
	fillSet      bool
	strokeSet    bool
	width        float64
	dash         []float64
	round        bool
	font         uint8
	size         float64 // 0: no font is set
	level        bool    // the last text was not turned
	x, y         int64   // where the line of it began, in thousandths of a point
	end          float64 // where it ended, in points
	open         bool    // its string is open

	drawn              [][]bool // the modules of the last code
	drawnFrom, drawnTo int      // where in b they are drawn
}

func (c *content) page(pg *page.Page) {
	c.h = pg.H
	c.width = -1
	c.op("0 J 0 j")
	for i := range pg.Images {
		c.image(&pg.Images[i])
	}
	for i := range pg.Paths {
		c.path(&pg.Paths[i])
	}
	for i := range pg.Boxes {
		c.box(&pg.Boxes[i])
	}
	for i := range pg.Codes {
		c.code(&pg.Codes[i])
	}
	if len(pg.Texts) > 0 {
		c.op("BT")
		c.level, c.x, c.y, c.end, c.open = true, 0, 0, 0, false
		for i := range pg.Texts {
			c.text(&pg.Texts[i])
		}
		c.endString()
		c.op("ET")
	}
}

// fault keeps the first fault of the page.
func (c *content) fault(format string, args ...any) {
	if c.err == nil {
		c.err = fmt.Errorf(format, args...)
	}
}

func (c *content) op(s string) {
	c.b = append(c.b, s...)
	c.b = append(c.b, '\n')
}

// num writes a number and a space.
func (c *content) num(v float64) { c.b = append(appendThousandths(c.b, c.thousandths(v)), ' ') }

// thousandths gives a place or size in points as the page has it.
func (c *content) thousandths(v float64) int64 {
	if !(math.Abs(v) < mostPlace*pt) { // also not a number
		c.fault("%v is not a place or size on paper", v)
		return 0
	}
	return thousandths(v)
}

func (c *content) xy(x, y float64) {
	c.num(x * pt)
	c.num((c.h - y) * pt)
}

// ink writes a colour and its operator, of which the first is for grey and the
// second for red, green and blue.
func (c *content) ink(k page.Ink, grey, rgb string) {
	if k.R == k.G && k.G == k.B {
		c.num(float64(k.R) / 255)
		c.op(grey)
		return
	}
	c.num(float64(k.R) / 255)
	c.num(float64(k.G) / 255)
	c.num(float64(k.B) / 255)
	c.op(rgb)
}

func (c *content) setFill(k page.Ink) {
	if !c.fillSet || c.fill != k {
		c.ink(k, "g", "rg")
		c.fill, c.fillSet = k, true
	}
}

// pen sets how lines are drawn.
func (c *content) pen(k page.Ink, width float64, dash []float64, round bool) {
	if !c.strokeSet || c.stroke != k {
		c.ink(k, "G", "RG")
		c.stroke, c.strokeSet = k, true
	}
	if width < 0 {
		c.fault("a line of %v mm width", width)
	}
	if c.width != width {
		c.num(width * pt)
		c.op("w")
		c.width = width
	}
	if c.round != round {
		if round {
			c.op("1 J 1 j")
		} else {
			c.op("0 J 0 j")
		}
		c.round = round
	}
	if !slices.Equal(c.dash, dash) {
		c.b = append(c.b, '[')
		sum := 0.0
		for _, d := range dash {
			if d < 0 {
				c.fault("a dash of %v mm", d)
			}
			c.num(d * pt)
			sum += d
		}
		if len(dash) > 0 && !(sum > 0) {
			c.fault("dashes without length") // would draw for ever
		}
		c.op("] 0 d")
		c.dash = dash
	}
}

func (c *content) path(p *page.Path) {
	if p.Fill == nil && p.Stroke == nil || len(p.Segs) == 0 {
		return
	}
	if p.Segs[0].Op != page.Move {
		c.fault("a path does not begin with a move")
		return
	}
	if p.Fill != nil {
		c.setFill(*p.Fill)
	}
	if p.Stroke != nil {
		c.pen(*p.Stroke, p.Width, p.Dash, p.Round)
	}
	for i := range p.Segs {
		s := &p.Segs[i]
		switch s.Op {
		case page.Move:
			c.xy(s.P[0], s.P[1])
			c.op("m")
		case page.Line:
			c.xy(s.P[0], s.P[1])
			c.op("l")
		case page.Curve:
			c.xy(s.P[0], s.P[1])
			c.xy(s.P[2], s.P[3])
			c.xy(s.P[4], s.P[5])
			c.op("c")
		case page.Close:
			c.op("h")
		default:
			c.fault("a path's segment is of kind %d", s.Op)
		}
	}
	op := "S"
	if p.Fill != nil {
		op = "f"
		if p.Stroke != nil {
			op = "B"
		}
		if p.Even {
			op += "*"
		}
	}
	c.op(op)
}

func (c *content) box(b *page.Box) {
	if b.Hatched {
		c.hatch(b)
	}
	c.pen(black, boxLine, nil, false)
	c.rect(b.X, b.Y, b.W, b.H)
	c.op("S")
}

func (c *content) rect(x, y, w, h float64) {
	c.xy(x, y+h)
	c.num(w * pt)
	c.num(h * pt)
	c.op("re")
}

// hatch draws rising lines inside the box: those on which the distance right of
// the left edge plus the distance below the top edge is a multiple of the pitch.
func (c *content) hatch(b *page.Box) {
	if !(b.W < mostPlace && b.H < mostPlace) {
		c.fault("a box of %v by %v mm", b.W, b.H)
		return
	}
	c.pen(hatchInk, hatchLine, nil, false)
	for sum := hatchPitch; sum < b.W+b.H; sum += hatchPitch {
		left, right := max(0, sum-b.H), min(b.W, sum)
		if right-left < minimumTrace {
			continue
		}
		c.xy(b.X+left, b.Y+sum-left)
		c.op("m")
		c.xy(b.X+right, b.Y+sum-right)
		c.op("l")
	}
	c.op("S")
}

// code draws the dark modules, a run along a row as one rectangle, a little
// taller than the row: rectangles that only touch leave hairs of white between
// them on some printers, and readers fail. It counts in modules, so that the
// second code of a page is written like the first: it is copied, and compresses
// to nothing.
func (c *content) code(q *page.Code) {
	n := len(q.Modules)
	if n == 0 || !(q.Size > 0) {
		c.fault("a code of %d modules and %v mm", n, q.Size)
		return
	}
	c.setFill(black)
	m := q.Size / float64(n)
	c.b = append(c.b, 'q', ' ')
	c.num6(m * pt)
	c.b = append(c.b, "0 0 "...)
	c.num6(m * pt)
	c.xy(q.X, q.Y+q.Size+m*taller/2)
	c.op("cm")
	if slices.EqualFunc(q.Modules, c.drawn, slices.Equal) {
		c.b = append(c.b, c.b[c.drawnFrom:c.drawnTo]...)
	} else {
		c.drawn, c.drawnFrom = q.Modules, len(c.b)
		c.modules(q.Modules)
		c.drawnTo = len(c.b)
	}
	c.op("f Q")
}

func (c *content) modules(rows [][]bool) {
	height := append(appendNumber([]byte{' '}, 1+taller), " re\n"...)
	for i, row := range rows {
		for from := 0; from < len(row); from++ {
			if !row[from] {
				continue
			}
			to := from + 1
			for to < len(row) && row[to] {
				to++
			}
			c.b = strconv.AppendInt(c.b, int64(from), 10)
			c.b = append(c.b, ' ')
			c.b = strconv.AppendInt(c.b, int64(len(rows)-1-i), 10)
			c.b = append(c.b, ' ')
			c.b = strconv.AppendInt(c.b, int64(to-from), 10)
			c.b = append(c.b, height...)
			from = to
		}
	}
}

// text shows a run. A font's codes are Unicode, so the string is in UTF-16; what
// comes from another font of the face's chain is shown by itself. A run that begins where
// the one before it ended goes on from there, in the same string where it looks the same.
func (c *content) text(t *page.Text) {
	if t.S == "" {
		return
	}
	if t.Face >= page.FaceCount {
		c.fault("text %q is in face %d; the last is %d", t.S, t.Face, page.FaceCount-1)
		return
	}
	if !(t.Size > 0) {
		c.fault("text %q has size %v pt", t.S, t.Size)
		return
	}
	x, y := c.thousandths(t.X*pt), c.thousandths((c.h-t.Y)*pt)
	on := t.Turn == 0 && c.level && y == c.y && math.Abs(t.X*pt-c.end) < closeBy
	if !on || c.fill != t.Ink {
		c.endString()
		c.setFill(t.Ink)
	}
	if !on {
		c.begin(t, x, y)
	}
	glyphs, advance := typeface.TableOf(t.Face), 0.0
	for _, r := range t.S {
		g := glyphs.Glyph(r)
		if g.ID == 0 {
			c.fault("text %q has %q (U+%04X), which its face lacks", t.S, r, r)
			return
		}
		if !c.open || g.Font != c.font || t.Size != c.size {
			c.endString()
			c.setFont(g.Font, t.Size)
			c.b = append(c.b, '(')
			c.open = true
		}
		c.used.add(g.Font, r)
		if letter(r) {
			c.b = append(c.b, 0, byte(r))
		} else {
			c.b = appendByte(appendByte(c.b, byte(r>>8)), byte(r))
		}
		advance += float64(g.Advance)
	}
	c.end += advance * t.Size / 1000
}

// letter reports whether a rune is one of ASCII that a string holds as it is.
func letter(r rune) bool { return r >= ' ' && r < 0x7F && r != '(' && r != ')' && r != '\\' }

// closeBy is how near, in points, a text has to begin to where the one before it ends to
// be shown as its continuation: layout has measured both in millimetres.
const closeBy = 0.005

// endString shows the string that is open.
func (c *content) endString() {
	if c.open {
		c.op(")Tj")
		c.open = false
	}
}

// begin goes to where a text begins. From one level text to the next it says how far that
// is: half as many bytes as the place, and the lines of a column are alike.
func (c *content) begin(t *page.Text, x, y int64) {
	if t.Turn == 0 && c.level {
		c.b = append(appendThousandths(c.b, x-c.x), ' ')
		c.b = append(appendThousandths(c.b, y-c.y), ' ')
		c.op("Td")
	} else {
		s, k := math.Sincos(t.Turn * math.Pi / 180)
		for _, v := range [4]float64{k, s, -s, k} {
			c.num6(v)
		}
		c.xy(t.X, t.Y)
		c.op("Tm")
	}
	c.level, c.x, c.y, c.end = t.Turn == 0, x, y, t.X*pt
}

func (c *content) setFont(font uint8, size float64) {
	if c.size == size && c.font == font {
		return
	}
	c.b = append(c.b, '/', 'F', '0'+font, ' ')
	c.num(size)
	c.op("Tf")
	c.font, c.size = font, size
}

// num6 writes a factor of a matrix, finely enough that what it turns or
// stretches ends where it should.
func (c *content) num6(v float64) {
	if !(math.Abs(v) < mostPlace*pt) {
		c.fault("%v is not an angle or size", v)
		v = 0
	}
	c.b = strconv.AppendFloat(c.b, v, 'f', 6, 64)
	c.b = append(c.b, ' ')
}
