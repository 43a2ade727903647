// Package joblist reads a planner's list of jobs: a workbook, a text file of cells
// (CSV), or YAML.
//
// Entry point: Read. It belongs here if it is about what a list says and how lists
// are written: formats, headings, days, hours. It is not for what a job's entry may
// hold (record) nor for what is printed of a list (week).
package joblist

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// Read reads a planner's list of jobs from the bytes of a file: a workbook, a
// text file of cells, or YAML. Each row below the headings is a job; what is wrong
// with one is in its Problems and in the list, by row and column (Pos.Line and
// Pos.Col), and leaves the others as they are. The list is nil where no job could
// be read. sheet chooses a sheet of a workbook by its name.
func Read(file string, data []byte, sheet string, site *record.Site) (*record.List, diag.List) {
	var problems diag.List
	fail := func(err error) (*record.List, diag.List) {
		problems.Errorf(diag.Pos{File: file}, "list", "save it as CSV or XLSX", "%s", err)
		return nil, problems
	}
	cols := headingsOf(site)
	var g *grid
	var err error
	switch ext := strings.ToLower(path.Ext(file)); {
	case len(data) > maxList:
		return fail(fmt.Errorf("the file is larger than %d MB", maxList>>20))
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		g, err = readWorkbook(file, data, sheet, cols)
	case bytes.HasPrefix(data, []byte{0xD0, 0xCF, 0x11, 0xE0}):
		return fail(fmt.Errorf("the file is a workbook of the old form (.xls) or locked with a password"))
	case ext == ".yaml" || ext == ".yml":
		return record.ReadList(file, data)
	default:
		g, err = readText(file, data, cols)
	}
	if err != nil {
		return fail(err)
	}
	order := ""
	if site != nil {
		order = site.Dates
	}
	return g.list(cols, order)
}

// list reads the rows below the headings as jobs.
func (g *grid) list(cols headings, order string) (*record.List, diag.List) {
	var problems diag.List
	head, at := cols.columns(g, &problems)
	if head == nil {
		return nil, problems
	}
	li := record.NewList(g.pos(head, 1))
	hidden := 0
	for i := range g.rows {
		r := &g.rows[i]
		if r.n <= head.n || r.empty() {
			continue
		}
		if r.hidden {
			hidden++
		}
		job := g.job(r, at, order, li)
		problems = append(problems, job.Problems...)
	}
	if hidden > 0 {
		problems.Warnf(diag.Pos{File: g.file}, "hidden-rows", "delete what is not to be printed", "%s%d rows with jobs are hidden; they are read as well", g.inSheet(), hidden)
	}
	if len(li.Jobs) == 0 {
		problems.Errorf(g.pos(head, 0), "list", "", "%sno row below the headings holds a job", g.inSheet())
		return nil, problems
	}
	return li, problems.Sorted()
}

// job reads one row.
func (g *grid) job(r *gridRow, at map[string]int, order string, li *record.List) *record.Job {
	var keys []string
	var texts []record.Text
	var problems diag.List
	if r.fault != "" {
		problems.Errorf(g.pos(r, r.at), "row", "", "%s: %s", g.name(r, r.at), r.fault)
	}
	for _, key := range record.JobKeys {
		col, there := at[key]
		if !there || r.fault != "" {
			continue
		}
		raw := r.cell(col)
		text, fault, hint := g.value(key, raw, order)
		switch {
		case raw == "" && slices.Contains(wanted, key):
			problems.Errorf(g.pos(r, col), "missing-key", "fill the cell", "%s: the %s is missing", g.name(r, col), key)
		case raw == "":
		case fault != "":
			problems.Errorf(g.pos(r, col), rules[key], hint, "%s: %s", g.name(r, col), fault)
		default:
			keys = append(keys, key)
			texts = append(texts, record.Text{S: text, At: g.pos(r, col)})
		}
	}
	job := li.AddRow(g.pos(r, 1), keys, texts)
	for _, p := range job.Problems {
		if p.Rule != "missing-key" { // told above, with its cell
			p.Message = g.name(r, p.Pos.Col) + ": " + p.Message
			problems.Add(p)
		}
	}
	job.Problems = problems
	return job
}

// rules are the rules that a cell of each column breaks where it cannot be read.
var rules = map[string]string{"day": "day", "hours": "quantity", "people": "quantity"}

// value brings a cell to the form that a record has.
func (g *grid) value(key, raw, order string) (text, fault, hint string) {
	switch {
	case raw == "":
		return "", "", ""
	case strings.HasPrefix(raw, "#") && strings.ToUpper(raw) == raw && strings.ContainsAny(raw, "!/?"):
		return "", fmt.Sprintf("the cell shows %s, the mark of a formula that failed", clip(raw)), "write the value itself"
	}
	switch key {
	case "day":
		return day(raw, order, g.from1904)
	case "hours":
		return hours(raw)
	case "people":
		if v, ok := number(raw); ok {
			return shortest(v), "", ""
		}
	}
	return raw, "", ""
}

// hours reads hours as lists write them, "9", "9.5", "9,5" or "9:30", and gives
// them with their unit. What already has a unit is left to the records' own rule.
func hours(raw string) (text, fault, hint string) {
	if h, m, ok := strings.Cut(raw, ":"); ok && allDigits(h) && len(h) <= 4 && allDigits(m) && len(m) == 2 && m < "60" {
		a, _ := strconv.Atoi(h)
		b, _ := strconv.Atoi(m)
		return shortest(float64(a)+float64(b)/60) + " h", "", ""
	}
	if whole, frac, ok := strings.Cut(raw, ","); ok && allDigits(whole) && allDigits(frac) {
		if len(frac) > 2 {
			return "", fmt.Sprintf("%q may be a number with a decimal comma or with thousands", clip(raw)), "write it with a point, such as 9.5"
		}
		raw = whole + "." + frac
	}
	if v, ok := number(raw); ok {
		return shortest(v) + " h", "", ""
	}
	return raw, "", ""
}

// number reads a plain decimal number as workbooks store them.
func number(s string) (float64, bool) {
	if strings.Trim(s, "0123456789.eE+-") != "" || s == "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// shortest writes a number to ten figures, which lets go of what binary fractions
// add to it.
func shortest(v float64) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64)
}
