package liquid

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func celsius(t float64) quantity.Temperature { return quantity.Temperature(t + 273.15) }

func near1(got, want, tolerance float64) bool { return math.Abs(got/want-1) <= tolerance }

func TestHotterIsThinner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hot := rapid.Float64Range(1, 1000).Draw(t, "viscosity, hot")
		cold := hot * rapid.Float64Range(1.1, 50).Draw(t, "times thicker, cold")
		t1, t2 := celsius(rapid.Float64Range(0, 40).Draw(t, "cold")), celsius(rapid.Float64Range(60, 120).Draw(t, "hot"))
		at := func(c quantity.Temperature) float64 {
			v, err := ViscosityAt(c, t1, quantity.KinematicViscosity(cold*1e-6), t2, quantity.KinematicViscosity(hot*1e-6))
			if err != nil {
				t.Fatal(err)
			}
			return float64(v) * 1e6
		}
		if !near1(at(t1), cold, 1e-9) || !near1(at(t2), hot, 1e-9) {
			t.Errorf("the known points come back as %g and %g", at(t1), at(t2))
		}
		between := t1 + (t2-t1)*quantity.Temperature(rapid.Float64Range(0.01, 0.99).Draw(t, "between"))
		if v := at(between); v >= cold || v <= hot {
			t.Errorf("between %g and %g lies %g", cold, hot, v)
		}
		if at(between+0.5) >= at(between) {
			t.Error("half a kelvin hotter is not thinner")
		}
	})
}

// ASTM D341 gives a fitted inverse of Z; ours is iterated. They must agree.
func TestInverseOfZAgainstTheStandards(t *testing.T) {
	for n := 0.21; n < 100; n *= 1.1 {
		y := walther(quantity.KinematicViscosity(n * 1e-6))
		z := math.Pow(10, math.Pow(10, y)) - 0.7
		fitted := z - math.Exp(-0.7487-3.295*z+0.6119*z*z-0.3193*z*z*z)
		ours := float64(unwalther(y)) * 1e6
		if !near1(ours, n, 1e-9) || !near1(fitted, n, 0.01) {
			t.Errorf("ν %g: ours %g, the standard's fit %g", n, ours, fitted)
		}
	}
}

func TestSayboltInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := quantity.KinematicViscosity(math.Pow(10, rapid.Float64Range(0.3, 4.9).Draw(t, "log viscosity")) * 1e-6)
		temperature := celsius(rapid.Float64Range(0, 176).Draw(t, "temperature"))
		sus, err := SayboltOf(v, temperature)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Saybolt(sus, temperature)
		if err != nil || !near1(float64(back), float64(v), 1e-9) {
			t.Errorf("%g m²/s is %g SUS and comes back as %g (%v)", v, sus, back, err)
		}
		nu := quantity.KinematicViscosity(v)
		mu, err := Dynamic(nu, 950)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := Kinematic(mu, 950); err != nil || !near1(float64(again), float64(nu), 1e-12) {
			t.Errorf("kinematic of dynamic: %g, want %g (%v)", again, nu, err)
		}
	})
}

func TestBoilingRisesWithPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := quantity.AbsolutePressure(rapid.Float64Range(0.6e5, 9e5).Draw(t, "pressure"))
		at := func(p quantity.AbsolutePressure) quantity.Temperature {
			b, err := BoilingAt(p, celsius(100), 101418, celsius(150), 476101)
			if err != nil {
				t.Fatal(err)
			}
			return b
		}
		if at(p*1.01) <= at(p) {
			t.Error("more pressure does not boil hotter")
		}
		swapped, err := BoilingAt(p, celsius(150), 476101, celsius(100), 101418)
		if err != nil || math.Abs(float64(swapped-at(p))) > 1e-9 {
			t.Errorf("points swapped: %g, want %g (%v)", swapped, at(p), err)
		}
	})
}

// BoilingKnown says yes just where BoilingAt answers.
func TestBoilingKnownWhereItIsAnswered(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := quantity.AbsolutePressure(math.Exp(rapid.Float64Range(math.Log(1), math.Log(1e7)).Draw(rt, "pressure")))
		p1 := quantity.AbsolutePressure(math.Exp(rapid.Float64Range(math.Log(100), math.Log(1e5)).Draw(rt, "p1")))
		p2 := p1 * quantity.AbsolutePressure(rapid.Float64Range(1.2, 50).Draw(rt, "ratio"))
		known, err := BoilingKnown(p, p1, p2)
		if err != nil {
			rt.Fatal(err)
		}
		if _, err := BoilingAt(p, celsius(20), p1, celsius(80), p2); (err == nil) != known {
			rt.Fatalf("at %v Pa, with points of %v and %v Pa, it is known: %v, and answered: %v", p, p1, p2, known, err)
		}
		if turned, err := BoilingKnown(p, p2, p1); err != nil || turned != known {
			rt.Fatalf("with the points turned round: %v, %v", turned, err)
		}
	})
}

func TestCoolingInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mass := quantity.Mass(rapid.Float64Range(1, 500).Draw(t, "mass"))
		from := celsius(rapid.Float64Range(80, 300).Draw(t, "from"))
		to := celsius(rapid.Float64Range(30, 79).Draw(t, "to"))
		air := celsius(rapid.Float64Range(-10, 25).Draw(t, "air"))
		took, err := CoolingTime(mass, 500, 1, 8, from, to, air)
		if err != nil {
			t.Fatal(err)
		}
		longer, err := CoolingTime(mass, 500, 1, 8, from, to-1, air)
		if err != nil || longer <= took {
			t.Errorf("to a degree less takes %g s, not longer than %g s (%v)", longer, took, err)
		}
		if took > 3.6e6 {
			return
		}
		back, err := TemperatureAfter(mass, 500, 1, 8, from, air, took)
		if err != nil || math.Abs(float64(back-to)) > 1e-6 {
			t.Errorf("after that time it is at %g K, want %g K (%v)", back, to, err)
		}
	})
}

