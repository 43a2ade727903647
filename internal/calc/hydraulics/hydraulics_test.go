package hydraulics

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "hydraulics", Functions)
}

func TestInverses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		q, rho := quantity.Flow(draw("flow", 1e-4, 0.1)), quantity.Density(draw("density", 600, 1500))
		p := quantity.Pressure(draw("drop", 500, 2e5))
		kv, err := KvOf(q, p, rho)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := DropByKv(q, kv, rho); err != nil || math.Abs(float64(back/p-1)) > 1e-9 {
			t.Errorf("%g Pa comes back as %g (%v)", p, back, err)
		}
		share := quantity.Number(draw("share", 0, 0.9))
		dirty, err := DirtyDrop(p, share)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := BlockedShare(p, dirty); err != nil || math.Abs(float64(back-share)) > 1e-9 {
			t.Errorf("a share of %g comes back as %g (%v)", share, back, err)
		}
		h, err := HeadOf(p, rho)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := PressureOf(h, rho); err != nil || math.Abs(float64(back/p-1)) > 1e-9 {
			t.Errorf("%g Pa comes back as %g (%v)", p, back, err)
		}
	})
}

// A larger ring never has the smaller clearance.
func TestRingClearanceRises(t *testing.T) {
	was := quantity.Length(0)
	for mm := 10.0; mm <= 1000; mm++ {
		c, err := RingClearance(quantity.Length(mm / 1e3))
		if err != nil || c < was {
			t.Fatalf("%g mm: %g after %g (%v)", mm, c, was, err)
		}
		was = c
	}
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	good := map[string][]any{
		"drop_at_flow":   {quantity.Pressure(5000), quantity.Flow(0.01), quantity.Flow(0.012)},
		"drop_by_kv":     {quantity.Flow(0.01), quantity.Flow(0.02), quantity.Density(998)},
		"kv_of":          {quantity.Flow(0.01), quantity.Pressure(5000), quantity.Density(998)},
		"blocked_share":  {quantity.Pressure(5000), quantity.Pressure(20000)},
		"dirty_drop":     {quantity.Pressure(5000), quantity.Number(0.5)},
		"head_of":        {quantity.Pressure(1e5), quantity.Density(998)},
		"pressure_of":    {quantity.Length(10), quantity.Density(998)},
		"affinity_flow":  {quantity.Flow(0.01), quantity.Speed(150), quantity.Speed(180)},
		"affinity_head":  {quantity.Length(25), quantity.Speed(150), quantity.Speed(180)},
		"affinity_power": {quantity.Power(8000), quantity.Speed(150), quantity.Speed(180)},
		"ring_clearance": {quantity.Length(0.12)},
		"chamber_runout": {quantity.Length(0.1)},
		"front_turns":    {quantity.Length(4e-4), quantity.Length(1.25e-3)},
	}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name], "share")
	}
}
