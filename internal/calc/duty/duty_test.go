package duty

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "duty", Functions)
}

func TestInverses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hydraulic := quantity.Power(rapid.Float64Range(1, 1e5).Draw(t, "hydraulic power"))
		eta := quantity.Number(rapid.Float64Range(0.02, 1).Draw(t, "efficiency"))
		speed := quantity.Speed(rapid.Float64Range(1, 300).Draw(t, "speed"))
		shaft, err := ShaftPower(hydraulic, eta)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := Efficiency(hydraulic, shaft); err != nil || math.Abs(float64(back/eta-1)) > 1e-12 {
			t.Errorf("efficiency comes back as %g, want %g (%v)", back, eta, err)
		}
		torque, err := ShaftTorque(shaft, speed)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := TorquePower(torque, speed); err != nil || math.Abs(float64(back/shaft-1)) > 1e-12 {
			t.Errorf("power comes back as %g, want %g (%v)", back, shaft, err)
		}
	})
}

// What a pump without loss takes in at the shaft it gives to the liquid.
func TestNoLossNoDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := quantity.Volume(rapid.Float64Range(1e-5, 1e-2).Draw(t, "displacement"))
		p := quantity.Pressure(rapid.Float64Range(1e4, 3e6).Draw(t, "difference"))
		speed := quantity.Speed(rapid.Float64Range(1, 180).Draw(t, "speed"))
		torque, err := DisplacementTorque(v, p)
		if err != nil {
			t.Fatal(err)
		}
		in, err := TorquePower(torque, speed)
		if err != nil {
			t.Fatal(err)
		}
		out, err := HydraulicPower(quantity.Flow(float64(v)*float64(speed)/(2*math.Pi)), p)
		if err != nil || math.Abs(float64(out/in-1)) > 1e-12 {
			t.Errorf("in %g W, out %g W (%v)", in, out, err)
		}
	})
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	good := map[string][]any{
		"hydraulic_power":       {quantity.Flow(0.0025), quantity.Pressure(6e5)},
		"shaft_power":           {quantity.Power(1500), quantity.Number(0.7)},
		"efficiency":            {quantity.Power(1500), quantity.Power(2000)},
		"volumetric_efficiency": {quantity.Flow(0.002), quantity.Flow(0.0025)},
		"shaft_torque":          {quantity.Power(1500), quantity.Speed(30)},
		"torque_power":          {quantity.Torque(50), quantity.Speed(30)},
		"displacement_torque":   {quantity.Volume(5e-4), quantity.Pressure(6e5)},
		"tip_speed":             {quantity.Length(0.14), quantity.Speed(30)},
		"pipe_velocity":         {quantity.Flow(0.0025), quantity.Length(0.08)},
		"absolute":              {quantity.GaugePressure(6e5), quantity.AbsolutePressure(101325)},
		"inlet_margin":          {quantity.AbsolutePressure(1.2e5), quantity.AbsolutePressure(2e3)},
	}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name], "gauge", "vapour")
	}
	if p, err := Absolute(-20e3, 101325); err != nil || p != 81325 {
		t.Errorf("below the air's pressure: %g Pa (%v), want 81325", p, err)
	}
}
