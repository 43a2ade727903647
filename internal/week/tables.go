package week

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
)

// Tables gives the front matter of a list as files for other programs: each table
// as CSV, and all of it as JSON. The CSV is in UTF-8 with commas, and guarded: a
// cell that a spreadsheet would take for a formula begins with an apostrophe.
func Tables(fronts []Front) ([]File, error) {
	sheet := func(name string, head string, fill func(f *Front, row func(cells ...string))) (File, error) {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		if err := w.Write(strings.Split(head, ",")); err != nil {
			return File{}, err
		}
		var failed error
		for i := range fronts {
			f := &fronts[i]
			fill(f, func(cells ...string) {
				line := append([]string{f.Week}, cells...)
				for k := range line {
					line[k] = guard(line[k])
				}
				if err := w.Write(line); err != nil {
					failed = err
				}
			})
		}
		w.Flush()
		if failed == nil {
			failed = w.Error()
		}
		return File{Name: name, Data: b.Bytes()}, failed
	}
	jobs := func(list []string) string { return strings.Join(list, " ") }
	var files []File
	for _, t := range []struct {
		name, head string
		fill       func(f *Front, row func(...string))
	}{
		{"jobs.csv", "week,day,crew,area,unit,unit name,job,procedure,people,hours,pages,fingerprint", func(f *Front, row func(...string)) {
			for _, j := range f.Jobs {
				row(j.Day, j.Crew, j.Area, j.Unit, j.UnitName, j.Job, j.Procedure, shortest(j.People), shortest(j.Hours), whole(j.Pages), j.Fingerprint)
			}
		}},
		{"days.csv", "week,day,crew,jobs,hours,hours of the crew,pages", func(f *Front, row func(...string)) {
			for _, d := range f.Days {
				row(d.Day, d.Crew, whole(d.Jobs), shortest(d.Hours), shortest(d.Room), whole(d.Pages))
			}
		}},
		{"pull.csv", "week,kind,what,number,amount,holds,jobs", func(f *Front, row func(...string)) {
			for _, k := range []struct {
				kind string
				list []Pull
			}{{"kit", f.Kits}, {"part", f.Parts}, {"supply", f.Supplies}} {
				for _, p := range k.list {
					row(k.kind, p.What, p.Number, p.Amount, p.Holds, jobs(p.Jobs))
				}
			}
		}},
		{"locks.csv", "week,area,unit,point,device,put,jobs", func(f *Front, row func(...string)) {
			for _, k := range f.Locks {
				row(k.Area, k.Unit, k.Point, k.Device, k.Put, jobs(k.Jobs))
			}
		}},
		{"tools.csv", "week,kind,what,good for,jobs", func(f *Front, row func(...string)) {
			for _, u := range f.Instruments {
				row("instrument", u.What, u.GoodFor, jobs(u.Jobs))
			}
			for _, u := range f.Tools {
				row("tool", u.What, "", jobs(u.Jobs))
			}
		}},
		{"liquids.csv", "week,liquid,signal,statements,unit,as found,jobs,source", func(f *Front, row func(...string)) {
			for _, q := range f.Liquids {
				var codes []string
				for _, s := range q.Statements {
					codes = append(codes, strings.TrimSpace(s.Code+" "+s.Text))
				}
				for _, u := range q.Units {
					row(q.Name, q.Signal, strings.Join(codes, "; "), u.Unit, u.Condition, jobs(u.Jobs), q.Source)
				}
			}
		}},
		{"refused.csv", "week,job,unit,procedure,day,crew,at,reasons", func(f *Front, row func(...string)) {
			for _, r := range f.Refused {
				row(r.Job, r.Unit, r.Procedure, r.Day, r.Crew, r.At.String(), strings.Join(r.Reasons, "; "))
			}
		}},
	} {
		f, err := sheet(t.name, t.head, t.fill)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	if fronts == nil {
		fronts = []Front{}
	}
	raw, err := json.MarshalIndent(struct {
		Weeks []Front `json:"weeks"`
	}{fronts}, "", " ")
	if err != nil {
		return nil, err
	}
	return append(files, File{Name: "front.json", Data: append(raw, '\n')}), nil
}

// guard keeps a spreadsheet from taking a cell for a formula. What begins with one
// of these signs, white space before it or not, is one to some program. A number
// cannot be, since none of the tables holds one below zero.
func guard(cell string) string {
	t := strings.TrimLeft(cell, " \u00a0")
	if t == "" || !strings.ContainsRune("=+-@\t\r\n|＝＋－＠", []rune(t)[0]) {
		return cell
	}
	return "'" + cell
}
