package figure

import (
	"strconv"
	"strings"

	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// font is a face at a size in points.
type font struct {
	face page.Face
	size float64
}

// The fonts of figures. Nothing is smaller than 8 pt, and what is of 8 pt is
// bold: on a copy of a copy regular type of that size is gone. So is the decimal
// point of a number that is not bold. What is read while the hands are at work is
// 9.5 pt or more.
var (
	note   = font{page.Bold, 8}
	work   = font{page.Regular, 9.5}
	strong = font{page.Bold, 9.5}
	mark   = note // letters and numbers in bubbles
)

func (f font) width(s string) float64 { return typeface.Width(f.face, f.size, s) }

// cap is the height of its capitals and figures in mm.
func (f font) cap() float64 { return typeface.CapHeight(f.face, f.size) }

// lead is the distance between baselines in mm.
func (f font) lead() float64 { return f.size * typeface.MM * 1.2 }

func (f font) wrap(width float64, s string) []string { return typeface.Wrap(f.face, f.size, width, s) }

// text sets one line with its baseline's left end at (x, y).
func (g *pen) text(f font, x, y float64, s string) {
	g.d.Texts = append(g.d.Texts, page.Text{X: x, Y: y, Size: f.size, Face: f.face, Ink: black, S: s})
}

// mid sets one line centred on (x, y), over both its width and its capitals.
func (g *pen) mid(f font, x, y float64, s string) { g.text(f, x-f.width(s)/2, y+f.cap()/2, s) }

// centred sets one line centred on x with its baseline at y.
func (g *pen) centred(f font, x, y float64, s string) { g.text(f, x-f.width(s)/2, y, s) }

// para sets text broken to a width, its first line's top at y, and gives the y
// below its last line.
func (g *pen) para(f font, x, y, width float64, s string) float64 {
	for _, l := range f.wrap(width, s) {
		g.text(f, x, y+f.ascent(), l)
		y += f.lead()
	}
	return y
}

// middle is para with each line centred.
func (g *pen) middle(f font, x, y, width float64, s string) float64 {
	for _, l := range f.wrap(width, s) {
		g.centred(f, x+width/2, y+f.ascent(), l)
		y += f.lead()
	}
	return y
}

// ascent is how far below the top of a line its baseline lies, with the leading
// shared out.
func (f font) ascent() float64 {
	a, d := typeface.Ascent(f.face, f.size), typeface.Descent(f.face, f.size)
	return (f.lead()-(a+d))/2 + a
}

// tall is how high text is when broken to a width.
func (f font) tall(width float64, s string) float64 {
	return float64(len(f.wrap(width, s))) * f.lead()
}

// ball is the radius of a bubble in mm, rim what its outline adds.
const (
	ball = 2.5
	rim  = plain / 2
)

// bubble puts a letter or number in a small white circle, or in a rounded box
// where it is too long for one.
func (g *pen) bubble(x, y float64, s string) {
	if half := mark.width(s)/2 + 0.7; half > ball {
		g.shape(plain, &white, pill(x-half, y-ball, 2*half, 2*ball, 1.4))
	} else {
		g.shape(plain, &white, page.Circle(x, y, ball))
	}
	g.mid(mark, x, y, s)
}

// bubbleHalf is half the width of the bubble around a text.
func bubbleHalf(s string) float64 { return max(ball, mark.width(s)/2+0.7) }

// pill is a rectangle with rounded corners.
func pill(x, y, w, h, r float64) []page.Seg {
	return closed(join(true,
		page.Arc(x+w-r, y+r, r, -90, 90), page.Arc(x+w-r, y+h-r, r, 0, 90),
		page.Arc(x+r, y+h-r, r, 90, 90), page.Arc(x+r, y+r, r, 180, 90)))
}

// entry is a line of a legend.
type entry struct{ mark, text string }

// legend sets entries in columns from left to right, each filled from the top,
// and gives the y below them.
func (g *pen) legend(f font, x, y, width float64, columns int, entries []entry) float64 {
	const gutter = 4
	columns = max(1, min(columns, len(entries)))
	each := (width - gutter*float64(columns-1)) / float64(columns)
	const longMark = 11 // beyond it a mark does not push the others' text aside
	inset := 0.0
	for _, e := range entries {
		if w := 2*bubbleHalf(e.mark) + 1.6; w < longMark {
			inset = max(inset, w)
		}
	}
	perColumn := (len(entries) + columns - 1) / columns
	lowest := y
	for c := range columns {
		left, at := x+float64(c)*(each+gutter), y+rim
		for i := c * perColumn; i < min(len(entries), (c+1)*perColumn); i++ {
			e := entries[i]
			g.bubble(left+rim+bubbleHalf(e.mark), at+ball+0.3, e.mark)
			in := max(inset, 2*bubbleHalf(e.mark)+1.6)
			below := g.para(f, left+in, at+ball+0.3-f.ascent()+f.cap()/2, each-in, e.text)
			at = max(below, at+2*ball+0.3) + 0.9
		}
		lowest = max(lowest, at)
	}
	return lowest
}

// cross says wrong without a word.
func (g *pen) cross(x, y, size float64) {
	h := size / 2
	g.line(2*heavy, x-h, y-h, x+h, y+h)
	g.line(2*heavy, x+h, y-h, x-h, y+h)
}

// decimalText prints a number with the decimal sign of the page's language.
func decimalText(v float64, digits int, sign string) string {
	return strings.Replace(strconv.FormatFloat(v, 'f', digits, 64), ".", sign, 1)
}
