package desk

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/internal/typein"
)

// This file finds the way about the page of a job's readings, and puts its boxes into
// words.

// find gives a box by its ID.
func (is *typePage) find(id string) *typeBox {
	for i := range is.Groups {
		for _, b := range is.Groups[i].Boxes {
			if b.ID == id {
				return b
			}
		}
	}
	return nil
}

// next gives the first box from number n on that is to be typed, nil where none is left.
func (is *typePage) next(n int) *typeBox {
	for i := range is.Groups {
		for _, b := range is.Groups[i].Boxes {
			if b.N >= n && b.Open() {
				return b
			}
		}
	}
	return nil
}

// Back gives the box before the one that is ready, nil of the first.
func (is *typePage) Back() *typeBox {
	if is.At == nil || is.At.N == 0 {
		return nil
	}
	return is.find(is.Boxes[is.At.N-1].ID)
}

// end is said instead of a box where none is left after another.
const end = "end"

// To gives the address of the page with a box ready, nil of none. It names no place on the
// page: a browser that is led to one leaves the field alone that is to have the focus.
func (is *typePage) To(b *typeBox) string { return is.to(b, nil) }

func (is *typePage) to(at, kept *typeBox) string {
	q := is.query()
	q.Set("at", end)
	if at != nil {
		q.Set("at", at.ID)
	}
	if kept != nil {
		q.Set("kept", kept.ID)
	}
	return is.path() + "?" + q.Encode()
}

// Skip gives the address of the page with the next box ready.
func (is *typePage) Skip() string { return is.to(is.next(is.At.N+1), nil) }

// Page gives the address of the page with the first box of a group ready.
func (is *typePage) Page(g typeGroup) string {
	first := g.Boxes[0]
	for _, b := range slices.Backward(g.Boxes) {
		if b.Open() {
			first = b
		}
	}
	return is.to(first, nil)
}

// Action is where the form is sent.
func (is *typePage) Action() string {
	q := is.query()
	if len(q) == 0 {
		return is.path()
	}
	return is.path() + "?" + q.Encode()
}

// AllOrFew gives the address of the page with all words, or with those alone that matter.
func (is *typePage) AllOrFew() string {
	other := *is
	other.all = !is.all
	return other.Action()
}

// All reports whether names and all words are shown too.
func (is *typePage) All() bool { return is.all }

func (is *typePage) path() string { return "/job/" + url.PathEscape(is.Job.ID) + "/type" }

func (is *typePage) query() url.Values {
	q := url.Values{}
	if is.print > 0 {
		q.Set("print", strconv.Itoa(is.print))
	}
	if is.all {
		q.Set("all", "1")
	}
	return q
}

// What follows is for the pages.

// Word says a word of typing in.
func (f *frame) Word(w typein.Word) string { return f.Say("typein."+w.Key, w.Fill...) }

// Kind says what a box asks for, where its label does not.
func (f *frame) Kind(a manifest.Ask) string {
	switch a.For {
	case manifest.ForNumber:
		return f.Say("typing.number")
	case manifest.ForDue:
		return f.Say("typing.due")
	case manifest.ForNotDone, manifest.ForMissed:
		return f.Say("typing.not_done")
	}
	return ""
}

// Called says which box one is: its step, what it is about and its label, in the words of
// the page.
func (f *frame) Called(a manifest.Ask, id string) string {
	var parts []string
	of := strings.ReplaceAll(a.Of, "_", " ")
	if a.For == manifest.ForNotDone {
		of = f.Say("typing.row", "n", a.Of)
	}
	for _, s := range []string{a.Step, of, a.Label} {
		if s = strings.TrimSpace(s); s != "" && !slices.Contains(parts, s) {
			parts = append(parts, s)
		}
	}
	if len(parts) == 0 {
		return id
	}
	return strings.Join(parts, " ")
}

// Read gives a reading as it is kept, with its unit.
func (f *frame) Read(r register.Reading) string {
	if r.Value == "" {
		return r.Text
	}
	return typein.Typed{Text: r.Text, Value: r.Value, Unit: r.Unit}.Print()
}
