package compose

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
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
	system  quantity.System
	decimal string

	results  map[string]*result
	entries  []packet.Entry
	keyOf    map[string]int // index of an entry by name
	missing  map[string][]string
	leftOut  []omission
	problems diag.List
	tools    map[string]*record.Instrument // instruments that the packet names
	codes    []*record.Statement           // GHS statements that the packet prints
	ids      map[string]bool               // of blanks
	doubt    int                           // how many undecided conditions what is rendered hangs on
}

// omission is a step or item that does not apply to this unit.
type omission struct {
	what packet.Phrase
	when string
}

// result is what a value came to for this unit.
type result struct {
	v       *value
	name    string // full: travel, joints.head.torque
	member  string
	is      *formula.Value
	low     *formula.Value
	high    *formula.Value
	target  *formula.Value
	missing []string
	asked   map[string]bool        // full names that its formulas asked for
	by      [4][]formula.Governing // which limits is, low, high and target took
	without bool                   // not applicable to this unit
	err     error                  // the formula has no answer for what is on record
}

// begin looks a job's records up and refuses the job where one is broken.
func (c *Composer) begin(job *record.Job) (*run, diag.List) {
	var list diag.List
	r := &run{
		c: c, job: job, results: map[string]*result{}, keyOf: map[string]int{}, missing: map[string][]string{},
		tools: map[string]*record.Instrument{}, ids: map[string]bool{},
	}
	if why := c.book.Refusal(job); why != nil {
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
		hint := "the procedures on record are " + strings.Join(c.lib.Names(), ", ")
		if n := diag.Nearest(job.Procedure.S, c.lib.Names()); n != "" {
			hint = "did you mean " + n + "?"
		}
		list.Errorf(job.Procedure.At, "unknown-procedure", hint, "job %s: there is no procedure named %q", job.ID.S, job.Procedure.S)
	}
	r.unit = c.book.Units[job.Unit.S]
	if list.HasErrors() || r.unit == nil || c.book.Site == nil {
		return nil, list.Sorted()
	}
	r.size = r.unit.Size
	r.system = c.book.Site.System
	r.decimal = r.word("decimal_sign")
	if f := r.form(proc.For); f != nil {
		if yes, undecided := r.decide(f); !yes {
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
		return r.unit.ID, true
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
		if v, ok, without, is := r.member(g, member, rest); is {
			return v, ok, without
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
	part := res.is
	switch {
	case end == "low":
		part = res.low
	case end == "high":
		part = res.high
	case end == "target" || res.v.band():
		part = res.target
	}
	if part == nil {
		return formula.Value{}, false, res.without || len(res.missing) == 0 && res.err == nil
	}
	return *part, true, false
}

// member gives what stands ready of a joint, feature or assembly; is reports
// whether the name is such a one.
func (r *run) member(g group, member, prop string) (v formula.Value, ok, without, is bool) {
	if _, is = ready[g][prop]; !is {
		return
	}
	words := func(t record.Text) (formula.Value, bool, bool, bool) {
		return formula.Value{Text: t.S}, t.Known(), false, true
	}
	amount := func(a record.Amount) (formula.Value, bool, bool, bool) {
		return formula.Value{SI: a.Value.SI()}, a.Known(), false, true
	}
	if r.size == nil {
		return formula.Value{}, false, false, true
	}
	switch g {
	case perJoint:
		j := r.size.Joints[member]
		if j == nil {
			return formula.Value{}, false, false, true
		}
		if n, isPass := strings.CutPrefix(prop, "pass_"); isPass {
			i, _ := strconv.Atoi(n)
			if i > len(j.Passes) {
				return formula.Value{}, false, len(j.Passes) > 0, true
			}
			return amount(j.Passes[i-1])
		}
		switch prop {
		case "what":
			return words(j.What)
		case "count":
			return amount(j.Count)
		case "thread":
			return words(j.Thread)
		case "grade":
			return words(j.Grade)
		case "seat":
			return words(j.Seat)
		case "circle":
			return amount(j.Circle)
		case "condition":
			return words(j.Condition)
		case "method":
			return words(j.Method)
		case "order":
			return formula.Value{Text: j.Order}, true, false, true
		case "fraction":
			return amount(j.Fraction)
		case "recorded.low", "recorded.high":
			if !j.Torque.Known() {
				return formula.Value{}, false, true, true
			}
			end := j.Torque.Low
			if prop == "recorded.high" {
				end = j.Torque.High
			}
			return formula.Value{SI: end.SI()}, true, false, true
		}
	case perFeature:
		f := r.size.Features[member]
		if f == nil {
			return formula.Value{}, false, false, true
		}
		switch prop {
		case "what":
			return words(f.What)
		case "part":
			return words(f.Part)
		case "new":
			return amount(f.New)
		case "reject_below":
			return formula.Value{SI: f.RejectBelow.Value.SI()}, f.RejectBelow.Known(), f.RejectAbove.Known(), true
		case "reject_above":
			return formula.Value{SI: f.RejectAbove.Value.SI()}, f.RejectAbove.Known(), f.RejectBelow.Known(), true
		case "last":
			a, _, known := r.last(f)
			return formula.Value{SI: a.Value.SI()}, known, !known && len(r.unit.History) == 0, true
		}
	case perAssembly:
		a := r.size.Assemblies[member]
		if a == nil {
			return formula.Value{}, false, false, true
		}
		if prop == "what" {
			return words(a.What)
		}
		return amount(a.Mass)
	}
	return formula.Value{}, false, false, true
}

// last gives a feature's reading as it was left last time, and the day, unless
// its part was replaced since with none taken.
func (r *run) last(f *record.Feature) (a record.Amount, day string, known bool) {
	for _, h := range r.history() {
		if f.Replaces.Known() && slices.ContainsFunc(h.Replaced, func(t record.Text) bool { return t.S == f.Replaces.S }) {
			a, known = record.Amount{}, false
		}
		if m, ok := h.AsLeft[f.Name]; ok {
			a, day, known = m, h.Day.S, true
		}
	}
	return a, day, known
}

// history gives the unit's history, oldest first.
func (r *run) history() []record.HistoryEntry {
	h := slices.Clone(r.unit.History)
	slices.SortStableFunc(h, func(a, b record.HistoryEntry) int { return strings.Compare(a.Day.S, b.Day.S) })
	return h
}

// instrumentOf gives the instrument that a feature is measured with.
func (r *run) instrumentOf(feature string) *record.Instrument {
	if r.size == nil || r.size.Features[feature] == nil {
		return nil
	}
	return r.instrument(r.size.Features[feature].Instrument.S)
}

// instrument gives an instrument by name and notes that the packet names it.
func (r *run) instrument(name string) *record.Instrument {
	in := r.c.book.Instruments[name]
	if in != nil {
		r.tools[name] = in
	}
	return in
}

// instrumentValue gives what an instrument is good for as formulas see it.
func (r *run) instrumentValue(feature, prop string) (formula.Value, bool) {
	in := r.instrumentOf(feature)
	if in == nil {
		return formula.Value{}, false
	}
	if prop == "uncertainty" {
		return formula.Value{SI: in.Uncertainty.Value.SI()}, in.Uncertainty.Known()
	}
	g := in.Show.Grain[r.system]
	return formula.Value{SI: g.Step * g.Unit.Factor}, true
}

// result computes a value for this unit, once. name is full, without the end of a
// band.
func (r *run) result(name string, g group, member string) *result {
	if res, ok := r.results[name]; ok {
		return res
	}
	v := r.plan.values[name]
	if g != single {
		_, _, rest := split(name)
		v = r.plan.values[local[g]+rest]
	}
	if v == nil {
		return nil
	}
	res := &result{v: v, name: name, member: member, asked: map[string]bool{}}
	r.results[name] = res
	for i, part := range []struct {
		f    *formula.Formula
		into **formula.Value
	}{{v.is, &res.is}, {v.low, &res.low}, {v.high, &res.high}, {v.target, &res.target}} {
		if part.f == nil {
			continue
		}
		got, missing, err := r.evalNoting(part.f, g, member, res.asked)
		switch {
		case err != nil:
			res.err = err
		case missing == nil:
			*part.into, res.by[i] = &got.Value, got.Governed
		case len(missing) > 0:
			res.missing = append(res.missing, missing...)
		}
	}
	if res.err == nil {
		res.err = r.failing(res.missing)
	}
	slices.Sort(res.missing)
	res.missing = slices.Compact(res.missing)
	res.without = len(res.missing) == 0 && res.err == nil && res.is == nil && res.low == nil && res.high == nil && res.target == nil
	return res
}

// eval evaluates a formula of a group's value. missing is nil where there is a
// value, empty where the value does not apply to this unit.
func (r *run) eval(f *formula.Formula, g group, member string) (formula.Value, []string, error) {
	got, missing, err := r.evalNoting(f, g, member, nil)
	return got.Value, missing, err
}

// evalNoting is eval that notes the full names that the formula asked for: those
// of a side that was not chosen are not among them.
func (r *run) evalNoting(f *formula.Formula, g group, member string, asked map[string]bool) (formula.Result, []string, error) {
	gone := map[string]bool{} // names that the unit is known to be without
	got, err := f.Eval(func(name string) (formula.Value, bool) {
		full := r.full(name, g, member)
		if asked != nil {
			asked[full] = true
		}
		v, ok, without := r.lookup(full)
		if without {
			gone[name] = true
		}
		return v, ok
	})
	if err != nil {
		return formula.Result{}, nil, err
	}
	if len(got.Missing) == 0 {
		return got, nil, nil
	}
	missing := []string{}
	for _, n := range got.Missing {
		if !gone[n] {
			missing = append(missing, r.roots(r.full(n, g, member))...)
		}
	}
	return formula.Result{}, missing, nil
}

// full turns a group's local name into the full one.
func (r *run) full(name string, g group, member string) string {
	if g == single {
		return name
	}
	if rest, ok := strings.CutPrefix(name, local[g]); ok {
		return plural[g] + member + "." + rest
	}
	if rest, ok := strings.CutPrefix(name, "instrument."); ok {
		return plural[g] + member + ".instrument." + rest
	}
	return name
}

// roots gives the recorded names that a missing name hangs on.
func (r *run) roots(name string) []string {
	if g, _, rest := split(name); g != single {
		if _, is := ready[g][rest]; is {
			return []string{name}
		}
	}
	base, _ := stem(name)
	for _, n := range []string{name, base} {
		if res := r.results[n]; res != nil && len(res.missing) > 0 {
			return res.missing
		}
	}
	return []string{name}
}

// failing gives the error of the first of some names that stands for a value whose
// formula has no answer.
func (r *run) failing(names []string) error {
	for _, n := range names {
		base, _ := stem(n)
		for _, name := range []string{n, base} {
			if res := r.results[name]; res != nil && res.err != nil {
				return res.err
			}
		}
	}
	return nil
}

// enter begins the rendering of what hangs on an undecided condition, and gives
// the function that ends it. Until then a formula without an answer prints as NOT
// ON RECORD instead of refusing the packet: what the condition would have kept it
// from is not known.
func (r *run) enter(only packet.Phrase) (leave func()) {
	if only == nil {
		return func() {}
	}
	r.doubt++
	return func() { r.doubt-- }
}

// fault reports an error of evaluation with the template's place and the unit's.
func (r *run) fault(err error, name string) {
	at, cause := diag.Pos{}, err
	var fe *formula.Error
	if errors.As(err, &fe) {
		at, cause = fe.At, fe.Err
	}
	r.problems.Add(diag.Problem{Pos: r.unit.At, Severity: diag.Error, Rule: "computation", Related: []diag.Pos{at},
		Message: "unit " + r.unit.ID + ", " + name + ": " + cause.Error(),
		Hint:    "correct the record that the formula draws on; the packet is not printed with a number out of range"})
}

// form gives the compiled formula of a condition.
func (r *run) form(e *procedure.Expr) *formula.Formula {
	if e == nil {
		return nil
	}
	return r.plan.forms[e.At]
}

// decide evaluates a condition. undecided names what is not on record.
func (r *run) decide(f *formula.Formula) (yes bool, undecided []string) {
	v, missing, err := r.eval(f, single, "")
	if err != nil {
		r.fault(err, "condition "+f.Text())
		return false, nil
	}
	if err := r.failing(missing); err != nil {
		r.fault(err, "condition "+f.Text())
		return false, nil
	}
	if len(missing) > 0 {
		return false, missing
	}
	return missing == nil && v.Yes, nil
}

// applies decides an optional condition. only is what to print before a step whose
// condition cannot be decided.
func (r *run) applies(e *procedure.Expr) (yes bool, only packet.Phrase) {
	f := r.form(e)
	if f == nil {
		return true, nil
	}
	yes, undecided := r.decide(f)
	if len(undecided) > 0 {
		for _, n := range undecided {
			r.missing[n] = append(r.missing[n], "the condition "+f.Text())
		}
		return true, packet.Phrase{
			{Text: r.wordWith("only_where", "when", f.Text()) + " "},
			{Text: r.word("not_on_record") + ": " + strings.Join(undecided, ", "), Style: packet.Missing},
		}
	}
	return yes, nil
}
