package layout

import (
	"fmt"
	"strings"
	"testing"

	"jobsheaf/internal/packet"

	"pgregory.net/rapid"
)

// long is n characters of running text.
func long(n int) string {
	const lorem = "the bearing housing is turned back until its mark meets the second mark of the casing and is then locked by both face screws equally "
	return strings.TrimSpace(strings.Repeat(lorem, n/len(lorem)+1)[:n])
}

// Blocks of every kind with texts of one and of 2,000 characters, in Greek and
// Cyrillic, and as one word: all of it is printed, and nothing over anything.
func TestAwkwardTexts(t *testing.T) {
	for name, s := range map[string]string{
		"one":      "x",
		"2000":     long(2000),
		"one word": strings.Repeat("w", 300),
		"greek":    "Ρυθμίστε το ακραίο διάκενο ώστε ο άξονας να γυρίζει ελεύθερα με το χέρι",
		"cyrillic": "Установите торцевой зазор так, чтобы вал свободно проворачивался рукой; щит",
		"accents":  "Ångström Éclair Ñandú ÿ ±0.02 mm ≤ 5 µm ≥ 3 Ω ½ ← ↑ ⌀12",
	} {
		for _, paper := range []string{"A4", "Letter"} {
			t.Run(name+"/"+paper, func(t *testing.T) {
				l := string([]rune(s)[:min(160, len([]rune(s)))]) // names and labels are no longer
				b := reading("b", l, "", "", "mm", l)
				b.Target = packet.Say(l)
				p := blankPacket(t, paper, sheet("steps", "Steps",
					packet.Heading{Text: l, Level: 1},
					packet.Para{Text: packet.Say(s)}, packet.Para{Text: packet.Say(s), Small: true},
					packet.Hazard{Signal: "Danger", Liquid: l, Condition: packet.Say(l), Pictograms: []string{"GHS05", "GHS06", "GHS02"}, Statements: []packet.Statement{{Code: "H314", Text: s}}, Source: packet.Say(s)},
					packet.Alert{Signal: "danger", Word: "DANGER", Text: packet.Say(s)},
					packet.Alert{Signal: "notice", Word: "NOTICE", Text: packet.Say(s), Large: true},
					packet.Facts{Columns: 3, Rows: []packet.Fact{{Label: l, Value: packet.Say(s)}, {Label: "x", Value: packet.Say("y")}, {Label: "z", Value: packet.Say(l)}}},
					items(true, "tick", s, s, s), items(false, "", s),
					packet.Table{ID: "t", Title: l, Columns: []packet.Column{{Title: "A", Weight: 1}, {Title: l, Weight: 1}, {Title: "C"}}, Note: packet.Say(s),
						Rows: []packet.Row{{Group: l}, {Cells: []packet.Cell{{Text: packet.Say(s)}, {Text: packet.Phrase{strong(s), plain(" "), key("W1")}}, {Blanks: []packet.Blank{reading("t.b", "", "", "", "mm", "")}}}}}},
					packet.Table{ID: "u", Columns: []packet.Column{{Title: "A", Weight: 1}, {Title: "B", Weight: 1, Right: true}}, Rows: []packet.Row{{Cells: []packet.Cell{{Text: packet.Say(s)}, {Text: packet.Say("12")}}}}},
					packet.Step{ID: "s1", Number: "1.1", Text: packet.Say(s), Only: packet.Say(l), Blanks: []packet.Blank{b}},
					packet.Step{ID: "s2", Number: "1.2", Text: packet.Say("x"), Blanks: []packet.Blank{{ID: "s2.a", Kind: packet.Tick, Label: l}, {ID: "s2.b", Kind: packet.Tick, Label: "no"}}, Hold: &packet.Hold{Role: l, Blanks: signature("s2.hold")}},
					packet.Step{ID: "s3", Number: "1.3", Text: packet.Say(l), How: []packet.Phrase{packet.Say(s), packet.Say(l)}},
					packet.Done{Text: l, Blanks: []packet.Blank{{ID: "done.by", Kind: packet.Initial, Label: "Initials"}, {ID: "done.at", Kind: packet.Words, Label: "Time", Characters: 5}}},
					packet.SignOff{Rows: []packet.SignRow{{Role: l, For: packet.Say(s), Blanks: signature("sign")}}},
					packet.Notes{ID: "n", Title: l, Lines: 40},
				))
				doc, problems := Layout(p)
				for _, d := range problems {
					if d.Rule != "step-parted" { // its blank's captions are out of all measure
						t.Errorf("%v", d)
					}
				}
				inspect(t, doc)
				entries := []packet.Entry{{Key: "W1", Name: l, What: l, Formula: s, At: packet.Place{File: l}, Printed: l, Exactly: s, Governed: s, Sources: []string{s}, Inputs: []packet.Input{{Name: s, Text: s, At: packet.Place{File: s}}}}}
				p.Annex = []packet.Sheet{sheet("working", "Working", packet.Working{At: l, Again: packet.Phrase{plain(s), key("W1")}, Entries: entries}, packet.Index{Rows: []packet.Looked{{Head: l, Text: packet.Say(s)}, {Head: "S1", Text: packet.Say(s)}}})}
				holdAnnex(t, p)
			})
		}
	}
}

