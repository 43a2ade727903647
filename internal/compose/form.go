package compose

import (
	"maps"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// This file is about empty forms: packets for a unit that has no records yet, to
// be filled in by hand. A form is composed as any packet is, from a unit that was
// stripped of its numbers; what is not on record then prints as a gap to write on
// and asks for nothing.

// AnyUnit is the unit of a form that is for no unit in particular.
const AnyUnit = "any"

// ruled is the gap that is written on.
const ruled = "________"

// lacking is what stands where something is not on record.
func (r *run) lacking() packet.Span {
	if r.c.Blank {
		return packet.Span{Text: ruled}
	}
	return packet.Span{Text: r.word("not_on_record"), Style: packet.Missing}
}

// lackingAmount is a gap before the unit in which it is filled in.
func (r *run) lackingAmount(show quantity.Show) packet.Phrase {
	if u := show.Grain[r.system].Unit; u.Symbol != "" {
		return packet.Say(u.Join(ruled))
	}
	return packet.Say(ruled)
}

// lack names what a blank's target lacks, for its hatching; a form's blanks are
// not hatched.
func (r *run) lack(missing []string) string {
	if r.c.Blank {
		return ""
	}
	return strings.Join(missing, ", ")
}

// stripped gives a unit as a form knows it: its words without its numbers and its
// history.
func stripped(u *record.Unit) *record.Unit {
	out := *u
	out.History, out.Scalars = nil, words(u.Scalars)
	if u.Liquid != nil {
		l := *u.Liquid
		l.Scalars = words(l.Scalars)
		out.Liquid = &l
	}
	if u.Size == nil {
		return &out
	}
	s := *u.Size
	s.Scalars = words(s.Scalars)
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

// words gives those values that are no numbers, nor an end of one.
func words(all map[string]record.Scalar) map[string]record.Scalar {
	out := maps.Clone(all)
	maps.DeleteFunc(out, func(_ string, s record.Scalar) bool {
		return s.Form == record.FormAmount || s.Form == record.FormBand || s.Term != nil && s.Term.Of != ""
	})
	return out
}

// formUnit gives the unit of a form, which need not be on record.
func (c *Composer) formUnit(job *record.Job) *record.Unit {
	if u := c.book.Units[job.Unit.S]; u != nil {
		return stripped(u)
	}
	u := &record.Unit{Record: record.Record{Kind: "unit"}}
	if job.Unit.S != AnyUnit {
		u.ID = job.Unit.S
	}
	return u
}

// toWorkOut gives the working key of a value that is to be worked out by hand: its
// entry has the formula, with gaps for the inputs and the result.
func (r *run) toWorkOut(res *result) string {
	if had := r.working.of(res.name); had != nil {
		return had.Key
	}
	v := res.v
	g, member, _ := split(res.name)
	e := r.entryOf(v, res.name)
	e.Printed = ruled
	if v.typ.Sort == formula.Quantity {
		e.Printed = r.lackingAmount(v.show).String()
	}
	e.Key = r.working.add(e)
	var formulas []string
	seen := map[string]bool{}
	for p, f := range v.formulas {
		if f == nil {
			continue
		}
		formulas = append(formulas, r.lead(part(p))+f.text)
		for _, src := range f.sources {
			e.Sources = appendNew(e.Sources, src)
		}
		for _, n := range f.names {
			full := r.full(n, g, member)
			if seen[full] {
				continue
			}
			seen[full] = true
			in := packet.Input{Name: full, Text: ruled}
			if known, ok := r.input(full); ok {
				in = known
			} else if other := r.meaning(full).res; other != nil && len(other.missing) > 0 {
				in.Key = r.toWorkOut(other)
			}
			e.Inputs = append(e.Inputs, in)
		}
	}
	e.Formula = strings.Join(formulas, "; ")
	*r.working.of(res.name) = e
	return e.Key
}
