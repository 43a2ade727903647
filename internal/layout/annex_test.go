package layout

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// inspectAnnex holds an annex against the rules of its pages: nothing is scanned or
// written on there, nothing is smaller than 7.9 pt or lies over something else, and every
// page says which of how many it is, of which job and fingerprint.
func inspectAnnex(t reporter, p packet.Packet, doc page.Doc) {
	t.Helper()
	for n, pg := range doc.Pages {
		fault := func(format string, args ...any) {
			t.Helper()
			t.Errorf("annex page %d (%s): %s", n+1, pg.Sheet, fmt.Sprintf(format, args...))
		}
		if len(pg.Codes) > 0 || len(pg.Boxes) > 0 || pg.Marks != ([4][2]float64{}) {
			fault("it has %d codes, %d boxes, marks at %v", len(pg.Codes), len(pg.Boxes), pg.Marks)
		}
		said := map[string]bool{}
		for i, x := range pg.Texts {
			said[x.S] = true
			a := textArea(x)
			if !(area{marginLeft, 6, pg.W - marginRight, pg.H - 5}).holds(a) {
				fault("%q stands at %v, outside the margins", x.S, a)
			}
			if x.Size < sizeAnnex {
				fault("%q is set in %.1f pt", x.S, x.Size)
			}
			for _, y := range pg.Texts[i+1:] {
				if a.meets(textArea(y)) {
					fault("%q lies over %q", x.S, y.S)
				}
			}
		}
		for _, want := range []string{fmt.Sprintf("Annex page %d of %d", n+1, len(doc.Pages)), p.Fingerprint, p.Job.ID + " · " + p.Job.Unit} {
			if p.Language == "en" && !said[want] {
				fault("it does not say %q", want)
			}
		}
	}
}

func TestAnnex(t *testing.T) {
	for _, paper := range paperNames(t) {
		t.Run(paper, func(t *testing.T) {
			p := example(t, paper)
			doc, problems := Annex(p)
			for _, d := range problems {
				t.Errorf("%v", d)
			}
			inspectAnnex(t, p, doc)
			if again, _ := Annex(p); !reflect.DeepEqual(doc, again) {
				t.Error("the same packet gave another annex")
			}
			said := strings.Join(wordsOn(doc), "")
			for _, w := range []string{"W1Mark-to-marktravel", "W60Mark-to-marktravel", "Step5.1", "22.0mmW1·60°CW2", "W15Breakawaytorque", "S20", "12kg"} {
				if !strings.Contains(said, w) {
					t.Errorf("it does not say %q", w)
				}
			}
			head, foot := false, false
			for _, x := range doc.Pages[0].Texts {
				head = head || strings.HasPrefix(x.S, "Working  W1 – W")
				foot = foot || strings.HasPrefix(x.S, "Cover\u00a01 · Steps\u00a01–") && strings.HasSuffix(x.S, fmt.Sprint("A\u00a0wide\u00a0table\u00a0", len(doc.Pages)))
			}
			if !head || !foot {
				t.Errorf("the head says which entries the page has: %t; the foot says where each sheet is: %t", head, foot)
			}
			var titles []string
			for _, m := range doc.Outline {
				titles = append(titles, fmt.Sprint(m.Level, " ", m.Title))
			}
			if got, want := strings.Join(titles, ", "), "0 Working, 1 Cover, 1 Steps, 0 Sources, 0 A wide table"; got != want {
				t.Errorf("its bookmarks are %s, want %s", got, want)
			}
			pages := len(doc.Pages)
			if w := doc.Pages[pages-1]; w.Title != "A wide table" || doc.Pages[pages-2].Title == w.Title {
				t.Errorf("the table that takes the whole width stands on %q, behind %q", w.Title, doc.Pages[pages-2].Title)
			}
		})
	}
}

// A packet without an annex gives the document without its pages, by which a file of it
// is known; it is not that of the packet.
func TestAnnexWithoutSheets(t *testing.T) {
	p := example(t, "A4")
	p.Annex = nil
	doc, problems := Annex(p)
	own := lay(t, p)
	if len(problems) > 0 || len(doc.Pages) > 0 || doc.ID == own.ID || doc.Created != own.Created {
		t.Errorf("%d pages, ID %q beside %q: %v", len(doc.Pages), doc.ID, own.ID, problems)
	}
	p.Annex = []packet.Sheet{{ID: "working", Title: "Working"}}
	if doc, problems := Annex(p); len(doc.Pages) != 0 || !has(problems, "empty-sheet") {
		t.Errorf("a sheet that says nothing gives %d pages: %v", len(doc.Pages), problems)
	}
	p.Paper = "Napkin"
	if _, problems := Annex(p); !has(problems, "unknown-paper") {
		t.Errorf("a paper that nobody makes: %v", problems)
	}
}

// holdAnnex lays the annex of a packet out and holds it against the rules of its pages.
func holdAnnex(t *testing.T, p packet.Packet) {
	t.Helper()
	doc, problems := Annex(p)
	for _, d := range problems {
		if d.Severity == diag.Error {
			t.Errorf("%v", d)
		}
	}
	if len(doc.Pages) == 0 {
		t.Error("it has no pages")
	}
	inspectAnnex(t, p, doc)
}
