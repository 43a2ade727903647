package layout

import (
	"slices"

	"jobsheaf/internal/packet"
)

// table draws a table. Its title and headings, with the band of the group in
// hand, stand again at the top of each page that begins within it. A row is not
// cut unless it is higher than a page. Where text and blanks side by side would be
// too narrow, a row has two levels: its text, and its blanks below it.
func (f *flow) table(t *packet.Table) {
	if t.Double {
		t = f.abreast(t)
		// It is short: it is parted only where it would cost a page.
		defer func(mark int) { f.bind(mark, near) }(f.here())
	}
	f.pad = rowPad
	switch {
	case f.dense:
		f.pad = rowPadDense
	case t.Small:
		f.pad = rowPadSmall
	}
	f.unruled = f.dense && t.Double
	cols := f.columns(t)
	f.begin()
	f.end(f.blockGap(), f.tableHead(t, cols, t.Title), loose)
	f.holdNext = true
	plain := f.repeat(t, cols, "")
	mark := f.here()
	f.head = plain
	for i := range t.Rows {
		r := &t.Rows[i]
		if r.Group != "" {
			f.head = plain
			f.begin()
			f.end(0, f.band(r.Group, 0), loose)
			f.holdNext = true
			f.head = f.repeat(t, cols, r.Group)
		}
		if len(r.Cells) > len(cols) {
			f.errorf("row-cells", "", "row %d of the table %q has %d cells for %d columns", i+1, t.Title, len(r.Cells), len(cols))
			continue
		}
		if len(r.Cells) > 0 {
			f.row(t, r, cols)
		}
	}
	unruled := f.unruled
	f.holdNext, f.head, f.tight, f.pad, f.unruled = false, 0, false, rowPad, false
	if !unruled {
		f.pairEnds(mark)
	}
	if len(t.Note) > 0 {
		f.reset()
		f.begin()
		f.end(f.gap(gapSmall), f.draw(f.set(t.Note, faceSmall, f.running()), f.left, 0, flushLeft), kept)
	}
}

// abreast gives a table with two rows side by side, or three on a dense sheet, where the
// page allows.
func (f *flow) abreast(t *packet.Table) *packet.Table {
	most, from := 2, 3
	if f.dense {
		most, from = 3, 2
	}
	for n := min(most, len(t.Rows)); n > 1 && len(t.Rows) >= from; n-- {
		if d := sideways(t, n); f.allows(d) {
			return d
		}
	}
	return t
}

// sideways gives a table with so many rows side by side. A band stays across it.
func sideways(t *packet.Table, n int) *packet.Table {
	out := *t
	out.Columns = slices.Repeat(t.Columns, n)
	out.Rows = nil
	for i := 0; i < len(t.Rows); i++ {
		r := t.Rows[i]
		if len(r.Cells) > 0 {
			cells := make([]packet.Cell, len(t.Columns), len(out.Columns)) // a row may have fewer cells than columns
			copy(cells, r.Cells)
			for k := 1; k < n && i+1 < len(t.Rows) && t.Rows[i+1].Group == ""; k++ {
				i++
				cells = append(cells[:k*len(t.Columns)], make([]packet.Cell, len(t.Columns))...)
				copy(cells[k*len(t.Columns):], t.Rows[i].Cells)
			}
			r.Cells = cells
		}
		out.Rows = append(out.Rows, r)
	}
	return &out
}

// tableFace gives the face of a table's cells.
func (f *flow) tableFace(t *packet.Table) face {
	switch {
	case t.Small && f.squeeze == len(denser)-1:
		return faceTableLeast
	case t.Small:
		return faceTableSmall
	case f.large:
		return faceBody
	case f.dense && f.squeeze < len(denser)-1:
		return faceTableDense
	}
	return faceTable
}

// repeat draws what stands at the top of a page that begins within the table
// and gives its number for piece.head.
func (f *flow) repeat(t *packet.Table, cols []column, group string) int32 {
	more := f.words.say("continued")
	f.begin()
	title := t.Title
	if title != "" {
		title += " " + more
	}
	h := f.tableHead(t, cols, title)
	if group != "" {
		h += f.band(group+" "+more, h)
	}
	f.heads = append(f.heads, heads{f.upTo(f.open), h})
	return int32(len(f.heads))
}

