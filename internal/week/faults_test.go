package week

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/front"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/record"
)

// failing is an output of which one call fails: that with the number at, counted from
// 1; of none where at is 0. name is that of the file which the call was about.
type failing struct {
	*shelf
	calls, at int
	with      func(name string) error
	name      string
}

func (f *failing) fault(name string) error {
	if f.calls++; f.calls != f.at {
		return nil
	}
	f.name = name
	return f.with(name)
}

type failingDraft struct {
	Draft
	f    *failing
	name string
}

func (d *failingDraft) Keep() error {
	if err := d.f.fault(d.name); err != nil {
		return err
	}
	return d.Draft.Keep()
}

func (f *failing) Create(name string) (Draft, error) {
	if err := f.fault(name); err != nil {
		return nil, err
	}
	d, err := f.shelf.Create(name)
	return &failingDraft{d, f, name}, err
}

func (f *failing) Put(files ...printjob.File) error {
	if err := f.fault(files[0].Name); err != nil {
		return err
	}
	return f.shelf.Put(files...)
}

func (f *failing) Ends(name string, n int) (head, tail []byte, err error) {
	if err := f.fault(name); err != nil {
		return nil, nil, err
	}
	return f.shelf.Ends(name, n)
}

func (f *failing) Size(name string) (int64, error) {
	if err := f.fault(name); err != nil {
		return -1, err
	}
	return f.shelf.Size(name)
}

func (f *failing) Sum(name string) (string, error) {
	if err := f.fault(name); err != nil {
		return "", err
	}
	return f.shelf.Sum(name)
}

var errMachine = errors.New("the disk is gone")

// runs are ways to print a list onto a shelf that may hold what was printed before.
func runs(t *testing.T, p *plant, whole *shelf, ledger *Ledger) map[string]func(s Output) (*Result, error) {
	print := func(part string, set func(*Printer)) func(s Output) (*Result, error) {
		return func(s Output) (*Result, error) {
			pr := p.printer(s)
			pr.Maker.Workers = 1
			if set != nil {
				set(pr)
			}
			return pr.Print(context.Background(), "list", Rounds(p.book, p.jobs), part)
		}
	}
	return map[string]func(s Output) (*Result, error){
		"anew":                      print("", nil),
		"as a part":                 print("1/1", nil),
		"again":                     print("", func(pr *Printer) { pr.Before = ledger }),
		"again, without its ledger": print("", nil),
		"what changed":              print("", func(pr *Printer) { pr.Before, pr.Changed = older(ledger), true }),
		"nothing but what is off": func(s Output) (*Result, error) {
			pr := p.printer(s)
			pr.Before, pr.Cancelled = ledger, []string{"M-10001"}
			return pr.Print(context.Background(), "list", nil, "")
		},
		"finished": func(s Output) (*Result, error) {
			l := *ledger
			return Finish(s, &l, ledger, p.words)
		},
	}
}

// older is a ledger in which every packet was another.
func older(l *Ledger) *Ledger {
	old := *l
	old.Jobs = slices.Clone(l.Jobs)
	for i := range old.Jobs {
		old.Jobs[i].Fingerprint = "00000000"
	}
	return &old
}

// An error of the machine, at whatever call, ends the run and is given as it is; what
// is in the way of one file alone does not, and costs no other file.
func TestFaultAtEveryCall(t *testing.T) {
	p := factory(t, 3, nil)
	whole := newShelf()
	ledger := p.print(t, whole, nil).Ledger
	for name, run := range runs(t, p, whole, ledger) {
		shelfFor := func() *shelf {
			s := newShelf()
			if name != "anew" && name != "as a part" {
				s.files = maps.Clone(whole.files)
			}
			return s
		}
		sound := &failing{shelf: shelfFor()}
		if _, err := run(sound); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for at := 1; at <= sound.calls; at++ {
			f := &failing{shelf: shelfFor(), at: at, with: func(string) error { return errMachine }}
			switch _, err := run(f); {
			case err == nil && strings.HasSuffix(f.name, ".json") && f.name != LedgerName:
				// A manifest that cannot be read back: its round is printed again.
				for file, b := range whole.files {
					if !bytes.Equal(f.files[file], b) {
						t.Errorf("%s, call %d (%s): %s is not as it was", name, at, f.name, file)
					}
				}
			case !errors.Is(err, errMachine):
				t.Errorf("%s, call %d (%s): the run ends with %v", name, at, f.name, err)
			}
			for file, b := range f.files {
				if !strings.HasPrefix(file, "week.") && !strings.HasPrefix(file, changedIn) && !strings.HasPrefix(file, frontIn) && !bytes.Equal(b, whole.files[file]) {
					t.Errorf("%s, call %d: %s is not whole", name, at, file)
				}
			}
			f = &failing{shelf: shelfFor(), at: at, with: func(name string) error { return &printjob.Obstacle{Name: name, Why: "in the way"} }}
			r, err := run(f)
			if err != nil {
				t.Errorf("%s, call %d (%s) with something in the way: %v", name, at, f.name, err)
				continue
			}
			if len(r.Obstacles) > 1 || len(r.Obstacles) == 1 && (r.Obstacles[0].Name != f.name || r.Obstacles[0].Why != "in the way") {
				t.Errorf("%s, call %d (%s): obstacles are %v", name, at, f.name, r.Obstacles)
			}
			for file := range sound.files {
				if _, there := f.files[file]; !there && file != f.name && !strings.HasPrefix(file, strings.TrimSuffix(f.name, ".pdf")) {
					t.Errorf("%s, call %d (%s): %s is not there", name, at, f.name, file)
				}
			}
		}
	}
}

