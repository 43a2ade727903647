package register

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

var noon = By{"planner", time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC)}

// open1 opens a register in a folder of the test's own.
func open1(t testing.TB) *Register {
	t.Helper()
	return openAt(t, filepath.Join(t.TempDir(), "a % strange ? name #", FileName))
}

func openAt(t testing.TB, path string) *Register {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	r, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// week gives some prints, the n-th of each job.
func week(jobs, n int) iter.Seq2[Print, error] {
	return func(yield func(Print, error) bool) {
		for i := range jobs {
			p := Print{Job: fmt.Sprintf("K-%05d", i), Unit: fmt.Sprintf("P-%03d", i%40), Procedure: "rebuild", Day: fmt.Sprintf("2026-%02d-%02d", i%12+1, i%28+1),
				Fingerprint: fmt.Sprintf("%08X", i*7+n), Pages: 5, Manifest: fmt.Appendf(nil, `{"job":"K-%05d","print":%d}`, i, n)}
			if !yield(p, nil) {
				return
			}
		}
	}
}

func enter(t testing.TB, r *Register, jobs, n int) int {
	t.Helper()
	got, err := r.Enter(context.Background(), noon, week(jobs, n))
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func sound(t *testing.T, r *Register, known Head) []string {
	t.Helper()
	faults, err := r.Verify(t.Context(), known)
	if err != nil {
		t.Fatal(err)
	}
	return faults
}

func TestWhatIsPrintedIsFound(t *testing.T) {
	r := open1(t)
	if got := enter(t, r, 10, 1); got != 10 {
		t.Errorf("entered %d of 10", got)
	}
	if got := enter(t, r, 10, 1); got != 0 {
		t.Errorf("entered %d again of a run that was repeated", got)
	}
	if got := enter(t, r, 3, 2); got != 3 {
		t.Errorf("entered %d of 3 that were printed anew", got)
	}
	j, err := r.Job(t.Context(), "k-00002")
	if err != nil {
		t.Fatal(err)
	}
	want := Job{ID: "K-00002", Unit: "P-002", Procedure: "rebuild", Day: "2026-03-03", Prints: 2, Print: 13, Fingerprint: "00000010", Pages: 5, At: "2026-11-30T12:00:00Z", Who: "planner", State: JobOpen}
	if j != want {
		t.Errorf("found %+v, want %+v", j, want)
	}
	if _, err := r.Job(t.Context(), "K-9"); !errors.Is(err, ErrUnknown) {
		t.Errorf("an unknown job gives %v", err)
	}
	for q, want := range map[Query]string{
		{}:                                     "K-00000 K-00001 K-00002 K-00003 K-00004 K-00005 K-00006 K-00007 K-00008 K-00009",
		{Unit: "P-004"}:                        "K-00004",
		{From: "2026-03-03", To: "2026-04-04"}: "K-00002 K-00003",
		{From: "2026-09-10"}:                   "K-00009",
		{Unit: "P-004", To: "2026-01-01"}:      "",
		{Unit: "' OR 1=1 --"}:                  "",
	} {
		var got []string
		if err := r.Jobs(t.Context(), q, func(j Job) error { got = append(got, j.ID); return nil }); err != nil {
			t.Fatal(err)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%+v: found %v, want %s", q, got, want)
		}
	}
	if faults := sound(t, r, Head{}); faults != nil {
		t.Errorf("a sound register has faults: %q", faults)
	}
}

func TestARunIsEnteredWholeOrNot(t *testing.T) {
	r := open1(t)
	fails := errors.New("the disk is gone")
	_, err := r.Enter(t.Context(), noon, func(yield func(Print, error) bool) {
		for p := range week(5, 1) {
			if !yield(p, nil) {
				return
			}
		}
		yield(Print{}, fails)
	})
	if !errors.Is(err, fails) {
		t.Fatalf("the error is %v", err)
	}
	if h, err := r.Head(t.Context()); err != nil || h.Events != 0 {
		t.Errorf("%d events of a run that failed are kept (%v)", h.Events, err)
	}
	for _, who := range []string{"", "=cmd", "a\nb", strings.Repeat("n", 61)} {
		if _, err := r.Enter(t.Context(), By{who, noon.At}, week(1, 1)); err == nil {
			t.Errorf("the name %q was taken", who)
		}
	}
}

func TestVerifyFindsWhatWasChanged(t *testing.T) {
	for name, c := range map[string]struct{ sql, says string }{
		"edited":           {"UPDATE event SET who = 'another' WHERE n = 4", "event 4 was edited"},
		"edited data":      {`UPDATE event SET data = replace(data, '"pages":5', '"pages":6') WHERE n = 9`, "event 9 was edited"},
		"missing":          {"DELETE FROM event WHERE n = 5", "event 6 follows event 4"},
		"another order":    {"UPDATE event SET n = 100 WHERE n = 2; UPDATE event SET n = 2 WHERE n = 3; UPDATE event SET n = 3 WHERE n = 100", "event 2 was edited"},
		"cut off":          {"DELETE FROM event WHERE n > 7; DELETE FROM print WHERE event > 7; DELETE FROM job WHERE print > 7", "ends with event 7, and event 12 was written down"},
		"manifest edited":  {"UPDATE manifest SET body = (SELECT body FROM manifest ORDER BY sum DESC LIMIT 1) WHERE sum = (SELECT min(sum) FROM manifest)", "was edited: its sum is another"},
		"manifest garbage": {"UPDATE manifest SET body = x'ff00' WHERE sum = (SELECT min(sum) FROM manifest)", "manifest"},
		"manifest missing": {"DELETE FROM manifest WHERE sum = (SELECT min(sum) FROM manifest)", "1 prints have no manifest"},
		"table edited":     {"UPDATE print SET pages = 4 WHERE event = 3", "the table print was edited"},
		"job edited":       {"UPDATE job SET unit = 'P-1' WHERE id = 'K-00003'", "the table job was edited"},
		"job missing":      {"DELETE FROM job WHERE id = 'K-00003'", "the table job was edited"},
	} {
		t.Run(name, func(t *testing.T) {
			r := open1(t)
			enter(t, r, 12, 1)
			head, err := r.Head(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			c.sql = "PRAGMA foreign_keys=OFF; DROP TRIGGER event_stays; DROP TRIGGER event_kept; " + c.sql
			if _, err := r.db.ExecContext(t.Context(), c.sql); err != nil {
				t.Fatal(err)
			}
			if faults := sound(t, r, head); !strings.Contains(strings.Join(faults, "\n"), c.says) {
				t.Errorf("found %q, want one with %q", faults, c.says)
			}
		})
	}
}

func TestEventsAreNeverEdited(t *testing.T) {
	r := open1(t)
	enter(t, r, 2, 1)
	for _, sql := range []string{"UPDATE event SET who = 'x'", "DELETE FROM event WHERE n = 2"} {
		if _, err := r.db.ExecContext(t.Context(), sql); err == nil {
			t.Errorf("%s was done", sql)
		}
	}
}

func TestAnExportMakesTheSameRegister(t *testing.T) {
	r := open1(t)
	enter(t, r, 30, 1)
	var old bytes.Buffer
	if err := r.ExportYAML(t.Context(), &old); err != nil {
		t.Fatal(err)
	}
	enter(t, r, 5, 2)
	var yaml, events, manifests bytes.Buffer
	if err := errors.Join(r.ExportYAML(t.Context(), &yaml), r.ExportCSV(t.Context(), &events, &manifests)); err != nil {
		t.Fatal(err)
	}
	// 0 of an empty register, then what a second import adds to what is there.
	for name, into := range map[string]func(*Register) (int, error){
		"yaml": func(r *Register) (int, error) { return r.ImportYAML(t.Context(), bytes.NewReader(yaml.Bytes())) },
		"csv": func(r *Register) (int, error) {
			return r.ImportCSV(t.Context(), bytes.NewReader(events.Bytes()), bytes.NewReader(manifests.Bytes()))
		},
		"yaml behind an older one": func(r *Register) (int, error) {
			if _, err := r.ImportYAML(t.Context(), bytes.NewReader(old.Bytes())); err != nil {
				return 0, err
			}
			added, err := r.ImportYAML(t.Context(), bytes.NewReader(yaml.Bytes()))
			return added + 30, err
		},
	} {
		t.Run(name, func(t *testing.T) {
			other := open1(t)
			if added, err := into(other); err != nil || added != 35 {
				t.Fatalf("added %d (%v), want 35", added, err)
			}
			head, _ := r.Head(t.Context())
			if faults := sound(t, other, head); faults != nil {
				t.Errorf("it has faults: %q", faults)
			}
			var again bytes.Buffer
			if err := other.ExportYAML(t.Context(), &again); err != nil || !bytes.Equal(again.Bytes(), yaml.Bytes()) {
				t.Errorf("its export is another (%v)", err)
			}
		})
	}
	if _, err := r.ImportYAML(t.Context(), bytes.NewReader(old.Bytes())); err == nil || !strings.Contains(err.Error(), "it is older") {
		t.Errorf("an older export gives %v", err)
	}
	apart := open1(t)
	enter(t, apart, 3, 9)
	if _, err := apart.ImportYAML(t.Context(), bytes.NewReader(yaml.Bytes())); err == nil || !strings.Contains(err.Error(), "went apart") {
		t.Errorf("the export of another register gives %v", err)
	}
}

func TestAnExportThatWasChangedAddsNothing(t *testing.T) {
	r := open1(t)
	enter(t, r, 4, 1)
	var yaml bytes.Buffer
	if err := r.ExportYAML(t.Context(), &yaml); err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(yaml.String(), "\n")
	for name, text := range map[string]string{
		"edited":     strings.Replace(yaml.String(), "P-002", "P-003", 1),
		"cut":        strings.Join(lines[:4], ""),
		"no events":  "",
		"other file": "site: works\n",
		"not JSON":   strings.Join(lines[:2], "") + "  - {x\n",
		"line lost":  strings.Join(append(append([]string{}, lines[:8]...), lines[9:]...), ""),
	} {
		other := open1(t)
		if _, err := other.ImportYAML(t.Context(), strings.NewReader(text)); err == nil {
			t.Errorf("%s: was taken", name)
		}
		if h, _ := other.Head(t.Context()); h.Events > 0 {
			t.Errorf("%s: %d events were kept", name, h.Events)
		}
	}
}

func TestAnOlderRegisterIsBroughtForward(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	r := openAt(t, path)
	enter(t, r, 3, 1)
	r.Close()
	was := steps
	defer func() { steps = was }()
	steps = append(append([]string{}, was...), "CREATE TABLE further (x)")
	r = openAt(t, path)
	if _, err := r.Job(t.Context(), "K-00001"); err != nil {
		t.Error(err)
	}
	if _, err := r.db.ExecContext(t.Context(), "INSERT INTO further VALUES (1)"); err != nil {
		t.Error(err)
	}
	r.Close()
	steps = was
	if _, err := Open(t.Context(), path); err == nil || !strings.Contains(err.Error(), "newer program") {
		t.Errorf("a newer register gives %v", err)
	}
	copied := openAt(t, fmt.Sprintf("%s.v%d", path, len(was)))
	if faults := sound(t, copied, Head{}); faults != nil {
		t.Errorf("the copy has faults: %q", faults)
	}
}

func TestAnotherFileIsRefused(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "text.db")
	if err := os.WriteFile(text, []byte(strings.Repeat("not a database\n", 100)), 0o644); err != nil {
		t.Fatal(err)
	}
	foreign := filepath.Join(dir, "foreign.db")
	r := openAt(t, foreign)
	if _, err := r.db.ExecContext(t.Context(), "PRAGMA application_id=7; PRAGMA user_version=0"); err != nil {
		t.Fatal(err)
	}
	r.Close()
	for path, says := range map[string]string{text: "cannot be read as a register", foreign: "database of something else", dir: "", filepath.Join(dir, "none", "x.db"): ""} {
		if _, err := Open(t.Context(), path); err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), path) {
			t.Errorf("%s gives %v", path, err)
		}
	}
}

