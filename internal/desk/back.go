package desk

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math"
	"net/http"
	"runtime"
	"slices"
	"time"

	"jobsheaf/internal/intake"
	"jobsheaf/internal/register"
	"jobsheaf/internal/scan/sheets"
)

// This file takes in scans of what came back, and shows what becomes of their pages.

// Back is what reading scans takes.
type Back struct {
	Hold    func() (Held, error)                               // a file for what somebody sends
	Keep    func(sum string, jpeg []byte) error                // keeps the picture of a page, as of intake.Intake
	Picture func(context.Context, string) (*image.Gray, error) // reads one that was kept, by its sum
}

// What is kept of a pile for its page; of more pages, only how many.
const (
	mostOdd  = 500
	mostFine = 200 // the newest
	mostJobs = 400
)

// pile is the scans that somebody sent at a time.
type pile struct {
	turn  chan struct{} // closed when it is its turn
	files []pileFile
	at    int        // the file that is read
	odd   []cameBack // what a person has to look at
	fine  []cameBack // the newest
	jobs  []jobBack  // in the order in which they came

	Pages, Placed, Before, Empty, Odd, Failed int
}

// pileFile is a file of a pile.
type pileFile struct {
	Name     string
	Size     int64
	Read, Of int    // pages
	Why      string // why it was not read, in English; "" otherwise
	Large    bool   // it is larger than a file may be
	Over     bool
}

// MB is its size, rounded up.
func (f pileFile) MB() string { return fmt.Sprintf("%.1f", math.Ceil(float64(f.Size)/(1<<20)*10)/10) }

// jobBack is a print of which pages are in a pile.
type jobBack struct {
	Job   string
	Print int64
}

// cameBack is what became of a page.
type cameBack struct {
	File   string
	At     int // which page of it
	Paper  int64
	State  register.PaperState // "" of a page of which nothing is entered
	Job    string
	Page   int
	Marked int
	Unsure int  // boxes that a person has to settle
	Older  bool // it is of an older print of its job
	Twice  bool // it came before, and the other counts
	Before bool // it was read before
	Empty  bool
	Why    string // in English
}

// backPage is what is asked for scans, and what became of those before.
type backPage struct {
	Piles   []pileGlance
	ToPlace int
	More    bool // there are more to be placed than that
	MB, All int64
	Files   int
	Fault   *fault
}

// pileGlance is a pile as it is at a moment.
type pileGlance struct {
	glance
	pile
	Queue   []glance // the piles before it
	Of      int      // pages of all its files, as far as they are known
	Current pileFile // the file that is read
	Jobs    []jobCame
}

// jobCame says what of a job came back.
type jobCame struct {
	register.Job
	Older   bool  // pages of an older print came
	Missing []int // pages of the newest print that did not come back
}

// pileGlance gives what a page shows of a pile.
func (w *work) pileGlance() pileGlance {
	w.mu.Lock()
	defer w.mu.Unlock()
	g := pileGlance{glance: w.glance(), pile: *w.pile}
	g.files, g.odd, g.fine, g.jobs = slices.Clone(g.files), slices.Clone(g.odd), slices.Clone(g.fine), slices.Clone(g.jobs)
	for _, f := range g.files {
		g.Of += f.Of
	}
	if g.at < len(g.files) {
		g.Current = g.files[g.at]
	}
	return g
}

// For the page.
func (g pileGlance) Files() []pileFile    { return g.files }
func (g pileGlance) ToLookAt() []cameBack { return g.odd }
func (g pileGlance) FilesRead() int       { return min(g.at+1, len(g.files)) }
func (g pileGlance) Fine() (out []cameBack) {
	out = slices.Clone(g.fine)
	slices.Reverse(out) // the newest first
	return out
}

func (v *visit) back() error { return v.showBack(http.StatusOK, nil) }

