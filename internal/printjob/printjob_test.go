package printjob

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/fstest"
	"time"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
	"jobsheaf/testdata/bench/made"
)

// shop reads a made site and gives a maker for it and its book.
func shop(t *testing.T) (*Maker, *record.Book) {
	t.Helper()
	files, _, err := made.Site(7, 3, 0, false)
	if err != nil {
		t.Fatal(err)
	}
	site := fstest.MapFS{}
	for name, data := range files {
		site[name] = &fstest.MapFile{Data: data}
	}
	book, problems := record.Load(site, templates.FS, record.Options{})
	library, more := procedure.Load(site, templates.FS, procedure.Options{})
	problems = append(problems, more...)
	catalogue, more := words.Load(nil, templates.FS, "en", nil)
	problems = append(problems, more...)
	c, more := compose.New(book, library, catalogue, "jobsheaf test")
	if problems = append(problems, more...); problems.HasErrors() {
		t.Fatal(problems)
	}
	return &Maker{Composer: c}, book
}

// jobOn gives the short job of that ID on a unit, as if it stood on the list's line.
func jobOn(unit, id string, line int) *record.Job {
	at := diag.Pos{File: "list.csv", Line: line, Col: 1}
	text := func(s string) record.Text { return record.Text{S: s, At: at} }
	return &record.Job{ID: text(id), Unit: text(unit), Procedure: text(made.Procedure), Day: text("2027-01-04"), At: at}
}

func TestAJobIsPrinted(t *testing.T) {
	m, _ := shop(t)
	made, err := m.Print(jobOn("T-0001", "M-7", 2))
	if err != nil || made.Problems.HasErrors() {
		t.Fatal(err, made.Problems)
	}
	if len(made.Files) != 2 || made.Files[0].Name != "M-7.pdf" || made.Files[1].Name != "M-7.json" {
		t.Fatalf("it made %d files", len(made.Files))
	}
	f, err := pdfread.Read(made.Files[0].Data)
	if err != nil || !f.Whole {
		t.Fatalf("whole is %v: %v", f.Whole, err)
	}
	if made.Pages == 0 || len(f.Pages) != made.Pages || made.Drawn == nil || len(made.Outline) == 0 {
		t.Errorf("it says %d pages, the file has %d; %d bookmarks", made.Pages, len(f.Pages), len(made.Outline))
	}
	boxes, err := manifest.ReadHead(bytes.NewReader(made.Files[1].Data))
	if want := (manifest.Head{Job: "M-7", Unit: "T-0001", Procedure: "look-over", Day: "2027-01-04", Fingerprint: made.Packet.Fingerprint, Program: "jobsheaf test", Pages: made.Pages, Annex: made.Annex.Pages}); err != nil || boxes != want {
		t.Errorf("the manifest says %+v, not %+v: %v", boxes, want, err)
	}
	var says struct{ Revision string }
	if err := json.Unmarshal(made.Files[1].Data, &says); err != nil || says.Revision != "1" {
		t.Errorf("the manifest says %+v: %v", says, err)
	}

	// What the packet was made from travels in it, so that it can be proved alone.
	carried := map[string][]byte{}
	for _, a := range f.Attachments {
		carried[a.Name] = a.Data
	}
	var said struct{ Fingerprint string }
	if err := json.Unmarshal(carried[PacketName], &said); err != nil || said.Fingerprint != made.Packet.Fingerprint {
		t.Errorf("it carries the packet %s, not %s: %v", said.Fingerprint, made.Packet.Fingerprint, err)
	}
	if len(carried) != 4 || !bytes.Equal(carried[InputsName], made.Packet.Inputs) || !bytes.Equal(carried[ManifestName], made.Files[1].Data) {
		t.Errorf("it carries %d files, or not the inputs and the manifest of this job", len(carried))
	}
	if bytes.Contains(carried[PacketName], []byte(`\u003c`)) {
		t.Error("the packet that is carried is escaped for HTML")
	}

	// The annex travels in it too, and is a file of its own where that is asked for.
	annex, err := pdfread.Read(carried[AnnexName])
	if err != nil || !annex.Whole || made.Annex.Pages == 0 || len(annex.Pages) != made.Annex.Pages || made.Annex.Drawn == nil || len(made.Annex.Outline) == 0 {
		t.Fatalf("the annex has %d pages of %d: %v", len(annex.Pages), made.Annex.Pages, err)
	}
	if len(annex.Attachments) != 1 || annex.Attachments[0].Name != InputsName || !bytes.Equal(annex.Attachments[0].Data, made.Packet.Inputs) {
		t.Error("the annex does not carry what it is made again from, or more")
	}
	if len(annex.Sections) != 1 || annex.Sections[0].Prefix != "M-7-annex " {
		t.Errorf("its pages are named %v", annex.Sections)
	}
	asked := *m
	asked.Annex = true
	with, err := asked.Print(jobOn("T-0001", "M-7", 2))
	if err != nil || len(with.Files) != 3 || with.Files[2].Name != "M-7-annex.pdf" || !bytes.Equal(with.Files[2].Data, carried[AnnexName]) || !bytes.Equal(with.Files[0].Data, made.Files[0].Data) {
		t.Errorf("asked for the annex it makes %d files, or others: %v", len(with.Files), err)
	}

	again, err := m.Print(jobOn("T-0001", "M-7", 2))
	if err != nil || !slices.EqualFunc(again.Files, made.Files, func(a, b File) bool { return a.Name == b.Name && bytes.Equal(a.Data, b.Data) }) {
		t.Errorf("the same job gives other bytes: %v", err)
	}
}

