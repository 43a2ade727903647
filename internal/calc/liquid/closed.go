package liquid

import (
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

// TrappedRise gives by how much the pressure of a liquid rises that fills a closed
// metal space and warms with it:
//
//	Δp = (α_f − 3 α_m) ΔT / (β + D / (t E))
//
// with the cubic expansion α_f of the liquid and the linear one α_m of the metal in
// 1/K, the compressibility β in 1/Pa, and the diameter D, wall t and modulus E of
// the space. Constant properties understate the rise over a large ΔT: that of water
// doubles over 40 K. Range: α_f from 10⁻⁵ to 3·10⁻³ 1/K and above 3 α_m, β from
// 10⁻¹¹ to 10⁻⁸ 1/Pa, ΔT from 0.1 to 300 K, D from 2 t to 10 000 t.
//
// Source: balance of volumes as in ANSI/API 521 (2007), hydraulic expansion, which
// puts (2.5 − 2ν) D / (2 t E) for the last term: 5 % less for steel.
func TrappedRise(liquidExpansion, metalExpansion quantity.Expansion, compressibility quantity.Compressibility, difference quantity.TemperatureDifference, diameter, wall quantity.Length, modulus quantity.Pressure) (quantity.Pressure, error) {
	if err := quantity.Within("expansion of the liquid", liquidExpansion, 1e-5, 3e-3); err != nil {
		return 0, err
	}
	if err := quantity.Within("linear expansion of the metal", metalExpansion, 1e-6, 5e-5); err != nil {
		return 0, err
	}
	if liquidExpansion <= 3*metalExpansion {
		return 0, fmt.Errorf("expansion of the liquid %.4g 1/K is out of range: want more than three times that of the metal, %.4g 1/K; else the pressure does not rise", liquidExpansion, metalExpansion)
	}
	if err := quantity.Within("compressibility", compressibility, 1e-11, 1e-8); err != nil {
		return 0, err
	}
	if err := quantity.Within("temperature difference", difference, 0.1, 300); err != nil {
		return 0, err
	}
	if err := quantity.Within("diameter", diameter, 1e-3, 10); err != nil {
		return 0, err
	}
	if err := quantity.Within("wall", wall, diameter/1e4, diameter/2); err != nil {
		return 0, err
	}
	if err := quantity.Within("modulus", modulus, 1e9, 1e12); err != nil {
		return 0, err
	}
	give := float64(compressibility) + float64(diameter)/(float64(wall)*float64(modulus))
	return quantity.Pressure(float64(liquidExpansion-3*metalExpansion) * float64(difference) / give), nil
}

// CylinderVolume gives the volume of a round space: V = π/4 d² L, in m³ from m.
// Range: bore from 1 mm to 5 m, length from 1 mm to 1 km.
//
// Source: geometry.
func CylinderVolume(bore, length quantity.Length) (quantity.Volume, error) {
	if err := quantity.Within("bore", bore, 1e-3, 5); err != nil {
		return 0, err
	}
	if err := quantity.Within("length", length, 1e-3, 1000); err != nil {
		return 0, err
	}
	return quantity.Volume(math.Pi / 4 * float64(bore) * float64(bore) * float64(length)), nil
}

// fullest is the part of a container that drained liquid may fill, so that it can
// be moved without spilling. Common practice, no source.
const fullest = 0.8

// containers are sizes in which pans, pails, drums and bulk containers are commonly
// had, m³. Common practice, no source.
var containers = []quantity.Volume{1e-3, 2e-3, 5e-3, 10e-3, 20e-3, 30e-3, 60e-3, 120e-3, 200e-3, 1}

// ContainerFor gives the smallest container of the series 1, 2, 5, 10, 20, 30, 60,
// 120, 200 and 1000 L that a volume fills to no more than 80 %. Range: 1 mL to
// 800 L.
//
// Source: common practice, no source.
func ContainerFor(volume quantity.Volume) (quantity.Volume, error) {
	largest := containers[len(containers)-1]
	if err := quantity.Within("volume to catch", volume, 1e-6, fullest*largest); err != nil {
		return 0, err
	}
	for _, c := range containers {
		if volume <= fullest*c*(1+1e-9) {
			return c, nil
		}
	}
	return largest, nil
}
