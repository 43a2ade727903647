package liquid

import (
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

const leastVapour, greatestVapour quantity.AbsolutePressure = 1, 22e6

// AntoineBoiling gives the temperature at which a liquid boils under a pressure,
// from the constants of its vapour pressure equation:
//
//	T = B / (A − log₁₀ p) − C
//
// with p in bar and T in K, the form in which NIST lists them; low and high are
// the temperatures between which the constants hold. Range: the result lies
// between them; pressure from 1 Pa to 220 bar.
//
// Source: Antoine's equation, as in the NIST Chemistry WebBook.
func AntoineBoiling(a, b, c quantity.Number, low, high quantity.Temperature, pressure quantity.AbsolutePressure) (quantity.Temperature, error) {
	for _, e := range []struct {
		what string
		n    quantity.Number
		low  quantity.Number
		high quantity.Number
	}{{"Antoine A", a, 0.1, 20}, {"Antoine B", b, 1, 1e4}, {"Antoine C", c, -500, 500}} {
		if err := quantity.Within(e.what, e.n, e.low, e.high); err != nil {
			return 0, err
		}
	}
	if err := quantity.Within("lower end of the Antoine constants", low, coldestBoil, hottestBoil); err != nil {
		return 0, err
	}
	if err := quantity.Within("upper end of the Antoine constants", high, coldestBoil, hottestBoil); err != nil {
		return 0, err
	}
	if high <= low {
		return 0, fmt.Errorf("the constants hold from %.5g to %.5g °C: want the lower temperature first", low-273.15, high-273.15)
	}
	if err := quantity.Within("pressure", pressure, leastVapour, greatestVapour); err != nil {
		return 0, err
	}
	t := quantity.Temperature(float64(b)/(float64(a)-math.Log10(float64(pressure)/1e5)) - float64(c))
	if err := quantity.Within("boiling point by these constants", t, low, high); err != nil {
		return 0, err
	}
	return t, nil
}

// BoilingAt gives the temperature at which a liquid boils under a pressure, from
// two known points of its vapour pressure:
//
//	1/T = 1/T₁ + (1/T₂ − 1/T₁) · ln(p/p₁) / ln(p₂/p₁)
//
// with T in K and absolute pressures. The heat of evaporation is taken as
// constant, which for water is within 0.3 K between points 50 K apart. Range:
// pressures from 1 Pa to 220 bar, points at least 5 K and a tenth of the pressure
// apart with the hotter one higher; beyond the points by no more than half their
// distance in ln p (our own rule).
//
// Source: Clausius-Clapeyron equation, two-point form, OpenStax Chemistry 2e, section 10.3.
func BoilingAt(pressure quantity.AbsolutePressure, t1 quantity.Temperature, p1 quantity.AbsolutePressure, t2 quantity.Temperature, p2 quantity.AbsolutePressure) (quantity.Temperature, error) {
	for _, e := range []struct {
		what string
		p    quantity.AbsolutePressure
	}{{"pressure", pressure}, {"vapour pressure at the first point", p1}, {"vapour pressure at the second point", p2}} {
		if err := quantity.Within(e.what, e.p, leastVapour, greatestVapour); err != nil {
			return 0, err
		}
	}
	for _, e := range []struct {
		what string
		t    quantity.Temperature
	}{{"temperature of the first point", t1}, {"temperature of the second point", t2}} {
		if err := quantity.Within(e.what, e.t, coldestBoil, hottestBoil); err != nil {
			return 0, err
		}
	}
	if t1 > t2 {
		t1, p1, t2, p2 = t2, p2, t1, p1
	}
	if t2-t1 < 5 || p2 < 1.1*p1 {
		return 0, fmt.Errorf("the two points (%.5g °C at %.4g bar, %.5g °C at %.4g bar) do not fit: want them at least 5 K apart and the hotter one at a tenth more pressure",
			t1-273.15, p1/1e5, t2-273.15, p2/1e5)
	}
	low, high := carried(p1, p2)
	if err := quantity.Within("pressure, for these two points,", pressure, low, high); err != nil {
		return 0, err
	}
	part := math.Log(float64(pressure/p1)) / math.Log(float64(p2/p1))
	return quantity.Temperature(1 / (1/float64(t1) + (1/float64(t2)-1/float64(t1))*part)), nil
}

// carried gives the pressures to which two points of vapour pressure carry, the lower
// one first.
func carried(p1, p2 quantity.AbsolutePressure) (low, high quantity.AbsolutePressure) {
	beyond := quantity.AbsolutePressure(math.Sqrt(float64(p2 / p1)))
	return p1 / beyond, p2 * beyond
}

// BoilingKnown reports whether two points of vapour pressure, at the pressures p1 and
// p2, carry to a pressure: whether BoilingAt answers for it. Range: pressures from
// 1 Pa to 220 bar, the points a tenth of the pressure apart.
//
// Source: as BoilingAt.
func BoilingKnown(pressure, p1, p2 quantity.AbsolutePressure) (bool, error) {
	for _, e := range []struct {
		what string
		p    quantity.AbsolutePressure
	}{{"pressure", pressure}, {"vapour pressure at the first point", p1}, {"vapour pressure at the second point", p2}} {
		if err := quantity.Within(e.what, e.p, leastVapour, greatestVapour); err != nil {
			return false, err
		}
	}
	low, high := carried(min(p1, p2), max(p1, p2))
	return pressure >= low && pressure <= high, nil
}
