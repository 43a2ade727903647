package scan

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/samples"
	"jobsheaf/templates"
	"jobsheaf/testdata/scribble"
)

// packets prints the jobs of the demo's lists: the first n, or all for 0.
func packets(t testing.TB, n int) (all []*scribble.Packet) {
	t.Helper()
	site, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		t.Fatal(err)
	}
	book, problems := record.Load(site, templates.FS, record.Options{})
	library, more := procedure.Load(site, templates.FS, procedure.Options{Figures: figure.Names(), Signs: figure.Names()})
	problems = append(problems, more...)
	catalogue, more := words.Load(nil, templates.FS, "en", nil)
	problems = append(problems, more...)
	c, more := compose.New(book, library, catalogue, "jobsheaf test")
	if problems = append(problems, more...); problems.HasErrors() {
		t.Fatal(problems)
	}
	dir, maker := t.TempDir(), printjob.Maker{Composer: c}
	for _, list := range book.Lists {
		for _, job := range list.Jobs {
			if n > 0 && len(all) == n {
				return all
			}
			made, err := maker.Print(job)
			if err != nil || made.Problems.HasErrors() {
				t.Fatal(err, made.Problems)
			}
			var m manifest.Manifest
			for _, f := range made.Files {
				if filepath.Ext(f.Name) == ".json" {
					if m, err = manifest.Decode(f.Data); err != nil {
						t.Fatal(err)
					}
				}
				if err := os.WriteFile(filepath.Join(dir, f.Name), f.Data, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			all = append(all, scribble.Open(filepath.Join(dir, m.Job+".pdf"), m))
		}
	}
	return all
}
