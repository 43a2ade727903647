package layout

import (
	"math"

	"jobsheaf/internal/figure"
	"jobsheaf/internal/page"
)

const (
	rowPad      = 1.1  // between a rule and text
	rowPadSmall = 0.5  // the same in a small table
	rowPadDense = 0.3  // and on a dense sheet
	rowPadBox   = 1.85 // between a rule and a box: clear of its outline
)

// cell is one place of a row: a small label, a text and blanks, one below the
// other.
type cell struct {
	x, w        float64
	drawing     *figure.Drawing // nil: none; then it has nothing else
	label, text prose
	stack       stack
	right       bool // the text is flush right

	line int  // of label and text together, drawn so far
	done bool // the blanks are drawn
}

func (c *cell) boxed() bool { return c.stack.b > c.stack.a }

func (c *cell) lines() int { return c.label.l1 - c.label.l0 + c.text.l1 - c.text.l0 }

func (c *cell) height() float64 {
	if c.drawing != nil {
		return c.drawing.H
	}
	h := c.label.h + c.text.h
	if c.boxed() {
		if h > 0 {
			h += capGap
		}
		h += c.stack.h
	}
	return h
}

// drawRow draws the row of f.cells as one piece, with a rule of the given ink
// below it (nil: none). A row that is higher than a page becomes several pieces.
func (f *flow) drawRow(gap float64, t tie, under *page.Ink) {
	h, box, boxed := 0.0, 0.0, false
	for i := range f.cells {
		if c := &f.cells[i]; c.boxed() {
			box, boxed = max(box, c.height()), true
		} else {
			h = max(h, c.height())
		}
	}
	pad := f.pad
	if boxed {
		pad = rowPadBox
	}
	room := f.tall
	if f.head > 0 {
		room -= f.heads[f.head-1].h
	}
	high := max(h+2*f.pad, box+2*pad)
	low := high // no text comes lower
	if f.unruled && boxed && h <= box+rowPadBox-f.pad {
		high, low, under = rowPadBox+box, 2*rowPadBox+box, nil
	}
	if high <= room {
		f.begin()
		for i := range f.cells {
			c := &f.cells[i]
			y := f.pad
			if boxed { // beside a box, text stands level with the box's middle
				y = max(f.pad, (high-c.height())/2)
				if under == nil && f.unruled {
					y = rowPadBox + (box-c.height())/2
				}
			}
			f.drawCell(c, y, low)
		}
		f.endRow(gap, high, t, under)
		return
	}
	for more := true; more; gap, t = 0, joined {
		f.begin()
		low := 0.0
		more = false
		for i := range f.cells {
			c := &f.cells[i]
			low = max(low, f.drawCell(c, pad, f.part()-f.tall+room))
			more = more || c.line < c.lines() || !c.done
		}
		var ink *page.Ink
		if !more {
			ink = under
		}
		f.endRow(gap, low+pad, t, ink)
	}
}

func (f *flow) endRow(gap, h float64, t tie, under *page.Ink) {
	if under != nil {
		f.level(f.left, f.left+f.width, h, thin, under)
	}
	f.end(gap, h, t)
}

// drawCell draws of a cell from y on what is left and comes no lower than most,
// at least one line or the blanks, and gives how far down it came.
func (f *flow) drawCell(c *cell, y, most float64) float64 {
	if c.drawing != nil {
		f.drawing(c.drawing, c.x, y, math.Inf(-1), math.Inf(1))
		y += c.drawing.H
		c.drawing, c.done = nil, true
		return y
	}
	top := y
	n := c.label.l1 - c.label.l0
	for c.line < c.lines() {
		t, l0 := c.text, c.text.l0+c.line-n
		if c.line < n {
			t, l0 = c.label, c.label.l0+c.line
		}
		k := t.fit(l0, most-y)
		if y > top && y+float64(k)*t.base.line() > most+slack {
			return y
		}
		x, to := c.x, flushLeft
		if c.right {
			x, to = c.x+c.w, flushRight
		}
		y += f.drawLines(t, l0, l0+k, x, y, to)
		c.line += k
	}
	if c.done || !c.boxed() {
		c.done = true
		return y
	}
	if y > top {
		if y+capGap+c.stack.h > most+slack {
			return y
		}
		y += capGap
	}
	f.drawStack(c.stack, c.x, y)
	c.done = true
	return y + c.stack.h
}
