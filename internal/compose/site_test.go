package compose_test

import (
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// site is a site read and compiled for the tests.
type site struct {
	files    fs.FS
	book     *record.Book
	composer *compose.Composer
}

// edit puts one text in the place of another that stands once in a file of a site.
type edit struct{ file, old, new string }

// demo gives the files of a demo site with edits.
func demo(t testing.TB, name string, edits ...edit) fs.FS {
	t.Helper()
	return edited(t, os.DirFS("../../samples/"+name), edits...)
}

func edited(t testing.TB, from fs.FS, edits ...edit) fs.FS {
	t.Helper()
	files := fstest.MapFS{}
	err := fs.WalkDir(from, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(from, path)
		files[path] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range edits {
		f := files[e.file]
		if f == nil || strings.Count(string(f.Data), e.old) != 1 {
			t.Fatalf("%s does not hold %q just once", e.file, e.old)
		}
		f.Data = []byte(strings.Replace(string(f.Data), e.old, e.new, 1))
	}
	return files
}

// open reads a site and compiles its procedures; a problem fails the test.
func open(t testing.TB, files fs.FS) *site {
	t.Helper()
	s, problems := read(files)
	for _, p := range problems {
		t.Errorf("the site has a problem: %s", p)
	}
	return s
}

// read reads a site and compiles its procedures.
func read(files fs.FS) (*site, diag.List) {
	s := &site{files: files}
	book, problems := record.Load(files, templates.FS, record.Options{})
	var instruments []string
	for n := range book.Instruments {
		instruments = append(instruments, n)
	}
	lib, list := procedure.Load(files, templates.FS, procedure.Options{Instruments: instruments, Figures: figure.Names(), Signs: figure.Signs()})
	problems = append(problems, list...)
	catalogue, list := words.Load(nil, templates.FS, "en", nil)
	problems = append(problems, list...)
	s.book = book
	s.composer, list = compose.New(book, lib, catalogue, "test")
	return s, append(problems, list...)
}

// jobs gives the jobs of all lists of the site.
func (s *site) jobs() []*record.Job {
	var out []*record.Job
	for _, l := range s.book.Lists {
		out = append(out, l.Jobs...)
	}
	return out
}

// packet makes the packet of a unit and a procedure.
func (s *site) packet(t testing.TB, unit, procedure string) *packet.Packet {
	t.Helper()
	known := func(v string) record.Text { return record.Text{S: v, At: diag.Pos{File: "test", Line: 1, Col: 1}} }
	p, problems := s.composer.Make(&record.Job{ID: known("K-1"), Unit: known(unit), Procedure: known(procedure), Day: known("2026-11-30"), At: diag.Pos{File: "test", Line: 1}})
	for _, pr := range problems {
		t.Errorf("unit %s, %s: %s", unit, procedure, pr)
	}
	if p == nil {
		t.Fatalf("no packet of %s for %s", unit, procedure)
	}
	return p
}

// entries gives the working of a packet by name.
func entries(p *packet.Packet) map[string]packet.Entry {
	out := map[string]packet.Entry{}
	for _, e := range p.Working {
		out[e.Name] = e
	}
	return out
}

// sites are the demo sites.
var sites = []string{"soapworks", "candleworks-us"}
