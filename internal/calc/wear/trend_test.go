package wear

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

// norris is the data set of the same name, x then y, of the NIST Statistical
// Reference Datasets (public domain), with its certified values.
// Source: NIST StRD, linear regression, Norris (seen in copies of several
// libraries' tests).
var norris = [][2]float64{{0.2, 0.1}, {337.4, 338.8}, {118.2, 118.1}, {884.6, 888.0}, {10.1, 9.2}, {226.5, 228.1}, {666.3, 668.5}, {996.3, 998.5},
	{448.6, 449.1}, {777.0, 778.9}, {558.2, 559.2}, {0.4, 0.3}, {0.6, 0.1}, {775.5, 778.1}, {666.9, 668.8}, {338.0, 339.3}, {447.5, 448.9}, {11.6, 10.8},
	{556.0, 557.7}, {228.1, 228.3}, {995.8, 998.0}, {887.6, 888.8}, {120.2, 119.6}, {0.3, 0.3}, {0.3, 0.6}, {556.8, 557.6}, {339.1, 339.3}, {887.2, 888.0},
	{999.0, 998.5}, {779.0, 778.9}, {11.1, 10.2}, {118.3, 117.6}, {229.2, 228.9}, {669.1, 668.4}, {448.9, 449.2}, {0.5, 0.2}}

func TestNorris(t *testing.T) {
	const slope, intercept, scatter = 1.00211681802045, -0.262323073774029, 0.884796396144373
	base := time.Date(1990, 1, 1, 0, 0, 0, 0, time.UTC)
	var history []Reading
	for _, p := range norris { // ten days for each unit of x, a millimetre for each of y
		history = append(history, Reading{base.AddDate(0, 0, int(math.Round(p[0]*10))), quantity.Length(p[1] / 1000)})
	}
	got, err := Fit(history)
	if err != nil {
		t.Fatal(err)
	}
	scale := 10 * secondsADay * 1000 // from m/s to mm in ten days
	for what, pair := range map[string][2]float64{
		"slope": {float64(got.Rate) * scale, slope}, "intercept": {float64(got.At(base)) * 1000, intercept},
		"scatter": {float64(got.scatter) * 1000, scatter},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-9*math.Abs(pair[1]) {
			t.Errorf("%s: %.15g, certified %.15g", what, pair[0], pair[1])
		}
	}
}

// TestStudentT integrates the density of t by Simpson's rule up to the values of
// the table: half the confidence must lie between 0 and t.
func TestStudentT(t *testing.T) {
	for _, nu := range []int{1, 2, 3, 5, 10, 15, 20, 25, 29, 30, 31, 40, 60, 120} {
		limit := studentT(nu)
		v := float64(nu)
		lg1, _ := math.Lgamma((v + 1) / 2)
		lg2, _ := math.Lgamma(v / 2)
		k := math.Exp(lg1-lg2) / math.Sqrt(v*math.Pi)
		density := func(x float64) float64 { return k * math.Pow(1+x*x/v, -(v+1)/2) }
		const steps = 4000
		h, sum := limit/steps, density(0)+density(limit)
		for i := 1; i < steps; i++ {
			sum += density(float64(i)*h) * float64(2+2*(i%2))
		}
		part := 1e-4 // of three decimals in the table
		if nu > 30 {
			part = 1e-5
		}
		if p := sum * h / 3; math.Abs(p-0.475) > part {
			t.Errorf("ν = %d: t = %.3f holds %.5f on each side, want 0.475", nu, limit, p)
		}
	}
	if got := studentT(30); got != 2.042 {
		t.Errorf("ν = 30: %v, published 2.042", got)
	}
	// Source: NIST e-Handbook (seen): 40: 2.021, 60: 2.000, 100: 1.984.
	for nu, want := range map[int]float64{40: 2.021, 60: 2.000, 100: 1.984} {
		if got := studentT(nu); math.Abs(got-want) > 0.0015 {
			t.Errorf("ν = %d: %.4f, published %.3f", nu, got, want)
		}
	}
}

var start = time.Date(2020, 3, 1, 0, 0, 0, 0, time.UTC)

func worn(days int, size float64) Reading {
	return Reading{start.AddDate(0, 0, days), quantity.Length(size / 1000)}
}

