package layout

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/record"
)

// The steps of every job of the demo, on both common papers and in both languages, are
// packed: no page of the run is below half full but the last, none ends with a heading
// and a single step, and the order of steps is that of the packet.
func TestStepsArePacked(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		book, composer := composerOf(t, "metric", language, func(*record.Book) {})
		for _, job := range book.Lists["week-49"].Jobs {
			p, problems := composer.Make(job)
			if p == nil {
				t.Fatal(problems)
			}
			stages := map[string]int{} // steps by stage
			for _, s := range p.Sheets {
				for _, b := range s.Blocks {
					if b.Step != nil {
						stages[stageOf(b.Step.Number)]++
					}
				}
			}
			for _, p.Paper = range []string{"A4", "Letter"} {
				var pages []page.Page
				for _, pg := range lay(t, *p).Pages {
					if len(lastSteps(pg)) > 0 { // those of a short job begin on its job sheet
						pages = append(pages, pg)
					}
				}
				at := fmt.Sprintf("%s, %s, %s", language, p.Paper, p.Job.ID)
				stepsInOrder(t, at, pages)
				for n, pg := range pages {
					if full := fill(pg); n < len(pages)-1 && full < 0.5 {
						t.Errorf("%s: page %d of the steps is %.0f %% full", at, n+1, 100*full)
					}
					last := lastSteps(pg)
					if k := len(last); k > 0 && n < len(pages)-1 && last[k-1] == stageOf(last[k-1])+".1" && stages[stageOf(last[k-1])] > 1 {
						t.Errorf("%s: page %d of the steps ends with the heading of stage %s and its first step", at, n+1, stageOf(last[k-1]))
					}
				}
			}
		}
	}
}

func stageOf(step string) string {
	stage, _, _ := strings.Cut(step, ".")
	return stage
}

// lastSteps are the numbers of a page's steps, in order.
func lastSteps(p page.Page) (out []string) {
	for _, b := range p.Boxes {
		if id, ok := strings.CutSuffix(strings.TrimPrefix(b.ID, "s"), ".done"); ok && b.Kind == page.Tick {
			out = append(out, id)
		}
	}
	return out
}

// fill is how much of a page's two columns is used, by the lowest ink of each.
func fill(p page.Page) float64 {
	low := [2]float64{bodyTop, bodyTop}
	note := func(x, y float64) {
		if y < p.H-bodyFoot+0.1 && y > bodyTop {
			side := 0
			if x > p.W/2 {
				side = 1
			}
			low[side] = max(low[side], y)
		}
	}
	for _, x := range p.Texts {
		note(x.X, x.Y)
	}
	for _, b := range p.Boxes {
		note(b.X, b.Y+b.H)
	}
	return (low[0] + low[1] - 2*bodyTop) / 2 / (p.H - bodyTop - bodyFoot)
}

func stepsInOrder(t *testing.T, at string, pages []page.Page) {
	t.Helper()
	stage, step := 0, 0
	for _, p := range pages {
		x, y := 0.0, 0.0
		for _, b := range p.Boxes {
			id, ok := strings.CutSuffix(strings.TrimPrefix(b.ID, "s"), ".done")
			if !ok || b.Kind != page.Tick {
				continue
			}
			var i, k int
			if _, err := fmt.Sscanf(id, "%d.%d", &i, &k); err != nil {
				t.Fatal(id, err)
			}
			if !(i == stage && k == step+1 || i == stage+1 && k == 1) {
				t.Errorf("%s: step %s follows step %d.%d", at, id, stage, step)
			}
			if b.X < x-1 || math.Abs(b.X-x) < 1 && b.Y < y {
				t.Errorf("%s: step %s stands before the step above it", at, id)
			}
			stage, step, x, y = i, k, b.X, b.Y
		}
	}
}

// A drawing that has no room below its step stands at the head of the next column, and
// both places say so; one that has room says nothing.
func TestDrawingInNextColumn(t *testing.T) {
	const of, next = "Drawingforstep2.1", "Drawing:attheheadofthenextcolumn"
	wait := func(n string) packet.Step {
		return packet.Step{ID: "s" + n, Number: n, Text: packet.Say("Wait.")}
	}
	parted := 0
	for before := 18; before < 26; before++ {
		for after := 14; after < 24; after++ {
			var blocks []any
			for i := range before {
				blocks = append(blocks, wait(fmt.Sprintf("1.%d", i+1)))
			}
			blocks = append(blocks, packet.Step{ID: "s2.1", Number: "2.1", Text: packet.Say("Turn the cap. " + long(380)),
				Figure: []packet.Figure{{Name: "relief-valve", Texts: map[string]string{"side": "left", "place": "on-head"}}}})
			for i := range after {
				blocks = append(blocks, wait(fmt.Sprintf("2.%d", i+2)))
			}
			doc := lay(t, blankPacket(t, "A4", sheet("steps", "Steps", blocks...)))
			inspect(t, doc)
			words := strings.Join(wordsOn(doc), " ")
			column := func(is func(string) bool) (page int, right bool) {
				for n, p := range doc.Pages {
					for _, x := range p.Texts {
						if is(x.S) {
							return n, x.X > p.W/2
						}
					}
				}
				t.Fatal("a text is missing")
				return 0, false
			}
			page1, right1 := column(func(s string) bool { return strings.Contains(s, "Turn the cap.") })
			page2, right2 := column(func(s string) bool { return s == "Discharge" })
			apart := page1 != page2 || right1 != right2
			want := 0
			if apart {
				parted++
				want = 1
			}
			if strings.Count(words, of) != want || strings.Count(words, next) != want {
				t.Errorf("%d steps before and %d after: parted %t, announced %d times at the drawing and %d times at its step", before, after, apart, strings.Count(words, of), strings.Count(words, next))
			}
		}
	}
	if parted == 0 {
		t.Error("no drawing was parted from its step")
	}
}

