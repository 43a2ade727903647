package desk

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/intake"
	"jobsheaf/internal/register"
)

// This file has people say which page a paper is that could not be placed.

// mostToPlace is how many papers are listed.
const mostToPlace = 60

// toPlacePage is what waits for a person.
type toPlacePage struct {
	Papers []register.Paper
	More   bool
	Twice  []register.Paper // that do not count, and say something else than the one that does
	Was    *register.Paper  // the paper of which something was said just now
}

func (v *visit) toPlace() error {
	ctx := v.r.Context()
	papers, err := v.Register.ToPlace(ctx, mostToPlace+1)
	if err != nil {
		return err
	}
	is := toPlacePage{Papers: papers[:min(len(papers), mostToPlace)], More: len(papers) > mostToPlace}
	if is.Twice, err = v.unlike(ctx); err != nil {
		return err
	}
	if n, err := strconv.ParseInt(v.asked("was", 18), 10, 64); err == nil {
		if p, err := v.Register.Paper(ctx, n); err == nil && (p.State == register.Placed || p.State == register.Unread || p.State == register.Aside) {
			is.Was = &p
		}
	}
	return v.show("place", is)
}

// placePage is one of the papers, with the form to say what it is.
type placePage struct {
	register.Paper
	Is               *register.Paper // what somebody said it is; nil: nobody did
	Job, Page, Print string          // as they were written into the form
	Word             string
	Near             []neighbour
	Fault            *fault
}

// neighbour is a page that did not come back, of a job whose pages lay beside the paper.
type neighbour struct {
	Job   string
	Page  int
	Sheet string // the key of its title
}

// paperAsked gives the paper that the path names.
func (v *visit) paperAsked() (register.Paper, error) {
	n, err := strconv.ParseInt(v.r.PathValue("paper"), 10, 64)
	if err != nil {
		return register.Paper{}, errNoPage
	}
	return v.Register.Paper(v.r.Context(), n)
}

func (v *visit) placing() error {
	p, err := v.paperAsked()
	if err != nil {
		return err
	}
	return v.showPlacing(http.StatusOK, placePage{Paper: p, Job: v.asked("job", 60), Page: v.asked("page", 6), Print: v.asked("print", 6)})
}

func (v *visit) showPlacing(status int, is placePage) (err error) {
	if is.Is, err = v.saidOf(is.Paper); err != nil {
		return err
	}
	if is.Is == nil {
		if is.Near, err = v.near(is.Paper); err != nil {
			return err
		}
	}
	return v.showAs(status, "placing", is)
}

// saidOf gives what somebody said of a paper, or what its code did; nil where nothing is
// settled. What could not be squared up may still be placed anew.
func (v *visit) saidOf(p register.Paper) (*register.Paper, error) {
	for p.Instead != 0 {
		next, err := v.Register.Paper(v.r.Context(), p.Instead)
		if err != nil {
			return nil, err
		}
		p = next
		if p.Instead == 0 {
			return &p, nil
		}
	}
	if p.State == register.Placed || p.State == register.Aside {
		return &p, nil
	}
	return nil, nil
}

// mostNear is how many pages are offered.
const mostNear = 12

// near gives the pages that are missing of the jobs whose pages lay beside a paper in its
// scan: most likely it is one of them.
func (v *visit) near(p register.Paper) (out []neighbour, err error) {
	var seen []int64
	for _, at := range []int{p.At - 1, p.At + 1, p.At - 2, p.At + 2} {
		beside, ok, err := v.Register.Came(v.r.Context(), p.Scan, at)
		if err != nil {
			return nil, err
		}
		if !ok || beside.Print == 0 || slices.Contains(seen, beside.Print) {
			continue
		}
		seen = append(seen, beside.Print)
		prints, err := v.Register.Prints(v.r.Context(), beside.Job)
		if err != nil {
			return nil, err
		}
		newest := prints[len(prints)-1]
		if newest.Event != beside.Print {
			continue
		}
		on, err := v.asks.get(newest.Event, func() (printedPages, error) { return v.printed(newest) })
		if err != nil {
			return nil, err
		}
		missing, err := v.missing(newest.Event, newest.Pages)
		if err != nil {
			return nil, err
		}
		for _, n := range missing {
			if len(out) < mostNear && n <= len(on.sheets) {
				out = append(out, neighbour{newest.Job, n, on.sheets[n-1]})
			}
		}
	}
	return out, nil
}

// intake takes pages in, in the name of whoever asks.
func (v *visit) intake() *intake.Intake {
	return &intake.Intake{Register: v.Register, By: v.by(), Keep: v.Back.Keep}
}

