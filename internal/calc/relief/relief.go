// Package relief computes what a spring-loaded relief valve is held to on a test bench:
// where it opens, within what band, where it is full open and closes, how tight its seat
// is, and what a turn of its screw does.
//
// Entry points: Functions, which templates call by name. It belongs here if it is read or
// set on the bench. It is not for sizing a valve, nor for pilot-operated ones.
package relief

import (
	"cmp"
	"math"

	"jobsheaf/internal/quantity"
)

// psi and inch are the units in which the standards of relief valves state their steps.
const (
	psi  = 6894.757293168361 // Pa
	inch = 0.0254            // m
	// leastSet and mostSet are the set pressures that the standards cover, and a little
	// below for valves of liquids.
	leastSet, mostSet quantity.GaugePressure = 5 * psi, 6000 * psi
)

func setWithin(set quantity.GaugePressure) error {
	return quantity.Within("set pressure", set, leastSet, mostSet)
}

// SetTolerance gives by how much the opening of a valve may miss its set pressure, up or
// down: 2 psi up to 70 psi, 3 % above, in Pa. Range: 5 to 6000 psi.
//
// Source: ASME BPVC Section VIII Division 1, UG-134(d)(1), since 2021 in Section XIII.
func SetTolerance(set quantity.GaugePressure) (quantity.Pressure, error) {
	if err := setWithin(set); err != nil {
		return 0, err
	}
	if set <= 70*psi*(1+1e-9) {
		return 2 * psi, nil
	}
	return quantity.Pressure(0.03 * set), nil
}

// TestPressure gives the pressure at which a valve is set to open on the bench, its cold
// differential test pressure: (p set − p back) k, with the constant back pressure in
// service, from zero for a balanced valve, and the factor k for a spring that runs hot, from
// the valve's own record, 1 for a cold one. In Pa. Range: 5 to 6000 psi, back pressure
// zero to 0.9 of it, k 1 to 1.1.
//
// Source: ISO 4126-1, definition of cold differential test pressure; the difference as
// published.
func TestPressure(set quantity.GaugePressure, back quantity.GaugePressure, factor quantity.Number) (quantity.GaugePressure, error) {
	if err := cmp.Or(setWithin(set), quantity.Within("constant back pressure", back, 0, 0.9*set), quantity.Within("factor of the hot spring", factor, 1, 1.1)); err != nil {
		return 0, err
	}
	return (set - back) * quantity.GaugePressure(factor), nil
}

// FullOpen gives the pressure at which a valve must be full open: 10 % above its set
// pressure, and at least 3 psi. In Pa. Range: 5 to 6000 psi. For a single valve that is
// not there for fire alone.
//
// Source: ASME BPVC Section VIII Division 1, UG-125(c) (from memory); 10 % as published.
func FullOpen(set quantity.GaugePressure) (quantity.GaugePressure, error) {
	return set + max(0.1*set, 3*psi), setWithin(set)
}

// Blowdown gives by what part of its set pressure a valve closes below it:
// b = (p set − p reseat)/p set. Range: reseat from half the set pressure up to it.
//
// Source: ASME PTC 25 and ISO 4126-1, definition of blowdown.
func Blowdown(set, reseat quantity.GaugePressure) (quantity.Number, error) {
	if err := cmp.Or(setWithin(set), quantity.Within("reseating pressure", reseat, set/2, set)); err != nil {
		return 0, err
	}
	return quantity.Number((set - reseat) / set), nil
}

// Reseat gives the pressure at which a valve closes, the inverse of Blowdown:
// p set (1 − b). Range: b 0 to 0.5.
//
// Source: as Blowdown.
func Reseat(set quantity.GaugePressure, blowdown quantity.Number) (quantity.GaugePressure, error) {
	if err := cmp.Or(setWithin(set), quantity.Within("blowdown", blowdown, 0, 0.5)); err != nil {
		return 0, err
	}
	return set * quantity.GaugePressure(1-blowdown), nil
}

// TightnessPressure gives the pressure at which the seat is tested: 90 % of the set
// pressure, and at least 5 psi below it. In Pa. Range: 15 to 6000 psi.
//
// Source: API 527.
func TightnessPressure(set quantity.GaugePressure) (quantity.GaugePressure, error) {
	return min(0.9*set, set-5*psi), quantity.Within("set pressure", set, 15*psi, mostSet)
}

