package compose

import (
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// part is one of the four things that a value may have: what it is or, of a band,
// its limits and its target.
type part uint8

const (
	itself part = iota
	lower
	upper
	target
)

// ends are what a name ends in that means one part of a value, which is also the
// key of the word for it.
var ends = [...]string{lower: "low", upper: "high", target: "target"}

// value is a compiled value of a template.
type value struct {
	src      *procedure.Value
	group    group
	name     string   // local: travel, joint.torque
	formulas [4]*told // by part; nil where the template gives none
	typ      formula.Type
	show     quantity.Show
	fine     *quantity.Show // of the finer instrument, where the template names one
	given    bool           // the template or its instrument says how to print it
}

// told is a formula with what the working says of it, the same for every job.
type told struct {
	*formula.Formula
	text    string // on one line
	names   []string
	sources []string // of the functions that it calls
}

func (c *Composer) told(f *formula.Formula) *told {
	t := &told{Formula: f, text: strings.Join(strings.Fields(f.Text()), " "), names: f.Names()}
	for _, fn := range f.Functions() {
		t.sources = append(t.sources, c.own(fn.Formula)+" ("+c.own(fn.Source)+")")
	}
	return t
}

// of gives the value's full name for a member of its group.
func (v *value) of(member string) string {
	if v.group == single {
		return v.name
	}
	return plural[v.group] + member + "." + v.src.Name
}

// band reports whether the value is a band.
func (v *value) band() bool { return v.formulas[itself] == nil }

// result is what a value came to for this unit.
type result struct {
	v       *value
	show    quantity.Show
	fine    bool                   // show is that of the finer instrument
	name    string                 // full: travel, joints.head.torque
	got     [4]*formula.Value      // by part; nil where it has none, or none that is known
	by      [4][]formula.Governing // which limits each part took
	missing []string
	asked   []string // full names that its formulas asked for, some twice
	without bool     // not applicable to this unit
	err     error    // the formula has no answer for what is on record
}

// limited reports whether there is a limit.
func (res *result) limited() bool { return res.got[lower] != nil || res.got[upper] != nil }

// part gives what a name with the given end means of a result: one end of a band,
// or what the value is, which of a band is its target; nil where there is none.
func (res *result) part(end string) *formula.Value {
	switch {
	case end == ends[lower]:
		return res.got[lower]
	case end == ends[upper]:
		return res.got[upper]
	case end == ends[target] || res.v.band():
		return res.got[target]
	}
	return res.got[itself]
}
