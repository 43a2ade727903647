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

// This file says for one job at which steps readings are taken and worked with, and how
// what waits for them prints.

// waiting reports whether a value waits for readings.
func (res *Result) waiting() bool {
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
	if _, had := o.shown[res.Name]; had || !res.waiting() || len(res.missing) > 0 || res.err != nil {
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
