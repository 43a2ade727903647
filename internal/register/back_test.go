package register

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// sumOf makes something of the form of a SHA-256.
func sumOf(n int) string { return fmt.Sprintf("%064x", n) }

// came is a page of a scan that shows page n of a print.
func came(scan, at int, print int64, page int) Paper {
	return Paper{State: Placed, Scan: sumOf(scan), File: "scan.pdf", At: at, Code: "J1:X", Print: print, Page: page, Picture: sumOf(1000*scan + at),
		Boxes: []Box{{ID: "s1.1.done", Is: Marked, Ink: 3.2}, {ID: "s1.1.reading", Is: Unsure}}}
}

func see(t *testing.T, r *Register, p Paper) (Paper, bool) {
	t.Helper()
	got, isNew, err := r.See(t.Context(), noon, p)
	if err != nil {
		t.Fatal(err)
	}
	return got, isNew
}

func TestPaperThatComesBack(t *testing.T) {
	r := open1(t)
	enter(t, r, 2, 1)
	first, isNew := see(t, r, came(1, 1, 1, 2))
	if !isNew || !first.Counts || first.Job != "K-00000" || len(first.Boxes) != 2 || first.Boxes[0] != (Box{ID: "s1.1.done", Is: Marked, Ink: 3.2}) {
		t.Errorf("the first paper is %+v", first)
	}
	if again, isNew := see(t, r, came(1, 1, 1, 2)); isNew || again.Event != first.Event {
		t.Errorf("the same page of the same file is event %d, new %v", again.Event, isNew)
	}
	second, isNew := see(t, r, came(2, 1, 1, 2))
	if !isNew || second.Counts {
		t.Errorf("a page that came twice counts: %+v", second)
	}
	if twice, err := r.Twice(t.Context(), 10); err != nil || len(twice) != 1 || twice[0].Event != second.Event {
		t.Errorf("that came twice is %+v (%v)", twice, err)
	}
	if err := r.Choose(t.Context(), noon, second.Event); err != nil {
		t.Fatal(err)
	}
	if twice, err := r.Twice(t.Context(), 10); err != nil || len(twice) != 0 { // somebody chose the later one
		t.Errorf("after the choice %+v came twice (%v)", twice, err)
	}
	papers, err := r.Papers(t.Context(), 1)
	if err != nil || len(papers) != 2 || papers[0].Event != second.Event || papers[1].Counts {
		t.Errorf("after the choice the papers are %+v (%v)", papers, err)
	}
	lost, _ := see(t, r, Paper{State: Unplaced, Scan: sumOf(3), File: "x.png", At: 1, Why: "no code"})
	todo, err := r.ToPlace(t.Context(), 10)
	if err != nil || len(todo) != 1 || todo[0].Event != lost.Event {
		t.Errorf("to be placed is %+v (%v)", todo, err)
	}
	if err := r.Choose(t.Context(), noon, lost.Event); err == nil {
		t.Error("a paper that nobody placed was chosen")
	}
	by := came(3, 1, 2, 1)
	by.Of = lost.Event
	placed, isNew := see(t, r, by)
	if !isNew || !placed.Counts || placed.Job != "K-00001" {
		t.Errorf("placed by a person it is %+v", placed)
	}
	if _, isNew := see(t, r, by); isNew {
		t.Error("it was placed twice by the same word")
	}
	if todo, _ := r.ToPlace(t.Context(), 10); len(todo) != 0 {
		t.Errorf("still to be placed: %+v", todo)
	}
	if got, ok, err := r.Came(t.Context(), sumOf(3), 1); !ok || err != nil || got.Event != placed.Event {
		t.Errorf("page 1 of the third scan is %+v (%v)", got, err)
	}
	if j, err := r.Job(t.Context(), "K-00000"); err != nil || j.Back != 1 {
		t.Errorf("%d pages of the job came back, want 1 (%v)", j.Back, err)
	}
	for name, p := range map[string]Paper{"no sum": {Scan: "x", At: 1}, "no page": {Scan: sumOf(9)}, "no such print": came(9, 1, 77, 1)} {
		if _, _, err := r.See(t.Context(), noon, p); err == nil {
			t.Errorf("%s: was taken", name)
		}
	}
	if faults := sound(t, r, Head{}); faults != nil {
		t.Errorf("faults: %q", faults)
	}
}

