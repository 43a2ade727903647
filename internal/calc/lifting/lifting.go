// Package lifting computes what a person may lift by hand and how many people or
// what help a part needs.
//
// Entry points: Functions, which templates call by name. It belongs here if it is
// about lifting by hand. It is not for slings, hoists or their rated loads.
//
// The equation is for a healthy adult who lifts with both hands, standing, with
// room to move, on a firm floor; not for one hand, seated, kneeling, slippery,
// hot or unstable loads, nor for carrying. Who prints its result says so.
package lifting

import (
	"fmt"
	"math"
	"slices"

	"jobsheaf/internal/quantity"
)

const (
	cm     quantity.Length = 0.01
	degree quantity.Angle  = math.Pi / 180
	hour   quantity.Time   = 3600
	// loadConstant is the weight that may be lifted under the best of conditions.
	loadConstant quantity.Mass = 23
	// middle is the height of the hands at which frequency and coupling change.
	middle = 75 * cm
)

// WeightLimit gives the recommended weight limit for one person:
//
//	RWL = 23 kg · HM · VM · DM · AM · FM · CM
//	HM = 25/H, VM = 1 − 0.003 |V − 75|, DM = 0.82 + 4.5/D, AM = 1 − 0.0032 A
//
// with the hands' distance H forward of the ankles, their height V and the height D
// through which they move in cm, the twist A in degrees; FM and CM are tables by
// the lifts a minute, the hours of such work and the coupling ("good", "fair",
// "poor"). H and D below 25 cm count as 25 cm. It is 0 (nobody lifts it by hand)
// where H is above 63 cm, V or D above 175 cm, A above 135°, or the lifts are too
// many. The metric form is used for both unit systems; that in inches and pounds
// rounds otherwise and gives up to 6 % more. Range: lengths from 0 to 3 m, A from 0
// to 180°, 0 to 60 lifts a minute, up to 8 h.
//
// Source: NIOSH, Applications Manual for the Revised NIOSH Lifting Equation,
// DHHS 94-110, section 1.3.
func WeightLimit(horizontal, vertical, distance quantity.Length, angle quantity.Angle, perMinute quantity.Number, hours quantity.Time, coupling string) (quantity.Mass, error) {
	for _, e := range []struct {
		what string
		x    quantity.Length
	}{{"horizontal distance", horizontal}, {"height lifted through", distance}} {
		if err := quantity.Within(e.what, e.x, 0, mostReach); err != nil {
			return 0, err
		}
	}
	if err := quantity.Within("twist", angle, 0, math.Pi); err != nil {
		return 0, err
	}
	grip, err := CouplingFactor(coupling, vertical)
	if err != nil {
		return 0, err
	}
	frequency, err := FrequencyFactor(perMinute, hours, vertical)
	if err != nil {
		return 0, err
	}
	return loadConstant * quantity.Mass(horizontalMultiplier(horizontal)*verticalMultiplier(vertical)*distanceMultiplier(distance)*twistMultiplier(angle)*float64(frequency*grip)), nil
}

// mostReach is the longest distance of a lift that is taken for meant.
const mostReach quantity.Length = 3

func handsWithin(v quantity.Length) error {
	return quantity.Within("height of the hands", v, 0, mostReach)
}

// onEdge absorbs the rounding of a conversion at the edge of a range.
const onEdge = 1e-9

func horizontalMultiplier(h quantity.Length) float64 {
	switch {
	case h > 63*cm+onEdge:
		return 0
	case h < 25*cm:
		return 1
	}
	return float64(25 * cm / h)
}

func verticalMultiplier(v quantity.Length) float64 {
	if v > 175*cm+onEdge {
		return 0
	}
	return 1 - 0.003*math.Abs(float64((v-middle)/cm))
}

func distanceMultiplier(d quantity.Length) float64 {
	if d > 175*cm+onEdge {
		return 0
	}
	return 0.82 + 4.5/max(float64(d/cm), 25)
}

func twistMultiplier(a quantity.Angle) float64 {
	if a > 135*degree+onEdge {
		return 0
	}
	return 1 - 0.0032*float64(a/degree)
}

// CouplingFactor gives CM, by which a poor grip lowers the limit. Range: good, fair or
// poor; any height of the hands.
//
// Source: NIOSH, DHHS 94-110, table 7.
func CouplingFactor(coupling string, v quantity.Length) (quantity.Number, error) {
	if err := handsWithin(v); err != nil {
		return 0, err
	}
	low := v < middle-onEdge
	switch coupling {
	case "good":
		return 1, nil
	case "fair":
		if low {
			return 0.95, nil
		}
		return 1, nil
	case "poor":
		return 0.90, nil
	}
	return 0, fmt.Errorf("no coupling %q: want good, fair or poor", coupling)
}

