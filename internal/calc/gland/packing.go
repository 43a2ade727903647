// Package gland computes what keeps a turning shaft tight where it leaves its casing: the
// rings of a packed stuffing box, what drips from it, how a gland is moved, and the flush
// that carries off the heat of a mechanical seal.
//
// Entry points: Functions, which templates call by name. It belongs here if it is about
// packing, a gland or a flush. It is not for the faces of a seal (running) nor for the
// torque of gland bolts (bolting).
package gland

import (
	"cmp"
	"math"

	"jobsheaf/internal/quantity"
)

// The sizes of shafts and packing that are taken for meant.
const (
	thinnest, thickest quantity.Length = 5e-3, 1
	leastSection       quantity.Length = 2e-3
	mostSection        quantity.Length = 60e-3
)

func shaftWithin(d quantity.Length) error {
	return quantity.Within("diameter of the shaft", d, thinnest, thickest)
}

func sectionWithin(s quantity.Length) error {
	return quantity.Within("section of the packing", s, leastSection, mostSection)
}

// PackingSection gives the side of a square packing: s = (D − d)/2 from the bore D of the
// box and the diameter d of the shaft or sleeve as measured, in m. Range: d 5 mm to 1 m,
// s 2 to 60 mm.
//
// Source: Mobley, Root Cause Failure Analysis, chapter 18.
func PackingSection(box, shaft quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(shaftWithin(shaft), quantity.Within("bore of the box", box, shaft+2*leastSection, shaft+2*mostSection)); err != nil {
		return 0, err
	}
	return (box - shaft) / 2, nil
}

// PackingRings gives how many rings go into a box, rounded down: n = (L − l)/s, with the
// depth L of the box, what in it no ring may fill, l (the lantern ring and how far the
// gland has to enter), and the section s. The packing set before a gland is drawn up
// gives a little. Range: L from one section to 1 m, l from zero up to L − s.
//
// Source: common practice, geometry.
func PackingRings(depth, taken, section quantity.Length) (quantity.Number, error) {
	if err := cmp.Or(sectionWithin(section), quantity.Within("depth of the box", depth, section, 1),
		quantity.Within("depth that no ring fills", taken, 0, depth-section)); err != nil {
		return 0, err
	}
	// A whole number of sections must not lose a ring to the rounding of a conversion.
	return quantity.Number(math.Floor(float64((depth-taken)/section) + 1e-9)), nil
}

// RingLength gives the length of packing for one ring, along its middle: π (d + s), in m.
// What a slanting cut or a gap between the ends asks for is added or taken off after.
// Range: d 5 mm to 1 m, s 2 to 60 mm.
//
// Source: Mobley, Root Cause Failure Analysis, chapter 18.
func RingLength(shaft, section quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(shaftWithin(shaft), sectionWithin(section)); err != nil {
		return 0, err
	}
	return math.Pi * (shaft + section), nil
}

// PackingLength gives the packing that a box takes: n π (d + s), in m, with nothing for
// cuts. Range: 1 to 20 rings; else as RingLength.
//
// Source: as RingLength.
func PackingLength(rings quantity.Number, shaft, section quantity.Length) (quantity.Length, error) {
	if err := quantity.Within("number of rings", rings, 1, 20); err != nil {
		return 0, err
	}
	one, err := RingLength(shaft, section)
	return quantity.Length(rings) * one, err
}

// dropsWithin checks how many drops a millilitre makes: 10 of a thick or wide drop, 60
// of a fine one.
func dropsWithin(perML quantity.Number) error {
	return quantity.Within("drops a millilitre", perML, 10, 60)
}

// DripFlow gives what a number of drops a minute comes to: Q = n/k, in m³/s with k drops
// in a millilitre. Water makes about 20 (common practice). Range: 0.1 to 1000 drops a
// minute, k 10 to 60; beyond some 200 a minute drops run together.
//
// Source: U.S. Army course MD0904, drop factor.
func DripFlow(perMinute, perML quantity.Number) (quantity.Flow, error) {
	if err := cmp.Or(quantity.Within("drops a minute", perMinute, 0.1, 1000), dropsWithin(perML)); err != nil {
		return 0, err
	}
	return quantity.Flow(perMinute / perML * 1e-6 / 60), nil
}

// DripRate gives the drops a minute of a flow, the inverse of DripFlow: n = Q k. Range:
// flow 0.01 to 100 mL/min, k 10 to 60.
//
// Source: as DripFlow.
func DripRate(flow quantity.Flow, perML quantity.Number) (quantity.Number, error) {
	if err := cmp.Or(quantity.Within("flow", flow, 1e-8/60, 1e-4/60), dropsWithin(perML)); err != nil {
		return 0, err
	}
	return quantity.Number(flow) * 1e6 * 60 * perML, nil
}

// GlandTravel gives how far a gland moves for flats of its hexagon nuts, all turned
// alike: s = n P/6, in m with the pitch P. Range: 0.1 to 60 flats, pitch 0.2 to 10 mm.
//
// Source: geometry of the thread.
func GlandTravel(flats quantity.Number, pitch quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(quantity.Within("flats", flats, 0.1, 60), quantity.Within("pitch", pitch, 2e-4, 0.010)); err != nil {
		return 0, err
	}
	return quantity.Length(flats) * pitch / 6, nil
}