func TestWhatIsSaidOfABox(t *testing.T) {
	r := open1(t)
	enter(t, r, 1, 1)
	ctx := t.Context()
	mia, noa := By{"Mechanic 1", noon.At}, By{"Mechanic 2", noon.At}
	one := Reading{Print: 1, Box: "wear.pin.A", Text: "31,94", Value: "31.94", Unit: "mm"}
	if n, err := r.Type(ctx, mia, one); n != 1 || err != nil {
		t.Fatalf("typed %d (%v)", n, err)
	}
	if n, err := r.Type(ctx, mia, one); n != 0 || err != nil {
		t.Errorf("typed again, word for word: %d (%v)", n, err)
	}
	other := one
	other.Text, other.Value = "31.96", "31.96"
	var meanwhile *Meanwhile
	if _, err := r.Type(ctx, noa, other); !errors.As(err, &meanwhile) || meanwhile.Who != "Mechanic 1" || meanwhile.Said != "31,94" {
		t.Errorf("another reading, typed without having seen the first, gives %v", err)
	}
	got, err := r.Readings(ctx, 1)
	if err != nil {
		t.Fatal(err)
	}
	other.Before = got["wear.pin.A"].Event
	second := Reading{Print: 1, Box: "wear.pin.B", Text: "31.95", Value: "31.95", Unit: "mm", Why: "accepted by the engineer", Paper: 0}
	if n, err := r.Type(ctx, noa, second, other); n != 2 || err != nil {
		t.Errorf("a correction and a further reading: %d (%v)", n, err)
	}
	got, _ = r.Readings(ctx, 1)
	if len(got) != 2 || got["wear.pin.A"].Value != "31.96" || got["wear.pin.A"].Who != "Mechanic 2" || got["wear.pin.B"].Why != second.Why {
		t.Errorf("readings are %+v", got)
	}
	if err := r.Settle(ctx, mia, Settled{Print: 1, Box: "s1.1.done", Is: Marked}); err != nil {
		t.Fatal(err)
	}
	if err := r.Settle(ctx, noa, Settled{Print: 1, Box: "s1.1.done", Is: Blank}); !errors.As(err, &meanwhile) || meanwhile.Said != "marked" {
		t.Errorf("a second word on a box gives %v", err)
	}
	said, _ := r.Settled(ctx, 1)
	if err := r.Settle(ctx, noa, Settled{Print: 1, Box: "s1.1.done", Is: Blank, Before: said["s1.1.done"].Event}); err != nil {
		t.Error(err)
	}
	if said, _ = r.Settled(ctx, 1); said["s1.1.done"].Is != Blank {
		t.Errorf("settled is %+v", said)
	}
	for name, err := range map[string]error{
		"unsure by a person": r.Settle(ctx, mia, Settled{Print: 1, Box: "b", Is: Unsure}),
		"of no print":        r.Settle(ctx, mia, Settled{Print: 9, Box: "b", Is: Blank}),
		"nothing typed":      second1(r.Type(ctx, mia, Reading{Print: 1, Box: "b"})),
		"too much typed":     second1(r.Type(ctx, mia, Reading{Print: 1, Box: "b", Text: strings.Repeat("9", 3000)})),
	} {
		if err == nil {
			t.Errorf("%s: was taken", name)
		}
	}
	if faults := sound(t, r, Head{}); faults != nil {
		t.Errorf("faults: %q", faults)
	}
}

func second1(_ int, err error) error { return err }

func TestAPacketIsClosedAndOpenedAgain(t *testing.T) {
	r := open1(t)
	enter(t, r, 2, 1)
	ctx := t.Context()
	decide := func(kind DecisionKind, finding, why string) error {
		return r.Decide(ctx, noon, Decision{Kind: kind, Print: 1, Finding: finding, Why: why})
	}
	for _, c := range []struct {
		kind         DecisionKind
		finding, why string
		refused      string
	}{
		{Reopen, "", "to look", "is open"},
		{Accept, "sign s3", "", "say why"},
		{Accept, "", "because", "one finding"},
		{Accept, "sign s3", "seen on site", ""},
		{Accept, "sign s3", "seen on site, by the engineer", ""},
		{Close, "", "", ""},
		{Close, "", "", "is closed"},
		{Accept, "sign s4", "late", "is closed"},
		{Reopen, "", "", "say why"},
		{Reopen, "", "a page was found", ""},
		{MakeVoid, "", "the pump was replaced", ""},
		{Reopen, "", "it was not", ""},
	} {
		err := decide(c.kind, c.finding, c.why)
		if (err == nil) != (c.refused == "") || err != nil && !strings.Contains(err.Error(), c.refused) {
			t.Errorf("%s %q gives %v, want %q", c.kind, c.finding, err, c.refused)
		}
	}
	all, err := r.Decisions(ctx, "k-00000")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, d := range all {
		got = append(got, fmt.Sprint(d.Kind, " ", d.Holds))
	}
	if want := "excepted false, excepted true, closed false, reopened false, voided false, reopened true"; strings.Join(got, ", ") != want {
		t.Errorf("decisions are %s, want %s", strings.Join(got, ", "), want)
	}
	if err := decide(Close, "", ""); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Type(ctx, noon, Reading{Print: 1, Box: "b", Text: "1"}); err == nil || !strings.Contains(err.Error(), "is closed") {
		t.Errorf("typing into a closed packet gives %v", err)
	}
	n := 0
	if err := r.Jobs(ctx, Query{State: JobClosed}, func(j Job) error { n++; return nil }); err != nil || n != 1 {
		t.Errorf("%d jobs are closed (%v)", n, err)
	}
	if faults := sound(t, r, Head{}); faults != nil {
		t.Errorf("faults: %q", faults)
	}
}

