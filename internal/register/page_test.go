package register

import (
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// Pages of jobs, put together, are the jobs that are wanted, each once and in order.
func TestPagesAreTheJobs(t *testing.T) {
	r, err := Open(t.Context(), filepath.Join(t.TempDir(), FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var all []Print
	for i := range 97 {
		all = append(all, Print{Job: fmt.Sprintf("K-%d", 10_000+i*7%97), Unit: fmt.Sprintf("P-%d", i%5), Procedure: "regrease-bearing", Day: fmt.Sprintf("2026-11-%02d", 1+i%9), Fingerprint: "7F3A91C2", Pages: 2, Manifest: []byte("{}")})
	}
	all = append(all, Print{Job: "k_100%", Unit: "it's", Procedure: "x", Day: "2026-11-01", Fingerprint: "00000000", Pages: 1, Manifest: []byte("{}")})
	_, err = r.Enter(t.Context(), By{"A", time.Unix(0, 0)}, func(yield func(Print, error) bool) {
		for _, p := range all {
			if !yield(p, nil) {
				return
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []Query{
		{}, {Unit: "P-3"}, {From: "2026-11-03", To: "2026-11-05"}, {State: JobOpen}, {Number: "k-1000"}, {Number: "K-1000", Unit: "P-3"}, {Unit: "it's"}, {Number: "K_100%"}, {State: JobVoid},
		{Unit: "P-3' OR '1'='1"}, {Number: "K-' OR 1=1 --"}, {Number: "%"}, {State: "open' OR 1=1 --"}, {From: "9' OR ''='"},
	} {
		var want []string
		if err := r.Jobs(t.Context(), q, func(j Job) error { want = append(want, j.ID); return nil }); err != nil {
			t.Fatal(err)
		}
		if strings := q.Unit + q.Number + string(q.State) + q.From; len(strings) > 0 && slices.ContainsFunc([]rune(strings), func(c rune) bool { return c == ' ' }) && len(want) > 0 {
			t.Errorf("%+v gave %d jobs", q, len(want))
		}
		for _, oldest := range []bool{true, false} {
			var got []string
			for after := (Place{}); ; {
				jobs, err := r.Page(t.Context(), q, after, oldest, 10)
				if err != nil {
					t.Fatal(err)
				}
				for _, j := range jobs {
					got, after = append(got, j.ID), Place{j.Day, j.ID}
				}
				if len(jobs) < 10 {
					break
				}
			}
			if !oldest {
				slices.Reverse(got)
			}
			if !slices.Equal(got, want) {
				t.Errorf("%+v, oldest %v: %v, want %v", q, oldest, got, want)
			}
		}
	}
}
