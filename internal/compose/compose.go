// Package compose writes the sheets of a packet from the records of a unit, a
// procedure, and the numbers that were computed for the job.
//
// Entry points: New, and Composer.Make, which makes the packet of one job and may be
// called from many goroutines. It belongs here if it decides what a sheet says. It is
// not for numbers, conditions and their working (compute), what a packet was made
// from (origin), how a record is read (record), nor where anything stands on paper
// (layout).
package compose

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
)

// AnyUnit is the unit of a form that is for no unit in particular.
const AnyUnit = compute.AnyUnit

// Composer makes the packets of a site. It is safe for concurrent use.
type Composer struct {
	plans   *compute.Plans
	library *procedure.Library
	origins *origin.Keeper
	texts   *procedure.Texts
	words   words.Catalogue
	program string
	terms   []string // the names of the terms, sorted

	readable *readables // in the words above
}

// New compiles every procedure of the library against the terms of the book. The
// problems are those of the templates; a procedure that has any is refused by
// Make, and the others serve. Words are the fixed words of the pages; where there
// are none every job is refused. Program is the name and version that the packet
// says it was made with.
func New(book *record.Book, lib *procedure.Library, words words.Catalogue, program string) (*Composer, diag.List) {
	c := &Composer{library: lib, origins: &origin.Keeper{}, texts: lib.Texts(), words: words, program: program, readable: &readables{}}
	for name := range book.Terms {
		c.terms = append(c.terms, name)
	}
	slices.Sort(c.terms)
	var problems diag.List
	c.plans, problems = compute.Compile(book, lib, words)
	return c, problems
}

// Forms gives a composer whose packets are empty forms: what would be a number is a
// blank to write on.
func (c *Composer) Forms() *Composer {
	forms := *c
	forms.plans = c.plans.Forms()
	return &forms
}

// Fits reports whether a procedure is for a unit as it is built. It is false too
// where the procedure has errors or the records do not say.
func (c *Composer) Fits(u *record.Unit, name string) bool { return c.plans.Fits(u, name) }

// Budget gives how many pages a procedure allows its packets, and where it says so;
// 0 where it does not.
func (c *Composer) Budget(name string) (pages int, at diag.Pos) {
	if p, _ := c.library.Procedure(name); p != nil {
		return p.Pages, p.PagesAt
	}
	return 0, diag.Pos{}
}

// run is the making of one packet.
type run struct {
	*compute.Numbers
	c       *Composer
	wear    map[*record.Feature]*worn // of features that have readings enough
	places  places
	leftOut []omission          // what does not apply
	aside   []packet.Block      // what stands in the annex and on no sheet that is carried
	further []packet.Looked     // numbers that no carried page says
	reach   map[string]reach    // of the torque wrenches, by the instrument's name
	codes   []*record.Statement // GHS statements that the packet prints
	need    packet.Needs        // by the job sheet
	// instruments is the job sheet's table of them, filled at the end.
	instruments *packet.Table
	// Instruments that are read on the wear sheet, and those read elsewhere, by name.
	onWear, used map[string]bool
	// ordered has, of each joint, its row of the card, which names the step that draws
	// its order.
	ordered map[string]*packet.Row
	// zeroHeading is over the cover's proof of zero energy, and names the step at which
	// it is ticked.
	zeroHeading *packet.Heading
	aided       bool // the cover has first aid
}

// omission is a step or item that does not apply to this unit.
type omission struct {
	what packet.Phrase
	when string
	// since gives the values by which it does not.
	since string
}

// Make gives the packet of a job. Where the job cannot be printed the packet is
// nil and the list says why; a packet that has gaps comes with a warning for each
// value that is not on record.
func (c *Composer) Make(job *record.Job) (*packet.Packet, diag.List) {
	n, problems := c.plans.Job(job)
	if n == nil {
		return nil, problems
	}
	r := c.begin(n)
	site := r.Book.Site
	p := &packet.Packet{
		Job: packet.Job{
			ID: job.ID.S, Unit: cmp.Or(r.Unit.ID, compute.Ruled), UnitName: r.Unit.Name.S, Procedure: r.Procedure.Name,
			Title: r.Plain(r.Procedure.Title), Revision: r.Procedure.Revision, Day: job.Day.S, Crew: job.Crew.S,
			Print: job.Print, Replaces: job.Replaces,
		},
		Site: r.SiteName(), Paper: site.Paper, System: r.System.String(), Language: site.Language,
		Link: site.Link.S, Decimal: r.Decimal, Words: c.words, Program: c.program,
	}
	p.Sheets = r.sheets()
	r.holdOrder()
	p.Needs = r.needs(p.Sheets)
	var faults diag.List
	p.Fingerprint, p.Parts, p.Inputs, faults = c.origins.Of(origin.Made{
		Job: job, Unit: r.Unit, Past: r.Past, Book: r.Book, Instruments: r.Rounding(), Files: r.Procedure.Files,
		Texts: c.texts, Words: c.words, Program: c.program, Blank: r.Blank,
	})
	p.Annex, p.Working = r.annex(p.Sheets)
	gaps := r.Gaps()
	p.Needs.Lacks = len(gaps)
	list := slices.Concat(r.Problems, faults, gaps).Sorted()
	if list.HasErrors() {
		return nil, list
	}
	return p, list
}

// begin begins a packet.
func (c *Composer) begin(n *compute.Numbers) *run {
	return &run{Numbers: n, c: c, wear: map[*record.Feature]*worn{}, places: newPlaces(), reach: map[string]reach{}, ordered: map[string]*packet.Row{},
		onWear: map[string]bool{}, used: map[string]bool{}}
}