func (v *visit) showBack(status int, wrong *fault) error {
	is := backPage{MB: v.limits.scan >> 20, All: v.limits.sent >> 20, Files: v.limits.files, Fault: wrong}
	for _, w := range v.works.list(func(w *work) bool { return w.pile != nil }) {
		is.Piles = append(is.Piles, w.pileGlance())
	}
	papers, err := v.Register.ToPlace(v.r.Context(), mostToPlace+1)
	if err != nil {
		return err
	}
	is.ToPlace, is.More = min(len(papers), mostToPlace), len(papers) > mostToPlace
	return v.showAs(status, "back", is)
}

// bring takes scans in and has them read.
func (v *visit) bring() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	files, err := v.receive("scans", room{v.limits.scan, v.limits.sent, v.limits.files}, v.Back.Hold)
	if told, ok := errors.AsType[*fault](err); ok {
		return v.showBack(told.status, told)
	}
	if err != nil {
		return err
	}
	if len(files) == 0 {
		return v.showBack(http.StatusUnprocessableEntity, &fault{key: "back.no_file"})
	}
	w := v.works.newWork(v.Who())
	w.pile = &pile{}
	for _, f := range files {
		w.pile.files = append(w.pile.files, pileFile{Name: f.name, Size: f.size, Large: f.large})
	}
	in := &intake.Intake{Register: v.Register, By: v.by(), Workers: spare(), Keep: v.Back.Keep}
	if s := site.Book.Site; s != nil {
		in.Link = s.Link.S
	}
	err = v.works.begin(w, func(ctx context.Context) error {
		defer closeAll(files)
		for i := range files {
			if err := v.Desk.readScan(ctx, w, in, i, files[i]); err != nil {
				return err
			}
			files[i] = sentFile{}
		}
		return nil
	})
	if err != nil {
		closeAll(files)
		if errors.Is(err, errMuchWaits) {
			return v.showBack(http.StatusServiceUnavailable, &fault{key: "back.much_waits", fill: []any{"n", mostWaiting}})
		}
		return err
	}
	v.Log("%s sent %d files of scans, from %s", v.Who(), len(files), v.from)
	return v.to("/back/" + w.id)
}

// spare is how many processors work in the background may have: one is left to the pages.
func spare() int { return max(1, runtime.GOMAXPROCS(0)-1) }

// readScan reads a file of a pile. One that cannot be read is told, and the others go on.
func (d *Desk) readScan(ctx context.Context, w *work, in *intake.Intake, i int, f sentFile) error {
	change := func(f func(*pile, *pileFile)) {
		w.mu.Lock()
		defer w.mu.Unlock()
		f(w.pile, &w.pile.files[i])
	}
	change(func(p *pile, _ *pileFile) { p.at = i })
	defer change(func(_ *pile, f *pileFile) { f.Over = true })
	if err := ctx.Err(); err != nil {
		return err
	}
	if f.large {
		change(func(p *pile, _ *pileFile) { p.Failed++ })
		return nil
	}
	defer f.held.Close()
	pages, err := sheets.Open(ctx, f.held, f.size, f.held.Drawn())
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		change(func(p *pile, f *pileFile) {
			f.Why = err.Error()
			p.Failed++
		})
		return nil
	}
	change(func(_ *pile, f *pileFile) { f.Of = pages.Len() })
	return in.File(ctx, intake.Source{Scan: f.sum, File: f.name}, pages, func(o intake.Outcome) error {
		c, err := d.became(ctx, o)
		if err != nil {
			return err
		}
		change(func(p *pile, f *pileFile) {
			f.Read = o.At
			p.take(c, o)
		})
		return nil
	})
}

// became says what became of a page.
func (d *Desk) became(ctx context.Context, o intake.Outcome) (cameBack, error) {
	p := o.Paper
	c := cameBack{File: o.File, At: o.At}
	if o.Err != nil {
		c.Empty = errors.Is(o.Err, intake.ErrEmpty)
		c.Why = o.Err.Error()
		return c, nil
	}
	c.Paper, c.State, c.Job, c.Page, c.Why, c.Before = p.Event, p.State, p.Job, p.Page, p.Why, !o.New
	for _, b := range p.Boxes {
		switch b.Is {
		case register.Marked:
			c.Marked++
		case register.Unsure:
			c.Unsure++
		}
	}
	if p.State == register.Placed && p.Print != 0 {
		c.Twice = !p.Counts && p.Instead == 0
		job, err := d.Register.Job(ctx, p.Job)
		if err != nil {
			return c, err
		}
		c.Older = job.Print != p.Print
	}
	return c, nil
}

