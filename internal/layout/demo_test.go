package layout

import (
	"bytes"
	"io/fs"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/samples"
	"jobsheaf/templates"
)

// Every packet of the demo site, on both papers and in both unit systems, holds
// the rules of paper, and has each of its boxes once.
func TestDemoPackets(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		fsys := demo(t, units)
		book, problems := record.Load(fsys, templates.FS, record.Options{})
		library, more := procedure.Load(fsys, templates.FS, procedure.Options{Figures: figure.Names(), Signs: figure.Names()})
		catalogue, even := words.Load(nil, templates.FS, "en", nil)
		composer, last := compose.New(book, library, catalogue, "jobsheaf 0.1")
		for _, list := range [][]any{{problems.HasErrors(), problems}, {more.HasErrors(), more}, {even.HasErrors(), even}, {last.HasErrors(), last}} {
			if list[0].(bool) {
				t.Fatal(list[1])
			}
		}
		made := 0
		for _, list := range book.Lists {
			for _, job := range list.Jobs {
				p, problems := composer.Make(job)
				if p == nil {
					t.Fatal(problems)
				}
				for _, paper := range paperNames(t) {
					p.Paper = paper
					t.Run(units+"/"+paper+"/"+p.Job.ID, func(t *testing.T) {
						doc := lay(t, *p)
						inspect(t, doc)
						complete(t, *p, doc)
					})
					made++
				}
			}
		}
		if made == 0 {
			t.Fatal("the demo site has no jobs")
		}
	}
}

// demo is the demo site with another unit system.
func demo(t *testing.T, units string) fs.FS {
	out := fstest.MapFS{}
	site, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		t.Fatal(err)
	}
	err = fs.WalkDir(site, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(site, path)
		if path == "site.yaml" {
			raw = bytes.Replace(raw, []byte("units: metric"), []byte("units: "+units), 1)
			if !bytes.Contains(raw, []byte("units: "+units)) {
				t.Fatal("the demo site no longer says units: metric")
			}
		}
		out[path] = &fstest.MapFile{Data: raw}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