// bubbles are the most bubbles a minute of a metal seat in air, up to a set pressure, for
// orifices up to 0.307 in and for larger ones.
//
// Source: API 527, table 1 (from memory).
var bubbles = []struct {
	upTo         quantity.GaugePressure
	small, large quantity.Number
}{
	{1000 * psi, 40, 20}, {1500 * psi, 60, 30}, {2000 * psi, 80, 40}, {2500 * psi, 100, 50}, {3000 * psi, 100, 60}, {4000 * psi, 100, 80}, {6000 * psi, 100, 100},
}

// SeatBubbles gives the most bubbles a minute that a metal seat may leak of air at
// TightnessPressure, through a tube of 5/16 in half an inch under water; a soft seat may
// leak none. Between two steps of set pressure the lower count holds. Range: 15 to 6000
// psi; effective orifice 1 mm to 0.5 m.
//
// Source: API 527, table 1 (from memory).
func SeatBubbles(set quantity.GaugePressure, orifice quantity.Length) (quantity.Number, error) {
	if err := cmp.Or(quantity.Within("set pressure", set, 15*psi, mostSet), quantity.Within("diameter of the effective orifice", orifice, 1e-3, 0.5)); err != nil {
		return 0, err
	}
	// The count of a step is allowed from its own pressure on, so that what lies between
	// takes that of the step below.
	i := len(bubbles) - 1
	for i > 0 && set < bubbles[i].upTo*(1-1e-9) {
		i--
	}
	if orifice <= 0.307*inch*(1+1e-9) {
		return bubbles[i].small, nil
	}
	return bubbles[i].large, nil
}

// SeatWater gives the most water that a metal seat may leak at TightnessPressure: 10 cm³
// an hour for each inch of its nominal inlet, and 10 cm³ an hour below one inch; a soft
// seat may leak none. In m³/s. Range: inlet 5 mm to 0.5 m.
//
// Source: API 527.
func SeatWater(inlet quantity.Length) (quantity.Flow, error) {
	inches := max(1, float64(inlet)/inch)
	return quantity.Flow(10 * inches * 1e-6 / 3600), quantity.Within("nominal inlet", inlet, 5e-3, 0.5)
}

func springWithin(rate quantity.Stiffness, seat, pitch quantity.Length) error {
	return cmp.Or(quantity.Within("spring rate", rate, 100, 1e8), quantity.Within("seat diameter", seat, 2e-3, 0.5), quantity.Within("pitch of the screw", pitch, 2e-4, 0.010))
}

// ChangeOfTurn gives by how much the set pressure rises with each turn of the screw:
// Δp = k P/(π/4 d²), with the spring's rate k, the screw's pitch P and the diameter d on
// which the seat seals. In Pa. Range: k 0.1 N/mm to 100 kN/mm, d 2 mm to 0.5 m, P 0.2 to
// 10 mm, result 1 kPa to 100 MPa.
//
// Source: balance of spring and pressure.
func ChangeOfTurn(rate quantity.Stiffness, seat, pitch quantity.Length) (quantity.Pressure, error) {
	if err := springWithin(rate, seat, pitch); err != nil {
		return 0, err
	}
	p := quantity.Pressure(float64(rate) * float64(pitch) / (math.Pi / 4 * float64(seat) * float64(seat)))
	return p, quantity.Within("change with a turn", p, 1e3, 1e8)
}

// TurnsToSet gives the turns of the screw from where a valve opened to where it is to
// open: n = (p wanted − p found)/Δp, Δp as ChangeOfTurn; below zero it is let out. Range:
// pressures zero to 6000 psi, up to 20 turns either way.
//
// Source: as ChangeOfTurn.
func TurnsToSet(wanted, found quantity.GaugePressure, rate quantity.Stiffness, seat, pitch quantity.Length) (quantity.Number, error) {
	turn, err := ChangeOfTurn(rate, seat, pitch)
	if err := cmp.Or(err, setWithin(wanted), quantity.Within("pressure found", found, 0, mostSet)); err != nil {
		return 0, err
	}
	n := quantity.Number(float64(wanted-found) / float64(turn))
	return n, quantity.Within("turns", n, -20, 20)
}
