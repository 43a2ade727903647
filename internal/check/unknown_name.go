package check

import (
	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// unknownName: what a record names must be on record.
var unknownName = rule{
	name: "unknown-name",
	what: "a unit's design, size and liquid, the unit of a history, a liquid's GHS statements, a feature's instrument, and a job's unit, procedure and crew are on record",
	run: func(r *run) {
		for _, u := range r.units() {
			switch {
			case u.DesignName.Known() && u.Design == nil:
				r.unknown(u.DesignName, "design", inOrder(r.Designs), "add it to designs/")
			case u.Design != nil && !u.Design.Broken() && u.SizeName.Known() && u.Size == nil:
				r.unknown(u.SizeName, "size", inOrder(u.Design.Sizes), "add it to the sizes of "+u.Design.String(), u.Design.At)
			}
			if u.LiquidName.Known() && u.Liquid == nil {
				r.unknown(u.LiquidName, "liquid", inOrder(r.Liquids), "add it to liquids/")
			}
		}
		for _, h := range r.Histories {
			switch {
			case r.Units[h.ID] != nil:
			case record.FromRegister(h.At):
				r.warnf(h.At, nil, "void its job, or put the unit on record again", "the register has readings of the unit %s, which is not on record", h.ID)
			default:
				r.unknown(record.Text{S: h.ID, At: h.At}, "unit", inOrder(r.Units), "add it to units/, or delete this record")
			}
		}
		for _, name := range inOrder(r.Liquids) {
			for _, code := range r.Liquids[name].Statements {
				if r.Statements[code.S] == nil {
					r.unknown(code, "GHS statement", inOrder(r.Statements), "write the code alone, such as H314")
				}
			}
		}
		for _, s := range r.sizes() {
			for _, name := range s.FeatureOrder {
				if i := s.Features[name].Instrument; i.Known() && r.Instruments[i.S] == nil {
					r.unknown(i, "instrument", inOrder(r.Instruments), "add it to instruments/")
				}
			}
		}
		for _, name := range inOrder(r.Lists) {
			for _, j := range r.Lists[name].Jobs {
				r.jobNames(j)
			}
		}
	},
}

// jobNames checks what a job of a list names.
func (r *run) jobNames(j *record.Job) {
	if j.Unit.Known() && r.Units[j.Unit.S] == nil {
		r.unknown(j.Unit, "unit", inOrder(r.Units), "add it to units/")
	}
	if r.library != nil && j.Procedure.Known() {
		if p, faulty := r.library.Procedure(j.Procedure.S); p == nil && !faulty {
			r.unknown(j.Procedure, "procedure", r.library.Names(), "add it to procedures/")
		}
	}
	if r.Site != nil && j.Crew.Known() && r.Site.Crews[j.Crew.S] == nil {
		r.unknown(j.Crew, "crew", inOrder(r.Site.Crews), "add it to the crews of site.yaml", r.Site.At)
	}
}

// unknown reports a name that is not on record, with the nearest that is.
func (r *run) unknown(name record.Text, what string, have []string, hint string, related ...diag.Pos) {
	if near := diag.DidYouMean(name.S, have); near != "" {
		hint = near + " Else " + hint
	}
	r.errorf(name.At, places(related...), hint, "the %s %s is not on record", what, name)
}
