package joblist

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/check"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/week"
	"jobsheaf/samples"
	"jobsheaf/templates"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// soapworks is the demo site, freshly read.
func soapworks(t testing.TB) *record.Book {
	t.Helper()
	demo, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		t.Fatal(err)
	}
	b, problems := record.Load(demo, templates.FS, record.Options{})
	if b.Site == nil {
		t.Fatal(problems)
	}
	b.Site.Dates = "day-month-year"
	return b
}

// badRow is one bad row: what its cells hold, the column that is named, and words
// of the message. weight is that of the problem; a warning lets the job be printed.
type badRow struct {
	row    string
	col    int
	says   string
	weight diag.Severity
}

// faults are rows of job, unit, procedure, day, crew, people, hours. Each stands
// between two good ones.
var faults = []badRow{
	{`,P-214,reset-end-clearance,2026-11-30,day,1,3`, 1, "the job is missing", diag.Error},
	{`K/1,P-214,reset-end-clearance,2026-11-30,day,1,3`, 1, "another folder", diag.Error},
	{`K-1234567890123456789012345,P-214,reset-end-clearance,2026-11-30,day,1,3`, 1, "too long", diag.Error},
	{`K_1,P-214,reset-end-clearance,2026-11-30,day,1,3`, 1, "underscore", diag.Error},
	{`K 1,P-214,reset-end-clearance,2026-11-30,day,1,3`, 1, "it has the character ' '", diag.Error},
	{`CON,P-214,reset-end-clearance,2026-11-30,day,1,3`, 1, "name of a device", diag.Error},
	{`G-2,P-214,reset-end-clearance,2026-11-30,day,1,3`, 1, "the job G-2 appears twice", diag.Error},
	{`g-4,P-214,reset-end-clearance,2026-11-30,day,1,3`, 1, "differ only in capitals", diag.Error},
	{`F-1,,reset-end-clearance,2026-11-30,day,1,3`, 2, "the unit is missing", diag.Error},
	{`F-2,P-999,reset-end-clearance,2026-11-30,day,1,3`, 2, `P-999`, diag.Error},
	{"F-3,\"P-\n214\",reset-end-clearance,2026-11-30,day,1,3", 2, "is not a valid name", diag.Error},
	{`F-4,P-214,,2026-11-30,day,1,3`, 3, "the procedure is missing", diag.Error},
	{`F-5,P-214,reset-end-clearence,2026-11-30,day,1,3`, 3, "reset-end-clearence", diag.Error},
	{`F-6,P-214,reset-end-clearance,,day,1,3`, 4, "the day is missing", diag.Error},
	{`F-7,P-214,reset-end-clearance,2026-02-30,day,1,3`, 4, "is not a day", diag.Error},
	{`F-8,P-214,reset-end-clearance,31/11/2026,day,1,3`, 4, "is not a day", diag.Error},
	{`F-9,P-214,reset-end-clearance,30/11/26,day,1,3`, 4, "does not have four digits", diag.Error},
	{`F-10,P-214,reset-end-clearance,Monday,day,1,3`, 4, "is not a day", diag.Error},
	{`F-11,P-214,reset-end-clearance,109999,day,1,3`, 4, "serial number", diag.Error},
	{`F-12,P-214,reset-end-clearance,#REF!,day,1,3`, 4, "formula that failed", diag.Error},
	{`F-13,P-214,reset-end-clearance,2026-11-30,the day crew,1,3`, 5, "is not a valid name", diag.Error},
	{`F-14,P-214,reset-end-clearance,2026-11-30,nights,1,3`, 5, "nights", diag.Error},
	{`F-15,P-214,reset-end-clearance,2026-11-30,day,0,3`, 6, "outside the range", diag.Error},
	{`F-16,P-214,reset-end-clearance,2026-11-30,day,2.5,3`, 6, "not a whole number", diag.Error},
	{`F-17,P-214,reset-end-clearance,2026-11-30,day,two,3`, 6, "two", diag.Error},
	{`F-18,P-214,reset-end-clearance,2026-11-30,day,1,-3`, 7, "outside the range", diag.Error},
	{`F-19,P-214,reset-end-clearance,2026-11-30,day,1,5000`, 7, "outside the range", diag.Error},
	{`F-20,P-214,reset-end-clearance,2026-11-30,day,1,"1,500"`, 7, "decimal comma or with thousands", diag.Error},
	{`F-21,P-214,reset-end-clearance,2026-11-30,day,1,9 kg`, 7, "kg", diag.Error},
	{`F-22,P-214,reset-end-clearance,2026-11-30,day,1,long`, 7, "long", diag.Error},
	{`F-23,P-214,"reset-end-clearance,2026-11-30,day,1,3`, 3, "quote", diag.Error},
	{`F-24,P-214,"reset"-end-clearance,2026-11-30,day,1,3`, 3, "text follows a closing quote", diag.Error},
	{"F-25,P-2\u200b14,reset-end-clearance,2026-11-30,day,1,3", 2, "U+200B", diag.Error},
	{`F-26,P-214,reset-end-clearance,2026-11-29,day,1,3`, 4, "in the past", diag.Warning},
	{`F-27,P-214,reset-end-clearance,2026-11-30,late,9,3`, 6, "9 people", diag.Warning},
	{`F-28,P-214,reset-end-clearance,2026-11-30,late,1,30`, 7, "30 h", diag.Warning},
}