// frequencies are table 5 of the manual: the lifts a minute, and for up to 1, 2 and
// 8 hours the multiplier with the hands below and above the middle height.
var (
	frequencies = []float64{0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15}
	hoursUpTo   = []quantity.Time{1 * hour, 2 * hour, 8 * hour}
	multipliers = [3][2][17]float64{
		{
			{1, .97, .94, .91, .88, .84, .80, .75, .70, .60, .52, .45, .41, .37, 0, 0, 0},
			{1, .97, .94, .91, .88, .84, .80, .75, .70, .60, .52, .45, .41, .37, .34, .31, .28},
		}, {
			{.95, .92, .88, .84, .79, .72, .60, .50, .42, .35, .30, .26, 0, 0, 0, 0, 0},
			{.95, .92, .88, .84, .79, .72, .60, .50, .42, .35, .30, .26, .23, .21, 0, 0, 0},
		}, {
			{.85, .81, .75, .65, .55, .45, .35, .27, .22, .18, 0, 0, 0, 0, 0, 0, 0},
			{.85, .81, .75, .65, .55, .45, .35, .27, .22, .18, .15, .13, 0, 0, 0, 0, 0},
		},
	}
)

// FrequencyFactor gives FM, by which frequent lifting lowers the limit; between two
// entries of the table it is interpolated. Range: 0 to 60 lifts a minute, up to 8 h,
// hands up to 3 m high.
//
// Source: NIOSH, DHHS 94-110, table 5.
func FrequencyFactor(perMinute quantity.Number, hours quantity.Time, v quantity.Length) (quantity.Number, error) {
	if err := handsWithin(v); err != nil {
		return 0, err
	}
	if err := quantity.Within("lifts a minute", perMinute, 0, 60); err != nil {
		return 0, err
	}
	if err := quantity.Within("duration", hours, 1, 8*hour*(1+onEdge)); err != nil {
		return 0, err
	}
	column := slices.IndexFunc(hoursUpTo, func(h quantity.Time) bool { return hours <= h*(1+onEdge) })
	high := 0
	if v >= middle-onEdge {
		high = 1
	}
	table := multipliers[column][high]
	f := max(float64(perMinute), frequencies[0])
	i := slices.IndexFunc(frequencies, func(g float64) bool { return f <= g })
	switch {
	case i < 0:
		return 0, nil
	case i == 0:
		return quantity.Number(table[0]), nil
	case table[i] == 0 && f < frequencies[i]:
		// Past the last entry nothing is allowed: no part of the way down to 0.
		return 0, nil
	}
	part := (f - frequencies[i-1]) / (frequencies[i] - frequencies[i-1])
	return quantity.Number(table[i-1] + (table[i]-table[i-1])*part), nil
}

// LiftingIndex gives the load as a part of the limit, LI = m / RWL: above 1 the
// lift is a strain for some, above 3 for most. Range: mass from 1 g to 100 t, a
// limit from 0.1 to 23 kg.
//
// Source: NIOSH, DHHS 94-110, section 1.4.
func LiftingIndex(mass, limit quantity.Mass) (quantity.Number, error) {
	if err := quantity.Within("mass", mass, 1e-3, 1e5); err != nil {
		return 0, err
	}
	if err := quantity.Within("recommended weight limit", limit, 0.1, loadConstant); err != nil {
		return 0, err
	}
	return quantity.Number(mass / limit), nil
}

// teamShare is the part of their two limits that two people lift together, since
// they never share a load evenly.
const teamShare = 2.0 / 3

// PeopleFor gives how a mass is lifted: 1 for one person (up to the limit of
// WeightLimit), 2 for two (up to two thirds of both limits together), or 0 for a
// hoist. A limit of 0 always means a hoist. Range: mass from 1 g to 100 t, limit
// from 0 to 23 kg.
//
// Source: NIOSH, DHHS 94-110 for one; HSE, Manual Handling Operations Regulations
// 1992, guidance L23, paragraph 120 (team handling) for two.
func PeopleFor(mass, limit quantity.Mass) (quantity.Number, error) {
	if err := quantity.Within("mass", mass, 1e-3, 1e5); err != nil {
		return 0, err
	}
	if err := quantity.Within("recommended weight limit", limit, 0, loadConstant); err != nil {
		return 0, err
	}
	switch {
	case mass <= limit:
		return 1, nil
	case mass <= teamShare*2*limit:
		return 2, nil
	}
	return 0, nil
}
