package liquid

import (
	"fmt"

	"jobsheaf/internal/quantity"
)

// The borders of the flammable categories.
const (
	flash23 quantity.Temperature = 23 + 273.15
	flash60 quantity.Temperature = 60 + 273.15
	flash93 quantity.Temperature = 93 + 273.15
	boil35  quantity.Temperature = 35 + 273.15
	// onBorder absorbs the rounding of a conversion: 140 °F is 60 °C.
	onBorder quantity.Temperature = 1e-6
	// near is the 30 °F (16.7 °C) of the rule for heated liquids; the rounded figure
	// is the wider one.
	near quantity.Temperature = 16.7
)

// The ranges of flash and boiling points, and of what is held against them:
// −100 to 500 °C and −100 to 700 °C. They bound what is pumped, and are our own.
const (
	coldestFlash, hottestFlash quantity.Temperature = 173.15, 773.15
	coldestBoil, hottestBoil   quantity.Temperature = 173.15, 973.15
)

// FlammableCategory gives the GHS category of a flammable liquid, 1 (worst) to 4,
// or 0 for one that is in none:
//
//	1: flash < 23 °C, boiling ≤ 35 °C      2: flash < 23 °C, boiling > 35 °C
//	3: 23 °C ≤ flash ≤ 60 °C               4: 60 °C < flash ≤ 93 °C
//
// with the closed-cup flash point and the initial boiling point. It is for a liquid
// that has a flash point; one that does not flash is in no category. Range: flash
// from −100 to 500 °C, boiling from −100 to 700 °C and above the flash point.
//
// Source: 29 CFR 1910.106(a)(19)(i) to (iv); UN GHS, table 2.6.1.
func FlammableCategory(flash, boiling quantity.Temperature) (quantity.Number, error) {
	if err := quantity.Within("flash point", flash, coldestFlash, hottestFlash); err != nil {
		return 0, err
	}
	if err := quantity.Within("boiling point", boiling, coldestBoil, hottestBoil); err != nil {
		return 0, err
	}
	if boiling <= flash {
		// A vapour that burns in air is below one atmosphere.
		return 0, fmt.Errorf("boiling point %.5g °C is out of range: want it above the flash point of %.5g °C", boiling-273.15, flash-273.15)
	}
	switch {
	case flash < flash23-onBorder && boiling <= boil35+onBorder:
		return 1, nil
	case flash < flash23-onBorder:
		return 2, nil
	case flash <= flash60+onBorder:
		return 3, nil
	case flash <= flash93+onBorder:
		return 4, nil
	}
	return 0, nil
}

// NearFlash says whether a liquid at a temperature is within 30 °F (16.7 K) of its
// flash point, or above it. Range: flash from −100 to 500 °C, temperature from
// −100 to 500 °C.
//
// Source: 29 CFR 1910.106(a)(19)(iii) and (iv).
func NearFlash(flash, temperature quantity.Temperature) (bool, error) {
	if err := quantity.Within("flash point", flash, coldestFlash, hottestFlash); err != nil {
		return false, err
	}
	if err := quantity.Within("temperature", temperature, coldestFlash, hottestFlash); err != nil {
		return false, err
	}
	return temperature >= flash-near-onBorder, nil
}

// HeatedCategory gives the category by whose rules a liquid is handled that is
// heated for use: its own, or one worse where NearFlash says so and it is in
// category 4 (as 3) or in none (as 4). Category 3 near its flash point stays 3,
// but is handled as one with a flash point below 100 °F. Range: as
// FlammableCategory and NearFlash.
//
// Source: 29 CFR 1910.106(a)(19)(iii) and (iv); (v), for a flash point above 93 °C,
// from memory.
func HeatedCategory(flash, boiling, temperature quantity.Temperature) (quantity.Number, error) {
	category, err := FlammableCategory(flash, boiling)
	if err != nil {
		return 0, err
	}
	close, err := NearFlash(flash, temperature)
	if err != nil {
		return 0, err
	}
	switch {
	case close && category == 4:
		return 3, nil
	case close && category == 0:
		return 4, nil
	}
	return category, nil
}

// CorrosivePH says whether a pH classes a liquid as corrosive to skin: 2 or less,
// or 11.5 or more, unless tests or its acid or alkali reserve show otherwise.
// Range: pH from −2 to 16.
//
// Source: 29 CFR 1910.1200 appendix A.2; UN GHS 3.2.2.2.
func CorrosivePH(ph quantity.Number) (bool, error) {
	if err := quantity.Within("pH", ph, -2, 16); err != nil {
		return false, err
	}
	return ph <= 2 || ph >= 11.5, nil
}
