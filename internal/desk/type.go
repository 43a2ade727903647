package desk

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/internal/typein"
)

// This file is the page on which readings are typed in, each beside the picture of its
// box. A form has one box: it is sent by Enter, and the page comes back with the next one
// ready, so that nobody has to touch a pointer, and no script is needed.

// typePage is the page of a job's readings.
type typePage struct {
	*typein.Packet
	print  int // as it was asked for; 0: that of which paper came back
	all    bool
	Groups []typeGroup
	Shown  *typeGroup // nil where there is none
	At     *typeBox   // the one that is ready to be typed, nil where there is none
	Kept   *typeBox   // what was typed just now, nil of nothing
	Left   int        // boxes in which something may be written and that are not typed
	Typed  int
	Empty  int // boxes on paper that came back in which nothing is written
	Writes bool
	Shut   bool
	works  *workings
}

// typeGroup is a row of boxes on one page of the packet.
type typeGroup struct {
	N     int // of the group, from 0
	Page  int
	Sheet string
	Left  int
	Words bool // of boxes for words, behind those for numbers
	Boxes []*typeBox
}

// typeBox is a box with what there is to say of it.
type typeBox struct {
	*typein.Box
	N       int            // in the order of the page, from 0
	Picture *cropped       // nil where there is none
	Is      typein.Verdict // on what stands there
	Earlier []register.Reading
	Copy    *typeBox // of a box in a sum: the reading that it repeats, nil of none
	Sum     *summed  // of the result of a sum: what comes of the readings, nil of none

	// Of the one that is ready:
	Text, Why string
	Unread    *typein.Word // why the text is not kept
	WhyUnread *typein.Word
	Verdict   typein.Verdict // on the text
	Asks      string         // what is asked for beside it: "why", "meant", ""
	Other     *register.Reading
	Before    int64
}

// Open reports whether something may be written in a box that is not typed yet.
func (b *typeBox) Open() bool { return b.Was.Event == 0 && b.Seen != register.Blank }

// Focus says which field of a form is ready for what is typed next.
func (b *typeBox) Focus() string {
	switch {
	case b.Unread != nil || b.Other != nil || b.Verdict.Is == "" && b.WhyUnread == nil:
		return "text"
	case b.Asks != "":
		return b.Asks
	}
	return "text"
}

// typeFor loads the page of a job.
func (v *visit) typeFor() (*typePage, error) {
	q := v.r.URL.Query()
	is := &typePage{all: q.Get("all") != ""}
	if text := v.asked("print", 9); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			return nil, errNoPage
		}
		is.print = n
	}
	var err error
	job := v.r.PathValue("job")
	if is.print > 0 { // what is not there is told as any other page that is not
		prints, err := v.Register.Prints(v.r.Context(), job)
		if err != nil {
			return nil, err
		}
		if is.print > len(prints) {
			return nil, errNoPage
		}
	}
	if is.Packet, err = typein.Load(v.r.Context(), v.Register, job, is.print, is.all); err != nil {
		return nil, err
	}
	is.Shut = is.Job.State != register.JobOpen
	is.Writes = v.role >= mechanic && !is.Shut
	for i := range is.Boxes {
		b := &typeBox{Box: &is.Boxes[i], N: i}
		b.Picture = v.crop(is.Print, b.Box.Picture, b.ID)
		if b.Was.Event != 0 {
			if t, err := typein.Read(b.Was.Text, &b.Ask, is.Sign); err == nil {
				b.Is = t.Verdict
			}
		}
		words := b.Ask.For != manifest.ForReading
		if n := len(is.Groups); n == 0 || is.Groups[n-1].Page != b.Page || is.Groups[n-1].Words != words {
			is.Groups = append(is.Groups, typeGroup{N: n, Page: b.Page, Sheet: b.Sheet, Words: words})
		}
		g := &is.Groups[len(is.Groups)-1]
		g.Boxes = append(g.Boxes, b)
		switch {
		case b.Was.Event != 0:
			is.Typed++
		case b.Open():
			is.Left++
			g.Left++
		default:
			is.Empty++
		}
	}
	is.works = v.workingsOf(is)
	return is, nil
}

// ready makes a box the one to be typed, and shows its group.
func (v *visit) ready(is *typePage, b *typeBox) error {
	if b == nil {
		return nil
	}
	is.Shown = &is.Groups[slices.IndexFunc(is.Groups, func(g typeGroup) bool { return slices.Contains(g.Boxes, b) })]
	is.works.fill(is.Shown.Boxes)
	if !is.Writes {
		return nil
	}
	is.At = b
	b.Text, b.Why, b.Before = b.Was.Text, b.Was.Why, b.Was.Event
	if b.Was.Event != 0 {
		if b.Is.NeedsWhy() {
			b.Asks = "why"
		}
		return v.earlier(v.r.Context(), is, b)
	}
	return nil
}

