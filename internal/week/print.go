package week

import (
	"cmp"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// Shelf is where finished files stand. Every file on it is whole.
type Shelf interface {
	// Create begins a file that stands there under its name once it is kept, in
	// the place of an older one, and not before.
	Create(name string) (Draft, error)
	// Put writes finished files of one folder, all of them or none.
	Put(files ...File) error
	// Ends gives the first and the last bytes of a file, at most n of each; none
	// where there is no such file.
	Ends(name string, n int) (head, tail []byte, err error)
}

// Draft is a file in the making. One of Keep and Drop is called, once.
type Draft interface {
	io.Writer
	Keep() error
	Drop()
}

// The names of what a run writes beside the packets.
const (
	LedgerName = "week.json"
	roundsIn   = "print/"
	changedIn  = "changed/"
	frontIn    = "front/"
)

// Printer prints lists.
type Printer struct {
	Press   *Press
	Book    *record.Book
	Library *procedure.Library
	Words   map[string]string // of the pages' language
	Program string
	Shelf   Shelf
	Duplex  bool // let each packet of a print file begin on a fresh sheet of paper
	// Before is the ledger of the run before; nil where there was none. With
	// Changed, what changed since is told, and printed once more by itself, into the
	// folder changed.
	Before  *Ledger
	Changed bool
	// Tell is told of each job and each round that is done; it may be nil. It is
	// called from one goroutine.
	Tell func(Progress)
}

// Progress says how far a run is.
type Progress struct {
	Jobs, Of int
	Pages    int
	Round    *RoundDone // a round that was finished just now; nil where it was a job
	Whole    bool       // it was there already and was left as it is
}

// Result is what a run came to.
type Result struct {
	Ledger   *Ledger
	Problems diag.List
	Kept     int // packets that were there already and were left as they are
	Changed  []Change
	Files    []string // the print files and the front matter, in order
	Stale    []string // files of an earlier run that the list no longer has
}

// run is a printing in progress.
type run struct {
	*Printer
	ctx    context.Context
	ledger *Ledger
	part   map[string]int            // places in ledger.Parts by name
	need   map[[sha256.Size]byte]int // places in ledger.Needs by digest
	since  *earlier
	result Result
	told   Progress
}

// Print prints rounds of a list: the packets, a print file for each round, and with
// the last of them the front matter and the ledger. part says which share of the
// list the rounds are ("2/5"), "" for all of it; a share gets no front matter, which
// Finish makes once the shares are joined. Rounds whose files are all there and are
// what they would become are left as they are. The error is of the machine, or
// ctx's; what is on the shelf then is whole.
func (p *Printer) Print(ctx context.Context, list string, rounds []Round, part string) (*Result, error) {
	r := &run{Printer: p, ctx: ctx, part: map[string]int{}, need: map[[sha256.Size]byte]int{}}
	r.ledger = &Ledger{Format: LedgerFormat, Program: p.Program, List: list, Part: part, Duplex: p.Duplex}
	r.result.Ledger = r.ledger
	if s := p.Book.Site; s != nil {
		r.ledger.Look = Look{Site: cmp.Or(s.Name.S, s.ID), Paper: s.Paper, Language: s.Language}
		for name := range s.Crews {
			r.ledger.Crews = append(r.ledger.Crews, Crew{name, capacity(s, name)})
		}
		slices.SortFunc(r.ledger.Crews, func(a, b Crew) int { return cmp.Compare(a.Name, b.Name) })
	}
	if p.Changed && p.Before != nil {
		r.since = newEarlier(p.Before)
	}
	for _, d := range rounds {
		r.told.Of += len(d.Jobs)
	}
	if err := r.rounds(rounds); err != nil {
		return &r.result, err
	}
	if err := r.ledger.settle(); err != nil {
		return &r.result, err // cannot be: all jobs were made from the same records
	}
	if err := r.stale(); err != nil {
		return &r.result, err
	}
	if part == "" {
		files, problems, err := Finish(p.Shelf, r.ledger, p.Words)
		r.result.Files = append(r.result.Files, files...)
		r.result.Problems = append(r.result.Problems, problems...)
		if err != nil {
			return &r.result, err
		}
	} else if err := putLedger(p.Shelf, PartName(part), r.ledger); err != nil {
		return &r.result, err
	}
	r.result.Problems = r.result.Problems.Sorted()
	return &r.result, nil
}

// stale finds what stands on the shelf from an earlier run and is no longer true:
// the packets of jobs that are refused now, and the print files of rounds that the
// list no longer has.
func (r *run) stale() error {
	look := func(name string) error {
		head, _, err := r.Shelf.Ends(name, 1)
		if head != nil {
			r.result.Stale = append(r.result.Stale, name)
		}
		return err
	}
	for _, j := range r.ledger.Refused {
		if j.Job == "" || slices.ContainsFunc(r.ledger.Jobs, func(d Done) bool { return d.Job == j.Job }) {
			continue
		}
		if err := look(j.Job + ".pdf"); err != nil {
			return err
		}
	}
	if r.Before == nil || r.Before.List != r.ledger.List || r.ledger.Part != "" {
		return nil
	}
	for _, d := range r.Before.Rounds {
		if !slices.ContainsFunc(r.ledger.Rounds, func(n RoundDone) bool { return n.File == d.File }) {
			if err := look(d.File); err != nil {
				return err
			}
		}
	}
	return nil
}

// PartName gives the name of a part's ledger, such as week.2of5.json.
func PartName(part string) string {
	k, n, err := ParsePart(part)
	if err != nil {
		return LedgerName
	}
	return fmt.Sprintf("week.%dof%d.json", k, n)
}

func putLedger(s Shelf, name string, l *Ledger) error {
	d, err := s.Create(name)
	if err != nil {
		return err
	}
	if err := l.Encode(d); err != nil {
		d.Drop()
		return err
	}
	return d.Keep()
}

// Finish writes the front matter of a whole list and then its ledger: that it is
// there says that the run came to its end.
func Finish(s Shelf, l *Ledger, words map[string]string) (files []string, problems diag.List, err error) {
	tables, err := newTables(s)
	if err != nil {
		return nil, nil, err
	}
	defer tables.drop()
	for f := range l.fronts() {
		tables.add(&f)
		doc, list := f.layOut(l, words)
		problems = append(problems, list...)
		if list.HasErrors() {
			continue
		}
		name := frontIn + cmp.Or(f.Week, "refused") + ".pdf"
		d, err := s.Create(name)
		if err != nil {
			return files, problems, err
		}
		if err := pdf.Write(d, doc); err != nil {
			d.Drop()
			return files, problems, err
		}
		if err := d.Keep(); err != nil {
			return files, problems, err
		}
		files = append(files, name)
	}
	if err := tables.keep(); err != nil {
		return files, problems, err
	}
	return files, problems, putLedger(s, LedgerName, l)
}

// layOut makes the pages of front matter.
func (f *Front) layOut(l *Ledger, words map[string]string) (page.Doc, diag.List) {
	pk, problems := f.packet(l, words)
	doc, more := layout.Layout(pk)
	for i := range more {
		more[i].Message = "front matter of " + pk.Job.ID + " " + pk.Job.Unit + ", " + more[i].Pos.String() + ": " + more[i].Message
		more[i].Pos = diag.Pos{File: l.List}
	}
	doc.ID = f.digest(l)
	return doc, append(problems, more...)
}

// outcome is a job with the round that it is of.
type outcome struct {
	Made
	round int
	full  bool // printed, not only composed
}

// rounds prints the rounds: first those of which the print file is missing, in one
// go, looking in passing whether the others are whole; then those that are not.
func (r *run) rounds(rounds []Round) error {
	full := make([]bool, len(rounds))
	for i := range rounds {
		head, _, err := r.Shelf.Ends(roundsIn+rounds[i].Name()+".pdf", 1)
		if err != nil {
			return err
		}
		full[i] = head == nil
	}
	again, err := r.pass(rounds, full)
	if err != nil || len(again) == 0 {
		return err
	}
	rest := make([]Round, len(again))
	for i, k := range again {
		rest[i] = rounds[k]
	}
	full = slices.Repeat([]bool{true}, len(rest))
	_, err = r.pass(rest, full)
	return err
}

// pass goes through rounds. Those that are not full are only composed, to see
// whether their files are what they would become; it gives those that are not.
func (r *run) pass(rounds []Round, full []bool) (again []int, err error) {
	type item struct{ round, job int }
	var items []item
	for i := range rounds {
		for k := range rounds[i].Jobs {
			items = append(items, item{i, k})
		}
	}
	var open *sheaf
	defer func() {
		if open != nil {
			open.drop()
		}
	}()
	do := func(i int) (outcome, error) {
		at := items[i]
		job := rounds[at.round].Jobs[at.job]
		if full[at.round] {
			made, err := r.Press.Print(job)
			return outcome{made, at.round, true}, err
		}
		pk, problems := r.Press.Composer.Make(job)
		return outcome{Made{Job: job, Packet: pk, Problems: problems}, at.round, false}, nil
	}
	err = spread(r.ctx, r.Press.Workers, len(items), do, func(got outcome) error {
		if open == nil {
			open = r.open(&rounds[got.round])
		}
		if err := open.add(got); err != nil {
			return err
		}
		if open.seen < len(open.round.Jobs) {
			return nil
		}
		last := open
		open = nil
		if got.full {
			if err := last.close(); err != nil {
				last.drop()
				return err
			}
			return nil
		}
		whole, err := last.whole()
		if err == nil && !whole {
			again = append(again, got.round)
			return nil
		}
		return err
	})
	return again, err
}

// enter puts what a job was made from and what it needs into the ledger.
func (r *run) enter(d *Done, parts []packet.Part, n Needs) {
	for _, p := range parts {
		if p.Name == origin.EntryPart {
			d.Entry = p.Digest
			continue
		}
		at, there := r.part[p.Name]
		if !there {
			at = len(r.ledger.Parts)
			r.part[p.Name] = at
			r.ledger.Parts = append(r.ledger.Parts, p)
		}
		d.From = append(d.From, at)
	}
	key := n.digest()
	at, there := r.need[key]
	if !there {
		at = len(r.ledger.Needs)
		r.need[key] = at
		r.ledger.Needs = append(r.ledger.Needs, n)
	}
	d.Needs = at
}
