package scan

import (
	"context"
	"flag"
	"fmt"
	"image"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/testdata/scribble"
)

var (
	whole  = flag.Bool("all", false, "measure over all packets and conditions, and print the table")
	seed   = flag.Uint64("seed", 1, "of the pages that are measured")
	only   = flag.String("only", "", "the one condition to measure")
	sparse = flag.Int("sparse", 1, "with -all: one page of so many")
	jobs   = flag.Int("jobs", 0, "with -all: the first so many jobs of the demo; 0 for all")
)

// tally is what came of the boxes of a condition.
type tally struct {
	name                         string
	pages, named, refused, wrong int // of pages: whose code was read, that were not squared up, taken for another
	boxes                        int // read, and not lost to damage
	marked, blank, ordinary      int // of boxes, by the truth; ordinary: marks that are not hard
	falseBlank, falseMarked      int
	unsure, unsureOrdinary       int
	ruleBlank, ruleMarked        int // errors of the rule of dark pixels
	spent                        time.Duration
}

func (a *tally) add(b tally) {
	a.pages, a.named, a.refused, a.wrong = a.pages+b.pages, a.named+b.named, a.refused+b.refused, a.wrong+b.wrong
	a.boxes, a.marked, a.blank, a.ordinary = a.boxes+b.boxes, a.marked+b.marked, a.blank+b.blank, a.ordinary+b.ordinary
	a.falseBlank, a.falseMarked = a.falseBlank+b.falseBlank, a.falseMarked+b.falseMarked
	a.unsure, a.unsureOrdinary = a.unsure+b.unsure, a.unsureOrdinary+b.unsureOrdinary
	a.ruleBlank, a.ruleMarked, a.spent = a.ruleBlank+b.ruleBlank, a.ruleMarked+b.ruleMarked, a.spent+b.spent
}

// one measures one shot.
func one(s scribble.Shot, m *manifest.Manifest, note func(string)) (t tally) {
	p := &m.Pages[s.Page-1]
	began := time.Now()
	codes := Codes(s.Image, nil)
	t.pages = 1
	if len(codes) != 1 {
		note(fmt.Sprintf("%s page %d, %s: %d codes", m.Job, s.Page, s.Condition, len(codes)))
		return t
	}
	t.named = 1
	if r := codes[0].Ref; r.Job != m.Job || r.Page != s.Page {
		t.wrong = 1
		note(fmt.Sprintf("%s page %d, %s: read as %+v", m.Job, s.Page, s.Condition, r))
		return t
	}
	got, err := Read(s.Image, codes[0], p)
	t.spent = time.Since(began)
	if err != nil {
		t.refused = 1
		note(fmt.Sprintf("%s page %d, %s: %v", m.Job, s.Page, s.Condition, err))
		return t
	}
	for i, truth := range s.Truth {
		if truth.Lost {
			continue
		}
		is := got.Boxes[i].Is
		t.boxes++
		rule := ruleMarks(got.Picture, &p.Boxes[i])
		if is == Unsure {
			t.unsure++
		}
		switch {
		case truth.Marked:
			t.marked++
			if !rule {
				t.ruleBlank++
			}
			if !truth.Hard {
				t.ordinary++
				if is == Unsure {
					t.unsureOrdinary++
				}
			}
			if is == Blank {
				t.falseBlank++
			}
		default:
			t.blank++
			if rule {
				t.ruleMarked++
			}
			if is == Marked {
				t.falseMarked++
			}
		}
		if spy != nil {
			spy(s, got, p, i)
		}
	}
	return t
}

// spy looks on while rates are measured, to find out about errors.
var spy func(s scribble.Shot, got Sheet, p *manifest.Page, i int)

// ruleMarks is the rule of Debian's auto-multiple-choice 1.6.0 by its defaults: of the
// inner 0.8 of a box both ways (box_size_proportion), a share of 0.15 or more (defaut_seuil)
// is darker than 0.6 of white (bw_threshold).
func ruleMarks(g *image.Gray, b *manifest.Box) bool {
	const part, dark, share = 0.8, 0.6 * 255, 0.15
	x0, x1 := float64(b.X+b.W*(1-part)/2)*picturePerMM, float64(b.X+b.W*(1+part)/2)*picturePerMM
	y0, y1 := float64(b.Y+b.H*(1-part)/2)*picturePerMM, float64(b.Y+b.H*(1+part)/2)*picturePerMM
	n, all := 0, 0
	for y := round(y0); y < round(y1); y++ {
		for x := round(x0); x < round(x1); x++ {
			all++
			if float64(g.GrayAt(x, y).Y) < dark {
				n++
			}
		}
	}
	return float64(n) >= share*float64(all)
}

