package desk

import (
	"errors"
	"net/http"
	"net/url"
	"strings"
	"time"

	"jobsheaf/internal/register"
)

// jobsAPage is how many jobs a page lists.
const jobsAPage = 30

// overdue is how long a packet may be out before it is asked after.
const overdue = 7 * 24 * time.Hour

// listed is a page of jobs, with what was asked for.
type listed struct {
	register.Query
	Out   bool // only those that are out for longer than overdue
	Wrong bool // a day or a state that is none was asked for, and left out
	Jobs  []register.Job
	Next  string // the address of the next page
	Began bool   // it is not the first page
	First string // the address of that
	Week  string // the day before which a job is overdue
}

// Narrow reports whether more was asked for than a number.
func (l listed) Narrow() bool {
	return l.Out || l.Query != register.Query{Number: l.Number}
}

// States are the states that can be asked for.
func (l listed) States() []register.JobState {
	return []register.JobState{register.JobOpen, register.JobClosed, register.JobVoid}
}

func (v *visit) jobs() error {
	l := listed{Query: register.Query{
		Number: v.asked("number", 60), Unit: v.asked("unit", 60), State: register.JobState(v.asked("state", 10)), From: v.asked("from", 10), To: v.asked("to", 10),
	}, Out: v.asked("out", 1) != ""}
	for _, day := range []*string{&l.From, &l.To} {
		if _, err := time.Parse(time.DateOnly, *day); *day != "" && err != nil {
			*day, l.Wrong = "", true
		}
	}
	if l.State != "" && !isState(l.State, l.States()) {
		l.State, l.Wrong = "", true
	}
	q := l.Query
	l.Week = v.Now().Add(-overdue).Format(time.DateOnly)
	if l.Out {
		q.State, l.State = register.JobOpen, register.JobOpen
		if q.To == "" || q.To > l.Week {
			q.To = l.Week
		}
	}
	after := register.Place{Day: v.asked("day", 10), ID: v.asked("after", 60)}
	l.Began = after != register.Place{}
	jobs, err := v.Register.Page(v.r.Context(), q, after, l.Out, jobsAPage+1)
	if err != nil {
		return err
	}
	here := l.address()
	l.First = "/jobs?" + here.Encode()
	if len(jobs) > jobsAPage {
		jobs = jobs[:jobsAPage]
		last := jobs[jobsAPage-1]
		here.Set("day", last.Day)
		here.Set("after", last.ID)
		l.Next = "/jobs?" + here.Encode()
	}
	l.Jobs = jobs
	return v.show("jobs", l)
}

func isState(s register.JobState, of []register.JobState) bool {
	for _, is := range of {
		if s == is {
			return true
		}
	}
	return false
}

// address is what was asked for, as an address has it.
func (l listed) address() url.Values {
	q := url.Values{}
	for _, p := range [][2]string{{"number", l.Number}, {"unit", l.Unit}, {"state", string(l.State)}, {"from", l.From}, {"to", l.To}} {
		if p[1] != "" {
			q.Set(p[0], p[1])
		}
	}
	if l.Out {
		q.Set("out", "1")
	}
	return q
}

// front is the first page.
type front struct {
	Lists   []string
	Overdue []register.Job
	More    bool
}

// mostOverdue is how many overdue jobs the first page names.
const mostOverdue = 8

func (v *visit) home() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	out, err := v.Register.Page(v.r.Context(), register.Query{State: register.JobOpen, To: v.Now().Add(-overdue).Format(time.DateOnly)}, register.Place{}, true, mostOverdue+1)
	if err != nil {
		return err
	}
	is := front{Lists: site.lists(), Overdue: out}
	if is.More = len(out) > mostOverdue; is.More {
		is.Overdue = out[:mostOverdue]
	}
	return v.show("home", is)
}

// find leads to a job or a unit by its name, else to the jobs that begin so.
func (v *visit) find() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	what := v.asked("q", 60)
	if what == "" {
		return v.to("/jobs")
	}
	if _, err := v.Register.Job(v.r.Context(), what); err == nil {
		return v.to("/job/" + url.PathEscape(what))
	} else if !errors.Is(err, register.ErrUnknown) {
		return err
	}
	for id := range site.Book.Units {
		if strings.EqualFold(id, what) {
			return v.to("/unit/" + url.PathEscape(id))
		}
	}
	return v.to("/jobs?" + url.Values{"number": {what}}.Encode())
}

// errNoPage says that there is no such page.
var errNoPage = refuse(http.StatusNotFound, "fault.no_page")
