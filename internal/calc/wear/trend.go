package wear

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"jobsheaf/internal/quantity"
)

// Reading is the size of a feature on a day, as a packet came back with it.
type Reading struct {
	Day  time.Time
	Size quantity.Length // m
}

// Direction is the way in which a size wears.
type Direction int8

const (
	Smaller Direction = -1 // a pin, a shaft, a tooth
	Larger  Direction = +1 // a bore, a clearance
)

// Trend is the straight line through the readings of one feature.
type Trend struct {
	readings int
	From, To time.Time         // first and last day
	Rate     quantity.Velocity // of the size; below zero where it shrinks
	// spread is false for two readings: any two lie on a line, which says nothing
	// of how far it may be off. scatter is then zero.
	spread  bool
	scatter quantity.Length // standard deviation of the readings about the line
	// Uncertainty is the expanded one (k = 2) of each reading, to be set by the caller; 0
	// where it is not known. Few readings may lie on a line by luck: no forecast claims
	// to know more than the instrument does.
	Uncertainty quantity.Length

	meanDay, sumSquares float64 // of the days from From
	meanSize            float64 // m
}

// Where Fit and Trend.Date come from, for the annex.
const (
	TrendSource    = "line through the readings by least squares: NIST/SEMATECH e-Handbook of Statistical Methods, 4.1.4.1"
	ForecastSource = "day on which the line reaches the limit; in brackets its 95 % interval by Fieller, Student's t with n − 2 degrees of freedom (from memory: Draper and Smith, Applied Regression Analysis, inverse regression)"
)

const (
	day         = 24 * time.Hour
	secondsADay = 86400.0
	mostYears   = 50 // beyond, a forecast is no forecast
	mostHistory = 1000
)

