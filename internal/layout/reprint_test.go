package layout

import (
	"strings"
	"testing"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// A packet that replaces another says so in the header of every page, in both languages and
// on every paper, with nothing over anything else; one that replaces none says nothing.
func TestReprint(t *testing.T) {
	says := map[string][2]string{"en": {"Print 12, replaces 7F3A91C2", "Print"}, "es": {"Impr. 12, sustituye a 7F3A91C2", "Impr."}}
	for language, want := range says {
		fsys := demo(t, soapworks(t), "both", language)
		book, _ := record.Load(fsys, templates.FS, record.Options{})
		library, _ := procedure.Load(fsys, templates.FS, procedure.Options{Figures: figure.Names(), Signs: figure.Names(), Language: language})
		catalogue, _ := words.Load(nil, templates.FS, language, nil)
		composer, problems := compose.New(book, library, catalogue, "jobsheaf 0.1")
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		job := *book.Lists["week-49"].Jobs[1]
		for _, job.Replaces = range []string{"", "7F3A91C2"} {
			job.Print = 12
			p, problems := composer.Make(&job)
			if p == nil {
				t.Fatal(problems)
			}
			for _, paper := range paperNames(t) {
				p.Paper, p.Job.Revision = paper, "10.12"
				if paper == "A4" { // the narrowest, with the longest ID
					p.Job.ID = strings.Repeat("K", 19)
				}
				doc := lay(t, *p)
				inspect(t, doc)
				for n, page := range doc.Pages {
					said := ""
					for _, x := range page.Texts {
						if strings.HasPrefix(x.S, want[1]) && x.Y < bodyTop {
							said = x.S
						}
					}
					if said != want[0] && job.Replaces != "" || said != "" && job.Replaces == "" {
						t.Errorf("%s, %s: page %d says %q", language, paper, n+1, said)
					}
				}
			}
		}
	}
}