// A list with more than thirty kinds of fault gives every good row, and names each
// bad one by file, row and column.
func TestFaults(t *testing.T) {
	if len(faults) < 30 {
		t.Fatalf("%d kinds of fault", len(faults))
	}
	var text strings.Builder
	text.WriteString("Printed by the planner on Friday\n\njob,unit,procedure,day,crew,people,hours\n")
	good := func(n int) {
		fmt.Fprintf(&text, "G-%d,P-231,reset-end-clearance,%s,day,1,0.5\n", n, []string{"2026-12-02", "02/12/2026", "46358"}[n%3])
	}
	rowOf := make([]int, len(faults))
	row := 4
	for i, f := range faults {
		good(2 * i)
		rowOf[i] = row + 1
		text.WriteString(f.row + "\n")
		good(2*i + 1)
		row += 3
	}
	for name, data := range map[string][]byte{"text": []byte(text.String()), "text with Windows' line ends": []byte(strings.ReplaceAll(text.String(), "\n", "\r\n"))} {
		t.Run(name, func(t *testing.T) {
			b := soapworks(t)
			li, problems := Read("lists/week.csv", data, Options{Site: b.Site})
			if li == nil {
				t.Fatal(problems)
			}
			library, _ := procedure.Load(os.DirFS(t.TempDir()), templates.FS, procedure.Options{})
			b.Only(li)
			problems = append(problems, check.Run(b, library, check.Known{})...)
			problems = append(problems, week.Check(b, library, li.Jobs, "2026-11-30")...)
			b.Attach(problems)
			for i, f := range faults {
				want := diag.Pos{File: "lists/week.csv", Line: rowOf[i], Col: f.col}
				if !slices.ContainsFunc(problems, func(p diag.Problem) bool {
					return p.Pos == want && p.Severity == f.weight && strings.Contains(p.Message, f.says)
				}) {
					t.Errorf("no %s at %s that says %q, for %q", f.weight, want, f.says, f.row)
				}
			}
			for _, p := range problems {
				bad := (p.Pos.Line - 5) % 3
				if p.Pos.File == "lists/week.csv" && bad != 0 && !strings.Contains(p.Message, "G-") {
					t.Errorf("a good row is blamed: %s", p)
				}
			}
			// Two good jobs share their name with a bad one: neither can be trusted.
			printed := 0
			for _, j := range li.Jobs {
				refused := b.Refusal(j) != nil || !slices.Contains(library.Names(), j.Procedure.S)
				if strings.HasPrefix(j.ID.S, "G-") && (j.At.Line-5)%3 != 0 {
					if twin := j.ID.S == "G-2" || j.ID.S == "G-4"; refused != twin {
						t.Errorf("good job %s: refused is %v", j.ID, refused)
					}
					if j.Day.S != "2026-12-02" || j.Hours.S != "0.5 h" {
						t.Errorf("job %s: day %q, hours %q", j.ID, j.Day, j.Hours)
					}
				}
				if !refused {
					printed++
				}
			}
			warned := 0
			for _, f := range faults {
				if f.weight == diag.Warning {
					warned++
				}
			}
			if want := 2*len(faults) - 2 + warned; printed != want {
				t.Errorf("%d jobs may be printed, not %d", printed, want)
			}
			if len(li.Jobs) != 3*len(faults) {
				t.Errorf("%d jobs, not %d", len(li.Jobs), 3*len(faults))
			}
		})
	}
}

