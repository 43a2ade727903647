package joblist

import (
	"fmt"
	"strings"

	"jobsheaf/internal/diag"
)

// The limits of a list. They are far above a site's year, and keep a broken or
// hostile file from costing time.
const (
	maxList    = 64 << 20 // bytes of the file
	maxRows    = 50_000
	maxColumns = 500 // what stands beyond is not looked at
)

// grid is a table as its file has it.
type grid struct {
	file  string
	sheet string // of a workbook
	rows  []gridRow
	// from1904 reports that serial numbers of days are counted from 1904, as in
	// workbooks from old Macintoshes.
	from1904 bool
}

// gridRow is one row; n is its number as a spreadsheet shows it.
type gridRow struct {
	n     int
	line  int // of a text file, where the row begins
	cells []string
	fault string // why the row cannot be read; "" for one that can
	at    int    // the column of the fault

	hidden bool // the program that wrote the file does not show it
}

// empty reports whether nothing stands in the row.
func (r *gridRow) empty() bool {
	for _, c := range r.cells {
		if clean(c) != "" {
			return false
		}
	}
	return r.fault == ""
}

// cell gives a cell's text, "" where the row is shorter.
func (r *gridRow) cell(col int) string {
	if col < 1 || col > len(r.cells) {
		return ""
	}
	return clean(r.cells[col-1])
}

// clean takes the white space off a cell, no-break spaces included.
func clean(s string) string { return strings.TrimSpace(s) }

// pos gives the place of a cell: its row and column, counted from 1.
func (g *grid) pos(r *gridRow, col int) diag.Pos {
	return diag.Pos{File: g.file, Line: r.n, Col: col}
}

// name names a cell as a spreadsheet does, such as "cell D12", with the sheet of a
// workbook, and the line of a text file where it is not the row's number.
func (g *grid) name(r *gridRow, col int) string {
	s := fmt.Sprintf("cell %s%d", letters(col), r.n)
	switch {
	case g.sheet != "":
		return fmt.Sprintf("%s of sheet %q", s, g.sheet)
	case r.line != 0 && r.line != r.n:
		return fmt.Sprintf("%s (line %d of the file)", s, r.line)
	}
	return s
}

// letters names a column: A to Z, then AA.
func letters(col int) string {
	var b []byte
	for ; col > 0; col = (col - 1) / 26 {
		b = append([]byte{byte('A' + (col-1)%26)}, b...)
	}
	return string(b)
}
