package belts

import (
	"cmp"
	"math"

	"jobsheaf/internal/quantity"
)

func spanWithin(t quantity.Length) error {
	return quantity.Within("span", t, leastSpan, mostSpan)
}

func massWithin(m quantity.LinearDensity) error {
	return quantity.Within("belt mass a metre", m, 0.005, 20)
}

func tensionWithin(t quantity.Force) error {
	return quantity.Within("tension", t, leastPull, mostPull)
}

// Deflection gives how far a belt is pressed in at mid-span to read its tension: t/64,
// in m. Range: span 10 mm to 20 m.
//
// Source: Bloch and Geitner, Practical Machinery Management for Process Plants, major
// process equipment, figure 7-14.
func Deflection(span quantity.Length) (quantity.Length, error) {
	return span / 64, spanWithin(span)
}

// grip is the friction of a V-belt in its groove, as it acts on a flat sheave.
const grip = 0.5123

// CentrifugalTension gives how much of a belt's tension is spent in going round: m v²,
// in N. Range: mass 5 g/m to 20 kg/m, speed 0.1 to 60 m/s.
//
// Source: Shigley, Mechanical Engineering Design, chapter 17.
func CentrifugalTension(mass quantity.LinearDensity, velocity quantity.Velocity) (quantity.Force, error) {
	if err := cmp.Or(massWithin(mass), quantity.Within("belt speed", velocity, 0.1, 60)); err != nil {
		return 0, err
	}
	return quantity.Force(float64(mass) * float64(velocity) * float64(velocity)), nil
}

// StaticTension gives the tension that each span of each belt needs at rest so that the
// belts pull a power without slip:
//
//	T = P/(2 N v) · (e^(0.5123 θ) + 1)/(e^(0.5123 θ) − 1) + m v²
//
// with the power P (times the service factor), N belts, their speed v, the wrap θ on the
// small sheave and the mass m a metre, in N. Range: P 10 W to 10 MW, 1 to 30 belts, v 0.1
// to 60 m/s, θ 60 to 180°, m 5 g/m to 20 kg/m.
//
// Source: Shigley, Mechanical Engineering Design, chapter 17, for the grip of V-belts;
// the form is that of ARPM IP-20 (from memory), whose (2.5 − G)/G it equals.
func StaticTension(power quantity.Power, belts quantity.Number, velocity quantity.Velocity, wrap quantity.Angle, mass quantity.LinearDensity) (quantity.Force, error) {
	spent, err := CentrifugalTension(mass, velocity)
	if err != nil {
		return 0, err
	}
	if err := cmp.Or(quantity.Within("power", power, 10, 1e7), quantity.Within("number of belts", belts, 1, 30),
		quantity.Within("wrap", wrap, math.Pi/3, math.Pi)); err != nil {
		return 0, err
	}
	ratio := math.Exp(grip * float64(wrap))
	pull := float64(power) / (float64(belts) * float64(velocity))
	return quantity.Force(pull/2*(ratio+1)/(ratio-1)) + spent, nil
}

// DeflectionForce gives the force that presses a belt in by Deflection: P = (T + Y t/L)/16,
// in N, with its tension T, its stiffness Y by section, the span t and the belt's length
// L. With T from StaticTension it is the least; 1.5 T a belt that has run in, and what a new
// one is set to more, is the belt's own instruction. Range: T 0.5 N to 100 kN, Y 0 to 1 kN,
// span 10 mm to 20 m, L from 2 t to 50 m.
//
// Source: ARPM IP-20 (from memory); T/16 is the geometry of t/64, and the same form with
// (t/L) Y is in design handbooks of belts (seen).
func DeflectionForce(tension, stiffness quantity.Force, span, length quantity.Length) (quantity.Force, error) {
	if err := cmp.Or(tensionWithin(tension), pressed(stiffness, span, length)); err != nil {
		return 0, err
	}
	return (tension + stiffness*quantity.Force(span/length)) / 16, nil
}

// TensionOfForce gives the tension of a belt from the force that presses it in by
// Deflection, the inverse of DeflectionForce: T = 16 P − Y t/L. Range: P 0.05 N to 10 kN;
// a tension from 0.5 N.
//
// Source: as DeflectionForce.
func TensionOfForce(force, stiffness quantity.Force, span, length quantity.Length) (quantity.Force, error) {
	if err := cmp.Or(quantity.Within("force", force, leastPull/10, mostPull/10), pressed(stiffness, span, length)); err != nil {
		return 0, err
	}
	t := 16*force - stiffness*quantity.Force(span/length)
	return t, tensionWithin(t)
}

func pressed(stiffness quantity.Force, span, length quantity.Length) error {
	return cmp.Or(quantity.Within("stiffness of the belt", stiffness, 0, 1e3), spanWithin(span), quantity.Within("length of the belt", length, 2*span, 50))
}

// SpanFrequency gives the tone of a plucked span: f = √(T/m)/(2 t), in Hz. Range: T 0.5 N
// to 100 kN, m 5 g/m to 20 kg/m, span 10 mm to 20 m. A short stiff span sounds higher.
//
// Source: the vibrating string, OpenStax, University Physics, section 16.3.
func SpanFrequency(tension quantity.Force, mass quantity.LinearDensity, span quantity.Length) (quantity.Frequency, error) {
	if err := cmp.Or(tensionWithin(tension), massWithin(mass), spanWithin(span)); err != nil {
		return 0, err
	}
	return quantity.Frequency(math.Sqrt(float64(tension)/float64(mass)) / (2 * float64(span))), nil
}

// TensionOfFrequency gives the tension of a span from its tone, the inverse of
// SpanFrequency: T = 4 m t² f². Range: f 1 to 1000 Hz; a tension of 0.5 N to 100 kN.
//
// Source: as SpanFrequency.
func TensionOfFrequency(frequency quantity.Frequency, mass quantity.LinearDensity, span quantity.Length) (quantity.Force, error) {
	if err := cmp.Or(quantity.Within("frequency", frequency, 1, 1000), massWithin(mass), spanWithin(span)); err != nil {
		return 0, err
	}
	speed := 2 * float64(span) * float64(frequency)
	t := quantity.Force(float64(mass) * speed * speed)
	return t, tensionWithin(t)
}
