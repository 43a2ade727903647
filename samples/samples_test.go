package samples_test

import (
	"io/fs"
	"testing"

	"jobsheaf/internal/check"
	"jobsheaf/internal/compose"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/samples"
	"jobsheaf/templates"
)

// TestSites holds every demo site to the rules of the records: not one problem,
// nor a warning.
func TestSites(t *testing.T) {
	sites, err := fs.ReadDir(samples.FS, ".")
	if err != nil || len(sites) == 0 {
		t.Fatalf("no sites: %v", err)
	}
	for _, d := range sites {
		site, err := fs.Sub(samples.FS, d.Name())
		if err != nil {
			t.Fatal(err)
		}
		book, problems := record.Load(site, templates.FS, record.Options{})
		for _, p := range append(problems, check.Run(book, nil, check.Known{})...) {
			t.Errorf("%s: %s", d.Name(), p)
		}
		if len(book.Units) < 2 || len(book.Lists) == 0 {
			t.Errorf("%s: %d units, %d lists", d.Name(), len(book.Units), len(book.Lists))
		}
	}
}

// TestJobs holds that every job of every list can be printed, with nothing missing
// from its records.
func TestJobs(t *testing.T) {
	sites, err := fs.ReadDir(samples.FS, ".")
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range sites {
		site, err := fs.Sub(samples.FS, d.Name())
		if err != nil {
			t.Fatal(err)
		}
		book, _ := record.Load(site, templates.FS, record.Options{})
		var instruments []string
		for name := range book.Instruments {
			instruments = append(instruments, name)
		}
		library, problems := procedure.Load(site, templates.FS, procedure.Options{Instruments: instruments, Figures: figure.Names()})
		catalogue, list := words.Load(nil, templates.FS, book.Site.Language, nil)
		problems = append(problems, list...)
		composer, list := compose.New(book, library, catalogue, "test")
		for _, p := range append(problems, list...) {
			t.Errorf("%s: %s", d.Name(), p)
		}
		jobs := 0
		for _, l := range book.Lists {
			for _, job := range l.Jobs {
				jobs++
				made, problems := composer.Make(job)
				for _, p := range problems {
					t.Errorf("%s, job %s: %s", d.Name(), job.ID.S, p)
				}
				if made == nil {
					t.Errorf("%s, job %s: no packet", d.Name(), job.ID.S)
				}
			}
		}
		if jobs == 0 {
			t.Errorf("%s: no jobs", d.Name())
		}
	}
}
