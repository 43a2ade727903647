package cli

import (
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/front"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/samples"
	"jobsheaf/templates"
)

// The budget of the packets that are carried: what is longer is not read.
const (
	rebuildPages = 18
	resetPages   = 6
	longPages    = 7  // of a reset on the shorter paper, in Spanish, or with a jacket to lock and to warm
	bracketPages = 20 // of a rebuild off the pipework in Spanish
	mostSteps    = 90
	mostPanels   = 25
	weekPages    = 170
	frontPages   = 5
)

// carries counts what a reader of a packet meets: its steps, and its signal panels
// by what they say.
func carries(p *packet.Packet) (steps int, panels map[string]int) {
	panels = map[string]int{}
	var walk func([]packet.Block)
	walk = func(blocks []packet.Block) {
		for i := range blocks {
			b := &blocks[i]
			if b.Alert != nil {
				says := b.Alert.Text.String()
				for _, line := range b.Alert.Lines {
					says += line.String() + "\n"
				}
				panels[says]++
			}
			if b.Step != nil {
				steps++
				for _, a := range b.Step.Alerts {
					panels[a.Text.String()]++
				}
			}
			walk(b.Keep)
		}
	}
	for i := range p.Sheets {
		walk(p.Sheets[i].Blocks)
	}
	return steps, panels
}

// altered is a site whose site.yaml has other lines in the place of its own.
func altered(t *testing.T, site fs.FS, lines map[string]string) fs.FS {
	t.Helper()
	out := fstest.MapFS{}
	err := fs.WalkDir(site, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(site, path)
		if path == "site.yaml" {
			var kept []string
			for line := range strings.Lines(string(raw)) {
				key, _, _ := strings.Cut(line, ":")
				if value, ok := lines[key]; ok {
					line = key + ": " + value + "\n"
				}
				kept = append(kept, line)
			}
			raw = []byte(strings.Join(kept, ""))
		}
		out[path] = &fstest.MapFile{Data: raw}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestBudget holds every job of the demo site and of the plant that presses on the
// procedures to the budget, on both papers, in every choice of units and in both
// languages.
func TestBudget(t *testing.T) {
	soapworks, err := fs.Sub(samples.FS, "soapworks")
	if err != nil {
		t.Fatal(err)
	}
	for name, site := range map[string]fs.FS{"soapworks": soapworks, "pressing": os.DirFS("../../testdata/plants/pressing")} {
		for _, units := range []string{"metric", "us"} {
			for _, language := range []string{"en", "es"} {
				for _, paper := range []string{"A4", "Letter"} {
					t.Run(strings.Join([]string{name, units, language, paper}, "/"), func(t *testing.T) {
						t.Parallel()
						budget(t, altered(t, site, map[string]string{"units": units, "language": language, "paper": paper}), language)
					})
				}
			}
		}
	}
}

func budget(t *testing.T, site fs.FS, language string) {
	book, problems := record.Load(site, templates.FS, record.Options{})
	library, more := procedure.Load(site, templates.FS, procedure.Options{Figures: figure.Names(), Signs: figure.Names(), Language: language})
	catalogue, even := words.Load(nil, templates.FS, language, nil)
	c, last := compose.New(book, library, catalogue, "jobsheaf test")
	if problems = slices.Concat(problems, more, even, last); problems.HasErrors() {
		t.Fatal(problems)
	}
	run := &front.Run{Program: "jobsheaf test", List: "list", Words: catalogue,
		Look: front.Look{Site: book.Site.Name.S, Paper: book.Site.Paper, Language: language, System: book.Site.Units.First.String()}}
	var jobs []front.Job
	for _, list := range book.Lists {
		all := 0
		for _, job := range list.Jobs {
			p, problems := c.Make(job)
			if p == nil {
				t.Fatal(problems)
			}
			doc, more := layout.Layout(*p)
			if more.HasErrors() {
				t.Fatal(more)
			}
			pages := len(doc.Pages)
			all += pages
			steps, panels := carries(p)
			most := rebuildPages
			plain := p.Paper == "A4" && language == "en"
			jacket := slices.ContainsFunc(p.Needs.Locks, func(l packet.Lock) bool { return l.Energy == "heat" })
			switch reset := strings.HasPrefix(p.Job.Procedure, "reset"); {
			case reset && plain && !jacket:
				most = resetPages
			case reset:
				most = longPages
			case p.Job.Procedure == "rebuild-bracket-bushing" && !plain:
				most = bracketPages
			}
			if pages > most {
				bySheet := map[string]int{}
				for _, pg := range doc.Pages {
					bySheet[pg.Sheet]++
				}
				t.Errorf("%s, %s: %d pages, the budget is %d: %v", p.Job.ID, p.Job.Procedure, pages, most, bySheet)
			}
			if steps > mostSteps {
				t.Errorf("%s: %d steps, the budget is %d", p.Job.ID, steps, mostSteps)
			}
			n := 0
			for text, times := range panels {
				if n += times; times > 1 {
					t.Errorf("%s: %d panels say %q", p.Job.ID, times, text)
				}
			}
			if n > mostPanels {
				t.Errorf("%s: %d panels, the budget is %d", p.Job.ID, n, mostPanels)
			}
			jobs = append(jobs, front.Job{Job: p.Job.ID, Unit: p.Job.Unit, UnitName: p.Job.UnitName, Procedure: p.Job.Procedure, Title: p.Job.Title, Day: p.Job.Day, Crew: p.Job.Crew, Pages: pages, Needs: &p.Needs})
		}
		if all > weekPages {
			t.Errorf("the list %s has %d pages, the budget is %d", list.ID, all, weekPages)
		}
	}
	for f := range front.Weeks(run, jobs, nil, nil) {
		doc, problems := f.LayOut()
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		most := frontPages
		if language != "en" {
			most++
		}
		if n := len(doc.Pages); n > most {
			t.Errorf("the front matter of %s has %d pages, the budget is %d", f.Week, n, most)
		}
	}
}
