// Package gears computes what is read of a gearbox and filled into it: backlash at the
// pitch circle and its least value, the shim for an end play, the oil up to a level, and
// the viscosity that a grade of oil stands for.
//
// Entry points: Functions, which templates call by name. It belongs here if it is about
// the teeth, the shafts or the oil of a gearbox. It is not for viscosity at other
// temperatures (liquid) nor for lubricating with grease (running).
package gears

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"jobsheaf/internal/quantity"
)

const (
	leastRadius, mostRadius quantity.Length = 5e-3, 5
	mostPlay                quantity.Length = 0.020
)

// BacklashAtPitch gives the backlash at the pitch circle from a dial that read it at
// another radius, with the mating gear held: j = a r/R. In m. Range: reading 1 µm to
// 20 mm, radii 5 mm to 5 m, the dial from a fifth to five times the pitch radius. The
// stem stands square to its radius.
//
// Source: geometry.
func BacklashAtPitch(reading, dialRadius, pitchRadius quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(quantity.Within("reading", reading, 1e-6, mostPlay), quantity.Within("pitch radius", pitchRadius, leastRadius, mostRadius),
		quantity.Within("radius of the dial", dialRadius, pitchRadius/5, 5*pitchRadius)); err != nil {
		return 0, err
	}
	return reading * (pitchRadius / dialRadius), nil
}

// BacklashAngle gives the turn of a gear within its backlash: φ = j/r, in rad. Range: j
// 1 µm to 20 mm and up to a tenth of r, r 5 mm to 5 m.
//
// Source: geometry.
func BacklashAngle(backlash, pitchRadius quantity.Length) (quantity.Angle, error) {
	if err := cmp.Or(quantity.Within("pitch radius", pitchRadius, leastRadius, mostRadius), quantity.Within("backlash", backlash, 1e-6, min(mostPlay, pitchRadius/10))); err != nil {
		return 0, err
	}
	return quantity.Angle(backlash / pitchRadius), nil
}

// LeastBacklash gives the least backlash, normal to the teeth, that new gears of iron in a
// housing of iron are recommended: j = 2/3 (0.06 + 0.0005 a + 0.03 m) in mm, with the
// distance of centres a and the module m in mm. In m. It is a recommendation for design:
// the gearbox's own limits go before it. Range: m 1.5 to 25 mm, a 50 mm to 2 m, pitch
// speed up to 15 m/s.
//
// Source: ISO/TR 10064-2:1996, annex A (from memory; the form seen).
func LeastBacklash(module, centres quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(quantity.Within("module", module, 1.5e-3, 25e-3), quantity.Within("distance of the centres", centres, 50e-3, 2)); err != nil {
		return 0, err
	}
	return (0.06e-3 + 0.0005*centres + 0.03*module) * 2 / 3, nil
}

// PlayShim gives the shim to take out so that an end play falls into the middle of its
// band: t = s − (low + high)/2; below zero it is put in. In m. Range: play 0 to 20 mm, low
// 0 to 5 mm, high above it up to 10 mm.
//
// Source: common practice.
func PlayShim(play, low, high quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(quantity.Within("end play", play, 0, mostPlay), quantity.Within("least end play", low, 0, 5e-3), quantity.Within("greatest end play", high, low+1e-6, 0.010)); err != nil {
		return 0, err
	}
	return play - (low+high)/2, nil
}

// LyingVolume gives the oil in a lying round space up to a level above its lowest line:
//
//	V = L r² (α − sin α cos α), cos α = 1 − h/r
//
// in m³, flat ends. Range: bore 20 mm to 5 m, L 10 mm to 50 m, level 0 to the bore.
//
// Source: geometry of the segment of a circle.
func LyingVolume(bore, length, level quantity.Length) (quantity.Volume, error) {
	if err := cmp.Or(quantity.Within("bore", bore, 0.020, 5), quantity.Within("length", length, 0.010, 50), quantity.Within("level", level, 0, bore)); err != nil {
		return 0, err
	}
	// By half the angle, so that a thin film is not lost between two large numbers.
	r := float64(bore) / 2
	a := 2 * math.Asin(math.Sqrt(min(1, float64(level/bore))))
	segment := r * r * max(0, a-math.Sin(a)*math.Cos(a))
	return quantity.Volume(segment * float64(length)), nil
}

