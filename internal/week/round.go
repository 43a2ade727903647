package week

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// Round is what one crew does on one day, in the order in which it is walked: by
// area, then by unit. Jobs whose day could not be read are in a round without one.
type Round struct {
	day, crew string
	jobs      []*record.Job
}

// Name names the round as its print file does, such as 2026-11-30-day.
func (r *Round) Name() string { return roundName(r.day, r.crew) }

func roundName(day, crew string) string {
	return strings.Trim(cmp.Or(day, "no-day")+"-"+crew, "-")
}

// Rounds gathers jobs into rounds, in order of day and crew; those without a day
// come last. Jobs of the same unit stay in the order of their list.
func Rounds(b *record.Book, jobs []*record.Job) []Round {
	area := func(j *record.Job) string {
		if u := b.Units[j.Unit.S]; u != nil {
			return u.Area.S
		}
		return ""
	}
	sorted := slices.Clone(jobs)
	slices.SortStableFunc(sorted, func(x, y *record.Job) int {
		return cmp.Or(strings.Compare(cmp.Or(x.Day.S, "~"), cmp.Or(y.Day.S, "~")), strings.Compare(x.Crew.S, y.Crew.S),
			strings.Compare(area(x), area(y)), strings.Compare(x.Unit.S, y.Unit.S))
	})
	var out []Round
	for i, j := range sorted {
		if i == 0 || j.Day.S != sorted[i-1].Day.S || j.Crew.S != sorted[i-1].Crew.S {
			out = append(out, Round{day: j.Day.S, crew: j.Crew.S})
		}
		r := &out[len(out)-1]
		r.jobs = append(r.jobs, j)
	}
	return out
}

// Share gives share k of n of the rounds (1 <= k <= n): whole rounds, so dealt that
// the shares have about as many jobs each. It depends on the rounds alone, so that
// every machine deals alike.
func Share(rounds []Round, k, n int) []Round {
	order := make([]int, len(rounds))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(len(rounds[b].jobs), len(rounds[a].jobs)) })
	load := make([]int, n)
	mine := make([]bool, len(rounds))
	for _, i := range order {
		to := 0
		for s := range load {
			if load[s] < load[to] {
				to = s
			}
		}
		load[to] += len(rounds[i].jobs)
		mine[i] = to == k-1
	}
	var out []Round
	for i, r := range rounds {
		if mine[i] {
			out = append(out, r)
		}
	}
	return out
}

// effort is how many people a job takes for how many hours, as the list has it, else as
// the procedure says; zero where neither does.
func effort(library *procedure.Library, j *record.Job) (people, hours float64) {
	if j.People.Known() {
		people = j.People.Value.SI()
	}
	if j.Hours.Known() {
		hours = j.Hours.Value.SI() / 3600
	}
	if p, _ := library.Procedure(j.Procedure.S); p != nil {
		if people == 0 {
			people = float64(p.People)
		}
		if hours == 0 && p.Hours != nil {
			hours = p.Hours.SI() / 3600
		}
	}
	return people, hours
}

// capacity is how many hours of people's work a crew has in a day; zero where the
// site does not say.
func capacity(s *record.Site, crew string) float64 {
	if s == nil || s.Crews[crew] == nil {
		return 0
	}
	c := s.Crews[crew]
	return c.People.Value.SI() * c.Hours.Value.SI() / 3600
}

// Check says what is doubtful of the jobs of a list as a whole: days before today
// (YYYY-MM-DD), and more work for a crew's day than it has hours. The room check
// looks at each job by itself.
func Check(b *record.Book, library *procedure.Library, jobs []*record.Job, today string) diag.List {
	var out diag.List
	for _, j := range jobs {
		if j.Day.Known() && j.Day.S < today {
			out.Warnf(j.Day.At, "past-day", "", "job %s: the day %s is in the past: today is %s", j.ID, j.Day, today)
		}
	}
	for _, r := range Rounds(b, jobs) {
		room := capacity(b.Site, r.crew)
		if room == 0 || r.day == "" {
			continue
		}
		sum := 0.0
		var last *record.Job
		for _, j := range r.jobs {
			if j.Broken() {
				continue
			}
			people, hours := effort(library, j)
			sum += people * hours
			if last == nil || j.At.Line > last.At.Line {
				last = j
			}
		}
		if sum <= room+1e-6 || last == nil {
			continue
		}
		at := last.Day.At
		out.Warnf(at, "crew-day", "move a job to another day or crew", "crew %s has %s hours of people's work on %s, and its jobs take %s", r.crew, shortest(room), weekday(r.day), shortest(sum))
	}
	return out.Sorted()
}

// weekday writes a day with the day of the week, for messages.
func weekday(day string) string {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	return fmt.Sprintf("%s, %s", t.Weekday(), day)
}
