package week

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/front"
	"jobsheaf/internal/joblist"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
	"jobsheaf/testdata/bench/made"
)

// shelf keeps files in memory. With room set, it is full once so many bytes are
// written.
type shelf struct {
	mu    sync.Mutex
	files map[string][]byte
	room  int
}

var errFull = errors.New("no room left")

func newShelf() *shelf { return &shelf{files: map[string][]byte{}, room: 1 << 62} }

type memory struct {
	bytes.Buffer
	s    *shelf
	name string
}

func (m *memory) Write(b []byte) (int, error) {
	m.s.mu.Lock()
	defer m.s.mu.Unlock()
	if m.s.room -= len(b); m.s.room < 0 {
		return 0, errFull
	}
	return m.Buffer.Write(b)
}

func (m *memory) Keep() error {
	m.s.mu.Lock()
	defer m.s.mu.Unlock()
	m.s.files[m.name] = m.Bytes()
	return nil
}

func (m *memory) Drop() {}

func (s *shelf) Create(name string) (Draft, error) { return &memory{s: s, name: name}, nil }

func (s *shelf) Put(files ...printjob.File) error {
	for _, f := range files {
		m := &memory{s: s, name: f.Name}
		if _, err := m.Write(f.Data); err != nil {
			return err
		}
		m.Keep()
	}
	return nil
}

func (s *shelf) Ends(name string, n int) (head, tail []byte, err error) {
	b, ok := s.files[name]
	if !ok {
		return nil, nil, nil
	}
	k := min(n, len(b))
	return b[:k], b[len(b)-k:], nil
}

func (s *shelf) Size(name string) (int64, error) {
	if b, ok := s.files[name]; ok {
		return int64(len(b)), nil
	}
	return -1, nil
}

func (s *shelf) Sum(name string) (string, error) {
	b, ok := s.files[name]
	if !ok {
		return "", nil
	}
	return fmt.Sprintf("%x", sha256.Sum256(b)), nil
}

// plant is a site that is ready to print.
type plant struct {
	book    *record.Book
	library *procedure.Library
	maker   *printjob.Maker
	words   words.Catalogue
	jobs    []*record.Job
}

// open reads a site and a list of it.
func open(t testing.TB, site fs.FS, csv []byte) *plant {
	t.Helper()
	b, problems := record.Load(site, templates.FS, record.Options{})
	library, more := procedure.Load(site, templates.FS, procedure.Options{})
	problems = append(problems, more...)
	catalogue, more := words.Load(nil, templates.FS, "en", nil)
	problems = append(problems, more...)
	c, more := compose.New(b, library, catalogue, "jobsheaf test")
	if problems = append(problems, more...); problems.HasErrors() {
		t.Fatal(problems)
	}
	p := &plant{book: b, library: library, maker: &printjob.Maker{Composer: c}, words: catalogue}
	if csv != nil {
		li, problems := joblist.Read("list.csv", csv, joblist.Options{Site: b.Site})
		if li == nil {
			t.Fatal(problems)
		}
		b.Only(li)
		b.Attach(problems)
		p.jobs = li.Jobs
	}
	return p
}

// factory is a made site of short packets, changed by change where it is not nil.
func factory(t testing.TB, jobs int, change func(files map[string][]byte, csv *[]byte)) *plant {
	t.Helper()
	files, csv, err := made.Site(7, 12, jobs, false)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(files, &csv)
	}
	fsys := fstest.MapFS{}
	for name, data := range files {
		fsys[name] = &fstest.MapFile{Data: data}
	}
	return open(t, fsys, csv)
}

func (p *plant) printer(s Output) *Printer {
	return &Printer{Maker: p.maker, Book: p.book, Library: p.library, Words: p.words, Program: "jobsheaf test", Output: s}
}

