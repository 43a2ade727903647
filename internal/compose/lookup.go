package compose

import (
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/record"
)

// ready gives a text that stands ready everywhere.
func (r *run) ready(name string) (string, bool) {
	var t record.Text
	switch name {
	case "job.id":
		t = r.job.ID
	case "job.day":
		t = r.job.Day
	case "job.crew":
		t = r.job.Crew
	case "unit.id":
		return r.unit.ID, r.unit.ID != ""
	case "unit.name":
		t = r.unit.Name
	case "unit.serial":
		t = r.unit.Serial
	case "unit.area":
		t = r.unit.Area
	case "unit.design":
		t = r.unit.DesignName
		if r.unit.Design != nil && r.unit.Design.Name.Known() {
			t = r.unit.Design.Name
		}
	case "unit.size":
		t = r.unit.SizeName
	case "unit.suction":
		t = r.unit.Suction
	case "liquid.name":
		if r.unit.Liquid != nil {
			t = r.unit.Liquid.Name
		}
	case "site.name":
		return r.siteName(), true
	case "site.energy_control":
		t = r.c.book.Site.EnergyControl
	case "site.emergency":
		t = r.c.book.Site.Emergency
	default:
		return "", false
	}
	return t.S, t.Known() && t.S != ""
}

// sort says which of the things that have names a name stands for.
type sort uint8

const (
	aResult      sort = iota // a value of the procedure, or nothing
	aWord                    // a text that stands ready everywhere
	aTerm                    // a value of the records
	aProperty                // what stands ready of a joint, feature or assembly
	anInstrument             // what the instrument of a feature is good for
)

// meaning is what a full name stands for.
type meaning struct {
	sort         sort
	term         *record.Term
	group        group   // of a property or an instrument, with
	member, prop string  // the member and what is asked of it
	res          *result // nil where nothing has the name
	end          string  // the end of the band that the name gives; "" where it gives none
}

// meaning finds what a full name stands for; the value of a result is computed.
func (r *run) meaning(name string) meaning {
	if g, member, rest := split(name); g != single {
		if _, is := ready[g][rest]; is {
			return meaning{sort: aProperty, group: g, member: member, prop: rest}
		}
		if prop, is := strings.CutPrefix(rest, "instrument."); is {
			return meaning{sort: anInstrument, group: g, member: member, prop: prop}
		}
	} else if t := r.c.book.Terms[name]; t != nil {
		return meaning{sort: aTerm, term: t}
	} else if slices.Contains(wordNames, name) {
		return meaning{sort: aWord}
	}
	if res := r.result(name); res != nil {
		return meaning{res: res}
	}
	base, end := stem(name)
	return meaning{res: r.result(base), end: end}
}

// lookup gives the value of a name; without reports one that the unit is known
// not to have.
func (r *run) lookup(name string) (v formula.Value, ok, without bool) {
	switch m := r.meaning(name); m.sort {
	case aProperty:
		p := r.member(m.group, m.member, m.prop)
		return p.value, p.known && !p.without, p.without
	case anInstrument:
		v, ok = r.instrumentValue(m.member, m.prop)
		return v, ok, false
	case aTerm:
		s, ok := r.c.book.Scalar(r.unit, name)
		if !ok {
			return formula.Value{}, false, false
		}
		return fromScalar(s)
	case aWord:
		s, ok := r.ready(name)
		return formula.Value{Text: s}, ok, false
	default:
		return ofResult(m.res, m.end)
	}
}

// fromScalar gives a recorded value as formulas see it.
func fromScalar(s record.Scalar) (v formula.Value, ok, without bool) {
	switch s.Form {
	case record.FormAmount:
		return formula.Value{SI: s.Value.SI()}, true, false
	case record.FormWords:
		return formula.Value{Text: s.Text}, true, false
	case record.FormYesNo:
		return formula.Value{Yes: s.Yes}, true, false
	case record.FormNone:
		return formula.Value{}, false, true
	}
	return formula.Value{}, false, false
}

// ofResult gives a part of a result as formulas see it.
func ofResult(res *result, end string) (v formula.Value, ok, without bool) {
	if res == nil {
		return formula.Value{}, false, false
	}
	part := res.part(end)
	if part == nil {
		return formula.Value{}, false, res.without || len(res.missing) == 0 && res.err == nil
	}
	return *part, true, false
}