// ToLookAt reports whether a person has to look at it.
func (c cameBack) ToLookAt() bool {
	switch {
	case c.Empty:
		return false
	case c.State == "":
		return true
	case c.Before:
		return c.State != register.Placed && c.State != register.Aside
	}
	return c.State != register.Placed || c.Older || c.Twice
}

// take counts a page.
func (p *pile) take(c cameBack, o intake.Outcome) {
	p.Pages++
	switch odd := c.ToLookAt(); {
	case c.Empty:
		p.Empty++
	case c.State == "":
		p.Failed++
	case odd:
		p.Odd++
	case c.Before:
		p.Before++
	default:
		p.Placed++
	}
	if c.ToLookAt() {
		if len(p.odd) < mostOdd {
			p.odd = append(p.odd, c)
		}
	} else if p.fine = append(p.fine, c); len(p.fine) > mostFine {
		p.fine = slices.Delete(p.fine, 0, 1)
	}
	if job := (jobBack{o.Paper.Job, o.Paper.Print}); job.Print != 0 && len(p.jobs) < mostJobs && !slices.Contains(p.jobs, job) {
		p.jobs = append(p.jobs, job)
	}
}

// backRun shows what became of a pile by now.
func (v *visit) backRun() error {
	w := v.works.find(v.r.PathValue("work"))
	if w == nil || w.pile == nil {
		return refuse(http.StatusNotFound, "fault.work")
	}
	is := w.pileGlance()
	for _, b := range v.works.before(w) {
		b.mu.Lock()
		is.Queue = append(is.Queue, b.glance())
		b.mu.Unlock()
	}
	for _, b := range is.jobs {
		i := slices.IndexFunc(is.Jobs, func(j jobCame) bool { return j.ID == b.Job })
		if i < 0 {
			j, err := v.came(b.Job)
			if err != nil {
				return err
			}
			i = len(is.Jobs)
			is.Jobs = append(is.Jobs, j)
		}
		if is.Jobs[i].Print != b.Print {
			is.Jobs[i].Older = true
		}
	}
	slices.SortStableFunc(is.Jobs, func(a, b jobCame) int { return whole(a) - whole(b) }) // what is missing first
	v.follow(is.glance)
	return v.show("back-run", is)
}

func whole(j jobCame) int {
	if len(j.Missing) == 0 {
		return 1
	}
	return 0
}

// came says what of a job's newest print came back.
func (v *visit) came(job string) (out jobCame, err error) {
	out.Job, err = v.Register.Job(v.r.Context(), job)
	if err != nil || out.Back == out.Pages {
		return out, err
	}
	out.Missing, err = v.missing(out.Print, out.Pages)
	return out, err
}

// missing gives the pages of a print that did not come back.
func (v *visit) missing(print int64, pages int) (out []int, err error) {
	papers, err := v.Register.Papers(v.r.Context(), print)
	for n := 1; n <= pages; n++ {
		if !slices.ContainsFunc(papers, func(p register.Paper) bool { return p.Page == n }) {
			out = append(out, n)
		}
	}
	return out, err
}

func (v *visit) stopBack() error {
	w := v.works.find(v.r.PathValue("work"))
	if w == nil || w.pile == nil {
		return refuse(http.StatusNotFound, "fault.work")
	}
	w.end(v.Who())
	v.Log("%s stopped the reading of the scans of %s", v.Who(), w.who)
	return v.to("/back/" + w.id)
}

// MayBring reports whether whoever asks may bring scans and say what they are.
func (v *visit) MayBring() bool { return v.role >= mechanic }

// Moment gives a moment as people at the desk read it.
func (v *visit) Moment(t time.Time) string {
	return t.In(v.Now().Location()).Format("2006-01-02 15:04")
}

// momentOf gives a moment of the register as people at the desk read it.
func (v *visit) momentOf(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	return v.Moment(t)
}
