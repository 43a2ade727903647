package week

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/front"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// A ledger reads back as it was written, with all its lists and with none.
func TestLedgerReadsBack(t *testing.T) {
	p := factory(t, 3, nil)
	full := p.print(t, newShelf(), func(pr *Printer) { pr.Duplex = true }).Ledger
	full.Refused = []front.Refused{{Job: "K-9", At: diag.Pos{File: "l.csv", Line: 3}, Cause: front.InList, Reasons: []string{"no day"}}}
	full.Withdraw = []front.Withdrawal{{Job: "K-8", Files: []string{"K-8.pdf"}}}
	full.Crews = []front.Crew{{Name: "day", Hours: 8}, {Name: "late", Hours: 4}}
	full.Part = "2/5"
	for name, l := range map[string]*Ledger{"full": full, "empty": {Format: ledgerFormat, Run: front.Run{Program: "x", List: "l"}}} {
		var b bytes.Buffer
		if err := l.Encode(&b); err != nil {
			t.Fatal(err)
		}
		back, err := DecodeLedger(b.Bytes())
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, b.String())
		}
		back.Words = l.Words
		for _, list := range []any{&back.Parts, &back.Needs, &back.Jobs, &back.Refused, &back.Rounds, &back.Withdraw, &back.Files, &back.Crews} {
			if v := reflect.ValueOf(list).Elem(); v.Len() == 0 {
				v.SetZero()
			}
		}
		var again bytes.Buffer
		if err := back.Encode(&again); err != nil || again.String() != b.String() {
			t.Errorf("%s: written once more it is another", name)
		}
		if len(back.Jobs) != len(l.Jobs) || len(back.Files) != len(l.Files) || len(back.Crews) != len(l.Crews) || len(back.Refused) != len(l.Refused) || len(back.Withdraw) != len(l.Withdraw) || back.Part != l.Part || back.Duplex != l.Duplex {
			t.Errorf("%s: something of it is lost", name)
		}
		// A line to each entry, so that two ledgers can be compared by lines.
		entries := len(l.Parts) + len(l.Needs) + len(l.Jobs) + len(l.Refused) + len(l.Rounds) + len(l.Withdraw) + len(l.Files) + len(l.Crews)
		if n := strings.Count(b.String(), "\n    {"); n != entries {
			t.Errorf("%s: %d lines of entries, not %d", name, n, entries)
		}
	}
	if full.Encode(brokenWriter{}) == nil {
		t.Error("what cannot be written is said to be")
	}
}

// Parts that are joined are one ledger in its one order: what two parts share is there
// once, and each job still points to its own.
func TestJoinedLedger(t *testing.T) {
	part := func(name, digest string) packet.Part { return packet.Part{Name: name, Digest: digest} }
	job := func(id, day, crew string, needs int, from ...int) Done {
		return Done{Job: front.Job{Job: id, Day: day, Crew: crew}, From: from, NeedsAt: needs}
	}
	tool := func(s string) packet.Needs { return packet.Needs{Tools: []packet.Item{{Item: s}}} }
	a := &Ledger{Format: ledgerFormat, Part: "1/2", Parts: []packet.Part{part("z", "1"), part("a", "2")}, Needs: []packet.Needs{tool("x"), tool("y")},
		Jobs: []Done{job("K-3", "2026-12-01", "late", 0, 0), job("K-2", "", "day", 1, 1, 0)}, Files: []File{{Name: "b"}, {Name: "d"}},
		Rounds: []RoundDone{{Day: "2026-12-01", Crew: "late", File: "late"}, {Crew: "day", File: "none"}}}
	b := &Ledger{Format: ledgerFormat, Part: "2/2", Parts: []packet.Part{part("m", "3"), part("z", "1")}, Needs: []packet.Needs{tool("y"), tool("w")},
		Jobs: []Done{job("K-1", "2026-11-30", "", 0, 1), job("K-4", "2026-12-01", "day", 1, 0)}, Files: []File{{Name: "a"}, {Name: "c"}},
		Rounds: []RoundDone{{Day: "2026-11-30", File: "first"}, {Day: "2026-12-01", Crew: "day", File: "day"}}}
	for _, parts := range [][]*Ledger{{a, b}, {b, a}} {
		l, err := Join(parts)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, d := range l.Jobs {
			var from []string
			for _, i := range d.From {
				from = append(from, l.Parts[i].Name)
			}
			got = append(got, d.Job.Job+" "+strings.Join(from, "+")+" "+l.Needs[d.NeedsAt].Tools[0].Item)
		}
		if want := "K-1 z y; K-4 m w; K-3 z x; K-2 a+z y"; strings.Join(got, "; ") != want {
			t.Errorf("jobs %q, want %q", got, want)
		}
		var names, rounds []string
		for _, f := range l.Files {
			names = append(names, f.Name)
		}
		for _, r := range l.Rounds {
			rounds = append(rounds, r.File)
		}
		if strings.Join(names, "") != "abcd" || strings.Join(rounds, " ") != "first day late none" || len(l.Parts) != 3 || l.Parts[0].Name != "a" || l.Parts[2].Name != "z" || len(l.Needs) != 3 {
			t.Errorf("files %v, rounds %v, parts %v, %d needs", names, rounds, l.Parts, len(l.Needs))
		}
	}
	if !slices.Equal(a.Jobs[0].From, []int{0}) || a.Jobs[1].NeedsAt != 1 {
		t.Error("a part that is joined is changed by it")
	}
}

