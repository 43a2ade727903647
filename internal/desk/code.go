package desk

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"jobsheaf/internal/pagecode"
	"jobsheaf/internal/register"
)

// This file answers the code of a page: is it current? Whoever asks holds the page, and
// need not sign in: what is answered tells nothing to somebody who does not know its
// fingerprint.

// standing says how a page stands to what was printed since.
type standing string

// How a page stands.
const (
	current  standing = "current"
	replaced standing = "replaced"
	void     standing = "void"    // its job does not count
	unknown  standing = "unknown" // no such page was printed
)

// held is a page that somebody holds.
type held struct {
	pagecode.Ref
	Is      standing
	State   register.JobState
	Print   int              // which print of the job it is of
	Newest  register.Printed // the newest print of its job
	Job     register.Job
	Another bool // a job of that number was printed, and this is no page of it
}

// code answers the code of a page, under the path of the site's link or /j, in upper or
// lower case. Nothing else is there.
func (v *visit) code() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	link := ""
	if s := site.Book.Site; s != nil {
		link = s.Link.S
	}
	ref, ok := refOf(v.r.URL.Path, link)
	if !ok {
		if v.role < reader {
			return errSignIn
		}
		return refuse(http.StatusNotFound, "fault.no_page")
	}
	is, err := v.stands(ref)
	if err != nil {
		return err
	}
	return v.show("code", is)
}

// refOf reads the path to which a code leads.
func refOf(path, link string) (pagecode.Ref, bool) {
	parts := strings.Split(strings.Trim(path, "/"), "/")
	if len(parts) < 4 {
		return pagecode.Ref{}, false
	}
	before, own := strings.Join(parts[:len(parts)-4], "/"), parts[len(parts)-4:]
	under := []string{"j"}
	if u, err := url.Parse(link); err == nil {
		under = append(under, strings.Trim(u.Path, "/"))
	}
	if !slices.ContainsFunc(under, func(p string) bool { return strings.EqualFold(p, before) }) {
		return pagecode.Ref{}, false
	}
	ref, err := pagecode.Parse("J1:"+strings.ToUpper(strings.Join(own, "/")), "")
	return ref, err == nil
}

// stands finds how a page stands.
func (v *visit) stands(ref pagecode.Ref) (held, error) {
	is := held{Ref: ref, Is: unknown}
	job, err := v.Register.Job(v.r.Context(), ref.Job)
	if errors.Is(err, register.ErrUnknown) {
		return is, nil
	} else if err != nil {
		return is, err
	}
	prints, err := v.Register.Prints(v.r.Context(), ref.Job)
	if err != nil || len(prints) == 0 {
		return is, err
	}
	newest := prints[len(prints)-1]
	for _, p := range slices.Backward(prints) {
		if !strings.EqualFold(p.Fingerprint, ref.Fingerprint) || p.Pages != ref.Pages {
			continue
		}
		is.Print, is.Newest, is.Job, is.State, is.Is = p.N, newest, job, job.State, replaced
		switch {
		case job.State == register.JobVoid:
			is.Is = void
		case p.Fingerprint == newest.Fingerprint && p.Pages == newest.Pages:
			is.Is = current
		}
		return is, nil
	}
	// Only who may read the register learns that there is such a job.
	is.Another = v.role >= reader
	return is, nil
}
