// Package alignment computes where one shaft stands against another from dial readings
// at their coupling, and how far the feet of the machine that may move have to move.
//
// Entry points: Functions, which templates call by name. It belongs here if it is about
// two coupled shafts or the feet under them. It is not for heat growth of one length
// (growth in clearance), nor for sheaves (belts).
//
// One convention holds throughout. The fixed machine stays, the movable one is set.
// Distances run from the plane in which an offset was read toward the feet of the
// movable machine. The dial is zeroed at one place and read half a turn on: for heights
// zeroed on top and read at the bottom, for sides zeroed on the left and read on the
// right. A plus is a stem pushed in. A result above zero points to where the dial was
// zeroed: up, or to the left.
package alignment

import (
	"cmp"
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

// The widest readings and lengths that are taken for meant: beyond these a dial is out
// of travel and a shaft is not to be turned.
const (
	mostReading quantity.Length = 0.010
	mostOffset  quantity.Length = 0.050
	mostReach   quantity.Length = 10
	mostSlope   quantity.Angle  = 0.050
)

func readingWithin(what string, r quantity.Length) error {
	return quantity.Within(what, r, -mostReading, mostReading)
}

// reachWithin checks a distance along the shafts, of which the shortest is given.
func reachWithin(what string, l, shortest quantity.Length) error {
	return quantity.Within(what, l, shortest, mostReach)
}

// DialClosure gives by how much four readings of one dial miss each other:
// |(top + bottom) − (left + right)|, in m. A dial that goes round on a stiff bracket
// gives zero; what it misses, it has slipped or been touched. Range: readings within
// ±10 mm.
//
// Source: geometry of a circle, common practice.
func DialClosure(top, bottom, left, right quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(readingWithin("top reading", top), readingWithin("bottom reading", bottom),
		readingWithin("left reading", left), readingWithin("right reading", right)); err != nil {
		return 0, err
	}
	return quantity.Length(math.Abs(float64(top + bottom - left - right))), nil
}

// SagCorrected gives a rim reading without the sag of its bracket: R − S, where S is
// what the same bracket reads at the bottom of a stiff pipe, zeroed on top; it is zero or
// less. Sideways a bracket does not sag: S is zero there. Range: reading within ±10 mm,
// sag −10 mm to zero.
//
// Source: common practice, geometry.
func SagCorrected(reading, sag quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(readingWithin("reading", reading), quantity.Within("sag", sag, -mostReading, 0)); err != nil {
		return 0, err
	}
	return reading - sag, nil
}

// side gives the sign of what a rim dial says of the movable shaft, by the shaft on
// which its bracket is clamped.
func side(bracket string) (quantity.Length, error) {
	switch bracket {
	case "fixed":
		return -1, nil
	case "movable":
		return 1, nil
	}
	return 0, fmt.Errorf("no bracket on %q: want fixed or movable, the shaft on which it is clamped", bracket)
}

// RimOffset gives how far the movable shaft stands toward the zero of the dial, above or
// to the left of the fixed one, in the plane of the dial's stem:
//
//	y = ∓ (R − S)/2
//
// with the reading R half a turn from zero and the bracket's sag S; the sign is − for a
// bracket on the fixed shaft and + for one on the movable shaft. In m. Range: as
// SagCorrected.
//
// Source: geometry; Bloch and Geitner, Machinery Component Maintenance and Repair,
// chapter 5.
func RimOffset(reading, sag quantity.Length, bracket string) (quantity.Length, error) {
	r, err := SagCorrected(reading, sag)
	if err != nil {
		return 0, err
	}
	sign, err := side(bracket)
	return sign * r / 2, err
}

// FaceSlope gives the slope of the movable shaft against the fixed one from a dial on the
// face of a coupling half: θ = −F/D, with the reading F half a turn from zero and the
// diameter D on which the stem goes round, in rad. Above zero the movable shaft climbs
// toward the zero of the dial away from the coupling. It is the same on whichever shaft
// the bracket is clamped. Range: F within ±10 mm, D 20 mm to 2 m, slope up to 0.05. Both
// shafts held to one end of their play.
//
// Source: geometry; as RimOffset.
func FaceSlope(face, sweep quantity.Length) (quantity.Angle, error) {
	if err := cmp.Or(readingWithin("face reading", face), quantity.Within("diameter that the stem goes round", sweep, 0.020, 2)); err != nil {
		return 0, err
	}
	slope := quantity.Angle(-face / sweep)
	return slope, quantity.Within("slope", slope, -mostSlope, mostSlope)
}

// SlopeBetween gives the slope of the movable shaft from its offsets in two planes:
// θ = (y₂ − y₁)/L, y₁ in the plane nearer the fixed machine, y₂ in that nearer the
// movable one, in rad. Range: offsets within ±50 mm, L 20 mm to 10 m, slope up to 0.05.
//
// Source: geometry; as RimOffset.
func SlopeBetween(nearFixed, nearMovable, between quantity.Length) (quantity.Angle, error) {
	if err := cmp.Or(offsetWithin("offset near the fixed machine", nearFixed), offsetWithin("offset near the movable machine", nearMovable),
		reachWithin("distance between the planes", between, 0.020)); err != nil {
		return 0, err
	}
	slope := quantity.Angle((nearMovable - nearFixed) / between)
	return slope, quantity.Within("slope", slope, -mostSlope, mostSlope)
}

func offsetWithin(what string, y quantity.Length) error {
	return quantity.Within(what, y, -mostOffset, mostOffset)
}

// OffsetAt gives the offset in another plane of the line of the shaft: y + θ x, such as
// in the middle of the coupling, where it is held to its limit; x is below zero toward
// the fixed machine. In m. Range: y within ±50 mm, slope within ±0.05, x within ±10 m.
//
// Source: geometry.
func OffsetAt(offset quantity.Length, slope quantity.Angle, distance quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(offsetWithin("offset", offset), quantity.Within("slope", slope, -mostSlope, mostSlope),
		reachWithin("distance", distance, -mostReach)); err != nil {
		return 0, err
	}
	return offset + quantity.Length(slope)*distance, nil
}