// A run tells how far it is: at its end all jobs and all their pages, whether they were
// printed or kept.
func TestHowFar(t *testing.T) {
	p := factory(t, 5, nil)
	s := newShelf()
	var before *Ledger
	for _, what := range []string{"anew", "again", "one packet is gone"} {
		if what == "one packet is gone" {
			delete(s.files, "M-10002.pdf")
		}
		var last Progress
		rounds, jobs := 0, 0
		r := p.print(t, s, func(pr *Printer) {
			pr.Before = before
			pr.Tell = func(at Progress) {
				if at.Jobs < last.Jobs || at.Of != 5 {
					t.Errorf("%s: %+v after %+v", what, at, last)
				}
				last = at
				if at.Round == nil {
					jobs++
					return
				}
				rounds++
				if at.Whole != (what == "again") {
					t.Errorf("%s: %+v, %+v", what, at, at.Round)
				}
			}
		})
		pages := 0
		for _, d := range r.Ledger.Jobs {
			pages += d.Pages
		}
		if got, all := r.Printed(); got != 5 || all != pages {
			t.Errorf("%s: %d jobs of %d pages are printed, not %d", what, got, all, pages)
		}
		wantJobs, kept := 5, 0
		if what == "again" {
			wantJobs, kept = 0, 5
		}
		if last.Jobs != 5 || rounds != 1 || jobs != wantJobs || r.Kept != kept {
			t.Errorf("%s: at the end %+v, %d rounds, %d jobs told, %d kept; %d pages", what, last, rounds, jobs, r.Kept, pages)
		}
		before = r.Ledger
	}
}

// What was altered so that it is another packet's is printed again, though no ledger
// tells how it was.
func TestManifestOfAnotherPacket(t *testing.T) {
	p := factory(t, 3, nil)
	want := newShelf()
	r := p.print(t, want, nil)
	fingerprint := r.Ledger.Jobs[1].Fingerprint
	for what, change := range map[string][2]string{
		"fingerprint": {`"` + fingerprint + `"`, `"00000000"`}, "program": {`"jobsheaf test"`, `"jobsheaf other"`}, "no JSON": {"{", "["}, "empty": {"", ""},
	} {
		s := &shelf{files: maps.Clone(want.files), room: 1 << 62}
		name := r.Ledger.Jobs[1].Job.Job + ".json"
		s.files[name] = bytes.Replace(s.files[name], []byte(change[0]), []byte(change[1]), 1)
		if what == "empty" {
			s.files[name] = nil
		} else if bytes.Equal(s.files[name], want.files[name]) {
			t.Fatalf("%s does not hold %s", name, change[0])
		}
		if again := p.print(t, s, nil); again.Kept != 0 {
			t.Errorf("%s: %d are kept", what, again.Kept)
		}
		same(t, s, want, what)
	}
}

