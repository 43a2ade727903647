package scan

import (
	"fmt"
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

type packet = scribble.Packet

// folder is where tests print to.
var folder string

func TestMain(m *testing.M) {
	var err error
	if folder, err = os.MkdirTemp("", "scan"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	code := m.Run()
	_ = os.RemoveAll(folder)
	os.Exit(code)
}

var first *packet

// onePacket is the first packet of the demo, for tests that need no other.
func onePacket(t testing.TB) *packet {
	t.Helper()
	if first == nil {
		first = packets(t, 1)[0]
	}
	return first
}

// packets prints the jobs of the demo's lists: the first n, or all for 0.
func packets(t testing.TB, n int) (all []*packet) {
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
	maker := printjob.Maker{Composer: c}
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
				if err := os.WriteFile(filepath.Join(folder, f.Name), f.Data, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			all = append(all, scribble.Open(filepath.Join(folder, m.Job+".pdf"), m))
		}
	}
	return all
}
