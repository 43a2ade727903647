package printjob

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
	made "jobsheaf/testdata/bench/made"
)

// TestOverBudget: a packet with more pages than its procedure allows is a warning at
// the line that allows them, when it is rehearsed; one within them is none.
func TestOverBudget(t *testing.T) {
	for pages, want := range map[string]string{
		"1":  "procedures/look.yaml:5:8: warning: job M-7, unit T-0001: its packet has ",
		"99": "",
	} {
		files, _, err := made.Site(7, 3, 0, false)
		if err != nil {
			t.Fatal(err)
		}
		site := fstest.MapFS{"procedures/look.yaml": {Data: []byte("procedure: look\ntitle: Look\nrevision: \"1\"\nlanguage: en\npages: " + pages + "\nstages: [{stage: Look, steps: [{do: Look at the pump.}]}]\n")}}
		for name, data := range files {
			site[name] = &fstest.MapFile{Data: data}
		}
		book, _ := record.Load(site, templates.FS, record.Options{})
		library, faults := procedure.Load(site, templates.FS, procedure.Options{})
		if faults.HasErrors() {
			t.Fatal(faults)
		}
		catalogue, _ := words.Load(nil, templates.FS, "en", nil)
		c, problems := compose.New(book, library, catalogue, "jobsheaf test")
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		job := jobOn("T-0001", "M-7", 2)
		job.Procedure.S = "look"
		var got []string
		err = (&Maker{Composer: c}).Rehearse(context.Background(), []*record.Job{job}, func(l diag.List) {
			for _, p := range l {
				if p.Rule == "budget" {
					got = append(got, fmt.Sprint(p))
				}
			}
		})
		if err != nil || len(got) > 1 || (want == "") != (len(got) == 0) || len(got) > 0 && (!strings.HasPrefix(got[0], want) || !strings.Contains(got[0], "allows 1: cover ")) {
			t.Errorf("pages: %s: %v, %v, want %s", pages, got, err, want)
		}
	}
}
