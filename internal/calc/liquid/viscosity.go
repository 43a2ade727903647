// Package liquid computes what a pumped liquid does: how thick it is at a
// temperature, how its fire and skin hazards class, when it boils, how long a hot
// pump stays too hot to touch, what pressure it makes when it warms in a closed
// space, and how much of it to catch.
//
// Entry points: Functions, which templates call by name. It belongs here if it
// needs the properties of the liquid or its heat and nothing of the pump's
// clearances. It is not for leaks (slip) nor for the wording of hazards, which the
// records hold.
package liquid

import (
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

// The range of ASTM D341 with its full-range terms, 0.21 to 2·10⁷ mm²/s.
const leastKinematic, greatestKinematic quantity.KinematicViscosity = 0.21e-6, 20

// The charts of ASTM D341 span about these temperatures (from memory).
const coldestOil, hottestOil quantity.Temperature = 203.15, 643.15

// leastApart keeps two known points from being so close that rounding of either
// tilts the line through them.
const leastApart quantity.Temperature = 10

// ViscosityAt gives the kinematic viscosity at a temperature from two known
// points:
//
//	log₁₀ log₁₀ Z = A − B log₁₀ T,   Z = ν + 0.7 + exp(−1.47 − 1.84 ν − 0.51 ν²)
//
// with ν in mm²/s and T in K. Only for petroleum oils, see ViscosityBetween for all
// others. Range: viscosities from 0.21 to 2·10⁷ mm²/s,
// temperatures from −70 °C to 370 °C, points at least 10 K apart with the hotter
// one thinner. Beyond the points by more than their own distance is refused (our
// own rule: the standard warns of extrapolation and sets no figure).
//
// Source: ASTM D341-20, section 5, with the terms for viscosities below 2 mm²/s.
func ViscosityAt(temperature, t1 quantity.Temperature, v1 quantity.KinematicViscosity, t2 quantity.Temperature, v2 quantity.KinematicViscosity) (quantity.KinematicViscosity, error) {
	for _, e := range []struct {
		what string
		t    quantity.Temperature
	}{{"temperature", temperature}, {"temperature of the first point", t1}, {"temperature of the second point", t2}} {
		if err := quantity.Within(e.what, e.t, coldestOil, hottestOil); err != nil {
			return 0, err
		}
	}
	for _, e := range []struct {
		what string
		v    quantity.KinematicViscosity
	}{{"viscosity at the first point", v1}, {"viscosity at the second point", v2}} {
		if err := quantity.Within(e.what, e.v, leastKinematic, greatestKinematic); err != nil {
			return 0, err
		}
	}
	if t1 > t2 {
		t1, v1, t2, v2 = t2, v2, t1, v1
	}
	span := t2 - t1
	if span < leastApart {
		return 0, fmt.Errorf("the two points are %.3g K apart, out of range: want at least %g K", float64(span), float64(leastApart))
	}
	if v2 >= v1 {
		return 0, fmt.Errorf("the viscosity at the hotter point (%.6g mm²/s) is out of range: want it below that at the colder one (%.6g mm²/s)", v2*1e6, v1*1e6)
	}
	if err := quantity.Within("temperature, for these two points,", temperature, t1-span, t2+span); err != nil {
		return 0, err
	}
	y1, y2 := walther(v1), walther(v2)
	x1, x2, x := math.Log10(float64(t1)), math.Log10(float64(t2)), math.Log10(float64(temperature))
	v := unwalther(y1 + (y2-y1)*(x-x1)/(x2-x1))
	if err := quantity.Within("viscosity at that temperature", v, leastKinematic, greatestKinematic); err != nil {
		return 0, err
	}
	return v, nil
}

// ViscosityBetween is ViscosityAt for a liquid that is no petroleum oil: by the same
// line, but never beyond the two points, since nothing says that other liquids follow
// it further. Both are for Newtonian liquids: one that thins under shear has less
// viscosity in the pump's gaps than a slow viscometer reads.
// Range: as ViscosityAt, the temperature between the two points.
//
// Source: ASTM D341-20, section 5, used to interpolate; held to water and glycerol.
func ViscosityBetween(temperature, t1 quantity.Temperature, v1 quantity.KinematicViscosity, t2 quantity.Temperature, v2 quantity.KinematicViscosity) (quantity.KinematicViscosity, error) {
	if err := quantity.Within("temperature, for these two points,", temperature, min(t1, t2), max(t1, t2)); err != nil {
		return 0, err
	}
	return ViscosityAt(temperature, t1, v1, t2, v2)
}

// walther is log₁₀ log₁₀ Z, on which the viscosity is a straight line over log T.
func walther(v quantity.KinematicViscosity) float64 {
	n := float64(v) * 1e6
	return math.Log10(math.Log10(n + 0.7 + thin(n)))
}

// unwalther finds the viscosity of a Z. The standard gives a fitted inverse; the
// iteration here closes to the last digit, so that a known point gives itself.
func unwalther(y float64) quantity.KinematicViscosity {
	z := math.Pow(10, math.Pow(10, y))
	n := z
	for range 80 {
		n = z - 0.7 - thin(n)
	}
	return quantity.KinematicViscosity(n * 1e-6)
}

// thin is the term of ASTM D341 that matters below 2 mm²/s.
func thin(n float64) float64 { return math.Exp(-1.47 - 1.84*n - 0.51*n*n) }

// The range of ASTM D2161, 5.4 and table 1: 0 to 350 °F, from 1.81 mm²/s up.
const (
	coldestSaybolt, hottestSaybolt  quantity.Temperature        = 459.67 * 5.0 / 9, 809.67 * 5.0 / 9
	leastSayboltAt, mostSayboltAt   quantity.KinematicViscosity = 1.81e-6, 0.1
	leastSaybolt                    quantity.Number             = 32
	fahrenheit100, fahrenheitDegree                             = 559.67 * 5.0 / 9, 5.0 / 9
)

// SayboltOf gives the Saybolt universal seconds of a kinematic viscosity:
//
//	SUS = [1 + 0.000061 (t − 100)] · { 4.6324 ν + (1 + 0.03264 ν) / [(3930.2 + 262.7 ν + 23.97 ν² + 1.646 ν³)·10⁻⁵] }
//
// with ν in mm²/s and t in °F. Range: 1.81 to 10⁵ mm²/s, 0 to 350 °F.
//
// Source: ASTM D2161-93, section 4, and 5.3 for the temperature.
func SayboltOf(viscosity quantity.KinematicViscosity, temperature quantity.Temperature) (quantity.Number, error) {
	if err := quantity.Within("viscosity", viscosity, leastSayboltAt, mostSayboltAt); err != nil {
		return 0, err
	}
	if err := quantity.Within("temperature", temperature, coldestSaybolt, hottestSaybolt); err != nil {
		return 0, err
	}
	return quantity.Number(saybolt(float64(viscosity)*1e6, temperature)), nil
}

func saybolt(n float64, temperature quantity.Temperature) float64 {
	at100 := 4.6324*n + (1+0.03264*n)/((3930.2+262.7*n+23.97*n*n+1.646*n*n*n)*1e-5)
	return (1 + 0.000061*(float64(temperature)-fahrenheit100)/fahrenheitDegree) * at100
}

// Saybolt gives the kinematic viscosity of Saybolt universal seconds, by
// bisection of SayboltOf. Range: what 1.81 to 10⁵ mm²/s come to at the
// temperature, at least 32 SUS; 0 to 350 °F.
//
// Source: as SayboltOf.
func Saybolt(sus quantity.Number, temperature quantity.Temperature) (quantity.KinematicViscosity, error) {
	if err := quantity.Within("temperature", temperature, coldestSaybolt, hottestSaybolt); err != nil {
		return 0, err
	}
	low, high := float64(leastSayboltAt)*1e6, float64(mostSayboltAt)*1e6
	if err := quantity.Within("Saybolt universal seconds", sus, max(leastSaybolt, quantity.Number(saybolt(low, temperature))), quantity.Number(saybolt(high, temperature))); err != nil {
		return 0, err
	}
	for range 100 {
		if mid := (low + high) / 2; saybolt(mid, temperature) < float64(sus) {
			low = mid
		} else {
			high = mid
		}
	}
	return quantity.KinematicViscosity((low + high) / 2 * 1e-6), nil
}

// Dynamic gives the dynamic viscosity μ = ν ρ, in Pa·s from m²/s and kg/m³.
// Range: 0.05 to 2·10⁷ mm²/s, 300 to 3000 kg/m³.
//
// Source: the definition of kinematic viscosity.
func Dynamic(kinematic quantity.KinematicViscosity, density quantity.Density) (quantity.DynamicViscosity, error) {
	if err := quantity.Within("kinematic viscosity", kinematic, 0.05e-6, 20); err != nil {
		return 0, err
	}
	if err := quantity.Within("density", density, 300, 3000); err != nil {
		return 0, err
	}
	return quantity.DynamicViscosity(float64(kinematic) * float64(density)), nil
}

// Kinematic gives the kinematic viscosity ν = μ / ρ, the inverse of Dynamic.
// Range: 0.05 mPa·s to 20 kPa·s, 300 to 3000 kg/m³.
//
// Source: as Dynamic.
func Kinematic(dynamic quantity.DynamicViscosity, density quantity.Density) (quantity.KinematicViscosity, error) {
	if err := quantity.Within("dynamic viscosity", dynamic, 0.05e-3, 20e3); err != nil {
		return 0, err
	}
	if err := quantity.Within("density", density, 300, 3000); err != nil {
		return 0, err
	}
	return quantity.KinematicViscosity(float64(dynamic) / float64(density)), nil
}
