// Package intake takes pages of paper that came back into a site's register: which page of
// which print each is, and what stands in its boxes.
//
// Entry points: Intake.File for the pages of a file, Intake.Place for a page that a person
// says is this or that. It belongs here if it decides what becomes of a page that was
// scanned. It is not for reading pictures (scan), for keeping (register), nor for files.
package intake

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"slices"
	"strings"
	"sync"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/pagecode"
	"jobsheaf/internal/register"
	"jobsheaf/internal/scan"
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
	picture, err := in.read(ctx, &p, s.Gray)
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

// read says of a paper what its picture shows, and gives the picture to keep: squared up
// where that could be done.
func (in *Intake) read(ctx context.Context, p *register.Paper, g *image.Gray) (*image.Gray, error) {
	code, ok := in.code(p, g)
	if !ok {
		if p.Code == "" && empty(g) {
			return nil, ErrEmpty
		}
		return g, nil
	}
	p.Code = code.Text
	of, err := in.print(ctx, code.Ref)
	switch {
	case errors.Is(err, register.ErrUnknown):
		p.State, p.Why = register.Unknown, err.Error()
		return g, nil
	case err != nil:
		return nil, err
	case code.Ref.Pages != len(of.pages):
		p.State, p.Why = register.Unknown, fmt.Sprintf("its code says page %d of %d, and that print has %d", code.Ref.Page, code.Ref.Pages, len(of.pages))
		return g, nil
	}
	p.Job, p.Print, p.Page = of.Job, of.Event, code.Ref.Page
	return in.boxes(p, g, func(page *manifest.Page) (scan.Sheet, error) { return scan.Read(g, code, page) }, &of.pages[code.Ref.Page-1]), nil
}

// boxes reads the boxes of a paper whose page is known.
func (in *Intake) boxes(p *register.Paper, g *image.Gray, read func(*manifest.Page) (scan.Sheet, error), page *manifest.Page) *image.Gray {
	s, err := read(page)
	if err != nil {
		p.State, p.Why = register.Unread, err.Error()
		return g
	}
	p.State, p.Quality, p.Why = register.Placed, quality(&s), s.Quality.Look
	for i, b := range s.Boxes {
		is := register.Box{ID: b.ID, Is: register.Mark(b.Is), Ink: hundredths(b.Ink)}
		if ask := page.Boxes[i].Ask; ask != nil && ask.For == manifest.ForVerdict {
			is.Keep = ask.Keep
		}
		p.Boxes = append(p.Boxes, is)
	}
	return s.Picture
}

// quality says in words how well a page could be read.
func quality(s *scan.Sheet) string {
	q := &s.Quality
	text := fmt.Sprintf("%.0f dpi, %d of 4 marks, %d of %d boxes found, %.2f mm off", q.PerMM*25.4, q.Marks, q.Edges, len(s.Boxes), q.Misfit)
	if q.Bilevel {
		text += ", black and white"
	}
	return text
}

// hundredths rounds to what is worth keeping of an area in mm².
func hundredths(x float64) float64 { return float64(int(x*100+0.5)) / 100 }

// code finds the code of one page of this site on a picture, and says of the paper why
// there is none.
func (in *Intake) code(p *register.Paper, g *image.Gray) (found scan.Code, ok bool) {
	var foreign string
	codes := scan.Codes(g, func(text string) bool {
		_, err := pagecode.Parse(text, in.Link)
		if errors.Is(err, pagecode.ErrElsewhere) {
			foreign = text
		}
		return err == nil
	})
	var texts []string
	for _, c := range codes {
		if !slices.Contains(texts, c.Text) {
			texts = append(texts, c.Text)
		}
	}
	switch {
	case len(texts) == 1:
		return codes[0], true
	case len(texts) > 1:
		p.State, p.Why = register.Unplaced, "there are the codes of several pages on it: "+strings.Join(texts, ", ")+"; scan each page by itself"
		p.Code = strings.Join(texts, " ")
	case foreign != "":
		p.State, p.Code, p.Why = register.Foreign, foreign, "its code is of another site: "+foreign
	default:
		p.State, p.Why = register.Unplaced, "no code of a page was read on it"
	}
	return scan.Code{}, false
}

