package lifting

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "lifting", Functions)
}

func TestMoreOfAnythingAllowsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		inCM := func(name string, low, high float64) quantity.Length {
			return quantity.Length(rapid.Float64Range(low, high).Draw(t, name) / 100)
		}
		h, v, d := inCM("horizontal", 0, 80), inCM("vertical", 0, 200), inCM("distance", 0, 200)
		a := quantity.Angle(rapid.Float64Range(0, 180).Draw(t, "twist") * math.Pi / 180)
		f := quantity.Number(rapid.Float64Range(0, 20).Draw(t, "lifts a minute"))
		hours := quantity.Time(rapid.Float64Range(0.1, 7).Draw(t, "hours") * 3600)
		coupling := rapid.SampledFrom([]string{"good", "fair", "poor"}).Draw(t, "coupling")
		limit := func(h, v, d quantity.Length, a quantity.Angle, f quantity.Number, hours quantity.Time, coupling string) quantity.Mass {
			m, err := WeightLimit(h, v, d, a, f, hours, coupling)
			if err != nil {
				t.Fatal(err)
			}
			if m < 0 || m > loadConstant*(1+1e-12) {
				t.Fatalf("limit %g kg", m)
			}
			return m
		}
		was := limit(h, v, d, a, f, hours, coupling)
		away := v + 0.05
		if v < middle {
			away = max(0, v-0.05)
		}
		for name, m := range map[string]quantity.Mass{
			"farther forward":      limit(h+0.05, v, d, a, f, hours, coupling),
			"off the middle":       limit(h, away, d, a, f, hours, coupling),
			"higher through":       limit(h, v, d+0.05, a, f, hours, coupling),
			"more twist":           limit(h, v, d, min(math.Pi, a+0.1), f, hours, coupling),
			"more often":           limit(h, v, d, a, f+0.3, hours, coupling),
			"longer":               limit(h, v, d, a, f, hours+3600, coupling),
			"with a poor coupling": limit(h, v, d, a, f, hours, "poor"),
		} {
			if m > was*(1+1e-12) {
				t.Errorf("%s allows %g kg, more than %g kg", name, m, was)
			}
		}
	})
}

func TestFrequencyTableAtItsEntries(t *testing.T) {
	for c, hours := range hoursUpTo {
		for high, v := range []quantity.Length{middle - 0.01, middle} {
			for i, f := range frequencies {
				got, err := FrequencyFactor(quantity.Number(f), hours, v)
				if want := quantity.Number(multipliers[c][high][i]); err != nil || got != want {
					t.Errorf("%g lifts a minute, up to %g h, hands at %g m: %g (%v), want %g", f, hours/hour, v, got, err, want)
				}
			}
		}
	}
	// Halfway between 3 and 4 lifts a minute.
	if got, err := FrequencyFactor(3.5, hour, middle); err != nil || math.Abs(float64(got)-0.86) > 1e-12 {
		t.Errorf("3.5 lifts a minute: %g (%v), want 0.86", got, err)
	}
	if got, err := FrequencyFactor(8.5, 8*hour, middle-0.01); err != nil || got != 0 {
		t.Errorf("past the last entry: %g (%v), want 0", got, err)
	}
}

func TestHeavierNeedsMoreHelp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit := quantity.Mass(rapid.Float64Range(0, 23).Draw(t, "limit"))
		mass := quantity.Mass(rapid.Float64Range(0.1, 80).Draw(t, "mass"))
		help := func(m quantity.Mass) quantity.Number {
			n, err := PeopleFor(m, limit)
			if err != nil {
				t.Fatal(err)
			}
			if n == 0 {
				return 3
			}
			return n
		}
		if help(mass*1.05) < help(mass) {
			t.Errorf("%g kg needs less help than %g kg", mass*1.05, mass)
		}
	})
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	good := map[string][]any{
		"weight_limit":     {quantity.Length(0.4), quantity.Length(0.5), quantity.Length(0.5), quantity.Angle(0.2), quantity.Number(1), quantity.Time(3600), "good"},
		"frequency_factor": {quantity.Number(1), quantity.Time(3600), quantity.Length(0.5)},
		"coupling_factor":  {"fair", quantity.Length(0.5)},
		"lifting_index":    {quantity.Mass(20), quantity.Mass(15)},
		"people_for":       {quantity.Mass(20), quantity.Mass(15)},
	}
	for _, f := range Functions {
		zero := []string{"horizontal", "vertical", "distance", "angle", "per_minute"}
		if f.Name == "people_for" {
			zero = append(zero, "limit")
		}
		published.Spoil(t, f, good[f.Name], zero...)
	}
}
