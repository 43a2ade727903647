// Package motor computes what is read of an electric motor before and after it is
// changed: its insulation resistance at one temperature, the least that will do, the
// polarization index, the test voltage, and how far its three phases are out of balance.
//
// Entry points: Functions, which templates call by name. It belongs here if it is read
// with an instrument at a motor's terminals. It is not for feet and shafts (alignment)
// nor for power and torque (duty).
package motor

import (
	"cmp"
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

const (
	kelvin                                    = 273.15
	megohm                quantity.Resistance = 1e6
	leastR, mostR         quantity.Resistance = 1e3, 1e13
	leastV, mostV         quantity.Voltage    = 1, 30e3
	leastRated, mostRated quantity.Voltage    = 100, 30e3
)

func resistanceWithin(what string, r quantity.Resistance) error {
	return quantity.Within(what, r, leastR, mostR)
}

// InsulationAt40 gives what an insulation resistance comes to at 40 °C: R40 = KT R, with
//
//	thermoplastic: KT = 0.5^((40 − T)/10), halving with each 10 K
//	thermosetting: KT = exp(−1245 (1/T − 1/313)) up to 40 °C, exp(−4230 (1/T − 1/313)) above, T in K
//
// thermoplastic for windings from before about 1970, thermosetting for epoxy and
// polyester. Where the kind is not known the careful choice is thermoplastic below 40 °C
// and thermosetting above. In Ω. Range: winding 10 to 85 °C and above the dew point, R
// 1 kΩ to 10 TΩ.
//
// Source: IEEE 43-2013, 6.3 (from memory): both thermosetting branches come to 1 at 40 °C,
// and to its 0.7, 0.8, 0.9 at 10, 20, 30 °C and 1.5, 2.3, 3.3 at 50, 60, 70 °C; the halving
// as published (seen).
func InsulationAt40(reading quantity.Resistance, winding quantity.Temperature, kind string) (quantity.Resistance, error) {
	if err := cmp.Or(resistanceWithin("insulation resistance", reading), quantity.Within("winding temperature", winding, 10+kelvin, 85+kelvin)); err != nil {
		return 0, err
	}
	t := float64(winding)
	switch kind {
	case "thermoplastic":
		return reading * quantity.Resistance(math.Exp2(-(40+kelvin-t)/10)), nil
	case "thermosetting":
		slope := 4230.0
		if t <= 40+kelvin {
			slope = 1245
		}
		return reading * quantity.Resistance(math.Exp(-slope*(1/t-1/(40+kelvin)))), nil
	}
	return 0, fmt.Errorf("no insulation %q: want thermoplastic or thermosetting", kind)
}

// InsulationLeast gives the least insulation resistance after one minute, at 40 °C, of a
// winding that may be started: kV + 1 in MΩ for "old" windings, from before about 1970,
// and for fields; 100 MΩ for "form" wound ones and armatures since; 5 MΩ for "random" wound
// ones and for form-wound ones below 1 kV. Range: rated voltage 100 V to 30 kV.
//
// Source: IEEE 43-2013, table 3 (from memory).
func InsulationLeast(voltage quantity.Voltage, winding string) (quantity.Resistance, error) {
	if err := quantity.Within("rated voltage", voltage, leastRated, mostRated); err != nil {
		return 0, err
	}
	switch winding {
	case "old":
		return quantity.Resistance(voltage/1000+1) * megohm, nil
	case "form":
		return 100 * megohm, nil
	case "random":
		return 5 * megohm, nil
	}
	return 0, fmt.Errorf("no winding %q: want old, form or random", winding)
}

// TestVoltageHigh gives the highest direct voltage of an insulation test by the rated
// voltage of the winding, line to line: 500 V below 1 kV, 1000 V up to 2.5 kV, 2500 V up to
// 5 kV, 5000 V up to 12 kV, 10 kV above. Range: 100 V to 30 kV.
//
// Source: IEEE 43-2013, table 1 (from memory).
func TestVoltageHigh(voltage quantity.Voltage) (quantity.Voltage, error) {
	if err := quantity.Within("rated voltage", voltage, leastRated, mostRated); err != nil {
		return 0, err
	}
	switch {
	case voltage < 1000:
		return 500, nil
	case voltage <= 2500:
		return 1000, nil
	case voltage <= 5000:
		return 2500, nil
	case voltage <= 12000:
		return 5000, nil
	}
	return 10000, nil
}

// greatestForIndex is the resistance after one minute above which the index says nothing.
const greatestForIndex = 5000 * megohm

// PolarizationIndex gives the insulation resistance after ten minutes over that after
// one: PI = R10/R1. Range: R1 1 kΩ to 5 GΩ, above which the index says nothing; R10 from
// R1/10 to 100 R1. Small random-wound motors settle sooner and show little.
//
// Source: IEEE 43-2013, 3.1 and 12.2 (from memory); least 2.0 as quoted of it (seen), 1.5
// for class 105 insulation (from memory).
func PolarizationIndex(tenMinutes, oneMinute quantity.Resistance) (quantity.Number, error) {
	if err := cmp.Or(quantity.Within("resistance after one minute", oneMinute, leastR, greatestForIndex),
		quantity.Within("resistance after ten minutes", tenMinutes, oneMinute/10, 100*oneMinute)); err != nil {
		return 0, err
	}
	return quantity.Number(tenMinutes / oneMinute), nil
}

// Unbalance gives by what part three line voltages are out of balance: the greatest
// distance of one from their mean, over the mean. Above 1 % a motor is derated. Range: 1 V
// to 30 kV.
//
// Source: NEMA MG 1, definition of voltage unbalance.
func Unbalance(a, b, c quantity.Voltage) (quantity.Number, error) {
	if err := cmp.Or(quantity.Within("first voltage", a, leastV, mostV), quantity.Within("second voltage", b, leastV, mostV),
		quantity.Within("third voltage", c, leastV, mostV)); err != nil {
		return 0, err
	}
	return unbalance(float64(a), float64(b), float64(c)), nil
}

// CurrentUnbalance is Unbalance of the currents of three lines, for which no limit is
// standard; it is several times that of the voltages. Range: 10 mA to 10 kA.
//
// Source: as Unbalance, applied to currents.
func CurrentUnbalance(a, b, c quantity.Current) (quantity.Number, error) {
	if err := cmp.Or(quantity.Within("first current", a, 0.01, 1e4), quantity.Within("second current", b, 0.01, 1e4),
		quantity.Within("third current", c, 0.01, 1e4)); err != nil {
		return 0, err
	}
	return unbalance(float64(a), float64(b), float64(c)), nil
}

func unbalance(a, b, c float64) quantity.Number {
	mean := (a + b + c) / 3
	return quantity.Number(max(math.Abs(a-mean), math.Abs(b-mean), math.Abs(c-mean)) / mean)
}
