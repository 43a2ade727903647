// Package fits computes the limits of ISO 286 tolerance classes and what an
// interference fit does: pressure, press force, closing of the bore, and how hot
// a part must be to drop on.
//
// Entry points: Functions, which templates call by name. It belongs here if it
// is about two cylindrical parts that go together. It is not for wear limits
// (wear) nor for the end clearance (clearance).
package fits

import (
	"jobsheaf/internal/calc/material"
	"jobsheaf/internal/quantity"
)

// Modulus gives Young's modulus of a material. Range: the names of package
// material; another is an error that lists them. Source: as package material.
func Modulus(name string) (quantity.Pressure, error) {
	m, err := material.Named(name)
	return m.Modulus, err
}

// Poisson gives Poisson's ratio of a material. Range and source: as Modulus.
func Poisson(name string) (quantity.Number, error) {
	m, err := material.Named(name)
	return m.Poisson, err
}

// Expansion gives the linear expansion of a material, about room temperature.
// Range and source: as Modulus.
func Expansion(name string) (quantity.Expansion, error) {
	m, err := material.Named(name)
	return m.Expansion, err
}

// MaterialSource says where a material's figures come from, for the working
// sheet. Range: as Modulus.
func MaterialSource(name string) (string, error) {
	m, err := material.Named(name)
	return m.Source, err
}
