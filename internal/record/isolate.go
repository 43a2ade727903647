package record

import (
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// Gap is an energy that a unit holds by its record, for which no isolation point
// is on record.
type Gap struct {
	Energy string
	At     diag.Pos // what says that the unit holds it
}

// Points counts the isolation points of some energies.
func (u *Unit) Points(energies ...string) int {
	n := 0
	for _, p := range u.Isolate {
		if slices.Contains(energies, p.Energy.S) {
			n++
		}
	}
	return n
}

// Unisolated gives the energies that a unit holds and that none of its isolation
// points shuts off: electrical where its drive is on record, or where no point is
// for anything else that could drive it; liquid where it pumps one; heat where it
// has a jacket. Which energy follows from which record is our own reading.
func (u *Unit) Unisolated() []Gap {
	var gaps []Gap
	if at, driven := u.drive(); u.Points("electrical") == 0 && (driven || u.Points("mechanical", "air") == 0) {
		gaps = append(gaps, Gap{"electrical", at})
	}
	if u.LiquidName.Known() && u.Points("liquid", "pressure", "chemical") == 0 {
		gaps = append(gaps, Gap{"liquid", u.LiquidName.At})
	}
	if jacket, ok := u.Scalars["built.jacket"]; ok && jacket.Yes && u.Points("heat") == 0 {
		gaps = append(gaps, Gap{"heat", jacket.At})
	}
	return gaps
}

// AtDrive reports whether a point holds back what drives the unit: its lock comes
// off last. Where the record does not say where a point is, electrical and mechanical
// ones are at the drive.
func (p *IsolationPoint) AtDrive() bool {
	if p.Spot.Known() {
		return p.Spot.S == "drive"
	}
	return p.Energy.S == "electrical" || p.Energy.S == "mechanical"
}

// Tagged reports whether a point has a tag and no lock: a vent or a drain, which the
// work opens.
func (p *IsolationPoint) Tagged() bool {
	return slices.Contains([]string{"drain", "vent", "jacket drain"}, p.Spot.S)
}

// AtJacket reports whether a point shuts the jacket off: its lock comes off where the
// jacket warms the pump, before the others.
func (u *Unit) AtJacket(point string) bool {
	return slices.ContainsFunc(u.Isolate, func(p IsolationPoint) bool {
		return p.Point.S == point && slices.Contains([]string{"jacket supply", "jacket return"}, p.Spot.S)
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

// drive gives the place of the first thing that the record says of the drive; the
// unit's own where it says nothing.
func (u *Unit) drive() (at diag.Pos, known bool) {
	at = u.At
	for name, s := range u.Scalars {
		if strings.HasPrefix(name, "drive.") && (!known || s.At.Compare(at) < 0) {
			at, known = s.At, true
		}
	}
	return at, known
}

// Spots lists the places that an isolation point may have.
func Spots() []string { return slices.Clone(spots) }
