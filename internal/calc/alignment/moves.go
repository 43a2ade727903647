package alignment

import (
	"cmp"
	"fmt"

	"jobsheaf/internal/quantity"
)

// FootMove gives how far a foot of the movable machine has to move toward the zero of the
// dial, up or to the left:
//
//	m = −(y + θ x) − g
//
// with the offset y and the slope θ of its shaft, the distance x from the plane of y to
// the foot, and how far the shaft there will rise, running, above the fixed one's line,
// g: that much it is set low. Below zero shims come out. In m. Range: as OffsetAt, x
// from 10 mm, g within ±10 mm and zero sideways.
//
// Source: geometry; Bloch and Geitner, Machinery Component Maintenance and Repair,
// chapter 5, reverse-indicator example (seen).
func FootMove(offset quantity.Length, slope quantity.Angle, foot, rise quantity.Length) (quantity.Length, error) {
	if err := cmp.Or(reachWithin("distance to the foot", foot, 0.010), readingWithin("rise with heat", rise)); err != nil {
		return 0, err
	}
	y, err := OffsetAt(offset, slope, foot)
	return -y - rise, err
}

// RimFaceMove gives how far a foot has to move by one rim and one face reading:
//
//	m = ± (R − S)/2 + F x/D − g
//
// + for a bracket on the fixed shaft, − for one on the movable shaft. Range and signs: as
// RimOffset, FaceSlope and FootMove.
//
// Source: as RimOffset and FaceSlope; the form F B/D − R/2 for a bracket on the movable
// shaft as millwrights write it (seen).
func RimFaceMove(rim, sag, face, sweep, foot, rise quantity.Length, bracket string) (quantity.Length, error) {
	offset, err := RimOffset(rim, sag, bracket)
	if err != nil {
		return 0, err
	}
	slope, err := FaceSlope(face, sweep)
	if err != nil {
		return 0, err
	}
	return FootMove(offset, slope, foot, rise)
}

// ReverseMove gives how far a foot has to move by two rim readings, taken with two dials
// that look at each other over the coupling: on the movable shaft with the bracket on
// the fixed one, in the plane from which x runs, and on the fixed shaft with the bracket
// on the movable one, L nearer the fixed machine:
//
//	m = (Rm − Sm)/2 + [(Rm − Sm) + (Rf − Sf)] x/(2 L) − g
//
// Range and signs: as RimOffset, SlopeBetween and FootMove.
//
// Source: geometry; Bloch and Geitner, Machinery Component Maintenance and Repair,
// chapter 5.
func ReverseMove(onMovable, sagOnMovable, onFixed, sagOnFixed, between, foot, rise quantity.Length) (quantity.Length, error) {
	near, err := RimOffset(onMovable, sagOnMovable, "fixed")
	if err != nil {
		return 0, err
	}
	far, err := RimOffset(onFixed, sagOnFixed, "movable")
	if err != nil {
		return 0, err
	}
	slope, err := SlopeBetween(far, near, between)
	if err != nil {
		return 0, err
	}
	return FootMove(near, slope, foot, rise)
}

// RiseApart gives how much further the movable machine's shaft rises than the fixed one's
// from the temperature at which they are aligned to that at which they run:
// g = αm hm ΔTm − αf hf ΔTf, with the heights from the foot to the shaft, in m. Range: heights 20 mm to
// 5 m, expansions 0.1 to 300 µm/(m·K), differences −100 to 300 K, the mean of the
// support from foot to shaft.
//
// Source: definition of linear expansion.
func RiseApart(movableHeight quantity.Length, movableExpansion quantity.Expansion, movableDifference quantity.TemperatureDifference,
	fixedHeight quantity.Length, fixedExpansion quantity.Expansion, fixedDifference quantity.TemperatureDifference) (quantity.Length, error) {
	movable, err := support("movable", movableHeight, movableExpansion, movableDifference)
	if err != nil {
		return 0, err
	}
	fixed, err := support("fixed", fixedHeight, fixedExpansion, fixedDifference)
	return movable - fixed, err
}

