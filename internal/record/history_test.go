package record_test

import (
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/check"
	"jobsheaf/internal/record"
)

// past writes a unit's history, a line an entry.
func past(u *record.Unit) string {
	var out []string
	for _, h := range u.History {
		line := h.Job.S + " " + h.Day.S
		for as, readings := range []map[string]record.Amount{h.AsFound, h.AsLeft} {
			for _, name := range slices.Sorted(maps.Keys(readings)) {
				a := readings[name]
				line += fmt.Sprintf("; %s %s %s at %s", [...]string{"found", "left"}[as], name, a.S, a.At)
			}
		}
		for _, p := range h.Replaced {
			line += "; replaced " + p.S + " at " + p.At.String()
		}
		for _, r := range h.Apart {
			line += "; " + r.Span.File
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

// What stands of a unit's history apart from its record is put in order of day and job,
// each job once, and every number keeps its own place.
func TestHistoryApart(t *testing.T) {
	files := base(t)
	files["history/hall.yaml"] = `history: P-1
entries:
  - {job: H-0, day: 2023-01-02, as_left: {end_clearance: 0.11 mm}}
  - {job: H-2, day: 2025-03-04, page: 3, as_found: {end_clearance: 0.12 mm}, as_left: {end_clearance: 0.1 mm}}
---
history: P-2
entries: []
`
	site, builtin := split(files)
	pages := []record.PageHistory{
		{Unit: "P-1", Job: "H-4", Day: "2026-01-02", Page: 2, Readings: []record.PageReading{{Name: "end_clearance", Left: true, Value: "0.10 mm"}}},
		{Unit: "P-1", Job: "H-3", Day: "2026-01-02", Page: 14, Readings: []record.PageReading{{Name: "pin_diameter_worn", Left: true, Value: "32.00 mm"}, {Name: "pin_diameter_worn", Value: "31.92 mm"}}, Replaced: []string{"pin", "bushing: of the bracket"}},
		{Unit: "P-1", Job: "H-3", Day: "2026-01-02", Page: 12, Readings: []record.PageReading{{Name: "end_clearance", Value: "0.13 mm"}}, Replaced: []string{"pin"}},
	}
	book, problems := record.Load(record.WithRegister(site, pages), builtin, record.Options{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	want := `H-0 2023-01-02; left end_clearance 0.11 mm at history/hall.yaml:3:58; history/hall.yaml
H-1 2024-03-04; left end_clearance 0.10 mm at units/a.yaml:17:75; left pin_diameter_worn 32.00 mm at units/a.yaml:17:103; replaced pin at units/a.yaml:17:44
H-2 2025-03-04; found end_clearance 0.12 mm at history/hall.yaml:4:68; left end_clearance 0.10 mm at units/a.yaml:18:58; left pin_diameter_worn 31.95 mm at units/a.yaml:18:86; history/hall.yaml
H-3 2026-01-02; found end_clearance 0.13 mm at register/H-3/page-12.yaml:7:22; found pin_diameter_worn 31.92 mm at register/H-3/page-14.yaml:7:26; left pin_diameter_worn 32.00 mm at register/H-3/page-14.yaml:9:26; replaced pin at register/H-3/page-12.yaml:9:9; replaced bushing: of the bracket at register/H-3/page-14.yaml:12:9; register/H-3/page-12.yaml; register/H-3/page-14.yaml
H-4 2026-01-02; left end_clearance 0.10 mm at register/H-4/page-2.yaml:7:22; register/H-4/page-2.yaml`
	if got := past(book.Units["P-1"]); got != want {
		t.Errorf("got\n%s", got)
	}
	data, err := fs.ReadFile(record.WithRegister(site, pages), "register/H-3/page-14.yaml")
	if err != nil || string(data) != `history: P-1
entries:
  - job: H-3
    day: 2026-01-02
    page: 14
    as_found:
      pin_diameter_worn: "31.92 mm"
    as_left:
      pin_diameter_worn: "32.00 mm"
    replaced:
      - "pin"
      - "bushing: of the bracket"
` {
		t.Errorf("%v\n%s", err, data)
	}
}

// What is wrong with a history that stands apart is said at its place, and keeps the jobs
// of its unit from being printed, and no others.
func TestHistoryApartIsStrict(t *testing.T) {
	for text, want := range map[string]string{
		"history: P-1\nentries: [{job: H-2, day: 2025-03-04, as_left: {end_clearance: 0.1 mm, pin_diameter_worn: 31.950 mm}, replaced: [pin]}]": "",
		"history: P-1\nentries: [{job: H-2, day: 2025-03-04, as_left: {end_clearance: 0.11 mm}}]":                                               "history/a.yaml:2:64 history-clash (units/a.yaml:18:58)",
		"history: P-1\nentries: [{job: H-2, day: 2025-03-05, as_left: {end_clearance: 0.10 mm}}]":                                               "history/a.yaml:2:27 history-clash (units/a.yaml:18:21)",
		"history: P-1\nentries: [{job: H-2, day: 2025-03-04, as_found: {end_clearance: 0.11 mm}}]":                                              "",
		"history: P-1\nentries: [{job: H-5, day: 2025-06-04, as_left: {end_clearance: 0.11}}]":                                                  "history/a.yaml:2:68 quantity",
		"history: P-1\nentries: [{job: H-5, day: 2025-06-04, as_left: {end_clearance: 1 kg}}]":                                                  "history/a.yaml:2:66 quantity",
		"history: P-1\nentries: [{job: H-5, day: 2025-06-04, as_left: {end_clearence: 0.1 mm}}]":                                                "history/a.yaml:2:64 history (designs/a.yaml:8:3)",
		"history: P-1\nentries: [{job: H-5, day: 2025-06-04, page: none}]":                                                                      "history/a.yaml:2:45 quantity",
		"history: P-1\nentries: [{job: H-5, day: 2025-06-04, pages: 3}]":                                                                        "history/a.yaml:2:39 unknown-key",
		"history: P-1\nentries: [{job: H-5}]":                                                                                                   "history/a.yaml:2:11 missing-key",
		"history: P-1\nreadings: []":                                                                                                            "history/a.yaml:1:1 missing-key; history/a.yaml:2:1 unknown-key",
		"history: P-1\nentries: []\n---\nhistory: P-1\nentries: []":                                                                             "history/a.yaml:4:1 duplicate (history/a.yaml:1:1)",
		"unit: P-1\nentries: []": "history/a.yaml:1:1 record-kind",
	} {
		files := base(t)
		files["history/a.yaml"] = text + "\n"
		_, problems, printed := load(files)
		var got []string
		for _, p := range problems {
			if p.Rule == "refused" {
				continue
			}
			s := p.Pos.String() + " " + p.Rule
			for _, at := range p.Related {
				s += " (" + at.String() + ")"
			}
			got = append(got, s)
		}
		if s := strings.Join(got, "; "); s != want {
			t.Errorf("%s\ngot  %s\nwant %s", text, s, want)
		}
		jobs := "K-1 K-2"
		if want != "" && !strings.Contains(want, "record-kind") {
			jobs = "K-2"
		}
		if s := strings.Join(printed, " "); s != jobs {
			t.Errorf("%s\nprints %s", text, s)
		}
	}
	// A unit that nobody knows.
	files := base(t)
	files["history/a.yaml"] = "history: P-9\nentries: []\n"
	if _, problems, printed := load(files); len(problems) != 1 || problems[0].Rule != "unknown-name" || problems[0].Pos.String() != "history/a.yaml:1:1" || len(printed) != 2 {
		t.Errorf("%v, prints %v", problems, printed)
	}
}

// Nobody can mend the names under which the register has what was written on paper: what
// no size or unit knows any more is told and keeps nothing from being printed.
func TestRegisterOfWhatIsGone(t *testing.T) {
	site, builtin := split(base(t))
	book, problems := record.Load(record.WithRegister(site, []record.PageHistory{
		{Unit: "P-1", Job: "H-3", Day: "2026-12-24", Page: 2, Readings: []record.PageReading{{Name: "nut", Left: true, Value: "5 mm"}}},
		{Unit: "P-9", Job: "H-4", Day: "2026-12-24", Page: 2, Readings: []record.PageReading{{Name: "nut", Left: true, Value: "5 mm"}}},
	}), builtin, record.Options{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	found := check.Run(book, nil, check.Known{})
	book.Attach(found)
	var got []string
	for _, p := range found {
		got = append(got, p.Pos.String()+" "+p.Severity.String()+" "+p.Rule)
	}
	want := "register/H-3/page-2.yaml:7:12 warning history; register/H-4/page-2.yaml:1:1 warning unknown-name"
	if s := strings.Join(got, "; "); s != want {
		t.Errorf("got %s", s)
	}
	for _, j := range book.Lists["week"].Jobs {
		if p := book.Refusal(j); p != nil {
			t.Error(p)
		}
	}
}
