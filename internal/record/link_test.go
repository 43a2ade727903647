package record_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/record"
	"jobsheaf/templates"
)

// A path in lower case is printed as it is written, with a warning that names the
// remedies, until the record says which case the server takes.
func TestLinkCase(t *testing.T) {
	for _, c := range []struct{ lines, want, rule string }{
		{"link: https://jobs.example.org/j", "https://jobs.example.org/j", "link-case"},
		{"link: https://jobs.example.org/j\nlink_case: as-written", "https://jobs.example.org/j", ""},
		{"link: https://jobs.example.org/j\nlink_case: upper", "HTTPS://JOBS.EXAMPLE.ORG/J", ""},
		{"link: https://jobs.example.org/J", "https://jobs.example.org/J", ""},
		{"link: https://jobs.example.org", "https://jobs.example.org", ""},
		{"link: https://jobs.example.org/j\nlink_case: lower", "https://jobs.example.org/j", "one-of"},
	} {
		site := "site: s\nname: S\npaper: A4\nunits: metric\nlanguage: en\nenergy_control: Rule 1\nemergency: Dial 1\n" + c.lines + "\n"
		book, problems := record.Load(fstest.MapFS{"site.yaml": {Data: []byte(site)}}, templates.FS, record.Options{})
		if book.Site == nil || book.Site.Link.S != c.want {
			t.Errorf("%q: site %+v", c.lines, book.Site)
			continue
		}
		rules := ""
		for _, p := range problems {
			rules += p.Rule + " "
		}
		if c.rule == "" && rules != "" || !strings.Contains(rules, c.rule) {
			t.Errorf("%q: found %q, want %q", c.lines, rules, c.rule)
		}
	}
}
