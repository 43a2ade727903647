package layout

import (
	"bytes"
	"io/fs"
	"os"
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
	holdPackets(t, soapworks(t), "en", "metric", "us")
}

// soapworks is the demo site.
func soapworks(t *testing.T) fs.FS {
	t.Helper()
	site, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		t.Fatal(err)
	}
	return site
}

// So does a packet with sums and tables to be worked out by hand, in both languages.
func TestWorksheetPackets(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		holdPackets(t, os.DirFS("../../testdata/readings"), language, "metric", "us", "both")
	}
}

// holdPackets lays out every packet of a site's lists on every paper, and holds it to the
// rules of paper.
func holdPackets(t *testing.T, site fs.FS, language string, systems ...string) {
	t.Helper()
	for _, units := range systems {
		fsys := demo(t, site, units, language)
		book, problems := record.Load(fsys, templates.FS, record.Options{})
		options := procedure.Options{Figures: figure.Names(), Signs: figure.Names()}
		if language != "en" {
			options.Language = language
		}
		library, more := procedure.Load(fsys, templates.FS, options)
		catalogue, even := words.Load(nil, templates.FS, language, nil)
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
					t.Run(language+"/"+units+"/"+paper+"/"+p.Job.ID, func(t *testing.T) {
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

// demo is a site with another unit system and language.
func demo(t *testing.T, site fs.FS, units, language string) fs.FS {
	out := fstest.MapFS{}
	err := fs.WalkDir(site, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(site, path)
		if path == "site.yaml" {
			raw = bytes.Replace(raw, []byte("units: metric"), []byte("units: "+units), 1)
			if !bytes.Contains(raw, []byte("units: "+units)) {
				t.Fatal("the site no longer says units: metric")
			}
			raw = bytes.Replace(raw, []byte("language: en"), []byte("language: "+language), 1)
		}
		out[path] = &fstest.MapFile{Data: raw}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
