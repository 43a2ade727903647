package compute

import (
	"slices"
	"strings"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// readyTexts are the texts that stand ready everywhere.
var readyTexts = map[string]func(*Numbers) record.Text{
	"job.id":      func(n *Numbers) record.Text { return n.Job.ID },
	"job.day":     func(n *Numbers) record.Text { return n.Job.Day },
	"job.crew":    func(n *Numbers) record.Text { return n.Job.Crew },
	"unit.id":     func(n *Numbers) record.Text { return record.Text{S: n.Unit.ID, At: n.Unit.At} },
	"unit.name":   func(n *Numbers) record.Text { return n.Unit.Name },
	"unit.serial": func(n *Numbers) record.Text { return n.Unit.Serial },
	"unit.area":   func(n *Numbers) record.Text { return n.Unit.Area },
	"unit.design": func(n *Numbers) record.Text {
		if d := n.Unit.Design; d != nil && d.Name.Known() {
			return d.Name
		}
		return n.Unit.DesignName
	},
	"unit.locks_off_first": func(n *Numbers) record.Text {
		first, _ := n.Unit.LocksOff()
		return n.locksOff(slices.DeleteFunc(first, n.Unit.AtHeat))
	},
	"unit.locks_off_last": func(n *Numbers) record.Text {
		_, last := n.Unit.LocksOff()
		return n.locksOff(last)
	},
	"job.strip": func(n *Numbers) record.Text {
		if n.Strip() {
			return record.Text{S: "yes", At: n.Job.At}
		}
		return record.Text{S: "no", At: n.Job.At}
	},
	"unit.size": func(n *Numbers) record.Text { return n.Unit.SizeName },
	"unit.machine": func(n *Numbers) record.Text {
		if k := n.Unit.Machine; k != nil {
			return record.Text{S: k.ID, At: k.At}
		}
		return record.Text{}
	},
	"liquid.name": func(n *Numbers) record.Text {
		if n.Unit.Liquid == nil {
			return record.Text{}
		}
		return n.Unit.Liquid.Name
	},
	"site.name":           func(n *Numbers) record.Text { return record.Text{S: n.SiteName(), At: n.Book.Site.At} },
	"site.energy_control": func(n *Numbers) record.Text { return n.Book.Site.EnergyControl },
	"site.emergency":      func(n *Numbers) record.Text { return n.Book.Site.Emergency },
}

// Strip reports whether the paper strip is printed: as the job says, else the procedure,
// else the site.
func (n *Numbers) Strip() bool {
	for _, says := range []*bool{n.Job.Strip, n.Procedure.Strip} {
		if says != nil {
			return *says
		}
	}
	return n.Book.Site.Strip
}

// locksOff names isolation points; where the record has none, those are meant that
// the walk-down found.
func (n *Numbers) locksOff(points []string) record.Text {
	if len(points) == 0 {
		return record.Text{S: n.Word("isolation.as_written"), At: n.Unit.At}
	}
	return record.Text{S: strings.Join(points, ", "), At: n.Unit.At}
}

// energies are the yes-or-no names that stand ready everywhere: energy.heat is whether
// the unit holds heat.
var energies = func() map[string]string {
	out := map[string]string{}
	for _, e := range record.Energies() {
		out["energy."+e] = e
	}
	return out
}()

// holds reports whether the unit holds an energy; known is false for a form, whose unit's
// points are still to be found, of an energy that its kind of machine may hold.
func (n *Numbers) holds(energy string) (yes, known bool) {
	yes = n.Unit.HoldsEnergy(energy)
	return yes, yes || !n.Blank || n.never(energy)
}

// never reports whether no unit of the kind holds an energy. A form that is for any unit
// knows its kind where the procedure is for one alone.
func (n *Numbers) never(energy string) bool {
	kind := n.Unit.Machine
	return kind != nil && (n.Unit.ID != "" || len(n.Procedure.Machines) == 1) && !kind.MayHold(energy) && !n.Unit.HoldsEnergy(energy)
}

// ByKind reports whether a condition asks for nothing but energies that no unit of the kind
// holds: what depends on it is no part of the procedure for such a machine.
func (n *Numbers) ByKind(e *formula.Expr) bool {
	f := n.form(e)
	if f == nil || len(f.refs) == 0 {
		return false
	}
	for _, ref := range f.refs {
		if u := ref.of(""); u.energy == "" || !n.never(u.energy) {
			return false
		}
	}
	return true
}

// lookup gives the value of a name; without reports one that the unit is known
// not to have.
func (n *Numbers) lookup(u use) (v formula.Value, ok, without bool) {
	switch {
	case u.ready != nil:
		p := n.property(u)
		return p.value, p.known && !p.without, p.without
	case u.energy != "":
		yes, known := n.holds(u.energy)
		return formula.Value{Yes: yes}, known, false
	case u.term != nil:
		s, ok := n.Book.Scalar(n.Unit, u.term.Name)
		if !ok {
			return formula.Value{}, false, false
		}
		return fromScalar(s)
	case u.word != nil:
		t := u.word(n)
		return formula.Value{Text: t.S}, t.S != "", false
	case u.reading != nil:
		taken, ok := n.taken[u.reading]
		return formula.Value{SI: taken.SI()}, ok, false
	}
	res := n.Result(u.value, u.member)
	part := res.at(u.end)
	if part == nil {
		return formula.Value{}, false, res.Without || len(res.missing) == 0 && res.err == nil && !res.waiting()
	}
	return *part, true, false
}

// OnRecord gives what a name of a term, or of what stands ready of a joint, feature or
// assembly, has on record; ok is false where it has nothing.
func (n *Numbers) OnRecord(name string) (v formula.Value, typ formula.Type, ok bool) {
	var u use
	if r := n.plans.recorded[name]; r != nil {
		u = r.of("")
	} else if of := procedure.ParseName(name); of.Group != procedure.Single && ready[of.Group][of.Rest] != nil {
		u = propertyOf(of.Group, of.Member, of.Rest)
	} else {
		return v, typ, false
	}
	kind := quantity.KindLength
	if f := n.feature(name); f != nil {
		kind, _ = f.Kind()
	}
	if typ, ok = u.typ(kind); ok {
		v, ok, _ = n.lookup(u)
	}
	return v, typ, ok
}

// feature gives the feature of the unit's size that a name is about; nil where it is about
// none, or the size has none of that name.
func (n *Numbers) feature(name string) *record.Feature {
	of := procedure.ParseName(name)
	if of.Group != procedure.PerFeature || n.Size == nil {
		return nil
	}
	return n.Size.Features[of.Member]
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
