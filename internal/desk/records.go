package desk

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
)

// recordsPage is what is wrong or missing in the records.
type recordsPage struct {
	Whole            bool // the jobs of the lists were made, too
	Errors, Warnings int
	Files            []fileOf // of all problems
	Asked            string   // the file that was asked for
	Shown            []problem
	Next             string // the address of the next page
}

// fileOf is a file with how many problems are in it.
type fileOf struct {
	Name             string
	Errors, Warnings int
}

// problem is a problem with the line that it is in.
type problem struct {
	diag.Problem
	Line string
}

// IsError reports whether it stops what depends on it.
func (p problem) IsError() bool { return p.Severity == diag.Error }

// Split gives the line up to the place of the problem, what stands there, and the rest.
func (p problem) Split() [3]string { return split(p.Line, p.Pos.Col) }

// split parts a line before and behind the word at a column, which counts from 1.
func split(line string, col int) [3]string {
	runes := []rune(line)
	at := min(max(col-1, 0), len(runes))
	to := at
	for to < len(runes) && !strings.ContainsRune(" ,{}[]:", runes[to]) {
		to++
	}
	if to == at { // behind a value
		to = min(at+1, len(runes))
	}
	return [3]string{string(runes[:at]), string(runes[at:to]), string(runes[to:])}
}

// problemsAPage is how many problems a page shows.
const problemsAPage = 100

func (v *visit) records() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	all, whole, err := site.check()
	if err != nil {
		return err
	}
	is := recordsPage{Whole: whole, Asked: v.asked("file", 300)}
	var of diag.List
	for _, p := range all {
		i := slices.IndexFunc(is.Files, func(f fileOf) bool { return f.Name == p.Pos.File })
		if i < 0 {
			i = len(is.Files)
			is.Files = append(is.Files, fileOf{Name: p.Pos.File})
		}
		if p.Severity == diag.Error {
			is.Errors++
			is.Files[i].Errors++
		} else {
			is.Warnings++
			is.Files[i].Warnings++
		}
		if is.Asked == "" || is.Asked == p.Pos.File {
			of = append(of, p)
		}
	}
	from, _ := strconv.Atoi(v.asked("from", 9))
	from = min(max(from, 0), len(of))
	to := min(from+problemsAPage, len(of))
	for _, p := range of[from:to] {
		is.Shown = append(is.Shown, problem{p, v.site.Line(p.Pos)})
	}
	if to < len(of) {
		q := url.Values{"from": {strconv.Itoa(to)}}
		if is.Asked != "" {
			q.Set("file", is.Asked)
		}
		is.Next = "/records?" + q.Encode()
	}
	return v.show("records", is)
}