// filled gives a register in which something of every kind happened.
func filled(t *testing.T) *Register {
	r := open1(t)
	enter(t, r, 3, 1)
	see(t, r, came(1, 1, 1, 1))
	p, _ := see(t, r, came(2, 1, 1, 1))
	err := errors.Join(
		r.Choose(t.Context(), noon, p.Event),
		r.Settle(t.Context(), noon, Settled{Print: 1, Box: "a", Is: Marked}),
		second1(r.Type(t.Context(), noon, Reading{Print: 1, Box: "b", Text: "5"})),
		r.Decide(t.Context(), noon, Decision{Kind: Accept, Print: 1, Finding: "f", Why: "w"}),
		r.Decide(t.Context(), noon, Decision{Kind: Close, Print: 1}))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestAnExportHoldsWhatCameBack(t *testing.T) {
	r := filled(t)
	var yaml, again bytes.Buffer
	if err := r.ExportYAML(t.Context(), &yaml); err != nil {
		t.Fatal(err)
	}
	other := open1(t)
	if _, err := other.ImportYAML(t.Context(), bytes.NewReader(yaml.Bytes())); err != nil {
		t.Fatal(err)
	}
	if err := other.ExportYAML(t.Context(), &again); err != nil || !bytes.Equal(yaml.Bytes(), again.Bytes()) {
		t.Errorf("its export is another (%v)", err)
	}
	if j, err := other.Job(t.Context(), "K-00000"); err != nil || j.State != JobClosed || j.Back != 1 {
		t.Errorf("the job is %+v (%v)", j, err)
	}
	if faults := sound(t, other, Head{}); faults != nil {
		t.Errorf("faults: %q", faults)
	}
}

func TestVerifyFindsWhatWasChangedOfThePaper(t *testing.T) {
	for _, sql := range []string{
		"UPDATE paper SET counts = 1", "DELETE FROM settled", "UPDATE settled SET mark = 'blank'", "DELETE FROM reading",
		"UPDATE decision SET holds = 0", "UPDATE job SET state = 'open'", "UPDATE paper SET picture = ''",
	} {
		r := filled(t)
		if _, err := r.db.ExecContext(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
		if faults := sound(t, r, Head{}); !strings.Contains(strings.Join(faults, "\n"), "was edited") {
			t.Errorf("%s is found as %q", sql, faults)
		}
	}
}

// A register of the first version, with prints, is brought forward with all that it holds.
func TestTheFirstVersionIsBroughtForward(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	was := steps
	steps = steps[:1]
	r, err := Open(t.Context(), path)
	steps = was
	if err != nil {
		t.Fatal(err)
	}
	enter(t, r, 4, 1)
	r.Close()
	r = openAt(t, path)
	if j, err := r.Job(t.Context(), "K-00003"); err != nil || j.State != JobOpen || j.Pages != 5 {
		t.Errorf("the job is %+v (%v)", j, err)
	}
	if faults := sound(t, r, Head{}); faults != nil {
		t.Errorf("faults: %q", faults)
	}
}

// Twenty people say something of the same boxes at once: for each box one is heard, and
// the others are told who.
func TestManyPeopleAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	enter(t, openAt(t, path), 1, 1)
	const people, boxes = 20, 5
	told := make([]int, people)
	var wait sync.WaitGroup
	for k := range people {
		wait.Go(func() {
			r, err := Open(context.Background(), path)
			if err != nil {
				t.Error(err)
				return
			}
			defer r.Close()
			for b := range boxes {
				_, err := r.Type(context.Background(), By{fmt.Sprintf("Person %d", k), noon.At}, Reading{Print: 1, Box: fmt.Sprint("b", b), Text: fmt.Sprint(k)})
				var meanwhile *Meanwhile
				switch {
				case errors.As(err, &meanwhile):
				case err != nil:
					t.Error(err)
				default:
					told[k]++
				}
			}
		})
	}
	wait.Wait()
	sum := 0
	for _, n := range told {
		sum += n
	}
	r := openAt(t, path)
	if h, _ := r.Head(t.Context()); sum != boxes || h.Events != 1+boxes {
		t.Errorf("%d readings were said to be kept, and %d events are, want %d", sum, h.Events-1, boxes)
	}
	if faults := sound(t, r, Head{}); faults != nil {
		t.Errorf("faults: %q", faults)
	}
}
