// Package week prints a planner's list: it gathers the jobs into rounds, one crew's
// day each, puts their packets into print files with front matter, and keeps a
// ledger, from which a run that was stopped goes on.
//
// Entry points: Rounds and Share; Printer.Print for a list, Join and Finish for
// parts of one. It belongs here if it is about the files of a run. It is not for
// one packet (printjob), for what the front matter says (front), nor for the file
// system and the clock (cli).
package week

import (
	"cmp"
	"context"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/front"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
)

// The names of what a run writes beside the packets.
const (
	LedgerName = "week.json"
	roundsIn   = "print/"
	changedIn  = "changed/"
	frontIn    = "front/"
)

// annexFile is the name of a job's annex.
func annexFile(job string) string { return printjob.AnnexOf(job) + ".pdf" }

// filesOf gives the names of the files of a job's own.
func (r *run) filesOf(job string) []string {
	names := []string{job + ".pdf", job + ".json"}
	if r.Maker.Annex {
		names = append(names, annexFile(job))
	}
	return names
}

// Printer prints lists.
type Printer struct {
	Maker   *printjob.Maker
	Book    *record.Book
	Library *procedure.Library
	Words   words.Catalogue // of the pages' language
	Program string
	Output  Output
	Duplex  bool // let each packet of a print file begin on a fresh sheet of paper
	// Before is the ledger of the run before; nil where there was none. Files that
	// are not as it has them are made again. With Changed, what changed since is
	// named, and printed once more by itself, into the folder changed.
	Before  *Ledger
	Changed bool
	// Cancelled are the jobs that the list marks as cancelled.
	Cancelled []string
	// Tell is called after each job and each round; it may be nil. It is called from
	// one goroutine.
	Tell func(Progress)
}

// Progress says how far a run is.
type Progress struct {
	Jobs, Of int
	Round    *RoundDone // a round that was finished just now; nil where it was a job
	Whole    bool       // it was there already and was left as it is
}

// Result is what a run came to.
type Result struct {
	Ledger   *Ledger
	Problems diag.List
	Kept     int // packets that were there already and were left as they are
	Changed  []front.Change
	Files    []string // the print files and the front matter, in order
	Stale    []string // files of an earlier run that the list no longer has

	Restored  []string            // files that were damaged or missing since the run before, and were made again
	Obstacles []printjob.Obstacle // files that could not be written or read
}

// Printed counts the jobs whose packets are in the output, and their pages.
func (r *Result) Printed() (jobs, pages int) {
	for i := range r.Ledger.Jobs {
		if d := &r.Ledger.Jobs[i]; r.wrote(d.Job.Job + ".pdf") {
			jobs++
			pages += d.Pages
		}
	}
	return jobs, pages
}

// wrote reports whether a file is among those of the ledger.
func (r *Result) wrote(name string) bool {
	_, there := slices.BinarySearchFunc(r.Ledger.Files, name, func(f File, name string) int { return strings.Compare(f.Name, name) })
	return there
}

// run is a printing in progress.
type run struct {
	*Printer
	ctx    context.Context
	out    *output
	ledger *Ledger
	part   map[string]int            // places in ledger.Parts by name
	need   map[[sha256.Size]byte]int // places in ledger.Needs by digest
	before *earlier                  // nil where there was no run before
	result Result
	far    Progress
}

// Print prints rounds of a list: the packets, a print file for each round, and with
// the last of them the front matter and the ledger. part says which share of the
// list the rounds are ("2/5"), "" for all of it; a share gets no front matter, which
// Finish makes once the shares are joined. Rounds whose files are all there and are
// what they would become are left as they are. The error is of the machine, or
// ctx's; every file in the output is then whole.
func (p *Printer) Print(ctx context.Context, list string, rounds []Round, part string) (*Result, error) {
	r := &run{Printer: p, ctx: ctx, out: newOutput(p.Output, p.Before), part: map[string]int{}, need: map[[sha256.Size]byte]int{}}
	r.ledger = &Ledger{Format: ledgerFormat, Part: part, Run: front.Run{Program: p.Program, List: list, Duplex: p.Duplex, Annex: p.Maker.Annex, Words: p.Words}}
	r.result.Ledger = r.ledger
	if s := p.Book.Site; s != nil {
		r.ledger.Look = front.Look{Site: cmp.Or(s.Name.S, s.ID), Paper: s.Paper, Language: s.Language, System: s.System.String()}
		for name := range s.Crews {
			r.ledger.Crews = append(r.ledger.Crews, front.Crew{Name: name, Hours: capacity(s, name)})
		}
		slices.SortFunc(r.ledger.Crews, func(a, b front.Crew) int { return cmp.Compare(a.Name, b.Name) })
	}
	if p.Before != nil {
		r.before = newEarlier(p.Before)
	}
	for _, d := range rounds {
		r.far.Of += len(d.jobs)
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
		if err := r.result.finish(r.out, p.Before, p.Cancelled); err != nil {
			return &r.result, err
		}
	} else {
		if err := r.out.missing(); err != nil {
			return &r.result, err
		}
		r.ledger.Files = r.out.list()
		if err := r.out.putLedger(partName(part), r.ledger); err != nil {
			return &r.result, err
		}
	}
	r.result.Restored, r.result.Obstacles = r.out.restored, r.out.obstacles
	r.result.Problems = r.result.Problems.Sorted()
	return &r.result, nil
}