// A table of 80 rows breaks between rows; headings and group stand on each page.
func TestLongTable(t *testing.T) {
	tb := packet.Table{ID: "t", Title: "Titles", Columns: []packet.Column{{Title: "Alpha", Weight: 1}, {Title: "Beta"}}}
	for i := range 80 {
		if i%30 == 0 {
			tb.Rows = append(tb.Rows, packet.Row{Group: fmt.Sprintf("group%d", i/30)})
		}
		tb.Rows = append(tb.Rows, packet.Row{Cells: []packet.Cell{{Text: packet.Say(fmt.Sprintf("row%dx", i))}, {Blanks: []packet.Blank{reading(fmt.Sprintf("b%d", i), "", "", "", "mm", "")}}}})
	}
	p := blankPacket(t, "Letter", sheet("numbers", "Numbers", tb))
	doc := lay(t, p)
	inspect(t, doc)
	complete(t, p, doc)
	pages := wordsOn(doc)
	if len(pages) < 4 {
		t.Fatalf("%d pages", len(pages))
	}
	next := 0
	for n, s := range pages {
		if !strings.Contains(s, "Alpha") || !strings.Contains(s, "Titles") {
			t.Errorf("page %d has no headings", n+1)
		}
		if c := strings.Count(s, "continued"); n > 0 && c < 2 {
			t.Errorf("page %d does not say that its table goes on: %s", n+1, s)
		}
		if strings.LastIndex(s, "group") > strings.LastIndex(s, "row") {
			t.Errorf("page %d ends with the band of a group", n+1)
		}
		if want := fmt.Sprintf("group%d", next/30); next < 80 && !strings.Contains(s, want) {
			t.Errorf("page %d does not name the group %s", n+1, want)
		}
		for ; next < 80 && strings.Contains(s, fmt.Sprintf("row%dx", next)); next++ {
		}
	}
	if next != 80 {
		t.Errorf("row %d is missing or out of order", next)
	}
}

// A stage of 60 steps: no step is parted from its alert, blank, figure or hold.
func TestLongStage(t *testing.T) {
	var blocks []any
	blocks = append(blocks, packet.Heading{Text: "stage", Level: 1})
	for i := range 60 {
		s := packet.Step{ID: fmt.Sprintf("s%d", i), Number: fmt.Sprintf("1.%d", i+1), Text: packet.Say(fmt.Sprintf("action%dx %s", i, long(20+i*7%200)))}
		if i%3 == 0 {
			s.Alerts = []packet.Alert{{Signal: "caution", Word: "CAUTION", Text: packet.Say(fmt.Sprintf("alert%dx", i))}}
		}
		for k := range i % 6 {
			s.Blanks = append(s.Blanks, reading(fmt.Sprintf("s%d.b%d", i, k), "reading", "1 to 2 mm", "W1", "mm", "rule"))
		}
		if i%10 == 9 {
			s.Hold = &packet.Hold{Role: "second person", Blanks: signature(s.ID + ".hold")}
		}
		blocks = append(blocks, s)
	}
	p := blankPacket(t, "A4", sheet("steps", "Steps", blocks...))
	doc := lay(t, p)
	inspect(t, doc)
	complete(t, p, doc)
	for n, s := range wordsOn(doc) {
		for _, b := range doc.Pages[n].Boxes {
			if id, _, ok := strings.Cut(b.ID, "."); ok && strings.HasPrefix(id, "s") {
				i := strings.TrimPrefix(id, "s")
				if !strings.Contains(s, "action"+i+"x") {
					t.Errorf("page %d has the box %s without its step", n+1, b.ID)
				}
			}
		}
		for i := range 60 {
			if strings.Contains(s, fmt.Sprintf("alert%dx", i)) && !strings.Contains(s, fmt.Sprintf("action%dx", i)) {
				t.Errorf("page %d has the alert of step %d without the step", n+1, i)
			}
		}
	}
}