// Several programs enter what they printed at once; here each has the file open by
// itself, as programs do.
func TestManyAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	openAt(t, path)
	var wait sync.WaitGroup
	for k := range 8 {
		wait.Go(func() {
			r, err := Open(context.Background(), path)
			if err != nil {
				t.Error(err)
				return
			}
			defer r.Close()
			for n := range 5 {
				if got, err := r.Enter(context.Background(), noon, week(3, 100*k+n)); err != nil || got != 3 {
					t.Errorf("entered %d (%v)", got, err)
				}
			}
		})
	}
	wait.Wait()
	r := openAt(t, path)
	if faults := sound(t, r, Head{}); faults != nil {
		t.Errorf("it has faults: %q", faults)
	}
	if h, _ := r.Head(t.Context()); h.Events != 8*5*3 {
		t.Errorf("%d events are kept of %d", h.Events, 8*5*3)
	}
}

// BenchmarkOpenAndFind is of a register of 100,000 jobs.
func BenchmarkOpenAndFind(b *testing.B) {
	path := filepath.Join(b.TempDir(), FileName)
	r := openAt(b, path)
	enter(b, r, 100_000, 1)
	r.Close()
	b.Run("open", func(b *testing.B) {
		for b.Loop() {
			r, err := Open(context.Background(), path)
			if err != nil {
				b.Fatal(err)
			}
			r.Close()
		}
	})
	r = openAt(b, path)
	b.Run("find", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			if _, err := r.Job(context.Background(), fmt.Sprintf("K-%05d", i*7919%100_000)); err != nil {
				b.Fatal(err)
			}
		}
	})
}
