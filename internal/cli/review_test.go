package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/internal/review"
)

// filled is a demo site whose week was printed into its register, and of which packets can
// come back.
type filled struct {
	t    *testing.T
	site string
	r    *register.Register
	n    int // papers so far
}

var onPaper = register.By{Who: "Planner 1", At: time.Date(2026, 12, 7, 9, 0, 0, 0, time.UTC)}

func newFilled(t *testing.T) *filled {
	t.Helper()
	f := &filled{t: t, site: t.TempDir()}
	demo(t, "soapworks").write(t, f.site)
	f.print()
	r, err := register.Open(t.Context(), filepath.Join(f.site, register.FileName))
	must(t, err)
	t.Cleanup(func() { r.Close() })
	f.r = r
	return f
}

func (f *filled) print() {
	f.t.Helper()
	if got := jobsheaf("week", "week-49", "--site", f.site, "--out", f.t.TempDir(), "--no-register=false", "--quiet", "--who", "Planner 1"); got.code != exitDone {
		f.t.Fatal(got.err)
	}
}

// stays is what a careful crew leaves blank.
func stays(b *manifest.Box) bool {
	a := b.Ask
	switch a.For {
	case manifest.ForNotDone, manifest.ForMissed, manifest.ForWords:
		return true
	case manifest.ForVerdict:
		return strings.HasSuffix(b.ID, ".replace")
	case manifest.ForReading:
		return strings.HasSuffix(b.ID, ".as-left")
	case manifest.ForLock, manifest.ForLockOn, manifest.ForProved, manifest.ForLockOff:
		return strings.HasPrefix(b.ID, "locks.") || strings.HasPrefix(b.ID, "isolation.more")
	}
	return false
}

// back lets the newest print of a job come back filled in and typed in; of a box that change
// knows, its mark and text are as it says.
func (f *filled) back(job string, change map[string]string) {
	f.t.Helper()
	ctx := f.t.Context()
	prints, err := f.r.Prints(ctx, job)
	must(f.t, err)
	f.backOf(ctx, prints[len(prints)-1], change)
}

func (f *filled) backOf(ctx context.Context, print register.Printed, change map[string]string) {
	f.t.Helper()
	raw, err := f.r.Manifest(ctx, print)
	must(f.t, err)
	m, err := manifest.Decode(raw)
	must(f.t, err)
	used := map[string]bool{}
	for i := range m.Pages {
		p := &m.Pages[i]
		if _, gone := change[fmt.Sprint("page ", p.Number)]; gone {
			used[fmt.Sprint("page ", p.Number)] = true
			continue
		}
		f.n++
		paper := register.Paper{State: register.Placed, Scan: fmt.Sprintf("%064x", print.Event), File: m.Job + ".pdf", At: i + 1, Code: p.Codes[0].Text, Print: print.Event, Page: p.Number, Picture: fmt.Sprintf("%064x", f.n)}
		var typed []register.Reading
		for k := range p.Boxes {
			b := &p.Boxes[k]
			is, text := register.Marked, ""
			switch b.Ask.For {
			case manifest.ForReading:
				text = within(b.Ask)
			case manifest.ForDue:
				text = "2027-03-01"
			}
			if stays(b) {
				is, text = register.Blank, ""
			}
			if c, ok := change[b.ID]; ok {
				used[b.ID] = true
				if is, text = register.Marked, c; c == "blank" {
					is, text = register.Blank, ""
				}
			}
			paper.Boxes = append(paper.Boxes, register.Box{ID: b.ID, Is: is, Keep: b.Ask.Keep})
			if text != "" && text != "marked" {
				text, why, _ := strings.Cut(text, "; ")
				r := register.Reading{Print: print.Event, Box: b.ID, Text: text, Why: why, Keep: b.Ask.Keep, Page: p.Number}
				if b.Ask.For == manifest.ForReading {
					r.Value, r.Unit, r.Low, r.High = text, b.Ask.Unit, b.Ask.Low, b.Ask.High
				}
				typed = append(typed, r)
			}
		}
		entered, _, err := f.r.See(ctx, onPaper, paper)
		must(f.t, err)
		for k := range typed {
			typed[k].Paper = entered.Event
		}
		_, err = f.r.Type(ctx, onPaper, typed...)
		must(f.t, err)
	}
	for id := range change {
		if !used[id] {
			f.t.Fatalf("job %s has no %s", m.Job, id)
		}
	}
}

