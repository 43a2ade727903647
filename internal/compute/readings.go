package compute

import (
	"cmp"
	"slices"
	"strconv"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// This file is about readings that formulas draw on. When a packet is printed nobody has
// taken them: a value that draws on one is worked out by hand, at the first step that
// shows it, and everywhere else the page names that step. It never prints as a number,
// nor as NOT ON RECORD: nothing is missing from the records.

// reading is a named reading.
type reading struct {
	procedure.Taken
	name  string       // in full: readings.rim_bottom
	typ   formula.Type // where typed
	typed bool
}

// after reports whether the reading is taken after a step.
func (rd *reading) after(stage, step int) bool {
	return cmp.Or(cmp.Compare(rd.Stage, stage), cmp.Compare(rd.Step, step)) > 0
}

// noteReadings lists the readings of the procedure.
func (k *compiler) noteReadings() {
	k.names.readings = map[string]*reading{}
	for name, t := range k.pl.proc.Readings() {
		k.names.readings["readings."+name] = &reading{Taken: t, name: "readings." + name}
	}
	k.pl.readings = k.names.readings
}

// typeReadings finds the kinds of the readings that the formulas of a value name.
func (k *compiler) typeReadings(v *procedure.Value) {
	for _, end := range procedure.Ends {
		if e := v.Formula(end); e != nil {
			for _, n := range e.Names() {
				if rd := k.names.readings[n.Name]; rd != nil {
					k.typeReading(rd)
				}
			}
		}
	}
}

// typeReading finds of which kind a reading is: that of its unit, else that of what it is
// held to.
func (k *compiler) typeReading(rd *reading) {
	if rd.typed {
		return
	}
	if u := rd.Blank.Unit; u != nil {
		rd.typ, rd.typed = formula.Is(u.Kind), true
		return
	}
	for _, limit := range rd.Blank.Limits() {
		r := k.names.find(limit.Name, procedure.Single)
		switch {
		case r == nil:
		case r.term != nil && r.term.Kind != quantity.KindNumber:
			rd.typ, rd.typed = formula.Is(r.term.Kind), true
		case r.value != nil && r.value.typed && r.value.typ.Sort == formula.Quantity:
			rd.typ, rd.typed = r.value.typ, true
		case r.reading != nil:
		default:
			if typ, ok := r.typ(k.names.kindOf(r.name)); ok && typ.Sort == formula.Quantity {
				rd.typ, rd.typed = typ, true
			}
		}
		if rd.typed {
			return
		}
	}
}

// allReadings finds the kinds of all readings, and reports one that has none.
func (k *compiler) allReadings() {
	sound := !k.problems.HasErrors()
	for _, rd := range k.names.readings {
		if k.typeReading(rd); !rd.typed && sound {
			k.problems.Errorf(rd.Blank.Name.At, "blank-unit", "write unit: mm, or another", "the kind of the reading %s cannot be seen from what it is held to", rd.Blank.Name.Name)
		}
	}
}

// noSuchReading reports a name that means a reading which no blank names.
func (k *compiler) noSuchReading(name string, at diag.Pos) bool {
	blank, is := procedure.ReadingName(name)
	if !is || k.names.readings[name] != nil {
		return false
	}
	var have []string
	for _, rd := range k.names.readings {
		have = append(have, rd.Blank.Name.Name)
	}
	hint := cmp.Or(diag.DidYouMean(blank, have), "add name: "+blank+" to the blank of the step that takes it")
	k.problems.Errorf(at, "unknown-reading", hint, "no blank of procedure %s is named %s", k.pl.proc.Name, blank)
	return true
}

// unknownReading reports the readings of a formula that no blank names.
func (k *compiler) unknownReading(e *formula.Expr) (unknown bool) {
	for _, n := range e.Names() {
		unknown = k.noSuchReading(n.Name, n.At) || unknown
	}
	return unknown
}

// draws lists the readings that a name draws on.
func (r *ref) draws() []*reading {
	switch {
	case r == nil:
	case r.reading != nil:
		return []*reading{r.reading}
	case r.value != nil:
		return r.value.draws[r.value.endOf(r.end)]
	}
	return nil
}

// endOf gives which end a formula means that asks for one: of a band as a whole, its
// target.
func (v *Value) endOf(end procedure.End) procedure.End {
	if end == procedure.Whole && v.Band() {
		return procedure.Target
	}
	return end
}

// drawsOn reports whether a value draws on any reading.
func (v *Value) drawsOn() bool { return len(v.drawn()) > 0 }

// drawn lists the readings that a value draws on.
func (v *Value) drawn() (all []*reading) {
	for _, list := range v.draws {
		for _, rd := range list {
			all = appendNew(all, rd)
		}
	}
	return all
}

// notDrawn reports a formula of something that is settled when the page is printed and
// draws on readings.
func (k *compiler) notDrawn(f *compiled, at diag.Pos, what string) {
	if f == nil {
		return
	}
	for _, r := range f.refs {
		if len(r.draws()) > 0 {
			k.problems.Errorf(at, "reading-settled", "say in a step what to do where the reading says so", "%s draws on %s, which nobody has read when the page is printed", what, r.draws()[0].name)
			return
		}
	}
}

// drawn notes the readings that an end of a value draws on, and lays its formula out.
func (k *compiler) drawn(v *Value, end procedure.End, e *formula.Expr, f *compiled) {
	for _, r := range f.refs {
		for _, rd := range r.draws() {
			v.draws[end] = appendNew(v.draws[end], rd)
		}
	}
	switch {
	case len(v.draws[end]) == 0:
		return
	case v.Group != procedure.Single:
		k.problems.Errorf(e.At, "reading-settled", "work it out in values:, for the one that is read", "a value of each joint, feature or assembly cannot draw on %s", v.draws[end][0].name)
		return
	case v.Paper != nil && v.Paper.Table != nil:
		return
	}
	k.pl.draws = true
	laid, list := e.Lay(scope{k.names, v.Group, v.kind}, func(name string) bool { return len(k.names.find(name, v.Group).draws()) > 0 })
	k.problems = append(k.problems, list...)
	v.laid[end] = laid
}

// tableOver is over which reading a value is printed as a table, in the unit and to the
// steps of each system.
type tableOver struct {
	*reading
	from, to quantity.Value
	step     quantity.Show
}

// onPaper checks how a value that draws on readings stands on paper.
func (k *compiler) onPaper(v *Value) {
	p := v.Paper
	switch {
	case p == nil:
		return
	case !v.drawsOn():
		k.problems.Errorf(p.At, "paper", "delete it, or name a reading in its formula", "the value %s draws on no reading, and prints as a number", v.Name)
		return
	case p.Table == nil || k.noSuchReading(p.Table.Name, p.Table.At):
		return
	}
	rd := k.names.readings[p.Table.Name]
	for _, other := range v.drawn() {
		if other != rd {
			k.problems.Errorf(p.Table.At, "paper", "name the one that it draws on, or work a value of one reading out before it", "a table over %s cannot say %s, which draws on %s too", rd.name, v.Name, other.name)
			return
		}
	}
	k.pl.draws = true
	k.typeReading(rd)
	kind, _ := rd.typ.Quantity.Kind()
	from, okFrom := p.From.Amount(kind, quantity.Band{})
	to, okTo := p.To.Amount(kind, quantity.Band{})
	for _, t := range []struct {
		ok   bool
		text string
		at   diag.Pos
	}{{okFrom, p.From.S, p.From.At}, {okTo, p.To.S, p.To.At}} {
		if !t.ok {
			k.problems.Errorf(t.at, "paper", "write it as "+quantity.Example(kind), "the table runs over a %s, and %q is none", kind, t.text)
		}
	}
	step := p.Step.Grain[0]
	switch {
	case !okFrom || !okTo || step.Step == 0:
	case step.Unit.Kind.Type().Dim != kind.Type().Dim:
		k.problems.Errorf(p.StepAt, "paper", "", "the table runs over a %s, and its step is a %s", kind, step.Unit.Kind)
	case len(steps(from.Value, to.Value, step, step.Unit)) < 2, len(steps(from.Value, to.Value, step, step.Unit)) > mostSteps:
		k.problems.Errorf(p.StepAt, "paper", "choose from, to and step so that there are 2 to 30", "the table has %d columns", len(steps(from.Value, to.Value, step, step.Unit)))
	default:
		v.table = &tableOver{rd, from.Value, to.Value, p.Step}
	}
}

// readingOrder reports steps that show what is read only later, and values that draw on
// readings and are shown at no step.
func (k *compiler) readingOrder() {
	if k.problems.HasErrors() {
		return
	}
	always := func(*formula.Expr) bool { return true }
	shown := map[*Value]bool{}
	var show func(v *Value)
	show = func(v *Value) {
		if v == nil || shown[v] || !v.drawsOn() {
			return
		}
		shown[v] = true
		for _, f := range v.formulas {
			if f != nil {
				for _, r := range f.refs {
					show(r.value)
				}
			}
		}
	}
	for i := range k.pl.proc.Stages {
		st := &k.pl.proc.Stages[i]
		at := func(step int, own *procedure.Step) func(procedure.Ref) {
			return func(m procedure.Ref) {
				r := k.names.find(m.Name, procedure.Single)
				for _, rd := range r.anyDraws() {
					late := rd.after(i, step)
					self := own != nil && rd.Stage == i && rd.Step == step && slices.ContainsFunc(rd.Blank.Limits(), func(l *procedure.Ref) bool { return l.At == m.At })
					switch {
					case self:
						k.problems.Errorf(m.At, "circle", "hold it to something that is known before it is read", "the reading %s is held to %s, which draws on it", rd.Blank.Name.Name, m.Name)
					case late:
						k.problems.Add(diag.Problem{Pos: m.At, Severity: diag.Error, Rule: "reading-order", Related: []diag.Pos{rd.Blank.Name.At},
							Message: m.Name + " draws on " + rd.name + ", which is read at a later step", Hint: "move the step that reads it before this one"})
					}
				}
				if r != nil && own != nil {
					show(r.value)
				}
				k.pl.draws = k.pl.draws || r != nil && r.reading != nil
			}
		}
		for _, a := range st.Alerts {
			for _, part := range a.Say.Parts {
				if part.Name != "" {
					at(-1, nil)(procedure.Ref{Name: part.Name, At: part.At})
				}
			}
		}
		for j := range st.Steps {
			st.Steps[j].Mentions(always, at(j, &st.Steps[j]))
		}
	}
	for _, v := range k.pl.order[procedure.Single] {
		if v.drawsOn() && !shown[v] {
			k.problems.Errorf(v.At, "reading-order", "name it in the step at which it is worked out", "the value %s draws on %s and is shown at no step: it would have no place to be worked out", v.Name, v.drawn()[0].name)
		}
	}
}

// anyDraws lists the readings that a name draws on with any of its ends.
func (r *ref) anyDraws() []*reading {
	if r != nil && r.value != nil && r.end == procedure.Whole {
		return r.value.drawn()
	}
	return r.draws()
}

// Waits reports whether a value waits for readings.
func (res *Result) Waits() bool {
	for _, list := range res.waits {
		if len(list) > 0 {
			return true
		}
	}
	return false
}

// waitsAt reports whether what prints for an end waits for readings.
func (res *Result) waitsAt(end procedure.End) bool {
	if end != procedure.Whole || !res.Value.Band() {
		return len(res.waits[end]) > 0
	}
	limits := len(res.waits[procedure.Low]) > 0 || len(res.waits[procedure.High]) > 0
	return limits || !res.limited() && len(res.waits[procedure.Target]) > 0
}

// waitsFor lists the readings that are to be taken before a name has its value.
func (n *Numbers) waitsFor(u use) []*reading {
	switch {
	case u.reading != nil:
		if _, known := n.taken[u.reading]; !known {
			return []*reading{u.reading}
		}
	case u.value != nil:
		res := n.Result(u.value, u.member)
		return res.waits[res.Value.endOf(u.end)]
	}
	return nil
}

// outline says at which steps of this job readings are taken, and at which the values
// that draw on them are worked out.
type outline struct {
	read, shown map[string]string // by name of the reading or value: the number of the step
	work        map[*procedure.Step][]*Result
}

// outlined gives the job's outline: the steps that apply are numbered as they print.
func (n *Numbers) outlined() *outline {
	if n.steps != nil {
		return n.steps
	}
	o := &outline{read: map[string]string{}, shown: map[string]string{}, work: map[*procedure.Step][]*Result{}}
	n.steps = o
	if !n.plan.draws {
		return o
	}
	stage := 1
	for i := range n.Procedure.Stages {
		st := &n.Procedure.Stages[i]
		if slices.ContainsFunc(st.When, func(e *formula.Expr) bool { return !n.mayApply(e) }) {
			continue
		}
		step := 0
		for j := range st.Steps {
			s := &st.Steps[j]
			if !n.mayApply(s.When) {
				continue
			}
			step++
			n.outlineStep(o, s, stepNumber(stage, step))
		}
		if step > 0 {
			stage++
		}
	}
	return o
}

func (n *Numbers) outlineStep(o *outline, s *procedure.Step, number string) {
	for i := range s.Blanks {
		if b := &s.Blanks[i]; b.Name != nil && n.mayApply(b.When) {
			o.read["readings."+b.Name.Name] = number
		}
	}
	s.Mentions(n.mayApply, func(m procedure.Ref) {
		if r := n.ref(m.Name); r != nil && r.value != nil {
			n.workAt(o, s, number, n.Result(r.value, r.of("").member))
		}
	})
}

// workAt has a value worked out at a step, behind those that it takes.
func (n *Numbers) workAt(o *outline, s *procedure.Step, number string, res *Result) {
	if _, had := o.shown[res.Name]; had || !res.Waits() || len(res.missing) > 0 || res.err != nil {
		return
	}
	for _, u := range res.asked {
		switch {
		case u.value != nil:
			n.workAt(o, s, number, n.Result(u.value, u.member))
		case u.reading != nil && o.read[u.reading.name] == "" && n.taken == nil:
			n.Problems.Add(diag.Problem{Pos: n.Unit.At, Severity: diag.Error, Rule: "reading-not-taken", Related: []diag.Pos{res.Value.At, u.reading.Blank.Name.At},
				Message: "unit " + n.Unit.ID + ": " + res.Name + " draws on " + u.reading.name + ", and the step that reads it does not apply to this unit", Hint: "give the value a choice for such units, or its step the condition of the other"})
		}
	}
	o.shown[res.Name] = number
	o.work[s] = append(o.work[s], res)
}

// mayApply reports whether what has a condition is printed: it holds, or the records do
// not say.
func (n *Numbers) mayApply(e *formula.Expr) bool {
	f := n.form(e)
	if f == nil {
		return true
	}
	got, missing, err := n.eval(f, "", nil)
	return err == nil && (len(missing) > 0 || missing == nil && got.Value.Yes)
}

// stepNumber writes the number of a step.
func stepNumber(stage, step int) string { return strconv.Itoa(stage) + "." + strconv.Itoa(step) }

// Here says which step is rendered now; "" for none.
func (n *Numbers) Here(number string) { n.here = number }

// readingText prints a reading in a text: the step at which it is taken.
func (n *Numbers) readingText(rd *reading) packet.Phrase {
	return packet.Say(n.WordWith("work.reading_of", "n", cmp.Or(n.outlined().read[rd.name], none)))
}

// toWorkAt prints a value that waits for readings: the step at which it is worked out.
func (n *Numbers) toWorkAt(res *Result) packet.Phrase {
	n.printed(res)
	at := n.outlined().shown[res.Name]
	if at == "" && !n.Blank {
		n.Problems.Add(diag.Problem{Pos: n.Unit.At, Severity: diag.Error, Rule: "reading-not-taken", Related: []diag.Pos{res.Value.At},
			Message: "unit " + n.Unit.ID + ": " + res.Name + " is printed, and the step that works it out does not apply to this unit", Hint: "give what prints it the condition of that step"})
	}
	text := n.WordWith("work.result_of", "n", cmp.Or(at, none))
	if at == n.here && at != "" {
		text = n.Word("work.result_here")
	}
	return packet.Phrase{{Text: text, Style: packet.Strong, Entry: res.Name}}
}

// asRead says in the working where a reading comes from.
func (n *Numbers) asRead(rd *reading) string {
	if v, known := n.taken[rd]; known {
		return v.Plain()
	}
	return n.WordWith("work.as_read", "n", cmp.Or(n.outlined().read[rd.name], none))
}

// asWorked says in the working where a value is worked out.
func (n *Numbers) asWorked(res *Result) string {
	return n.WordWith("work.as_worked", "n", cmp.Or(n.outlined().shown[res.Name], none))
}

// UnitOf gives the unit in which a blank is filled in, in the units of the page: that in
// which its instrument reads where it names a unit of the same kind, else that of what it
// is held to; ok is false where nothing says.
func (n *Numbers) UnitOf(b *procedure.Blank) (u quantity.Unit, ok bool) {
	if b.Unit != nil {
		if b.Instrument != nil {
			if in := n.Book.Instruments[n.ToolOf(b)]; in != nil && in.Show.Grain[n.System].Unit.Kind == b.Unit.Kind {
				return in.Show.Grain[n.System].Unit, true
			}
		}
		return b.Unit.In(n.System), true
	}
	for _, l := range b.Limits() {
		switch r := n.ref(l.Name); {
		case r == nil:
		case r.term != nil:
			return r.term.Show.Grain[n.System].Unit, true
		case r.value != nil:
			return n.Result(r.value, r.of("").member).Show.Grain[n.System].Unit, true
		}
	}
	return u, false
}