const plain = "job,unit,procedure,day,crew,people,hours\nK-1,P-214,reset-end-clearance,2026-11-30,day,2,9.5\n"

// beside gives the problems of all rules but one.
func beside(problems diag.List, rule string) diag.List {
	return slices.DeleteFunc(slices.Clone(problems), func(p diag.Problem) bool { return p.Rule == rule })
}

// want checks that a list holds the one job of plain, and nothing was found wrong.
func want(t *testing.T, data []byte, file string, site *record.Site) {
	t.Helper()
	li, problems := Read(file, data, Options{Site: site})
	if li == nil || len(li.Jobs) != 1 || len(beside(beside(problems, "unread-columns"), "cancelled")) > 0 {
		t.Fatalf("%v %v", li, problems)
	}
	j := li.Jobs[0]
	got := []string{j.ID.S, j.Unit.S, j.Procedure.S, j.Day.S, j.Crew.S, j.People.S, j.Hours.S}
	if w := []string{"K-1", "P-214", "reset-end-clearance", "2026-11-30", "day", "2", "9.5 h"}; !slices.Equal(got, w) {
		t.Errorf("got %q, want %q", got, w)
	}
	if li.ID != "week" {
		t.Errorf("the list is named %q", li.ID)
	}
}

// The forms that a text file may have all read alike.
func TestForms(t *testing.T) {
	site := soapworks(t).Site
	latin := func(s string) []byte {
		b, err := charmap.Windows1252.NewEncoder().Bytes([]byte(s))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	wide, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes([]byte(strings.ReplaceAll(plain, ",", "\t")))
	if err != nil {
		t.Fatal(err)
	}
	spanish := "Trabajo;Bomba;Procedimiento;Día;Cuadrilla;Nº de personas;Horas (h);Observación\nK-1;P-214;reset-end-clearance;30/11/2026;day;2;9,5;¿más?\n"
	for name, data := range map[string][]byte{
		"commas":         []byte(plain),
		"mark":           []byte("\ufeff" + plain),
		"semicolons":     []byte(strings.ReplaceAll(plain, ",", ";")),
		"tabs":           []byte(strings.ReplaceAll(plain, ",", "\t")),
		"said":           []byte("sep=;\n" + strings.ReplaceAll(plain, ",", ";")),
		"windows":        []byte(strings.ReplaceAll(plain, "\n", "\r\n")),
		"old macintosh":  []byte(strings.ReplaceAll(plain, "\n", "\r")),
		"utf-16":         wide,
		"spanish":        []byte(spanish),
		"spanish latin":  latin(spanish),
		"both encodings": append(latin("año;Trabajo;Bomba;Procedimiento;Día\n"), "ñ;K-1;P-214;reset-end-clearance;30/11/2026\n"...),
		"a zero byte":    []byte("job,unit,procedure,day,crew,people,hours,notes\nK-1,P-214,reset-end-clearance,2026-11-30,day,2,9.5,\x00\n"),
		"no last line":   []byte(strings.TrimSuffix(plain, "\n")),
		"quotes":         []byte("\"job\",\"Pump\nno.\",procedure,day,crew,people,hours,remarks\n\"K-1\",P-214,\"reset-end-clearance\",2026-11-30,day,2,9.5,\"say \"\"no\"\",\nor wait\"\n"),
		"title above":    []byte("Week 49\n\n,,printed by planning\n" + plain),
		"other order":    []byte("Hours,Date,Tag,Work order,Remarks,Method,Shift,Persons\n9:30,46356,P-214,K-1,\"5\"\" pipe\",reset-end-clearance,day,2\n"),
		"time of day":    []byte("job,unit,procedure,day,crew,people,hours\nK-1,P-214,reset-end-clearance,2026-11-30T06:00:00,day,2.0,9.50\n"),
		"padded":         []byte("job , unit,procedure,day,crew,people,hours\n\u00a0K-1 , P-214,reset-end-clearance ,30.11.2026,day, 2,9.5 h \n,,,,,,\n\n"),
	} {
		t.Run(name, func(t *testing.T) {
			if name == "both encodings" {
				li, problems := Read("week.csv", data, Options{Site: site})
				if li == nil || len(beside(problems, "unread-columns")) > 0 || li.Jobs[0].Day.S != "2026-11-30" {
					t.Fatal(problems)
				}
				return
			}
			want(t, data, "in/week.csv", site)
		})
	}
	t.Run("yaml", func(t *testing.T) {
		want(t, []byte("list: week\njobs:\n  - {job: K-1, unit: P-214, procedure: reset-end-clearance, day: 2026-11-30, crew: day, people: 2, hours: 9.5 h}\n"), "week.yaml", site)
	})
}

// What is missing of a list as a whole is said, and nothing is read.
func TestNoList(t *testing.T) {
	site := soapworks(t).Site
	for text, says := range map[string]string{
		"":     "no row of headings",
		"\n\n": "no row of headings",
		"K-1,P-214,reset-end-clearance,2026-11-30\n": "no row of headings",
		"job,unit,procdure,day\nK-1,P-214,x,y\n":     `is it "procdure"?`,
		"job,unit,tag,procedure,day\nK-1,P,Q,x,y\n":  `both "unit" and "tag"`,
		"job,unit,procedure,day\n":                   "no row below",
		"job,x\nK-1,y\n":                             "no row of headings",
		strings.Repeat("job\x00,unit", 12):           "zero bytes",
		"\xD0\xCF\x11\xE0 old workbook":              "old form",
		"PK\x03\x04 no workbook":                     "cannot be read",
	} {
		li, problems := Read("week.csv", []byte(text), Options{Site: site})
		if li != nil || !strings.Contains(fmt.Sprint(problems), says) || !problems.HasErrors() {
			t.Errorf("%q: %v; wanted is %q", text, problems, says)
		}
	}
}

// A site says what its lists' columns are called, also where a word of ours stands
// over something else.
func TestColumns(t *testing.T) {
	demo, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, demo); err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(filepath.Join(dir, "site.yaml"), os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteString("\ndates: month-day-year\ncolumns: {job: Ref., unit: [Asset, Position], hours: Std, status: Progress}\n"); err != nil {
		t.Fatal(err)
	}
	f.Close()
	b, problems := record.Load(os.DirFS(dir), templates.FS, record.Options{})
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	want(t, []byte("Ref,Job,POSITION,Tag,Procedure,Day,Crew,People,STD,progress\nK-1,a,P-214,b,reset-end-clearance,11/30/2026,day,2,9.5,planned\nK-2,a,P-214,b,reset-end-clearance,11/30/2026,day,2,9.5,void\n"), "week.csv", b.Site)
}

// Whatever the bytes, reading gives jobs or says what is wrong, and does not panic.
func FuzzRead(f *testing.F) {
	b := soapworks(f)
	f.Add([]byte(plain), "week.csv")
	f.Add([]byte("job;unit;procedure;day\n\"K-1;P-214\n\"\"\";x;\"y\"z\n"), "week.csv")
	f.Add([]byte("\xff\xfej\x00o\x00"), "week.txt")
	f.Add(makeWorkbook(f, nil), "week.xlsx")
	f.Add([]byte("list: week\njobs: [{job: K-1}]\n"), "week.yaml")
	f.Fuzz(func(t *testing.T, data []byte, file string) {
		li, problems := Read(file, data, Options{Site: b.Site})
		if li == nil && !problems.HasErrors() {
			t.Errorf("no list and no error: %v", problems)
		}
		if li == nil {
			return
		}
		for _, j := range li.Jobs {
			if !j.Broken() && (j.ID.S == "" || j.Unit.S == "" || j.Procedure.S == "" || len(j.Day.S) != 10) {
				t.Errorf("a job without an error lacks something: %+v", j)
			}
		}
	})
}
