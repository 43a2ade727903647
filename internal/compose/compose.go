// Package compose merges the records of a unit with a procedure into a packet,
// each number with its working.
//
// Entry points: New, which compiles every procedure once, and Composer.Make, which
// makes the packet of one job and may be called from many goroutines. It belongs
// here if it decides what a packet says. It is not for what a formula computes
// (calc), how a record is read (record), nor where anything stands on paper
// (layout).
package compose

import (
	"cmp"
	"slices"
	"sync"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// Composer holds a site's records and its compiled procedures. It is safe for
// concurrent use.
type Composer struct {
	// Blank makes packets empty forms: what would be a number is a blank to write
	// on. It is set before the first packet is made.
	Blank bool

	book    *record.Book
	lib     *procedure.Library
	words   map[string]string
	program string
	terms   []string // the names of the terms, sorted, for hints
	plans   map[string]*plan
	pulled  map[*record.Size]*pulled
	parts   sync.Map  // of fingerprints, by name: packet.Part
	texts   sync.Map  // that packets carry, by name: *carriedText
	unsaid  diag.List // texts that are built in and have none in the language of the pages
}

// New compiles every procedure of the library against the terms of the book. The
// problems are those of the templates; a procedure that has any is refused by
// Make, and the others serve. Words are the fixed words of the pages; where they
// are nil every job is refused. Program is the name and version that the packet
// says it was made with.
func New(book *record.Book, lib *procedure.Library, words map[string]string, program string) (*Composer, diag.List) {
	c := &Composer{book: book, lib: lib, words: words, program: program, plans: map[string]*plan{}, pulled: map[*record.Size]*pulled{}}
	for name := range book.Terms {
		c.terms = append(c.terms, name)
	}
	slices.Sort(c.terms)
	c.unsaid = c.spoken()
	problems := slices.Clone(c.unsaid)
	for _, name := range lib.Names() {
		p, _ := lib.Procedure(name)
		pl, list := c.compile(p)
		problems = append(problems, list...)
		c.plans[name] = pl
	}
	scope := c.baseScope()
	for _, d := range book.Designs {
		for _, s := range d.Sizes {
			p, list := compilePulled(s, scope)
			problems = append(problems, list...)
			c.pulled[s] = p
		}
	}
	return c, problems
}

// Make gives the packet of a job. Where the job cannot be printed the packet is
// nil and the list says why; a packet that has gaps comes with a warning for each
// value that is not on record.
func (c *Composer) Make(job *record.Job) (*packet.Packet, diag.List) {
	t, problems := c.taskOf(job)
	if problems.HasErrors() {
		return nil, problems.Sorted()
	}
	r := c.newRun(t, usual+len(t.plan.values))
	r.problems = problems
	if r.wrongProcedure() {
		return nil, r.problems.Sorted()
	}
	p := &packet.Packet{
		Job: packet.Job{
			ID: job.ID.S, Unit: cmp.Or(r.unit.ID, ruled), UnitName: r.unit.Name.S, Procedure: r.plan.proc.Name,
			Title: r.plain(r.plan.proc.Title), Revision: r.plan.proc.Revision, Day: job.Day.S, Crew: job.Crew.S,
		},
		Site: r.siteName(), Paper: c.book.Site.Paper, System: r.system.String(), Language: c.book.Site.Language,
		Link: c.book.Site.Link.S, Decimal: r.decimal, Words: c.words, Program: c.program,
	}
	p.Sheets = r.sheets()
	p.Needs = r.needs(p.Sheets)
	inputs := r.inputs()
	p.Fingerprint, p.Parts = r.fingerprint(inputs)
	p.Inputs = r.archive(inputs)
	p.Working = r.working.entries
	p.Sheets = append(p.Sheets, r.workingSheet())
	r.problems = append(r.problems, r.gaps()...)
	list := r.problems.Sorted()
	if list.HasErrors() {
		return nil, list
	}
	return p, list
}

// sheets writes all sheets but the working, which lists what they print. They are
// written in the order of the pages, which is that of the working keys; what hangs
// on the later ones is put into the earlier ones at the end.
func (r *run) sheets() []packet.Sheet {
	cover := r.cover()
	job, instrumentsAt := r.jobSheet()
	numbers := r.numbersSheet()
	stages := r.stages()
	r.sayWhereWritten()
	steps := packet.Sheet{ID: "steps", Columns: 2, Title: r.word("steps.title"), Blocks: r.stageBlocks(stages, procedure.Steps)}
	wear := r.wearSheet()
	service := r.serviceSheet(stages)
	if t := r.instrumentTable(); t != nil {
		job.Blocks = slices.Insert(job.Blocks, instrumentsAt, packet.Block{Table: t})
	}
	return []packet.Sheet{cover, job, numbers, steps, wear, service}
}

// Fits reports whether a procedure is for a unit as it is built. It is false too
// where the procedure has errors or the records do not say.
func (c *Composer) Fits(u *record.Unit, name string) bool {
	pl := c.plans[name]
	if pl == nil || pl.faulty || c.book.Site == nil {
		return false
	}
	r := c.newRun(task{plan: pl, unit: u, size: u.Size, job: &record.Job{}}, 0)
	f := r.form(pl.proc.For)
	if f == nil {
		return true
	}
	yes, _ := r.decide(f)
	return yes
}