// Why a job is refused, for its planner and for its crew.
func TestReasonsOfRefusals(t *testing.T) {
	at := diag.Pos{File: "list.csv", Line: 7, Col: 1}
	unit := diag.Pos{File: "units/a.yaml", Line: 3, Col: 5}
	problem := func(pos diag.Pos, rule, message string, related ...diag.Pos) diag.Problem {
		return diag.Problem{Pos: pos, Severity: diag.Error, Rule: rule, Message: message, Related: related}
	}
	warning := problem(unit, "x", "a warning")
	warning.Severity = diag.Warning
	for name, c := range map[string]struct {
		own, found diag.List
		cause      front.Cause
		want       string
	}{
		"in the records":             {nil, diag.List{problem(at, "refused", "the unit has an error", unit)}, front.InRecords, "the unit has an error (see units/a.yaml:3:5)"},
		"at another place":           {nil, diag.List{problem(unit, "refused", "the unit has an error")}, front.InRecords, "units/a.yaml:3:5: the unit has an error"},
		"at no place":                {nil, diag.List{problem(diag.Pos{}, "x", "no room")}, front.InRecords, "no room"},
		"for another unit":           {nil, diag.List{problem(at, "wrong-procedure", "is for other units"), problem(unit, "x", "more")}, front.InProcedure, "is for other units | units/a.yaml:3:5: more"},
		"in the list":                {diag.List{problem(at, "day", "no day")}, diag.List{problem(at, "refused", "its own entry has an error")}, front.InList, "no day"},
		"in both":                    {diag.List{problem(at, "day", "no day")}, diag.List{problem(unit, "x", "more"), problem(unit, "wrong-procedure", "other")}, front.InList, "no day | units/a.yaml:3:5: other | units/a.yaml:3:5: more"},
		"twice the same":             {diag.List{problem(at, "day", "no day")}, diag.List{problem(at, "day", "no day"), problem(at, "x", "no day")}, front.InList, "no day"},
		"warnings are no reasons":    {nil, diag.List{warning, problem(at, "x", "a fault")}, front.InRecords, "a fault"},
		"two places":                 {nil, diag.List{problem(at, "x", "a fault", unit, at)}, front.InRecords, "a fault (see units/a.yaml:3:5) (see list.csv:7:1)"},
		"a refusal that says itself": {nil, diag.List{problem(at, "refused", "there is no site record")}, front.InRecords, "there is no site record"},
	} {
		j := &record.Job{ID: record.Text{S: "K-1"}, Unit: record.Text{S: "P-1"}, Procedure: record.Text{S: "any"}, Day: record.Text{S: "2026-11-30"}, Crew: record.Text{S: "day"}, At: at, Problems: c.own}
		s := &printing{run: &run{}}
		s.refuse(printjob.Made{Job: j, Problems: c.found})
		r := s.refused[0]
		if got := strings.Join(r.Reasons, " | "); got != c.want || r.Cause != c.cause {
			t.Errorf("%s: %q, %s; want %q, %s", name, got, r.Cause, c.want, c.cause)
		}
		if r.Job != "K-1" || r.Unit != "P-1" || r.Procedure != "any" || r.Day != "2026-11-30" || r.Crew != "day" || r.At != at {
			t.Errorf("%s: %+v", name, r)
		}
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errMachine }

// What a file of the output is now, an empty one too, and whether it is as the run
// before left it.
func TestFilesOfTheOutput(t *testing.T) {
	s := newShelf()
	s.files["full"], s.files["empty"] = []byte("text"), nil
	was := func(name string) File {
		f, err := newOutput(s, nil).file(name)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	full, empty := was("full"), was("empty")
	if full.Name != "full" || full.Bytes != 4 || len(full.SHA256) != 64 || empty.Name != "empty" || empty.Bytes != 0 || len(empty.SHA256) != 64 || was("none") != (File{}) {
		t.Errorf("%+v, %+v, %+v", full, empty, was("none"))
	}
	changed := full
	changed.SHA256 = empty.SHA256
	for _, c := range []struct {
		name       string
		before     []File
		same       bool
		left, told bool
	}{
		{"full", nil, true, true, false}, {"full", []File{full}, true, true, false}, {"full", []File{changed}, true, false, true}, {"full", []File{changed}, false, true, false},
		{"empty", nil, true, true, false}, {"empty", []File{empty}, true, true, false}, {"none", nil, true, false, false}, {"none", []File{{Name: "none", Bytes: 3}}, true, false, true}, {"none", []File{{Name: "none", Bytes: 3}}, false, false, false},
	} {
		out := newOutput(s, &Ledger{Files: c.before})
		left, err := out.asLeft(c.name, c.same)
		if err != nil || left != c.left || (len(out.restored) > 0) != c.told {
			t.Errorf("%+v: as left %t, told %v, %v", c, left, out.restored, err)
		}
		if _, listed := out.files[c.name]; listed != c.left {
			t.Errorf("%+v: listed %t", c, listed)
		}
	}
}
