package review

import (
	"bytes"
	"image"
	"strings"
	"testing"

	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/register"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// scanned is the picture of a page at 6 pixels a mm, dark where a box of the sample lies.
func scanned(sum string) *image.Gray {
	if strings.HasSuffix(sum, "5") { // of page 6
		return nil
	}
	g := image.NewGray(image.Rect(0, 0, 1260, 1782))
	for i := range g.Pix {
		g.Pix[i] = 255
	}
	for y := 6 * 100; y < 6*108; y++ {
		for x := 6 * 50; x < 6*60; x++ {
			g.Pix[g.PixOffset(x, y)] = 0
		}
	}
	return g
}

// The page to file says all that was found, in the site's language and on its paper, with
// the pictures that are kept, and is the same every time.
func TestPageToFile(t *testing.T) {
	for language, says := range map[string]string{"en": "Somebody could have been hurt", "es": "Alguien pudo resultar herido"} {
		p := complete()
		for i := range p.Manifest.Pages {
			for k := range p.Manifest.Pages[i].Boxes {
				b := &p.Manifest.Pages[i].Boxes[k]
				b.X, b.Y = 50, 100
			}
		}
		p.blank("isolation.E1.removed", "s1.3.done", "wear.shaft.reuse")
		p.typed("s1.2.smallest", "0.15", "mm", "seen, \u6f22 and well")
		p.decisions = []register.Decision{{Kind: register.Accept, Print: 1, Finding: "lock-E1-off", Why: "seen off", Who: "Planner 1", At: "2026-12-01T09:00:00Z", Holds: true}}
		c, problems := words.Load(nil, templates.FS, language, nil)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		look := Look{Site: "Works", Paper: "Letter", Language: language, Program: "p 1", Words: c}
		var first []byte
		for range 2 {
			doc, problems := p.LayOut(look, p.Findings(today), scanned)
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			var b bytes.Buffer
			if err := pdf.Write(&b, doc); err != nil {
				t.Fatal(err)
			}
			if first == nil {
				first = b.Bytes()
			} else if !bytes.Equal(first, b.Bytes()) {
				t.Error("the same review gives two files")
			}
			all, images := "", 0
			for _, pg := range doc.Pages {
				if images += len(pg.Images); pg.W != 215.9 || len(pg.Codes)+len(pg.Boxes) > 0 {
					t.Errorf("a page of %v mm with %d codes", pg.W, len(pg.Codes))
				}
				for _, s := range pg.Texts {
					all += s.S + "\n"
				}
				for _, m := range pg.Images {
					holdImage(t, pg, m)
				}
			}
			for _, want := range []string{says, "E1", "seen off", "U+6F22", "1.3", map[string]string{"en": "0.15 mm", "es": "0,15 mm"}[language]} {
				if !strings.Contains(all, want) {
					t.Errorf("%s: %q is not on the page:\n%s", language, want, all)
				}
			}
			if images != 3 { // of page 6 no picture is kept
				t.Errorf("%d pictures, want 3", images)
			}
		}
	}
	p := complete()
	c, _ := words.Load(nil, templates.FS, "en", nil)
	doc, problems := p.LayOut(Look{Site: "Works", Paper: "A4", Language: "en", Program: "p 1", Words: c}, p.Findings(today), scanned)
	if len(problems) > 0 || len(doc.Pages) != 1 {
		t.Errorf("of nothing there are %d pages %v", len(doc.Pages), problems)
	}
}

// holdImage holds a picture to its page, and to showing its box.
func holdImage(t *testing.T, pg page.Page, m page.Image) {
	t.Helper()
	if m.X < 10 || m.Y < 10 || m.X+m.W > pg.W-10 || m.Y+m.H > pg.H-10 {
		t.Errorf("a picture lies at %v, %v to %v, %v", m.X, m.Y, m.X+m.W, m.Y+m.H)
	}
	if m.Grey[(m.Rows/2)*m.Columns+m.Columns/2] != 0 || m.Grey[0] != 255 {
		t.Error("a picture does not show its box")
	}
}