// measure makes pages of packets in conditions, reads them, and gives a tally for each
// condition. pick says which to take, counted from 1.
func measure(t testing.TB, of []*packet, conditions []scribble.Condition, seed uint64, pick func(n int) bool) []tally {
	type task struct {
		packet    *packet
		page      int
		condition int
	}
	tasks := make(chan task)
	all := make([]tally, len(conditions))
	for i, c := range conditions {
		all[i].name = c.Name
	}
	var lock sync.Mutex
	done := 0
	var group sync.WaitGroup
	for range min(2, runtime.NumCPU()) {
		group.Add(1)
		go func() {
			defer group.Done()
			for w := range tasks {
				// Careful people and rough ones, in turn.
				o := scribble.Ordinary
				if (w.page+w.condition)%2 == 1 {
					o = scribble.Rough
				}
				s, err := w.packet.Shoot(context.Background(), w.page, conditions[w.condition], seed, o)
				if err != nil {
					t.Error(err)
					continue
				}
				got := one(s, &w.packet.Manifest, func(say string) {
					if *whole {
						fmt.Fprintln(os.Stderr, say)
					}
				})
				lock.Lock()
				all[w.condition].add(got)
				if done++; *whole && done%200 == 0 {
					fmt.Fprintf(os.Stderr, "%d pages\n%s\n", done, table(all))
				}
				lock.Unlock()
			}
		}()
	}
	n := 0
	for _, p := range of {
		for i := range p.Manifest.Pages {
			for k := range conditions {
				if n++; pick(n) {
					tasks <- task{p, i + 1, k}
				}
			}
		}
	}
	close(tasks)
	group.Wait()
	return all
}

// table sets the tallies out.
func table(all []tally) string {
	var b strings.Builder
	fmt.Fprintln(&b, "| condition | pages | identified | refused | boxes | false blank | false marked | unsure of all | unsure of ordinary marks | rule: false blank | rule: false marked | ms a page |")
	fmt.Fprintln(&b, "|---|---|---|---|---|---|---|---|---|---|---|---|")
	share := func(n, of int) string {
		if of == 0 {
			return "-"
		}
		return fmt.Sprintf("%.1f %%", 100*float64(n)/float64(of))
	}
	for _, t := range all {
		ms := float64(t.spent.Milliseconds()) / float64(max(1, t.named))
		fmt.Fprintf(&b, "| %s | %d | %s | %d | %d | %d | %d | %s | %s | %d | %d | %.0f |\n", t.name, t.pages, share(t.named, t.pages), t.refused, t.boxes,
			t.falseBlank, t.falseMarked, share(t.unsure, t.boxes), share(t.unsureOrdinary, t.ordinary), t.ruleBlank, t.ruleMarked, ms)
	}
	return b.String()
}

// TestRates measures how often boxes are read wrongly. By itself it takes a small part of
// the pages and holds it to bounds; with -all it takes all of them and prints the table:
//
//	go test ./internal/scan -run Rates -all -seed 13 -jobs 6 -v -timeout 2h
func TestRates(t *testing.T) {
	conditions := scribble.Conditions
	if *only != "" {
		c, ok := scribble.Named(*only)
		if !ok {
			t.Fatalf("no condition is called %s", *only)
		}
		conditions = []scribble.Condition{c}
	}
	n, every := *jobs, *sparse
	if !*whole {
		n, every = 1, 14
	}
	all := measure(t, packets(t, n), conditions, *seed, func(n int) bool { return (uint64(n)*0x9E3779B97F4A7C15>>33)%uint64(every) == 0 })
	var sum tally
	for _, a := range all {
		sum.add(a)
	}
	sum.name = "all"
	t.Log("\n" + table(append(all, sum)))
	if sum.wrong > 0 {
		t.Errorf("%d pages were taken for another", sum.wrong)
	}
	if *whole {
		return
	}
	if sum.pages < 30 || sum.boxes < 600 || sum.marked < 350 || sum.blank < 150 {
		t.Errorf("%d pages, %d boxes, %d marked, %d blank: too few to say anything", sum.pages, sum.boxes, sum.marked, sum.blank)
	}
	if sum.named < sum.pages || sum.refused > 0 {
		t.Errorf("of %d pages %d were identified, and %d of them refused", sum.pages, sum.named, sum.refused)
	}
	if sum.falseBlank > 0 || sum.falseMarked > 1 || sum.unsureOrdinary*100 > 6*sum.ordinary {
		t.Errorf("of %d boxes %d are falsely blank, %d falsely marked; %d of %d ordinary marks are unsure", sum.boxes, sum.falseBlank, sum.falseMarked, sum.unsureOrdinary, sum.ordinary)
	}
	if ours, rule := sum.falseBlank+sum.falseMarked, sum.ruleBlank+sum.ruleMarked; ours*20 > rule {
		t.Errorf("%d errors, %d by the rule of dark pixels", ours, rule)
	}
}
