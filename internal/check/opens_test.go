package check_test

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/check"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/samples"
	"jobsheaf/templates"
)

// What the built-in procedures open by name stands on the isolation table of every
// unit: a point that is taken out, or says no longer where it is, is told once.
func TestOpens(t *testing.T) {
	const file = "units/wax-house.yaml"
	for name, c := range map[string]struct {
		old, with string
		want      []string
	}{
		"sound":          {"", "", nil},
		"no vent":        {"neither liquid nor gas comes, at: vent}", "neither liquid nor gas comes}", []string{"vent"}},
		"no drain":       {"once opened, no flow\", at: drain}", "once opened, no flow\"}", []string{"drain"}},
		"no return":      {"at: jacket return}", "at: elsewhere}", []string{"jacket return"}},
		"no drain of it": {"at: jacket drain}", "at: elsewhere}", []string{"jacket drain"}},
		"without jacket": {"jacket: true", "jacket: false", nil},
		"no tracing":     {"at: tracing}", "at: elsewhere}", []string{"tracing"}},
		"untraced":       {"tracing: electric", "tracing: none", nil},
		"flush":          {"flush: false", "flush: true", []string{"seal flush"}},
	} {
		t.Run(name, func(t *testing.T) {
			site := fstest.MapFS{}
			err := fs.WalkDir(samples.FS, "soapworks", func(path string, d fs.DirEntry, err error) error {
				if err != nil || d.IsDir() {
					return err
				}
				data, err := fs.ReadFile(samples.FS, path)
				site[strings.TrimPrefix(path, "soapworks/")] = &fstest.MapFile{Data: data}
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			if c.old != "" {
				text := string(site[file].Data)
				if !strings.Contains(text, c.old) {
					t.Fatalf("%s does not hold %q", file, c.old)
				}
				site[file].Data = []byte(strings.Replace(text, c.old, c.with, 1)) // of the first unit
			}
			book, problems := record.Load(site, templates.FS, record.Options{})
			library, more := procedure.Load(site, templates.FS, procedure.Options{})
			if all := slices.Concat(problems, more); all.HasErrors() {
				t.Fatal(all)
			}
			var got []string
			for _, p := range check.Run(book, library, check.Known{}) {
				if p.Rule == "opens" {
					got = append(got, strings.TrimPrefix(p.Hint, "add it under isolate, with at: "))
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}
