package week

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/front"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/pdfread"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
	"jobsheaf/internal/source"
)

// blocked is an output in which something is in the way of some names.
type blocked struct {
	*shelf
	names []string
}

func (b blocked) fault(name string) error {
	if slices.Contains(b.names, name) {
		return &printjob.Obstacle{Name: name, Why: "a folder has that name"}
	}
	return nil
}

func (b blocked) Create(name string) (Draft, error) {
	if err := b.fault(name); err != nil {
		return nil, err
	}
	return b.shelf.Create(name)
}

func (b blocked) Put(files ...printjob.File) error {
	for _, f := range files {
		if err := b.fault(f.Name); err != nil {
			return err
		}
	}
	return b.shelf.Put(files...)
}

func (b blocked) Size(name string) (int64, error) {
	if err := b.fault(name); err != nil {
		return -1, err
	}
	return b.shelf.Size(name)
}

func (b blocked) Ends(name string, n int) (head, tail []byte, err error) {
	if err := b.fault(name); err != nil {
		return nil, nil, err
	}
	return b.shelf.Ends(name, n)
}

// What is in the way of one file costs that file alone; it is told once, and is not
// said to be printed.
func TestInTheWay(t *testing.T) {
	p := factory(t, 24, nil)
	want := newShelf()
	whole := p.print(t, want, nil)
	if want := []string{"print/2027-01-04-day.pdf", "print/2027-01-04-late.pdf", "front/2027-W01.pdf"}; !slices.Equal(whole.Files, want) {
		t.Errorf("files %v, not %v", whole.Files, want)
	}
	if jobs, pages := whole.Printed(); jobs != 24 || pages == 0 {
		t.Fatalf("%d jobs, %d pages", jobs, pages)
	}
	for _, d := range whole.Ledger.Jobs {
		if u := p.book.Units[d.Unit]; d.Area != u.Area.S || d.Entry == "" || d.Pages < 4 {
			t.Errorf("%+v", d)
		}
	}
	for name, lost := range map[string]int{"M-10003.pdf": 1, "print/2027-01-04-late.pdf": 0, "front/2027-W01.pdf": 0, "front/jobs.csv": 0, "week.json": 0} {
		s := newShelf()
		r := p.print(t, blocked{s, []string{name}}, nil)
		jobs, pages := r.Printed()
		if len(r.Obstacles) != 1 || r.Obstacles[0].Name != name || jobs != 24-lost {
			t.Errorf("%s: %d jobs, obstacles %v", name, jobs, r.Obstacles)
		}
		if _, all := whole.Printed(); lost > 0 && (pages >= all || pages < all-20) || lost == 0 && pages != all {
			t.Errorf("%s: %d pages", name, pages)
		}
		if slices.Contains(r.Files, name) || len(r.Restored) != 0 {
			t.Errorf("%s is among %v, restored %v", name, r.Files, r.Restored)
		}
		if s.files[name] != nil || len(s.files) < len(want.files)-2 {
			t.Errorf("%s: %d files", name, len(s.files))
		}
		// Once the way is free it is printed.
		p.print(t, s, func(pr *Printer) { pr.Before = r.Ledger })
		same(t, s, want, "after "+name)
	}
}

