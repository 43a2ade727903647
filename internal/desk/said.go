package desk

import (
	"strings"

	"jobsheaf/internal/register"
)

// This file puts what the register and the records hold into words.

// With gives the frame of a part of a page that is about something else.
func (f *frame) With(is any) *frame { return &frame{f.visit, f.words, is} }

// Here is the address of the page.
func (v *visit) Here() string { return v.r.URL.RequestURI() }

// Named gives the name of a language in itself.
func (f *frame) Named(lang string) string {
	if c, ok := f.site.Words[lang]; ok {
		return c.Get("desk.language")
	}
	return lang
}

// State says what becomes of a job.
func (f *frame) State(s register.JobState) string {
	switch s {
	case register.JobClosed:
		return f.Say("state.closed")
	case register.JobVoid:
		return f.Say("state.void")
	}
	return f.Say("state.open")
}

// Title gives what a procedure is called; its name where nothing is known of it.
func (f *frame) Title(procedure string) string {
	if t := f.site.Title(procedure); t != "" {
		return t
	}
	return procedure
}

// Sheet gives the title of a sheet of a packet.
func (f *frame) Sheet(name string) string {
	if t := f.site.Words[f.Language()].Get("compose." + name + ".title"); t != "" {
		return t
	}
	return name
}

// Happened says what happened to a job.
func (f *frame) Happened(h register.Happened) string {
	why := func(text, reason string) string {
		if reason == "" {
			return text
		}
		return text + ": " + reason
	}
	switch {
	case h.Printed != nil:
		return f.Say("event.printed", "n", h.Printed.N, "pages", h.Printed.Pages, "fingerprint", h.Printed.Fingerprint)
	case h.Seen != nil && h.Seen.Page > 0:
		return why(f.Say("event.seen", "page", h.Seen.Page, "file", h.Seen.File, "at", h.Seen.At), h.Seen.Why)
	case h.Seen != nil:
		return why(f.Say("event.seen_unplaced", "file", h.Seen.File, "at", h.Seen.At), h.Seen.Why)
	case h.Settled != nil:
		if h.Settled.Is == register.Marked {
			return f.Say("event.marked", "box", h.Settled.Box)
		}
		return f.Say("event.blank", "box", h.Settled.Box)
	case h.Typed != nil:
		return why(f.Say("event.typed", "box", h.Typed.Box, "text", strings.TrimSpace(h.Typed.Text)), h.Typed.Why)
	case h.Decision != nil:
		return why(f.decided(h.Decision), h.Decision.Why)
	}
	return f.Say("event.chosen", "paper", h.Paper)
}

func (f *frame) decided(d *register.Decision) string {
	switch d.Kind {
	case register.Accept:
		return f.Say("event.excepted", "finding", d.Finding)
	case register.Close:
		return f.Say("event.closed")
	case register.MakeVoid:
		return f.Say("event.voided")
	}
	return f.Say("event.reopened")
}
