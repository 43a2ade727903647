// Package wear judges worn parts: limits drawn in by the uncertainty of the
// instrument, taper and ovality, the rate of wear and the day on which a limit
// is forecast.
//
// Entry points: Functions, which templates call by name, and Fit for readings
// over the years. It belongs here if it is about one dimension that changes in
// service. It is not for what the wear does to the flow: that is slip.
package wear

import (
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

const (
	leastSize, mostSize = quantity.Length(1e-5), quantity.Length(10)
	leastU, mostU       = quantity.Length(1e-8), quantity.Length(0.005)
	leastSpan, mostSpan = quantity.Time(86400), quantity.Time(100 * year)
	year                = 365.25 * 86400 // s
	// Two readings of one feature differ by less than this part of it; beyond,
	// one of them is of something else.
	mostSpread = 0.10
)

// guarded checks a limit and the expanded uncertainty U (k = 2) of the reading.
func guarded(limit, u quantity.Length) error {
	if err := quantity.Within("limit", limit, leastSize, mostSize); err != nil {
		return err
	}
	return quantity.Within("uncertainty", u, leastU, mostU)
}

// unfit says that an instrument's uncertainty leaves no reading that proves
// anything.
func unfit(u, room quantity.Length) error {
	return fmt.Errorf("instrument unfit: twice its uncertainty of %.4g mm closes the %.4g mm between the limits; want an uncertainty below %.4g mm",
		float64(u)*1e3, float64(room)*1e3, float64(room)*1e3/2)
}

// GuardLow gives the least reading that proves that a size is not below its
// lower limit: limit + U, U being the expanded uncertainty (k = 2) of the
// reading. Range: limit 0.01 mm to 10 m, U 0.01 µm to 5 mm.
// Source: ISO 14253-1, acceptance by guard band w = U (editions before 2017; the
// 2017 default of 1.65 u is narrower).
func GuardLow(limit, uncertainty quantity.Length) (quantity.Length, error) {
	if err := guarded(limit, uncertainty); err != nil {
		return 0, err
	}
	return limit + uncertainty, nil
}

// GuardHigh gives the greatest reading that proves that a size is not above its
// upper limit: limit − U. Range: as GuardLow; twice U must be below the limit,
// since sizes end at zero: else the instrument is unfit. Source: as GuardLow.
func GuardHigh(limit, uncertainty quantity.Length) (quantity.Length, error) {
	if err := guarded(limit, uncertainty); err != nil {
		return 0, err
	}
	if 2*uncertainty >= limit {
		return 0, unfit(uncertainty, limit)
	}
	return limit - uncertainty, nil
}

// BandLow gives the least reading that proves that a size is within a band:
// low + U. Range: limits 0.01 mm to 10 m, low below high; twice U below the width
// of the band, else the instrument is unfit. Source: as GuardLow.
func BandLow(low, high, uncertainty quantity.Length) (quantity.Length, error) {
	if err := band(low, high, uncertainty); err != nil {
		return 0, err
	}
	return low + uncertainty, nil
}

// BandHigh gives the greatest reading that proves that a size is within a band:
// high − U. Range and source: as BandLow.
func BandHigh(low, high, uncertainty quantity.Length) (quantity.Length, error) {
	if err := band(low, high, uncertainty); err != nil {
		return 0, err
	}
	return high - uncertainty, nil
}

func band(low, high, u quantity.Length) error {
	if err := quantity.Within("upper limit", high, leastSize, mostSize); err != nil {
		return err
	}
	if err := quantity.Within("lower limit", low, leastSize, high); err != nil {
		return err
	}
	if err := quantity.Within("uncertainty", u, leastU, mostU); err != nil {
		return err
	}
	// A millionth of U absorbs the error of binary arithmetic at the boundary.
	if 2*u*(1+1e-6) >= high-low {
		return unfit(u, high-low)
	}
	return nil
}

// RejectLow gives the reading below which a size is proved to be below its lower
// limit: limit − U. Between it and GuardLow the part is measured again.
// Range: as GuardHigh. Source: ISO 14253-1, nonconformity.
func RejectLow(limit, uncertainty quantity.Length) (quantity.Length, error) {
	return GuardHigh(limit, uncertainty)
}

// RejectHigh gives the reading above which a size is proved to be above its
// upper limit: limit + U. Between GuardHigh and it the part is measured again.
// Range: as GuardLow. Source: ISO 14253-1, nonconformity.
func RejectHigh(limit, uncertainty quantity.Length) (quantity.Length, error) {
	return GuardLow(limit, uncertainty)
}

// Taper gives the difference of two readings along the length of a part.
// Range: sizes 0.01 mm to 10 m that differ by less than 10 %.
// Source: workshop practice.
func Taper(a, b quantity.Length) (quantity.Length, error) { return difference(a, b) }

// Ovality gives the difference of two readings across one place of a part.
// Range: as Taper. Two readings a quarter turn apart find an oval; a shape of
// three lobes they miss. Source: workshop practice.
func Ovality(a, b quantity.Length) (quantity.Length, error) { return difference(a, b) }

func difference(a, b quantity.Length) (quantity.Length, error) {
	for _, x := range []quantity.Length{a, b} {
		if err := quantity.Within("reading", x, leastSize, mostSize); err != nil {
			return 0, err
		}
	}
	d := quantity.Length(math.Abs(float64(a - b)))
	if d > mostSpread*max(a, b) {
		return 0, fmt.Errorf("readings %.4g mm and %.4g mm are out of range: want two of the same feature, within 10 %% of each other", float64(a)*1e3, float64(b)*1e3)
	}
	return d, nil
}

// WearRate gives the rate of wear between two readings, (after − before)/time;
// below zero where the size shrinks. Range: sizes 0.01 mm to 10 m within 10 % or
// not, time 1 day to 100 years. Source: API 570, long-term corrosion rate (seen
// as quoted), which is the same quotient.
func WearRate(before, after quantity.Length, between quantity.Time) (quantity.Velocity, error) {
	for _, x := range []quantity.Length{before, after} {
		if err := quantity.Within("reading", x, leastSize, mostSize); err != nil {
			return 0, err
		}
	}
	if err := quantity.Within("time between readings", between, leastSpan, mostSpan); err != nil {
		return 0, err
	}
	return quantity.Velocity(float64(after-before) / float64(between)), nil
}

// TimeLeft gives the time until a size reaches its limit at a rate,
// (limit − now)/rate. Range: sizes 0.01 mm to 10 m; the rate must lead to the
// limit, else there is no date: an error; result up to 100 years.
// Source: API 570, remaining life (seen as quoted).
func TimeLeft(now, limit quantity.Length, rate quantity.Velocity) (quantity.Time, error) {
	for _, x := range []quantity.Length{now, limit} {
		if err := quantity.Within("size", x, leastSize, mostSize); err != nil {
			return 0, err
		}
	}
	if err := quantity.Within("rate of wear", rate, -1e-3, 1e-3); err != nil {
		return 0, err
	}
	left := quantity.Time(float64(limit-now) / float64(rate))
	if !(left > 0) {
		return 0, fmt.Errorf("no time left to give: a size of %.4g mm does not move toward a limit of %.4g mm at this rate, or is at it", float64(now)*1e3, float64(limit)*1e3)
	}
	if err := quantity.Within("time left", left, 0, mostSpan); err != nil {
		return 0, err
	}
	return left, nil
}
