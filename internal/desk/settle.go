package desk

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"jobsheaf/internal/register"
	"jobsheaf/internal/review"
)

// This file is the page on which a person says of boxes whether they are marked, where the
// scan leaves it open or is wrong: many on one page, of a job or of the jobs of some days.

// settlePage is that page.
type settlePage struct {
	Job      *packetFound // nil of several jobs
	Week     string       // that was asked for; "" of this and the last
	From, To string
	Wrong    bool  // a week was asked for that is none
	Page     int   // whose boxes all are shown, 0 of none
	Whole    int64 // the event of a paper of that page that could not be squared up, 0 of none
	Boxes    []*settleBox
	Before   []*settleBox // that were unsure and are settled
	More     bool         // there are more than are shown
	Kept     int          // so many were settled just now
	Clash    bool         // somebody else settled one of them meanwhile
	Shut     []string     // jobs that are closed or void, and of which nothing was kept
	Writes   bool
}

// settleBox is a box that is asked about.
type settleBox struct {
	boxOn
	Print   register.Printed
	Unit    string
	Seen    register.Mark // as it was read, "" where its page did not come back
	Said    *register.Settled
	Picture *cropped
	Choice  register.Mark // what was chosen in a form that came back
	Clash   bool          // somebody else settled it since it was looked at
	One     bool          // only its job is shown
	May     bool          // whoever asks may settle it
}

// Key names a box in a form: its job, its print, what stood there, itself.
func (b *settleBox) Key() string {
	var before int64
	if b.Said != nil {
		before = b.Said.Event
	}
	return b.Print.Job + " " + strconv.FormatInt(b.Print.Event, 10) + " " + strconv.FormatInt(before, 10) + " " + b.ID
}

// Field names the choice about a box in a form.
func (b *settleBox) Field() string {
	return "is " + strconv.FormatInt(b.Print.Event, 10) + " " + b.ID
}

// Stands is what stands for the box.
func (b *settleBox) Stands() register.Mark {
	if b.Said != nil {
		return b.Said.Is
	}
	return b.Seen
}

// mostToSettle is how many boxes a page has, and how many jobs are looked through for them.
const (
	mostToSettle = 40
	mostUnsure   = 60
)

// Action is where the form is sent.
func (is *settlePage) Action() string {
	q := url.Values{}
	if is.Week != "" {
		q.Set("week", is.Week)
	}
	if is.Page > 0 {
		q.Set("page", strconv.Itoa(is.Page))
	}
	path := "/settle"
	if is.Job != nil {
		path = "/job/" + url.PathEscape(is.Job.ID) + "/settle"
	}
	if len(q) > 0 {
		path += "?" + q.Encode()
	}
	return path
}

// toSettle finds what is to be settled; boxes that the form names are among it.
func (v *visit) toSettle() (*settlePage, error) {
	ctx := v.r.Context()
	is := &settlePage{Writes: v.role >= mechanic}
	var jobs []register.Job
	if id := v.r.PathValue("job"); id != "" {
		job, err := v.Register.Job(ctx, id)
		if err != nil {
			return nil, err
		}
		jobs = append(jobs, job)
		is.Writes = is.Writes && job.State == register.JobOpen
	} else {
		is.Week = v.asked("week", 12)
		first := v.Now()
		first = first.AddDate(0, 0, -(int(first.Weekday())+6)%7-7)
		days := 13
		if is.Week != "" {
			monday, err := review.Monday(is.Week)
			if is.Wrong = err != nil; is.Wrong {
				is.Week = ""
			} else {
				first, days = monday, 6
			}
		}
		is.From, is.To = first.Format(time.DateOnly), first.AddDate(0, 0, days).Format(time.DateOnly)
		ids, err := v.Register.Unsure(ctx, is.From, is.To, mostUnsure+1)
		if err != nil {
			return nil, err
		}
		if is.More = len(ids) > mostUnsure; is.More {
			ids = ids[:mostUnsure]
		}
		for _, id := range ids {
			job, err := v.Register.Job(ctx, id)
			if err != nil {
				return nil, err
			}
			jobs = append(jobs, job)
		}
	}
	one := v.r.PathValue("job") != ""
	for _, job := range jobs {
		found, err := v.foundIn(job, late)
		if err != nil {
			return nil, err
		}
		if one {
			is.Job = found
		}
		if err := v.settleIn(is, found); err != nil {
			return nil, err
		}
		if len(is.Boxes) > mostToSettle && is.Page == 0 {
			is.Boxes, is.More = is.Boxes[:mostToSettle], true
			break
		}
	}
	return is, nil
}

