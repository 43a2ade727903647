package pagecode

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

var (
	// errNotOurs is Parse's error for a text that no page of any site carries.
	errNotOurs = errors.New("not the code of a page")
	// ErrElsewhere is Parse's error for a page whose code carries the link of another
	// site. The Ref says which page it is there.
	ErrElsewhere = errors.New("a page of another site")
)

// Parse reads the text of a code, as Ref.Text writes it, for the site that serves its
// jobs under link. Job and fingerprint come back in upper case, as they are in the code.
// A page without a link belongs to any site, since a site may have been given its link
// later: whether it is known there is for the register to say. Scheme and host are
// compared without regard to case, the path with it.
//
// The error wraps ErrElsewhere, beside the Ref, or errNotOurs.
func Parse(text, link string) (Ref, error) {
	if len(text) > maxText {
		return Ref{}, fmt.Errorf("%w: %d characters", errNotOurs, len(text))
	}
	// The last four parts are ours, whatever slashes the link has.
	var part [4]string
	head, whole := text, false
	for i := len(part) - 1; i >= 0; i-- {
		at := strings.LastIndexByte(head, '/')
		if whole = at >= 0; whole {
			head, part[i] = head[:at], head[at+1:]
			continue
		}
		if rest, ok := strings.CutPrefix(head, bare); ok && i == 0 {
			head, part[0], whole = "", rest, true
		}
	}
	if !whole {
		return Ref{}, fmt.Errorf("%w: %q", errNotOurs, clip(text))
	}
	r := Ref{Link: head, Job: part[0], Fingerprint: part[3]}
	var err error
	if r.Page, err = number(part[1]); err == nil {
		r.Pages, err = number(part[2])
	}
	if err == nil {
		err = r.check()
	}
	if err != nil {
		return Ref{}, fmt.Errorf("%w: %q: %v", errNotOurs, clip(text), err)
	}
	// What Text would not write was not written by it: a link's host in lower case, say.
	if again, err := r.Text(); err != nil || again != text {
		return Ref{}, fmt.Errorf("%w: %q is not written as a page's code is", errNotOurs, clip(text))
	}
	if r.Link != "" && r.Link != hostUpper(strings.TrimRight(link, "/")) {
		return r, fmt.Errorf("%w, of %s", ErrElsewhere, clip(r.Link))
	}
	return r, nil
}

// number reads a page number as it is written in a code: digits, without a zero or a
// sign in front.
func number(s string) (int, error) {
	n, err := strconv.Atoi(s)
	if err != nil || strconv.Itoa(n) != s {
		return 0, fmt.Errorf("%q is not the number of a page", clip(s))
	}
	return n, nil
}