func TestTouchLimitFallsWithTime(t *testing.T) {
	for _, row := range touchLimits {
		if len(row.limit) != len(touchTimes) {
			t.Fatalf("%s: %d limits for %d times", row.material, len(row.limit), len(touchTimes))
		}
		last := quantity.Temperature(math.Inf(1))
		for contact := quantity.Time(0.5); contact <= 28800; contact *= 1.3 {
			limit, err := TouchLimit(row.material, contact)
			if err != nil {
				t.Fatal(err)
			}
			if limit > last {
				t.Errorf("%s: %g s may be hotter than less", row.material, contact)
			}
			last = limit
		}
		for i, contact := range touchTimes {
			if limit, err := TouchLimit(row.material, quantity.Time(contact)); err != nil || limit != celsius(row.limit[i]) {
				t.Errorf("%s at %g s: %g K (%v), want the table's own %g °C", row.material, contact, limit, err, row.limit[i])
			}
		}
	}
}

func TestWarmerLiquidIsNeverInASaferCategory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flash := rapid.Float64Range(-50, 150).Draw(t, "flash")
		boiling := flash + rapid.Float64Range(1, 200).Draw(t, "boiling above flash")
		cold, hot := rapid.Float64Range(-20, 100).Draw(t, "cold"), 0.0
		hot = cold + rapid.Float64Range(0, 200).Draw(t, "hotter by")
		// 0, no category, is the mildest; 1 is the worst.
		severity := func(c quantity.Number) quantity.Number {
			if c == 0 {
				return 0
			}
			return 5 - c
		}
		a, err := HeatedCategory(celsius(flash), celsius(boiling), celsius(cold))
		if err != nil {
			t.Fatal(err)
		}
		b, err := HeatedCategory(celsius(flash), celsius(boiling), celsius(hot))
		if err != nil {
			t.Fatal(err)
		}
		if severity(b) < severity(a) {
			t.Errorf("category %g at %g °C, %g at %g °C", a, cold, b, hot)
		}
	})
}

func TestContainersAreFullEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := quantity.Volume(rapid.Float64Range(1e-6, 0.8).Draw(t, "volume"))
		c, err := ContainerFor(v)
		if err != nil || v > fullest*c*(1+1e-6) {
			t.Errorf("%g m³ goes into %g m³ (%v)", v, c, err)
		}
	})
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	lump := []any{quantity.Mass(100), quantity.SpecificHeat(500), quantity.Area(1), quantity.FilmCoefficient(8)}
	good := map[string][]any{
		"viscosity_at":         {celsius(60), celsius(40), quantity.KinematicViscosity(1e-4), celsius(100), quantity.KinematicViscosity(1e-5)},
		"saybolt":              {quantity.Number(100), celsius(40)},
		"saybolt_of":           {quantity.KinematicViscosity(1e-4), celsius(40)},
		"dynamic":              {quantity.KinematicViscosity(1e-4), quantity.Density(900)},
		"kinematic":            {quantity.DynamicViscosity(0.1), quantity.Density(900)},
		"flammable_category":   {celsius(30), celsius(120)},
		"heated_category":      {celsius(30), celsius(120), celsius(50)},
		"near_flash":           {celsius(30), celsius(50)},
		"corrosive_ph":         {quantity.Number(14)},
		"antoine_boiling":      {quantity.Number(5.2), quantity.Number(1990), quantity.Number(10), celsius(1), celsius(101), quantity.AbsolutePressure(101325)},
		"boiling_at":           {quantity.AbsolutePressure(2e5), celsius(100), quantity.AbsolutePressure(101418), celsius(150), quantity.AbsolutePressure(476101)},
		"boiling_known":        {quantity.AbsolutePressure(2e5), quantity.AbsolutePressure(101418), quantity.AbsolutePressure(476101)},
		"touch_limit":          {"bare metal", quantity.Time(60)},
		"cooling_time":         append(lump[:4:4], celsius(150), celsius(50), celsius(20)),
		"cooling_time_checked": append(lump[:4:4], celsius(150), celsius(50), celsius(20), quantity.Conductivity(50), quantity.Volume(0.01)),
		"viscosity_between":    {celsius(60), celsius(40), quantity.KinematicViscosity(32e-6), celsius(100), quantity.KinematicViscosity(5.4e-6)},
		"lagged_film":          {quantity.FilmCoefficient(8), quantity.Length(0.05), quantity.Conductivity(0.05)},
		"temperature_after":    append(lump[:4:4], celsius(150), celsius(20), quantity.Time(3600)),
		"trapped_rise": {quantity.Expansion(2e-4), quantity.Expansion(1.2e-5), quantity.Compressibility(4e-10), quantity.TemperatureDifference(10),
			quantity.Length(0.1), quantity.Length(0.005), quantity.Pressure(2e11)},
		"cylinder_volume": {quantity.Length(0.08), quantity.Length(3)},
		"container_for":   {quantity.Volume(0.01)},
	}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name], "ph", "after")
	}
}
