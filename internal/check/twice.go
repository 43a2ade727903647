package check

import (
	"fmt"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// twice: names that become files' names or stand in a page's code must stay apart
// where capitals and small letters are the same, as on many file systems and in
// the code itself.
var twice = rule{
	name: "twice",
	what: "job IDs, units, lists, isolation points and data sheet statements do not occur twice, capitals or not",
	run: func(r *run) {
		units, lists := folded{}, folded{}
		for _, u := range r.units() {
			r.once(units, u.ID, u.At, "unit")
			points := folded{}
			for _, p := range u.Isolate {
				r.once(points, p.Point.S, p.Point.At, "isolation point")
			}
		}
		// Over all lists: what is printed from two of them goes to one folder.
		jobs := folded{}
		for _, name := range inOrder(r.Lists) {
			l := r.Lists[name]
			r.once(lists, l.ID, l.At, "list")
			days := map[string]*record.Job{}
			for _, j := range l.Jobs {
				r.once(jobs, j.ID.S, j.ID.At, "job")
				key := j.Unit.S + " " + j.Day.S
				if first := days[key]; first != nil && j.Unit.Known() {
					r.warnf(j.Unit.At, places(first.Unit.At), "", "the unit %s has two jobs on %s: %s and %s", j.Unit, j.Day, called(first), called(j))
				}
				days[key] = j
			}
		}
		for _, name := range inOrder(r.Liquids) {
			codes := folded{}
			for _, c := range r.Liquids[name].Statements {
				r.once(codes, c.S, c.At, "statement")
			}
		}
	},
}

// folded is where each name was first seen, without regard to capitals.
type folded map[string]seen

type seen struct {
	name string
	at   diag.Pos
}

// called names a job, which may lack its number.
func called(j *record.Job) string {
	if j.ID.S == "" {
		return fmt.Sprintf("one without a number (line %d)", j.At.Line)
	}
	return j.ID.S
}

// once reports a name that was seen before, in one problem for both places: neither
// can be told from the other (record.Book.Attach).
func (r *run) once(in folded, name string, at diag.Pos, what string) {
	if name == "" {
		return
	}
	first, again := in[strings.ToLower(name)]
	if !again {
		in[strings.ToLower(name)] = seen{name, at}
		return
	}
	message := "the " + what + " " + name + " appears twice, so that neither is used"
	if first.name != name {
		message = "the " + what + "s " + first.name + " and " + name + " differ only in capitals, so that neither is used"
	}
	r.errorf(at, places(first.at), "choose another name for one of them", "%s", message)
}