// What is taken away or altered while a run goes on is not said to be printed.
func TestTakenAway(t *testing.T) {
	p := factory(t, 24, nil)
	s := newShelf()
	r := p.print(t, s, func(pr *Printer) {
		pr.Tell = func(at Progress) {
			if at.Round == nil {
				return
			}
			s.mu.Lock()
			defer s.mu.Unlock()
			delete(s.files, "M-10001.pdf")
			if b := s.files["M-10002.json"]; len(b) > 0 {
				s.files["M-10002.json"] = b[:len(b)-1]
			}
		}
	})
	var got []string
	for _, o := range r.Obstacles {
		got = append(got, o.Name+": "+o.Why[:14])
	}
	slices.Sort(got)
	if want := []string{"M-10001.pdf: it was taken a", "M-10002.json: it was changed"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	if jobs, _ := r.Printed(); jobs != 23 {
		t.Errorf("%d jobs are said to be printed", jobs)
	}
}

// What is no longer as the run before left it is made again, and said.
func TestRestored(t *testing.T) {
	p := factory(t, 24, nil)
	s := newShelf()
	first := p.print(t, s, nil)
	for name, kept := range map[string]int{"M-10003.pdf": 4, "M-10003.json": 4, "print/2027-01-04-late.pdf": 20, "print/2027-01-04-day.pdf": 4, "front/2027-W01.pdf": 24, "front/jobs.csv": 24} {
		was := s.files[name]
		for what, b := range map[string][]byte{"gone": nil, "altered": append(slices.Clone(was[:len(was)-1]), '?'), "longer": append(slices.Clone(was), '\n')} {
			if s.files[name] = b; b == nil {
				delete(s.files, name)
			}
			r := p.print(t, s, func(pr *Printer) { pr.Before = first.Ledger })
			if !slices.Equal(r.Restored, []string{name}) || r.Kept != kept {
				t.Errorf("%s %s: restored %v, kept %d", name, what, r.Restored, r.Kept)
			}
			if string(s.files[name]) != string(was) {
				t.Errorf("%s %s: it is not as it was", name, what)
			}
		}
	}
	r := p.print(t, s, func(pr *Printer) { pr.Before = first.Ledger })
	if len(r.Restored) != 0 || r.Kept != 24 || len(r.Stale) != 0 || !slices.Equal(r.Files, first.Files) {
		t.Errorf("untouched: restored %v, kept %d, stale %v, files %v not %v", r.Restored, r.Kept, r.Stale, r.Files, first.Files)
	}
}

// Printed on both sides, each part begins on a front, and the ledger counts the
// blank backs.
func TestSides(t *testing.T) {
	for _, duplex := range []bool{false, true} {
		p := factory(t, 5, nil)
		s := newShelf()
		set := func(pr *Printer) { pr.Duplex = duplex }
		r := p.print(t, s, set)
		d := r.Ledger.Rounds[0]
		f, err := pdfread.Read(s.files[d.File])
		if err != nil || len(f.Pages) != d.Pages || duplex && d.Pages%2 != 0 {
			t.Errorf("%d pages, the ledger says %d: %v", len(f.Pages), d.Pages, err)
		}
		if len(d.Fingerprint) != 8 || d.Fingerprint != strings.ToUpper(d.Fingerprint) || d.Jobs != 5 {
			t.Errorf("%+v", d)
		}
		again := p.print(t, s, func(pr *Printer) { set(pr); pr.Before = r.Ledger })
		if again.Kept != 5 || again.Ledger.Rounds[0] != d {
			t.Errorf("again %+v, not %+v", again.Ledger.Rounds[0], d)
		}
	}
}

// What a planner reads of why a packet is not the one of last time.
func TestWhy(t *testing.T) {
	old := &Ledger{Parts: []packet.Part{{Name: "site.yaml", Digest: "1"}, {Name: "units/a.yaml", Digest: "2"}, {Name: "liquids/b.yaml", Digest: "3"}}}
	done := func(fingerprint, entry, crew string, people float64, from ...int) Done {
		return Done{Job: front.Job{Job: "K-1", Unit: "P-1", Procedure: "any", Day: "2026-11-30", Crew: crew, People: people, Fingerprint: fingerprint}, Entry: entry, From: from}
	}
	old.Jobs = []Done{done("AA", "e1", "day", 2, 0, 1, 2)}
	part := func(name, digest string) packet.Part { return packet.Part{Name: name, Digest: digest} }
	all := []packet.Part{part("site.yaml", "1"), part("units/a.yaml", "2"), part("liquids/b.yaml", "3")}
	for name, c := range map[string]struct {
		now   Done
		parts []packet.Part
		want  string
	}{
		"nothing":            {done("AA", "e1", "day", 2), all, ""},
		"its entry":          {done("BB", "e2", "", 3), all, "its entry in the list: crew was day, is not given, people was 2, is 3"},
		"the way of it":      {done("BB", "e2", "day", 2), all, "its entry in the list"},
		"a record":           {done("BB", "e1", "day", 2), []packet.Part{part("site.yaml", "1"), part("units/a.yaml", "9"), part("liquids/b.yaml", "3")}, "units/a.yaml"},
		"one more":           {done("BB", "e1", "day", 2), append(slices.Clone(all), part("designs/c.yaml", "4")), "now made from designs/c.yaml"},
		"one less":           {done("BB", "e1", "day", 2), all[:2], "no longer made from liquids/b.yaml"},
		"another in a place": {done("BB", "e1", "day", 2), []packet.Part{all[0], all[1], part("liquids/w.yaml", "5")}, "now made from liquids/w.yaml; no longer made from liquids/b.yaml"},
	} {
		if got := strings.Join(newEarlier(old).why(&c.now, c.parts), "; "); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
	fresh := done("AA", "e1", "day", 2)
	fresh.Job.Job = "K-2"
	if got := newEarlier(old).why(&fresh, all); len(got) != 1 || !strings.HasPrefix(got[0], "new in the list") {
		t.Errorf("%q", got)
	}
}

// The hours of a crew's day against those of its jobs, worked by hand.
func TestCrewDay(t *testing.T) {
	at := func(line int) diag.Pos { return diag.Pos{File: "l.csv", Line: line, Col: 1} }
	text := func(s string, line int) record.Text {
		if s == "" {
			return record.Text{}
		}
		return record.Text{S: s, At: at(line)}
	}
	p := factory(t, 1, nil)
	p.book.Site.Crews["day"] = &record.Crew{Name: "day", People: source.Amount{Text: text("2", 1), Value: quantity.Of(2, quantity.KindNumber)}, Hours: source.Amount{Text: text("8 h", 1), Value: quantity.Of(8*3600, quantity.KindTime)}}
	job := func(line int, day, crew string, people, hours float64) *record.Job {
		j := &record.Job{ID: text(fmt.Sprint("K-", line), line), Unit: text("T-0001", line), Procedure: text("look-over", line), Day: text(day, line), Crew: text(crew, line), At: at(line)}
		if people > 0 {
			j.People = source.Amount{Text: text("x", line), Value: quantity.Of(people, quantity.KindNumber)}
		}
		if hours > 0 {
			j.Hours = source.Amount{Text: text("x", line), Value: quantity.Of(hours*3600, quantity.KindTime)}
		}
		return j
	}
	broken := job(9, "2026-11-30", "day", 9, 9)
	broken.Problems.Errorf(at(9), "x", "", "wrong")
	for name, c := range map[string]struct {
		jobs []*record.Job
		want string
	}{
		"just enough":        {[]*record.Job{job(2, "2026-11-30", "day", 2, 5), job(3, "2026-11-30", "day", 1, 6)}, ""},
		"too much":           {[]*record.Job{job(3, "2026-11-30", "day", 2, 5), job(2, "2026-11-30", "day", 1, 6.5)}, "l.csv:3:1 crew-day 16 16.5"},
		"by the procedure":   {[]*record.Job{job(2, "2026-11-30", "day", 2, 8), job(3, "2026-11-30", "day", 0, 0)}, "l.csv:3:1 crew-day 16 17"}, // one person, one hour
		"a job with a fault": {[]*record.Job{job(2, "2026-11-30", "day", 2, 5), broken}, ""},
		"two days":           {[]*record.Job{job(2, "2026-11-30", "day", 2, 5), job(3, "2026-12-01", "day", 2, 5)}, ""},
		"no crew":            {[]*record.Job{job(2, "2026-11-30", "", 99, 5)}, ""},
		"no day":             {[]*record.Job{job(2, "", "day", 99, 5)}, ""},
		"yesterday":          {[]*record.Job{job(2, "2026-11-29", "day", 1, 1), job(3, "2026-11-30", "day", 1, 1)}, "l.csv:2:1 past-day"},
	} {
		var got []string
		for _, q := range Check(p.book, p.library, c.jobs, "2026-11-30") {
			s := q.Pos.String() + " " + q.Rule
			if q.Rule == "crew-day" {
				var room, sum string
				fmt.Sscanf(q.Message[strings.Index(q.Message, "has "):], "has %s", &room)
				fmt.Sscanf(q.Message[strings.Index(q.Message, "take "):], "take %s", &sum)
				s += " " + room + " " + sum
				if !strings.Contains(q.Message, "Monday, 2026-11-30") {
					t.Errorf("%s: %s", name, q.Message)
				}
			}
			got = append(got, s)
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%s: %q, want %q", name, s, c.want)
		}
	}
}

// A ledger that no run can have written is refused.
func TestLedgersRefused(t *testing.T) {
	for text, want := range map[string]string{
		"":              "damaged",
		`{"format":99}`: "another version",
		fmt.Sprintf(`{"format":%d,"jobs":[{"job":"K-1","needs":0}]}`, ledgerFormat):                                                     "job K-1 points nowhere",
		fmt.Sprintf(`{"format":%d,"needs":[{}],"jobs":[{"job":"K-1","needs":1}]}`, ledgerFormat):                                        "job K-1 points nowhere",
		fmt.Sprintf(`{"format":%d,"needs":[{}],"jobs":[{"job":"K-1","needs":-1}]}`, ledgerFormat):                                       "job K-1 points nowhere",
		fmt.Sprintf(`{"format":%d,"needs":[{}],"jobs":[{"job":"K-1","from":[0]}]}`, ledgerFormat):                                       "job K-1 points nowhere",
		fmt.Sprintf(`{"format":%d,"needs":[{}],"parts":[{"name":"a","digest":"b"}],"jobs":[{"job":"K-1","from":[0,1]}]}`, ledgerFormat): "job K-1 points nowhere",
		fmt.Sprintf(`{"format":%d,"needs":[{}],"parts":[{"name":"a","digest":"b"}],"jobs":[{"job":"K-1","from":[-1]}]}`, ledgerFormat):  "job K-1 points nowhere",
		fmt.Sprintf(`{"format":%d,"needs":[{}],"parts":[{"name":"a","digest":"b"}],"jobs":[{"job":"K-1","from":[0]}]}`, ledgerFormat):   "",
	} {
		_, err := DecodeLedger([]byte(text))
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", text, err)
		}
	}
	for s, want := range map[string]bool{"1/1": true, "10000/10000": true, "1/10000": true, "1/10001": false, "2/1": false, "5/5": true, "6/5": false, "00001/1": true, "000001/1": false} {
		if k, n, err := ParsePart(s); (err == nil) != want {
			t.Errorf("%s is part %d of %d: %v", s, k, n, err)
		}
	}
	if got := partName("2/5"); got != "week.2of5.json" {
		t.Error(got)
	}
	// Refused jobs of all parts are on the whole list, in the order of their places.
	part := func(k int, line int) *Ledger {
		return &Ledger{Format: ledgerFormat, Part: fmt.Sprintf("%d/2", k), Refused: []front.Refused{{Job: fmt.Sprint("K-", line), At: diag.Pos{File: "l.csv", Line: line}}}}
	}
	all, err := Join([]*Ledger{part(1, 7), part(2, 3)})
	if err != nil || len(all.Refused) != 2 || all.Refused[0].Job != "K-3" || all.Part != "" {
		t.Errorf("%+v, %v", all, err)
	}
	three := *part(1, 7)
	three.Part = "1/3"
	if _, err := Join([]*Ledger{&three}); err == nil || err.Error() != "part 2/3 is missing" {
		t.Errorf("%v", err)
	}
	for what, change := range map[string]func(*Ledger){
		"another program": func(l *Ledger) { l.Program = "x" }, "another list": func(l *Ledger) { l.List = "x" }, "one side": func(l *Ledger) { l.Duplex = true },
		"another paper": func(l *Ledger) { l.Look.Paper = "x" }, "other crews": func(l *Ledger) { l.Crews = []front.Crew{{Name: "x"}} }, "other shares": func(l *Ledger) { l.Part = "2/3" },
		"twice": func(l *Ledger) { l.Part = "1/2" }, "no part": func(l *Ledger) { l.Part = "" },
	} {
		second := part(2, 3)
		change(second)
		if _, err := Join([]*Ledger{part(1, 7), second}); err == nil {
			t.Errorf("%s: they are joined", what)
		}
	}
}
