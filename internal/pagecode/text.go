// Package pagecode is the text in a page's QR code: which job, which page of how
// many, which fingerprint, and the link under which a site serves its jobs.
//
// Entry points: Ref.Text, and Parse, its inverse; Encode turns a text into the modules of a symbol, and
// LinkRoom says how long a link may be. It belongs here if it decides what the code says or how it is coded.
// It is not for placing the code on the page (layout) nor for drawing it (pdf).
//
// The text is "HTTPS://JOBS.EXAMPLE.ORG/J/K-24817/3/9/7F3A91C2", or without a
// link "J1:K-24817/3/9/7F3A91C2": link, job, page, pages, fingerprint. It keeps to
// the characters of QR's alphanumeric mode, which has no lower case, so that the symbol
// stays small. Only the path of a link may have lower-case letters, since some servers
// tell /j from /J; they make the symbol a size or two finer.
package pagecode

import (
	"errors"
	"fmt"
	"strings"
)

const (
	// maxJob is the most characters of a job ID.
	maxJob = 24
	// maxPages is the most pages of a packet.
	maxPages = 9999
	// maxText is the most characters of a page code's text: far more than a code
	// of sensible size holds, and well inside what QR can.
	maxText = 200
	bare    = "J1:" // begins the text of a code without a link
)

// Ref says which page a sheet of paper is.
type Ref struct {
	Link        string // where the site serves its jobs, http:// or https://; "" for none
	Job         string // job ID, as checkJob takes it
	Page, Pages int    // page 1 to Pages of Pages
	Fingerprint string // 4 to 16 hexadecimal digits
}

// Text gives the text of the code: in upper case but for the path of the link, which
// stays as it is. Job IDs that differ only in case give the same text.
func (s Ref) Text() (string, error) {
	if err := s.check(); err != nil {
		return "", err
	}
	head := bare
	if s.Link != "" {
		head = hostUpper(strings.TrimRight(s.Link, "/")) + "/"
	}
	t := head + strings.ToUpper(fmt.Sprintf("%s/%d/%d/%s", s.Job, s.Page, s.Pages, s.Fingerprint))
	if len(t) > maxText {
		return "", fmt.Errorf("the text of the page's code has %d characters, at most %d can be used: shorten the link", len(t), maxText)
	}
	return t, nil
}

// clip keeps a message short when what was scanned is something else.
func clip(s string) string {
	if len(s) > 80 {
		return s[:80] + "…"
	}
	return s
}

// hostUpper turns what comes before a link's path to upper case: there, case does not
// matter. Source: RFC 3986, 3.1 and 3.2.2.
func hostUpper(link string) string {
	scheme, rest, _ := strings.Cut(link, "://")
	host, path, found := strings.Cut(rest, "/")
	if !found {
		return strings.ToUpper(link)
	}
	return strings.ToUpper(scheme+"://"+host) + "/" + path
}

func (s Ref) check() error {
	if err := checkLink(s.Link); err != nil {
		return err
	}
	if err := checkJob(s.Job); err != nil {
		return err
	}
	if s.Pages < 1 || s.Pages > maxPages || s.Page < 1 || s.Page > s.Pages {
		return fmt.Errorf("page %d of %d: the page must be from 1 to the number of pages, which is at most %d", s.Page, s.Pages, maxPages)
	}
	if n := len(s.Fingerprint); n < 4 || n > 16 {
		return fmt.Errorf("fingerprint %q has %d characters: it must be 4 to 16 hexadecimal digits, such as 7F3A91C2", s.Fingerprint, n)
	}
	for _, r := range s.Fingerprint {
		if !strings.ContainsRune("0123456789abcdefABCDEF", r) {
			return fmt.Errorf("fingerprint %q has %q: it must be 4 to 16 hexadecimal digits, such as 7F3A91C2", s.Fingerprint, r)
		}
	}
	return nil
}

// checkJob reports what is wrong with a job ID: it has 1 to maxJob of A-Z, a-z,
// 0-9, hyphen and full stop, and begins with a letter or a digit.
func checkJob(id string) error {
	const want = "a job ID is 1 to 24 letters A to Z, digits, hyphens or full stops and begins with a letter or a digit, such as K-24817"
	if id == "" {
		return errors.New("the job ID is empty: " + want)
	}
	if len(id) > maxJob {
		return fmt.Errorf("job ID %q has %d characters: %s", clip(id), len(id), want)
	}
	for i, r := range id {
		alnum := r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z'
		if !alnum && (i == 0 || r != '-' && r != '.') {
			return fmt.Errorf("job ID %q has %q as character %d: %s", id, r, i+1, want)
		}
	}
	return nil
}

// checkLink reports what is wrong with a site's link: it begins with http:// or
// https://, names a host, and after upper-casing uses only the signs that QR's
// alphanumeric mode has. The empty link is right: it stands for none.
func checkLink(link string) error {
	if link == "" {
		return nil
	}
	const example = ", such as https://jobs.example.org/j"
	upper := strings.ToUpper(link)
	for i, r := range link {
		// Upper-casing turns some other letters (ı, ſ) into A to Z: look at the letter itself.
		if r >= 0x80 || !alphanumeric(upper[i]) {
			return fmt.Errorf("link %q has %q: a page's code has letters A to Z, digits and $%%*+-./: only%s", clip(link), r, example)
		}
	}
	host, ok := strings.CutPrefix(upper, "HTTPS://")
	if !ok {
		host, ok = strings.CutPrefix(upper, "HTTP://")
	}
	if !ok {
		return fmt.Errorf("link %q: it must begin with https:// or http://%s", clip(link), example)
	}
	if host == "" || host[0] == '/' {
		return fmt.Errorf("link %q names no host: write one%s", clip(link), example)
	}
	return nil
}
