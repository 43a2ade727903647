// Package front sums up the packets of a week or of one crew's day: what there is
// to do, to pull from the store, to lock and to watch out for.
//
// Entry points: Weeks and Round, which give a Front; Front.LayOut makes its pages,
// and Tables writes it as CSV and JSON. It belongs here if it is about many
// packets on one sheet. It is not for printing the packets (printjob), for print
// files (week), nor for where files are (cli).
package front

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"strconv"
	"strings"
	"time"

	"jobsheaf/internal/diag"
)

// Run is what all front matter of a run has in common.
type Run struct {
	Program string `json:"program"`
	List    string `json:"list"`
	Duplex  bool   `json:"duplex,omitempty"`
	Look    Look   `json:"look"`
	Crews   []Crew `json:"crews"`
}

// Look is what the front matter takes from the site.
type Look struct {
	Site     string `json:"site"`
	Paper    string `json:"paper"`
	Language string `json:"language"`
}

// Crew is a crew with the hours of people's work that it has in a day.
type Crew struct {
	Name  string  `json:"name"`
	Hours float64 `json:"hours"`
}

// Job is a job that was printed.
type Job struct {
	Job         string  `json:"job"`
	Unit        string  `json:"unit"`
	UnitName    string  `json:"unit_name"`
	Area        string  `json:"area,omitempty"`
	Procedure   string  `json:"procedure"`
	Title       string  `json:"title"`
	Day         string  `json:"day"`
	Crew        string  `json:"crew,omitempty"`
	People      float64 `json:"people,omitempty"`
	Hours       float64 `json:"hours,omitempty"`
	Pages       int     `json:"pages"`
	Fingerprint string  `json:"fingerprint"`
	Needs       *Needs  `json:"-"`
}

// Refused is a job that was not printed, with the reasons.
type Refused struct {
	Job       string   `json:"job"`
	Unit      string   `json:"unit"`
	Procedure string   `json:"procedure,omitempty"`
	Day       string   `json:"day,omitempty"`
	Crew      string   `json:"crew,omitempty"`
	At        diag.Pos `json:"at"`
	Reasons   []string `json:"reasons"`
}

// Change is a job whose packet is not the one of an earlier run, and why.
type Change struct {
	Job string   `json:"job"`
	Why []string `json:"why"`
}

// Front is the front matter of some jobs, a week's or a round's: what there is to
// do, to pull, to lock and to watch out for. It is plain data; it prints as pages
// (sheets.go), as CSV and as JSON (tables.go).
type Front struct {
	Week        string      `json:"week"` // such as 2026-W49; "" where no job has a day
	Crew        string      `json:"crew,omitempty"`
	From        string      `json:"from"` // the first day
	To          string      `json:"to"`
	Days        []CrewDay   `json:"days"`
	Jobs        []Line      `json:"jobs"`
	Kits        []Pull      `json:"kits"`
	Supplies    []Pull      `json:"supplies"`
	Parts       []Pull      `json:"parts"`
	Locks       []LockUse   `json:"locks"`
	Tools       []Use       `json:"tools"`
	Instruments []Use       `json:"instruments"`
	Liquids     []LiquidUse `json:"liquids"`
	Refused     []Refused   `json:"refused"`

	round bool // of one crew's day, not of a week
	run   *Run
}

// CrewDay is the work of a crew on a day.
type CrewDay struct {
	Day   string  `json:"day"`
	Crew  string  `json:"crew"`
	Jobs  int     `json:"jobs"`
	Hours float64 `json:"hours"` // of people's work
	Room  float64 `json:"room"`  // the hours that the crew has; 0 where the site does not say
	Pages int     `json:"pages"` // of the packets
}

// Line is a job in the order in which it is walked.
type Line struct {
	Day         string  `json:"day"`
	Crew        string  `json:"crew"`
	Area        string  `json:"area"`
	Unit        string  `json:"unit"`
	UnitName    string  `json:"unit_name"`
	Job         string  `json:"job"`
	Procedure   string  `json:"procedure"`
	Title       string  `json:"title"`
	People      float64 `json:"people"`
	Hours       float64 `json:"hours"`
	Pages       int     `json:"pages"`
	Fingerprint string  `json:"fingerprint"`
}

// Pull is something to pull: so much of it, for these jobs.
type Pull struct {
	What   string   `json:"what"`
	Number string   `json:"number,omitempty"`
	Holds  string   `json:"holds,omitempty"`
	Amount string   `json:"amount"`
	Jobs   []string `json:"jobs"`
}

// LockUse is a point to lock and tag, for these jobs.
type LockUse struct {
	Area string `json:"area"`
	Unit string `json:"unit"`
	Lock
	Jobs []string `json:"jobs"`
}