// What is to be taken out of the output: the files of jobs that are cancelled or gone
// from the list, as long as they are there, and of nothing else.
func TestWithdrawals(t *testing.T) {
	files := func(names ...string) *shelf {
		s := newShelf()
		for _, n := range names {
			s.files[n] = []byte("x")
		}
		return s
	}
	done := func(id, day, crew string) Done {
		return Done{Job: front.Job{Job: id, Unit: "P-1", Day: day, Crew: crew, Fingerprint: "F-" + id}}
	}
	before := &Ledger{Run: front.Run{List: "week"}, Jobs: []Done{done("K-1", "2026-11-30", "day"), done("K-2", "2026-11-30", "late"), done("K-3", "2026-12-01", "day")},
		Rounds:   []RoundDone{{Day: "2026-11-30", Crew: "day", File: "print/day.pdf", Fingerprint: "D"}, {Day: "2026-11-30", Crew: "late", File: "print/late.pdf", Fingerprint: "L"}, {Day: "2026-12-01", Crew: "day", File: "print/next.pdf", Fingerprint: "N"}},
		Withdraw: []front.Withdrawal{{Job: "K-0", Print: "print/old.pdf", Cancelled: true}}}
	all := []string{"K-0.pdf", "K-1.pdf", "K-1.json", "K-2.pdf", "K-3.json", "print/day.pdf", "print/late.pdf", "print/next.pdf", "print/old.pdf", ".x.pdf", "a/b.pdf", `a\b.pdf`, "a:b.pdf", "K-9.pdf", ".pdf"}
	for name, c := range map[string]struct {
		now       Ledger
		before    *Ledger
		cancelled []string
		there     []string
		want      string
	}{
		"nothing":                      {Ledger{Run: front.Run{List: "week"}}, nil, nil, all, ""},
		"gone from the list":           {Ledger{Run: front.Run{List: "week"}}, before, nil, all, "K-0 off K-0.pdf print/old.pdf; K-1 K-1.pdf K-1.json print/day.pdf; K-2 K-2.pdf print/late.pdf; K-3 K-3.json print/next.pdf"},
		"some are there":               {Ledger{Run: front.Run{List: "week"}}, before, nil, []string{"K-1.json", "print/late.pdf"}, "K-1 K-1.json; K-2 print/late.pdf"},
		"a round is printed again":     {Ledger{Run: front.Run{List: "week"}, Rounds: []RoundDone{{File: "print/day.pdf"}}}, before, nil, all, "K-0 off K-0.pdf print/old.pdf; K-1 K-1.pdf K-1.json; K-2 K-2.pdf print/late.pdf; K-3 K-3.json print/next.pdf"},
		"still on the list":            {Ledger{Run: front.Run{List: "week"}, Jobs: []Done{done("K-1", "", "")}, Refused: []front.Refused{{Job: "K-2"}}}, before, nil, all, "K-0 off K-0.pdf print/old.pdf; K-3 K-3.json print/next.pdf"},
		"of another list":              {Ledger{Run: front.Run{List: "other"}}, before, nil, all, "K-0 off K-0.pdf print/old.pdf"},
		"cancelled":                    {Ledger{Run: front.Run{List: "week"}}, before, []string{"K-2", "K-9"}, all, "K-0 off K-0.pdf print/old.pdf; K-1 K-1.pdf K-1.json print/day.pdf; K-2 off K-2.pdf print/late.pdf; K-3 K-3.json print/next.pdf; K-9 off K-9.pdf"},
		"cancelled, and never printed": {Ledger{Run: front.Run{List: "week"}}, nil, []string{"K-7", "K-9", "K-9"}, all, "K-9 off K-9.pdf"},
		"what can have no file":        {Ledger{Run: front.Run{List: "week"}}, nil, []string{".x", "a/b", `a\b`, "a:b", ""}, all, ""},
	} {
		out := newOutput(files(c.there...), nil)
		list, err := out.withdrawals(&c.now, c.before, c.cancelled)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, w := range list {
			off := ""
			if w.Cancelled {
				off = " off"
			}
			got = append(got, w.Job+off+" "+strings.Join(w.Files, " "))
		}
		if strings.Join(got, "; ") != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", name, strings.Join(got, "; "), c.want)
		}
	}
	if w := before.withdrawal(&before.Jobs[1]); w.Print != "print/late.pdf" || w.PrintFingerprint != "L" || w.Unit != "P-1" || w.Day != "2026-11-30" || w.Crew != "late" || w.Fingerprint != "F-K-2" {
		t.Errorf("%+v", w)
	}
}

