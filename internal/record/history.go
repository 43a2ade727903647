package record

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// This file is about a unit's history: the entries of its own record, and those of records
// apart from it, such as what the site's register knows of packets that came back. They
// are put together by day, and by job within a day.

// History is a record of a unit's history apart from the unit's own record. Its name is
// the unit's.
type History struct {
	Record
	entries []HistoryEntry
}

// registerFolder is the folder of a site in which the history stands that its register
// gives: no file of a disk is read there.
const registerFolder = "register"

// FromRegister reports whether a place is in what the register gives: it was typed in from
// paper, under names that the packet had, and no file of the site can mend it.
func FromRegister(at diag.Pos) bool { return strings.HasPrefix(at.File, registerFolder+"/") }

// history reads a record of history.
func (l *loader) history(r Record, m *source.Map) *History {
	h := &History{Record: r}
	m.Need("entries: [{job: K-1190, day: 2025-03-04, as_left: {end_clearance: 0.10 mm}}]")
	for _, v := range m.List("entries") {
		e := v.Map()
		e.Whole("page", 1, 9999) // for whoever looks it up: nothing is made of it
		h.entries = append(h.entries, historyEntry(e))
	}
	for _, other := range l.Histories {
		if other.ID == h.ID && other.Span.File == h.Span.File { // they are told apart by their files
			l.problems.Add(diag.Problem{Pos: h.At, Severity: diag.Error, Rule: "duplicate", Message: "there are two records of " + h.String() + " in one file",
				Hint: "put the entries of both under one", Related: []diag.Pos{other.At}})
		}
	}
	return h
}

// historyEntry reads an entry; what else its record may say of it is read before.
func historyEntry(m *source.Map) HistoryEntry {
	m.Need("job: K-1190", "day: 2025-03-04")
	h := HistoryEntry{Job: m.Name("job"), Day: m.Day("day"), Replaced: m.Texts("replaced"),
		AsFound: readings(m.Map("as_found")), AsLeft: readings(m.Map("as_left"))}
	m.Done()
	return h
}

// readings reads measured amounts by name; which names there may be, and of which kind
// each is, is known to the unit's size: linkHistory and check look at them.
func readings(m *source.Map) map[string]Amount {
	out := map[string]Amount{}
	for _, e := range m.Entries() {
		if a := measured(e.Value.Text()); a.Known() {
			out[e.Key.S] = a
		}
	}
	return out
}

// linkHistories gives each unit what stands of it apart from its own record.
func (l *loader) linkHistories() {
	changed := map[*Unit]bool{}
	for _, h := range l.Histories {
		u := l.Units[h.ID]
		if u == nil {
			continue // check tells it
		}
		l.linkHistory(u.Size, h.entries, &h.Record)
		u.apart = append(u.apart, &h.Record)
		for _, e := range h.entries {
			e.Apart = []*Record{&h.Record}
			l.join(u, e)
		}
		changed[u] = true
	}
	for u := range changed {
		slices.SortStableFunc(u.History, func(a, b HistoryEntry) int {
			return cmp.Or(cmp.Compare(a.Day.S, b.Day.S), cmp.Compare(a.Job.S, b.Job.S))
		})
	}
}

// join adds an entry to a unit's history, to what is there of the same job where there is
// any. What stands there with another value is reported.
func (l *loader) join(u *Unit, e HistoryEntry) {
	i := slices.IndexFunc(u.History, func(h HistoryEntry) bool { return h.Job.S == e.Job.S && h.Job.Known() })
	if i < 0 {
		u.History = append(u.History, e)
		return
	}
	h := &u.History[i]
	if e.Day.Known() && h.Day.Known() && e.Day.S != h.Day.S {
		l.clash(e.Day, h.Day, "the job %s is on %s here, and on %s elsewhere", e.Job, e.Day, h.Day)
	}
	h.Apart = append(h.Apart, e.Apart...)
	for _, p := range e.Replaced {
		if !slices.ContainsFunc(h.Replaced, func(q Text) bool { return q.S == p.S }) {
			h.Replaced = append(h.Replaced, p)
		}
	}
	l.joinReadings(e.Job, "as found", h.AsFound, e.AsFound)
	l.joinReadings(e.Job, "as left", h.AsLeft, e.AsLeft)
}

func (l *loader) joinReadings(job Text, as string, have, more map[string]Amount) {
	for name, a := range more {
		switch b, twice := have[name]; {
		case !twice:
			have[name] = a
		case !alike(a, b):
			l.clash(a.Text, b.Text, "%s %s at job %s is %s here, and %s elsewhere", name, as, job, a, b)
		}
	}
}

// alike reports whether two readings are the same, however they are written.
func alike(a, b Amount) bool {
	x, y := a.Value.SI(), b.Value.SI()
	return a.Value.Type() == b.Value.Type() && math.Abs(x-y) <= 1e-9*max(math.Abs(x), math.Abs(y))
}

func (l *loader) clash(here, there Text, format string, args ...any) {
	l.problems.Add(diag.Problem{Pos: here.At, Severity: diag.Error, Rule: "history-clash", Message: fmt.Sprintf(format, args...),
		Hint: "nobody can tell which is right: look at the signed sheet of that job, and correct the other", Related: []diag.Pos{there.At}})
}

// PageHistory is what one page of a packet that came back adds to its unit's history.
type PageHistory struct {
	Unit, Job, Day string // the day as YYYY-MM-DD
	Page           int
	Readings       []PageReading
	Replaced       []string // parts
}

// PageReading is a reading of a page with its name in the history.
type PageReading struct {
	Name  string
	Left  bool   // as left; else as found
	Value string // a number with its unit, such as "31.94 mm"
}

// WithRegister gives the files of a site with a record of history for each page of which
// its register knows something, such as register/K-1190/page-14.yaml.
func WithRegister(site fs.FS, pages []PageHistory) fs.FS {
	files := map[string][]byte{}
	for i := range pages {
		name, data := pages[i].file()
		files[name] = data
	}
	return source.Overlay(site, registerFolder, files)
}

// file gives the page's record of history, and its name within the site. Readings stand in
// the order in which they are given, those as found first.
func (p *PageHistory) file() (name string, data []byte) {
	var b strings.Builder
	fmt.Fprintf(&b, "history: %s\nentries:\n  - job: %s\n    day: %s\n    page: %d\n", p.Unit, p.Job, p.Day, p.Page)
	for _, left := range []bool{false, true} {
		begun := false
		for _, r := range p.Readings {
			if r.Left != left {
				continue
			}
			if !begun {
				b.WriteString(map[bool]string{false: "    as_found:\n", true: "    as_left:\n"}[left])
			}
			begun = true
			fmt.Fprintf(&b, "      %s: %s\n", r.Name, quoted(r.Value))
		}
	}
	if len(p.Replaced) > 0 {
		b.WriteString("    replaced:\n")
	}
	for _, part := range p.Replaced {
		fmt.Fprintf(&b, "      - %s\n", quoted(part))
	}
	return fmt.Sprintf("%s/%s/page-%d.yaml", registerFolder, p.Job, p.Page), []byte(b.String())
}

// quoted writes a text as YAML takes it whatever is in it.
func quoted(s string) string {
	raw, _ := json.Marshal(s) // no text is refused
	return string(raw)
}
