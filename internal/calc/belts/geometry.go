// Package belts computes the span, length, tension and run of V-belts on two sheaves:
// how far and with what force a span is pressed in, what tone it has, and how far the
// sheaves may stand out of line.
//
// Entry points: Functions, which templates call by name. It belongs here if it is about
// belts and their sheaves. It is not for shafts coupled end to end (alignment).
package belts

import (
	"cmp"
	"math"

	"jobsheaf/internal/quantity"
)

// The sizes of drives that are taken for meant.
const (
	leastSheave, mostSheave quantity.Length = 0.010, 5
	leastSpan, mostSpan     quantity.Length = 0.010, 20
	leastPull, mostPull     quantity.Force  = 0.5, 1e5
)

// drive are two sheaves, large and small, at a distance of their centres.
type drive struct{ centres, large, small quantity.Length }

func (d drive) check() error {
	return cmp.Or(quantity.Within("large sheave", d.large, leastSheave, mostSheave), quantity.Within("small sheave", d.small, leastSheave, d.large),
		quantity.Within("distance of the centres", d.centres, (d.large+d.small)/2, mostSpan))
}

// lean is the angle by which each span leans to the line of centres.
func (d drive) lean() float64 { return math.Asin(float64((d.large - d.small) / 2 / d.centres)) }

// SpanLength gives the free length of a belt between its sheaves:
// t = √(C² − ((D − d)/2)²), in m. Range: sheaves 10 mm to 5 m, by the pitch or the outside
// diameters alike, that do not touch; centres up to 20 m.
//
// Source: geometry; Shigley, Mechanical Engineering Design, chapter 17.
func SpanLength(centres, large, small quantity.Length) (quantity.Length, error) {
	d := drive{centres, large, small}
	if err := d.check(); err != nil {
		return 0, err
	}
	return centres * quantity.Length(math.Cos(d.lean())), nil
}

// WrapAngle gives the angle on which a belt lies round the small sheave:
// θ = π − 2 asin((D − d)/(2 C)), in rad. Range: as SpanLength.
//
// Source: Shigley, Mechanical Engineering Design, eq. 17-1.
func WrapAngle(centres, large, small quantity.Length) (quantity.Angle, error) {
	d := drive{centres, large, small}
	if err := d.check(); err != nil {
		return 0, err
	}
	return quantity.Angle(math.Pi - 2*d.lean()), nil
}

// BeltLength gives the length of an open belt: L = 2 C cos β + π (D + d)/2 + β (D − d),
// sin β = (D − d)/(2 C), in m. With pitch diameters it is the pitch length. Range: as
// SpanLength.
//
// Source: Shigley, Mechanical Engineering Design, eq. 17-2.
func BeltLength(centres, large, small quantity.Length) (quantity.Length, error) {
	d := drive{centres, large, small}
	if err := d.check(); err != nil {
		return 0, err
	}
	b := d.lean()
	return 2*centres*quantity.Length(math.Cos(b)) + quantity.Length(math.Pi/2)*(large+small) + quantity.Length(b)*(large-small), nil
}

// SheaveAngle gives by what angle two sheaves stand out of line: φ = atan(e/L), from the
// gap e that a straightedge shows over the length L, in rad. Range: gap 0 to 0.2 m, L 20 mm
// to 20 m, angle up to 10°.
//
// Source: geometry.
func SheaveAngle(gap, length quantity.Length) (quantity.Angle, error) {
	if err := cmp.Or(quantity.Within("gap at the straightedge", gap, 0, 0.2), quantity.Within("length of the straightedge", length, 0.020, mostSpan)); err != nil {
		return 0, err
	}
	a := quantity.Angle(math.Atan(float64(gap / length)))
	return a, quantity.Within("angle", a, 0, 10*math.Pi/180)
}

// SheaveGap gives the gap at a straightedge that an angle comes to, the inverse of
// SheaveAngle: e = L tan φ. V-belts bear about half a degree (common practice). Range: φ
// 0.01 to 10°, L 20 mm to 20 m.
//
// Source: geometry.
func SheaveGap(angle quantity.Angle, length quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(quantity.Within("angle", angle, 0.01*math.Pi/180, 10*math.Pi/180), quantity.Within("length of the straightedge", length, 0.020, mostSpan)); err != nil {
		return 0, err
	}
	return length * quantity.Length(math.Tan(float64(angle))), nil
}