// print prints the plant's list and wants no fault.
func (p *plant) print(t testing.TB, s Output, set func(*Printer)) *Result {
	t.Helper()
	pr := p.printer(s)
	if set != nil {
		set(pr)
	}
	r, err := pr.Print(context.Background(), "list", Rounds(p.book, p.jobs), "")
	if err != nil {
		t.Fatal(err)
	}
	if r.Problems.HasErrors() {
		t.Fatal(r.Problems)
	}
	return r
}

// same reports where two shelves differ.
func same(t testing.TB, got, want *shelf, what string) {
	t.Helper()
	for _, name := range slices.Sorted(maps.Keys(want.files)) {
		if !bytes.Equal(got.files[name], want.files[name]) {
			t.Errorf("%s: %s is not the same (%d bytes, not %d)", what, name, len(got.files[name]), len(want.files[name]))
		}
	}
	for name := range got.files {
		if _, there := want.files[name]; !there {
			t.Errorf("%s: %s is there too", what, name)
		}
	}
}

func TestPrint(t *testing.T) {
	p := factory(t, 24, nil)
	want := newShelf()
	r := p.print(t, want, func(pr *Printer) { pr.Maker.Workers = 1 })
	if len(r.Ledger.Jobs) != 24 || len(r.Ledger.Rounds) != 2 || len(r.Ledger.Refused) != 0 || r.Kept != 0 {
		t.Fatalf("%d jobs in %d rounds", len(r.Ledger.Jobs), len(r.Ledger.Rounds))
	}
	for name, b := range want.files {
		if strings.HasSuffix(name, ".pdf") {
			if f, err := pdfread.Read(b); err != nil || !f.Whole {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	for _, d := range r.Ledger.Rounds {
		if f, _ := pdfread.Read(want.files[d.File]); len(f.Pages) != d.Pages {
			t.Errorf("%s has %d pages, the ledger says %d", d.File, len(f.Pages), d.Pages)
		}
	}
	t.Run("with many workers", func(t *testing.T) {
		got := newShelf()
		p.print(t, got, func(pr *Printer) { pr.Maker.Workers = 7 })
		same(t, got, want, "seven workers")
	})
	t.Run("again", func(t *testing.T) {
		got := &shelf{files: maps.Clone(want.files), room: 1 << 62}
		if r := p.print(t, got, nil); r.Kept != 24 {
			t.Errorf("%d packets were left as they were", r.Kept)
		}
		same(t, got, want, "again")
		for _, hurt := range []string{"M-10022.pdf", "M-10022.json", "print/2027-01-04-late.pdf", "week.json", "front/2027-W01.pdf"} {
			delete(got.files, hurt)
			if r := p.print(t, got, nil); r.Kept < 20 {
				t.Errorf("without %s all but %d packets were printed again", hurt, r.Kept)
			}
			same(t, got, want, "without "+hurt)
		}
		for _, hurt := range []string{"M-10022.pdf", "print/2027-01-04-late.pdf"} {
			got.files[hurt] = want.files[hurt][:len(want.files[hurt])-9]
			p.print(t, got, nil)
			same(t, got, want, "cut "+hurt)
		}
	})
	t.Run("in parts", func(t *testing.T) {
		all := newShelf()
		var parts []*Ledger
		for k := 1; k <= 2; k++ {
			s := newShelf()
			part := fmt.Sprintf("%d/2", k)
			r, err := p.printer(s).Print(context.Background(), "list", Share(Rounds(p.book, p.jobs), k, 2), part)
			if err != nil {
				t.Fatal(err)
			}
			if n := len(r.Ledger.Jobs); n != 20 && n != 4 {
				t.Errorf("part %s has %d jobs", part, n)
			}
			l, err := DecodeLedger(s.files[partName(part)])
			if err != nil {
				t.Fatal(err)
			}
			parts = append(parts, l)
			delete(s.files, partName(part))
			for name, b := range s.files {
				if all.files[name] != nil {
					t.Errorf("%s is in two parts", name)
				}
				all.files[name] = b
			}
		}
		slices.Reverse(parts) // in whatever order they are found
		l, err := Join(parts)
		if err != nil {
			t.Fatal(err)
		}
		if r, err := Finish(all, l, nil, p.words); err != nil || r.Problems.HasErrors() {
			t.Fatal(err, r.Problems)
		}
		same(t, all, want, "joined")
		for what, bad := range map[string][]*Ledger{"none": nil, "one alone": parts[:1], "one twice": {parts[0], parts[0]}, "the whole": {l}} {
			if _, err := Join(bad); err == nil {
				t.Errorf("%s can be joined", what)
			}
		}
		other := *parts[0]
		other.Parts = slices.Clone(other.Parts)
		other.Parts[0].Digest = "0000000000000000"
		if _, err := Join([]*Ledger{&other, parts[1]}); err == nil || !strings.Contains(err.Error(), other.Parts[0].Name) {
			t.Errorf("parts of other records were joined: %v", err)
		}
	})
	t.Run("for two sides", func(t *testing.T) {
		s := newShelf()
		p.print(t, s, func(pr *Printer) { pr.Duplex = true })
		labels := regexp.MustCompile(`(\d+)<</S/D`)
		for name, b := range s.files {
			if !strings.HasPrefix(name, "print/") {
				continue
			}
			starts := labels.FindAllSubmatch(b, -1)
			if len(starts) < 3 {
				t.Fatalf("%s has %d labels", name, len(starts))
			}
			for _, m := range starts {
				at, _ := strconv.Atoi(string(m[1]))
				if at%2 != 0 {
					t.Errorf("%s: a packet begins on page %d, a back", name, at+1)
				}
			}
		}
		if !bytes.Equal(s.files["M-10001.pdf"], want.files["M-10001.pdf"]) {
			t.Error("the packet itself differs")
		}
	})
	t.Run("on a full disk", func(t *testing.T) {
		total := 0
		for _, b := range want.files {
			total += len(b)
		}
		for _, room := range []int{0, total / 2, total - 100} {
			s := newShelf()
			s.room = room
			_, err := p.printer(s).Print(context.Background(), "list", Rounds(p.book, p.jobs), "")
			if !errors.Is(err, errFull) {
				t.Errorf("%d bytes: %v", room, err)
			}
			for name, b := range s.files {
				if !bytes.Equal(b, want.files[name]) {
					t.Errorf("%d bytes: %s is not whole", room, name)
				}
			}
			s.room = 1 << 62
			p.print(t, s, nil)
			same(t, s, want, "after a full disk")
		}
	})
	t.Run("interrupted", func(t *testing.T) {
		s := newShelf()
		ctx, stop := context.WithCancel(context.Background())
		pr := p.printer(s)
		pr.Maker.Workers = 1
		pr.Tell = func(at Progress) {
			if at.Round != nil {
				stop()
			}
		}
		if _, err := pr.Print(ctx, "list", Rounds(p.book, p.jobs), ""); !errors.Is(err, context.Canceled) {
			t.Fatal(err)
		}
		if s.files["week.json"] != nil || s.files["print/2027-01-04-day.pdf"] == nil {
			t.Error("the first round is not there, or the run's manifest is")
		}
		// Whether the short second round was bound as well is the scheduler's to say.
		kept := 20
		if s.files["print/2027-01-04-late.pdf"] != nil {
			kept = 24
		}
		if r := p.print(t, s, nil); r.Kept != kept {
			t.Errorf("%d packets were left as they were, not the %d of the rounds that were whole", r.Kept, kept)
		}
		same(t, s, want, "after an interruption")
	})
}

// What changed is told by its record, and printed once more by itself.
func TestChanged(t *testing.T) {
	s := newShelf()
	before := factory(t, 24, nil).print(t, s, nil).Ledger
	p := factory(t, 24, func(files map[string][]byte, csv *[]byte) {
		units := string(files["units/area-00.yaml"])
		files["units/area-00.yaml"] = []byte(strings.Replace(units, "speed: 280 rpm", "speed: 281 rpm", 1))
		*csv = []byte(strings.Replace(string(*csv), "M-10003,T-0003,look-over,2027-01-04,day", "M-10003,T-0003,look-over,2027-01-04,late", 1))
	})
	r := p.print(t, s, func(pr *Printer) { pr.Before, pr.Changed = before, true })
	why := map[string]string{}
	for _, c := range r.Changed {
		why[c.Job] = strings.Join(c.Why, "; ")
	}
	moved := "its entry in the list: crew was day, is late"
	for job, want := range map[string]string{"M-10003": moved} {
		if why[job] != want {
			t.Errorf("%s changed because %q, not %q", job, why[job], want)
		}
	}
	delete(why, "M-10003")
	if len(why) != 2 {
		t.Errorf("%d more jobs changed, not the two of the changed unit: %v", len(why), why)
	}
	for job, w := range why {
		if !strings.HasPrefix(w, "units/area-00.yaml: unit T-") {
			t.Errorf("%s changed because %q", job, w)
		}
	}
	n := 0
	for name, b := range s.files {
		if strings.HasPrefix(name, "changed/") {
			n++
			f, err := pdfread.Read(b)
			if err != nil || len(f.Pages) > 35 {
				t.Errorf("%s: %d pages, %v", name, len(f.Pages), err)
			}
		}
	}
	if n != 2 {
		t.Errorf("%d files of changes, not one for each round with any", n)
	}
	fresh := newShelf()
	p.print(t, fresh, nil)
	for name := range s.files {
		if strings.HasPrefix(name, "changed/") {
			delete(s.files, name)
		}
	}
	same(t, s, fresh, "after a change")
	if r := p.print(t, s, func(pr *Printer) { pr.Before, pr.Changed = r.Ledger, true }); len(r.Changed) != 0 || r.Kept != 24 {
		t.Errorf("nothing changed, and %v was printed again", r.Changed)
	}
}

// Refused jobs stand in the ledger, in the tables and on a sheet, and stop no
// other; what an earlier run printed of them is told.
func TestRefused(t *testing.T) {
	s := newShelf()
	s.files["M-10002.pdf"] = []byte("an old packet")
	p := factory(t, 6, func(_ map[string][]byte, csv *[]byte) {
		text := strings.Replace(string(*csv), "M-10002,T-0002", "M-10002,T-9999", 1)
		*csv = []byte(strings.Replace(text, "M-10004,T-0004,look-over,2027-01-04", "M-10004,T-0004,look-over,some day ≠ 中", 1))
	})
	r, err := p.printer(s).Print(context.Background(), "list", Rounds(p.book, p.jobs), "")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, j := range r.Ledger.Refused {
		got = append(got, j.Job+": "+strings.Join(j.Reasons, "; "))
	}
	if len(got) != 2 || !strings.Contains(got[0], "T-9999 is not on record") || !strings.Contains(got[1], "cell D6") || !strings.Contains(got[1], "is not a day") {
		t.Errorf("refused %q", got)
	}
	if !slices.Equal(r.Stale, []string{"M-10002.pdf"}) {
		t.Errorf("of an earlier run: %q", r.Stale)
	}
	if len(r.Ledger.Jobs) != 4 || len(s.files) != 8+1+1+1+8+1 {
		t.Errorf("%d jobs, %v", len(r.Ledger.Jobs), slices.Sorted(maps.Keys(s.files)))
	}
	rows, err := csv.NewReader(bytes.NewReader(s.files["front/refused.csv"])).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Errorf("%v %v", rows, err)
	}
}

// A run that was killed after records had changed leaves files that are newer than
// the ledger: the next run keeps them.
func TestNewerThanLedger(t *testing.T) {
	s := newShelf()
	before := factory(t, 24, nil).print(t, s, nil).Ledger
	p := factory(t, 24, func(files map[string][]byte, csv *[]byte) {
		files["units/area-00.yaml"] = []byte(strings.Replace(string(files["units/area-00.yaml"]), "speed: 280 rpm", "speed: 281 rpm", 1))
	})
	p.print(t, s, nil)
	r := p.print(t, s, func(pr *Printer) { pr.Before = before })
	if jobs, _ := r.Printed(); jobs != 24 || r.Kept != 24 || len(r.Restored) != 0 {
		t.Errorf("%d jobs are printed, %d kept, and damaged are %q", jobs, r.Kept, r.Restored)
	}
}

// A job that is cancelled, or that the list no longer names, is to be withdrawn
// until its files are gone.
func TestWithdraw(t *testing.T) {
	s := newShelf()
	first := factory(t, 8, nil).print(t, s, nil).Ledger
	p := factory(t, 8, func(_ map[string][]byte, csv *[]byte) {
		var rows []string
		for row := range strings.Lines(string(*csv)) {
			if !strings.HasPrefix(row, "M-10002,") && !strings.HasPrefix(row, "M-10003,") {
				rows = append(rows, row)
			}
		}
		*csv = []byte(strings.Join(rows, ""))
	})
	run := func(before *Ledger) (*Ledger, string) {
		t.Helper()
		r := p.print(t, s, func(pr *Printer) {
			pr.Before, pr.Cancelled = before, []string{"M-10003", "M-99999", "../M-10001", "M-10004"}
		})
		var said []string
		for _, w := range r.Ledger.Withdraw {
			if w.Fingerprint == "" || w.Unit == "" || w.Print == "" || w.PrintFingerprint == "" {
				t.Errorf("%+v does not say what to fetch back", w)
			}
			said = append(said, fmt.Sprint(w.Job, " ", w.Cancelled, " ", strings.Join(w.Files, " ")))
		}
		if len(said) > 0 != strings.Contains(string(s.files["front/front.json"]), `"withdraw"`) {
			t.Errorf("the front matter does not say the same as %q", said)
		}
		return r.Ledger, strings.Join(said, "; ")
	}
	second, said := run(first)
	if want := "M-10002 false M-10002.pdf M-10002.json; M-10003 true M-10003.pdf M-10003.json"; said != want {
		t.Errorf("to withdraw are %q, not %q", said, want)
	}
	with := len(s.files["front/2027-W01.pdf"])
	delete(s.files, "M-10003.pdf")
	delete(s.files, "M-10003.json")
	delete(s.files, "M-10002.pdf")
	third, said := run(second)
	if want := "M-10002 false M-10002.json"; said != want {
		t.Errorf("to withdraw are %q, not %q", said, want)
	}
	delete(s.files, "M-10002.json")
	if _, said = run(third); said != "" {
		t.Errorf("with all files gone, to withdraw are %q", said)
	}
	if without := len(s.files["front/2027-W01.pdf"]); with < without+500 {
		t.Errorf("the front matter of the same jobs has %d bytes with what to withdraw, and %d without", with, without)
	}
	// Jobs of another list that is printed into the same folder are not meant.
	r, err := p.printer(s).Print(context.Background(), "other", nil, "")
	if err != nil || len(r.Ledger.Withdraw) != 0 {
		t.Errorf("%v %v", r.Ledger.Withdraw, err)
	}
	// What is on the list again is not withdrawn.
	p = factory(t, 8, nil)
	if _, said = run(second); said != "" {
		t.Errorf("on the list again, to withdraw are %q", said)
	}
}

// A ledger that was altered is refused, not believed.
func FuzzDecodeLedger(f *testing.F) {
	f.Add([]byte(`{"format":2,"program":"","list":"","look":{"site":"","paper":"","language":""},"crews":[],"parts":[],"needs":[],"rounds":[],"refused":[],"jobs":[{"job":"a","from":[0],"needs":0}]}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		l, err := DecodeLedger(raw)
		if err != nil {
			return
		}
		if _, err := Join([]*Ledger{l}); err == nil {
			for range front.Weeks(&l.Run, l.frontJobs(), l.Refused, l.Withdraw) {
			}
		}
	})
}
