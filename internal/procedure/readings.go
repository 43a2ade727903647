package procedure

import (
	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// This file is about readings that have a name: what a mechanic writes into a blank, and
// what is worked out from it at the pump.

// readingsWord begins the name of a reading in formulas and texts: readings.rim_bottom.
const readingsWord = "readings."

// Taken is a named reading, and the step at which it is taken.
type Taken struct {
	Blank       *Blank
	Stage, Step int // their places in the procedure, from 0
}

// ReadingName gives the name of the blank that a name such as readings.rim_bottom means;
// ok is false for any other name.
func ReadingName(name string) (blank string, ok bool) {
	if len(name) > len(readingsWord) && name[:len(readingsWord)] == readingsWord {
		return name[len(readingsWord):], true
	}
	return "", false
}

// Readings gives the named readings by name.
func (p *Procedure) Readings() map[string]Taken { return p.readings }

// findReadings lists the named readings, and reports those of one name.
func (l *loader) findReadings(p *Procedure) {
	p.readings = map[string]Taken{}
	for i := range p.Stages {
		for j := range p.Stages[i].Steps {
			blanks := p.Stages[i].Steps[j].Blanks
			for k := range blanks {
				b := &blanks[k]
				if b.Name == nil {
					continue
				}
				if first, twice := p.readings[b.Name.Name]; twice {
					l.problems.Add(diag.Problem{Pos: b.Name.At, Severity: diag.Error, Rule: "blank-name", Related: []diag.Pos{first.Blank.Name.At},
						Message: "two blanks of procedure " + p.Name + " are named " + b.Name.Name, Hint: "give one of them another name"})
					continue
				}
				p.readings[b.Name.Name] = Taken{b, i, j}
			}
		}
	}
}

// Limits lists the values that a blank is held to, its target first: its reading is of
// their kind.
func (b *Blank) Limits() []*Ref {
	var out []*Ref
	for _, r := range []*Ref{b.Target, b.Low, b.High} {
		if r != nil {
			out = append(out, r)
		}
	}
	return out
}

// needs lists the names that a value is computed from: those of its formulas, and of a
// reading among them those that say of which kind it is.
func (p *Procedure) needs(v *Value) []formula.Name {
	var out []formula.Name
	for _, e := range v.formulas() {
		for _, n := range e.Names() {
			out = append(out, n)
			if blank, ok := ReadingName(n.Name); ok {
				if t, taken := p.readings[blank]; taken && t.Blank.Unit == nil {
					for _, r := range t.Blank.Limits() {
						out = append(out, formula.Name{Name: r.Name, At: n.At})
					}
				}
			}
		}
	}
	return out
}

// Mentions visits every name that is printed at the step, with its place: those of its
// texts and figures and of what its blanks are held to, where they apply.
func (s *Step) Mentions(applies func(when *formula.Expr) bool, visit func(Ref)) {
	say := func(when *formula.Expr, texts ...Text) {
		if !applies(when) {
			return
		}
		for _, t := range texts {
			for _, part := range t.Parts {
				if part.Name != "" {
					visit(Ref{part.Name, part.At})
				}
			}
		}
	}
	say(nil, s.Do, s.Hold)
	for _, h := range s.How {
		say(h.When, h.Say)
	}
	for _, a := range s.Alerts {
		say(a.When, a.Say)
	}
	for i := range s.Blanks {
		b := &s.Blanks[i]
		if say(b.When, b.Label); applies(b.When) {
			for _, r := range b.Limits() {
				visit(*r)
			}
		}
	}
	for _, f := range s.Figures {
		say(f.When, f.Caption)
		for _, t := range f.Texts {
			say(f.When, t.Say)
		}
	}
}

// Paper says how a value that draws on readings stands on paper: as a table over one of
// them, else as a worksheet.
type Paper struct {
	Table    *Ref // the reading over which the table runs; nil for a worksheet
	From, To source.Text
	Step     quantity.Show // in each system
	StepAt   diag.Pos
	At       diag.Pos
}

// paper reads the key paper of a value: worksheet, or {table: readings.x, from, to, step}.
func paper(m *source.Map) *Paper {
	v, ok := m.Value("paper")
	if !ok {
		return nil
	}
	if !v.IsMap() {
		t := v.Text()
		if t.Known() && t.S != "worksheet" {
			t.Errorf(0, "paper", "write paper: worksheet, or paper: {table: readings.NAME, from: 20 degC, to: 80 degC, step: 10 K}", "found %s where worksheet or a table is wanted", source.Quote(t.S))
		}
		return &Paper{At: v.At()}
	}
	t := v.Map()
	t.Need("table: readings.NAME", "from: 20 degC", "to: 80 degC", "step: 10 K or 20 deltadegF")
	out := &Paper{Table: refOf(t.Text("table")), From: t.Text("from"), To: t.Text("to"), At: v.At()}
	if step := t.Text("step"); step.Known() {
		out.StepAt = step.Pos(0)
		show, err := quantity.ParseShow(step.S)
		if err != nil {
			step.QuantityError(err)
		}
		out.Step = show
	}
	if out.Table != nil {
		if _, is := ReadingName(out.Table.Name); !is {
			t.Errorf("table", "paper", "such as table: readings.metal_temperature", "a table runs over a reading, not %s", source.Quote(out.Table.Name))
		}
	}
	t.Done()
	return out
}