func (v *visit) place() error {
	p, err := v.paperAsked()
	if err != nil {
		return err
	}
	is := placePage{Paper: p, Job: v.field("job", 60), Page: v.field("page", 6), Print: v.field("print", 6)}
	again := func(status int, key string, fill ...any) error {
		is.Fault = &fault{key: key, fill: fill}
		return v.showPlacing(status, is)
	}
	if said, err := v.saidOf(p); err != nil || said != nil {
		return v.saidMeanwhile(err, is)
	}
	page, err := strconv.Atoi(is.Page)
	if err != nil || page < 1 {
		return again(http.StatusUnprocessableEntity, "place.no_page")
	}
	prints, err := v.Register.Prints(v.r.Context(), is.Job)
	if err != nil {
		return err
	}
	n := len(prints)
	if is.Print != "" {
		if n, err = strconv.Atoi(is.Print); err != nil {
			n = 0
		}
	}
	switch {
	case len(prints) == 0:
		return again(http.StatusUnprocessableEntity, "place.no_job", "job", is.Job)
	case n < 1 || n > len(prints):
		return again(http.StatusUnprocessableEntity, "place.no_print", "job", prints[0].Job, "n", len(prints))
	case page > prints[n-1].Pages:
		return again(http.StatusUnprocessableEntity, "place.beyond", "job", prints[0].Job, "n", prints[n-1].Pages)
	}
	picture, err := v.Back.Picture(v.r.Context(), p.Picture)
	if err != nil {
		v.Log("the picture of paper %d: %v", p.Event, err)
		return again(http.StatusUnprocessableEntity, "place.no_picture")
	}
	o, err := v.intake().Place(v.r.Context(), p.Event, picture, prints[n-1], page)
	if err != nil || !o.New {
		now, perr := v.Register.Paper(v.r.Context(), p.Event)
		if perr == nil && now.Instead != 0 {
			return v.saidMeanwhile(nil, is)
		}
		return cmp.Or(err, perr, errNoPage)
	}
	return v.to("/place?was=" + strconv.FormatInt(o.Paper.Event, 10))
}

// saidMeanwhile shows what somebody else said of a paper, with what was written into the
// form.
func (v *visit) saidMeanwhile(err error, is placePage) error {
	if err != nil {
		return err
	}
	if is.Paper, err = v.Register.Paper(v.r.Context(), is.Event); err != nil {
		return err
	}
	is.Fault = &fault{key: "place.meanwhile"}
	return v.showPlacing(http.StatusConflict, is)
}

// aside puts a paper aside that is no page of a packet.
func (v *visit) aside() error {
	p, err := v.paperAsked()
	if err != nil {
		return err
	}
	is := placePage{Paper: p, Word: v.field("word", 200)}
	if said, err := v.saidOf(p); err != nil || said != nil {
		return v.saidMeanwhile(err, is)
	}
	if is.Word == "" {
		is.Fault = &fault{key: "place.no_word"}
		return v.showPlacing(http.StatusUnprocessableEntity, is)
	}
	err = v.intake().Aside(v.r.Context(), p.Event, is.Word)
	now, perr := v.Register.Paper(v.r.Context(), p.Event)
	if perr != nil {
		return perr
	}
	if now.Instead == 0 {
		if err == nil {
			err = fmt.Errorf("paper %d was not put aside", p.Event)
		}
		return err
	}
	said, perr := v.Register.Paper(v.r.Context(), now.Instead)
	if perr != nil {
		return perr
	}
	if err != nil || said.State != register.Aside || said.Who != v.Who() || said.Why != is.Word {
		return v.saidMeanwhile(nil, is)
	}
	return v.to("/place?was=" + strconv.FormatInt(said.Event, 10))
}

// unlike gives papers of pages that came twice and do not say the same, of which nobody said
// which counts.
func (v *visit) unlike(ctx context.Context) (out []register.Paper, err error) {
	all, err := v.Register.Twice(ctx, 4*mostToPlace)
	if err != nil {
		return nil, err
	}
	let := map[string][]register.Decision{}
	for _, p := range all {
		if _, asked := let[p.Job]; !asked {
			if let[p.Job], err = v.Register.Decisions(ctx, p.Job); err != nil {
				return nil, err
			}
		}
		papers, err := v.Register.Papers(ctx, p.Print)
		if err != nil {
			return nil, err
		}
		i := slices.IndexFunc(papers, func(q register.Paper) bool { return q.Page == p.Page && q.Counts })
		if i < 0 || len(differing(papers[i], p)) == 0 || letThrough(let[p.Job], p) {
			continue
		}
		if out = append(out, p); len(out) == mostToPlace {
			break
		}
	}
	return out, nil
}

// letThrough reports whether somebody said that the other paper of a page counts.
func letThrough(decisions []register.Decision, p register.Paper) bool {
	return slices.ContainsFunc(decisions, func(d register.Decision) bool {
		return d.Holds && d.Kind == register.Accept && d.Print == p.Print && d.Finding == twiceKey(p)
	})
}

// twiceKey is the key of the finding of review that a paper does not say what the one that
// counts does.
func twiceKey(p register.Paper) string { return fmt.Sprintf("twice-%d-%d", p.Page, p.Event) }

// differing gives the boxes in which two papers of a page differ.
func differing(a, b register.Paper) (boxes []string) {
	is := map[string]register.Mark{}
	for _, x := range b.Boxes {
		is[x.ID] = x.Is
	}
	for _, x := range a.Boxes {
		if other, has := is[x.ID]; has && other != x.Is {
			boxes = append(boxes, x.ID)
		}
	}
	return boxes
}

// PaperIs says how it stands with a paper.
func (f *frame) PaperIs(p register.Paper) string {
	switch p.State {
	case register.Foreign:
		return f.Say("back.foreign")
	case register.Unknown:
		return f.Say("back.unknown")
	case register.Unread:
		return f.Say("place.unread", "job", p.Job, "page", p.Page)
	case register.Placed:
		return f.Say("place.is", "job", p.Job, "page", p.Page)
	case register.Aside:
		return strings.TrimSpace(f.Say("place.is_aside") + " " + p.Why)
	}
	return f.Say("back.unplaced")
}