func TestForecast(t *testing.T) {
	// 0.01 mm every 100 days from 32.00 mm: 31.90 mm after 1000 days.
	exact := []Reading{worn(0, 32.00), worn(200, 31.98), worn(400, 31.96), worn(600, 31.94)}
	trend, err := Fit([]Reading{exact[2], exact[0], exact[3], exact[1]})
	if err != nil {
		t.Fatal(err)
	}
	if got := float64(trend.PerYear()) * 1000; math.Abs(got+0.036525) > 1e-9 {
		t.Errorf("rate %v mm a year, want −0.036525", got)
	}
	f, err := trend.Date(0.0319, Smaller)
	if err != nil {
		t.Fatal(err)
	}
	if d := f.Day.Sub(start).Hours() / 24; d < 999 || d > 1000 || !f.Spread || f.Latest.Sub(f.Earliest) > 2*day {
		t.Errorf("got %+v, want day 1000 with hardly a spread", f)
	}
	if _, err := trend.Date(0.0330, Larger); err == nil || !strings.Contains(err.Error(), "no wear") {
		t.Errorf("a bore that shrinks has a date: %v", err)
	}
	if _, err := trend.Date(0.03195, Smaller); err == nil || !strings.Contains(err.Error(), "at the limit") {
		t.Errorf("a limit that is behind has a date: %v", err)
	}
	if _, err := trend.Date(0.0310, Smaller); err != nil {
		t.Error(err) // 28 years on
	}
	if _, err := trend.Date(0.0299, Smaller); err == nil || !strings.Contains(err.Error(), "50 years") {
		t.Errorf("57 years on has a date: %v", err)
	}
}

func TestTwoReadingsGiveNoSpread(t *testing.T) {
	trend, err := Fit([]Reading{worn(0, 50.00), worn(365, 50.02)})
	if err != nil || trend.spread || trend.scatter != 0 {
		t.Fatalf("%+v, %v", trend, err)
	}
	f, err := trend.Date(0.05008, Larger)
	if err != nil || f.Spread || !f.Earliest.IsZero() || !f.Latest.IsZero() {
		t.Errorf("%+v, %v", f, err)
	}
	if want := start.AddDate(0, 0, 4*365); f.Day.After(want) || f.Day.Before(want.AddDate(0, 0, -1)) {
		t.Errorf("%+v, want %v or the day before", f, want)
	}
}

func TestNoWearNoDate(t *testing.T) {
	for what, history := range map[string][]Reading{
		"none":    {worn(0, 32), worn(100, 32), worn(200, 32)},
		"growing": {worn(0, 32), worn(100, 32.01), worn(200, 32.03)},
	} {
		trend, err := Fit(history)
		if err != nil {
			t.Fatal(err)
		}
		if f, err := trend.Date(0.0319, Smaller); err == nil {
			t.Errorf("%s: %+v", what, f)
		}
	}
	noisy, err := Fit([]Reading{worn(0, 32.00), worn(100, 32.02), worn(200, 31.98), worn(300, 31.99)})
	if err != nil {
		t.Fatal(err)
	}
	if f, err := noisy.Date(0.0319, Smaller); err != nil || f.Spread {
		t.Errorf("noise: %+v, %v", f, err)
	}
	if _, err := (Trend{}).Date(0.03, Smaller); err == nil {
		t.Error("an empty trend has a date")
	}
	if _, err := noisy.Date(0.0319, 0); err == nil {
		t.Error("no direction is accepted")
	}
	if _, err := noisy.Date(quantity.Length(math.NaN()), Smaller); err == nil {
		t.Error("a limit that is no number is accepted")
	}
}

func TestHistoriesRefused(t *testing.T) {
	for what, history := range map[string][]Reading{
		"nothing": nil, "one": {worn(0, 32)}, "one day": {worn(5, 32), worn(5, 31.9), worn(5, 31.8)},
		"no day": {worn(0, 32), {Size: 0.03}}, "not a number": {worn(0, 32), worn(1, math.NaN())}, "infinite": {worn(0, 32), worn(1, math.Inf(1))},
		"zero": {worn(0, 32), worn(1, 0)}, "a century": {worn(0, 32), worn(40000, 31)}, "too many": slices.Repeat([]Reading{worn(0, 32), worn(9, 32)}, 501),
		"an age": {worn(0, 32), {time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC), 0.03}},
	} {
		if trend, err := Fit(history); err == nil {
			t.Errorf("%s: %+v", what, trend)
		}
	}
}

