package record_test

import (
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

func errorAt(file string, line, col int) diag.Problem {
	return diag.Problem{Pos: diag.Pos{File: file, Line: line, Col: col}, Severity: diag.Error, Rule: "test", Message: "a fault"}
}

func read(files map[string]string) (*record.Book, diag.List) {
	site, builtin := split(files)
	return record.Load(site, builtin, record.Options{})
}

// A fault belongs to the job whose entry it is in, and else to the list.
func TestWhichJobAFaultBelongsTo(t *testing.T) {
	const list = `list: week
jobs:
  - {job: K-1, unit: P-1, procedure: any, day: 2026-11-30}
  - job: K-2
    unit: P-2
    procedure: any
    day: 2026-11-30
`
	const row = "list: week\njobs: [{job: K-1, unit: P-1, procedure: any, day: 2026-11-30}, {job: K-2, unit: P-2, procedure: any, day: 2026-11-30}]\n"
	second := strings.Index(row, "{job: K-2") - strings.Index(row, "jobs:") + 1
	for text, owner := range map[string]func(line, col int) string{
		list: func(line, col int) string {
			switch {
			case line < 3 || line == 3 && col < 5:
				return "list"
			case line == 3 || line == 4 && col < 5:
				return "K-1"
			case line < 8:
				return "K-2"
			}
			return "list"
		},
		row: func(line, col int) string {
			switch {
			case line < 2 || col < 8:
				return "list"
			case col < second:
				return "K-1"
			}
			return "K-2"
		},
	} {
		files := base(t)
		files["lists/week.yaml"] = text
		for line := 1; line <= strings.Count(text, "\n"); line++ {
			for col := 1; col <= len(strings.Split(text, "\n")[line-1])+1; col++ {
				book, problems, _ := load(files)
				if problems.HasErrors() {
					t.Fatal(problems)
				}
				book.Attach(diag.List{errorAt("lists/week.yaml", line, col)})
				var got []string
				li := book.Lists["week"]
				if li.Broken() {
					got = append(got, "list")
				}
				for _, j := range li.Jobs {
					if j.Broken() {
						got = append(got, j.ID.S)
					}
				}
				if want := owner(line, col); strings.Join(got, " ") != want {
					t.Errorf("%d:%d belongs to %q, want %s", line, col, got, want)
				}
			}
		}
	}
}

// A fault belongs to the record it is in; in a design, to the size, where it is in one.
func TestWhichRecordAFaultBelongsTo(t *testing.T) {
	files := base(t)
	files["units/both.yaml"] = "# head\n---\nunit: P-3\nname: x\ndesign: gear-a\nsize: \"10\"\n---\nunit: P-4\nname: y\ndesign: gear-a\nsize: \"10\"\n"
	for at, want := range map[diag.Pos]string{
		{File: "designs/a.yaml", Line: 1, Col: 1}:    "design gear-a",
		{File: "designs/a.yaml", Line: 7, Col: 6}:    "design gear-a",
		{File: "designs/a.yaml", Line: 8, Col: 2}:    "design gear-a",
		{File: "designs/a.yaml", Line: 8, Col: 3}:    "size 10",
		{File: "designs/a.yaml", Line: 26, Col: 40}:  "size 10",
		{File: "designs/a.yaml", Line: 27, Col: 2}:   "size 10",
		{File: "designs/a.yaml", Line: 27, Col: 3}:   "size 11",
		{File: "designs/a.yaml", Line: 28, Col: 9}:   "size 11",
		{File: "designs/none.yaml", Line: 8, Col: 3}: "",
		{File: "units/both.yaml", Line: 2, Col: 1}:   "",
		{File: "units/both.yaml", Line: 3, Col: 1}:   "unit P-3",
		{File: "units/both.yaml", Line: 6, Col: 9}:   "unit P-3",
		{File: "units/both.yaml", Line: 7, Col: 1}:   "",
		{File: "units/both.yaml", Line: 8, Col: 1}:   "unit P-4",
		{File: "units/both.yaml", Line: 11, Col: 1}:  "unit P-4",
		{File: "units/both.yaml", Line: 12, Col: 1}:  "",
		{File: "liquids/lye.yaml", Line: 9, Col: 5}:  "liquid lye",
		{File: "site.yaml", Line: 1, Col: 1}:         "site mill",
	} {
		book, _, _ := load(files)
		book.Attach(diag.List{errorAt(at.File, at.Line, at.Col)})
		var got []string
		for _, r := range book.Records {
			if r.Broken() {
				got = append(got, r.String())
			}
		}
		for _, name := range []string{"10", "11"} {
			if book.Designs["gear-a"].Sizes[name].Broken() {
				got = append(got, "size "+name)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%v belongs to %q, want %q", at, got, want)
		}
	}
	// The same fault is kept once; a warning breaks nothing; a name that appears twice
	// breaks both records that have it, each with the other's place.
	book, _ := read(files)
	warning := errorAt("site.yaml", 1, 1)
	warning.Severity = diag.Warning
	one, other := diag.Pos{File: "units/both.yaml", Line: 3, Col: 1}, diag.Pos{File: "units/both.yaml", Line: 8, Col: 1}
	book.Attach(diag.List{warning, errorAt("units/a.yaml", 2, 7), errorAt("units/a.yaml", 2, 7), errorAt("units/a.yaml", 2, 8),
		{Pos: other, Severity: diag.Error, Rule: "twice", Message: "twice", Related: []diag.Pos{one}}, {Pos: diag.Pos{File: "liquids/lye.yaml", Line: 2, Col: 1}, Severity: diag.Error, Rule: "other", Related: []diag.Pos{{File: "liquids/water.yaml", Line: 2, Col: 1}}}})
	if book.Site.Broken() || len(book.Site.Problems) != 1 || len(book.Units["P-1"].Problems) != 2 || book.Liquids["water"].Broken() || !book.Liquids["lye"].Broken() {
		t.Errorf("site %v, unit %v, liquid %v", book.Site.Problems, book.Units["P-1"].Problems, book.Liquids["water"].Problems)
	}
	for id, at := range map[string][2]diag.Pos{"P-3": {one, other}, "P-4": {other, one}} {
		if p := book.Units[id].Problems; len(p) != 1 || p[0].Pos != at[0] || !slices.Equal(p[0].Related, at[1:]) {
			t.Errorf("%s: %v", id, p)
		}
	}
}

// A refusal names five places at most, each once, and errors only.
func TestPlacesOfARefusal(t *testing.T) {
	for n := range 8 {
		book, _, _ := load(base(t))
		j := book.Lists["week"].Jobs[0]
		var list diag.List
		var want []diag.Pos
		for i := range n {
			p := errorAt("units/a.yaml", 2, i+1)
			warning := p
			warning.Severity, warning.Rule = diag.Warning, "less"
			warning.Pos.Col += 100
			again := p
			again.Rule = "more"
			list = append(list, warning, p, again)
			if len(want) < 5 {
				want = append(want, p.Pos)
			}
		}
		book.Attach(list)
		p := book.Refusal(j)
		if n == 0 {
			if p != nil {
				t.Errorf("refused without a fault: %v", p)
			}
			continue
		}
		if p == nil || !slices.Equal(p.Related, want) || p.Message != "job K-1 is not printed: the record of unit P-1 has an error" {
			t.Errorf("%d faults: %v", n, p)
		}
	}
	book, _, _ := load(base(t))
	j := *book.Lists["week"].Jobs[0]
	j.ID.S = ""
	j.Problems = diag.List{errorAt("lists/week.yaml", 3, 5)}
	if p := book.Refusal(&j); p == nil || p.Message != "job without a name is not printed: its own entry has an error" {
		t.Errorf("%v", p)
	}
}

// What is missing altogether is refused at the place that names it.
func TestRefusalsOfMissingRecords(t *testing.T) {
	for name, c := range map[string]struct {
		miss func(*record.Unit)
		want string
	}{
		"design": {func(u *record.Unit) { u.Design, u.Size = nil, nil }, "the design gear-a of its unit is not on record units/a.yaml:4:9"},
		"size":   {func(u *record.Unit) { u.Size = nil }, "the size 10 of its unit is not in the design units/a.yaml:5:7"},
		"liquid": {func(u *record.Unit) { u.Liquid = nil }, "the liquid lye of its unit is not on record units/a.yaml:9:16"},
	} {
		book, _, _ := load(base(t))
		c.miss(book.Units["P-1"])
		p := book.Refusal(book.Lists["week"].Jobs[0])
		if p == nil || len(p.Related) != 1 || strings.TrimPrefix(p.Message, "job K-1 is not printed: ")+" "+p.Related[0].String() != c.want {
			t.Errorf("%s: %v", name, p)
		}
		if p := book.FormRefusal(book.Lists["week"].Jobs[0]); p != nil {
			t.Errorf("%s, as a form: %v", name, p)
		}
	}
	// A unit that pumps nothing lacks no liquid.
	book, _, _ := load(base(t))
	book.Units["P-1"].Liquid, book.Units["P-1"].LiquidName = nil, record.Text{}
	if p := book.Refusal(book.Lists["week"].Jobs[0]); p != nil {
		t.Errorf("%v", p)
	}
}
