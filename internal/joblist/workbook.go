package joblist

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// maxUnpacked is how large the parts of a workbook may be in all once unpacked.
const maxUnpacked = 128 << 20

// readWorkbook reads the sheet of a workbook that holds the list: the one named,
// or the only one that has its headings.
func readWorkbook(file string, data []byte, sheet string, cols headings) (g *grid, err error) {
	defer func() {
		// The library is not ours: a panic in it on hostile input is a fault of the
		// input.
		if r := recover(); r != nil {
			g, err = nil, errors.New("the workbook cannot be read: it is damaged")
		}
	}()
	// Equal limits keep the library from unpacking into temporary files.
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked})
	if err != nil {
		return nil, fmt.Errorf("the workbook cannot be read: %w", err)
	}
	defer f.Close()
	names := f.GetSheetList()
	if sheet != "" {
		if !slices.Contains(names, sheet) {
			return nil, fmt.Errorf("the workbook has no sheet %q; it has %s", sheet, strings.Join(names, ", "))
		}
		return readSheet(f, file, sheet)
	}
	var found []*grid
	var first *grid
	for _, name := range names {
		if visible, err := f.GetSheetVisible(name); err != nil || !visible {
			continue
		}
		g, err := readSheet(f, file, name)
		if err != nil {
			return nil, err
		}
		if first == nil {
			first = g
		}
		if at, _ := cols.find(g); at != nil {
			found = append(found, g)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		var list []string
		for _, g := range found {
			list = append(list, g.sheet)
		}
		return nil, fmt.Errorf("several sheets hold a list: choose one with --sheet; there are %s", strings.Join(list, ", "))
	case first == nil:
		return nil, errors.New("the workbook has no sheet that is shown")
	}
	return first, nil
}

// readSheet reads the raw values of a sheet's cells: a day is its serial number,
// however it is shown.
func readSheet(f *excelize.File, file, sheet string) (*grid, error) {
	g := &grid{file: file, sheet: sheet}
	props, err := f.GetWorkbookProps()
	if err != nil {
		return nil, fmt.Errorf("the workbook cannot be read: %w", err)
	}
	g.from1904 = props.Date1904 != nil && *props.Date1904
	rows, err := f.Rows(sheet)
	if err != nil {
		return nil, fmt.Errorf("the sheet %q cannot be read: %w", sheet, err)
	}
	defer rows.Close()
	for n := 1; rows.Next(); n++ {
		if n > maxRows {
			return nil, fmt.Errorf("the sheet %q has more than %d rows: split it", sheet, maxRows)
		}
		cells, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return nil, fmt.Errorf("row %d of the sheet %q cannot be read: %w", n, sheet, err)
		}
		if len(cells) > maxColumns {
			cells = cells[:maxColumns]
		}
		r := gridRow{n: n, cells: cells}
		if r.empty() {
			continue
		}
		r.hidden = rows.GetRowOpts().Hidden
		g.rows = append(g.rows, r)
	}
	if err := rows.Error(); err != nil {
		return nil, fmt.Errorf("the sheet %q cannot be read: %w", sheet, err)
	}
	return g, nil
}
