package cli

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/pdfread"
	"jobsheaf/testdata/scribble"
)

// The whole circle: the demo week is printed, written on, scanned, read in, typed in, reviewed
// and closed; the next week's packets carry its readings, and are the same, byte for byte,
// on another machine that has the register's export.
func TestTheWholeCircle(t *testing.T) {
	b := backs{t, t.TempDir(), t.TempDir()}
	demo(t, "soapworks").write(t, b.site)
	b.does(exitDone, "week", "week-49", "--out", b.out, "--no-register=false", "--who", "planner 1", "--quiet")
	jobs := b.weekOfJobs()
	shots, truth := b.filled(jobs)
	scan := b.pdf("week.pdf", scribble.DCT, shots...)
	b.settled(b.read(exitDone, scan), truth)
	for _, job := range jobs {
		b.typedIn(job)
	}
	for _, job := range jobs {
		b.reviewed(job)
	}
	b.does(exitDone, "register", "verify", "--pictures")
	if out := b.does(exitDone, "register", "jobs", "--json").out; strings.Count(out, `"State":"closed"`) != len(jobs) {
		t.Errorf("not all jobs are closed:\n%s", out)
	}

	// The next week, here and on another machine.
	next := b.printed(b.site)
	pin := b.does(exitDone, "explain", "P-214", "features.idler_pin_diameter.last", "--procedure", "rebuild-component-seal", "--day", "2026-12-14").out
	if !regexp.MustCompile(`register/K-24817/page-\d+\.yaml:\d+`).MatchString(pin) {
		t.Errorf("the last reading of the idler pin is not the one that came back:\n%s", pin)
	}
	copied, other := t.TempDir(), t.TempDir()
	b.does(exitDone, "register", "export", copied)
	demo(t, "soapworks").write(t, other)
	if got := jobsheaf("register", "import", copied, "--site", other); got.code != exitDone {
		t.Fatalf("%s%s", got.out, got.err)
	}
	elsewhere := b.printed(other)
	if len(next) != len(elsewhere) || len(next) == 0 {
		t.Fatalf("%d files here, %d there", len(next), len(elsewhere))
	}
	for name, sum := range next {
		if elsewhere[name] != sum {
			t.Errorf("%s is another on another machine", name)
		}
	}
	carried := false
	raw, err := os.ReadFile(filepath.Join(b.out, "next", "K-24827.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	doc, err := pdfread.Read(raw)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range doc.Attachments {
		carried = carried || strings.Contains(string(f.Data), "register/K-24817/page-")
	}
	if !carried {
		t.Error("the packet of the next week does not carry what the register gave")
	}
}

// weekOfJobs gives the jobs that were printed.
func (b backs) weekOfJobs() (jobs []string) {
	b.t.Helper()
	files, err := filepath.Glob(filepath.Join(b.out, "K-*.json"))
	if err != nil || len(files) == 0 {
		b.t.Fatal("nothing was printed", err)
	}
	for _, f := range files {
		jobs = append(jobs, strings.TrimSuffix(filepath.Base(f), ".json"))
	}
	return jobs
}

// left says which boxes stay empty on a packet of work that went well: rows for what was not
// done and for more points and people, the verdict that a part is replaced.
func left(m *manifest.Box) bool {
	for _, part := range []string{"signoff.not-done", "isolation.more", ".replace"} {
		if strings.Contains(m.ID, part) && !strings.HasSuffix(m.ID, ".replaced") {
			return true
		}
	}
	return false
}

// filled has all pages of some packets written on and scanned, in another order.
func (b backs) filled(jobs []string) (shots []scribble.Shot, truth map[string]scribble.Truth) {
	b.t.Helper()
	type sheet struct {
		p    *scribble.Packet
		page int
	}
	var all []sheet
	for _, job := range jobs {
		p := b.packet(job)
		for n := range p.Manifest.Pages {
			all = append(all, sheet{p, n + 1})
		}
	}
	slices.SortFunc(all, func(x, y sheet) int { return (x.page*7919)%31 - (y.page*7919)%31 })
	condition, _ := scribble.Named("clean 150")
	shots, truth = make([]scribble.Shot, len(all)), map[string]scribble.Truth{}
	var wait sync.WaitGroup
	var mu sync.Mutex
	busy := make(chan bool, 4)
	for i, s := range all {
		wait.Go(func() {
			busy <- true
			defer func() { <-busy }()
			shot, err := s.p.Shoot(b.t.Context(), s.page, condition, 49, scribble.Options{Leave: left})
			if err != nil {
				b.t.Error(err)
				return
			}
			mu.Lock()
			defer mu.Unlock()
			shots[i], truth[fmt.Sprint(s.p.Manifest.Job, " ", s.page)] = shot, shot.Truth
		})
	}
	wait.Wait()
	return shots, truth
}

// settled settles as a person would what was not clear, and holds the rest to the truth.
func (b backs) settled(pages []readPage, truth map[string]scribble.Truth) {
	b.t.Helper()
	boxes, unsure := 0, 0
	for _, p := range pages {
		of := truth[fmt.Sprint(p.Job, " ", p.Page)]
		if p.State != "placed" || len(p.Boxes) != len(of) {
			b.t.Fatalf("a page came back as %+v", p)
		}
		wrong, n := faults(p, of)
		boxes, unsure = boxes+len(of), unsure+n
		for _, w := range wrong {
			b.t.Errorf("%s page %d: %s", p.Job, p.Page, w)
		}
		for i, box := range p.Boxes {
			if box.Is == "unsure" {
				is := map[bool]string{true: "marked", false: "blank"}[of[i].Marked]
				b.does(exitDone, "settle", p.Job, box.ID, is, "--who", "planner 2")
			}
		}
	}
	if boxes < 2000 || unsure*20 > boxes {
		b.t.Errorf("%d of %d boxes were to be settled", unsure, boxes)
	}
}

// typedIn types in what a job's form asks for, as a file.
func (b backs) typedIn(job string) {
	b.t.Helper()
	form, err := csv.NewReader(strings.NewReader(b.does(exitDone, "type", job, "--template").out)).ReadAll()
	if err != nil {
		b.t.Fatal(err)
	}
	asks := map[string]*manifest.Ask{}
	m := b.packet(job).Manifest
	for i := range m.Pages {
		for _, box := range m.Pages[i].Boxes {
			asks[box.ID] = box.Ask
		}
	}
	column := map[string]int{}
	for i, name := range form[0] {
		column[name] = i
	}
	var rows [][]string
	for _, row := range form[1:] {
		id := row[column["box"]]
		if row[column["value"]] = worth(asks[id]); row[column["value"]] == "" || left(&manifest.Box{ID: id}) {
			continue
		}
		rows = append(rows, row)
	}
	var text strings.Builder
	w := csv.NewWriter(&text)
	if err := w.WriteAll(append(form[:1], rows...)); err != nil {
		b.t.Fatal(err)
	}
	b.does(exitDone, "type", "--csv", b.file(job+".csv", []byte(text.String())), "--who", "planner 2")
}

// worth gives what a sound machine shows where a box asks for it.
func worth(a *manifest.Ask) string {
	switch {
	case a.For == manifest.ForDue:
		return "2027-06-30"
	case a.For == manifest.ForNumber:
		return "T-17"
	case a.For != manifest.ForReading:
		return ""
	}
	decimals := 0
	for _, number := range regexp.MustCompile(`[0-9]+\.[0-9]+`).FindAllString(a.Limits+" "+a.Last, -1) {
		decimals = max(decimals, len(number)-strings.IndexByte(number, '.')-1)
	}
	say := func(v float64) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
	switch number := regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`).FindString(a.Last); {
	case number != "" && holds(number, a):
		return number
	case a.Low != nil && a.High != nil:
		return say((*a.Low + *a.High) / 2)
	case a.Low != nil:
		return say(*a.Low)
	case a.High != nil:
		return say(*a.High)
	}
	if number := regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`).FindString(a.Limits); number != "" {
		return number
	}
	return "5"
}

func holds(number string, a *manifest.Ask) bool {
	v, err := strconv.ParseFloat(number, 64)
	return err == nil && (a.Low == nil || v >= *a.Low) && (a.High == nil || v <= *a.High)
}

// reviewed reviews a job, which has nothing to be found, and closes it.
func (b backs) reviewed(job string) {
	b.t.Helper()
	got := jobsheaf("review", job, "--site", b.site)
	if got.code != exitDone {
		b.t.Errorf("review of %s ends with %d:\n%s%s", job, got.code, got.out, got.err)
	}
	b.does(exitDone, "close", job, "--who", "auditor 1")
}

// printed prints the next week of a site and gives the digests of its files.
func (b backs) printed(site string) map[string][32]byte {
	b.t.Helper()
	out := filepath.Join(b.out, "next")
	if err := os.RemoveAll(out); err != nil {
		b.t.Fatal(err)
	}
	if got := jobsheaf("week", "week-50", "--site", site, "--out", out, "--no-register=false", "--quiet", "--today", "2026-12-04"); got.code != exitDone {
		b.t.Fatalf("exit code %d\n%s%s", got.code, got.out, got.err)
	}
	return sums(b.t, out)
}