// sheets writes the sheets that are carried, in the order of the pages. On paper that is
// printed on both sides the card has the job sheet's list of what to fetch on its back,
// which is done with when the card is hung up; so no page stays blank. The instruments
// are known once the other sheets name them.
func (r *run) sheets() []packet.Sheet {
	var stages []stage
	var out []packet.Sheet
	for _, write := range []func() packet.Sheet{
		r.cover, r.card, r.jobSheet,
		func() packet.Sheet {
			stages = r.stages()
			return r.stepsSheet(stages)
		},
		r.wearSheet,
		func() packet.Sheet {
			if !r.isShort() {
				return r.signOffSheet(stages)
			}
			return packet.Sheet{ID: "signoff", Title: r.Word("signoff.title"), Blocks: r.signOffInColumn()}
		},
		r.stripSheet,
	} {
		s := write()
		at, signal, key := 0, "notice", "lacks.sheet"
		switch {
		case s.ID != "cover":
		case r.Unit.HasLiquid():
			at, signal, key = 1, "warning", "lacks.cover" // below the liquid
		default:
			signal, key = "warning", "lacks.cover_dry"
		}
		if lacks := r.lacks(signal, key); len(s.Blocks) > 0 {
			s.Blocks = slices.Insert(s.Blocks, at, lacks...)
			if s.ID != "steps" { // whose stages are named
				s.Index = r.indexOf(&s)
			}
			out = append(out, s)
		}
	}
	r.namedInstruments()
	if len(r.instruments.Rows) == 0 {
		for i := range out {
			out[i].Blocks = slices.DeleteFunc(out[i].Blocks, func(b packet.Block) bool { return b.Table != nil && b.Table == r.instruments })
		}
	}
	if r.isShort() {
		return r.short(out)
	}
	return withCard(out)
}

// The pages that steps may take before their type is set closer: those of a job that
// measures its parts, and of a short one, its sign-off with them.
const (
	longSteps  = 8
	shortSteps = 3
)

// isShort reports whether the job measures no worn parts, and so has few numbers and
// steps. One that measures all of them is not, though none may be on record.
func (r *run) isShort() bool { return !r.Procedure.Wear.All && len(r.wornFeatures()) == 0 }

// short puts the card of a short job on its job sheet, and its sign-off behind the last
// step.
func (r *run) short(sheets []packet.Sheet) []packet.Sheet {
	at := func(id string) int {
		return slices.IndexFunc(sheets, func(s packet.Sheet) bool { return s.ID == id })
	}
	for _, pair := range [][2]string{{"job", "card"}, {"steps", "signoff"}} {
		to, from := at(pair[0]), at(pair[1])
		if to < 0 || from < 0 {
			continue
		}
		host := &sheets[to]
		if pair[0] == "steps" {
			host.Pages, host.Follow = shortSteps, true
			end := heading(1, sheets[from].Title)
			end.Heading.Index = sheets[from].Index
			host.Blocks = append(host.Blocks, end)
		} else {
			host.Pages = 1
		}
		host.Blocks = append(host.Blocks, sheets[from].Blocks...)
		sheets = slices.Delete(sheets, from, from+1)
	}
	return sheets
}

// smallCard is how many rows a card has at most that gets no page of its own.
const smallCard = 6

// withCard puts a card that is nearly empty, and has no drawing, on the job sheet, before
// its room to write.
func withCard(sheets []packet.Sheet) []packet.Sheet {
	card := slices.IndexFunc(sheets, func(s packet.Sheet) bool { return s.ID == "card" })
	job := slices.IndexFunc(sheets, func(s packet.Sheet) bool { return s.ID == "job" })
	if card < 0 || job < 0 {
		return sheets
	}
	rows := 0
	for _, b := range sheets[card].Blocks {
		if b.Table == nil && b.Alert == nil {
			return sheets
		}
		if b.Table != nil {
			rows += len(b.Table.Rows)
		}
	}
	if rows > smallCard {
		return sheets
	}
	host := &sheets[job]
	at := slices.IndexFunc(host.Blocks, func(b packet.Block) bool { return b.Notes != nil })
	if at < 0 {
		at = len(host.Blocks)
	}
	host.Blocks = slices.Insert(host.Blocks, at, sheets[card].Blocks...)
	return slices.Delete(sheets, card, card+1)
}

// indexOf is how the foot of each page names a sheet: by what stands on it.
func (r *run) indexOf(s *packet.Sheet) string {
	switch {
	case s.ID == "cover" && !r.aided:
		return r.Word("index.cover_bare")
	case s.ID != "card":
		return r.Word("index." + s.ID)
	}
	var has []string
	for _, part := range []string{"torque", "clearances", "lifting"} {
		if slices.ContainsFunc(s.Blocks, func(b packet.Block) bool { return b.Table != nil && b.Table.ID == part }) {
			has = append(has, r.Word("index.card_"+part))
		}
	}
	if len(has) == 0 {
		return r.Word("index.card_bare")
	}
	return r.WordWith("index.card", "parts", strings.Join(has, ", "))
}

// mostLacks is how many things a sheet says in words that it lacks.
const mostLacks = 12

// lacks is the one line of a sheet that says what of it is not on record; none where
// nothing was wanted.
func (r *run) lacks(signal, key string) []packet.Block {
	what := r.Unknown()
	if len(what) == 0 {
		return nil
	}
	more := ""
	if n := len(what) - mostLacks; n > 0 {
		what, more = what[:mostLacks], " "+r.WordWith("lacks.more", "n", strconv.Itoa(n))
	}
	text := packet.Phrase{{Text: r.Word("not_on_record"), Style: packet.Missing}, {Text: " " + strings.Join(what, "; ") + more + ". " + r.Word(key)}}
	return []packet.Block{{Alert: &packet.Alert{Signal: signal, Word: r.Word("signal." + signal), Text: text}}}
}
