// Package running computes what keeps the turning parts running: the turn of a
// lock nut to its next tang, the life and grease of a thrust bearing, and the
// speed, pressure and flatness of seal faces.
//
// Entry points: Functions, which templates call by name. It belongs here if it is
// about bearings, their lock nut or the shaft seal. It is not for their fits (fits)
// nor for tightening torque (bolting).
package running

import (
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

const turn = 2 * math.Pi

// whole checks a count of slots or tangs: a whole number from low to 60.
func whole(what string, n, low quantity.Number) error {
	if err := quantity.Within(what, n, low, 60); err != nil {
		return err
	}
	if n != quantity.Number(math.Trunc(float64(n))) {
		return fmt.Errorf("%s %g is out of range: want a whole number", what, n)
	}
	return nil
}

// SlotAngle gives the largest turn of a lock nut until a slot of it meets one tang
// of its washer: φ = 2π / n, in rad for n slots. Range: 2 to 60 slots.
//
// Source: geometry.
func SlotAngle(slots quantity.Number) (quantity.Angle, error) {
	if err := whole("slots", slots, 2); err != nil {
		return 0, err
	}
	return quantity.Angle(turn / slots), nil
}

// TangAngle gives the largest turn of a lock nut until any slot of it meets any
// tang of a washer whose tangs are evenly spaced: φ = 2π / lcm(n, m), for n slots
// and m tangs. Range: 2 to 60 slots, 1 to 60 tangs.
//
// Source: geometry.
func TangAngle(slots, tangs quantity.Number) (quantity.Angle, error) {
	if err := whole("slots", slots, 2); err != nil {
		return 0, err
	}
	if err := whole("tangs", tangs, 1); err != nil {
		return 0, err
	}
	a, b := int(slots), int(tangs)
	for b != 0 {
		a, b = b, a%b
	}
	return quantity.Angle(turn * float64(a) / float64(slots*tangs)), nil
}

// SlotTravel gives how far the nut advances over SlotAngle: s = lead / n, in m.
// Range: 2 to 60 slots, lead from 0.1 to 50 mm.
//
// Source: geometry.
func SlotTravel(slots quantity.Number, lead quantity.Length) (quantity.Length, error) {
	if err := whole("slots", slots, 2); err != nil {
		return 0, err
	}
	if err := quantity.Within("lead", lead, 1e-4, 0.05); err != nil {
		return 0, err
	}
	return lead / quantity.Length(slots), nil
}

// exponent is that of the life of a rolling bearing. Source: ISO 281.
func exponent(kind string) (float64, error) {
	switch kind {
	case "ball":
		return 3, nil
	case "roller":
		return 10.0 / 3, nil
	}
	return 0, fmt.Errorf("no bearing kind %q: want ball or roller", kind)
}

// The ranges of the bearing inputs.
const (
	leastLoad, greatestLoad quantity.Force = 1, 1e8
	slowest, fastest        quantity.Speed = 0.1, 3000 // 1 to 28 600 rpm
)

// heaviest is the part of the rating up to which ISO 281 lets the life formula be
// used (from memory).
const heaviest = 0.5

// BearingLife gives the basic rating life, which nine in ten bearings outlive:
//
//	L = 10⁶ · (C/P)^p / n
//
// with the dynamic rating C and the equivalent load P in N, p = 3 for "ball" and
// 10/3 for "roller" bearings, and n in turns a second (the speed in rad/s over 2π);
// L in s of running. Range: P from 1 N to C/2; speed from 0.1 to 3000 rad/s.
//
// Source: ISO 281, basic rating life.
func BearingLife(rating, load quantity.Force, kind string, speed quantity.Speed) (quantity.Time, error) {
	p, err := exponent(kind)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("dynamic rating", rating, leastLoad, greatestLoad); err != nil {
		return 0, err
	}
	if err := quantity.Within("bearing load", load, leastLoad, heaviest*rating); err != nil {
		return 0, err
	}
	if err := quantity.Within("speed", speed, slowest, fastest); err != nil {
		return 0, err
	}
	return quantity.Time(1e6 * math.Pow(float64(rating/load), p) / (float64(speed) / turn)), nil
}

// BearingRating gives the dynamic rating that a life needs, the inverse of
// BearingLife:
//
//	C = P · (L n / 10⁶)^(1/p)
//
// Range: as BearingLife; life from 1 h to 10⁷ h, and long enough that P is no more
// than C/2.
//
// Source: ISO 281, basic rating life.
func BearingRating(load quantity.Force, life quantity.Time, kind string, speed quantity.Speed) (quantity.Force, error) {
	p, err := exponent(kind)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("bearing load", load, leastLoad, greatestLoad); err != nil {
		return 0, err
	}
	if err := quantity.Within("life", life, 3600, 3.6e10); err != nil {
		return 0, err
	}
	if err := quantity.Within("speed", speed, slowest, fastest); err != nil {
		return 0, err
	}
	rating := load * quantity.Force(math.Pow(float64(life)*float64(speed)/turn/1e6, 1/p))
	if err := quantity.Within("dynamic rating", rating, load/heaviest, greatestLoad/heaviest); err != nil {
		return 0, err
	}
	return rating, nil
}

// GreaseCharge gives the grease to renew in a rolling bearing: G = 0.005 D B, in g
// with the outside diameter D and the width B in mm. It is not the first filling.
// Range: D from 10 to 500 mm, B from 3 mm to D.
//
// Source: The Tribology Handbook, A20, selection of rolling bearings.
func GreaseCharge(outside, width quantity.Length) (quantity.Mass, error) {
	if err := quantity.Within("outside diameter", outside, 10e-3, 500e-3); err != nil {
		return 0, err
	}
	if err := quantity.Within("width", width, 3e-3, outside); err != nil {
		return 0, err
	}
	return quantity.Mass(0.005 * float64(outside*1e3) * float64(width*1e3) * 1e-3), nil
}
