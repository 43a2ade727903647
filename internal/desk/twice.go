package desk

import (
	"net/http"
	"slices"
	"strconv"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// This file has people say which of several papers of one page counts.

// twicePage is the papers of a page that came more than once.
type twicePage struct {
	Job     register.Job
	Page    int
	Papers  []register.Paper // the one that counts first
	Differ  []boxDiffers
	Settled bool // nobody is asked any more: somebody said which counts
	Fault   *fault
}

// Open reports whether anything more may be said of the job.
func (t twicePage) Open() bool { return t.Job.State == register.JobOpen }

// Counted is the event of the paper that counts.
func (t twicePage) Counted() int64 {
	if len(t.Papers) == 0 || !t.Papers[0].Counts {
		return 0
	}
	return t.Papers[0].Event
}

// boxDiffers is a box in which the papers differ.
type boxDiffers struct {
	ID, Label string
	Step      string
	Is        []register.Mark // by paper
}

func (v *visit) twice() error {
	p, err := v.paperAsked()
	if err != nil {
		return err
	}
	return v.showTwice(http.StatusOK, p, nil)
}

func (v *visit) showTwice(status int, p register.Paper, wrong *fault) error {
	is, err := v.papersOf(p)
	if err != nil {
		return err
	}
	is.Fault = wrong
	return v.showAs(status, "twice", is)
}

// papersOf gives all papers of the page of which one is.
func (v *visit) papersOf(p register.Paper) (is twicePage, err error) {
	ctx := v.r.Context()
	if p.Print == 0 {
		return is, errNoPage
	}
	is.Page = p.Page
	if is.Job, err = v.Register.Job(ctx, p.Job); err != nil {
		return is, err
	}
	all, err := v.Register.Papers(ctx, p.Print)
	if err != nil {
		return is, err
	}
	for _, q := range all {
		if q.Page == p.Page && q.State == register.Placed {
			is.Papers = append(is.Papers, q)
		}
	}
	labels, err := v.labelsOf(p)
	if err != nil {
		return is, err
	}
	var ids []string
	for _, q := range is.Papers[min(1, len(is.Papers)):] {
		for _, id := range differing(is.Papers[0], q) {
			if !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	for _, id := range ids {
		d := boxDiffers{ID: id, Label: labels[id].label, Step: labels[id].step}
		for _, q := range is.Papers {
			i := slices.IndexFunc(q.Boxes, func(b register.Box) bool { return b.ID == id })
			mark := register.Mark("")
			if i >= 0 {
				mark = q.Boxes[i].Is
			}
			d.Is = append(d.Is, mark)
		}
		is.Differ = append(is.Differ, d)
	}
	decisions, err := v.Register.Decisions(ctx, p.Job)
	if err != nil {
		return is, err
	}
	is.Settled = len(is.Papers) > 0
	for _, q := range is.Papers[min(1, len(is.Papers)):] {
		if q.Event > is.Papers[0].Event && len(differing(is.Papers[0], q)) > 0 && !letThrough(decisions, q) {
			is.Settled = false
		}
	}
	return is, nil
}

// boxLabel is what a box is for.
type boxLabel struct{ label, step string }

// labelsOf gives what the boxes of a paper's page are for.
func (v *visit) labelsOf(p register.Paper) (map[string]boxLabel, error) {
	out := map[string]boxLabel{}
	prints, err := v.Register.Prints(v.r.Context(), p.Job)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(prints, func(q register.Printed) bool { return q.Event == p.Print })
	if i < 0 {
		return out, nil
	}
	raw, err := v.Register.Manifest(v.r.Context(), prints[i])
	if err != nil {
		return nil, err
	}
	m, err := manifest.Decode(raw)
	if err != nil || p.Page > len(m.Pages) {
		return out, nil // of another version of the program: boxes are named by their ids
	}
	for _, b := range m.Pages[p.Page-1].Boxes {
		if b.Ask != nil {
			label := b.Ask.Label
			if b.Ask.Of != "" {
				label = b.Ask.Of + ": " + label
			}
			out[b.ID] = boxLabel{label, b.Ask.Step}
		}
	}
	return out, nil
}

// choose enters which paper of a page counts.
func (v *visit) choose() error {
	p, err := v.paperAsked()
	if err != nil {
		return err
	}
	is, err := v.papersOf(p)
	if err != nil {
		return err
	}
	counted, err := strconv.ParseInt(v.field("counted", 18), 10, 64)
	switch {
	case err != nil || !slices.ContainsFunc(is.Papers, func(q register.Paper) bool { return q.Event == p.Event }):
		return refuse(http.StatusBadRequest, "fault.form")
	case !is.Open():
		return v.showTwice(http.StatusConflict, p, &fault{key: "twice.closed"})
	case counted != is.Counted():
		return v.showTwice(http.StatusConflict, p, v.chosenBy(is))
	}
	ctx := v.r.Context()
	if err := v.Register.Choose(ctx, v.by(), p.Event); err != nil {
		return err
	}
	// Review asks about a paper that came later than the one that counts, until that is let
	// through.
	decisions, err := v.Register.Decisions(ctx, p.Job)
	if err != nil {
		return err
	}
	for _, q := range is.Papers {
		if q.Event > p.Event && len(differing(p, q)) > 0 && !letThrough(decisions, q) {
			if err := v.Register.Decide(ctx, v.by(), register.Decision{Kind: register.Accept, Print: q.Print, Finding: twiceKey(q), Why: "paper " + strconv.FormatInt(p.Event, 10) + " counts, which came first"}); err != nil {
				return err
			}
		}
	}
	return v.to("/twice/" + strconv.FormatInt(p.Event, 10))
}

// chosenBy says who said meanwhile that another paper counts.
func (v *visit) chosenBy(is twicePage) *fault {
	events, err := v.Register.Happened(v.r.Context(), is.Job.ID)
	if err == nil {
		for _, h := range slices.Backward(events) {
			if h.Paper == is.Counted() && h.Paper != 0 && h.Seen == nil {
				return &fault{key: "twice.meanwhile", fill: []any{"who", h.Who, "at", v.momentOf(h.At), "paper", h.Paper}}
			}
		}
	}
	return &fault{key: "twice.another"}
}
