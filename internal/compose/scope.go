package compose

import (
	"regexp"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// group is where a value lives: once for the unit, or once for each joint,
// feature or assembly of its size.
type group uint8

const (
	single group = iota
	perJoint
	perFeature
	perAssembly
)

// local is what formulas of the group call the one in hand, plural what
// everything else calls them all.
var (
	local  = [...]string{"", "joint.", "feature.", "assembly."}
	plural = [...]string{"", "joints.", "features.", "assemblies."}
)

var (
	number = formula.Is(quantity.KindNumber)
	length = formula.Is(quantity.KindLength)
	torque = formula.Is(quantity.KindTorque)
	text   = formula.Type{Sort: formula.Text}
	yesNo  = formula.Type{Sort: formula.YesNo}
)

// instrumentNames stand ready in formulas of a feature.
var instrumentNames = map[string]formula.Type{"instrument.resolution": length, "instrument.uncertainty": length}

// termType gives the type of a term as formulas see it; ok is false for a band,
// of which only the ends have one.
func termType(t *record.Term) (formula.Type, bool) {
	switch t.Form {
	case record.FormAmount:
		return formula.Is(t.Kind), true
	case record.FormWords:
		return formula.Type{Sort: formula.Text, OneOf: t.Words}, true
	case record.FormYesNo:
		return yesNo, true
	}
	return formula.Type{}, false
}

// baseScope is what every formula of a procedure may name before any value of the
// procedure is there.
func (c *Composer) baseScope() formula.Scope {
	s := formula.Scope{}
	for name, t := range c.book.Terms {
		if typ, ok := termType(t); ok {
			s[name] = typ
		}
	}
	for n := range readyTexts {
		s[n] = text
	}
	return s
}

// members are the names of all joints, features and assemblies of the book's
// designs, by group.
func (c *Composer) members() [4]map[string]bool {
	var m [4]map[string]bool
	for g := range m {
		m[g] = map[string]bool{}
	}
	for _, d := range c.book.Designs {
		for _, s := range d.Sizes {
			for _, n := range s.JointOrder {
				m[perJoint][n] = true
			}
			for _, n := range s.FeatureOrder {
				m[perFeature][n] = true
			}
			for _, n := range s.AssemblyOrder {
				m[perAssembly][n] = true
			}
		}
	}
	return m
}

var namePattern = regexp.MustCompile(`[A-Za-z_][A-Za-z0-9_]*(?:\.[A-Za-z_][A-Za-z0-9_]*)*`)

// split takes a name such as joints.head.torque.low apart into its group, the
// member and the rest; g is single where it is of no group.
func split(name string) (g group, member, rest string) {
	for g := perJoint; g <= perAssembly; g++ {
		if after, ok := strings.CutPrefix(name, plural[g]); ok {
			member, rest, _ := strings.Cut(after, ".")
			return g, member, rest
		}
	}
	return single, "", name
}

// stem takes the end of a band off a name: travel.low gives travel and "low".
func stem(name string) (base, end string) {
	for _, e := range ends[lower:] {
		if b, ok := strings.CutSuffix(name, "."+e); ok {
			return b, e
		}
	}
	return name, ""
}