// A job that cannot be printed has its problems, and nothing to carry to a pump.
func TestAJobWithAnErrorLeavesNothing(t *testing.T) {
	for name, c := range map[string]struct {
		unit  string
		paper string
		want  string
	}{
		"an unknown unit":           {unit: "T-9999", want: "list.csv:5:1: error: job M-7 is not printed: the unit T-9999 is not on record"},
		"a paper that nobody makes": {paper: "Napkin", want: `list.csv:5:1: error: job M-7, M-7: there is no paper "Napkin"`},
	} {
		t.Run(name, func(t *testing.T) {
			m, book := shop(t)
			if c.paper != "" {
				book.Site.Paper = c.paper
			}
			job := jobOn("T-0001", "M-7", 5)
			if c.unit != "" {
				job.Unit.S = c.unit
			}
			made, err := m.Print(job)
			if err != nil {
				t.Fatal(err)
			}
			if made.Job != job || made.Packet != nil || made.Files != nil || made.Drawn != nil || made.Pages != 0 || made.Outline != nil {
				t.Errorf("it left %+v", made)
			}
			if !made.Problems.HasErrors() || !strings.Contains(fmt.Sprint(made.Problems), c.want) {
				t.Errorf("problems %v, want %s", made.Problems, c.want)
			}
			var rehearsed diag.List
			if err := m.Rehearse(context.Background(), []*record.Job{job}, func(l diag.List) { rehearsed = append(rehearsed, l...) }); err != nil || fmt.Sprint(rehearsed) != fmt.Sprint(made.Problems) {
				t.Errorf("rehearsed it says %v, printed %v: %v", rehearsed, made.Problems, err)
			}
		})
	}
}

// One bad job does not cost its neighbours their paper, and results come in order.
func TestARunOfManyKeepsGoing(t *testing.T) {
	m, _ := shop(t)
	tasks := []Task{
		{Job: jobOn("T-0000", "M-1", 2)},
		{Job: jobOn("T-9999", "M-2", 3)},
		{Job: jobOn("T-0001", "M-3", 4), ComposeOnly: true},
		{Job: jobOn("T-0002", "M-4", 5)},
	}
	for _, workers := range []int{0, 1, 3} {
		m.Workers = workers
		var got []string
		err := m.Run(context.Background(), tasks, func(made Made) error {
			got = append(got, fmt.Sprintf("%s packet %v, %d files, wrong %v", made.Job.ID, made.Packet != nil, len(made.Files), made.Problems.HasErrors()))
			return nil
		})
		want := []string{
			"M-1 packet true, 2 files, wrong false", "M-2 packet false, 0 files, wrong true",
			"M-3 packet true, 0 files, wrong false", "M-4 packet true, 2 files, wrong false",
		}
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%d workers: %v, %q", workers, err, got)
		}
	}
}

func TestARunStops(t *testing.T) {
	m, _ := shop(t)
	m.Workers = 2
	var tasks []Task
	for i := range 30 {
		tasks = append(tasks, Task{Job: jobOn("T-0000", fmt.Sprintf("M-%d", i), i+2), ComposeOnly: true})
	}
	t.Run("at a full disk", func(t *testing.T) {
		full, n := errors.New("no room left"), 0
		err := m.Run(context.Background(), tasks, func(Made) error {
			if n++; n == 3 {
				return full
			}
			return nil
		})
		if !errors.Is(err, full) || n != 3 {
			t.Errorf("after %d results: %v", n, err)
		}
	})
	t.Run("when it is cancelled", func(t *testing.T) {
		ctx, cancel := context.WithCancel(context.Background())
		defer cancel()
		n := 0
		err := m.Run(ctx, tasks, func(Made) error {
			if n++; n == 3 {
				cancel()
			}
			return nil
		})
		if !errors.Is(err, context.Canceled) || n < 3 || n == len(tasks) {
			t.Errorf("after %d results: %v", n, err)
		}
	})
	t.Run("cancelled before it begins", func(t *testing.T) {
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		if err := m.Run(ctx, nil, nil); !errors.Is(err, context.Canceled) {
			t.Errorf("%v", err)
		}
		if err := m.Rehearse(ctx, nil, nil); !errors.Is(err, context.Canceled) {
			t.Errorf("rehearsed: %v", err)
		}
	})
}

// A bug in one job is told as the error of the run; the results before it are handed on.
func TestSpread(t *testing.T) {
	bug := errors.New("a bug")
	var begun atomic.Int32
	var got []int
	err := spread(context.Background(), 2, 100, func(i int) (int, error) {
		begun.Add(1)
		if i%2 == 0 { // a later one is ready first
			time.Sleep(time.Millisecond)
		}
		if i == 5 {
			return 0, bug
		}
		return i, nil
	}, func(i int) error {
		got = append(got, i)
		return nil
	})
	if !errors.Is(err, bug) || !slices.Equal(got, []int{0, 1, 2, 3, 4}) {
		t.Errorf("%v: %v", got, err)
	}
	if n := begun.Load(); n > 20 {
		t.Errorf("%d were begun after the fault of the sixth", n)
	}

	// What waits in memory is bounded: a slow reader holds the workers back.
	begun.Store(0)
	block := make(chan struct{})
	done := make(chan error)
	go func() {
		done <- spread(context.Background(), 2, 100, func(i int) (int, error) {
			begun.Add(1)
			return i, nil
		}, func(int) error {
			<-block
			return nil
		})
	}()
	time.Sleep(20 * time.Millisecond)
	if n := begun.Load(); n < 2 || n > 7 {
		t.Errorf("%d are begun while the first is not yet handed on", n)
	}
	close(block)
	if err := <-done; err != nil || begun.Load() != 100 {
		t.Errorf("%d of 100: %v", begun.Load(), err)
	}
}