// settleIn adds the boxes of a packet.
func (v *visit) settleIn(is *settlePage, found *packetFound) error {
	on, err := v.boxesOf(found.Print)
	if err != nil {
		return err
	}
	said, err := v.Register.Settled(v.r.Context(), found.Print.Event)
	if err != nil {
		return err
	}
	papers, err := v.Register.Papers(v.r.Context(), found.Print.Event)
	if err != nil {
		return err
	}
	of, unread, seen := map[int]register.Paper{}, map[int]int64{}, map[string]register.Mark{}
	for _, p := range papers {
		if p.State == register.Unread && p.Picture != "" {
			unread[p.Page] = p.Event
		}
		if !p.Counts {
			continue
		}
		of[p.Page] = p
		for _, b := range p.Boxes {
			seen[b.ID] = b.Is
		}
	}
	boxed := func(id string) *settleBox {
		b := &settleBox{boxOn: on.by[id], Print: found.Print, Unit: found.Unit, Seen: seen[id], One: is.Job != nil, May: is.Writes}
		if s, ok := said[id]; ok {
			b.Said = &s
		}
		b.Picture = v.crop(found.Print, of[b.Page.Number].Picture, id)
		return b
	}
	box, page := v.asked("box", 200), v.asked("page", 6)
	if is.Job == nil {
		box, page = "", ""
	}
	if _, known := on.by[box]; known {
		is.Boxes = append(is.Boxes, boxed(box))
		return nil
	}
	if n, err := strconv.Atoi(page); err == nil && n >= 1 && n <= len(on.Pages) {
		is.Page = n
		if _, came := of[n]; !came {
			is.Whole = unread[n]
		}
		for _, b := range on.Pages[n-1].Boxes {
			is.Boxes = append(is.Boxes, boxed(b.ID))
		}
		return nil
	}
	for _, f := range found.Findings {
		if strings.HasPrefix(f.Key, "unsure-") && f.Stands() {
			if _, known := on.by[f.Box]; known {
				is.Boxes = append(is.Boxes, boxed(f.Box))
			}
		}
	}
	for id := range said {
		if _, known := on.by[id]; known && is.Job != nil {
			is.Before = append(is.Before, boxed(id))
		}
	}
	slices.SortFunc(is.Before, func(a, b *settleBox) int { return cmp.Compare(on.order[a.ID], on.order[b.ID]) })
	return nil
}

func (v *visit) settlePage() error {
	if v.role >= mechanic && v.who == nil {
		return errNameless
	}
	is, err := v.toSettle()
	if err != nil {
		return err
	}
	if n, err := strconv.Atoi(v.asked("kept", 4)); err == nil && n > 0 {
		is.Kept = n
	}
	return v.show("settle", is)
}

