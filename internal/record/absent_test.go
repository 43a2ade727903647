package record_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/record"
	"jobsheaf/templates"
)

// What people write for a value that they do not have is reported with what to do, which
// depends on whether the value may be none.
func TestAbsentValue(t *testing.T) {
	for text, want := range map[string]string{"flash_point: n/a": "write none if", "flash_point: TBD": "write none if", "density: n/a": "leave the line out", "flash_point: none": ""} {
		_, problems := record.Load(fstest.MapFS{
			"site.yaml":      {Data: []byte("site: s\nname: S\npaper: A4\nunits: us\nlanguage: en\nenergy_control: Rule 1\nemergency: Dial 1\n")},
			"liquids/l.yaml": {Data: []byte("liquid: l\nname: L\nstatements: []\n" + text + "\n")},
		}, templates.FS, record.Options{})
		hint := ""
		for _, p := range problems {
			if p.Pos.Line == 4 && p.Rule == "quantity" {
				hint += p.Hint
			}
		}
		if want == "" && hint != "" || !strings.Contains(hint, want) {
			t.Errorf("%s: hint %q, want %q", text, hint, want)
		}
	}
}
