package front

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// Weeks come in order, each with its own jobs and days, also where nothing of a week
// was printed.
func TestWeeksInOrder(t *testing.T) {
	run, _, _, _ := works(t)
	jobs := []Job{asking("A", "P-1", "2026-12-01", packet.Needs{}), asking("B", "P-1", "2026-12-02", packet.Needs{}), asking("C", "P-1", "2026-12-08", packet.Needs{}), asking("D", "P-1", "2026-12-08", packet.Needs{})}
	refused := []Refused{{Job: "R", Day: "2026-12-30"}, {Job: "S", Day: "2026-11-20"}, {Job: "T"}}
	var got []string
	for f := range Weeks(run, jobs, refused, []Withdrawal{{Job: "X"}}) {
		line := fmt.Sprintf("%s %s to %s:", f.Week, f.From, f.To)
		for _, j := range f.Jobs {
			line += " " + j.Job
		}
		line += ";"
		for _, r := range f.Refused {
			line += " " + r.Job
		}
		got = append(got, fmt.Sprintf("%s; %d days, %d off", line, len(f.Days), len(f.Withdraw)))
	}
	want := []string{"2026-W47  to :; S T; 0 days, 1 off", "2026-W49 2026-12-01 to 2026-12-02: A B; T; 2 days, 1 off", "2026-W50 2026-12-08 to 2026-12-08: C D; T; 1 days, 1 off", "2026-W53  to :; R T; 0 days, 1 off"}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
	for f := range Weeks(run, jobs, refused, nil) {
		if f.Week != want[0][:8] {
			t.Errorf("%s is the first week", f.Week)
		}
		break
	}
	for f := range Weeks(run, nil, []Refused{{Job: "T"}}, nil) {
		if f.Week != "" || len(f.Refused) != 1 {
			t.Errorf("%+v", f)
		}
	}
}

// A crew's day says its hours and those of the crew; more than it has is told at the
// head, and what the binary fractions of its sum add is not more.
func TestHours(t *testing.T) {
	run, _, _, _ := works(t)
	for _, c := range []struct {
		people, hours, room float64
		n                   int
		want                string
		over                bool
	}{
		{1, 8, 10, 1, "<hours> 8 10", false},
		{2, 4, 8, 1, "<hours> 8 8", false},
		{1, 0.1, 0.3, 3, "<hours> 0,3 0,3", false}, // 0.1 + 0.1 + 0.1 is more than 0.3 in binary
		{1, 8.25, 8, 1, "<hours_over> 8,25 8", true},
		{1, 8, 0, 1, "<hours_alone> 8", false},
		{1, 0, 8, 1, "<hours> – 8", false},
	} {
		run.Crews = []Crew{{"late", 1}, {"day", c.room}}
		var jobs []Job
		for i := range c.n {
			j := asking(fmt.Sprint("J", i), "P-1", "2026-11-30", packet.Needs{})
			j.People, j.Hours = c.people, c.hours
			jobs = append(jobs, j)
		}
		for f := range Weeks(run, jobs, nil, nil) {
			glance := sheetOf(t, &f, "glance")
			holds(t, glance, "  [2026-11-30 <monday>, day: "+c.want+"]")
			if strings.Contains(glance, "strong(<over>)") != c.over {
				t.Errorf("%g of %g hours are told to be too many, or are not", c.hours, c.room)
			}
		}
	}
}

// One job that was refused and one that is withdrawn are told at the head as well as
// many, the first to the planner alone.
func TestFactsOfOne(t *testing.T) {
	run, jobs, _, _ := works(t)
	for f := range Weeks(run, jobs[:1], []Refused{{Unit: "P-9"}}, []Withdrawal{{Job: "X"}}) {
		holds(t, sheetOf(t, &f, "glance"), "* strong(<title>): P-9", "* strong(<title>): X")
	}
	f := Round(run, "2026-11-30", "day", jobs[:1], []Refused{{Unit: "P-9"}})
	if glance := sheetOf(t, &f, "round"); strings.Contains(glance, "strong(<title>): P-9") {
		t.Errorf("told to a crew:\n%s", glance)
	}
}

// Jobs are named in a cell until there are three; then all of them, or all of one
// procedure, are counted, or those few named that are left out, and any others are named.
func TestNamedOrCounted(t *testing.T) {
	run, _, _, _ := works(t)
	var jobs []Job
	for i, title := range []string{"Rebuild", "Rebuild", "Seal", "Rebuild", "Seal", "Seal", "Seal"} {
		j := asking(string(rune('A'+i)), "P-1", "2026-11-30", packet.Needs{})
		j.Title = title
		jobs = append(jobs, j)
	}
	f := Round(run, "2026-11-30", "day", jobs, nil)
	s := newSheets(&f)
	for _, c := range []struct {
		jobs, want string
		shared     bool
	}{
		{"A", "A", false}, {"A B", "A, B", false},
		{"A B D", "<all_of> 3 Rebuild", true}, {"C E F G", "<all_of> 4 Seal", true},
		{"C E F", "C, E, F", false}, {"A B C", "A, B, C", false}, {"A B C D", "A, B, C, D", false},
		{"A B C D E F G", "<all> 7", true}, {"A B C D E F", "<all_but> G", false}, {"A B C D E", "A, B, C, D, E", false},
	} {
		if text, shared := s.group(strings.Fields(c.jobs)); text != c.want || shared != c.shared {
			t.Errorf("%s are %s, shared: %t", c.jobs, text, shared)
		}
	}
	many := make([]string, 13)
	for i := range many {
		many[i] = fmt.Sprint(i)
	}
	if got := some(many[:12]); got != "0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11" {
		t.Error(got)
	}
	if got := some(many); got != "0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11 …" {
		t.Error(got)
	}
	if got := s.firstDay([]string{"elsewhere"}); got != "" {
		t.Errorf("a job of another week is first on %q", got)
	}
	f.Jobs[1].Day, f.Jobs[1].Crew = "", ""
	if got := s.firstDay([]string{"C", "B"}); got != "" {
		t.Errorf("a job without a day is first on %q", got)
	}
}

