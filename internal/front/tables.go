package front

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"strings"
	"unicode/utf8"
)

// Tables writes the front matter of a list as files for other programs, a week
// after another: each table as CSV, and all of it as JSON. The CSV is in UTF-8 with
// commas, and guarded: a cell that a spreadsheet would take for a formula begins
// with an apostrophe.
type Tables struct {
	csv   []*csv.Writer // beside csvTables
	json  *bufio.Writer
	weeks int
	err   error
}

// csvTable is one of the tables: its file, its headings after the week, and its
// rows.
type csvTable struct {
	name, head string
	fill       func(f *Front, row func(cells ...string))
}

func ids(jobs []string) string { return strings.Join(jobs, " ") }

var csvTables = []csvTable{
	{"jobs.csv", "day,crew,area,unit,unit name,job,procedure,people,hours,pages,fingerprint", func(f *Front, row func(...string)) {
		for _, j := range f.Jobs {
			row(j.Day, j.Crew, j.Area, j.Unit, j.UnitName, j.Job, j.Procedure, number(j.People), number(j.Hours), whole(j.Pages), j.Fingerprint)
		}
	}},
	{"days.csv", "day,crew,jobs,hours,hours of the crew,pages", func(f *Front, row func(...string)) {
		for _, d := range f.Days {
			row(d.Day, d.Crew, whole(d.Jobs), number(d.Hours), number(d.Room), whole(d.Pages))
		}
	}},
	{"pull.csv", "kind,what,number,amount,holds,jobs", func(f *Front, row func(...string)) {
		for _, k := range []struct {
			kind string
			list []Pull
		}{{"kit", f.Kits}, {"part", f.Parts}, {"supply", f.Supplies}} {
			for _, p := range k.list {
				row(k.kind, p.What, p.Number, p.Amount, p.Holds, ids(p.Jobs))
			}
		}
	}},
	{"locks.csv", "area,unit,point,device,put,jobs", func(f *Front, row func(...string)) {
		for _, k := range f.Locks {
			row(k.Area, k.Unit, k.Point, k.Device, k.Put, ids(k.Jobs))
		}
	}},
	{"tools.csv", "kind,what,good for,jobs", func(f *Front, row func(...string)) {
		for _, u := range f.Instruments {
			row("instrument", u.What, u.GoodFor, ids(u.Jobs))
		}
		for _, u := range f.Tools {
			row("tool", u.What, "", ids(u.Jobs))
		}
	}},
	{"liquids.csv", "liquid,signal,statements,unit,as found,jobs,source", func(f *Front, row func(...string)) {
		for _, q := range f.Liquids {
			var codes []string
			for _, s := range q.Statements {
				codes = append(codes, strings.TrimSpace(s.Code+" "+s.Text))
			}
			for _, u := range q.Units {
				row(q.Name, q.Signal, strings.Join(codes, "; "), u.Unit, u.Condition, ids(u.Jobs), q.Source)
			}
		}
	}},
	{"refused.csv", "job,unit,procedure,day,crew,at,reasons", func(f *Front, row func(...string)) {
		for _, r := range f.Refused {
			row(r.Job, r.Unit, r.Procedure, r.Day, r.Crew, r.At.String(), strings.Join(r.Reasons, "; "))
		}
	}},
}

const jsonTable = "front.json"

// NewTables begins the files, each in a writer that create gives.
func NewTables(create func(name string) (io.Writer, error)) (*Tables, error) {
	t := &Tables{}
	for _, c := range csvTables {
		to, err := create(c.name)
		if err != nil {
			return nil, err
		}
		w := csv.NewWriter(to)
		t.note(w.Write(append([]string{"week"}, strings.Split(c.head, ",")...)))
		t.csv = append(t.csv, w)
	}
	to, err := create(jsonTable)
	if err != nil {
		return nil, err
	}
	t.json = bufio.NewWriter(to)
	_, err = t.json.WriteString(`{"weeks": [`)
	t.note(err)
	return t, nil
}

// note keeps the first error; Close gives it.
func (t *Tables) note(err error) {
	if t.err == nil {
		t.err = err
	}
}

// Add adds a week to every table.
func (t *Tables) Add(f *Front) {
	for i, c := range csvTables {
		c.fill(f, func(cells ...string) {
			line := append([]string{f.Week}, cells...)
			for k := range line {
				line[k] = guard(line[k])
			}
			t.note(t.csv[i].Write(line))
		})
	}
	if t.weeks++; t.weeks > 1 {
		t.note(t.json.WriteByte(','))
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	b.WriteByte('\n')
	t.note(e.Encode(f))
	_, err := t.json.Write(bytes.TrimRight(b.Bytes(), "\n"))
	t.note(err)
}

// Close ends the files, and gives the first error in writing them.
func (t *Tables) Close() error {
	for _, w := range t.csv {
		w.Flush()
		t.note(w.Error())
	}
	_, err := t.json.WriteString("\n]}\n")
	t.note(err)
	t.note(t.json.Flush())
	return t.err
}

// separators are what programs take for the end of a cell: the comma, or another
// where the country's lists use it, and the end of a line.
const separators = ";,|\t\n\r"

// guard keeps a spreadsheet from taking a cell, or a part of it behind a separator,
// for a formula: what begins with one of these signs, behind white space or not, is
// one to some program. A number cannot be, since no table holds one below zero.
func guard(cell string) string {
	var b strings.Builder
	begins := true // a cell, to some program
	rest := 0      // where that cell begins
	for i, c := range cell {
		switch {
		case begins && strings.ContainsRune("=+-@\t\r＝＋－＠", c) || i == 0 && strings.ContainsRune("|\n", c):
			b.WriteString("'" + cell[rest:i])
			rest, begins = i, false
		case begins && (c == ' ' || c == '\u00a0'):
			continue
		default:
			begins = false
		}
		if strings.ContainsRune(separators, c) {
			b.WriteString(cell[rest : i+utf8.RuneLen(c)])
			rest, begins = i+utf8.RuneLen(c), true
		}
	}
	b.WriteString(cell[rest:])
	return b.String()
}
