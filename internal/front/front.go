// Package front sums up the packets of a week or of one crew's day: what there is
// to do, to pull from the store, to lock and to watch out for.
//
// Entry points: Weeks and Round, which give a Front; Front.LayOut makes its pages,
// and Tables writes it as CSV and JSON. It belongs here if it is about many
// packets on one sheet. It is not for printing the packets (printjob), for print
// files (week), nor for where files are (cli).
package front

import (
	"fmt"
	"iter"
	"slices"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/words"
)

// Run is what all front matter of a run has in common.
type Run struct {
	Program string `json:"program"`
	List    string `json:"list"`
	Duplex  bool   `json:"duplex,omitempty"`
	Annex   bool   `json:"annex,omitempty"` // annexes stand behind their packets
	Look    Look   `json:"look"`
	Crews   []Crew `json:"crews"`

	Words words.Catalogue `json:"-"` // of the pages' language
}

// Look is what the front matter takes from the site.
type Look struct {
	Site     string `json:"site"`
	Paper    string `json:"paper"`
	Language string `json:"language"`
	System   string `json:"system"` // the unit system that comes first: metric or us
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

	Needs *packet.Needs `json:"-"`
}

// Refused is a job that was not printed, with the reasons.
type Refused struct {
	Job       string   `json:"job"`
	Unit      string   `json:"unit"`
	Procedure string   `json:"procedure,omitempty"`
	Day       string   `json:"day,omitempty"`
	Crew      string   `json:"crew,omitempty"`
	At        diag.Pos `json:"at"`
	Cause     Cause    `json:"cause"`
	Reasons   []string `json:"reasons"` // for the planner, with their places
}

// Cause says in what the reasons lie, for the crew.
type Cause string

const (
	InList      Cause = "list"      // its entry in the list
	InProcedure Cause = "procedure" // the procedure is not for the unit
	InRecords   Cause = "records"   // the unit's records, or what they lean on
)

// Withdrawal is a job that an earlier run printed and that is not to be done: its
// paper is fetched back and its files are removed.
type Withdrawal struct {
	Job              string   `json:"job"`
	Unit             string   `json:"unit,omitempty"`
	Day              string   `json:"day,omitempty"`
	Crew             string   `json:"crew,omitempty"`
	Fingerprint      string   `json:"fingerprint,omitempty"`       // of the packet
	Print            string   `json:"print,omitempty"`             // the print file that held it
	PrintFingerprint string   `json:"print_fingerprint,omitempty"` // as it was then
	Cancelled        bool     `json:"cancelled,omitempty"`         // else the list no longer names it
	Files            []string `json:"files"`                       // to be removed
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
	Week        string       `json:"week"` // such as 2026-W49; "" where no job has a day
	Crew        string       `json:"crew,omitempty"`
	From        string       `json:"from"` // the first day
	To          string       `json:"to"`
	Days        []CrewDay    `json:"days"`
	Jobs        []Line       `json:"jobs"`
	Kits        []Pull       `json:"kits"`
	Supplies    []Pull       `json:"supplies"`
	Parts       []Pull       `json:"parts"`
	Locks       []LockUse    `json:"locks"`
	Tools       []Use        `json:"tools"`
	Instruments []Use        `json:"instruments"`
	Liquids     []LiquidUse  `json:"liquids"`
	Dangers     []Use        `json:"dangers"`
	Due         []Use        `json:"due,omitempty"`   // limits that are reached before the job
	Lacks       []Lacks      `json:"lacks,omitempty"` // packets with values that are not on record
	Apart       []Apart      `json:"apart,omitempty"`
	Refused     []Refused    `json:"refused"`
	Withdraw    []Withdrawal `json:"withdraw,omitempty"`

	round bool // of one crew's day, not of a week
	run   *Run
}

// Lacks is a packet with values that are not on record.
type Lacks struct {
	Unit string `json:"unit"`
	Job  string `json:"job"`
	N    int    `json:"n"`
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

// Apart is a supply that jobs ask for in amounts of unlike kinds, such as a volume
// and a mass, which cannot be added.
type Apart struct {
	What  string   `json:"what"`
	Kinds []string `json:"kinds"`
}

// LockUse is a point to lock and tag, for these jobs.
type LockUse struct {
	Area   string   `json:"area"`
	Unit   string   `json:"unit"`
	Point  string   `json:"point"`
	Device string   `json:"device"` // and its place
	Put    string   `json:"put"`    // into which state, and how that is proved
	Jobs   []string `json:"jobs"`

	Tagged  bool `json:"tagged,omitempty"`  // it is tagged and not locked
	Missing bool `json:"missing,omitempty"` // the records name no point for the energy
}

// Use is a tool, an instrument, a danger or a limit that is due, for these jobs.
type Use struct {
	What    string   `json:"what"`
	GoodFor string   `json:"good_for,omitempty"`
	Jobs    []string `json:"jobs"`
}

// LiquidUse is a liquid on the round, with the units that hold it, each as it is
// found in service.
type LiquidUse struct {
	Name       string             `json:"name"`
	Signal     string             `json:"signal"`
	Pictograms []string           `json:"pictograms"`
	Statements []packet.Statement `json:"statements"`
	Source     string             `json:"source"`
	Units      []UnitState        `json:"units"`
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
// that were refused without a day that can be read are in that of every week, and so
// is what is to be withdrawn.
func Weeks(r *Run, jobs []Job, refused []Refused, withdraw []Withdrawal) iter.Seq[Front] {
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
	if len(weeks) == 0 && len(refused)+len(withdraw) > 0 {
		weeks = []string{""}
	}
	return func(yield func(Front) bool) {
		for _, w := range weeks {
			f := sum(r, jobs, refused, func(day string) bool { return weekOf(day) == w || day == "" })
			f.Week, f.Withdraw = w, withdraw
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
	s := newSums(r)
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