// settle keeps what was chosen. What nobody chose stays open.
func (v *visit) settle() error {
	keys := v.r.PostForm["box"]
	if len(keys) > mostOfABox {
		return refuse(http.StatusBadRequest, "fault.form")
	}
	clash := map[string]register.Mark{}
	var shut []string
	kept := 0
	for _, key := range keys {
		s, job, err := v.chosenFor(key)
		if err != nil {
			return err
		}
		if s == nil {
			continue
		}
		err = v.Register.Settle(v.r.Context(), v.by(), *s)
		m, meanwhile := errors.AsType[*register.Meanwhile](err)
		_, closed := errors.AsType[*register.Shut](err)
		switch {
		case err == nil:
			kept++
		case meanwhile && m.Said == string(s.Is): // the other said the same
			kept++
		case meanwhile:
			clash[strconv.FormatInt(s.Print, 10)+" "+s.Box] = s.Is
		case closed:
			if !slices.Contains(shut, job) {
				shut = append(shut, job)
			}
		default:
			return err
		}
	}
	is, err := v.toSettle()
	if err != nil {
		return err
	}
	if len(clash) == 0 && len(shut) == 0 {
		to := is.Action()
		join := "?"
		if strings.Contains(to, "?") {
			join = "&"
		}
		if kept > 0 {
			to += join + "kept=" + strconv.Itoa(kept)
		}
		return v.to(to)
	}
	is.Kept, is.Shut, is.Clash = kept, shut, len(clash) > 0
	// A box that the other settled is shown once more, with what stands and what was chosen.
	for _, key := range keys {
		s, job, err := v.chosenFor(key)
		if err != nil {
			return err
		}
		if s == nil || clash[strconv.FormatInt(s.Print, 10)+" "+s.Box] == "" {
			continue
		}
		b, err := v.boxAgain(job, s)
		if err != nil {
			return err
		}
		b.Clash, b.Choice = true, s.Is
		is.Boxes = slices.DeleteFunc(is.Boxes, func(o *settleBox) bool { return o.Print.Event == s.Print && o.ID == s.Box })
		is.Before = slices.DeleteFunc(is.Before, func(o *settleBox) bool { return o.Print.Event == s.Print && o.ID == s.Box })
		is.Boxes = slices.Insert(is.Boxes, 0, b)
	}
	return v.showAs(http.StatusConflict, "settle", is)
}

// mostOfABox is the most boxes of a form: those of a page of a packet are fewer.
const mostOfABox = 400

// chosenFor reads of a form what was chosen about a box, nil of nothing, and its job.
func (v *visit) chosenFor(key string) (*register.Settled, string, error) {
	wrong := refuse(http.StatusBadRequest, "fault.form")
	parts := strings.SplitN(key, " ", 4)
	if len(parts) != 4 {
		return nil, "", wrong
	}
	job, id := parts[0], parts[3]
	event, err1 := strconv.ParseInt(parts[1], 10, 64)
	before, err2 := strconv.ParseInt(parts[2], 10, 64)
	if err1 != nil || err2 != nil {
		return nil, "", wrong
	}
	is := register.Mark(v.r.PostForm.Get("is " + parts[1] + " " + id))
	switch {
	case is == "":
		return nil, job, nil
	case is != register.Marked && is != register.Blank:
		return nil, "", wrong
	}
	if of := v.r.PathValue("job"); of != "" && !strings.EqualFold(of, job) {
		return nil, "", wrong
	}
	p, err := v.printOf(job, event)
	if err != nil {
		return nil, "", err
	}
	on, err := v.boxesOf(p)
	if err != nil {
		return nil, "", err
	}
	b, known := on.by[id]
	if !known {
		return nil, "", wrong
	}
	s := &register.Settled{Print: event, Box: id, Is: is, Page: b.Page.Number, Before: before}
	if b.Ask != nil {
		s.Keep = b.Ask.Keep
	}
	papers, err := v.Register.Papers(v.r.Context(), event)
	for _, q := range papers {
		if q.Page == s.Page && q.Counts {
			s.Paper = q.Event
		}
	}
	return s, job, err
}

// boxAgain shows a box as it stands now.
func (v *visit) boxAgain(job string, s *register.Settled) (*settleBox, error) {
	p, err := v.printOf(job, s.Print)
	if err != nil {
		return nil, err
	}
	on, err := v.boxesOf(p)
	if err != nil {
		return nil, err
	}
	said, err := v.Register.Settled(v.r.Context(), s.Print)
	if err != nil {
		return nil, err
	}
	b := &settleBox{boxOn: on.by[s.Box], Print: p, May: true, One: v.r.PathValue("job") != ""}
	if now, ok := said[s.Box]; ok {
		b.Said = &now
	}
	if s.Paper != 0 {
		paper, err := v.Register.Paper(v.r.Context(), s.Paper)
		if err != nil {
			return nil, err
		}
		b.Picture = v.crop(p, paper.Picture, s.Box)
	}
	return b, nil
}