// The rounds of a list, and how they are dealt to machines.
func TestRoundsAndShares(t *testing.T) {
	text := func(s string) record.Text { return record.Text{S: s} }
	b := &record.Book{Units: map[string]*record.Unit{"P-1": {Area: text("South")}, "P-2": {Area: text("North")}, "P-3": {Area: text("South")}}}
	job := func(id, unit, day, crew string) *record.Job {
		return &record.Job{ID: text(id), Unit: text(unit), Day: text(day), Crew: text(crew)}
	}
	rounds := Rounds(b, []*record.Job{job("1", "P-3", "2026-12-01", "day"), job("2", "P-1", "2026-12-01", "day"), job("3", "P-2", "2026-12-01", "day"), job("4", "P-1", "", "day"), job("5", "P-1", "2026-12-01", "late"),
		job("6", "P-9", "2026-12-01", "day"), job("7", "P-1", "2026-11-30", "late"), job("8", "P-1", "2026-12-01", "day"), job("9", "P-1", "2026-11-30", "")})
	var got []string
	for _, r := range rounds {
		s := r.Name() + ":"
		for _, j := range r.jobs {
			s += " " + j.ID.S
		}
		got = append(got, s)
	}
	if want := "2026-11-30: 9; 2026-11-30-late: 7; 2026-12-01-day: 6 3 2 8 1; 2026-12-01-late: 5; no-day-day: 4"; strings.Join(got, "; ") != want {
		t.Errorf("rounds\n%s\nwant\n%s", strings.Join(got, "; "), want)
	}
	for n := 1; n <= 7; n++ {
		var names []string
		for k := 1; k <= n; k++ {
			jobs := 0
			for _, r := range Share(rounds, k, n) {
				names = append(names, r.Name())
				jobs += len(r.jobs)
			}
			if most := map[int]int{1: 9, 2: 5}[n]; most > 0 && jobs > most || n > 1 && jobs > 5 || n == 2 && jobs < 4 {
				t.Errorf("share %d of %d has %d jobs", k, n, jobs)
			}
		}
		slices.Sort(names)
		if len(slices.Compact(names)) != len(rounds) || len(names) != len(rounds) {
			t.Errorf("%d shares have %v", n, names)
		}
	}
}

// How long a crew's day is, and how much of it a job takes.
func TestCapacityAndEffort(t *testing.T) {
	amount := func(v float64, k quantity.Kind) record.Amount {
		a := record.Amount{Value: quantity.Of(v, k)}
		a.S, a.At.Line = "x", 1
		return a
	}
	s := &record.Site{Crews: map[string]*record.Crew{"day": {People: amount(3, quantity.KindNumber), Hours: amount(7.5*3600, quantity.KindTime)}}}
	for crew, want := range map[string]float64{"day": 22.5, "late": 0, "": 0} {
		if got := capacity(s, crew); got != want {
			t.Errorf("%q: %v", crew, got)
		}
	}
	if capacity(nil, "day") != 0 {
		t.Error("a crew of no site")
	}
	p := factory(t, 1, nil)
	for _, c := range []struct {
		people, hours float64
		procedure     string
		want          string
	}{{0, 0, "look-over", "1 1"}, {3, 0, "look-over", "3 1"}, {0, 2.5, "look-over", "1 2.5"}, {4, 6, "look-over", "4 6"}, {4, 6, "none", "4 6"}, {0, 0, "none", "0 0"}} {
		j := &record.Job{Procedure: record.Text{S: c.procedure}}
		if c.people > 0 {
			j.People = amount(c.people, quantity.KindNumber)
		}
		if c.hours > 0 {
			j.Hours = amount(c.hours*3600, quantity.KindTime)
		}
		people, hours := effort(p.library, j)
		if got := fmt.Sprint(people, " ", hours); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}
