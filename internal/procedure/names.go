package procedure

import (
	"strings"

	"jobsheaf/internal/formula"
)

// Group says how often a value is there: once for the unit, or once for each
// joint, feature or assembly of its size.
type Group uint8

const (
	Single Group = iota
	PerJoint
	PerFeature
	PerAssembly
)

// Groups lists those of which there are many members.
var Groups = [...]Group{PerJoint, PerFeature, PerAssembly}

// one is what formulas of a group call the member in hand, all is what everything
// else calls its members.
var (
	one = [...]string{PerJoint: "joint", PerFeature: "feature", PerAssembly: "assembly"}
	all = [...]string{PerJoint: "joints", PerFeature: "features", PerAssembly: "assemblies"}
)

// Name is a dotted name of a template taken apart.
type Name struct {
	Group  Group
	Member string // of a group, such as head; "" for the member in hand
	Rest   string // what is asked of the member; of no group, the whole name
}

// ParseName takes a name apart: joints.head.torque.low is torque.low of the joint
// head, joint.torque the torque of the joint in hand, travel a name of no group.
func ParseName(name string) Name {
	head, rest, dotted := strings.Cut(name, ".")
	if !dotted {
		return Name{Rest: name}
	}
	for _, g := range Groups {
		switch head {
		case one[g]:
			return Name{Group: g, Rest: rest}
		case all[g]:
			if member, rest, ok := strings.Cut(rest, "."); ok && member != "" {
				return Name{g, member, rest}
			}
		}
	}
	return Name{Rest: name}
}

// InHand reports whether the name is of the member in hand, which only formulas of
// its group have.
func (n Name) InHand() bool { return n.Group != Single && n.Member == "" }

// String writes the name as a template would.
func (n Name) String() string {
	switch {
	case n.Group == Single:
		return n.Rest
	case n.Member == "":
		return one[n.Group] + "." + n.Rest
	case n.Rest == "": // the member itself
		return all[n.Group] + "." + n.Member
	}
	return all[n.Group] + "." + n.Member + "." + n.Rest
}

// End is one of the four things that a value may have: what it is or, of a band,
// its limits and its target.
type End uint8

const (
	Whole End = iota // what the value is; of a band, all of it
	Low
	High
	Target
)

// Ends lists them.
var Ends = [...]End{Whole, Low, High, Target}

// String gives what a name that means it ends in; "" for the whole.
func (e End) String() string { return [...]string{"", "low", "high", "target"}[e] }

// cutEnd takes the end of a band off a name: travel.low gives travel and Low.
func cutEnd(name string) (base string, e End) {
	for _, e := range Ends[Low:] {
		if base, ok := strings.CutSuffix(name, "."+e.String()); ok {
			return base, e
		}
	}
	return name, Whole
}

// Formula gives the formula of an end; nil where the template gives none.
func (v *Value) Formula(e End) *formula.Expr {
	return [...]*formula.Expr{v.is, v.low, v.high, v.target}[e]
}

// Band reports whether the value is a band.
func (v *Value) Band() bool { return v.is == nil }

// Full gives the value's name for a member of its group; for "" the name by which
// formulas of its group know it: travel, joint.torque.
func (v *Value) Full(member string) string { return Name{v.Group, member, v.Name}.String() }

// valueKey is what a value is found by.
type valueKey struct {
	group Group
	name  string
}

func (v *Value) key() valueKey { return valueKey{v.Group, v.Name} }

// index finds the values of a procedure.
type index map[valueKey]*Value

func indexOf(p *Procedure) index {
	ix := index{}
	p.everyValue(func(v *Value) { ix[v.key()] = v })
	return ix
}

// find gives the value that a name stands for, and the end of it that the name
// gives; nil where the name stands for none.
func (ix index) find(n Name) (*Value, End) {
	if v := ix[valueKey{n.Group, n.Rest}]; v != nil {
		return v, Whole
	}
	base, end := cutEnd(n.Rest)
	return ix[valueKey{n.Group, base}], end
}

// Find gives the value of the procedure that a name stands for, and the end of it
// that the name gives; nil where the name stands for none.
func (p *Procedure) Find(n Name) (*Value, End) { return p.index.find(n) }