func support(which string, height quantity.Length, expansion quantity.Expansion, difference quantity.TemperatureDifference) (quantity.Length, error) {
	if err := cmp.Or(quantity.Within("shaft height of the "+which+" machine", height, 0.020, 5),
		quantity.Within("expansion of the "+which+" machine", expansion, 1e-7, 3e-4),
		quantity.Within("temperature difference of the "+which+" machine", difference, -100, 300)); err != nil {
		return 0, err
	}
	return height * quantity.Length(float64(expansion)*float64(difference)), nil
}

// SoftFoot gives how thick a shim goes under each foot of one pair across so that a
// machine of four feet stands on all: t = [(a + d) − (b + c)]/2, from the gaps under
// front left a, front right b, rear left c and rear right d with its bolts loose. Above
// zero it goes under front left and rear right, below zero under the other pair. In m.
// A gap that tapers is a bent foot, and no shim of even thickness fills it. Range: gaps 0
// to 10 mm.
//
// Source: geometry of a plane on four feet.
func SoftFoot(frontLeft, frontRight, rearLeft, rearRight quantity.Length) (quantity.Length, error) {
	for _, g := range []struct {
		what string
		gap  quantity.Length
	}{{"front left", frontLeft}, {"front right", frontRight}, {"rear left", rearLeft}, {"rear right", rearRight}} {
		if err := quantity.Within("gap under "+g.what, g.gap, 0, mostReading); err != nil {
			return 0, err
		}
	}
	return (frontLeft + rearRight - frontRight - rearLeft) / 2, nil
}

const rpm quantity.Speed = 2 * 3.141592653589793 / 60

// limits are the tolerances by speed: up to so many turns a minute, the offset in mm and
// the slopes of a short and of a spacer coupling in mm/m. Speeds of 50 Hz are from the
// metric table, those of 60 Hz from that in thousandths of an inch.
var limits = []struct {
	upTo                  quantity.Speed
	offset, short, spacer float64
}{
	{600, 0.2286, 1.5, 3}, {750, 0.19, 1.3, 2.5}, {900, 0.1524, 1, 2}, {1200, 0.1016, 0.8, 1.5}, {1500, 0.09, 0.7, 1.2},
	{1800, 0.0762, 0.5, 1}, {3000, 0.06, 0.4, 0.7}, {3600, 0.0381, 0.3, 0.5}, {6000, 0.03, 0.3, 0.3}, {7200, 0.0254, 0.2, 0.3},
}

// limitAt finds the row of a speed: the one of the next faster speed, which is stricter.
func limitAt(speed quantity.Speed) (int, error) {
	if err := quantity.Within("speed", speed, 10*rpm, 7200*rpm); err != nil {
		return 0, err
	}
	for i, l := range limits {
		if speed <= l.upTo*rpm*(1+1e-9) {
			return i, nil
		}
	}
	return len(limits) - 1, nil
}

// OffsetLimit gives the greatest offset at a short flexible coupling, in m, by the table
// that the trade calls acceptable; between its speeds the faster one counts. A
// tolerance of the coupling that is tighter goes before it. Range: 10 to 7200 rpm.
//
// Source: common practice: table of short flexible couplings, said to be taken over by
// NASA and the U.S. Navy (Efficient Plant, December 2018); figures as published in the
// trade.
func OffsetLimit(speed quantity.Speed) (quantity.Length, error) {
	i, err := limitAt(speed)
	return quantity.Length(limits[i].offset * 1e-3), err
}

// SlopeLimit gives the greatest slope of one shaft against the other, in rad, at a
// "short" coupling, or at each end of a "spacer". Range and source: as OffsetLimit.
func SlopeLimit(speed quantity.Speed, coupling string) (quantity.Angle, error) {
	i, err := limitAt(speed)
	if err != nil {
		return 0, err
	}
	switch coupling {
	case "short":
		return quantity.Angle(limits[i].short * 1e-3), nil
	case "spacer":
		return quantity.Angle(limits[i].spacer * 1e-3), nil
	}
	return 0, fmt.Errorf("no coupling %q: want short or spacer", coupling)
}
