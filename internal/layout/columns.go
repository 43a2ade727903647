package layout

import (
	"math"

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
	tickColumn  = 14.0 // a column of blanks that is no wider holds tick boxes
	linesMost   = 3.5  // texts with more lines beside blanks make the table have two levels
	linesDouble = 4.5  // texts with more lines keep two rows from standing side by side
	linesDense  = 3.2  // and on a dense sheet: they would be higher than their boxes
)

// columns shares out the table's width: to each column what it must have, what
// is left by weight, first up to what each can use.
func (f *flow) columns(t *packet.Table) []column {
	n := len(t.Columns)
	out := make([]column, n)
	f.tight = false
	room := f.width - float64(n-1)*f.cellGap()
	fits := f.needs(t, out) <= room
	if fits {
		f.share(t, room)
	}
	if written := f.written(); written > 0 && written < n && (!fits || f.crowded(linesMost)) {
		for i := range f.cols {
			out[i].lower = f.cols[i].lowers()
		}
		room = f.width - float64(n-written-1)*f.cellGap()
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
			x += k.least + f.cellGap()
		}
	}
	return out
}

// allows reports whether a table fits with its text and blanks side by side.
func (f *flow) allows(t *packet.Table) bool {
	f.tight = false
	n := len(t.Columns)
	room := f.width - float64(n-1)*f.cellGap()
	if f.needs(t, make([]column, n)) > room {
		return false
	}
	f.share(t, room)
	if f.dense {
		return !f.crowded(linesDense)
	}
	return !f.crowded(linesDouble)
}

// cellGap is the room between the columns of a table.
func (f *flow) cellGap() float64 {
	if f.dense && !f.large {
		return cellGapDense
	}
	return cellGap
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
// and no text where it has none. One of tick boxes alone would win no room.
func (c *colNeed) lowers() bool { return c.fixed > tickColumn && !c.bare }

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
			if cl.Figure != nil {
				k.fixed, k.bare = max(k.fixed, figureCell), true
			}
			word, all := f.textWidths(cl.Text, f.tableFace(t))
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
