package compose

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// task is what a job settles before anything is written: what is looked up and
// stays.
type task struct {
	job    *record.Job
	plan   *plan
	unit   *record.Unit
	size   *record.Size          // of the unit; nil where it is not on record
	pulled *pulled               // what is pulled for the size; nil as size is
	past   []record.HistoryEntry // the unit's history, oldest first
	system quantity.System       // of units, that which comes first
}

// taskOf looks a job's records up. It refuses the job, with an error in the list,
// where one is broken or not there.
func (c *Composer) taskOf(job *record.Job) (task, diag.List) {
	t := task{job: job, plan: c.plans[job.Procedure.S]}
	var list diag.List
	refuse := func(at, since diag.Pos, why string) {
		p := diag.Problem{Pos: at, Severity: diag.Error, Rule: "refused", Message: "job " + job.ID.S + " is not printed: " + why}
		if since != (diag.Pos{}) {
			p.Related = []diag.Pos{since}
		}
		list.Add(p)
	}
	if len(c.unsaid) > 0 {
		refuse(job.At, c.unsaid[0].Pos, "texts are missing in its language")
	}
	if c.words == nil {
		list.Errorf(job.At, "refused", "put the words of the site's language right", "job %s is not printed: the pages have no words in its language", job.ID.S)
	}
	refusal := c.book.Refusal
	if c.Blank {
		refusal = c.book.FormRefusal
	}
	if why := refusal(job); why != nil {
		list.Add(*why)
	}
	switch _, faulty := c.lib.Procedure(job.Procedure.S); {
	case t.plan != nil && t.plan.faulty:
		refuse(job.Procedure.At, t.plan.first, "procedure "+job.Procedure.S+" has errors")
	case t.plan == nil && faulty:
		refuse(job.Procedure.At, diag.Pos{}, "procedure "+job.Procedure.S+" has errors")
	case !job.Procedure.Known(): // which the entry's own error has told
		if !list.HasErrors() {
			refuse(job.At, diag.Pos{}, "it names no procedure")
		}
	case t.plan == nil:
		hint := cmp.Or(diag.DidYouMean(job.Procedure.S, c.lib.Names()), "the procedures on record are "+strings.Join(c.lib.Names(), ", "))
		list.Errorf(job.Procedure.At, "unknown-procedure", hint, "job %s: there is no procedure named %q", job.ID.S, job.Procedure.S)
	}
	if list.HasErrors() {
		return task{}, list
	}
	t.unit = c.book.Units[job.Unit.S]
	if t.unit != nil {
		t.pulled = c.pulled[t.unit.Size]
	}
	if c.Blank {
		t.unit = c.formUnit(job)
	}
	t.size, t.past, t.system = t.unit.Size, history(t.unit), c.book.Site.System
	return t, list
}

// history gives a unit's history, oldest first.
func history(u *record.Unit) []record.HistoryEntry {
	h := slices.Clone(u.History)
	slices.SortStableFunc(h, func(a, b record.HistoryEntry) int { return strings.Compare(a.Day.S, b.Day.S) })
	return h
}

// wrongProcedure refuses a job whose procedure is not for the unit.
func (r *run) wrongProcedure() bool {
	f := r.form(r.plan.proc.For)
	if f == nil {
		return false
	}
	yes, undecided := r.decide(f)
	if yes || r.c.Blank && len(undecided) > 0 {
		return false
	}
	why := "is for other units: its condition is " + f.Text()
	if len(undecided) > 0 {
		why = "cannot be chosen for it: not on record are " + strings.Join(undecided, ", ")
	}
	r.problems.Errorf(r.job.Procedure.At, "wrong-procedure", "choose a procedure that fits how the unit is built", "job %s, unit %s: procedure %s %s", r.job.ID.S, r.unit.ID, r.plan.proc.Name, why)
	return true
}
