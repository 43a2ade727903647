package gland

import (
	"cmp"
	"math"

	"jobsheaf/internal/quantity"
)

// FaceHeat gives the heat that the faces of a mechanical seal make: H = p A v f, with the
// pressure p between them (face_pressure), the area A = π/4 (Do² − Di²) of the narrower
// face, its sliding speed at the mean diameter (Do + Di)/2 and the friction f, in W.
// Range: p 0.01 to 10 MPa, Do 5 mm to 1 m, Di from half of it to 0.99, speed 0.1 to 3000
// rad/s, f 0.01 to 0.4 (0.07 is usual, from memory).
//
// Source: friction at a mean radius; the form of API 682, annex on seal calculations
// (from memory).
func FaceHeat(pressure quantity.Pressure, outside, inside quantity.Length, speed quantity.Speed, friction quantity.Number) (quantity.Power, error) {
	if err := cmp.Or(quantity.Within("pressure between the faces", pressure, 1e4, 1e7), quantity.Within("outside of the face", outside, thinnest, thickest),
		quantity.Within("inside of the face", inside, outside/2, 0.99*outside), quantity.Within("speed", speed, 0.1, 3000),
		quantity.Within("friction", friction, 0.01, 0.4)); err != nil {
		return 0, err
	}
	do, di := float64(outside), float64(inside)
	area, mean := math.Pi/4*(do*do-di*di), (do+di)/2
	return quantity.Power(float64(pressure) * area * float64(speed) * mean / 2 * float64(friction)), nil
}

// FlushFlow gives the flush that carries off a heat while it warms: Q = H/(ρ c ΔT), in
// m³/s. Range: heat 1 W to 1 MW, ρ 300 to 3000 kg/m³, c 0.5 to 10 kJ/(kg·K), ΔT 1 to 60 K.
//
// Source: heat balance; Forsthoffer, Best Practice Handbook for Rotating Machinery,
// figure 8.7.4.
func FlushFlow(heat quantity.Power, density quantity.Density, specificHeat quantity.SpecificHeat, rise quantity.TemperatureDifference) (quantity.Flow, error) {
	if err := cmp.Or(quantity.Within("heat", heat, 1, 1e6), liquidWithin(density, specificHeat), quantity.Within("rise of temperature", rise, 1, 60)); err != nil {
		return 0, err
	}
	return quantity.Flow(float64(heat) / (float64(density) * float64(specificHeat) * float64(rise))), nil
}

// FlushRise gives by how much a flush warms, the inverse of FlushFlow: ΔT = H/(ρ c Q).
// Range: flow 0.01 to 1000 L/min, a rise of 0.01 to 100 K; else as FlushFlow.
//
// Source: as FlushFlow.
func FlushRise(heat quantity.Power, density quantity.Density, specificHeat quantity.SpecificHeat, flow quantity.Flow) (quantity.TemperatureDifference, error) {
	if err := cmp.Or(quantity.Within("heat", heat, 1, 1e6), liquidWithin(density, specificHeat), quantity.Within("flow", flow, 1e-5/60, 1.0/60)); err != nil {
		return 0, err
	}
	rise := quantity.TemperatureDifference(float64(heat) / (float64(density) * float64(specificHeat) * float64(flow)))
	return rise, quantity.Within("rise of temperature", rise, 0.01, 100)
}

func liquidWithin(density quantity.Density, specificHeat quantity.SpecificHeat) error {
	return cmp.Or(quantity.Within("density", density, 300, 3000), quantity.Within("specific heat", specificHeat, 500, 10e3))
}
