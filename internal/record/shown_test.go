package record

import (
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/templates"
)

// What shows an energy: a term of the unit or of its size that is on record, and neither
// false nor none; or one that says a word.
func TestWhatShowsAnEnergy(t *testing.T) {
	const kind, leg = "machines/bucket-elevator.yaml", "shown_by: [built.loaded_leg]"
	for name, c := range map[string]struct {
		file, old, new string
		by             string
		want           bool
	}{
		"true":                {"", "", "", leg, true},
		"false":               {"units/legs.yaml", "loaded_leg: true", "loaded_leg: false", leg, false},
		"of the size":         {"", "", "", "shown_by: [leg.height]", true},
		"of another size":     {"designs/leg.yaml", "height: 18 m, ", "", "shown_by: [leg.height]", false},
		"its first word":      {"", "", "", "shown_by: [leg]", true},
		"a word":              {"", "", "", "shown_by: [{term: unit.tower, is: north}]", true},
		"another word":        {"", "", "", "shown_by: [{term: unit.tower, is: south}]", false},
		"any word":            {"", "", "", "shown_by: [unit.tower]", true},
		"none":                {kind, "one_of: [north, south]", "one_of: [north, none]", "shown_by: [unit.tower]", false},
		"what the owner says": {"", "", "", "shown_by: [duty]", true},
	} {
		files := fstest.MapFS{}
		site := os.DirFS("../../testdata/elevator")
		err := fs.WalkDir(site, ".", func(file string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			text, err := fs.ReadFile(site, file)
			files[file] = &fstest.MapFile{Data: text}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		change := func(file, old, new string) {
			if file != "" && !strings.Contains(string(files[file].Data), old) {
				t.Fatalf("%s: %s does not hold %q", name, file, old)
			}
			if file != "" {
				files[file].Data = []byte(strings.Replace(string(files[file].Data), old, new, 1))
			}
		}
		change(kind, leg, c.by)
		change(c.file, c.old, c.new)
		if name == "none" {
			change("units/legs.yaml", "tower: north", "tower: none")
		}
		book, problems := Load(files, templates.FS, Options{})
		for _, p := range problems {
			if p.Severity.String() == "error" {
				t.Errorf("%s: %s", name, p)
			}
		}
		u := book.Units["BE-3"]
		got := false
		for _, h := range u.Holds() {
			got = got || h.Energy.Energy == "gravity"
		}
		if got != c.want {
			t.Errorf("%s: it holds gravity: %v", name, got)
		}
	}
}
