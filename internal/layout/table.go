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
		if d := doubled(t); len(t.Rows) > 2 && f.allows(d) {
			t = d
		}
	}
	if f.pad = rowPad; t.Small {
		f.pad = rowPadSmall
	}
	cols := f.columns(t)
	f.begin()
	f.end(gapBlock, f.tableHead(t, cols, t.Title), loose)
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
	f.holdNext, f.head, f.tight, f.pad = false, 0, false, rowPad
	f.pairEnds(mark)
	if len(t.Note) > 0 {
		f.reset()
		f.begin()
		f.end(gapSmall, f.draw(f.set(t.Note, faceSmall, min(f.width, measure)), f.left, 0, flushLeft), kept)
	}
}

// doubled gives a table with two rows side by side. A band stays across it.
func doubled(t *packet.Table) *packet.Table {
	out := *t
	out.Columns = append(slices.Clone(t.Columns), t.Columns...)
	out.Rows = nil
	for i := 0; i < len(t.Rows); i++ {
		r := t.Rows[i]
		if next := i + 1; next < len(t.Rows) && len(r.Cells) > 0 && t.Rows[next].Group == "" {
			cells := make([]packet.Cell, len(t.Columns), len(out.Columns)) // a row may have fewer cells than columns
			copy(cells, r.Cells)
			r.Cells = append(cells, t.Rows[next].Cells...)
			i = next
		}
		out.Rows = append(out.Rows, r)
	}
	return &out
}

// tableFace gives the face of a table's cells.
func tableFace(t *packet.Table) face {
	if t.Small {
		return faceTableSmall
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
	y += rowPad
	for i, c := range cols {
		p := f.cells[mark+i].text
		x, to := c.x, flushLeft
		if t.Columns[i].Right {
			x, to = c.x+c.w, flushRight
		}
		f.draw(p, x, y+high-p.h, to)
	}
	f.cells = f.cells[:mark]
	y += high + rowPad
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
			text:    f.set(c.Text, tableFace(t), cols[i].w),
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
