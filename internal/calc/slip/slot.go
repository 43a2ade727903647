// Package slip computes what an internal gear pump delivers and what leaks back
// through its clearances: flow through one gap, the slip of the whole pump, and
// the end clearance at which a duty is missed.
//
// Entry points: Functions, which templates call by name. It belongs here if it is
// laminar flow through a clearance. It is not for viscosity (liquid) or for wear
// limits (wear).
package slip

import (
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

// laminarLimit is the Reynolds number, by gap and mean velocity, above which the
// flow between plates need not be laminar and every formula here is refused.
// Source: Fox & McDonald, Introduction to Fluid Mechanics, section 8.2.
const laminarLimit = 1400

// The ranges of the inputs. They bound what a pump can be, and are our own.
const (
	leastGap, greatestGap             quantity.Length           = 1e-6, 5e-3
	leastSize, greatestSize           quantity.Length           = 1e-4, 2
	leastPressure, greatestPressure   quantity.Pressure         = 1, 50e6
	leastViscosity, greatestViscosity quantity.DynamicViscosity = 1e-4, 1e3
	leastDensity, greatestDensity     quantity.Density          = 300, 3000
)

// stream is what drives a leak: the pressure difference and the liquid.
type stream struct {
	difference quantity.Pressure
	viscosity  quantity.DynamicViscosity
	density    quantity.Density
}

func (s stream) check() error {
	if err := quantity.Within("pressure difference", s.difference, leastPressure, greatestPressure); err != nil {
		return err
	}
	if err := quantity.Within("dynamic viscosity", s.viscosity, leastViscosity, greatestViscosity); err != nil {
		return err
	}
	return quantity.Within("density", s.density, leastDensity, greatestDensity)
}

// perWidth is the flow through a slot per metre of its width, m²/s: h³Δp/(12μL).
func (s stream) perWidth(gap, length quantity.Length) float64 {
	h := float64(gap)
	return h * h * h * float64(s.difference) / (12 * float64(s.viscosity) * float64(length))
}

// reynolds is ρVh/μ, in which V·h is the flow per width.
func (s stream) reynolds(gap, length quantity.Length) float64 {
	return float64(s.density) * s.perWidth(gap, length) / float64(s.viscosity)
}

func (s stream) laminar(what string, gap, length quantity.Length) error {
	if re := s.reynolds(gap, length); !(re <= laminarLimit) {
		return fmt.Errorf("the Reynolds number in the %s is %.0f, out of range: the formula holds up to %d, where the flow is laminar", what, re, laminarLimit)
	}
	return nil
}

// slot checks one plane gap and gives its flow.
func (s stream) slot(what string, width, gap, length quantity.Length) (quantity.Flow, error) {
	if err := quantity.Within(what+" gap", gap, leastGap, greatestGap); err != nil {
		return 0, err
	}
	if err := quantity.Within(what+" width", width, leastSize, greatestSize); err != nil {
		return 0, err
	}
	if err := quantity.Within(what+" length", length, leastSize, greatestSize); err != nil {
		return 0, err
	}
	if 10*gap > width || gap > length {
		return 0, fmt.Errorf("%s gap %.4g mm is out of range: want at most a tenth of the width (%.4g mm) and no more than the length (%.4g mm)",
			what, gap*1e3, width*1e3, length*1e3)
	}
	if err := s.check(); err != nil {
		return 0, err
	}
	if err := s.laminar(what, gap, length); err != nil {
		return 0, err
	}
	return quantity.Flow(s.perWidth(gap, length) * float64(width)), nil
}

// SlotFlow gives the laminar flow through a slot between parallel plates:
//
//	Q = w h³ Δp / (12 μ L)
//
// with the width w across the flow, the gap h and the length L along it, all in
// m, Δp in Pa, μ in Pa·s; Q in m³/s. The walls stand still: drag by a moving wall
// is left out. Range: h from 1 µm to 5 mm, at most w/10 and at most L; the
// Reynolds number ρ V h/μ at most laminarLimit.
//
// Source: Fox & McDonald, Introduction to Fluid Mechanics, section 8.2, equation 8.6c
// (equation number from memory).
func SlotFlow(width, gap, length quantity.Length, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	return stream{difference, viscosity, density}.slot("slot", width, gap, length)
}

// AnnulusFlow gives the laminar flow through the narrow ring between a shaft and
// a bore that stand concentric, taken as a slot of width π D:
//
//	Q = π D c³ Δp / (12 μ L)
//
// with the diameter D, the radial gap c and the length L in m. Range: that of
// SlotFlow, and c at most D/20, where the slot differs from the exact ring by
// less than 0.1 % if D is the mean diameter, and by 5 % if it is the shaft's.
//
// Source: Fox & McDonald, Introduction to Fluid Mechanics, example 8.1.
func AnnulusFlow(diameter, gap, length quantity.Length, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	return EccentricFlow(diameter, gap, length, 0, difference, viscosity, density)
}

// EccentricFlow is AnnulusFlow with the shaft off the centre by the part ε of
// the radial gap, from 0 (concentric) to 1 (touching):
//
//	Q = π D c³ Δp / (12 μ L) · (1 + 1.5 ε²)
//
// Range: that of AnnulusFlow; the Reynolds number is held to its limit at the widest
// place, c(1+ε).
//
// Source: standard result of lubrication theory, from memory; 2.5 times the concentric
// flow at contact as published (open encyclopedia, Hydraulic clearance).
func EccentricFlow(diameter, gap, length quantity.Length, eccentricity quantity.Number, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	return stream{difference, viscosity, density}.annulus("annulus", diameter, gap, length, eccentricity)
}

func (s stream) annulus(what string, diameter, gap, length quantity.Length, eccentricity quantity.Number) (quantity.Flow, error) {
	if err := quantity.Within(what+" diameter", diameter, leastSize, greatestSize/math.Pi); err != nil {
		return 0, err
	}
	if err := quantity.Within(what+" eccentricity", eccentricity, 0, 1); err != nil {
		return 0, err
	}
	if 20*gap > diameter {
		return 0, fmt.Errorf("%s gap %.4g mm is out of range: want at most a twentieth of the diameter, %.4g mm", what, gap*1e3, diameter*1e3)
	}
	q, err := s.slot(what, math.Pi*diameter, gap, length)
	if err != nil {
		return 0, err
	}
	if err := s.laminar(what+" at its widest", gap*quantity.Length(1+eccentricity), length); err != nil {
		return 0, err
	}
	return q * quantity.Flow(1+1.5*eccentricity*eccentricity), nil
}

// GapForSlip gives the gap at which a slot passes a wanted flow, the inverse of
// SlotFlow:
//
//	h = ∛(12 μ L Q / (w Δp))
//
// Range: a flow from 1e-15 to 1 m³/s; the gap that results lies in the range of
// SlotFlow, else an error.
//
// Source: SlotFlow, solved for the gap.
func GapForSlip(slip quantity.Flow, width, length quantity.Length, difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Length, error) {
	if err := quantity.Within("slip", slip, 1e-15, 1); err != nil {
		return 0, err
	}
	if err := quantity.Within("slot width", width, leastSize, greatestSize); err != nil {
		return 0, err
	}
	if err := quantity.Within("slot length", length, leastSize, greatestSize); err != nil {
		return 0, err
	}
	s := stream{difference, viscosity, density}
	if err := s.check(); err != nil {
		return 0, err
	}
	gap := quantity.Length(math.Cbrt(12 * float64(viscosity) * float64(length) * float64(slip) / (float64(width) * float64(difference))))
	if _, err := s.slot("slot", width, gap, length); err != nil {
		return 0, fmt.Errorf("no gap in range passes that flow: %w", err)
	}
	return gap, nil
}
