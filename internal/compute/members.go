package compute

import (
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// property is what stands ready of a joint, feature or assembly.
type property struct {
	value   formula.Value
	amount  quantity.Value // what it is, with the unit that it was written in
	written string         // as the record has it
	at      diag.Pos
	known   bool // on record
	without bool // the unit is known not to have it
}

func wordsOf(t record.Text) property {
	return property{value: formula.Value{Text: t.S}, written: t.S, at: t.At, known: t.Known()}
}

func amountOf(a record.Amount) property {
	return property{value: formula.Value{SI: a.Value.SI()}, amount: a.Value, written: a.S, at: a.At, known: a.Known()}
}

// readyProperty is one thing that stands ready of every joint, feature or assembly.
type readyProperty struct {
	typ    formula.Type
	own    bool // its words are the program's own, and are translated
	pass   bool // it is a pass of tightening
	stated bool // it is the torque that the design states
	// measured is set for what is of the kind in which the feature is measured, and apart
	// for a difference of two such: typ is then that of a length.
	measured, apart bool
	get             func(n *Numbers, member string) property
}

// of gives the type of what stands ready of a feature that is measured in a kind; of
// anything else it does not hang on that.
func (p *readyProperty) of(kind quantity.Kind) formula.Type {
	switch {
	case p.measured:
		return formula.Is(kind)
	case p.apart:
		return formula.Type{Quantity: quantity.Type{Dim: kind.Type().Dim}}
	}
	return p.typ
}

// ready is what stands ready of each joint, feature and assembly, by group.
var ready = [4]map[string]*readyProperty{
	procedure.PerJoint: {
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
		"pass_1":        pass(1),
		"pass_2":        pass(2),
		"pass_3":        pass(3),
		"recorded.low":  stated(func(j *record.Joint) *quantity.Value { return j.Torque.Low }),
		"recorded.high": stated(func(j *record.Joint) *quantity.Value { return j.Torque.High }),
	},
	procedure.PerFeature: {
		"what":         ofFeature(text, func(f *record.Feature) property { return wordsOf(f.What) }),
		"part":         ofFeature(text, func(f *record.Feature) property { return wordsOf(f.Part) }),
		"new":          measuredOf(func(f *record.Feature) property { return amountOf(f.New) }),
		"reject_below": measuredOf(func(f *record.Feature) property { return limitOf(f.RejectBelow, f.RejectAbove) }),
		"reject_above": measuredOf(func(f *record.Feature) property { return limitOf(f.RejectAbove, f.RejectBelow) }),
		"last":         {typ: length, measured: true, get: (*Numbers).lastOf},
	},
	procedure.PerAssembly: {
		"what": ofAssembly(text, func(a *record.Assembly) property { return wordsOf(a.What) }),
		"mass": ofAssembly(formula.Is(quantity.KindMass), func(a *record.Assembly) property { return amountOf(a.Mass) }),
	},
}

func ofJoint(typ formula.Type, of func(*record.Joint) property) *readyProperty {
	return &readyProperty{typ: typ, get: func(n *Numbers, member string) property {
		if j := n.Size.Joints[member]; j != nil {
			return of(j)
		}
		return property{}
	}}
}

func ofFeature(typ formula.Type, of func(*record.Feature) property) *readyProperty {
	return &readyProperty{typ: typ, get: func(n *Numbers, member string) property {
		if f := n.Size.Features[member]; f != nil {
			return of(f)
		}
		return property{}
	}}
}

// measuredOf is of the kind in which the feature is measured.
func measuredOf(of func(*record.Feature) property) *readyProperty {
	p := ofFeature(length, of)
	p.measured = true
	return p
}

func ofAssembly(typ formula.Type, of func(*record.Assembly) property) *readyProperty {
	return &readyProperty{typ: typ, get: func(n *Numbers, member string) property {
		if a := n.Size.Assemblies[member]; a != nil {
			return of(a)
		}
		return property{}
	}}
}

func inOwnWords(p *readyProperty) *readyProperty {
	p.own = true
	return p
}

// pass gives the part of the torque that a joint is taken to in its nth pass; a
// joint that has others does without.
func pass(n int) *readyProperty {
	p := ofJoint(number, func(j *record.Joint) property {
		if n > len(j.Passes) {
			return property{without: len(j.Passes) > 0}
		}
		return amountOf(j.Passes[n-1])
	})
	p.pass = true
	return p
}

// stated gives an end of the torque that the design states; most state none.
func stated(end func(*record.Joint) *quantity.Value) *readyProperty {
	p := ofJoint(torque, func(j *record.Joint) property {
		v := end(j)
		if v == nil {
			return property{without: true}
		}
		return property{value: formula.Value{SI: v.SI()}, amount: *v, written: j.Torque.S, at: j.Torque.At, known: true}
	})
	p.stated = true
	return p
}

// limitOf gives a limit of a feature; one that wears the other way has no such
// limit.
func limitOf(limit, other record.Amount) property {
	p := amountOf(limit)
	p.without = !p.known && other.Known()
	return p
}

// lastOf gives a feature's last reading; a unit without any history has none.
func (n *Numbers) lastOf(feature string) property {
	f := n.Size.Features[feature]
	if f == nil {
		return property{}
	}
	a, _, known := n.Last(f)
	p := amountOf(a)
	p.known, p.without = known, !known && len(n.Past) == 0
	return p
}

// property gives what stands ready of a member; nothing where the size is not on
// record.
func (n *Numbers) property(u use) property {
	if n.Size == nil {
		return property{}
	}
	return u.ready.get(n, u.member)
}

// typeOf gives the type of what stands ready of a member.
func (n *Numbers) typeOf(u use) formula.Type {
	f, _ := n.Feature(u.member)
	kind, _ := f.Kind()
	return u.ready.of(kind)
}

// propertyOf gives what stands ready of a member, by its name there.
func propertyOf(g procedure.Group, member, prop string) use {
	return use{&ref{name: procedure.Name{Group: g, Member: member, Rest: prop}, ready: ready[g][prop]}, member}
}

// Last gives a feature's reading as it was left last time, and the day, unless
// its part was replaced since with none taken.
func (n *Numbers) Last(f *record.Feature) (a record.Amount, day string, known bool) {
	for _, h := range n.Past {
		if f.Replaces.Known() && slices.ContainsFunc(h.Replaced, func(t record.Text) bool { return t.S == f.Replaces.S }) {
			a, known = record.Amount{}, false
		}
		if m, ok := h.AsLeft[f.Name]; ok {
			a, day, known = m, h.Day.S, true
		}
	}
	return a, day, known
}