// within gives a number within the limits of a reading.
func within(a *manifest.Ask) string {
	for _, end := range []*float64{a.Low, a.High} {
		if end != nil {
			return fmt.Sprint(*end)
		}
	}
	return "1"
}

func (f *filled) run(want int, args ...string) outcome {
	f.t.Helper()
	got := jobsheaf(append(args, "--site", f.site)...)
	if got.code != want {
		f.t.Fatalf("%v: exit code %d, want %d\n%s%s", args, got.code, want, got.out, got.err)
	}
	return got
}

// Every packet of the demo's week that came back complete has nothing to be found, and can
// be closed.
func TestReviewOfCompletePackets(t *testing.T) {
	f := newFilled(t)
	var jobs []register.Job
	must(t, f.r.Jobs(t.Context(), register.Query{}, func(j register.Job) error { jobs = append(jobs, j); return nil }))
	for _, j := range jobs {
		f.back(j.ID, nil)
		if got := jobsheaf("review", j.ID, "--site", f.site); got.code != exitDone || strings.Contains(got.out, "\n ") {
			t.Errorf("%s: %d\n%s%s", j.ID, got.code, got.out, got.err)
		}
	}
}

// The ten questions of the README are answered by the commands that stand there.
func TestTenQuestions(t *testing.T) {
	f := newFilled(t)
	head := strings.TrimSpace(f.run(exitDone, "register", "verify").out)
	f.back("K-24817", map[string]string{
		"isolation.V1.removed": "blank", "s10.4.hold.sign": "blank", "instrument.feeler-gauge.due": "2026-10-01", "instrument.feeler-gauge.number": "FG-3",
		"s10.4.largest": "0.15; the engineer accepts it until March", "signoff.second.sign": "blank",
		"signoff.not-done.1.step": "12.14", "signoff.not-done.1.why": "it was a holiday", "signoff.not-done.1.by": "AB", "s12.14.done": "blank",
	})
	f.back("K-24818", map[string]string{"page 6": "", "s1.4.done": "blank"})
	f.reprint("K-24831")
	f.backOf(t.Context(), f.printsOf("K-24831")[0], nil)
	f.correct("K-24817", "s10.4.largest", "0.14")
	f.back("K-24820", map[string]string{"signoff.second.sign": "blank"}) // of December

	answers := []struct {
		code  int
		want  []string
		never []string
	}{
		{exitRefused, []string{"K-24817  P-214  page 16, Second person: no signature [sign-second-unsigned]"}, []string{"K-24820", "K-24818", "K-24831"}},
		{exitDone, []string{"K-24817  P-214  page 12, step 10.4, Largest: 0.14 mm; target 0.11 mm, 0.09 to 0.13 mm [limit-s10.4.largest=0.14] let through by Planner 2, 2026-12-08: read again"}, []string{"K-24818"}},
		{exitRefused, []string{"K-24818  P-231  page 6", "it has not come back [missing-6]", "K-24835  D-902  nothing has come back"}, []string{"K-24817", "K-24831"}},
		{exitRefused, []string{"K-24831  P-701  the pages that came back are of print 1 of 2", "[print-older-2]"}, []string{"K-24817", "K-24835"}},
		{exitRefused, []string{"K-24817  P-214  page 2, lock at V1: put on, and not signed off [lock-V1-off]"}, []string{"K-24831"}},
		{exitRefused, []string{"K-24817  P-214  page 12, step 10.4, hold point: no signature; second person; work went on, step 10.5 is ticked [hold-10.4-unsigned]"}, []string{"K-24831"}},
		{exitRefused, []string{"K-24817  P-214  page 5, feeler gauge: number FG-3, calibration was due 2026-10-01; the job's day is 2026-11-30"}, []string{"K-24818"}},
		{exitDone, []string{`Planner 1  typed s10.4.largest, "0.15" = 0.15 mm, let through: the engineer accepts it until March; from page 12, K-24817.pdf page 12`, `Planner 2  typed s10.4.largest, "0.14" = 0.14 mm, let through: read again; from page 12, K-24817.pdf page 12`, `before: "0.15" = 0.15 mm`}, []string{"s10.4.smallest"}},
		{exitRefused, []string{"step 12.14", "not done: it was a holiday; decided by AB [step-12.14-undone]", "K-24818  P-231  page 4, step 1.4: not ticked"}, []string{"K-24831"}},
		{exitDone, []string{":"}, nil},
	}
	raw, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	must(t, err)
	asked := regexp.MustCompile("(?m)^\\| (\\d+) \\| .* \\| `jobsheaf (.*)` \\|$").FindAllStringSubmatch(string(raw), -1)
	if len(asked) != len(answers) {
		t.Fatalf("the README asks %d questions", len(asked))
	}
	for i, a := range answers {
		args := strings.Fields(strings.Replace(asked[i][2], "NUMBER:HASH", head, 1))
		got := f.run(a.code, args...)
		for _, w := range a.want {
			if !strings.Contains(got.out, w) {
				t.Errorf("question %d: %q is not in\n%s", i+1, w, got.out)
			}
		}
		for _, w := range a.never {
			if strings.Contains(got.out, w) {
				t.Errorf("question %d: %q is in\n%s", i+1, w, got.out)
			}
		}
		if a.code == exitRefused {
			if got := f.run(exitDone, append(args, "--unit", "P-118")...); got.out != "nothing was found\n" {
				t.Errorf("question %d of a unit that had no job: %s", i+1, got.out)
			}
		}
	}
	if got := f.run(exitDone, "review", "--from", "2026-11-01", "--to", "2026-11-30", "--only", "limit", "--open"); got.out != "nothing was found\n" {
		t.Errorf("what was let through stands: %s", got.out)
	}
	// An event that was edited is found, and so is one that was cut off.
	f.run(exitRefused, "register", "verify", "--known", "1"+head)
}

