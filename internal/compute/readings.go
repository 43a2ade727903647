package compute

import (
	"cmp"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
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
