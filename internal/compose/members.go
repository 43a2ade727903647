package compose

import (
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/quantity"
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

// readyProperty is one thing that stands ready of every joint, feature or assembly.
type readyProperty struct {
	typ formula.Type
	own bool // its words are the program's own, and have a text in each language
	of  func(r *run, member string) property
}

// ready is what stands ready of each joint, feature and assembly, by group.
var ready = [...]map[string]readyProperty{
	perJoint: {
		"what":      ofJoint(text, func(j *record.Joint) property { return wordsOf(j.What) }),
		"count":     ofJoint(number, func(j *record.Joint) property { return amountOf(j.Count) }),
		"thread":    ofJoint(text, func(j *record.Joint) property { return wordsOf(j.Thread) }),
		"grade":     ofJoint(text, func(j *record.Joint) property { return wordsOf(j.Grade) }),
		"seat":      inOwnWords(ofJoint(text, func(j *record.Joint) property { return wordsOf(j.Seat) })),
		"circle":    ofJoint(length, func(j *record.Joint) property { return amountOf(j.Circle) }),
		"condition": inOwnWords(ofJoint(text, func(j *record.Joint) property { return wordsOf(j.Condition) })),
		"method":    inOwnWords(ofJoint(text, func(j *record.Joint) property { return wordsOf(j.Method) })),
		"order": inOwnWords(ofJoint(text, func(j *record.Joint) property {
			return property{value: formula.Value{Text: j.Order}, written: j.Order, at: j.At, known: true}
		})),
		"fraction":      ofJoint(number, func(j *record.Joint) property { return amountOf(j.Fraction) }),
		"pass_1":        ofJoint(number, pass(1)),
		"pass_2":        ofJoint(number, pass(2)),
		"pass_3":        ofJoint(number, pass(3)),
		"pass_4":        ofJoint(number, pass(4)),
		"pass_5":        ofJoint(number, pass(5)),
		"recorded.low":  ofJoint(torque, func(j *record.Joint) property { return recordedTorque(j, j.Torque.Low) }),
		"recorded.high": ofJoint(torque, func(j *record.Joint) property { return recordedTorque(j, j.Torque.High) }),
	},
	perFeature: {
		"what":         ofFeature(text, func(f *record.Feature) property { return wordsOf(f.What) }),
		"part":         ofFeature(text, func(f *record.Feature) property { return wordsOf(f.Part) }),
		"new":          ofFeature(length, func(f *record.Feature) property { return amountOf(f.New) }),
		"reject_below": ofFeature(length, func(f *record.Feature) property { return limitOf(f.RejectBelow, f.RejectAbove) }),
		"reject_above": ofFeature(length, func(f *record.Feature) property { return limitOf(f.RejectAbove, f.RejectBelow) }),
		"last":         {typ: length, of: (*run).lastOf},
	},
	perAssembly: {
		"what": ofAssembly(text, func(a *record.Assembly) property { return wordsOf(a.What) }),
		"mass": ofAssembly(formula.Is(quantity.KindMass), func(a *record.Assembly) property { return amountOf(a.Mass) }),
	},
}

func ofJoint(typ formula.Type, of func(*record.Joint) property) readyProperty {
	return readyProperty{typ: typ, of: func(r *run, member string) property {
		if j := r.size.Joints[member]; j != nil {
			return of(j)
		}
		return property{}
	}}
}

func ofFeature(typ formula.Type, of func(*record.Feature) property) readyProperty {
	return readyProperty{typ: typ, of: func(r *run, member string) property {
		if f := r.size.Features[member]; f != nil {
			return of(f)
		}
		return property{}
	}}
}

func ofAssembly(typ formula.Type, of func(*record.Assembly) property) readyProperty {
	return readyProperty{typ: typ, of: func(r *run, member string) property {
		if a := r.size.Assemblies[member]; a != nil {
			return of(a)
		}
		return property{}
	}}
}

func inOwnWords(p readyProperty) readyProperty {
	p.own = true
	return p
}

// pass gives the part of the torque that a joint is taken to in its nth pass; a
// joint that has others does without.
func pass(n int) func(*record.Joint) property {
	return func(j *record.Joint) property {
		if n > len(j.Passes) {
			return property{without: len(j.Passes) > 0}
		}
		return amountOf(j.Passes[n-1])
	}
}

// recordedTorque gives an end of the torque that the design states; most state none.
func recordedTorque(j *record.Joint, end *quantity.Value) property {
	if end == nil {
		return property{without: true}
	}
	return property{value: formula.Value{SI: end.SI()}, written: j.Torque.S, at: j.Torque.At, known: true}
}

// limitOf gives a limit of a feature; one that wears the other way has no such
// limit.
func limitOf(limit, other record.Amount) property {
	p := amountOf(limit)
	p.without = !p.known && other.Known()
	return p
}

// lastOf gives a feature's last reading; a unit without any history has none.
func (r *run) lastOf(feature string) property {
	f := r.size.Features[feature]
	if f == nil {
		return property{}
	}
	a, _, known := r.last(f)
	p := amountOf(a)
	p.known, p.without = known, !known && len(r.unit.History) == 0
	return p
}

// member gives a property of a joint, feature or assembly, which is one of ready.
func (r *run) member(g group, name, prop string) property {
	if r.size == nil {
		return property{}
	}
	return ready[g][prop].of(r, name)
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
