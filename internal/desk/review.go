package desk

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/register"
	"jobsheaf/internal/review"
	"jobsheaf/internal/typein"
)

// This file is the page of what an auditor would find on a packet, with the forms by which
// somebody lets a finding through, closes the packet, makes it void or opens it again.

// reviewPage is that page.
type reviewPage struct {
	*packetFound
	Groups  []gravityOf
	Decided *register.Decision // by which it is closed or void, nil of one that is open
	Writes  bool               // whoever asks may decide
	Name    bool               // and has to say who they are first
	Did     string             // what was decided just now, "" of nothing
	// Of a form that came back:
	Do     string // what it asked for
	Why    string
	Unread *typein.Word    // why the reason is none
	Lost   string          // why nothing was decided, a key of the words
	Other  *review.Finding // somebody let through meanwhile what the form is about
}

// gravityOf are the findings of one gravity.
type gravityOf struct {
	Gravity string
	Title   string
	Lines   []reviewLine
}

// reviewLine is a finding, or several alike on a page that may be let through together.
type reviewLine struct {
	review.Said
	ID       string   // in the page
	Keys     []string // of the findings
	Let      string
	Pictures []shownBox
	More     int // pictures that are not shown
	Type     string
	Settle   string
	Sent     bool // its form came back
}

// shownBox is the picture of a box, with what is found in it.
type shownBox struct {
	*cropped
	Where string
}

// mostPictures is how many pictures a line has.
const mostPictures = 4

// Stands reports whether the line bars the packet from being closed.
func (l reviewLine) Stands() bool { return l.Findings[0].Stands() }

// Action is where the forms are sent.
func (is *reviewPage) Action() string { return is.path("review") }

func (is *reviewPage) path(page string) string {
	return "/job/" + url.PathEscape(is.Job.ID) + "/" + page
}

// Open reports whether something may be decided of the packet's findings.
func (is *reviewPage) Open() bool { return is.Job.State == register.JobOpen }

// reviewFor makes the page of a job.
func (v *visit) reviewFor() (*reviewPage, error) {
	job, err := v.Register.Job(v.r.Context(), v.r.PathValue("job"))
	if err != nil {
		return nil, err
	}
	found, err := v.foundIn(job, late)
	if err != nil {
		return nil, err
	}
	is := &reviewPage{packetFound: found, Writes: v.role >= planner}
	is.Name = is.Writes && v.who == nil
	is.Writes = is.Writes && !is.Name
	say, err := v.reviewWords()
	if err != nil {
		return nil, err
	}
	for i := 0; i < len(found.Findings); {
		g := found.Findings[i].Gravity
		n := i
		for n < len(found.Findings) && found.Findings[n].Gravity == g {
			n++
		}
		group := gravityOf{Gravity: g.String(), Title: say("gravity." + g.String())}
		for _, s := range saidApart(found.Findings[i:n], say) {
			l := v.lineOf(is, s, say)
			l.ID = "f" + strconv.Itoa(i) + "-" + strconv.Itoa(len(group.Lines))
			group.Lines = append(group.Lines, l)
		}
		is.Groups, i = append(is.Groups, group), n
	}
	if !is.Open() {
		all, err := v.Register.Decisions(v.r.Context(), job.ID)
		if err != nil {
			return nil, err
		}
		for _, d := range all {
			if d.Holds && (d.Kind == register.Close || d.Kind == register.MakeVoid) {
				is.Decided = &d
			}
		}
	}
	return is, nil
}

// saidApart puts findings into words: those that may be let through together in one line
// where they are alike, the others each in its own.
func saidApart(list []review.Finding, say review.Words) []review.Said {
	if len(list) == 0 || list[0].Lumped() {
		return review.Say(list, say)
	}
	var out []review.Said
	for i := range list {
		out = append(out, review.Say(list[i:i+1], say)...)
	}
	return out
}

// settledBy are the topics of findings that may be of a mark that was read wrongly.
var settledBy = []string{"unsure", "step", "stage", "hold", "zero", "lock", "sign", "blank", "wear", "instrument"}

// typedBy are the topics of findings that typing in may mend.
var typedBy = []string{"untyped", "limit", "instrument", "step"}

