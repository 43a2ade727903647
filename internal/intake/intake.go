// Package intake takes pages of paper that came back into a site's register: which page of
// which print each is, and what stands in its boxes.
//
// Entry points: Intake.File for the pages of a file, Intake.Place for a page that a person
// says is this or that. It belongs here if it decides what becomes of a page that was
// scanned. It is not for reading pictures (scan), for keeping (register), nor for files.
package intake

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/internal/scan/sheets"
)

// Intake takes pages in. It is safe for concurrent use.
type Intake struct {
	Register *register.Register
	By       register.By
	Link     string // of the site, as on its pages
	Workers  int    // how many pages are read at a time, at least 1
	// Keep keeps the picture of a page for good, before anything is said of the page; sum is
	// its SHA-256, in hexadecimal.
	Keep func(sum string, jpeg []byte) error

	mu     sync.Mutex
	prints map[string]*printed // by job and fingerprint
}

// printed is a print with its manifest.
type printed struct {
	register.Printed
	pages []manifest.Page
}

// mostPrints is how many manifests are held ready: the pages of a pile come in any order,
// and a manifest is a hundred times as large in memory as its page is dear to look up.
const mostPrints = 200

// Source is a file of scans.
type Source struct {
	Scan string // its SHA-256, in hexadecimal
	File string // its name
}

// Outcome is what became of a page.
type Outcome struct {
	File   string
	At     int // which page of the file, from 1
	Paper  register.Paper
	New    bool   // it is entered now; else it was, or it is not entered
	Remark string // what a person should know of it
	Odd    bool   // it is not a page of the newest print that came for the first time
	// Err is why nothing of the page is entered: it cannot be decoded, or is empty.
	Err error
}

// ErrEmpty is the error of a side of paper with nothing on it.
var ErrEmpty = errors.New("an empty side")

// Pages are the pages of a file, as sheets.File has them.
type Pages interface {
	Len() int
	Sheet(ctx context.Context, page int) (sheets.Sheet, error)
}

// File reads the pages of a file, several at a time, and enters them in their order; each
// hears of every page, one after the other. It stops at the first error of each, of Keep or
// of the register, or when ctx ends; what it handed on by then is kept.
func (in *Intake) File(ctx context.Context, from Source, pages Pages, each func(Outcome) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	type looked struct {
		seen
		err error
	}
	// In the order of the pages; so many are looked at, at a time, and held.
	queue := make(chan chan looked, max(1, in.Workers)-1)
	go func() {
		defer close(queue)
		for n := 1; n <= pages.Len() && ctx.Err() == nil; n++ {
			one := make(chan looked, 1)
			queue <- one
			go func() {
				s, err := in.look(ctx, from, n, pages)
				one <- looked{s, err}
			}()
		}
	}()
	at, failed := 0, error(nil)
	for one := range queue {
		at++
		got := <-one
		if failed != nil {
			continue // the queue runs empty
		}
		out, err := Outcome{}, got.err
		if err == nil {
			out, err = in.enter(ctx, from, at, got.seen)
		}
		if err == nil {
			err = each(out)
		}
		if failed = err; err != nil {
			cancel()
		}
	}
	return cmp.Or(failed, context.Cause(ctx))
}

// seen is a page that was looked at.
type seen struct {
	paper   register.Paper
	picture []byte // JPEG
	was     *register.Paper
	err     error // as of Outcome
}

// look finds out what a page is, without entering it. The error is of the machine.
func (in *Intake) look(ctx context.Context, from Source, at int, pages Pages) (seen, error) {
	was, came, err := in.Register.Came(ctx, from.Scan, at)
	if err != nil {
		return seen{}, err
	}
	if came && (was.State == register.Placed || was.State == register.Unread) {
		return seen{was: &was}, nil
	}
	s, err := pages.Sheet(ctx, at)
	if err != nil {
		return seen{err: err}, ctx.Err()
	}
	p := register.Paper{Scan: from.Scan, File: from.File, At: at}
	if came { // what could not be placed then may be known by now
		p.Of = was.Event
	}
	picture, err := in.read(ctx, &p, &s)
	switch {
	case errors.Is(err, ErrEmpty):
		return seen{err: err}, nil
	case err != nil:
		return seen{}, err
	case came && p.State == was.State:
		return seen{was: &was}, nil
	}
	out := seen{paper: p}
	out.paper.Picture, out.picture, err = pictureOf(picture)
	return out, err
}

// enter keeps a page's picture, enters the page, and says what is odd about it.
func (in *Intake) enter(ctx context.Context, from Source, at int, s seen) (Outcome, error) {
	out := Outcome{File: from.File, At: at, Err: s.err}
	if s.err != nil {
		return out, nil
	}
	if s.was != nil {
		out.Paper = *s.was
		out.Remark, out.Odd = "read before", s.was.State != register.Placed
		return out, nil
	}
	if err := in.Keep(s.paper.Picture, s.picture); err != nil {
		return out, err
	}
	var err error
	if out.Paper, out.New, err = in.Register.See(ctx, in.By, s.paper); err != nil {
		return out, err
	}
	return out, in.remark(ctx, &out)
}

// remark says what a person should know of a page that was entered.
func (in *Intake) remark(ctx context.Context, out *Outcome) error {
	p := out.Paper
	if p.State != register.Placed {
		out.Remark, out.Odd = p.Why, true
		return nil
	}
	var odd []string
	prints, err := in.Register.Prints(ctx, p.Job)
	if err != nil {
		return err
	}
	if last := prints[len(prints)-1]; last.Event != p.Print {
		i := slices.IndexFunc(prints, func(q register.Printed) bool { return q.Event == p.Print })
		odd = append(odd, fmt.Sprintf("of print %d, and print %d is newer", prints[i].N, last.N))
	}
	if !p.Counts {
		papers, err := in.Register.Papers(ctx, p.Print)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(papers, func(q register.Paper) bool { return q.Page == p.Page && q.Counts })
		if i >= 0 {
			odd = append(odd, fmt.Sprintf("it came before, as page %d of %s, which counts%s", papers[i].At, papers[i].File, differing(papers[i], p)))
		}
	}
	out.Odd = len(odd) > 0
	if p.Why != "" {
		odd = append(odd, p.Why)
	}
	out.Remark = strings.Join(odd, "; ")
	return nil
}

// differing says in how many boxes two papers of one page differ.
func differing(a, b register.Paper) string {
	n := 0
	for i := range a.Boxes {
		if i < len(b.Boxes) && a.Boxes[i].Is != b.Boxes[i].Is {
			n++
		}
	}
	switch n {
	case 0:
		return ""
	case 1:
		return "; 1 box of it differs"
	}
	return fmt.Sprintf("; %d boxes of it differ", n)
}