// Fit puts the least-squares line through a history of readings, in any order.
// Range: 2 to 1000 readings of 0.01 mm to 10 m on at least two days within 100
// years. Two readings give a line without a spread.
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 4.1.4.1 (linear least
// squares); held to NIST StRD Norris in the tests.
func Fit(history []Reading) (Trend, error) {
	n := len(history)
	if n < 2 || n > mostHistory {
		return Trend{}, fmt.Errorf("a history of %d readings is out of range: want 2 to %d", n, mostHistory)
	}
	sorted := slices.Clone(history)
	slices.SortFunc(sorted, func(a, b Reading) int { return a.Day.Compare(b.Day) })
	t := Trend{readings: n, From: sorted[0].Day, To: sorted[n-1].Day}
	days := make([]float64, n)
	for i, r := range sorted {
		if r.Day.IsZero() {
			return Trend{}, errors.New("a reading has no day")
		}
		if err := quantity.Within("reading of "+r.Day.Format(time.DateOnly), r.Size, leastSize, mostSize); err != nil {
			return Trend{}, err
		}
		// Unix seconds, since a Duration ends at 292 years.
		days[i] = float64(r.Day.Unix()-t.From.Unix()) / secondsADay
		t.meanDay += days[i] / float64(n)
		t.meanSize += float64(r.Size) / float64(n)
	}
	if days[n-1] < 1 || days[n-1] > 100*365.25 {
		return Trend{}, fmt.Errorf("the readings lie within %.3g days: want at least one day and at most 100 years between the first and the last", days[n-1])
	}
	products := 0.0
	for i, r := range sorted {
		dx := days[i] - t.meanDay
		t.sumSquares += dx * dx
		products += dx * (float64(r.Size) - t.meanSize)
	}
	slope := products / t.sumSquares
	t.Rate = quantity.Velocity(slope / secondsADay)
	if n > 2 {
		left := 0.0
		for i, r := range sorted {
			off := float64(r.Size) - t.meanSize - slope*(days[i]-t.meanDay)
			left += off * off
		}
		t.spread, t.scatter = true, quantity.Length(math.Sqrt(left/float64(n-2)))
	}
	return t, nil
}

// PerYear gives the change of size in a year of 365.25 days.
func (t Trend) PerYear() quantity.Length { return quantity.Length(float64(t.Rate) * year) }

// At gives the size on the line for a day.
func (t Trend) At(on time.Time) quantity.Length {
	days := float64(on.Unix()-t.From.Unix()) / secondsADay
	return quantity.Length(t.meanSize + float64(t.Rate)*secondsADay*(days-t.meanDay))
}

// Forecast is the day on which a limit is reached if the wear goes on as it did.
type Forecast struct {
	Day time.Time
	// Earliest and Latest bound the day at 95 % confidence where Spread is true. It is
	// false for two readings, and where they scatter too much to bound the day.
	Spread           bool
	Earliest, Latest time.Time
}

// Date forecasts the day on which the line reaches a limit, with its spread.
// Days are rounded down. Range: a limit of 0.01 mm to 10 m that lies ahead; a day
// within 50 years of the last reading. Where the size does not wear in the given
// direction, or is at its limit, there is no date: an error that says so.
// Source: day, from the line; spread, Fieller's interval for the point where a
// fitted line crosses a level, 95 %, Student's t with n − 2 degrees of freedom
// (from memory: Draper and Smith, Applied Regression Analysis, inverse
// regression; held to a simulation in the tests).
func (t Trend) Date(limit quantity.Length, wears Direction) (Forecast, error) {
	if t.sumSquares == 0 {
		return Forecast{}, errors.New("no trend: fit one to a history first")
	}
	if wears != Smaller && wears != Larger {
		return Forecast{}, errors.New("direction of wear out of range: want Smaller or Larger")
	}
	if err := quantity.Within("limit", limit, leastSize, mostSize); err != nil {
		return Forecast{}, err
	}
	slope := float64(t.Rate) * secondsADay // m a day
	if !(slope*float64(wears) > 0) {
		return Forecast{}, errors.New("no date: the readings show no wear")
	}
	if !(float64(limit-t.At(t.To))*float64(wears) > 0) {
		return Forecast{}, fmt.Errorf("no date: by its trend the size was at the limit of %.4g mm by %s", float64(limit)*1e3, t.To.Format(time.DateOnly))
	}
	ahead := float64(limit) - t.meanSize
	last := float64(t.To.Unix()-t.From.Unix()) / secondsADay
	crossing := t.meanDay + ahead/slope
	if crossing-last > mostYears*365.25 {
		return Forecast{}, fmt.Errorf("no date: at this rate the limit is more than %d years away", mostYears)
	}
	f := Forecast{Day: t.on(crossing)}
	if low, high, ok := t.fieller(slope, ahead); ok && high-last <= mostYears*365.25 {
		f.Spread, f.Earliest, f.Latest = true, t.on(low), t.on(high)
	}
	return f, nil
}

// byMonth is how far the bounds of a forecast may lie apart for its month to say
// something. Common practice, no source.
const byMonth = 366 * day

// Layout gives the layout, for time.Time.Format, to which the days of a forecast are
// worth printing: the month where its bounds lie within a year, else only the year.
func (f Forecast) Layout() string {
	if f.Spread && f.Latest.Sub(f.Earliest) <= byMonth {
		return "2006-01"
	}
	return "2006"
}

// on gives the day that lies so many days after the first reading, rounded down.
func (t Trend) on(days float64) time.Time { return t.From.AddDate(0, 0, int(math.Floor(days))) }

// fieller gives the days from From between which the line crosses the level, at
// 95 %. With u = x − x̄, d = level − ȳ, b the slope and q = t s, or the uncertainty of
// a reading where that is more, these are the
// roots of (b² − q²/Sxx) u² − 2 b d u + d² − q²/n = 0. ok is false for two readings, and
// where the slope is not told from zero, so that the interval is unbounded.
func (t Trend) fieller(slope, ahead float64) (low, high float64, ok bool) {
	if !t.spread {
		return 0, 0, false
	}
	q := max(studentT(t.readings-2)*float64(t.scatter), float64(t.Uncertainty))
	a := slope*slope - q*q/t.sumSquares
	c := ahead*ahead - q*q/float64(t.readings)
	root := slope*slope*ahead*ahead - a*c
	if !(a > 0) || !(root >= 0) {
		return 0, 0, false
	}
	mid, half := slope*ahead/a, math.Sqrt(root)/a
	return t.meanDay + mid - half, t.meanDay + mid + half, true
}

// tTable is Student's t for 95 % two-sided confidence, by degrees of freedom.
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2 (seen).
var tTable = []float64{12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
	2.201, 2.179, 2.160, 2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086,
	2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042}

// studentT gives Student's t for 95 % two-sided confidence. Beyond the table it
// is z + (z³ + z)/(4ν) + (5z⁵ + 16z³ + 3z)/(96ν²) with z = 1.960.
// Source: the table; Abramowitz and Stegun, 26.7.5 (from memory).
func studentT(freedom int) float64 {
	if freedom <= len(tTable) {
		return tTable[freedom-1]
	}
	const z = 1.959964
	nu := float64(freedom)
	return z + (z*z*z+z)/(4*nu) + (5*z*z*z*z*z+16*z*z*z+3*z)/(96*nu*nu)
}