// What one lead begins is read once, in the place of the first.
func TestOneLead(t *testing.T) {
	got := oneLead([]string{"Hoist: drive, 9 kg", "Torch", "Hoist: rotor, 3 kg", "Torch", "Flush: water"})
	if want := []string{"Hoist: drive, 9 kg / rotor, 3 kg", "Torch", "Flush: water"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// Up to twenty jobs each sheet of a week is set on one page; a round, whose sheets
// follow each other, is not.
func TestOnOnePage(t *testing.T) {
	run, _, _, _ := works(t)
	for n, want := range map[int]int{1: 1, oneLook: 1, oneLook + 1: 0} {
		var jobs []Job
		for i := range n {
			jobs = append(jobs, asking(fmt.Sprint("J", i), "P-1", "2026-11-30", packet.Needs{Dangers: []string{"Burns."}}))
		}
		for f := range Weeks(run, jobs, nil, nil) {
			pk, _ := f.packet()
			if len(pk.Sheets) != 2 {
				t.Fatalf("%d sheets", len(pk.Sheets))
			}
			for _, s := range pk.Sheets {
				if s.Pages != want {
					t.Errorf("%d jobs: the sheet %s has %d pages", n, s.ID, s.Pages)
				}
			}
		}
		f := Round(run, "2026-11-30", "day", jobs, nil)
		if pk, _ := f.packet(); len(pk.Sheets) != 1 || pk.Sheets[0].Pages != 0 {
			t.Errorf("%d sheets of a round", len(pk.Sheets))
		}
	}
}

// What no typeface of the pages may have prints by its number; the first and the last
// of each range that they have, and their neighbours.
func TestPrintable(t *testing.T) {
	for text, want := range map[string]string{
		"\n": "\n", "\t": "U+0009", "\x1f": "U+001F", " ~": " ~", "\x7f": "U+007F", "\u009f": "U+009F", "\u00a1ÿſ": "\u00a1ÿſ", "\u00a0": "U+00A0", "\u00ad": "U+00AD", "ƀ": "U+0180",
		"\u0390": "U+0390", "Αџ": "Αџ", "\u03a2": "U+03A2", "Ѡ": "U+0460", "–—‘’“”…": "–—‘’“”…", "→": "U+2192", "": "",
	} {
		if got := printable(text); got != want {
			t.Errorf("%q prints as %q, not %q", text, got, want)
		}
	}
}

// Whatever the front matter says, and how it is said, shows in its fingerprint.
func TestFingerprint(t *testing.T) {
	run, jobs, refused, withdraw := works(t)
	seen := map[string]string{}
	for what, change := range map[string]func(r *Run, f *Front){
		"nothing": func(*Run, *Front) {}, "the program": func(r *Run, _ *Front) { r.Program = "other" }, "the list": func(r *Run, _ *Front) { r.List = "week-50" },
		"both sides": func(r *Run, _ *Front) { r.Duplex = true }, "annexes": func(r *Run, _ *Front) { r.Annex = true }, "paper": func(r *Run, _ *Front) { r.Look.Paper = "Letter" },
		"a job": func(_ *Run, f *Front) { f.Jobs[0].Pages++ }, "a withdrawal": func(_ *Run, f *Front) { f.Withdraw = nil }, "a lock": func(_ *Run, f *Front) { f.Locks[0].Jobs = nil },
	} {
		r := *run
		f := Round(&r, "2026-12-01", "day", jobs[3:4], refused[:1])
		f.Withdraw = withdraw
		change(&r, &f)
		id := f.ID()
		if was := seen[id]; was != "" || len(id) != 64 {
			t.Errorf("%s and %s have the fingerprint %s", was, what, id)
		}
		seen[id] = what
	}
}

// The pages of what was printed again name each job with every reason.
func TestChanges(t *testing.T) {
	run, jobs, _, _ := works(t)
	run.Words, _ = words.Load(nil, templates.FS, "en", nil)
	f := Round(run, "2026-12-01", "day", jobs[3:4], nil)
	doc, problems := f.Changes([]Change{{Job: "D", Why: []string{"units/P-3.yaml: unit P-3", "its entry ≋"}}, {Job: "E", Why: []string{"the program"}}})
	if problems.HasErrors() || len(doc.Pages) != 1 {
		t.Fatalf("%d pages, %v", len(doc.Pages), problems)
	}
	said := ""
	for _, x := range doc.Pages[0].Texts {
		said += x.S + "|"
	}
	for _, want := range []string{run.Words.Get("week.changed.title"), run.Words.Get("week.change"), "D", "unit P-3", "U+224B", "E", "the program"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is missing in %s", want, said)
		}
	}
	run.Look.Paper = "Napkin"
	if _, problems := f.Changes(nil); !problems.HasErrors() {
		t.Error("a paper that there is not is not told")
	}
	run.Look.Paper, run.Words = "A4", run.Words.Replace("week.changed.title", "")
	if _, problems := f.Changes(nil); len(problems) != 1 || problems[0].Rule != "missing-word" {
		t.Errorf("a word that the catalogue lacks: %v", problems)
	}
}
