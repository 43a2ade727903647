package layout

import (
	"math"
	"slices"

	"jobsheaf/internal/packet"
)

// column is where a table's column stands. A lower one holds blanks and stands
// below the columns of text, which are then as wide as the table.
type column struct {
	x, w  float64
	lower bool
}

const (
	wordMost    = 45.0 // a longer word may be cut, so that it does not take the table
	textLeast   = 8.0  // a column of text is never narrower
	shareStep   = 1.0  // by which columns of long texts are widened
	linesMost   = 3.5  // texts with more lines beside blanks make the table have two levels
	linesDouble = 4.5  // texts with more lines keep two rows from standing side by side
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
			text:  f.set(c.Text, tableFace(t), cols[i].w),
			stack: f.above(c.Blanks, cols[i].w, whole),
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

// columns shares out the table's width: to each column what it must have, what
// is left by weight, first up to what each can use.
func (f *flow) columns(t *packet.Table) []column {
	n := len(t.Columns)
	out := make([]column, n)
	f.tight = false
	room := f.width - float64(n-1)*cellGap
	fits := f.needs(t, out) <= room
	if fits {
		f.share(t, room)
	}
	if written := f.written(); written > 0 && written < n && (!fits || f.crowded(linesMost)) {
		for i := range f.cols {
			out[i].lower = f.cols[i].lowers()
		}
		room = f.width - float64(n-written-1)*cellGap
		if f.needs(t, out) > room { // then numbers and their units may part
			f.tight = true
			f.needs(t, out)
		}
		f.share(t, room)
	} else if !fits {
		f.tight = true
		f.needs(t, out)
		f.share(t, room)
	}
	x := f.left
	for i, k := range f.cols {
		if !out[i].lower {
			out[i].x, out[i].w = x, k.least
			x += k.least + cellGap
		}
	}
	return out
}

// allows reports whether a table fits with its text and blanks side by side.
func (f *flow) allows(t *packet.Table) bool {
	f.tight = false
	n := len(t.Columns)
	room := f.width - float64(n-1)*cellGap
	if f.needs(t, make([]column, n)) > room {
		return false
	}
	f.share(t, room)
	return !f.crowded(linesDouble)
}

// written counts the columns that can stand on the lower level.
func (f *flow) written() int {
	n := 0
	for i := range f.cols {
		if f.cols[i].lowers() {
			n++
		}
	}
	return n
}

// lowers reports whether the column can stand on the lower level: it has blanks,
// and no text where it has none.
func (c *colNeed) lowers() bool { return c.fixed > 0 && !c.bare }

// crowded reports whether a column's text takes more lines than said.
func (f *flow) crowded(lines float64) bool {
	for _, c := range f.cols {
		if c.text > lines*c.least {
			return true
		}
	}
	return false
}

// needs works out what the columns need, and gives the sum of their least widths.
func (f *flow) needs(t *packet.Table, cols []column) float64 {
	f.cols = append(f.cols[:0], make([]colNeed, len(t.Columns))...)
	f.naturals = append(f.naturals[:0], make([]float64, len(t.Columns)*len(t.Rows))...)
	sum := 0.0
	for i := range t.Columns {
		if cols[i].lower {
			continue
		}
		c, k := &t.Columns[i], &f.cols[i]
		f.one[0] = packet.Span{Text: c.Title}
		word, all := f.textWidths(f.one[:], faceTableHead)
		k.least, k.use, k.weight = max(textLeast, word), max(textLeast, all), max(0, c.Weight)
		for j := range t.Rows {
			if i >= len(t.Rows[j].Cells) {
				continue
			}
			cl := &t.Rows[j].Cells[i]
			word, all := f.textWidths(cl.Text, tableFace(t))
			f.naturals[j*len(t.Columns)+i] = all
			k.fixed = max(k.fixed, f.leastWidth(cl.Blanks))
			k.bare = k.bare || len(cl.Blanks) == 0 && len(cl.Text) > 0
			k.least, k.use, k.text = max(k.least, word), max(k.use, all), max(k.text, all)
		}
		k.least = max(k.least, k.fixed, c.Least)
		k.use = max(k.use, k.least)
		sum += k.least
	}
	return sum
}

// colNeed is what a column needs and gets.
type colNeed struct {
	fixed  float64 // for its blanks
	least  float64 // for its blanks and its longest word; in the end what it gets
	use    float64 // for its longest text on one line, or its title
	text   float64 // for its longest text on one line
	weight float64
	bare   bool // some cell has text and no blank
}

func (f *flow) textWidths(ph packet.Phrase, base face) (word, all float64) {
	word, all = f.widths(ph, base, f.width)
	return min(word, wordMost), all
}

// share makes the columns' least widths add up to the room that there is.
func (f *flow) share(t *packet.Table, room float64) {
	need, fixed, weight := 0.0, 0.0, 0.0
	for i := range f.cols {
		k := &f.cols[i]
		need += k.least
		if k.least > 0 {
			fixed += max(k.fixed, textLeast)
		}
		weight += k.weight
	}
	if fixed > room {
		f.errorf("table-too-wide", "put fewer blanks or columns in it",
			"the table %q needs %.0f mm for its columns, and the page is %.0f mm wide", t.Title, fixed, room)
	}
	if need > room { // no column of text gets more than a cap: the longest words are cut
		low, high := textLeast, f.width
		for range 24 {
			cap, sum := (low+high)/2, 0.0
			for _, c := range f.cols {
				sum += min(c.least, max(c.fixed, cap))
			}
			if sum > room {
				high = cap
			} else {
				low = cap
			}
		}
		for i := range f.cols {
			f.cols[i].least = min(f.cols[i].least, max(f.cols[i].fixed, low))
		}
		return
	}
	if weight == 0 {
		for i := range f.cols {
			if f.cols[i].least > 0 {
				f.cols[i].weight = 1
				weight++
			}
		}
	}
	left := room - need
	left = f.spread(t, left)
	if left > slack {
		weight = 0
		for _, c := range f.cols {
			weight += c.weight
		}
		for i := range f.cols {
			f.cols[i].least += left * f.cols[i].weight / weight
		}
	}
}

// spread widens the columns for their texts, up to what each can use, and gives
// what is left. Of two ways it takes the one that makes the rows lower: the same
// number of lines for the longest text of each column, or the same width for all
// that are too narrow.
func (f *flow) spread(t *packet.Table, room float64) float64 {
	start := append(f.tried[0][:0], f.cols...)
	f.tried[0] = start
	by := func(worse func(a, b *colNeed) bool) float64 {
		left := room
		for ; left > slack; left -= min(left, shareStep) {
			most := -1
			for i := range f.cols {
				if c := &f.cols[i]; c.least > 0 && c.use > c.least+slack && (most < 0 || worse(c, &f.cols[most])) {
					most = i
				}
			}
			if most < 0 {
				break
			}
			f.cols[most].least += min(left, shareStep)
		}
		return left
	}
	byLines := by(func(a, b *colNeed) bool { return a.use/a.least > b.use/b.least })
	high := f.rowLines(t)
	lines := append(f.tried[1][:0], f.cols...)
	f.tried[1] = lines
	f.cols = append(f.cols[:0], start...)
	byWidth := by(func(a, b *colNeed) bool { return a.least < b.least })
	if f.rowLines(t) < high {
		return byWidth
	}
	f.cols = append(f.cols[:0], lines...)
	return byLines
}

// rowLines is about how many lines all rows of a table take.
func (f *flow) rowLines(t *packet.Table) float64 {
	sum := 0.0
	for j := range t.Rows {
		most := 0.0
		for i := range min(len(t.Rows[j].Cells), len(f.cols)) {
			if w := f.cols[i].least; w > 0 {
				most = max(most, math.Ceil(f.naturals[j*len(f.cols)+i]/w))
			}
		}
		sum += most
	}
	return sum
}
