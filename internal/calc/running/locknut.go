package running

import (
	"math"

	"jobsheaf/internal/quantity"
)

// lockNut is a nut that clamps a stack of rings and sleeves against a shoulder of its
// shaft, in m and Pa. The shaft counts with its whole section and the faces of the
// stack as flat: both are stiffer than the real ones, so that what a turn adds is
// overstated, never understated.
type lockNut struct {
	factor                     quantity.Number // nut factor K
	diameter, lead             quantity.Length // of the nut's thread
	length                     quantity.Length // of the stack
	stackOuter, stackBore      quantity.Length // least ring, by area
	shaftModulus, stackModulus quantity.Pressure
}

func (n lockNut) check() error {
	if err := quantity.Within("nut factor", n.factor, 0.05, 0.60); err != nil {
		return err
	}
	if err := quantity.Within("diameter of the nut's thread", n.diameter, 5e-3, 0.5); err != nil {
		return err
	}
	if err := quantity.Within("lead", n.lead, 1e-4, n.diameter); err != nil {
		return err
	}
	if err := quantity.Within("length of the stack", n.length, 1e-3, 2); err != nil {
		return err
	}
	if err := quantity.Within("outside of the stack", n.stackOuter, n.diameter, 2); err != nil {
		return err
	}
	if err := quantity.Within("bore of the stack", n.stackBore, n.diameter/2, n.stackOuter*0.99); err != nil {
		return err
	}
	if err := quantity.Within("modulus of the shaft", n.shaftModulus, 1e9, 1e12); err != nil {
		return err
	}
	return quantity.Within("modulus of the stack", n.stackModulus, 1e9, 1e12)
}

// torqueOfTurn is K d F for the force F of a turn of one radian, N·m/rad: the travel
// lead/2π over the give of shaft and stack together, L/(E A) of each.
func (n lockNut) torqueOfTurn() float64 {
	d, o, b := float64(n.diameter), float64(n.stackOuter), float64(n.stackBore)
	shaft := math.Pi / 4 * d * d * float64(n.shaftModulus)
	stack := math.Pi / 4 * (o*o - b*b) * float64(n.stackModulus)
	give := float64(n.length) * (1/shaft + 1/stack)
	return float64(n.factor) * d * float64(n.lead) / turn / give
}

// TurnTorque gives the torque that a turn of a lock nut adds, at most, to the one that
// it has:
//
//	ΔT = K d F,  F = (lead φ/2π) / (L/(Es As) + L/(Ep Ap))
//
// with the section As of the shaft, π d²/4, and Ap of the stack, π (do² − di²)/4.
// Range: φ from 0.01 rad to one turn, K 0.05 to 0.60, d 5 to 500 mm, lead 0.1 mm to d,
// L 1 mm to 2 m, do from d, di from d/2 to 0.99 do, moduli 1 to 1000 GPa. Shaft and
// stack stay elastic.
//
// Source: Bickford, Introduction to the Design and Behavior of Bolted Joints, eq. 8.1
// and 8.2 (seen), with the stack's give in series; Shigley, Mechanical Engineering
// Design, eq. 8-27.
func TurnTorque(angle quantity.Angle, factor quantity.Number, diameter, lead, length, stackOuter, stackBore quantity.Length, shaftModulus, stackModulus quantity.Pressure) (quantity.Torque, error) {
	n := lockNut{factor, diameter, lead, length, stackOuter, stackBore, shaftModulus, stackModulus}
	if err := n.check(); err != nil {
		return 0, err
	}
	if err := quantity.Within("turn", angle, 0.01, turn); err != nil {
		return 0, err
	}
	return quantity.Torque(n.torqueOfTurn() * float64(angle)), nil
}

// TurnRoom gives how far a lock nut may be turned on before a torque is added, the
// inverse of TurnTorque: from the torque read to the upper end of its band. Where the
// next slot is farther, the nut is slackened and tightened afresh to the low end, to
// take the slot before. Range: a torque of 0.01 N·m to 100 kN·m; else as TurnTorque.
//
// Source: as TurnTorque.
func TurnRoom(torque quantity.Torque, factor quantity.Number, diameter, lead, length, stackOuter, stackBore quantity.Length, shaftModulus, stackModulus quantity.Pressure) (quantity.Angle, error) {
	n := lockNut{factor, diameter, lead, length, stackOuter, stackBore, shaftModulus, stackModulus}
	if err := n.check(); err != nil {
		return 0, err
	}
	if err := quantity.Within("torque to add", torque, 0.01, 1e5); err != nil {
		return 0, err
	}
	return quantity.Angle(float64(torque) / n.torqueOfTurn()), nil
}