// print gives the print of which a code is.
func (in *Intake) print(ctx context.Context, ref pagecode.Ref) (*printed, error) {
	key := strings.ToUpper(ref.Job + "/" + ref.Fingerprint)
	in.mu.Lock()
	defer in.mu.Unlock()
	if p := in.prints[key]; p != nil {
		return p, nil
	}
	prints, err := in.Register.Prints(ctx, ref.Job)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(prints, func(p register.Printed) bool { return strings.EqualFold(p.Fingerprint, ref.Fingerprint) })
	switch {
	case len(prints) == 0:
		return nil, fmt.Errorf("job %s: %w; where it was printed elsewhere, import that register first", ref.Job, register.ErrUnknown)
	case i < 0:
		return nil, fmt.Errorf("job %s has no print with the fingerprint %s: %w", prints[0].Job, ref.Fingerprint, register.ErrUnknown)
	}
	p, err := in.open(ctx, prints[i])
	if err != nil {
		return nil, err
	}
	if in.prints == nil || len(in.prints) >= mostPrints {
		in.prints = map[string]*printed{}
	}
	in.prints[key] = p
	return p, nil
}

// open reads the manifest of a print.
func (in *Intake) open(ctx context.Context, p register.Printed) (*printed, error) {
	raw, err := in.Register.Manifest(ctx, p)
	if err != nil {
		return nil, err
	}
	m, err := manifest.Decode(raw)
	if err != nil {
		return nil, fmt.Errorf("job %s, print %d: %w", p.Job, p.N, err)
	}
	return &printed{p, m.Pages}, nil
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

// pictureQuality is that of the JPEG that is kept: a pencil stroke is still seen in it.
const pictureQuality = 60

// pictureOf gives the file of a picture, with its sum.
func pictureOf(g *image.Gray) (sum string, raw []byte, err error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, g, &jpeg.Options{Quality: pictureQuality}); err != nil {
		return "", nil, err
	}
	of := sha256.Sum256(b.Bytes())
	return hex.EncodeToString(of[:]), b.Bytes(), nil
}

// empty reports a side of paper with next to nothing on it: the back of a page that a
// scanner takes in with it. A grain of dust is not enough to be asked about.
func empty(g *image.Gray) bool {
	const step, edge, dark, most = 2, 12, 150, 0.0005 // of the sides a part in edge is left out: a scanner's shadow
	b := g.Bounds()
	x0, y0, x1, y1 := b.Min.X+b.Dx()/edge, b.Min.Y+b.Dy()/edge, b.Max.X-b.Dx()/edge, b.Max.Y-b.Dy()/edge
	n, all := 0, 0
	for y := y0; y < y1; y += step {
		row := g.Pix[(y-b.Min.Y)*g.Stride:]
		for x := x0; x < x1; x += step {
			all++
			if row[x-b.Min.X] < dark {
				n++
			}
		}
	}
	return float64(n) < most*float64(all)
}

// Place enters, as a person's word, that a paper that could not be placed is a page of a
// print. picture is the one that was kept of it. Where it cannot be squared up, its boxes
// are to be settled by a person, one by one.
func (in *Intake) Place(ctx context.Context, paper int64, picture *image.Gray, p register.Printed, page int) (Outcome, error) {
	was, err := in.placeable(ctx, paper)
	if err != nil {
		return Outcome{}, err
	}
	of, err := in.open(ctx, p)
	switch {
	case err != nil:
		return Outcome{}, err
	case page < 1 || page > len(of.pages):
		return Outcome{}, fmt.Errorf("job %s has no page %d: that print has %d", p.Job, page, len(of.pages))
	}
	now := register.Paper{Scan: was.Scan, File: was.File, At: was.At, Code: was.Code, Job: p.Job, Print: p.Event, Page: page, Of: was.Event}
	squared := in.boxes(&now, picture, func(page *manifest.Page) (scan.Sheet, error) { return scan.ReadPlaced(picture, page) }, &of.pages[page-1])
	s := seen{paper: now}
	if s.paper.Picture, s.picture, err = pictureOf(squared); err != nil {
		return Outcome{}, err
	}
	return in.enter(ctx, Source{was.Scan, was.File}, was.At, s)
}

// Aside enters, as a person's word, that a paper is no page of a packet.
func (in *Intake) Aside(ctx context.Context, paper int64, why string) error {
	was, err := in.placeable(ctx, paper)
	if err == nil {
		_, _, err = in.Register.See(ctx, in.By, register.Paper{State: register.Aside, Scan: was.Scan, File: was.File, At: was.At, Code: was.Code, Picture: was.Picture, Why: why, Of: was.Event})
	}
	return err
}

// placeable gives a paper of which nobody has said yet what it is.
func (in *Intake) placeable(ctx context.Context, paper int64) (register.Paper, error) {
	was, err := in.Register.Paper(ctx, paper)
	switch {
	case err != nil:
		return was, err
	case was.State == register.Placed:
		return was, fmt.Errorf("paper %d is placed already: it is page %d of job %s", paper, was.Page, was.Job)
	case was.State == register.Aside || was.Instead != 0:
		return was, fmt.Errorf("paper %d was placed or put aside already", paper)
	}
	return was, nil
}