// earlier finds what was typed of a box before.
func (v *visit) earlier(ctx context.Context, is *typePage, b *typeBox) error {
	events, err := v.Register.Happened(ctx, is.Job.ID)
	for _, h := range slices.Backward(events) {
		if t := h.Typed; t != nil && t.Print == is.Print.Event && t.Box == b.ID {
			b.Earlier = append(b.Earlier, *t)
		}
	}
	return err
}

func (v *visit) typePage() error {
	is, err := v.typeFor()
	if err != nil {
		return err
	}
	if is.Writes && v.who == nil {
		return errNameless
	}
	at, kept := v.r.URL.Query().Get("at"), is.find(v.r.URL.Query().Get("kept"))
	if kept != nil && kept.Was.Event != 0 {
		is.Kept = kept
		is.works.fill([]*typeBox{kept})
	}
	b := is.find(at)
	if b == nil && at != end {
		b = is.next(0)
	}
	if b == nil && !is.Writes && len(is.Groups) > 0 {
		b = is.Groups[0].Boxes[0]
	}
	if err := v.ready(is, b); err != nil {
		return err
	}
	return v.show("type", is)
}

// typeIn keeps what was typed for one box. Whatever cannot be kept comes back with why, and
// with what was typed still in its field.
func (v *visit) typeIn() error {
	is, err := v.typeFor()
	if err != nil {
		return err
	}
	form := v.r.PostForm
	b := is.find(form.Get("box"))
	before, err := strconv.ParseInt(form.Get("before"), 10, 64)
	if b == nil || err != nil {
		return refuse(http.StatusBadRequest, "fault.form")
	}
	text, why := strings.TrimSpace(form.Get("text")), strings.TrimSpace(form.Get("why"))
	if text == "" && why == "" { // Enter alone skips
		return v.to(is.to(is.next(b.N+1), nil))
	}
	if err := v.ready(is, b); err != nil {
		return err
	}
	if is.At == nil { // it was closed meanwhile
		return v.showAs(http.StatusConflict, "type", is)
	}
	b.Text, b.Why, b.Before, b.Asks = text, why, before, ""
	again := func(status int) error { return v.showAs(status, "type", is) }
	t, err := typein.Read(text, &b.Ask, is.Sign)
	if err != nil {
		return v.unread(err, &b.Unread, again)
	}
	switch b.Verdict = t.Verdict; {
	case t.Verdict.NeedsWhy():
		b.Asks = "why"
		if why == "" {
			return again(http.StatusOK)
		}
		if why, err = typein.Why(why); err != nil {
			return v.unread(err, &b.WhyUnread, again)
		}
	case t.Verdict.Doubt != "" && form.Get("meant") != text:
		b.Asks = "meant"
		return again(http.StatusOK)
	default:
		why = ""
	}
	reading := b.Reading(t, why)
	reading.Before = before
	_, err = v.Register.Type(v.r.Context(), v.by(), reading)
	if m, ok := errors.AsType[*register.Meanwhile](err); ok {
		return v.typedMeanwhile(is, b, m, again)
	}
	if _, shut := errors.AsType[*register.Shut](err); shut {
		is.At, is.Writes, is.Shut = nil, false, true
		return again(http.StatusConflict)
	}
	if err != nil {
		return err
	}
	return v.to(is.to(is.next(b.N+1), b))
}

// typedMeanwhile shows what somebody else typed of the same box since it was looked at. It
// stands; whoever sends the form once more writes over it, knowing that.
func (v *visit) typedMeanwhile(is *typePage, b *typeBox, m *register.Meanwhile, again func(int) error) error {
	now, err := v.Register.Readings(v.r.Context(), is.Print.Event)
	if err != nil {
		return err
	}
	r := now[b.ID]
	r.Who, r.At = cmp.Or(r.Who, m.Who), cmp.Or(r.At, m.At)
	b.Other, b.Was, b.Before, b.Earlier = &r, r, r.Event, nil
	if t, err := typein.Read(r.Text, &b.Ask, is.Sign); err == nil {
		b.Is = t.Verdict
	}
	if b.Verdict.NeedsWhy() {
		b.Asks = "why"
	}
	if err := v.earlier(v.r.Context(), is, b); err != nil {
		return err
	}
	return again(http.StatusConflict)
}

// unread notes why a text cannot be kept.
func (v *visit) unread(err error, on **typein.Word, again func(int) error) error {
	w, ok := typein.Unread(err)
	if !ok {
		return err
	}
	*on = &w
	return again(http.StatusUnprocessableEntity)
}
