package compose

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// run is the making of one packet.
type run struct {
	c       *Composer
	plan    *plan
	job     *record.Job
	unit    *record.Unit
	size    *record.Size
	pulled  *supplies // what is pulled for the size
	system  quantity.System
	decimal string

	results       map[string]*result
	entries       []packet.Entry
	keyOf         map[string]int // index of an entry by name
	missing       map[string][]string
	leftOut       []omission
	problems      diag.List
	tools         map[string]*record.Instrument // instruments that the packet names
	codes         []*record.Statement           // GHS statements that the packet prints
	ids           map[string]bool               // of blanks
	atStep        string                        // number of the step in hand
	writtenAt     map[string][]string           // the steps at which a value is written down, by its name
	waiting       []waiting                     // places that say so
	instrumentsAt int                           // where on the job sheet the instruments stand
	past          []record.HistoryEntry         // the unit's history, oldest first
	wear          map[*record.Feature]*worn     // what it says of the wear of each feature
	doubt         int                           // how many undecided conditions what is rendered hangs on
}

// omission is a step or item that does not apply to this unit.
type omission struct {
	what packet.Phrase
	when string
}

// result is what a value came to for this unit.
type result struct {
	v       *value
	show    quantity.Show
	fine    bool   // show is that of the finer instrument
	name    string // full: travel, joints.head.torque
	member  string
	is      *formula.Value
	low     *formula.Value
	high    *formula.Value
	target  *formula.Value
	missing []string
	asked   []string               // full names that its formulas asked for, some twice
	by      [4][]formula.Governing // which limits is, low, high and target took
	without bool                   // not applicable to this unit
	err     error                  // the formula has no answer for what is on record
}

// usual is about how many numbers a packet has.
const usual = 256

// begin looks a job's records up and refuses the job where one is broken.
func (c *Composer) begin(job *record.Job) (*run, diag.List) {
	var list diag.List
	r := &run{
		c: c, job: job, results: make(map[string]*result, usual), keyOf: make(map[string]int, usual), entries: make([]packet.Entry, 0, usual),
		missing: map[string][]string{}, tools: map[string]*record.Instrument{}, ids: make(map[string]bool, 4*usual), writtenAt: map[string][]string{},
	}
	refusal := c.book.Refusal
	if c.Blank {
		refusal = c.book.FormRefusal
	}
	if len(c.unsaid) > 0 {
		list.Add(diag.Problem{Pos: job.At, Severity: diag.Error, Rule: "refused", Related: []diag.Pos{c.unsaid[0].Pos},
			Message: "job " + job.ID.S + " is not printed: texts are missing in its language"})
	}
	if c.words == nil {
		list.Errorf(job.At, "refused", "put the words of the site's language right", "job %s is not printed: the pages have no words in its language", job.ID.S)
	}
	if why := refusal(job); why != nil {
		list.Add(*why)
	}
	proc, faulty := c.lib.Procedure(job.Procedure.S)
	switch {
	case proc != nil && c.plans[job.Procedure.S].faulty:
		list.Add(diag.Problem{Pos: job.Procedure.At, Severity: diag.Error, Rule: "refused", Related: []diag.Pos{c.plans[job.Procedure.S].first},
			Message: "job " + job.ID.S + " is not printed: procedure " + job.Procedure.S + " has errors"})
	case proc != nil:
		r.plan = c.plans[job.Procedure.S]
	case faulty:
		list.Errorf(job.Procedure.At, "refused", "", "job %s is not printed: procedure %s has errors", job.ID.S, job.Procedure.S)
	default:
		hint := cmp.Or(diag.DidYouMean(job.Procedure.S, c.lib.Names()), "the procedures on record are "+strings.Join(c.lib.Names(), ", "))
		list.Errorf(job.Procedure.At, "unknown-procedure", hint, "job %s: there is no procedure named %q", job.ID.S, job.Procedure.S)
	}
	r.unit = c.book.Units[job.Unit.S]
	if list.HasErrors() {
		return nil, list.Sorted()
	}
	if c.Blank {
		r.unit = c.formUnit(job)
	}
	if r.unit == nil || c.book.Site == nil {
		return nil, list.Sorted()
	}
	if u := c.book.Units[job.Unit.S]; u != nil {
		r.pulled = c.kits[u.Size]
	}
	r.size, r.past = r.unit.Size, history(r.unit)
	r.system = c.book.Site.System
	r.decimal = r.word("decimal_sign")
	if f := r.form(proc.For); f != nil {
		if yes, undecided := r.decide(f); !yes && (!c.Blank || len(undecided) == 0) {
			what := "is for other units: its condition is " + f.Text()
			if len(undecided) > 0 {
				what = "cannot be chosen for it: not on record are " + strings.Join(undecided, ", ")
			}
			list.Errorf(job.Procedure.At, "wrong-procedure", "choose a procedure that fits how the unit is built", "job %s, unit %s: procedure %s %s", job.ID.S, r.unit.ID, proc.Name, what)
			return nil, append(list, r.problems...).Sorted()
		}
	}
	return r, list
}