func (f *filled) printsOf(job string) []register.Printed {
	f.t.Helper()
	prints, err := f.r.Prints(f.t.Context(), job)
	must(f.t, err)
	return prints
}

// reprint enters the packet of a job as it would be with another fingerprint.
func (f *filled) reprint(job string) {
	f.t.Helper()
	ctx := f.t.Context()
	j, err := f.r.Job(ctx, job)
	must(f.t, err)
	raw, err := f.r.Manifest(ctx, f.printsOf(job)[j.Prints-1])
	must(f.t, err)
	p := register.Print{Job: j.ID, Unit: j.Unit, Procedure: j.Procedure, Day: j.Day, Fingerprint: "0000000F", Pages: j.Pages, Manifest: []byte(strings.ReplaceAll(string(raw), j.Fingerprint, "0000000F"))}
	_, err = f.r.Enter(ctx, onPaper, func(yield func(register.Print, error) bool) { yield(p, nil) })
	must(f.t, err)
}

// correct types a reading of a job in anew.
func (f *filled) correct(job, box, text string) {
	f.t.Helper()
	print := f.printsOf(job)[0]
	is, err := f.r.Readings(f.t.Context(), print.Event)
	must(f.t, err)
	r := is[box]
	r.Before, r.Text, r.Value, r.Why = r.Event, text, text, "read again"
	_, err = f.r.Type(f.t.Context(), register.By{Who: "Planner 2", At: onPaper.At.AddDate(0, 0, 1)}, r)
	must(f.t, err)
}

