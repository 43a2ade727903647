package compose

import (
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/record"
)

// property is what stands ready of a joint, feature or assembly.
type property struct {
	value   formula.Value
	written string // as the record has it
	at      diag.Pos
	known   bool // on record
	without bool // the unit is known not to have it
}

func wordsOf(t record.Text) property {
	return property{value: formula.Value{Text: t.S}, written: t.S, at: t.At, known: t.Known()}
}

func amountOf(a record.Amount) property {
	return property{value: formula.Value{SI: a.Value.SI()}, written: a.S, at: a.At, known: a.Known()}
}

// member gives a property of a joint, feature or assembly, which is one of ready.
func (r *run) member(g group, name, prop string) property {
	if r.size == nil {
		return property{}
	}
	switch g {
	case perJoint:
		if j := r.size.Joints[name]; j != nil {
			return ofJoint(j, prop)
		}
	case perFeature:
		if f := r.size.Features[name]; f != nil {
			return r.ofFeature(f, prop)
		}
	case perAssembly:
		if a := r.size.Assemblies[name]; a != nil {
			if prop == "what" {
				return wordsOf(a.What)
			}
			return amountOf(a.Mass)
		}
	}
	return property{}
}

func ofJoint(j *record.Joint, prop string) property {
	if n, pass := strings.CutPrefix(prop, "pass_"); pass {
		i, _ := strconv.Atoi(n)
		if i > len(j.Passes) {
			return property{without: len(j.Passes) > 0}
		}
		return amountOf(j.Passes[i-1])
	}
	switch prop {
	case "what":
		return wordsOf(j.What)
	case "count":
		return amountOf(j.Count)
	case "thread":
		return wordsOf(j.Thread)
	case "grade":
		return wordsOf(j.Grade)
	case "seat":
		return wordsOf(j.Seat)
	case "circle":
		return amountOf(j.Circle)
	case "condition":
		return wordsOf(j.Condition)
	case "method":
		return wordsOf(j.Method)
	case "order":
		return property{value: formula.Value{Text: j.Order}, written: j.Order, at: j.At, known: true}
	case "fraction":
		return amountOf(j.Fraction)
	}
	// What is left is the torque that the design states, if it does.
	if !j.Torque.Known() {
		return property{without: true}
	}
	end := j.Torque.Low
	if prop == "recorded.high" {
		end = j.Torque.High
	}
	return property{value: formula.Value{SI: end.SI()}, written: j.Torque.S, at: j.Torque.At, known: true}
}

func (r *run) ofFeature(f *record.Feature, prop string) property {
	switch prop {
	case "what":
		return wordsOf(f.What)
	case "part":
		return wordsOf(f.Part)
	case "new":
		return amountOf(f.New)
	case "reject_below": // a part that only grows has no such limit
		p := amountOf(f.RejectBelow)
		p.without = !p.known && f.RejectAbove.Known()
		return p
	case "reject_above":
		p := amountOf(f.RejectAbove)
		p.without = !p.known && f.RejectBelow.Known()
		return p
	}
	a, _, known := r.last(f)
	p := amountOf(a)
	p.known, p.without = known, !known && len(r.unit.History) == 0
	return p
}

// last gives a feature's reading as it was left last time, and the day, unless
// its part was replaced since with none taken.
func (r *run) last(f *record.Feature) (a record.Amount, day string, known bool) {
	for _, h := range r.past {
		if f.Replaces.Known() && slices.ContainsFunc(h.Replaced, func(t record.Text) bool { return t.S == f.Replaces.S }) {
			a, known = record.Amount{}, false
		}
		if m, ok := h.AsLeft[f.Name]; ok {
			a, day, known = m, h.Day.S, true
		}
	}
	return a, day, known
}