func (v *visit) lineOf(is *reviewPage, s review.Said, say review.Words) reviewLine {
	l := reviewLine{Said: s}
	first := &s.Findings[0]
	if first.Let != nil {
		l.Let = first.Let.Say(say)
	}
	for i := range s.Findings {
		f := &s.Findings[i]
		l.Keys = append(l.Keys, f.Key)
		if c := v.crop(is.Print, f.Picture, f.Box); c != nil && f.Box != "" {
			if len(l.Pictures) == mostPictures {
				l.More++
				continue
			}
			l.Pictures = append(l.Pictures, shownBox{c, review.Say(s.Findings[i:i+1], say)[0].Where})
		}
	}
	topic, _, _ := strings.Cut(first.Key, "-")
	if is.Open() && first.Box != "" {
		if slices.Contains(settledBy, topic) {
			l.Settle = is.path("settle") + "?" + url.Values{"box": {first.Box}}.Encode()
			if len(s.Findings) > 1 && topic == "unsure" {
				l.Settle = is.path("settle")
			}
		}
		if slices.Contains(typedBy, topic) {
			l.Type = is.path("type") + "?" + url.Values{"print": {strconv.Itoa(is.Print.N)}, "at": {first.Box}}.Encode()
		}
	}
	return l
}

func (v *visit) reviewPage() error {
	is, err := v.reviewFor()
	if err != nil {
		return err
	}
	if did := v.asked("did", 10); slices.Contains([]string{"accept", "close", "void", "reopen"}, did) {
		is.Did = did
	}
	return v.show("review", is)
}

// mostWhy is the most characters of a reason that a field takes.
const mostWhy = 600

// decide enters what was decided. What cannot be decided comes back with why, and with the
// reason still in its field.
func (v *visit) decide() error {
	job, err := v.Register.Job(v.r.Context(), v.r.PathValue("job"))
	if err != nil {
		return err
	}
	do, keys := v.r.PostForm.Get("do"), v.r.PostForm["key"]
	why := strings.TrimSpace(v.r.PostForm.Get("why"))
	back := func(status int, change func(*reviewPage)) error {
		is, err := v.reviewFor()
		if err != nil {
			return err
		}
		is.Do, is.Why = do, why
		for g := range is.Groups {
			for i := range is.Groups[g].Lines {
				l := &is.Groups[g].Lines[i]
				l.Sent = do == "accept" && len(keys) > 0 && slices.Contains(l.Keys, keys[0])
			}
		}
		change(is)
		return v.showAs(status, "review", is)
	}
	if do != "close" {
		text, err := typein.Why(why)
		if err != nil {
			w, ok := typein.Unread(err)
			if !ok {
				return err
			}
			return back(http.StatusUnprocessableEntity, func(is *reviewPage) { is.Unread = &w })
		}
		why = text
	}
	switch do {
	case "accept":
		if len(keys) == 0 || len(keys) > mostOfABox {
			return refuse(http.StatusBadRequest, "fault.form")
		}
		err = v.accept(job, keys, why)
	case "close":
		err = review.Close(v.r.Context(), v.Register, v.by(), job)
	case "void":
		err = v.Register.Decide(v.r.Context(), v.by(), register.Decision{Kind: register.MakeVoid, Print: job.Print, Why: why})
	case "reopen":
		err = v.Register.Decide(v.r.Context(), v.by(), register.Decision{Kind: register.Reopen, Print: job.Print, Why: why})
	default:
		return refuse(http.StatusBadRequest, "fault.form")
	}
	_, shut := errors.AsType[*register.Shut](err)
	_, stands := errors.AsType[*review.Standing](err)
	_, gone := errors.AsType[*review.Gone](err)
	lost := ""
	switch {
	case err == nil:
		return v.to("/job/" + url.PathEscape(job.ID) + "/review?did=" + do)
	case shut:
		lost = "review.lost_shut"
	case stands:
		lost = "review.lost_stands"
	case gone:
		lost = "review.lost_gone"
	case errors.Is(err, register.ErrOpen):
		lost = "review.lost_open"
	default:
		return err
	}
	return back(http.StatusConflict, func(is *reviewPage) {
		is.Lost = lost
		for i := range is.Findings {
			f := &is.Findings[i]
			if lost == "review.lost_gone" && f.Let != nil && slices.Contains(keys, f.Key) {
				is.Other = f
			}
		}
	})
}

// accept lets findings through: those of the form, each by its whole key.
func (v *visit) accept(job register.Job, keys []string, why string) error {
	_, err := review.Accept(v.r.Context(), v.Register, v.by(), job, keys, why)
	return err
}