// A packet can be closed exactly when no finding stands that nobody accepted, whatever is
// wrong with it, and what is decided can be taken back.
func TestCloseAndAccept(t *testing.T) {
	f := newFilled(t)
	who := []string{"--who", "Planner 1"}
	decide := func(want int, args ...string) outcome { t.Helper(); return f.run(want, append(args, who...)...) }
	decide(exitRefused, "close", "K-24836") // nothing of it has come back
	f.back("K-24836", nil)
	decide(exitDone, "close", "K-24836")
	if got := f.run(exitDone, "review", "K-24836").out; !strings.Contains(got, "closed") {
		t.Errorf("a closed packet: %s", got)
	}
	decide(exitWrong, "accept", "K-24836", "hold", "--why", "x")
	decide(exitWrong, "reopen", "K-24836")
	decide(exitDone, "reopen", "K-24836", "--why", "page 3 was another's")

	f.back("K-24817", map[string]string{"isolation.V1.removed": "blank", "s10.4.largest": "0.15", "s3.3.done": "blank", "s1.6.suction": "marked"})
	var stand []string
	p := f.review("K-24817")
	for _, x := range review.Open(p.Findings(review.When{})) {
		stand = append(stand, x.Key)
	}
	if want := []string{"lock-V1-off", "limit-s10.4.largest=0.15", "step-3.3-unticked", "untyped-6-s1.6.suction"}; !slices.Equal(sorted(stand), sorted(want)) {
		t.Fatalf("found %q, want %q", stand, want)
	}
	decide(exitWrong, "accept", "K-24817", "lock", "--why", "seen") // it is looked at one by one
	for _, key := range stand {
		decide(exitRefused, "close", "K-24817")
		decide(exitWrong, "accept", "K-24817", key) // without a reason
		if got := decide(exitDone, "accept", "K-24817", key, "--why", "seen"); !strings.Contains(got.out, key+" let through") {
			t.Errorf("accepted: %s", got.out)
		}
		decide(exitWrong, "accept", "K-24817", key, "--why", "twice")
	}
	// A reading that is typed in anew is another finding.
	f.correct("K-24817", "s10.4.smallest", "0.08")
	decide(exitDone, "close", "K-24817") // it has a reason
	decide(exitWrong, "settle", "K-24817", "s10.4.done", "blank")
	decide(exitDone, "reopen", "K-24817", "--why", "a box was read wrongly")
	decide(exitDone, "settle", "K-24817", "s10.4.done", "blank")
	decide(exitRefused, "close", "K-24817")
	decide(exitDone, "settle", "K-24817", "s10.4.done", "marked")
	decide(exitWrong, "settle", "K-24817", "s10.4.done", "perhaps")
	decide(exitWrong, "settle", "K-24817", "no.such", "marked")
	f.run(exitWrong, "close", "K-24817") // by whom?
	decide(exitDone, "close", "K-24817")
	decide(exitDone, "reopen", "K-24817", "--why", "again")
	decide(exitWrong, "void", "K-24817")
	decide(exitDone, "void", "K-24817", "--why", "done on another job")
	if got := f.run(exitDone, "review", "K-24817").out; !strings.Contains(got, "void") || !strings.Contains(got, "let through by Planner 1") {
		t.Errorf("a void packet: %s", got)
	}
	decide(exitWrong, "close", "K-1")
	if got := f.run(exitDone, "register", "show", "K-24817").out; strings.Count(got, "\n") < 40 || !strings.Contains(got, "accepted lock-V1-off: seen") || !strings.Contains(got, "made void: done on another job") {
		t.Errorf("all that happened:\n%s", got)
	}
	f.run(exitDone, "register", "verify")
}

func sorted(s []string) []string { return slices.Sorted(slices.Values(s)) }

