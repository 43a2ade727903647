package fits

import (
	"fmt"
	"math"

	"jobsheaf/internal/calc/material"
	"jobsheaf/internal/quantity"
)

const leastStrength, mostStrength = quantity.Pressure(1e6), quantity.Pressure(1e10)

// Tension gives the stress that a material takes when pulled: its yield strength, or
// the tensile strength of one that breaks before it yields. Range and source: as
// Modulus.
func Tension(name string) (quantity.Pressure, error) {
	m, err := material.Named(name)
	return m.Tension, err
}

// Crushing gives the stress that a material takes when pressed together. Range and
// source: as Modulus.
func Crushing(name string) (quantity.Pressure, error) {
	m, err := material.Named(name)
	return m.Crushing, err
}

// HubUse gives the part of its strength that the outer part of a fit uses at its
// bore, where it is greatest: (σt + p)/R, the greatest shear stress counting (Tresca).
// Above 1 it yields or bursts, and no formula of the fit holds. Range: as HubStress;
// strength 1 MPa to 10 GPa.
// Source: Lamé, as HubStress; Tresca, Dowling, Mechanical Behavior of Materials,
// section 7.4 (section from memory).
func HubUse(pressure quantity.Pressure, diameter, hubOuter quantity.Length, strength quantity.Pressure) (quantity.Number, error) {
	hoop, err := HubStress(pressure, diameter, hubOuter)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("strength", strength, leastStrength, mostStrength); err != nil {
		return 0, err
	}
	return quantity.Number((hoop + pressure) / strength), nil
}

// BushingUse gives the part of its strength that the inner part of a fit uses at its
// bore, σt/Rc, where nothing but the hoop stress acts. Above 1 it is crushed.
// Range: as BushingStress; strength 1 MPa to 10 GPa. Source: Lamé.
func BushingUse(pressure quantity.Pressure, diameter, bore quantity.Length, strength quantity.Pressure) (quantity.Number, error) {
	hoop, err := BushingStress(pressure, diameter, bore)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("strength", strength, leastStrength, mostStrength); err != nil {
		return 0, err
	}
	return quantity.Number(hoop / strength), nil
}

// HotInterference gives the interference of a fit at another temperature, both parts
// having it: δ + (αi − αo) d (T − T cold); at or below zero the parts are loose.
// Range: δ −1 to 1 % of d, d 1 mm to 2 m, temperatures −30 to 200 °C, materials of
// package material. Source: definition of linear expansion.
func HotInterference(interference, diameter quantity.Length, hubMaterial, bushingMaterial string, cold, running quantity.Temperature) (quantity.Length, error) {
	if err := quantity.Within("diameter of the fit", diameter, leastDiameter, mostDiameter); err != nil {
		return 0, err
	}
	if err := quantity.Within("interference", interference, -diameter/100, diameter/100); err != nil {
		return 0, err
	}
	if err := quantity.Within("cold temperature", cold, material.Coldest, material.Hottest); err != nil {
		return 0, err
	}
	if err := quantity.Within("running temperature", running, material.Coldest, material.Hottest); err != nil {
		return 0, err
	}
	hub, err := material.Named(hubMaterial)
	if err != nil {
		return 0, fmt.Errorf("hub: %w", err)
	}
	bushing, err := material.Named(bushingMaterial)
	if err != nil {
		return 0, fmt.Errorf("bushing: %w", err)
	}
	return interference + diameter*quantity.Length(float64(bushing.Expansion-hub.Expansion)*float64(running-cold)), nil
}

// SleevePressure gives the pressure that the inner part of a fit can hold against the
// outer one: the elastic pressure, or the lesser one at which a ductile sleeve yields
// right through and gives way,
//
//	p = min(p elastic, (2/√3) R ln(d/di))
//
// The strength is the greatest that the sleeve may have, not the least of its standard:
// a stronger sleeve presses harder on what holds it. Only for a sleeve that yields
// before it breaks; carbon and ceramic crack instead, see BushingUse.
// Range: p 1 kPa to 1 GPa, d 1 mm to 2 m, bore 0.1 mm to 0.99 d, strength 1 MPa to
// 10 GPa.
// Source: Hill, The Mathematical Theory of Plasticity, tube under pressure, plane
// strain (from memory); held to its equation of equilibrium in the tests.
func SleevePressure(elastic quantity.Pressure, diameter, bore quantity.Length, strength quantity.Pressure) (quantity.Pressure, error) {
	if _, err := BushingUse(elastic, diameter, bore, strength); err != nil {
		return 0, err
	}
	return min(elastic, strength*quantity.Pressure(2/math.Sqrt(3)*math.Log(float64(diameter/bore)))), nil
}