// Whatever the blocks: each block's text is printed once and in order, no page is
// empty, headings are not last on a page, groups that fit a page stay whole.
func TestPagination(t *testing.T) {
	english := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		count := 0
		mark := func() string { count++; return fmt.Sprintf("q%dq", count) }
		text := func() string {
			return mark() + " " + long(rapid.IntRange(1, 400).Draw(t, "length"))
		}
		blank := func() packet.Blank {
			kinds := []packet.BlankKind{packet.Reading, packet.Words, packet.Initial, packet.Sign, packet.When, packet.Tick}
			count++
			return packet.Blank{ID: fmt.Sprintf("b%d", count), Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Label: "label", Unit: "mm", Characters: rapid.IntRange(0, 8).Draw(t, "characters")}
		}
		blanks := func(most int) (bs []packet.Blank) {
			for range rapid.IntRange(0, most).Draw(t, "blanks") {
				bs = append(bs, blank())
			}
			return bs
		}
		var heads, groups [][2]string // a heading and what follows it; the ends of a group
		var draw func(depth int) packet.Block
		draw = func(depth int) packet.Block {
			switch k := rapid.IntRange(0, 9).Draw(t, "block"); k {
			case 0, 1:
				return block(packet.Para{Text: packet.Say(text()), Small: k == 1})
			case 2:
				return block(packet.Alert{Signal: "warning", Word: "WARNING", Text: packet.Say(text())})
			case 3:
				return block(packet.List{Items: []packet.ListItem{{Text: packet.Say(text())}, {Text: packet.Say(text())}}})
			case 4:
				tb := packet.Table{Columns: []packet.Column{{Title: "A", Weight: 1}, {Title: "B", Weight: 2}, {Title: "C"}}}
				for range rapid.IntRange(1, 25).Draw(t, "rows") {
					tb.Rows = append(tb.Rows, packet.Row{Cells: []packet.Cell{{Text: packet.Say(mark())}, {Text: packet.Say(text())}, {Blanks: blanks(2)}}})
				}
				return block(tb)
			case 5, 6, 7:
				count++
				s := packet.Step{ID: fmt.Sprintf("s%d", count), Number: "1.1"}
				if k == 5 {
					s.Alerts = []packet.Alert{{Signal: "danger", Word: "DANGER", Text: packet.Say(text())}}
				}
				s.Text, s.Blanks = packet.Say(text()), blanks(5)
				if k == 7 {
					s.Hold = &packet.Hold{Role: mark(), Blanks: signature(s.ID)}
				}
				return block(s)
			case 8:
				f := packet.Facts{Columns: rapid.IntRange(1, 4).Draw(t, "columns")}
				for range rapid.IntRange(1, 9).Draw(t, "facts") {
					f.Rows = append(f.Rows, packet.Fact{Label: "fact", Value: packet.Say(mark())})
				}
				return block(f)
			default:
				if depth > 0 {
					return block(packet.Para{Text: packet.Say(text())})
				}
				first := fmt.Sprintf("q%dq", count+1)
				var keep []packet.Block
				for range rapid.IntRange(1, 4).Draw(t, "kept") {
					keep = append(keep, block(packet.Para{Text: packet.Say(text())}))
				}
				groups = append(groups, [2]string{first, fmt.Sprintf("q%dq", count)})
				return block(keep)
			}
		}
		s := packet.Sheet{ID: "steps", Title: "Steps"}
		for range rapid.IntRange(1, 25).Draw(t, "blocks") {
			if rapid.Bool().Draw(t, "heading") {
				m := mark()
				s.Blocks = append(s.Blocks, block(packet.Heading{Text: m, Level: 1}))
				heads = append(heads, [2]string{m, fmt.Sprintf("q%dq", count+1)})
			}
			s.Blocks = append(s.Blocks, draw(0))
		}
		p := packet.Packet{Job: packet.Job{ID: "K-1", Unit: "P", UnitName: "x", Title: "y", Revision: "1", Day: "2026-11-30"},
			Fingerprint: "7F3A91C2", Paper: rapid.SampledFrom([]string{"A4", "Letter"}).Draw(t, "paper"), Language: "en", Words: english, Sheets: []packet.Sheet{s}}
		doc, problems := Layout(p)
		if len(problems) > 0 {
			t.Fatalf("%v", problems)
		}
		inspect(t, doc)
		on, at := map[string]int{}, -1
		all := wordsOn(doc)
		last := 0
		for n, w := range all {
			at = -1
			for i := last + 1; i <= count; i++ {
				k := strings.Index(w, fmt.Sprintf("q%dq", i))
				if k < 0 {
					continue
				}
				if k < at {
					t.Fatalf("q%dq stands out of order on page %d", i, n+1)
				}
				on[fmt.Sprintf("q%dq", i)], at, last = n, k, i
			}
		}
		joined := strings.Join(all, "")
		for i := 1; i <= count; i++ {
			m := fmt.Sprintf("q%dq", i)
			if n := strings.Count(joined, m); n > 1 {
				t.Fatalf("%s is printed %d times", m, n)
			} else if _, ok := on[m]; n == 1 && !ok {
				t.Fatalf("%s is printed out of order", m)
			}
		}
		boxes := blanksOf(p)
		for _, pg := range doc.Pages {
			for _, b := range pg.Boxes {
				delete(boxes, b.ID)
			}
		}
		if len(boxes) > 0 {
			t.Fatalf("boxes are missing: %v", boxes)
		}
		for _, h := range heads {
			next, ok := on[h[1]]
			if here := on[h[0]]; ok && here != next {
				t.Fatalf("the heading %s stands at the foot of page %d", h[0], here+1)
			}
		}
		for _, g := range groups {
			if on[g[0]] != on[g[1]] {
				t.Fatalf("the group %v is parted", g)
			}
		}
	})
}