func (f *filled) review(job string) *review.Packet {
	f.t.Helper()
	j, err := f.r.Job(f.t.Context(), job)
	must(f.t, err)
	p, err := review.Of(f.t.Context(), f.r, j)
	must(f.t, err)
	return p
}

// What a review can be asked for, and what is no question.
func TestReviewCommand(t *testing.T) {
	f := newFilled(t)
	f.back("K-24817", map[string]string{"isolation.V1.removed": "blank", "wear.idler_pin_diameter.A": "31.80; 漢 not in the faces of the pages"})
	f.back("K-24818", nil)
	one := filepath.Join(t.TempDir(), "one.pdf")
	got := f.run(exitRefused, "review", "k-24817", "--json", "--pdf", one)
	var all struct {
		Packets []struct {
			Job, State string
			Findings   []struct {
				Key, Gravity, Picture, Where, What, Settle string
				Page                                       int
				Stands                                     bool
				Let                                        *review.Let
			}
		}
	}
	must(t, json.Unmarshal([]byte(got.out), &all))
	if len(all.Packets) != 1 || len(all.Packets[0].Findings) != 2 {
		t.Fatalf("as JSON: %s", got.out)
	}
	if x := all.Packets[0].Findings[0]; x.Key != "lock-V1-off" || x.Gravity != "danger" || x.Page != 2 || len(x.Picture) != 64 || !x.Stands || x.Where != "page 2, lock at V1" || x.Settle == "" || x.Let != nil {
		t.Errorf("the lock is %+v", x)
	}
	if x := all.Packets[0].Findings[1]; x.Stands || x.Let == nil || x.Settle != "" {
		t.Errorf("the pin is %+v", x)
	}
	first, err := os.ReadFile(one)
	must(t, err)
	f.run(exitRefused, "review", "K-24817", "--pdf", one)
	second, err := os.ReadFile(one)
	must(t, err)
	if !bytes.Equal(first, second) {
		t.Error("the same register gives two PDFs")
	}
	text, _, err := outside("pdftotext", "-layout", one, "-")
	if err != nil || !strings.Contains(text, "Somebody could have been hurt") || !strings.Contains(text, "page 2, lock at V1") || !strings.Contains(text, "U+6F22 not in the") {
		t.Errorf("%v: it says\n%s", err, text)
	}
	f.run(exitWrong, "review", "K-24819", "--pdf", one)
	week := f.run(exitRefused, "review", "--week", "2026-W49").out
	if lines := strings.Split(week, "\n"); len(lines) < 20 || !strings.HasPrefix(lines[0], "2026-11-30  K-24817  P-214") || !strings.HasSuffix(lines[0], "1 finding, 1 let through") || !strings.HasSuffix(lines[1], "nothing found") {
		t.Errorf("the week:\n%s", week)
	}
	f.run(exitDone, "review", "--week", "2026-W48")
	f.run(exitDone, "review", "--week", "2026-W49", "--unit", "P-231")
	for _, wrong := range [][]string{
		{"review"}, {"review", "K-24817", "--week", "2026-W49"}, {"review", "--week", "2026-W54"}, {"review", "--week", "49"}, {"review", "--week", "2026-W49", "--from", "2026-11-01"},
		{"review", "--from", "1.11.2026"}, {"review", "K-24817", "--only", "holds"}, {"review", "K-1"}, {"review", "--week", "2026-W49", "--pdf", one}, {"review", "K-24817", "--late", "-1"},
	} {
		if got := f.run(exitWrong, wrong...); got.out != "" {
			t.Errorf("%q: %s", wrong, got.out)
		}
	}
	for week, want := range map[string]string{"2026-W01": "2025-12-29", "2026-W49": "2026-11-30", "2026-W53": "2026-12-28", "2024-W01": "2024-01-01", "2027-W01": "2027-01-04"} {
		if day, err := monday(week); err != nil || day.Format(time.DateOnly) != want {
			t.Errorf("%s begins on %s (%v), want %s", week, day.Format(time.DateOnly), err, want)
		}
	}
}