// stale finds what is in the output from an earlier run and is no longer true:
// the packets of jobs that are refused now, and the print files of rounds that the
// list no longer has.
func (r *run) stale() error {
	look := func(name string) error {
		there, err := r.out.there(name)
		if there {
			r.result.Stale = append(r.result.Stale, name)
		}
		return err
	}
	for _, j := range r.ledger.Refused {
		if j.Job == "" || slices.ContainsFunc(r.ledger.Jobs, func(d Done) bool { return d.Job.Job == j.Job }) {
			continue
		}
		for _, name := range []string{j.Job + ".pdf", annexFile(j.Job)} {
			if err := look(name); err != nil {
				return err
			}
		}
		file := roundsIn + roundName(j.Day, j.Crew) + ".pdf"
		if !slices.ContainsFunc(r.ledger.Rounds, func(n RoundDone) bool { return n.File == file }) && !slices.Contains(r.result.Stale, file) {
			if err := look(file); err != nil {
				return err
			}
		}
	}
	if !r.Maker.Annex { // one of an earlier run may be of other records than its packet is now
		for i := range r.ledger.Jobs {
			d := &r.ledger.Jobs[i]
			same, err := r.hasAnnex(d)
			if err == nil && !same {
				err = look(annexFile(d.Job.Job))
			}
			if err != nil {
				return err
			}
		}
	}
	if r.Before == nil || r.Before.List != r.ledger.List || r.ledger.Part != "" {
		return nil
	}
	for _, d := range r.Before.Rounds {
		if !slices.ContainsFunc(r.ledger.Rounds, func(n RoundDone) bool { return n.File == d.File }) && !slices.Contains(r.result.Stale, d.File) {
			if err := look(d.File); err != nil {
				return err
			}
		}
	}
	return nil
}

// partName gives the name of a part's ledger, such as week.2of5.json.
func partName(part string) string {
	k, n, err := ParsePart(part)
	if err != nil {
		return LedgerName
	}
	return fmt.Sprintf("week.%dof%d.json", k, n)
}

// rounds prints the rounds: first those of which the print file is missing, in one
// go, looking in passing whether the others are whole; then those that are not.
func (r *run) rounds(rounds []Round) error {
	full := make([]bool, len(rounds))
	for i := range rounds {
		name := roundsIn + rounds[i].Name() + ".pdf"
		there, err := r.out.there(name)
		if err != nil {
			return err
		}
		if _, known := r.out.before[name]; known && !there {
			r.out.restore(name)
		}
		full[i] = !there
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
	var tasks []printjob.Task
	var of []int // the round of each task
	for i := range rounds {
		for _, j := range rounds[i].jobs {
			tasks, of = append(tasks, printjob.Task{Job: j, ComposeOnly: !full[i]}), append(of, i)
		}
	}
	at := 0
	var open *printing
	defer func() {
		if open != nil {
			open.drop()
		}
	}()
	err = r.Maker.Run(r.ctx, tasks, func(got printjob.Made) error {
		round := of[at]
		at++
		if open == nil {
			open = r.open(&rounds[round])
		}
		if err := open.add(got, full[round]); err != nil {
			return err
		}
		if open.seen < len(open.round.jobs) {
			return nil
		}
		last := open
		open = nil
		if full[round] {
			if err := last.close(); err != nil {
				last.drop()
				return err
			}
			return nil
		}
		whole, err := last.whole()
		if err == nil && !whole {
			last.forget()
			again = append(again, round)
			return nil
		}
		return err
	})
	return again, err
}

// enter puts what a job was made from and what it needs into the ledger.
func (r *run) enter(d *Done, parts []packet.Part, n packet.Needs) {
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
	key := digest(&n)
	at, there := r.need[key]
	if !there {
		at = len(r.ledger.Needs)
		r.need[key] = at
		r.ledger.Needs = append(r.ledger.Needs, n)
	}
	d.NeedsAt = at
}
