package samples_test

import (
	"io/fs"
	"testing"

	"jobsheaf/internal/record"
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
		for _, p := range problems {
			t.Errorf("%s: %s", d.Name(), p)
		}
		if len(book.Units) < 2 || len(book.Lists) == 0 {
			t.Errorf("%s: %d units, %d lists", d.Name(), len(book.Units), len(book.Lists))
		}
	}
}
