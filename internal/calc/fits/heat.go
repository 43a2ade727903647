package fits

import (
	"fmt"

	"jobsheaf/internal/calc/material"
	"jobsheaf/internal/quantity"
)

// The temperatures of shop practice: common practice, no source. Above 300 °C
// steel may lose hardness; dry ice reaches about −80 °C.
const (
	hottestPart = quantity.Temperature(573.15) // 300 °C
	coldestPart = quantity.Temperature(193.15) // −80 °C
	coldestShop = quantity.Temperature(243.15) // −30 °C
	hottestShop = quantity.Temperature(333.15) // 60 °C
)

// HeatRise gives by how much a part must be warmer (or its mate colder) than now
// to go together with a clearance in hand: ΔT = (δ + c)/(α d).
// Range: δ 0 to 1 % of d, c 0 to 1 % of d, d 1 mm to 2 m, α 0.1 to 300
// µm/(m·K), and a difference of 1 to 300 K.
// Source: definition of linear expansion.
func HeatRise(interference, clearance, diameter quantity.Length, expansion quantity.Expansion) (quantity.TemperatureDifference, error) {
	if err := quantity.Within("diameter of the fit", diameter, leastDiameter, mostDiameter); err != nil {
		return 0, err
	}
	if err := quantity.Within("interference", interference, 0, diameter/100); err != nil {
		return 0, err
	}
	if err := quantity.Within("assembly clearance", clearance, 0, diameter/100); err != nil {
		return 0, err
	}
	if err := quantity.Within("expansion", expansion, 1e-7, 3e-4); err != nil {
		return 0, err
	}
	rise := quantity.TemperatureDifference(float64((interference+clearance)/diameter) / float64(expansion))
	if err := quantity.Within("temperature difference", rise, 1, 300); err != nil {
		return 0, err
	}
	return rise, nil
}

// HeatTemperature gives the temperature at which the outer part drops on:
// T = T from + (δ + c)/(α d), the inner part staying at T from.
// Range: as HeatRise; T from −30 to 60 °C; T up to 300 °C. Expansion rises with
// temperature, so that the part opens rather more than this counts on.
// Source: definition of linear expansion; expansions as package material says.
func HeatTemperature(interference, clearance, diameter quantity.Length, materialName string, from quantity.Temperature) (quantity.Temperature, error) {
	return HeatTemperatureBelow(interference, clearance, diameter, materialName, from, hottestPart)
}

// HeatTemperatureBelow is HeatTemperature with a cap that the part must not
// pass, such as 120 °C for a rolling bearing (common practice, no source): a
// result above the cap is an error. Range: cap −30 to 300 °C.
func HeatTemperatureBelow(interference, clearance, diameter quantity.Length, materialName string, from, limit quantity.Temperature) (quantity.Temperature, error) {
	rise, err := riseFrom(interference, clearance, diameter, materialName, from)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("cap on the temperature", limit, coldestShop, hottestPart); err != nil {
		return 0, err
	}
	t := from + rise
	if err := quantity.Within("temperature of the heated part", t, from, limit); err != nil {
		return 0, fmt.Errorf("%w: press it, or cool the mating part as well", err)
	}
	return t, nil
}

// CoolTemperature gives the temperature at which a cooled inner part drops in:
// T = T from − (δ + c)/(α d). Range: as HeatRise; T from −30 to 60 °C; T down to
// −80 °C. Expansion falls in the cold: allow more clearance.
// Source: definition of linear expansion; expansions as package material says.
func CoolTemperature(interference, clearance, diameter quantity.Length, materialName string, from quantity.Temperature) (quantity.Temperature, error) {
	rise, err := riseFrom(interference, clearance, diameter, materialName, from)
	if err != nil {
		return 0, err
	}
	t := from - rise
	if err := quantity.Within("temperature of the cooled part", t, coldestPart, from); err != nil {
		return 0, fmt.Errorf("%w: heat the mating part as well", err)
	}
	return t, nil
}

func riseFrom(interference, clearance, diameter quantity.Length, materialName string, from quantity.Temperature) (quantity.Temperature, error) {
	m, err := material.Named(materialName)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("temperature before", from, coldestShop, hottestShop); err != nil {
		return 0, err
	}
	rise, err := HeatRise(interference, clearance, diameter, m.Expansion)
	return quantity.Temperature(rise), err
}