// Use is a tool or an instrument, for these jobs.
type Use struct {
	What    string   `json:"what"`
	GoodFor string   `json:"good_for,omitempty"`
	Jobs    []string `json:"jobs"`
}

// LiquidUse is a liquid on the round, with the units that hold it, each as it is
// found in service.
type LiquidUse struct {
	Liquid
	Units []UnitState `json:"units"`
}

// UnitState is a unit with the state in which its liquid is found.
type UnitState struct {
	Unit      string   `json:"unit"`
	Condition string   `json:"condition"`
	Jobs      []string `json:"jobs"`
}

// weekOf gives the week of a day as ISO 8601 has it, such as 2026-W49, "" for a text
// that is not a date.
func weekOf(day string) string {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return ""
	}
	y, w := t.ISOWeek()
	return fmt.Sprintf("%04d-W%02d", y, w)
}

// Weeks gives the front matter of each week of a run, one after another. Jobs
// that were refused without a day that can be read are in that of every week.
func Weeks(r *Run, jobs []Job, refused []Refused) iter.Seq[Front] {
	var weeks []string
	for i := range jobs {
		weeks = append(weeks, weekOf(jobs[i].Day))
	}
	for i := range refused {
		if w := weekOf(refused[i].Day); w != "" {
			weeks = append(weeks, w)
		}
	}
	slices.Sort(weeks)
	weeks = slices.Compact(weeks)
	if len(weeks) == 0 && len(refused) > 0 {
		weeks = []string{""}
	}
	return func(yield func(Front) bool) {
		for _, w := range weeks {
			f := sum(r, jobs, refused, func(day string) bool { return weekOf(day) == w || day == "" })
			f.Week = w
			if !yield(f) {
				return
			}
		}
	}
}

// Round gives the front matter of one crew's day, of whose jobs those are.
func Round(r *Run, day, crew string, jobs []Job, refused []Refused) Front {
	f := sum(r, jobs, refused, func(string) bool { return true })
	f.Week, f.Crew, f.From, f.To, f.round = weekOf(day), crew, day, day, true
	return f
}

// sum sums up the jobs of some days.
func sum(r *Run, jobs []Job, refused []Refused, has func(day string) bool) Front {
	f := Front{Days: []CrewDay{}, Jobs: []Line{}, Refused: []Refused{}, run: r}
	s := newSums()
	for i := range jobs {
		j := &jobs[i]
		if !has(j.Day) {
			continue
		}
		f.Jobs = append(f.Jobs, Line{Day: j.Day, Crew: j.Crew, Area: j.Area, Unit: j.Unit, UnitName: j.UnitName, Job: j.Job, Procedure: j.Procedure, Title: j.Title,
			People: j.People, Hours: j.Hours, Pages: j.Pages, Fingerprint: j.Fingerprint})
		n := len(f.Days)
		if n == 0 || f.Days[n-1].Day != j.Day || f.Days[n-1].Crew != j.Crew {
			f.Days = append(f.Days, CrewDay{Day: j.Day, Crew: j.Crew, Room: r.hoursOf(j.Crew)})
			n++
		}
		d := &f.Days[n-1]
		d.Jobs++
		d.Hours += j.People * j.Hours
		d.Pages += j.Pages
		s.add(j, j.Needs)
	}
	for _, x := range refused {
		if has(x.Day) {
			f.Refused = append(f.Refused, x)
		}
	}
	if n := len(f.Days); n > 0 {
		f.From, f.To = f.Days[0].Day, f.Days[n-1].Day
	}
	s.into(&f)
	return f
}

func (r *Run) hoursOf(crew string) float64 {
	for _, c := range r.Crews {
		if c.Name == crew {
			return c.Hours
		}
	}
	return 0
}

// sums gathers what jobs need, each thing once, in the order of its first use.
type sums struct {
	kits, supplies, parts *tally[Pull]
	locks                 *tally[LockUse]
	tools, instruments    *tally[Use]
	liquids               *tally[LiquidUse]
	states                *tally[UnitState] // of each liquid
}

// tally keeps entries by key.
type tally[T any] struct {
	at   map[string]int
	list []T
}

func newTally[T any]() *tally[T] { return &tally[T]{at: map[string]int{}, list: []T{}} }

// of gives the entry of a key, made new where there is none.
func (t *tally[T]) of(key string, make func() T) *T {
	i, there := t.at[key]
	if !there {
		i = len(t.list)
		t.at[key] = i
		t.list = append(t.list, make())
	}
	return &t.list[i]
}