// word gives a fixed word of the packet's language.
func (r *run) word(key string) string {
	w, ok := r.c.words["compose."+key]
	if !ok {
		r.problems.Errorf(diag.Pos{File: "words/" + r.c.book.Site.Language + ".yaml"}, "missing-word", "add it to the catalogue", "the catalogue of words lacks compose.%s", key)
	}
	return w
}

// wordWith gives a fixed word with {name} parts filled in, in pairs.
func (r *run) wordWith(key string, pairs ...string) string {
	w := r.word(key)
	for i := 0; i+1 < len(pairs); i += 2 {
		w = strings.ReplaceAll(w, "{"+pairs[i]+"}", pairs[i+1])
	}
	return w
}

func (r *run) siteName() string {
	if n := r.c.book.Site.Name; n.Known() {
		return n.S
	}
	return r.c.book.Site.ID
}

// ready gives a text that stands ready everywhere.
func (r *run) ready(name string) (string, bool) {
	var t record.Text
	switch name {
	case "job.id":
		t = r.job.ID
	case "job.day":
		t = r.job.Day
	case "job.crew":
		t = r.job.Crew
	case "unit.id":
		return r.unit.ID, r.unit.ID != ""
	case "unit.name":
		t = r.unit.Name
	case "unit.serial":
		t = r.unit.Serial
	case "unit.area":
		t = r.unit.Area
	case "unit.design":
		t = r.unit.DesignName
		if r.unit.Design != nil && r.unit.Design.Name.Known() {
			t = r.unit.Design.Name
		}
	case "unit.size":
		t = r.unit.SizeName
	case "unit.suction":
		t = r.unit.Suction
	case "liquid.name":
		if r.unit.Liquid != nil {
			t = r.unit.Liquid.Name
		}
	case "site.name":
		return r.siteName(), true
	case "site.energy_control":
		t = r.c.book.Site.EnergyControl
	case "site.emergency":
		t = r.c.book.Site.Emergency
	default:
		return "", false
	}
	return t.S, t.Known() && t.S != ""
}

// lookup gives the value of a name; without reports one that the unit is known
// not to have.
func (r *run) lookup(name string) (v formula.Value, ok, without bool) {
	if g, member, rest := split(name); g != single {
		if p, is := r.member(g, member, rest); is {
			return p.value, p.known && !p.without, p.without
		}
		if prop, ok := strings.CutPrefix(rest, "instrument."); ok {
			v, ok := r.instrumentValue(member, prop)
			return v, ok, false
		}
		base, end := stem(name)
		return ofResult(r.result(base, g, member), end)
	}
	if t := r.c.book.Terms[name]; t != nil {
		s, ok := r.c.book.Scalar(r.unit, name)
		if !ok {
			return formula.Value{}, false, false
		}
		return fromScalar(s)
	}
	if slices.Contains(wordNames, name) {
		s, ok := r.ready(name)
		return formula.Value{Text: s}, ok, false
	}
	if r.plan.values[name] != nil {
		return ofResult(r.result(name, single, ""), "")
	}
	base, end := stem(name)
	return ofResult(r.result(base, single, ""), end)
}

// fromScalar gives a recorded value as formulas see it.
func fromScalar(s record.Scalar) (v formula.Value, ok, without bool) {
	switch s.Form {
	case record.FormAmount:
		return formula.Value{SI: s.Value.SI()}, true, false
	case record.FormWords:
		return formula.Value{Text: s.Text}, true, false
	case record.FormYesNo:
		return formula.Value{Yes: s.Yes}, true, false
	case record.FormNone:
		return formula.Value{}, false, true
	}
	return formula.Value{}, false, false
}

// ofResult gives a part of a result as formulas see it.
func ofResult(res *result, end string) (v formula.Value, ok, without bool) {
	if res == nil {
		return formula.Value{}, false, false
	}
	part := res.part(end)
	if part == nil {
		return formula.Value{}, false, res.without || len(res.missing) == 0 && res.err == nil
	}
	return *part, true, false
}

// part gives what a name with the given end means of a result: one end of a band,
// or what the value is, which of a band is its target; nil where there is none.
func (res *result) part(end string) *formula.Value {
	switch {
	case end == "low":
		return res.low
	case end == "high":
		return res.high
	case end == "target" || res.v.band():
		return res.target
	}
	return res.is
}
