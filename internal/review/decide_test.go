package review

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"jobsheaf/internal/register"
)

var planner = register.By{Who: "Planner 1", At: time.Date(2026, 12, 1, 9, 0, 0, 0, time.UTC)}

func open(t testing.TB) *register.Register {
	t.Helper()
	r, err := register.Open(t.Context(), filepath.Join(t.TempDir(), register.FileName))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// enter enters so many jobs, of which the first back came back as the sample is.
func enter(t testing.TB, r *register.Register, jobs, back int, nameOf func(i int) (job, day string), change func(i int, p *Packet)) {
	t.Helper()
	var prints iter.Seq2[register.Print, error] = func(yield func(register.Print, error) bool) {
		for i := range jobs {
			job, day := nameOf(i)
			m := manifestOf(job)
			m.Day = day
			raw, err := m.Encode()
			if !yield(register.Print{Job: job, Unit: m.Unit, Procedure: m.Procedure, Day: day, Fingerprint: m.Fingerprint, Pages: len(m.Pages), Manifest: raw}, err) {
				return
			}
		}
	}
	if _, err := r.Enter(t.Context(), planner, prints); err != nil {
		t.Fatal(err)
	}
	for i := range back {
		job, _ := nameOf(i)
		of, err := r.Prints(t.Context(), job)
		if err != nil {
			t.Fatal(err)
		}
		p := complete()
		change(i, p)
		for _, paper := range p.papers {
			paper.Print, paper.Scan = of[0].Event, fmt.Sprintf("%064x", i)
			if _, _, err := r.See(t.Context(), planner, paper); err != nil {
				t.Fatal(err)
			}
		}
		var typed []register.Reading
		for _, reading := range p.readings {
			reading.Print, reading.Event = of[0].Event, 0
			typed = append(typed, reading)
		}
		if _, err := r.Type(t.Context(), planner, typed...); err != nil {
			t.Fatal(err)
		}
	}
}

// Whatever is wrong with packets: a packet can be closed exactly when no finding stands that
// nobody accepted, and accepting all that stand is enough.
func TestClosedWhenNothingStands(t *testing.T) {
	rnd := rand.New(rand.NewPCG(12, 1))
	r := open(t)
	var all []string
	m := manifestOf("K")
	for _, p := range m.Pages {
		for _, b := range p.Boxes {
			all = append(all, b.ID)
		}
	}
	const jobs = 36
	enter(t, r, jobs, jobs-1, func(i int) (string, string) { return fmt.Sprintf("K-%d", i), "2026-11-30" }, func(i int, p *Packet) {
		for range i % 6 { // of some nothing is wrong
			box := all[rnd.IntN(len(all))]
			p.is([]register.Mark{register.Marked, register.Blank, register.Unsure}[rnd.IntN(3)], box)
			if rnd.IntN(3) == 0 {
				p.forget(box)
			}
		}
		if i%7 == 0 {
			p.gone(1 + rnd.IntN(7))
		}
	})
	ctx := context.Background()
	clean, mended := 0, 0
	for i := range jobs {
		j, err := r.Job(ctx, fmt.Sprintf("K-%d", i))
		if err != nil {
			t.Fatal(err)
		}
		for {
			p, err := Of(ctx, r, j)
			if err != nil {
				t.Fatal(err)
			}
			stand := Open(p.Findings(When{}))
			var standing *Standing
			err = Close(ctx, r, planner, j)
			if (err == nil) != (len(stand) == 0) || err != nil && !errors.As(err, &standing) {
				t.Fatalf("%s: %d findings stand, and closing says %v", j.ID, len(stand), err)
			}
			if err == nil {
				break
			}
			some := stand[:1+rnd.IntN(len(stand))]
			var names []string
			for _, f := range some {
				names = append(names, f.Key)
			}
			if got, err := Accept(ctx, r, planner, j, names, "seen"); err != nil || len(got) < len(names) {
				t.Fatalf("%s: %v accepts %d (%v)", j.ID, names, len(got), err)
			}
			mended++
		}
		if j, _ = r.Job(ctx, j.ID); j.State != register.JobClosed {
			t.Errorf("%s is %s", j.ID, j.State)
		}
		if i%6 == 0 && i%7 != 0 {
			clean++
		}
	}
	if mended < 12 || clean < 5 {
		t.Errorf("%d acceptances, %d packets without a fault: that tries little", mended, clean)
	}
}

// The packets of a month are reviewed in time, out of a register of many years: of other
// jobs nothing is read.
func TestReviewIsFast(t *testing.T) {
	if testing.Short() {
		t.Skip("a large register")
	}
	r := open(t)
	const jobs, week = 3000, 40
	first := time.Date(2026, 11, 2, 0, 0, 0, 0, time.UTC)
	enter(t, r, jobs, week, func(i int) (string, string) {
		day := first.AddDate(0, 0, i%5)
		if i >= week {
			day = first.AddDate(0, 0, -7-i%3000)
		}
		return fmt.Sprintf("K-%d", i), day.Format(time.DateOnly)
	}, func(int, *Packet) {})
	began := time.Now()
	n := 0
	var list []register.Job
	err := r.Jobs(t.Context(), register.Query{From: "2026-11-01", To: "2026-11-30"}, func(j register.Job) error { list = append(list, j); return nil })
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range list {
		p, err := Of(t.Context(), r, j)
		if err != nil {
			t.Fatal(err)
		}
		n += len(Open(p.Findings(When{Today: "2026-12-01"})))
	}
	took := time.Since(began)
	if len(list) != week || n != 0 {
		t.Errorf("%d packets with %d findings, want %d without", len(list), n, week)
	}
	t.Logf("%d packets of %d jobs in %v", len(list), jobs, took)
	if took > 5*time.Second {
		t.Errorf("it took %v", took)
	}
}
