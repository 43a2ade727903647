package week

import (
	"context"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/front"
)

// Print files of days that the list no longer has, and of refused jobs, are named.
func TestStale(t *testing.T) {
	s := newShelf()
	before := factory(t, 24, nil).print(t, s, nil).Ledger
	p := factory(t, 20, nil) // without the late crew
	r := p.print(t, s, func(pr *Printer) { pr.Before = before })
	if len(r.Stale) != 0 || len(r.Ledger.Withdraw) != 4 { // it is named with its jobs
		t.Errorf("stale %v, withdrawn %v", r.Stale, r.Ledger.Withdraw)
	}
	for _, w := range r.Ledger.Withdraw {
		if !slices.Contains(w.Files, "print/2027-01-04-late.pdf") || w.Print != "print/2027-01-04-late.pdf" || w.Crew != "late" || w.Cancelled {
			t.Errorf("%+v", w)
		}
	}
	// The whole crew's day is refused: packets and print file of before are no longer true.
	p = factory(t, 24, func(_ map[string][]byte, csv *[]byte) {
		var b strings.Builder
		for row := range strings.Lines(string(*csv)) {
			if strings.Contains(row, ",late,") {
				row = strings.Replace(row, ",T-", ",X-", 1)
			}
			b.WriteString(row)
		}
		*csv = []byte(b.String())
	})
	pr := p.printer(s)
	pr.Before = before
	r, err := pr.Print(context.Background(), "list", Rounds(p.book, p.jobs), "")
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(r.Stale)
	if want := []string{"M-10020.pdf", "M-10021.pdf", "M-10022.pdf", "M-10023.pdf", "print/2027-01-04-late.pdf"}; !slices.Equal(r.Stale, want) {
		t.Errorf("stale are %v, not %v", r.Stale, want)
	}
	if len(r.Ledger.Refused) != 4 || len(r.Ledger.Rounds) != 1 || r.Ledger.Refused[0].Cause != front.InRecords {
		t.Errorf("%d refused, %d rounds", len(r.Ledger.Refused), len(r.Ledger.Rounds))
	}
	// A cancelled job that no ledger knows is told as long as its file is there.
	s.files["OLD-1.pdf"] = []byte("printed long ago")
	pr = p.printer(s)
	pr.Cancelled = []string{"OLD-1", "OLD-2"}
	if r, err = pr.Print(context.Background(), "list", nil, ""); err != nil || len(r.Ledger.Withdraw) != 1 || !r.Ledger.Withdraw[0].Cancelled || !slices.Equal(r.Ledger.Withdraw[0].Files, []string{"OLD-1.pdf"}) {
		t.Errorf("cancelled: %+v, %v", r.Ledger.Withdraw, err)
	}
	// Another list does not speak of this one's print files.
	pr = p.printer(s)
	pr.Before = before
	if r, err = pr.Print(context.Background(), "other", nil, ""); err != nil || len(r.Stale) != 0 {
		t.Errorf("another list: %v, %v", r.Stale, err)
	}
}
