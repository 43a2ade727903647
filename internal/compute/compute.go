// Package compute works out the numbers and decides the conditions of one job: each
// procedure is compiled once, against the terms of the records, and evaluated for
// the job's unit. It keeps the working of every number that is printed, and says
// how a number prints.
//
// Entry points: Compile, and Plans.Job, which may be called from many goroutines
// and gives the Numbers of a job. It belongs here if a number, a condition or its
// working depends on it. It is not for what a formula means (formula), what it
// computes (calc), nor on which sheet a number stands (compose).
package compute

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
)

// Plans holds a site's records and its compiled procedures: what is the same for
// every job. It is safe for concurrent use.
type Plans struct {
	book         *record.Book
	lib          *procedure.Library
	words        words.Catalogue
	recorded     map[string]*ref // the terms, and the texts that stand ready everywhere
	plans        map[string]*plan
	pulled       map[*record.Size]*pulled
	facts        map[string]*compiled // that the rules of order ask
	untranslated diag.List            // built-in texts that the catalogue of the pages' language lacks
	blank        bool
}

// Compile compiles every procedure of the library against the terms of the book. The
// problems are those of the templates; a procedure that has any is refused by Job,
// and the others serve. Words are the fixed words of the pages; where there are
// none every job is refused.
func Compile(book *record.Book, lib *procedure.Library, words words.Catalogue) (*Plans, diag.List) {
	c := &Plans{book: book, lib: lib, words: words, recorded: recordedNames(book), plans: map[string]*plan{}, pulled: map[*record.Size]*pulled{}}
	c.untranslated = c.wantVocabulary()
	c.facts = compileFacts(c.recorded)
	problems := slices.Clone(c.untranslated)
	for _, name := range lib.Names() {
		p, _ := lib.Procedure(name)
		pl, list := c.compile(p)
		problems = append(problems, list...)
		c.plans[name] = pl
	}
	for _, d := range book.Designs {
		for _, s := range d.Sizes {
			p, list := c.compilePulled(s)
			problems = append(problems, list...)
			c.pulled[s] = p
		}
	}
	return c, problems
}

// Forms gives plans whose jobs are empty forms: what would be a number is a gap to
// write on.
func (c *Plans) Forms() *Plans {
	forms := *c
	forms.blank = true
	return &forms
}

// Job begins the numbers of a job. They are nil where the job cannot be printed, and
// the list then says why.
func (c *Plans) Job(job *record.Job) (*Numbers, diag.List) {
	pl, problems := c.planOf(job)
	if problems.HasErrors() {
		return nil, problems.Sorted()
	}
	unit := c.book.Units[job.Unit.S]
	var pulled *pulled
	if unit != nil {
		pulled = c.pulled[unit.Size]
	}
	if c.blank {
		unit = c.formUnit(job)
	}
	n := c.begin(pl, job, unit, usual+len(pl.values))
	n.pulled, n.Problems = pulled, problems
	if n.wrongProcedure() {
		return nil, n.Problems.Sorted()
	}
	return n, problems
}

// Fits reports whether a procedure is for a unit as it is built. It is false too
// where the procedure has errors or the records do not say.
func (c *Plans) Fits(u *record.Unit, name string) bool {
	pl := c.plans[name]
	if pl == nil || pl.faulty || c.book.Site == nil {
		return false
	}
	if !pl.proc.ForMachine(machineOf(u)) {
		return false
	}
	n := c.begin(pl, &record.Job{}, u, 0)
	f := n.form(pl.proc.For)
	if f == nil {
		return true
	}
	yes, _ := n.decide(f)
	return yes
}

// planOf gives the compiled procedure of a job. It refuses the job, with an error in
// the list, where a record of it is broken or not there.
func (c *Plans) planOf(job *record.Job) (*plan, diag.List) {
	pl := c.plans[job.Procedure.S]
	var list diag.List
	refuse := func(at, since diag.Pos, why string) {
		p := diag.Problem{Pos: at, Severity: diag.Error, Rule: "refused", Message: "job " + job.ID.S + " is not printed: " + why}
		if since != (diag.Pos{}) {
			p.Related = []diag.Pos{since}
		}
		list.Add(p)
	}
	if len(c.untranslated) > 0 {
		refuse(job.At, c.untranslated[0].Pos, "texts are missing in its language")
	}
	if c.words.Empty() {
		list.Errorf(job.At, "refused", "put the words of the site's language right", "job %s is not printed: the pages have no words in its language", job.ID.S)
	}
	refusal := c.book.Refusal
	if c.blank {
		refusal = c.book.FormRefusal
	}
	if why := refusal(job); why != nil {
		list.Add(*why)
	}
	switch _, faulty := c.lib.Procedure(job.Procedure.S); {
	case pl != nil && pl.faulty:
		refuse(job.Procedure.At, pl.first, "procedure "+job.Procedure.S+" has errors")
	case pl == nil && faulty:
		refuse(job.Procedure.At, diag.Pos{}, "procedure "+job.Procedure.S+" has errors")
	case !job.Procedure.Known(): // which the entry's own error has said
		if !list.HasErrors() {
			refuse(job.At, diag.Pos{}, "it names no procedure")
		}
	case pl == nil:
		hint := cmp.Or(diag.DidYouMean(job.Procedure.S, c.lib.Names()), "the procedures on record are "+strings.Join(c.lib.Names(), ", "))
		list.Errorf(job.Procedure.At, "unknown-procedure", hint, "job %s: there is no procedure named %q", job.ID.S, job.Procedure.S)
	}
	return pl, list
}

