package compute

import (
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// Value is a compiled value of a template.
type Value struct {
	*procedure.Value
	formulas [4]*worked // by end; nil where the template gives none
	typ      formula.Type
	typed    bool // a formula of it is sound
	show     quantity.Show
	fine     *quantity.Show            // of the finer instrument, where the template names one
	given    bool                      // the template or its instrument says how to print it
	letterOf map[procedure.Name]string // of the names in its formula, as a handbook has it

	draws [4][]*reading    // by end: the readings that it draws on, itself or by other values
	laid  [4]*formula.Laid // by end: how it is worked out by hand, where it draws on readings
	table *tableOver       // over which it is printed, instead

	kind  quantity.Kind            // of a value of features: in which the feature is measured
	kinds map[quantity.Kind]*Value // the same value, compiled for features of each kind that it is for
	shown bool                     // its show is of its kind
}

// as gives the value as it is compiled for features that are measured in a kind; nil
// where it is not for them.
func (v *Value) as(kind quantity.Kind) *Value {
	if v.kinds == nil {
		return v
	}
	return v.kinds[kind]
}

// worked is a formula of a value with what the working says of it, the same for
// every job.
type worked struct {
	*compiled
	text    string   // on one line
	bare    bool     // it is a name and nothing else
	sources []string // of the functions that it calls
}

func (c *Plans) working(e *formula.Expr, f *compiled) *worked {
	w := &worked{compiled: f, text: strings.Join(strings.Fields(f.Text()), " "), bare: e.Bare()}
	for _, fn := range f.Functions() {
		source := c.translate(fn.Source)
		if fn.Unchecked {
			source += "; " + c.words.Get("compose.unchecked")
		}
		w.sources = append(w.sources, c.translate(fn.Formula)+" ("+source+")")
	}
	return w
}

// Kind gives the kind of a value that is a quantity.
func (v *Value) Kind() (quantity.Kind, bool) {
	if v.typ.Sort != formula.Quantity {
		return 0, false
	}
	return v.typ.Quantity.Kind()
}

// OfPass reports whether the value is the torque of one pass of tightening: it is
// worked out from the pass's part of the whole.
func (v *Value) OfPass() bool {
	for _, f := range v.formulas {
		if f == nil {
			continue
		}
		for _, r := range f.refs {
			if r.ready != nil && r.ready.pass {
				return true
			}
		}
	}
	return false
}

// Shown lists the values of a group that have a column of their own.
func (n *Numbers) Shown(g procedure.Group) []*Value {
	var out []*Value
	for _, v := range n.plan.order[g] {
		if v.given {
			out = append(out, v)
		}
	}
	return out
}

// resultKey is what a result is found by.
type resultKey struct {
	value  *Value
	member string
}

// Result is what a value came to for the unit.
type Result struct {
	Value   *Value
	Show    quantity.Show // how it prints
	Name    string        // in full: travel, joints.head.torque
	Without bool          // not applicable to this unit

	member  string
	missing []gap
	fine    bool                   // Show is that of the finer instrument
	got     [4]*formula.Value      // by end; nil where it has none, or none that is known
	by      [4][]formula.Governing // which limits each end took
	figures []formula.Figure       // of the program's tables, that any end took
	asked   []use                  // what its formulas asked for, some twice
	err     error                  // the formula has no answer for what is on record
	waits   [4][]*reading          // by end: the readings that are to be taken before it is known
}

// Lacks names what is not on record and the value needs.
func (res *Result) Lacks() []string { return namesOf(res.missing) }

// Known reports whether there is a value.
func (res *Result) Known() bool {
	return len(res.missing) == 0 && res.err == nil && !res.Without && !res.waiting()
}

// limited reports whether there is a limit.
func (res *Result) limited() bool {
	return res.got[procedure.Low] != nil || res.got[procedure.High] != nil
}

// ofPhysics reports whether the limits are the same for every unit, and the value is
// the target that stands within: a part of a strength, which is at most the whole of it.
// Only the value says anything.
func (res *Result) ofPhysics() bool {
	if res.got[procedure.Target] == nil {
		return false
	}
	limits := 0
	for _, end := range []procedure.End{procedure.Low, procedure.High} {
		switch f := res.Value.formulas[end]; {
		case f == nil:
		case len(f.refs) > 0:
			return false
		default:
			limits++
		}
	}
	return limits > 0
}

// at gives what a name with the given end means of a result: one end of a band,
// or what the value is, which of a band is its target; nil where there is none.
func (res *Result) at(end procedure.End) *formula.Value {
	if end == procedure.Whole && res.Value.Band() {
		end = procedure.Target
	}
	return res.got[end]
}

// quantity gives an amount of the result with its type.
func (res *Result) quantity(v *formula.Value) quantity.Value {
	return quantity.OfType(v.SI, res.Value.typ.Quantity)
}
