// Package hydraulics computes how pressure, head and power follow the flow: the drop over
// a strainer, clean and dirty, what a centrifugal pump gives at another speed, and the
// running clearances on which it lives.
//
// Entry points: Functions, which templates call by name. It belongs here if it scales
// with the flow of a turbulent liquid or is a clearance of a centrifugal pump. It is not
// for laminar gaps (slip) nor for the pump's shaft (alignment).
package hydraulics

import (
	"cmp"
	"math"

	"jobsheaf/internal/quantity"
)

const (
	leastFlow, mostFlow quantity.Flow     = 1e-9, 10
	leastDrop, mostDrop quantity.Pressure = 1, 1e8
	thin, thick         quantity.Density  = 300, 3000
	water               quantity.Density  = 1000
	gravity                               = 9.80665 // m/s²
)

func flowWithin(what string, q quantity.Flow) error {
	return quantity.Within(what, q, leastFlow, mostFlow)
}

func dropWithin(what string, p quantity.Pressure) error {
	return quantity.Within(what, p, leastDrop, mostDrop)
}

// DropAtFlow gives the pressure drop at another flow: Δp₂ = Δp₁ (Q₂/Q₁)², for the same
// passage and liquid while the flow is turbulent. In Pa. Range: drop 1 Pa to 100 MPa,
// flows 10⁻⁹ to 10 m³/s, Q₂ from a tenth to ten times Q₁.
//
// Source: Fox & McDonald, Introduction to Fluid Mechanics, minor losses.
func DropAtFlow(drop quantity.Pressure, flow, other quantity.Flow) (quantity.Pressure, error) {
	if err := cmp.Or(dropWithin("pressure drop", drop), flowWithin("flow", flow), quantity.Within("other flow", other, flow/10, 10*flow)); err != nil {
		return 0, err
	}
	r := other / flow
	return drop * quantity.Pressure(r*r), nil
}

// DropByKv gives the pressure drop of a passage by its flow coefficient:
// Δp = 1 bar (Q/Kv)² ρ/1000, with Kv the flow of water at a drop of 1 bar. In Pa. Range:
// flows 10⁻⁹ to 10 m³/s, ρ 300 to 3000 kg/m³, result 1 Pa to 100 MPa. Not for thick
// liquids, which drop more.
//
// Source: IEC 60534-2-1, flow coefficient Kv (from memory); as published of it (seen).
func DropByKv(flow, kv quantity.Flow, density quantity.Density) (quantity.Pressure, error) {
	if err := cmp.Or(flowWithin("flow", flow), flowWithin("flow coefficient", kv), quantity.Within("density", density, thin, thick)); err != nil {
		return 0, err
	}
	r := flow / kv
	p := quantity.Pressure(1e5*float64(r*r)) * quantity.Pressure(density/water)
	return p, dropWithin("pressure drop", p)
}

// KvOf gives the flow coefficient of a passage from a drop that was read, the inverse of
// DropByKv: Kv = Q √(1 bar ρ/(1000 Δp)). Range: as DropByKv.
//
// Source: as DropByKv.
func KvOf(flow quantity.Flow, drop quantity.Pressure, density quantity.Density) (quantity.Flow, error) {
	if err := cmp.Or(flowWithin("flow", flow), dropWithin("pressure drop", drop), quantity.Within("density", density, thin, thick)); err != nil {
		return 0, err
	}
	return flow * quantity.Flow(math.Sqrt(1e5*float64(density/water)/float64(drop))), nil
}

// BlockedShare gives the part of a strainer's open area that is blocked, from its drop
// clean and dirty at one flow: s = 1 − √(Δp clean/Δp dirty). Range: dirty from clean up to
// 10 000 times it. It takes all of the drop for the screen's: where the body has a good
// part of it, more is blocked.
//
// Source: a screen's drop goes with the square of the speed in its holes; common practice.
func BlockedShare(clean, dirty quantity.Pressure) (quantity.Number, error) {
	if err := cmp.Or(dropWithin("clean drop", clean), quantity.Within("dirty drop", dirty, clean, 1e4*clean)); err != nil {
		return 0, err
	}
	return quantity.Number(1 - math.Sqrt(float64(clean/dirty))), nil
}

