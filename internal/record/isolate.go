package record

import (
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// points counts the isolation points of some energies. What stands apart, such as the
// tracing of the pipes, shuts off nothing of the machine and does not count.
func (u *Unit) points(energies ...string) int {
	n := 0
	for _, p := range u.Isolate {
		if (p.place == nil || !p.place.Apart) && slices.Contains(energies, p.Energy.S) {
			n++
		}
	}
	return n
}

// Held is an energy that a unit holds by its record.
type Held struct {
	*Energy
	At     diag.Pos // what says so; the unit's own place where it is supposed
	Points int      // isolation points on record
}

// Holds gives the energies of its kind that a unit holds: those that its record shows,
// and those that are supposed of it since nothing else could be.
func (u *Unit) Holds() []Held {
	var out []Held
	if u.Machine == nil {
		return nil
	}
	for i := range u.Machine.energies {
		e := &u.Machine.energies[i]
		at, shown := u.shows(e)
		if shown || e.unless != nil && u.points(e.unless...) == 0 {
			out = append(out, Held{e, at, u.points(append([]string{e.Energy}, e.as...)...)})
		}
	}
	return out
}

// Unisolated gives the energies that a unit holds and that none of its isolation
// points shuts off. Which energy follows from which record its kind says.
func (u *Unit) Unisolated() []string {
	var gaps []string
	for _, h := range u.Holds() {
		if h.Points == 0 {
			gaps = append(gaps, h.Energy.Energy)
		}
	}
	return gaps
}

// HoldsEnergy reports whether a unit holds an energy: by its record, or since a point of
// it stands on its isolation table.
func (u *Unit) HoldsEnergy(name string) bool {
	if slices.ContainsFunc(u.Holds(), func(h Held) bool { return h.Energy.Energy == name }) {
		return true
	}
	like := []string{name}
	if u.Machine != nil {
		for _, e := range u.Machine.energies {
			if e.Energy == name {
				like = append(like, e.as...)
			}
		}
	}
	return u.points(like...) > 0
}

// shows reports whether a unit's record shows an energy, with the place that does; else
// the unit's own.
func (u *Unit) shows(e *Energy) (at diag.Pos, shown bool) {
	at = u.At
	first := func(p diag.Pos) {
		if !shown || p.Compare(at) < 0 {
			at, shown = p, true
		}
	}
	records := []map[string]Scalar{u.Scalars}
	if u.Size != nil {
		records = append(records, u.Size.Scalars)
	}
	for _, show := range e.shownBy {
		if show.by.S == "duty.liquid" && u.LiquidName.Known() {
			first(u.LiquidName.At)
		}
		for _, of := range records {
			for name, s := range of {
				if s.Term.Of == "" && (name == show.by.S || strings.HasPrefix(name, show.by.S+".")) && s.says(show.is) {
					first(s.At)
				}
			}
		}
	}
	return at, shown
}

// says reports whether what is on record is the word that is asked for, or where none is,
// neither false nor none.
func (s *Scalar) says(word Text) bool {
	if word.Known() {
		return s.Text == word.S
	}
	return (s.Form != FormYesNo || s.Yes) && s.Form != FormNone && s.Text != "none"
}

// Has reports whether a unit has a place: one that depends on a term where that is true,
// or a word other than none.
func (u *Unit) Has(p *Place) bool {
	of := u.Scalars[p.If.S]
	return !p.If.Known() || of.Yes || of.Text != "" && of.Text != "none"
}

// AtDrive reports whether a point holds back what drives the unit: its lock comes
// off last. Where the record does not say where a point is, electrical and mechanical
// ones are at the drive.
func (p *IsolationPoint) AtDrive() bool {
	if p.Spot.Known() {
		return p.place != nil && p.place.Is == IsDrive
	}
	return p.Energy.S == "electrical" || p.Energy.S == "mechanical"
}

// Role gives the role of a point's place, such as IsVent; IsElsewhere where the record
// does not say where the point is, and it is not at the drive.
func (p *IsolationPoint) Role() string {
	switch {
	case p.AtDrive():
		return IsDrive
	case p.place != nil:
		return p.place.Is
	}
	return IsElsewhere
}

// Tagged reports whether a point has a tag and no lock: a vent or a drain, which the
// work opens, or what its kind says is let off.
func (p *IsolationPoint) Tagged() bool {
	return p.Role() == IsVent || p.Role() == IsDrain || p.place != nil && p.place.Tags
}

// AtHeat reports whether a point of that name shuts heat off, as the supply of a jacket
// does: its lock comes off where it warms the unit, before the others.
func (u *Unit) AtHeat(point string) bool {
	return slices.ContainsFunc(u.Isolate, func(p IsolationPoint) bool {
		return p.Point.S == point && p.place != nil && p.place.Is == isBlock && p.place.Of == "heat"
	})
}

// LocksOff gives the names of the points in the order in which their locks come off:
// first those away from the drive, the last of the list first, without vents and drains,
// which have no lock; then those at the drive.
func (u *Unit) LocksOff() (first, last []string) {
	for i := len(u.Isolate) - 1; i >= 0; i-- {
		switch p := &u.Isolate[i]; {
		case p.AtDrive():
			last = append(last, p.Point.S)
		case !p.Tagged():
			first = append(first, p.Point.S)
		}
	}
	return first, last
}