func newSums() *sums {
	return &sums{kits: newTally[Pull](), supplies: newTally[Pull](), parts: newTally[Pull](), locks: newTally[LockUse](),
		tools: newTally[Use](), instruments: newTally[Use](), liquids: newTally[LiquidUse](), states: newTally[UnitState]()}
}

func (s *sums) add(j *Job, n *Needs) {
	key := func(parts ...string) string { return strings.Join(parts, "\x00") }
	count := func(t *tally[Pull], key string, make Pull, amount float64, unit string) {
		p := t.of(key, func() Pull { return make })
		had, _, _ := strings.Cut(p.Amount, " ")
		v, _ := strconv.ParseFloat(had, 64)
		p.Amount = strings.TrimSpace(number(v+amount) + " " + unit)
		note(&p.Jobs, j.Job)
	}
	for _, k := range n.Kits {
		count(s.kits, key(k.Number, k.Kit, k.Holds), Pull{What: k.Kit, Number: k.Number, Holds: k.Holds}, 1, "")
	}
	for _, u := range n.Supplies {
		// Amounts in one unit are summed.
		number, unit, _ := strings.Cut(u.Amount, " ")
		amount, err := strconv.ParseFloat(number, 64)
		if err != nil { // in words, or a dash: as the job says
			p := s.supplies.of(key(u.Item, "", u.Amount), func() Pull { return Pull{What: u.Item, Amount: u.Amount} })
			note(&p.Jobs, j.Job)
			continue
		}
		count(s.supplies, key(u.Item, unit), Pull{What: u.Item}, amount, unit)
	}
	for _, p := range n.Parts {
		count(s.parts, key(p), Pull{What: p}, 1, "")
	}
	for _, k := range n.Locks {
		u := s.locks.of(key(j.Unit, k.Point, k.Device, k.Put), func() LockUse { return LockUse{Area: j.Area, Unit: j.Unit, Lock: k} })
		note(&u.Jobs, j.Job)
	}
	for _, t := range n.Tools {
		note(&s.tools.of(key(t), func() Use { return Use{What: t} }).Jobs, j.Job)
	}
	for _, i := range n.Instruments {
		note(&s.instruments.of(key(i.Name, i.GoodFor), func() Use { return Use{What: i.Name, GoodFor: i.GoodFor} }).Jobs, j.Job)
	}
	if q := n.Liquid; q.Name != "" {
		name := key(q.Name, q.Source)
		s.liquids.of(name, func() LiquidUse {
			q.Condition = "" // stands with each unit
			return LiquidUse{Liquid: q}
		})
		st := s.states.of(key(name, j.Unit, n.Liquid.Condition), func() UnitState { return UnitState{Unit: j.Unit, Condition: n.Liquid.Condition} })
		note(&st.Jobs, j.Job)
	}
}

// note adds a job to those that need something, once.
func note(jobs *[]string, job string) {
	if !slices.Contains((*jobs)[max(0, len(*jobs)-1):], job) { // a job's needs come together
		*jobs = append(*jobs, job)
	}
}

// into hands the sums over in their order: kits by number, tools by name, locks in
// the order of the walk.
func (s *sums) into(f *Front) {
	byWhat := func(a, b Pull) int {
		return cmp.Or(strings.Compare(a.What, b.What), strings.Compare(a.Number, b.Number), strings.Compare(a.Amount, b.Amount))
	}
	byUse := func(a, b Use) int {
		return cmp.Or(strings.Compare(a.What, b.What), strings.Compare(a.GoodFor, b.GoodFor))
	}
	f.Kits, f.Supplies, f.Parts = s.kits.list, s.supplies.list, s.parts.list
	f.Locks, f.Tools, f.Instruments, f.Liquids = s.locks.list, s.tools.list, s.instruments.list, s.liquids.list
	slices.SortStableFunc(f.Kits, byWhat)
	slices.SortStableFunc(f.Supplies, byWhat)
	slices.SortStableFunc(f.Parts, byWhat)
	slices.SortStableFunc(f.Tools, byUse)
	slices.SortStableFunc(f.Instruments, byUse)
	for key, i := range s.states.at {
		st := s.states.list[i]
		name := key[:len(key)-len(st.Unit)-len(st.Condition)-2]
		q := &f.Liquids[s.liquids.at[name]]
		q.Units = append(q.Units, st)
	}
	for i := range f.Liquids {
		slices.SortFunc(f.Liquids[i].Units, func(a, b UnitState) int {
			return cmp.Or(strings.Compare(a.Unit, b.Unit), strings.Compare(a.Condition, b.Condition))
		})
	}
	slices.SortStableFunc(f.Liquids, func(a, b LiquidUse) int {
		return cmp.Or(strings.Compare(a.Name, b.Name), strings.Compare(a.Source, b.Source))
	})
}
