package layout

import (
	"fmt"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// many is a list of items of a line or two each.
func many(n int) packet.List {
	var texts []string
	for i := range n {
		texts = append(texts, fmt.Sprintf("%d %s", i, strings.Repeat("hook spanner ", 2+i%4)))
	}
	return items(true, "tool", texts...)
}

// A sheet that would take more pages than it may is set more closely; one that may not
// be is left as it is.
func TestASheetIsSetToItsPages(t *testing.T) {
	for _, n := range []int{20, 60, 66} {
		s := sheet("job", "Job sheet", many(n))
		loose := len(lay(t, blankPacket(t, "A4", s)).Pages)
		s.Pages = 1
		p := blankPacket(t, "A4", s)
		doc := lay(t, p)
		if len(doc.Pages) != 1 || loose < 2 && n > 20 {
			t.Errorf("%d items take %d pages, and %d where nothing is asked", n, len(doc.Pages), loose)
		}
		inspect(t, doc)
		complete(t, p, doc)
	}
	s := sheet("job", "Job sheet", many(400))
	s.Pages = 1
	p := blankPacket(t, "A4", s)
	doc := lay(t, p)
	if len(doc.Pages) < 2 {
		t.Error("400 items stand on a page")
	}
	complete(t, p, doc)
}

// A sheet that is hung up or cut out begins a leaf, whose other side has no part of the
// sheet before it; the side left blank says so.
func TestASheetBeginsALeaf(t *testing.T) {
	one, card := sheet("steps", "Steps", packet.Para{Text: packet.Say("Look.")}), sheet("card", "Card", packet.Para{Text: packet.Say("85 N·m")})
	card.Front = true
	for _, c := range []struct {
		sheets []packet.Sheet
		want   string
	}{
		{[]packet.Sheet{card, one}, "card steps"},
		{[]packet.Sheet{one, card, one}, "steps card card steps"},
		{[]packet.Sheet{one, one, card}, "steps steps card"},
	} {
		doc := lay(t, blankPacket(t, "Letter", c.sheets...))
		inspect(t, doc)
		var got []string
		for _, p := range doc.Pages {
			got = append(got, p.Sheet)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("the pages are %q, want %q", got, c.want)
		}
		for n, p := range doc.Pages {
			blank := n+1 < len(got) && p.Sheet == "card" && got[n+1] == "card"
			if said := strings.Contains(wordsOn(doc)[n], "leftblank"); said != blank {
				t.Errorf("page %d of %q says that it is blank: %v", n+1, c.want, said)
			}
		}
	}
}

// at gives the page and the place of a text.
func at(t *testing.T, doc page.Doc, s string) (n int, x, y float64) {
	t.Helper()
	for n, p := range doc.Pages {
		for _, text := range p.Texts {
			if text.S == s {
				return n + 1, text.X, text.Y
			}
		}
	}
	t.Fatalf("%q stands nowhere", s)
	return
}

// Blocks stand side by side, and a heading that says so begins a page.
func TestBlocksSideBySide(t *testing.T) {
	s := sheet("job", "Job sheet")
	turn := packet.Heading{Text: "Back", Level: 2, Turn: true}
	s.Blocks = []packet.Block{
		{Beside: &packet.Beside{Left: []packet.Block{block(items(false, "", "left"))}, Right: []packet.Block{block(items(false, "", "right"))}, Share: 0.6}},
		block(packet.Para{Text: packet.Say("below")}), block(turn), block(packet.Para{Text: packet.Say("behind")}),
	}
	doc := lay(t, blankPacket(t, "A4", s))
	inspect(t, doc)
	_, lx, ly := at(t, doc, "left")
	_, rx, ry := at(t, doc, "right")
	if _, _, y := at(t, doc, "below"); ly != ry || rx-lx < 100 || y <= ly {
		t.Errorf("left stands at %.1f, %.1f, right at %.1f, %.1f, and what is below at %.1f", lx, ly, rx, ry, y)
	}
	if n, _, _ := at(t, doc, "behind"); n != 2 || len(doc.Pages) != 2 {
		t.Errorf("what begins a page stands on page %d of %d", n, len(doc.Pages))
	}
	// What is higher than a page stands one below the other.
	s.Blocks = []packet.Block{{Beside: &packet.Beside{Left: []packet.Block{block(many(200))}, Right: []packet.Block{block(packet.Para{Text: packet.Say("right")})}}}}
	p := blankPacket(t, "A4", s)
	complete(t, p, lay(t, p))
}
