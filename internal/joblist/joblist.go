// Package joblist reads a planner's list of jobs: a workbook, a text file of cells
// (CSV), or YAML.
//
// Entry point: Read. It belongs here if it is about what a list says and how lists
// are written: formats, headings, days, hours. It is not for what a job's entry may
// hold (record) nor for what is printed of a list (week).
package joblist

import (
	"bytes"
	"errors"
	"path"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/internal/source"
)

// Options say how a list is read.
type Options struct {
	Sheet  string            // the sheet of a workbook that holds the list; "" for the one that does
	Site   *record.Site      // its headings and the order of its dates; may be nil
	Titles map[string]string // the printed titles of the procedures, by name
}

// Read reads a planner's list of jobs from the bytes of a file: a workbook, a text
// file of cells, or YAML. Each row below the headings is a job; what is wrong with
// one is in its Problems and in the list, by row and column (Pos.Line and Pos.Col),
// and leaves the others as they are. Jobs that the list says are cancelled are in
// Cancelled and not in Jobs. The list is nil where nothing of it could be read.
func Read(file string, data []byte, opt Options) (*record.List, diag.List) {
	var problems diag.List
	g, err := readGrid(file, data, opt)
	if err != nil {
		hint := saveAnew
		var f *fault
		if errors.As(err, &f) {
			hint = f.hint
		}
		problems.Errorf(diag.Pos{File: file}, "list", hint, "%s", err)
		return nil, problems
	}
	if g == nil {
		return record.ReadList(file, data)
	}
	return read(g, opt)
}

// readGrid reads the cells of a list; nil for one in YAML.
func readGrid(file string, data []byte, opt Options) (g *grid, err error) {
	defer func() {
		// A hostile file must not stop the program, whatever it does to what reads it.
		if r := recover(); r != nil {
			g, err = nil, faultf(saveAnew, "the file cannot be read: it is damaged")
		}
	}()
	cols := headingsOf(opt.Site)
	switch ext := strings.ToLower(path.Ext(file)); {
	case len(data) > maxList:
		return nil, faultf(splitIt+"; or delete what else the file holds", "the file is larger than %d MB", maxList>>20)
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return readWorkbook(file, data, opt.Sheet, cols)
	case bytes.HasPrefix(data, []byte{0xD0, 0xCF, 0x11, 0xE0}):
		return nil, faultf("save it as .xlsx without a password, or as .csv", "the file is a workbook of the old form (.xls) or locked with a password")
	case ext == ".yaml" || ext == ".yml":
		return nil, nil
	case source.LostYAML(file) != "":
		return nil, faultf("rename it to "+source.LostYAML(file), "the file's name ends in %s, and a list in YAML ends in .yaml", ext)
	}
	return readText(file, data, cols)
}
