package compose_test

import (
	"encoding/json"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// formJob is a job for an empty form.
func formJob(unit, procedure string) *record.Job {
	at := diag.Pos{File: "test", Line: 1, Col: 1}
	known := func(s string) record.Text { return record.Text{S: s, At: at} }
	return &record.Job{ID: known("FORM"), Unit: known(unit), Procedure: known(procedure), Day: known("2026-11-30"), At: at}
}

var blankOf = regexp.MustCompile(`"id":"([^"]+)","kind":"(reading|words|tick|initial|sign|when)"`)

// count counts the blanks of each sheet.
func count(t testing.TB, p *packet.Packet) map[string]int {
	out := map[string]int{}
	for _, s := range p.Sheets {
		b, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		out[s.ID] = len(blankOf.FindAll(b, -1))
	}
	return out
}

// A form asks nothing of the records: for any unit, for one that is not on record,
// and for one that is, whose words it prints and none of its numbers.
func TestForms(t *testing.T) {
	for _, name := range sites {
		files := loose(t, name)
		filled, blank := open(t, files), open(t, files)
		blank.composer = blank.composer.Forms()
		sort := regexp.MustCompile(`\.(thread|grade)$`) // names, such as M12 and 8.8
		fromRecords := regexp.MustCompile(`^(units|designs|liquids)/`)
		for _, unit := range append(sortedUnits(blank.book), "any", "P-999") {
			for _, proc := range []string{"rebuild-component-seal", "reset-end-clearance"} {
				p, problems := blank.composer.Make(formJob(unit, proc))
				u := blank.book.Units[unit]
				if u != nil && !filled.composer.Fits(u, proc) {
					continue
				}
				if p == nil || len(problems) > 0 {
					t.Fatalf("%s %s: %v", unit, proc, problems)
				}
				raw, err := json.Marshal(p)
				if err != nil {
					t.Fatal(err)
				}
				for _, not := range []string{`"style":"missing"`, `not_on_record`, `NOT ON RECORD`} {
					if strings.Contains(string(raw), not) {
						t.Errorf("%s %s: the form has %s", unit, proc, not)
					}
				}
				gaps := 0
				for _, e := range p.Working {
					for _, in := range e.Inputs {
						if fromRecords.MatchString(in.At.File) && !sort.MatchString(in.Name) && strings.ContainsAny(in.Text[:1], "0123456789") {
							t.Errorf("%s %s: %s draws on %s at %s", unit, proc, e.Name, in.Text, in.At)
						}
					}
					if strings.Contains(e.Printed, "____") {
						gaps++
					}
				}
				if gaps < 20 {
					t.Errorf("%s %s: only %d values are left to be worked out", unit, proc, gaps)
				}
				if q, in := again(t, p); !reflect.DeepEqual(p, q) || !in.Blank {
					t.Errorf("%s %s: the form differs from itself made again", unit, proc)
				}
				if u == nil {
					continue
				}
				full, problems := filled.composer.Make(formJob(unit, proc))
				if full == nil {
					t.Fatal(problems)
				}
				if full.Fingerprint == p.Fingerprint {
					t.Errorf("%s %s: form and packet have one fingerprint", unit, proc)
				}
				if !strings.Contains(string(raw), u.Name.S) {
					t.Errorf("%s %s: the form lacks the unit's name", unit, proc)
				}
				have := count(t, p)
				for sheet, n := range count(t, full) {
					if have[sheet] < n {
						t.Errorf("%s %s: the form has %d blanks on sheet %s, the packet %d", unit, proc, have[sheet], sheet, n)
					}
				}
			}
		}
	}
}

func sortedUnits(b *record.Book) []string {
	var out []string
	for _, r := range b.Records {
		if r.Kind == "unit" {
			out = append(out, r.ID)
		}
	}
	return out
}

// A record with an error refuses a form too; one that is not there does not.
func TestFormsOfFaultyRecords(t *testing.T) {
	for name, c := range map[string]struct {
		file, text string
		want       bool
	}{
		"a unit with an error":     {"units/new.yaml", "unit: P-999\nname: [x\n", false},
		"a unit without a design":  {"units/new.yaml", "unit: P-999\nname: New\n", false},
		"a design not on record":   {"units/new.yaml", "unit: P-999\nname: New\ndesign: none-such\nsize: \"1\"\n", true},
		"a liquid with an error":   {"liquids/new.yaml", "liquid: lye-50\nname: twice\n", true}, // the unit does not name it
		"no records but the site":  {"units/other.yaml", "unit: P-1\nname: x\n", true},
		"a site that is not there": {"site.yaml", "", false},
	} {
		files := loose(t, "soapworks")
		files[c.file] = &fstest.MapFile{Data: []byte(c.text)}
		s, _ := read(files)
		s.composer = s.composer.Forms()
		p, problems := s.composer.Make(formJob("P-999", "reset-end-clearance"))
		if (p != nil) != c.want || p == nil && !problems.HasErrors() {
			t.Errorf("%s: printed %v, %v", name, p != nil, problems)
		}
	}
}
