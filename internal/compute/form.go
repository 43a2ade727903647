package compute

import (
	"maps"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// This file is about empty forms: packets for a unit that has no records yet, to
// be filled in by hand. A form is made as any packet is, from a unit that was
// stripped of its numbers; what is not on record then prints as a gap to write on
// and asks for nothing.

// AnyUnit is the unit of a form that is for no unit in particular.
const AnyUnit = "any"

// Ruled is the gap that is written on.
const Ruled = "________"

// Lacking is what stands where something is not on record.
func (n *Numbers) Lacking() packet.Span {
	if n.Blank {
		return packet.Span{Text: Ruled}
	}
	return packet.Span{Text: n.Word("not_on_record"), Style: packet.Missing}
}

// LackingAmount is a gap before the unit in which it is filled in.
func (n *Numbers) LackingAmount(show quantity.Show) packet.Phrase {
	if u := show.Grain[n.System].Unit; u.Symbol != "" {
		return packet.Say(u.Join(Ruled))
	}
	return packet.Say(Ruled)
}

// Lack names what a blank's target lacks, for its hatching; a form's blanks are
// not hatched.
func (n *Numbers) Lack(missing []string) string {
	if n.Blank {
		return ""
	}
	return strings.Join(missing, ", ")
}

// stripped gives a unit as a form knows it: its words without its numbers and its
// history.
func stripped(u *record.Unit) *record.Unit {
	out := *u
	out.History, out.Scalars = nil, inWords(u.Scalars)
	if u.Liquid != nil {
		l := *u.Liquid
		l.Scalars = inWords(l.Scalars)
		out.Liquid = &l
	}
	if u.Size == nil {
		return &out
	}
	s := *u.Size
	s.Scalars = inWords(s.Scalars)
	s.Joints, s.Features, s.Assemblies = maps.Clone(s.Joints), maps.Clone(s.Features), maps.Clone(s.Assemblies)
	for name, j := range s.Joints {
		k := *j
		k.Count, k.Circle, k.Fraction, k.Passes, k.Torque = record.Amount{}, record.Amount{}, record.Amount{}, nil, record.Band{}
		s.Joints[name] = &k
	}
	for name, f := range s.Features {
		k := *f
		k.New, k.RejectBelow, k.RejectAbove = record.Amount{}, record.Amount{}, record.Amount{}
		s.Features[name] = &k
	}
	for name, a := range s.Assemblies {
		k := *a
		k.Mass = record.Amount{}
		s.Assemblies[name] = &k
	}
	out.Size = &s
	return &out
}

// inWords gives those values that are no numbers, nor an end of one.
func inWords(all map[string]record.Scalar) map[string]record.Scalar {
	out := maps.Clone(all)
	maps.DeleteFunc(out, func(_ string, s record.Scalar) bool {
		return s.Form == record.FormAmount || s.Form == record.FormBand || s.Term != nil && s.Term.Of != ""
	})
	return out
}

// formUnit gives the unit of a form, which need not be on record.
func (c *Plans) formUnit(job *record.Job) *record.Unit {
	if u := c.book.Units[job.Unit.S]; u != nil {
		u = stripped(u)
		if u.Machine == nil {
			u.Machine = c.kindOf(job)
		}
		return u
	}
	u := &record.Unit{Record: record.Record{Kind: "unit"}, Machine: c.kindOf(job)}
	if job.Unit.S != AnyUnit {
		u.ID = job.Unit.S
	}
	return u
}

// kindOf gives the kind of machine that a form is for where its unit's is not known:
// the first of its procedure's, else the default.
func (c *Plans) kindOf(job *record.Job) *record.Machine {
	if p, _ := c.lib.Procedure(job.Procedure.S); p != nil && len(p.Machines) > 0 {
		return c.book.Machines[p.Machines[0].Name]
	}
	return c.book.DefaultMachine
}

// toWorkOut gives the key of the entry of a value that is to be worked out by hand: its
// entry has the formula, with gaps for the inputs and the result.
func (n *Numbers) toWorkOut(res *Result) string {
	if had := n.working.of(res.Name); had != nil {
		return had.Key
	}
	v := res.Value
	e := n.entryOf(res)
	e.Printed = Ruled
	if v.typ.Sort == formula.Quantity {
		e.Printed = n.LackingAmount(v.show).String()
	}
	e.Key = n.working.add(e)
	var formulas []string
	seen := map[string]bool{}
	for end, f := range v.formulas {
		if f == nil {
			continue
		}
		formulas = append(formulas, n.lead(procedure.End(end))+f.text)
		for _, src := range f.sources {
			e.Sources = appendNew(e.Sources, src)
		}
		for _, r := range f.refs {
			u := r.of(res.member)
			full := u.full()
			if seen[full] {
				continue
			}
			seen[full] = true
			in := packet.Input{Name: full, Text: Ruled}
			if known, ok := n.input(u); ok {
				in = known
			} else if u.value != nil {
				if other := n.Result(u.value, u.member); len(other.missing) > 0 {
					in.Key = n.toWorkOut(other)
				}
			}
			in.Letter = v.letterOf[r.name]
			e.Inputs = append(e.Inputs, in)
		}
	}
	e.Formula = strings.Join(formulas, "; ")
	*n.working.of(res.Name) = e
	return e.Key
}
