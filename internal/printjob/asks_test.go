package printjob

import (
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/page"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// may says what boxes of each kind may ask for.
var may = map[page.BoxKind][]manifest.For{
	page.Tick:  {manifest.ForDone, manifest.ForTick, manifest.ForVerdict, manifest.ForHeld, manifest.ForSupply},
	page.Sign:  {manifest.ForStage, manifest.ForInitial, manifest.ForHold, manifest.ForZero, manifest.ForSign, manifest.ForLockOn, manifest.ForProved, manifest.ForLockOff, manifest.ForNotDone},
	page.Blank: {manifest.ForStage, manifest.ForReading, manifest.ForWords, manifest.ForWhen, manifest.ForHold, manifest.ForZero, manifest.ForSign, manifest.ForLock, manifest.ForNumber, manifest.ForDue, manifest.ForNotDone, manifest.ForMissed},
}

// about are the askings that are about somebody or something, and atStep those that stand
// at a step or stage.
var (
	about  = []manifest.For{manifest.ForVerdict, manifest.ForHold, manifest.ForZero, manifest.ForSign, manifest.ForLock, manifest.ForLockOn, manifest.ForProved, manifest.ForLockOff, manifest.ForNumber, manifest.ForDue, manifest.ForNotDone}
	atStep = []manifest.For{manifest.ForDone, manifest.ForStage, manifest.ForHold}
)

// Every box of every packet that the demo sites can print says what it asks for, and none
// says that it wants words only because nobody thought of it.
func TestEveryBoxAsks(t *testing.T) {
	printed, refused := 0, 0
	seen, free := map[manifest.For]int{}, map[string]bool{}
	for _, dir := range []string{"soapworks", "candleworks-us"} {
		site := os.DirFS("../../samples/" + dir)
		c, book := opened(t, site)
		for _, forms := range []bool{false, true} {
			m := &Maker{Composer: c}
			if forms {
				m.Composer = c.Forms()
			}
			for _, job := range every(c, book, forms) {
				pk, doc, _, _ := m.lay(job, new(layout.Desk))
				if pk == nil {
					refused++ // by its records, or a form that is for units of one sort alone
					continue
				}
				printed++
				places := manifest.From(doc, manifest.Job{})
				asks := 0
				for id := range pk.Asks() {
					_ = id
					asks++
				}
				places.Ask(pk.Asks())
				boxes := 0
				for _, p := range places.Pages {
					for i := range p.Boxes {
						boxes++
						b := &p.Boxes[i]
						what := fmt.Sprintf("%s %s, page %d, %s", job.Unit.S, job.Procedure.S, p.Number, b.ID)
						if b.Ask == nil {
							t.Fatalf("%s: nobody knows what it asks for", what)
						}
						seen[b.Ask.For]++
						if b.Ask.For == manifest.ForWords {
							free[strings.TrimRight(b.Ask.Label, " 0123456789")] = true
						}
						holdAsk(t, what, b, forms)
					}
				}
				if asks != boxes {
					t.Errorf("%s %s: %d boxes, and %d asked for", job.Unit.S, job.Procedure.S, boxes, asks)
				}
				if _, err := places.Encode(); err != nil {
					t.Error(err)
				}
			}
		}
	}
	for _, list := range may {
		for _, f := range list {
			if seen[f] == 0 {
				t.Errorf("no box asks for %s", f)
			}
		}
	}
	if printed < 100 || refused > printed/10 {
		t.Errorf("%d packets, and %d refused", printed, refused)
	}
	t.Log(printed, refused, seen, slices.Sorted(maps.Keys(free)))
}

// holdAsk holds what one box asks for.
func holdAsk(t *testing.T, what string, b *manifest.Box, form bool) {
	a := b.Ask
	if !slices.Contains(may[page.BoxKind(b.Kind)], a.For) {
		t.Errorf("%s: a box to %s asks for %q", what, b.Kind, a.For)
	}
	if a.Label == "" {
		t.Errorf("%s: it has no label", what)
	}
	if slices.Contains(about, a.For) && a.Of == "" {
		t.Errorf("%s: %s of whom or what?", what, a.For)
	}
	if slices.Contains(atStep, a.For) && a.Step == "" {
		t.Errorf("%s: %s of which step?", what, a.For)
	}
	if a.For == manifest.ForReading && !form && a.Step == "" && a.Keep == "" {
		t.Errorf("%s: a reading at no step which no history keeps", what)
	}
	if (a.Low != nil || a.High != nil) && (a.For != manifest.ForReading || a.Limits == "") {
		t.Errorf("%s: it has limits that are not said: %+v", what, a)
	}
	if a.Low != nil && a.High != nil && *a.Low >= *a.High {
		t.Errorf("%s: nothing lies between %v and %v", what, *a.Low, *a.High)
	}
}

func opened(t *testing.T, site fs.FS) (*compose.Composer, *record.Book) {
	t.Helper()
	book, problems := record.Load(site, templates.FS, record.Options{})
	library, more := procedure.Load(site, templates.FS, procedure.Options{Language: book.Site.Language})
	problems = append(problems, more...)
	catalogue, more := words.Load(site, templates.FS, book.Site.Language, nil)
	problems = append(problems, more...)
	c, more := compose.New(book, library, catalogue, "jobsheaf test")
	if problems = append(problems, more...); problems.HasErrors() {
		t.Fatal(problems)
	}
	return c, book
}

// every gives a job for each unit and each procedure that fits it.
func every(c *compose.Composer, book *record.Book, forms bool) []*record.Job {
	library, _ := procedure.Load(nil, templates.FS, procedure.Options{})
	var out []*record.Job
	at := diag.Pos{File: "test", Line: 1, Col: 1}
	text := func(s string) record.Text { return record.Text{S: s, At: at} }
	for _, name := range library.Names() {
		for _, id := range slices.Sorted(maps.Keys(book.Units)) {
			if c.Fits(book.Units[id], name) && (!forms || len(out) < 40) {
				out = append(out, &record.Job{ID: text("K-1"), Unit: text(id), Procedure: text(name), Day: text("2026-12-01"), At: at})
			}
		}
		if forms {
			out = append(out, &record.Job{ID: text("FORM"), Unit: text(compose.AnyUnit), Procedure: text(name), Day: text("2026-12-01"), At: at})
		}
	}
	return out
}
