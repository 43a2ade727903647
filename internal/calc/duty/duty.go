// Package duty computes what a pump in service shows: its power, torque and
// efficiency, the speed of its rotor, and the margin of its inlet pressure over
// boiling.
//
// Entry points: Functions, which templates call by name. It belongs here if it is
// an expected reading at start-up. It is not for the flow of the pump, which is
// theoretical flow less slip (slip).
package duty

import (
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

// The ranges of the inputs. They bound what a pump can be, and are our own.
const (
	leastFlow, greatestFlow         quantity.Flow     = 1e-9, 10
	leastPressure, greatestPressure quantity.Pressure = 1, 100e6
	leastPower, greatestPower       quantity.Power    = 1e-6, 1e8
	slowest, fastest                quantity.Speed    = 0.1, 3000
)

// HydraulicPower gives the power that the liquid takes up: P = Q Δp, in W from
// m³/s and Pa. Range: flow from 10⁻⁹ to 10 m³/s, Δp from 1 Pa to 100 MPa.
//
// Source: Esposito, Fluid Power with Applications, chapter 5.
func HydraulicPower(flow quantity.Flow, difference quantity.Pressure) (quantity.Power, error) {
	if err := quantity.Within("flow", flow, leastFlow, greatestFlow); err != nil {
		return 0, err
	}
	if err := quantity.Within("pressure difference", difference, leastPressure, greatestPressure); err != nil {
		return 0, err
	}
	return quantity.Power(float64(flow) * float64(difference)), nil
}

// ShaftPower gives the power that the shaft takes for a hydraulic power:
// P = P_h / η, in W. Range: efficiency above 0.01 to 1.
//
// Source: Esposito, Fluid Power with Applications, chapter 5.
func ShaftPower(hydraulic quantity.Power, efficiency quantity.Number) (quantity.Power, error) {
	if err := quantity.Within("hydraulic power", hydraulic, leastPower, greatestPower); err != nil {
		return 0, err
	}
	if err := quantity.Within("efficiency", efficiency, 0.01, 1); err != nil {
		return 0, err
	}
	return hydraulic / quantity.Power(efficiency), nil
}

// Efficiency gives the efficiency of a pump: η = P_h / P. Range: hydraulic power
// no more than shaft power, and at least a hundredth of it.
//
// Source: Esposito, Fluid Power with Applications, chapter 5.
func Efficiency(hydraulic, shaft quantity.Power) (quantity.Number, error) {
	if err := quantity.Within("shaft power", shaft, leastPower, greatestPower); err != nil {
		return 0, err
	}
	if err := quantity.Within("hydraulic power", hydraulic, shaft/100, shaft); err != nil {
		return 0, err
	}
	return quantity.Number(hydraulic / shaft), nil
}

// VolumetricEfficiency gives the part of the theoretical flow that is delivered:
// η_v = Q / Q_th. Range: delivered no more than the theoretical flow, and at least
// a hundredth of it.
//
// Source: Esposito, Fluid Power with Applications, chapter 5.
func VolumetricEfficiency(delivered, theoretical quantity.Flow) (quantity.Number, error) {
	if err := quantity.Within("theoretical flow", theoretical, leastFlow, greatestFlow); err != nil {
		return 0, err
	}
	if err := quantity.Within("delivered flow", delivered, theoretical/100, theoretical); err != nil {
		return 0, err
	}
	return quantity.Number(delivered / theoretical), nil
}

// ShaftTorque gives the torque of a shaft by its power: T = P / ω, in N·m from W
// and rad/s. Range: power from 1 µW to 100 MW, speed from 0.1 to 3000 rad/s.
//
// Source: mechanics; Esposito, Fluid Power with Applications, chapter 5.
func ShaftTorque(power quantity.Power, speed quantity.Speed) (quantity.Torque, error) {
	if err := quantity.Within("power", power, leastPower, greatestPower); err != nil {
		return 0, err
	}
	if err := quantity.Within("speed", speed, slowest, fastest); err != nil {
		return 0, err
	}
	return quantity.Torque(float64(power) / float64(speed)), nil
}

// TorquePower gives the power of a shaft by its torque, the inverse of ShaftTorque:
// P = T ω. Range: torque from 1 µN·m to 10 MN·m, speed from 0.1 to 3000 rad/s.
//
// Source: as ShaftTorque.
func TorquePower(torque quantity.Torque, speed quantity.Speed) (quantity.Power, error) {
	if err := quantity.Within("torque", torque, 1e-6, 1e7); err != nil {
		return 0, err
	}
	if err := quantity.Within("speed", speed, slowest, fastest); err != nil {
		return 0, err
	}
	return quantity.Power(float64(torque) * float64(speed)), nil
}

// DisplacementTorque gives the torque that the pressure alone asks of the shaft:
// T = V Δp / 2π, in N·m from m³ a turn and Pa. What more is measured is friction.
// Range: displacement from 1 µL to 1 m³, Δp from 1 Pa to 100 MPa.
//
// Source: Esposito, Fluid Power with Applications, chapter 5.
func DisplacementTorque(displacement quantity.Volume, difference quantity.Pressure) (quantity.Torque, error) {
	if err := quantity.Within("displacement", displacement, 1e-9, 1); err != nil {
		return 0, err
	}
	if err := quantity.Within("pressure difference", difference, leastPressure, greatestPressure); err != nil {
		return 0, err
	}
	return quantity.Torque(float64(displacement) * float64(difference) / (2 * math.Pi)), nil
}

// TipSpeed gives the speed of a rotor at its outside: v = ω D / 2, in m/s. Range:
// diameter from 5 mm to 5 m, speed from 0.1 to 3000 rad/s.
//
// Source: mechanics.
func TipSpeed(diameter quantity.Length, speed quantity.Speed) (quantity.Velocity, error) {
	if err := quantity.Within("diameter", diameter, 5e-3, 5); err != nil {
		return 0, err
	}
	if err := quantity.Within("speed", speed, slowest, fastest); err != nil {
		return 0, err
	}
	return quantity.Velocity(float64(diameter) * float64(speed) / 2), nil
}

// PipeVelocity gives the mean speed of a flow in a round pipe: v = 4 Q / (π d²), in
// m/s. Range: flow from 10⁻⁹ to 10 m³/s, bore from 1 mm to 5 m.
//
// Source: continuity, geometry.
func PipeVelocity(flow quantity.Flow, bore quantity.Length) (quantity.Velocity, error) {
	if err := quantity.Within("flow", flow, leastFlow, greatestFlow); err != nil {
		return 0, err
	}
	if err := quantity.Within("bore", bore, 1e-3, 5); err != nil {
		return 0, err
	}
	return quantity.Velocity(4 * float64(flow) / (math.Pi * float64(bore) * float64(bore))), nil
}

const leastAir, greatestAir quantity.AbsolutePressure = 50e3, 110e3

// Absolute gives the absolute pressure of a gauge reading: p + p_air, in Pa. Range:
// gauge from −1 bar to 1000 bar and above vacuum; air from 0.5 to 1.1 bar.
//
// Source: definition of gauge pressure.
func Absolute(gauge quantity.GaugePressure, air quantity.AbsolutePressure) (quantity.AbsolutePressure, error) {
	if err := quantity.Within("air pressure", air, leastAir, greatestAir); err != nil {
		return 0, err
	}
	if err := quantity.Within("gauge pressure", gauge, -quantity.GaugePressure(air), 1e8); err != nil {
		return 0, err
	}
	return quantity.AbsolutePressure(gauge) + air, nil
}

// InletMargin gives how far the pressure at the inlet of a pump stands above that
// at which its liquid boils: p − p_v, in Pa. The pump's own need comes off it.
// Range: inlet from 1 Pa to 1000 bar, vapour pressure from 0 up to the inlet
// pressure, else the liquid boils before it reaches the pump: an error.
//
// Source: definition of net positive inlet pressure, ISO 16330 (from memory).
func InletMargin(inlet, vapour quantity.AbsolutePressure) (quantity.Pressure, error) {
	if err := quantity.Within("absolute inlet pressure", inlet, 1, 1e8); err != nil {
		return 0, err
	}
	if err := quantity.Within("vapour pressure", vapour, 0, 1e8); err != nil {
		return 0, err
	}
	if vapour >= inlet {
		return 0, fmt.Errorf("vapour pressure %.4g bar is out of range: want less than the absolute inlet pressure of %.4g bar, else the liquid boils before the pump", vapour/1e5, inlet/1e5)
	}
	return quantity.Pressure(inlet - vapour), nil
}