// tableHead draws a table's title and the headings of its columns, which stand
// on one line at the bottom.
func (f *flow) tableHead(t *packet.Table, cols []column, title string) float64 {
	f.reset()
	y := 0.0
	if title != "" {
		y = f.draw(f.text(title, faceStrong, f.width), f.left, 0, flushLeft) + gapTight
	}
	f.level(f.left, f.left+f.width, y, rule, &black)
	high := 0.0
	mark := len(f.cells)
	for i, c := range cols {
		if c.lower {
			f.cells = append(f.cells, cell{})
			continue
		}
		p := f.text(t.Columns[i].Title, faceTableHead, c.w)
		f.cells = append(f.cells, cell{text: p})
		high = max(high, p.h)
	}
	y += f.pad
	for i, c := range cols {
		p := f.cells[mark+i].text
		x, to := c.x, flushLeft
		if t.Columns[i].Right {
			x, to = c.x+c.w, flushRight
		}
		f.draw(p, x, y+high-p.h, to)
	}
	f.cells = f.cells[:mark]
	y += high + f.pad
	f.level(f.left, f.left+f.width, y, rule, &black)
	return y
}

// band draws the band of a group across the table.
func (f *flow) band(group string, y float64) float64 {
	f.reset()
	p := f.text(group, faceTableHead, f.width-2*gapTight)
	h := p.h + 2*rowPad
	f.fill(f.left, y+rule/2, f.width, h-rule/2, &light)
	f.draw(p, f.left+gapTight, y+rowPad, flushLeft)
	f.level(f.left, f.left+f.width, y+h, thin, &black)
	return h
}

// row draws one row of cells.
func (f *flow) row(t *packet.Table, r *packet.Row, cols []column) {
	f.reset()
	f.blanks, f.cells, f.lower = f.blanks[:0], f.cells[:0], f.lower[:0]
	f.lowerEnds = f.lowerEnds[:0]
	for i := range r.Cells {
		c := &r.Cells[i]
		if cols[i].lower {
			f.lowerBlanks(t.Columns[i].Title, c)
			continue
		}
		f.cells = append(f.cells, cell{
			x: cols[i].x, w: cols[i].w, right: t.Columns[i].Right,
			drawing: f.cellFigure(c.Figure),
			text:    f.set(c.Text, f.tableFace(t), cols[i].w),
			stack:   f.above(c.Blanks, cols[i].w, whole),
		})
	}
	if len(f.lower) == 0 {
		f.drawRow(0, loose, &black)
		return
	}
	f.drawRow(0, loose, nil)
	f.begin()
	h := rowPadBox - f.pad
	for from, i := 0, 0; i < len(f.lowerEnds); i++ {
		s := f.above(f.lower[from:f.lowerEnds[i]], f.width, some)
		f.drawStack(s, f.left, h)
		h += s.h + rowPadBox
		from = f.lowerEnds[i]
	}
	f.level(f.left, f.left+f.width, h, thin, &black)
	f.end(0, h, fast)
}

// lowerBlanks adds a cell's blanks to the lower level of its row, with the
// column's title in their labels.
func (f *flow) lowerBlanks(title string, c *packet.Cell) {
	if len(c.Blanks) == 0 {
		return
	}
	for k, b := range c.Blanks {
		switch {
		case b.Label == "":
			b.Label = title
		case b.Kind != packet.Tick:
			b.Label = title + ": " + b.Label
		}
		if k == 0 && len(c.Text) > 0 {
			b.Target = append(c.Text[:len(c.Text):len(c.Text)], b.Target...)
		}
		f.lower = append(f.lower, b)
	}
	// Several readings begin a line; what fits behind them stands there.
	several := len(c.Blanks) > 1 && c.Blanks[0].Kind != packet.Tick
	if n := len(f.lowerEnds); n > 0 && !several {
		f.lowerEnds[n-1] = len(f.lower)
	} else {
		f.lowerEnds = append(f.lowerEnds, len(f.lower))
	}
}