// TestSpreadHoldsTheTruth simulates wear of 0.02 mm a year with readings off by
// 0.005 mm: the true day must lie within the spread in 95 % of the cases.
func TestSpreadHoldsTheTruth(t *testing.T) {
	random := rand.New(rand.NewPCG(14253, 1))
	const trials, slope = 4000, 0.02 / 365.25
	const truth = 0.20 / slope // days until 0.20 mm is gone
	in, given := 0, 0
	for range trials {
		var history []Reading
		for d := 0; d <= 2100; d += 300 {
			history = append(history, worn(d, 32-slope*float64(d)+0.005*random.NormFloat64()))
		}
		trend, err := Fit(history)
		if err != nil {
			t.Fatal(err)
		}
		f, err := trend.Date(0.0318, Smaller)
		if err != nil {
			t.Fatal(err)
		}
		if !f.Spread {
			continue
		}
		given++
		if f.Earliest.After(f.Day) || f.Latest.Before(f.Day) {
			t.Fatalf("the day is outside its spread: %+v", f)
		}
		low, high := f.Earliest.Sub(start).Hours()/24, f.Latest.Sub(start).Hours()/24+1
		if low <= truth && truth <= high {
			in++
		}
	}
	if part := float64(in) / float64(given); given < trials*99/100 || part < 0.94 || part > 0.96 {
		t.Errorf("the truth lies in %.3f of %d spreads, want 0.95", part, given)
	}
}

// TestAForecastKnowsNoMoreThanItsInstrument: readings that happen to lie on a line have
// the spread of the instrument, not none, and the date is worth its month only where
// the spread is within a year.
func TestAForecastKnowsNoMoreThanItsInstrument(t *testing.T) {
	history := []Reading{worn(0, 32), worn(365, 31.95), worn(730, 31.90)}
	trend, err := Fit(history)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		u      quantity.Length
		spread bool
		months float64 // from earliest to latest, about
		layout string
	}{
		{0, true, 0, "2006-01"},
		// By hand: twice U/0.05 mm years times √(1/3 + 5²/2), five years from the middle.
		{1e-6, true, 1.72, "2006-01"},
		{5e-6, true, 8.6, "2006-01"},
		{1e-5, true, 17.2, "2006"},
		{9e-5, false, 0, "2006"},
	} {
		trend.Uncertainty = c.u
		f, err := trend.Date(0.0317, Smaller)
		if err != nil {
			t.Fatal(err)
		}
		months := f.Latest.Sub(f.Earliest).Hours() / 24 / 30.44
		if f.Spread != c.spread || f.Spread && math.Abs(months-c.months) > 0.06+0.04*c.months || f.Layout() != c.layout {
			t.Errorf("U %v: spread %v over %.2f months, printed as %s; want %v", c.u, f.Spread, months, f.Layout(), c)
		}
	}
	// Where the readings scatter by more than the instrument, they say how far.
	scattered, err := Fit([]Reading{worn(0, 32), worn(365, 31.951), worn(730, 31.90)})
	if err != nil {
		t.Fatal(err)
	}
	plain, err := scattered.Date(0.0317, Smaller)
	if err != nil {
		t.Fatal(err)
	}
	scattered.Uncertainty = 1e-6
	if f, err := scattered.Date(0.0317, Smaller); err != nil || f.Earliest != plain.Earliest || f.Latest != plain.Latest {
		t.Errorf("a better instrument than the scatter changes %v to %v (%v)", plain, f, err)
	}
	// The last day is bounded by 50 years from the last reading, not from the first.
	farthest := 0.0
	for u := quantity.Length(1e-5); u < 9e-5; u += 1e-7 {
		trend.Uncertainty = u
		if f, err := trend.Date(0.0317, Smaller); err == nil && f.Spread {
			farthest = max(farthest, f.Latest.Sub(trend.To).Hours()/24/365.25)
		}
	}
	if farthest < 48.5 || farthest > 50 {
		t.Errorf("the farthest bound is %.2f years away, want nearly 50", farthest)
	}
	two, err := Fit(history[:2])
	if err != nil {
		t.Fatal(err)
	}
	if f, err := two.Date(0.0317, Smaller); err != nil || f.Layout() != "2006" {
		t.Errorf("two readings print as %s (%v)", f.Layout(), err)
	}
}

// TestMoreWearComesSooner: a faster rate or a nearer limit gives an earlier day.
func TestMoreWearComesSooner(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rate := rapid.Float64Range(0.005, 0.05).Draw(rt, "mm a year")
		at := func(rate, limit float64) time.Time {
			var history []Reading
			for y := range 5 {
				history = append(history, worn(y*365, 32-rate*float64(y)))
			}
			trend, err := Fit(history)
			if err != nil {
				rt.Fatal(err)
			}
			f, err := trend.Date(quantity.Length(limit/1000), Smaller)
			if err != nil {
				rt.Fatal(err)
			}
			return f.Day
		}
		day := at(rate, 31.75)
		if !at(rate*1.1, 31.75).Before(day) || !at(rate, 31.76).Before(day) {
			rt.Fatal("faster wear or a nearer limit does not come sooner")
		}
	})
}
