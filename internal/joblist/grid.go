package joblist

import (
	"fmt"
	"strings"

	"jobsheaf/internal/diag"
)

// The limits of a list. They are far above a site's year, and keep a broken or
// hostile file from costing time.
const (
	maxList    = 16 << 20 // bytes of the file
	maxRows    = 50_000
	maxColumns = 500       // what lies beyond is not looked at
	maxCells   = 2_000_000 // in all, empty ones before a filled one included
	maxCell    = 32_767    // characters of a cell, as in workbooks
	maxFaulty  = 1_000     // rows with an error: beyond, the list as a whole is refused
)

// fault is what is wrong with a list as a whole, and what to do about it.
type fault struct{ text, hint string }

func (f *fault) Error() string { return f.text }

func faultf(hint, format string, args ...any) error {
	return &fault{fmt.Sprintf(format, args...), hint}
}

const (
	splitIt  = "split the list into parts, and print each by itself"
	saveAnew = "open it in the program that wrote it and save it again as .xlsx, or as .csv"
)

// grid is a table as its file has it.
type grid struct {
	file  string
	sheet string // of a workbook
	rows  []gridRow
	// from1904 reports that serial numbers of days are counted from 1904, as in
	// workbooks from old Macintoshes.
	from1904 bool
	show     *shower      // writes numbers as a workbook shows them; nil for text
	hidden   map[int]bool // columns that the workbook does not show
	notes    diag.List    // what is doubtful of the file itself
}

// kind is what a cell of a workbook holds; those of a text file are all texts.
type kind uint8

const (
	textCell kind = iota
	numberCell
	errorCell
	uncomputed // a formula whose value was not stored
)

// cell is one cell; text is the value as stored, a number unrounded.
type cell struct {
	text   string
	style  int32 // of the workbook's cell formats
	kind   kind
	struck struck
	merged bool // the value is in a row above, and the cell is merged with it
}

// struck says how much of a cell is struck through.
type struck uint8

const (
	notStruck struck = iota
	partStruck
	allStruck
)

// gridRow is one row; n is its number as a spreadsheet shows it, and differs from
// that of every other row.
type gridRow struct {
	n     int
	line  int // of a text file, where the row begins
	cells []cell
	fault string // why the row cannot be read; "" for one that can
	at    int    // the column of the fault

	hidden bool // the program that wrote the file does not show it
}

// empty reports whether the row is empty.
func (r *gridRow) empty() bool {
	for _, c := range r.cells {
		if clean(c.text) != "" || c.kind == uncomputed {
			return false
		}
	}
	return r.fault == ""
}

// filled gives the columns in which the row has something of its own.
func (r *gridRow) filled() []int {
	var cols []int
	for i, c := range r.cells {
		if !c.merged && (clean(c.text) != "" || c.kind == uncomputed) {
			cols = append(cols, i+1)
		}
	}
	return cols
}

// at gives a cell, the zero cell where the row is shorter.
func (r *gridRow) get(col int) cell {
	if col < 1 || col > len(r.cells) {
		return cell{}
	}
	return r.cells[col-1]
}

// cell gives a cell's text, "" where the row is shorter.
func (r *gridRow) cell(col int) string { return clean(r.get(col).text) }

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

// inSheet names the sheet of a workbook, for the beginning of a message.
func (g *grid) inSheet() string {
	if g.sheet == "" {
		return ""
	}
	return fmt.Sprintf("sheet %q: ", g.sheet)
}

// letters names a column: A to Z, then AA.
func letters(col int) string {
	var b []byte
	for ; col > 0; col = (col - 1) / 26 {
		b = append([]byte{byte('A' + (col-1)%26)}, b...)
	}
	return string(b)
}