// DirtyDrop gives the drop of a strainer of whose open area a part is blocked, the inverse
// of BlockedShare: Δp dirty = Δp clean/(1 − s)². Range: s 0 to 0.95.
//
// Source: as BlockedShare.
func DirtyDrop(clean quantity.Pressure, share quantity.Number) (quantity.Pressure, error) {
	if err := cmp.Or(dropWithin("clean drop", clean), quantity.Within("blocked share", share, 0, 0.95)); err != nil {
		return 0, err
	}
	return clean / quantity.Pressure((1-share)*(1-share)), nil
}

// HeadOf gives the height of liquid that a pressure stands for: H = Δp/(ρ g), in m. Range:
// drop 1 Pa to 100 MPa, ρ 300 to 3000 kg/m³.
//
// Source: hydrostatics; Fox & McDonald, Introduction to Fluid Mechanics, chapter 3.
func HeadOf(pressure quantity.Pressure, density quantity.Density) (quantity.Length, error) {
	if err := cmp.Or(dropWithin("pressure", pressure), quantity.Within("density", density, thin, thick)); err != nil {
		return 0, err
	}
	return quantity.Length(float64(pressure) / float64(density) / gravity), nil
}

// PressureOf gives the pressure of a height of liquid, the inverse of HeadOf: Δp = ρ g H.
// Range: H 0.1 mm to 5 km.
//
// Source: as HeadOf.
func PressureOf(head quantity.Length, density quantity.Density) (quantity.Pressure, error) {
	if err := cmp.Or(quantity.Within("head", head, 1e-4, 5000), quantity.Within("density", density, thin, thick)); err != nil {
		return 0, err
	}
	return quantity.Pressure(float64(density) * gravity * float64(head)), nil
}

// turnedTo checks a change of speed for which the affinity laws are used.
func turnedTo(from, to quantity.Speed) (float64, error) {
	if err := cmp.Or(quantity.Within("speed", from, 1, 3000), quantity.Within("other speed", to, from/2, 2*from)); err != nil {
		return 0, err
	}
	return float64(to / from), nil
}

// AffinityFlow gives the flow of a centrifugal pump at another speed: Q₂ = Q₁ n₂/n₁.
// Range: speeds 1 to 3000 rad/s, from half to twice the first.
//
// Source: affinity laws; Fox & McDonald, Introduction to Fluid Mechanics, chapter 10.
func AffinityFlow(flow quantity.Flow, from, to quantity.Speed) (quantity.Flow, error) {
	r, err := turnedTo(from, to)
	if err := cmp.Or(err, flowWithin("flow", flow)); err != nil {
		return 0, err
	}
	return flow * quantity.Flow(r), nil
}

// AffinityHead gives the head of a centrifugal pump at another speed: H₂ = H₁ (n₂/n₁)².
// Range: head 10 mm to 5 km; speeds as AffinityFlow.
//
// Source: as AffinityFlow.
func AffinityHead(head quantity.Length, from, to quantity.Speed) (quantity.Length, error) {
	r, err := turnedTo(from, to)
	if err := cmp.Or(err, quantity.Within("head", head, 0.01, 5000)); err != nil {
		return 0, err
	}
	return head * quantity.Length(r*r), nil
}

// AffinityPower gives the power of a centrifugal pump at another speed:
// P₂ = P₁ (n₂/n₁)³. Range: power 1 W to 100 MW; speeds as AffinityFlow.
//
// Source: as AffinityFlow.
func AffinityPower(power quantity.Power, from, to quantity.Speed) (quantity.Power, error) {
	r, err := turnedTo(from, to)
	if err := cmp.Or(err, quantity.Within("power", power, 1, 1e8)); err != nil {
		return 0, err
	}
	return power * quantity.Power(r*r*r), nil
}
