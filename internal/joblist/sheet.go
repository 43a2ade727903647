package joblist

import (
	"encoding/xml"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// sheet reads the rows of a sheet that are not empty, in order of their numbers; at
// most one above the limit, which shows that there are too many.
func (w *workbook) sheet(file string, s sheetPart, most int) (*grid, error) {
	g := &grid{file: file, sheet: s.name, from1904: w.from1904, show: &shower{formats: w.formats}, hidden: map[int]bool{}}
	var merged []string
	last, cells, root := 0, 0, false
	err := w.walk(s.part, func(x *xmlPart, e xml.StartElement) error {
		switch name := e.Name.Local; {
		case !root && name != "worksheet":
			return faultf(saveAnew, "the workbook is damaged: its part %s is not the sheet %q", s.part, s.name)
		case name == "col" && isTrue(attr(e, "hidden")):
			from, _ := strconv.Atoi(attr(e, "min"))
			to, _ := strconv.Atoi(attr(e, "max"))
			for c := max(from, 1); c <= min(to, maxColumns); c++ {
				g.hidden[c] = true
			}
		case name == "row":
			r := gridRow{n: last + 1, hidden: isTrue(attr(e, "hidden"))}
			if n, err := strconv.Atoi(attr(e, "r")); err == nil && n > 0 {
				r.n = n
			}
			last = r.n
			if err := w.row(x, &r); err != nil {
				return err
			}
			if r.empty() {
				return nil
			}
			if cells += len(r.cells); cells > maxCells {
				return faultf(splitIt+"; or delete what else the sheet holds", "the sheet %q has more than %d cells", s.name, maxCells)
			}
			if g.rows = append(g.rows, r); len(g.rows) > most {
				return errEnough
			}
		case name == "mergeCell":
			merged = append(merged, attr(e, "ref"))
		}
		root = true
		return nil
	})
	if err != nil {
		return nil, err
	}
	g.order()
	return g, g.merge(merged)
}

// row reads the cells of a row.
func (w *workbook) row(x *xmlPart, r *gridRow) error {
	col := 0
	return x.within(func(e xml.StartElement) error {
		if e.Name.Local != "c" {
			return nil
		}
		col++
		if c := column(attr(e, "r")); c > 0 {
			col = c
		}
		c, err := w.cell(x, e)
		if err != nil || col > maxColumns || c.text == "" && c.kind != uncomputed {
			return err
		}
		for len(r.cells) < col {
			r.cells = append(r.cells, cell{})
		}
		if old := r.cells[col-1]; old.text != "" && old.text != c.text {
			r.fault, r.at = "the cell is in the workbook twice, with different values: write the row again", col
		}
		r.cells[col-1] = c
		return nil
	}, nil)
}

// cell reads a cell.
func (w *workbook) cell(x *xmlPart, e xml.StartElement) (cell, error) {
	style, _ := strconv.Atoi(attr(e, "s"))
	c := cell{style: int32(style)}
	var formula, value bool
	typ := attr(e, "t")
	err := x.within(func(e xml.StartElement) (err error) {
		switch e.Name.Local {
		case "f":
			formula = true
			_, err = x.words()
		case "v":
			value = true
			c.text, err = x.words()
		case "is":
			var t richText
			t, err = x.rich()
			c.text, c.struck, value = t.text, t.struck, true
		}
		return err
	}, nil)
	switch typ {
	case "s":
		i, err := strconv.Atoi(clean(c.text))
		if err != nil || i < 0 || i >= len(w.strings) {
			c.text, c.kind = "#TEXT!", errorCell // the cell's text is not in the workbook
			break
		}
		c.text, c.struck = w.strings[i].text, w.strings[i].struck
	case "e":
		c.kind = errorCell
	case "b":
		c.text = map[string]string{"1": "TRUE", "0": "FALSE"}[c.text]
	case "", "n":
		c.kind = numberCell
	}
	if formula && (!value || c.text == "" && typ != "str") {
		c.kind = uncomputed
	}
	if style >= 0 && style < len(w.formats) && w.formats[style].struck {
		c.struck = allStruck
	}
	return c, err
}

// column gives the number of the column of a cell's name, such as 28 of AB12; zero
// where it is not the name of a cell.
func column(name string) int {
	n := 0
	for i := range len(name) {
		c := name[i] | 0x20
		if c < 'a' || c > 'z' {
			break
		}
		if n = 26*n + int(c-'a') + 1; n > 1<<14 {
			return 1 << 14
		}
	}
	return n
}

// order puts the rows in the order in which they are shown. Rows of one number
// would hide one another: the later ones are read as rows below the list.
func (g *grid) order() {
	slices.SortStableFunc(g.rows, func(a, b gridRow) int { return a.n - b.n })
	if len(g.rows) == 0 {
		return
	}
	next := g.rows[len(g.rows)-1].n + 1
	var first, again []gridRow
	for i, r := range g.rows {
		if i > 0 && r.n == g.rows[i-1].n {
			again = append(again, r)
			continue
		}
		first = append(first, r)
	}
	for i := range again {
		r := &again[i]
		if i < 10 {
			g.notes.Warnf(g.pos(r, 0), "row", saveAnew, "%srow %d is twice in the workbook: the second is read as row %d", g.inSheet(), r.n, next)
		}
		r.n = next
		next++
	}
	g.rows = append(first, again...)
}

// merge gives the rows of merged cells the value that is shown over all of them.
func (g *grid) merge(refs []string) error {
	n := 0
	for _, ref := range refs {
		from, to, ok := strings.Cut(ref, ":")
		col, top, bottom := column(from), rowOf(from), rowOf(to)
		if !ok || col < 1 || col > maxColumns || top < 1 || bottom <= top {
			continue
		}
		i := sort.Search(len(g.rows), func(i int) bool { return g.rows[i].n >= top })
		if i == len(g.rows) || g.rows[i].n != top {
			continue
		}
		value := g.rows[i].get(col)
		value.merged = true
		for i++; i < len(g.rows) && g.rows[i].n <= bottom; i++ {
			if n++; n > maxMerged {
				return faultf("unmerge the cells below the headings", "%smore than %d cells are merged", g.inSheet(), maxMerged)
			}
			r := &g.rows[i]
			for len(r.cells) < col {
				r.cells = append(r.cells, cell{})
			}
			if r.cells[col-1].text == "" {
				r.cells[col-1] = value
			}
		}
	}
	return nil
}

func rowOf(name string) int {
	n, _ := strconv.Atoi(strings.TrimLeft(strings.ToUpper(name), "ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
	return n
}