// boxesOf lays one step out in a column and gives its boxes by name.
func boxesOf(t *testing.T, s packet.Step) (map[string]page.Box, string) {
	t.Helper()
	s.ID, s.Number = "s1.1", "1.1"
	doc := lay(t, blankPacket(t, "A4", sheet("steps", "Steps", s)))
	inspect(t, doc)
	out := map[string]page.Box{}
	for _, b := range doc.Pages[0].Boxes {
		out[b.ID] = b
	}
	return out, wordsOn(doc)[0]
}

// Readings that are held to the same stand in one row, and their limit once above them.
func TestReadingsInARow(t *testing.T) {
	var bs []packet.Blank
	for _, id := range []string{"a", "b", "c"} {
		b := reading(id, strings.ToUpper(id), "0.10 to 0.14 mm", "", "mm", "feeler gauge")
		b.Characters = 5
		bs = append(bs, b)
	}
	boxes, words := boxesOf(t, packet.Step{Text: packet.Say("Gauge it three times."), Blanks: bs})
	if boxes["a"].Y != boxes["b"].Y || boxes["b"].Y != boxes["c"].Y || !(boxes["a"].X < boxes["b"].X && boxes["b"].X < boxes["c"].X) {
		t.Errorf("A, B and C do not stand in one row: %v", boxes)
	}
	if n := strings.Count(words, "0.10to0.14mm"); n != 1 {
		t.Errorf("the limit is said %d times", n)
	}
	// Of different limits each keeps its own, at its box.
	_, words = boxesOf(t, packet.Step{Text: packet.Say("Gauge it."), Blanks: []packet.Blank{
		reading("a", "A", "0.10 mm", "", "mm", "feeler gauge"), reading("b", "B", "0.20 mm", "", "mm", "feeler gauge")}})
	if !strings.Contains(words, "0.10mm") || !strings.Contains(words, "0.20mm") || strings.Count(words, "feelergauge") != 1 {
		t.Errorf("readings with limits of their own say %q", words)
	}
}

// A tick box stands behind its step's text, and a hold point's boxes in one row.
func TestCompactPieces(t *testing.T) {
	boxes, _ := boxesOf(t, packet.Step{Text: packet.Say("Turn it by hand."), Blanks: []packet.Blank{{ID: "free", Kind: packet.Tick, Label: "Free"}},
		Hold: &packet.Hold{Role: "second person", Blanks: signature("hold")}})
	if math.Abs(boxes["free"].Y-boxes["s1.1.done"].Y) > 1 {
		t.Errorf("the tick box does not stand on the line of the step: %v", boxes)
	}
	if boxes["hold.name"].Y != boxes["hold.sign"].Y || boxes["hold.sign"].Y != boxes["hold.when"].Y {
		t.Errorf("the hold point's boxes do not stand in one row: %v", boxes)
	}
	// A unit that the target does not say stays in its box, however narrow the row.
	boxes, _ = boxesOf(t, packet.Step{Text: packet.Say("Read both gauges."), Blanks: []packet.Blank{reading("a", "Suction", "", "", "bar(g)", ""), reading("b", "Discharge", "", "", "bar(g)", "")}})
	for _, id := range []string{"a", "b"} {
		if len(boxes[id].Printed) != 1 || boxes[id].Printed[0].Text != "bar(g)" {
			t.Errorf("the box %s has %v printed in it", id, boxes[id].Printed)
		}
	}
}

// A decimal number is bold in running text too, with its unit, and nothing else of it.
func TestDecimalsAreBold(t *testing.T) {
	doc := lay(t, blankPacket(t, "A4", sheet("steps", "Steps", packet.Step{ID: "s1", Number: "1.1", Text: packet.Say("Stop at 0.5 bar (7.25 psi), at the bearing of 15 x 35 x 15.9 mm and step 9.6: wait.")})))
	inspect(t, doc)
	bold := ""
	for _, x := range doc.Pages[0].Texts {
		if x.Face == page.Bold && x.Size == sizeBody {
			bold += x.S + "|"
		}
	}
	if want := "1.1|0.5 bar|7.25 psi|15.9 mm|9.6|"; bold != want {
		t.Errorf("bold is %q, want %q", bold, want)
	}
}