// history gives a unit's history before a job, oldest first: a packet printed again for a
// day gone by knows nothing of what came after, nor of what was written on its first print.
// Jobs of one day come in the order of their names.
func history(u *record.Unit, job *record.Job) []record.HistoryEntry {
	h := slices.DeleteFunc(slices.Clone(u.History), func(e record.HistoryEntry) bool {
		return job.Day.Known() && cmp.Or(cmp.Compare(e.Day.S, job.Day.S), cmp.Compare(e.Job.S, job.ID.S)) >= 0 || e.Job.S == job.ID.S
	})
	slices.SortStableFunc(h, func(a, b record.HistoryEntry) int { return strings.Compare(a.Day.S, b.Day.S) })
	return h
}

// machineOf names a unit's kind; "" where it is not known.
func machineOf(u *record.Unit) string {
	if u.Machine == nil {
		return ""
	}
	return u.Machine.ID
}

// wrongProcedure refuses a job whose procedure is not for the unit.
func (n *Numbers) wrongProcedure() bool {
	if is := machineOf(n.Unit); !n.plan.proc.ForMachine(is) {
		n.Problems.Errorf(n.Job.Procedure.At, "wrong-procedure", "choose a procedure for this kind of machine", "job %s, unit %s: procedure %s is for %s, and the unit is of the kind %s",
			n.Job.ID.S, n.Unit.ID, n.plan.proc.Name, n.plan.proc.MachineNames(), cmp.Or(is, "that nobody knows"))
		return true
	}
	f := n.form(n.plan.proc.For)
	if f == nil {
		return false
	}
	yes, undecided := n.decide(f)
	if yes || n.Blank && len(undecided) > 0 {
		return false
	}
	why := "is for other units: its condition is " + f.Text()
	if len(undecided) > 0 {
		why = "cannot be chosen for it: not on record are " + strings.Join(namesOf(undecided), ", ")
	}
	n.Problems.Errorf(n.Job.Procedure.At, "wrong-procedure", "choose a procedure that fits how the unit is built", "job %s, unit %s: procedure %s %s", n.Job.ID.S, n.Unit.ID, n.plan.proc.Name, why)
	return true
}

// begin begins the numbers of a job, with room for that many.
func (c *Plans) begin(pl *plan, job *record.Job, unit *record.Unit, numbers int) *Numbers {
	n := &Numbers{
		Job: job, Unit: unit, Size: unit.Size, Past: history(unit, job), Procedure: pl.proc, Book: c.book, Blank: c.blank,
		plans: c, plan: pl, results: make(map[resultKey]*Result, numbers),
		working: newWorking(numbers), missing: map[string][]string{}, tools: map[string]*record.Instrument{},
	}
	if c.book.Site != nil {
		n.units = c.book.Site.Units
		n.System = n.units.First
	}
	n.words = c.words.For("compose", &n.Problems)
	n.Decimal = n.Word("decimal_sign")
	return n
}

// usual is about how many numbers a packet has beside the values of its procedure.
const usual = 32

// Numbers are the numbers and conditions of one job, each worked out once.
type Numbers struct {
	// What the job settles before anything is computed.
	Job       *record.Job
	Unit      *record.Unit
	Size      *record.Size          // of the unit; nil where it is not on record
	Past      []record.HistoryEntry // the unit's history up to the job's day, oldest first
	Procedure *procedure.Procedure
	Book      *record.Book
	System    quantity.System // of units, that which comes first
	Decimal   string          // the decimal sign of the pages
	Blank     bool            // an empty form is made
	Problems  diag.List       // so far

	units   quantity.Systems // in which the pages print
	plans   *Plans
	words   *words.Room
	plan    *plan
	pulled  *pulled // what is pulled for the size; nil as the size is
	results map[resultKey]*Result
	doubt   int // how many undecided conditions what is rendered depends on
	working working
	missing map[string][]string           // for each name not on record, what it is wanted for
	unknown []string                      // of these in words, what was wanted since Unknown was asked
	tools   map[string]*record.Instrument // instruments that the packet names

	taken map[*reading]quantity.Value // readings that are known already, as at a desk
	steps *outline                    // where readings are taken and worked with; nil before it is asked for
	here  string                      // the step in hand
}

// Translate gives a text of the program's own in the language of the pages: a term,
// a word that a term allows, an instrument, a source. What the catalogue does not
// hold is the site's, and stands as the site wrote it: Compile has made sure of all
// that is built in.
func (n *Numbers) Translate(text string) string { return n.plans.translate(text) }

// Word gives a fixed word of the packet's language.
func (n *Numbers) Word(key string) string { return n.words.Say(key) }

// WordWith gives a fixed word with its placeholders filled in: pairs are name, text,
// name, text.
func (n *Numbers) WordWith(key string, pairs ...string) string { return n.words.Say(key, pairs...) }

// SiteName gives the site's name; its ID where it has none.
func (n *Numbers) SiteName() string {
	if name := n.Book.Site.Name; name.Known() {
		return name.S
	}
	return n.Book.Site.ID
}
