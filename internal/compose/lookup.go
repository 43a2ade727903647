package compose

import (
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/record"
)

// readyTexts are the texts that stand ready everywhere.
var readyTexts = map[string]func(*run) record.Text{
	"job.id":      func(r *run) record.Text { return r.job.ID },
	"job.day":     func(r *run) record.Text { return r.job.Day },
	"job.crew":    func(r *run) record.Text { return r.job.Crew },
	"unit.id":     func(r *run) record.Text { return record.Text{S: r.unit.ID, At: r.unit.At} },
	"unit.name":   func(r *run) record.Text { return r.unit.Name },
	"unit.serial": func(r *run) record.Text { return r.unit.Serial },
	"unit.area":   func(r *run) record.Text { return r.unit.Area },
	"unit.design": func(r *run) record.Text {
		if d := r.unit.Design; d != nil && d.Name.Known() {
			return d.Name
		}
		return r.unit.DesignName
	},
	"unit.locks_off_first": func(r *run) record.Text {
		first, _ := r.unit.LocksOff()
		return r.locksOff(first)
	},
	"unit.locks_off_last": func(r *run) record.Text {
		_, last := r.unit.LocksOff()
		return r.locksOff(last)
	},
	"unit.size":    func(r *run) record.Text { return r.unit.SizeName },
	"unit.suction": func(r *run) record.Text { return r.unit.Suction },
	"liquid.name": func(r *run) record.Text {
		if r.unit.Liquid == nil {
			return record.Text{}
		}
		return r.unit.Liquid.Name
	},
	"site.name":           func(r *run) record.Text { return record.Text{S: r.siteName(), At: r.c.book.Site.At} },
	"site.energy_control": func(r *run) record.Text { return r.c.book.Site.EnergyControl },
	"site.emergency":      func(r *run) record.Text { return r.c.book.Site.Emergency },
}

// ready gives a text that stands ready everywhere; ok is false where it is not on
// record.
func (r *run) ready(name string) (text string, ok bool) {
	t := readyTexts[name](r)
	return t.S, t.S != ""
}

// locksOff names isolation points; where the record has none, those are meant that
// the walk-down found.
func (r *run) locksOff(points []string) record.Text {
	if len(points) == 0 {
		return record.Text{S: r.word("isolation.as_written"), At: r.unit.At}
	}
	return record.Text{S: strings.Join(points, ", "), At: r.unit.At}
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
	} else if readyTexts[name] != nil {
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