// SumpVolume gives the oil in a sump with upright walls up to a level: V = φ L W h, with
// the part φ of it that gears and ribs leave free. In m³. Range: L and W 20 mm to 5 m, h
// 1 mm to 3 m, φ 0.3 to 1.
//
// Source: geometry.
func SumpVolume(length, width, level quantity.Length, free quantity.Number) (quantity.Volume, error) {
	if err := cmp.Or(quantity.Within("length", length, 0.020, 5), quantity.Within("width", width, 0.020, 5), quantity.Within("level", level, 1e-3, 3),
		quantity.Within("free part", free, 0.3, 1)); err != nil {
		return 0, err
	}
	return quantity.Volume(float64(length*width*level) * float64(free)), nil
}

// grades are the viscosity grades of ISO 3448 with their middle viscosities at 40 °C, in
// mm²/s.
var grades = []struct{ grade, middle float64 }{
	{2, 2.2}, {3, 3.2}, {5, 4.6}, {7, 6.8}, {10, 10}, {15, 15}, {22, 22}, {32, 32}, {46, 46}, {68, 68}, {100, 100}, {150, 150}, {220, 220}, {320, 320},
	{460, 460}, {680, 680}, {1000, 1000}, {1500, 1500}, {2200, 2200}, {3200, 3200},
}

func middleOf(grade quantity.Number) (float64, error) {
	var known []string
	for _, g := range grades {
		if float64(grade) == g.grade {
			return g.middle * 1e-6, nil
		}
		known = append(known, fmt.Sprintf("%g", g.grade))
	}
	return 0, fmt.Errorf("ISO VG %g is no grade: want one of %s", float64(grade), strings.Join(known, ", "))
}

// GradeLow gives the least viscosity at 40 °C of an ISO viscosity grade, 10 % below its
// middle, in m²/s. Range: the grades of ISO 3448, VG 2 to VG 3200.
//
// Source: ISO 3448:1992, table 1.
func GradeLow(grade quantity.Number) (quantity.KinematicViscosity, error) {
	m, err := middleOf(grade)
	return quantity.KinematicViscosity(0.9 * m), err
}

// GradeHigh gives the greatest viscosity at 40 °C of an ISO viscosity grade, 10 % above
// its middle. Range and source: as GradeLow.
func GradeHigh(grade quantity.Number) (quantity.KinematicViscosity, error) {
	m, err := middleOf(grade)
	return quantity.KinematicViscosity(1.1 * m), err
}

// GradeFor gives the ISO viscosity grade whose middle is nearest above a viscosity that
// is wanted at 40 °C, so that the oil is no thinner than that by more than the 10 % of a
// grade. Range: 2 to 3200 mm²/s at 40 °C.
//
// Source: ISO 3448:1992, table 1.
func GradeFor(viscosity quantity.KinematicViscosity) (quantity.Number, error) {
	if err := quantity.Within("viscosity at 40 °C", viscosity, 2e-6, 3200e-6); err != nil {
		return 0, err
	}
	for _, g := range grades {
		if float64(viscosity) <= g.middle*1e-6*(1+1e-9) {
			return quantity.Number(g.grade), nil
		}
	}
	return 3200, nil
}

// GearViscosity gives the viscosity at 40 °C that gears running at a pitch speed want:
// ν = 7000/√V in mm²/s with V in ft/min, of the slowest mesh. In m²/s. It is for spur,
// helical and bevel gears in ordinary surroundings, to see whether the grade on record
// is of the right size: the gearbox's own plate goes before it. Range: 0.3 to 50 m/s.
//
// Source: ASM Handbook, volume 18, lubrication of gears (from memory).
func GearViscosity(pitchSpeed quantity.Velocity) (quantity.KinematicViscosity, error) {
	if err := quantity.Within("pitch speed", pitchSpeed, 0.3, 50); err != nil {
		return 0, err
	}
	const footPerMinute = 0.3048 / 60
	return quantity.KinematicViscosity(7000e-6 / math.Sqrt(float64(pitchSpeed)/footPerMinute)), nil
}
