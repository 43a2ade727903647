package liquid

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/quantity"
)

// touchTimes are the contact times of the table, s; touchLimits the surface
// temperatures, °C, below which contact for that time does not burn.
// Source: ISO 13732-1:2006, from memory; the cells up to 10 s are within 2 °C.
var (
	touchTimes  = []float64{0.5, 1, 4, 10, 60, 600, 28800}
	touchLimits = []struct {
		material string
		limit    []float64
	}{
		{"bare metal", []float64{67, 65, 58, 55, 51, 48, 43}},
		{"ceramic", []float64{84, 80, 70, 66, 56, 48, 43}}, // with glass and stone
		{"plastic", []float64{91, 85, 74, 71, 60, 48, 43}},
		{"wood", []float64{128, 110, 93, 89, 60, 48, 43}},
	}
)

// TouchLimit gives the surface temperature above which skin may burn on contact
// for a time: material "bare metal", "ceramic" (with glass and stone), "plastic"
// or "wood". Between the times of the table the next longer one counts, which is
// the cooler limit. For healthy adult skin and less than a tenth of the body.
// Range: 0.5 s to 8 h.
//
// Source: ISO 13732-1:2006, burn thresholds, from memory: check against a bought copy.
func TouchLimit(material string, contact quantity.Time) (quantity.Temperature, error) {
	if err := quantity.Within("contact time", contact, 0.5, 28800); err != nil {
		return 0, err
	}
	column, _ := slices.BinarySearch(touchTimes, float64(contact)*(1-1e-9))
	var names []string
	for _, row := range touchLimits {
		if row.material == material {
			return quantity.Temperature(row.limit[column] + 273.15), nil
		}
		names = append(names, row.material)
	}
	return 0, fmt.Errorf("no touch limit for a surface of %q: want one of %s", material, strings.Join(names, ", "))
}

// biotLimit is the Biot number up to which a body cools as one lump.
// Source: Holman, Heat Transfer, section 4-2; Çengel, Heat Transfer, section 4-1.
const biotLimit = 0.1

// lump is a body that cools as one: its heat capacity and its conductance.
type lump struct {
	mass  quantity.Mass
	heat  quantity.SpecificHeat
	area  quantity.Area
	film  quantity.FilmCoefficient
	start quantity.Temperature
	air   quantity.Temperature
}

func (l lump) check() error {
	if err := quantity.Within("mass", l.mass, 1e-9, 1e6); err != nil {
		return err
	}
	if err := quantity.Within("specific heat", l.heat, 50, 2e4); err != nil {
		return err
	}
	if err := quantity.Within("surface", l.area, 1e-9, 1e4); err != nil {
		return err
	}
	if err := quantity.Within("film coefficient", l.film, 0.1, 1e5); err != nil {
		return err
	}
	if err := quantity.Within("starting temperature", l.start, 173.15, 1773.15); err != nil {
		return err
	}
	if err := quantity.Within("temperature of the surroundings", l.air, 173.15, 1773.15); err != nil {
		return err
	}
	if l.start <= l.air {
		return fmt.Errorf("starting temperature %.5g °C is out of range: want it above the surroundings at %.5g °C", l.start-273.15, l.air-273.15)
	}
	return nil
}

// constant is m c / (h A), s.
func (l lump) constant() float64 {
	return float64(l.mass) * float64(l.heat) / (float64(l.film) * float64(l.area))
}

// CoolingTime gives how long a hot body takes to cool in its surroundings:
//
//	t = m c / (h A) · ln[(T₀ − T∞) / (T − T∞)]
//
// with the mass m in kg, the specific heat c in J/(kg·K), the surface A in m² and
// the film coefficient h in W/(m²·K), in which radiation is counted. The body
// cools as one lump: Biot number up to 0.1, see CoolingTimeChecked. Range: the
// target lies between the surroundings and the start, at least 0.5 K above the
// surroundings, which are never quite reached.
//
// Source: Holman, Heat Transfer, section 4-2.
func CoolingTime(mass quantity.Mass, heat quantity.SpecificHeat, area quantity.Area, film quantity.FilmCoefficient, from, to, surroundings quantity.Temperature) (quantity.Time, error) {
	l := lump{mass, heat, area, film, from, surroundings}
	if err := l.check(); err != nil {
		return 0, err
	}
	if err := quantity.Within("target temperature", to, surroundings+0.5, from); err != nil {
		return 0, err
	}
	return quantity.Time(l.constant() * math.Log(float64((from-surroundings)/(to-surroundings)))), nil
}

// CoolingTimeChecked is CoolingTime with the Biot number held to its limit:
//
//	Bi = h (V/A) / k ≤ 0.1
//
// with the conductivity k in W/(m·K) and the volume V in m³. Range: as CoolingTime;
// k from 0.01 to 3000 W/(m·K), V from 10⁻¹² to 1000 m³.
//
// Source: as CoolingTime.
func CoolingTimeChecked(mass quantity.Mass, heat quantity.SpecificHeat, area quantity.Area, film quantity.FilmCoefficient, from, to, surroundings quantity.Temperature,
	conductivity quantity.Conductivity, volume quantity.Volume) (quantity.Time, error) {
	if err := quantity.Within("conductivity", conductivity, 0.01, 3000); err != nil {
		return 0, err
	}
	if err := quantity.Within("volume", volume, 1e-12, 1e3); err != nil {
		return 0, err
	}
	t, err := CoolingTime(mass, heat, area, film, from, to, surroundings)
	if err != nil {
		return 0, err
	}
	if biot := float64(film) * float64(volume) / (float64(area) * float64(conductivity)); biot > biotLimit {
		return 0, fmt.Errorf("the Biot number is %.3g, out of range: want at most %g, else the inside stays hotter than the surface", biot, biotLimit)
	}
	return t, nil
}

// TemperatureAfter gives how hot a body still is after a time, the inverse of
// CoolingTime:
//
//	T = T∞ + (T₀ − T∞) · exp(−h A t / (m c))
//
// Range: as CoolingTime; a time from 0 to 1000 h.
//
// Source: as CoolingTime.
func TemperatureAfter(mass quantity.Mass, heat quantity.SpecificHeat, area quantity.Area, film quantity.FilmCoefficient, from, surroundings quantity.Temperature, after quantity.Time) (quantity.Temperature, error) {
	l := lump{mass, heat, area, film, from, surroundings}
	if err := l.check(); err != nil {
		return 0, err
	}
	if err := quantity.Within("time", after, 0, 3.6e6); err != nil {
		return 0, err
	}
	return surroundings + (from-surroundings)*quantity.Temperature(math.Exp(-float64(after)/l.constant())), nil
}

// LaggedFilm gives the film coefficient that stands in for still air round a body that
// is lagged: 1/U = 1/h + s/k, in W/(m²·K), with the thickness s in m and the
// conductivity k of the lagging. Lagging is taken as flat, which holds where it is thin
// beside the body. Range: h 0.1 to 10⁵ W/(m²·K), s 1 mm to 1 m, k 0.01 to 5 W/(m·K).
//
// Source: Çengel, Heat Transfer, section 3-1, thermal resistances in series.
func LaggedFilm(film quantity.FilmCoefficient, thickness quantity.Length, conductivity quantity.Conductivity) (quantity.FilmCoefficient, error) {
	if err := quantity.Within("film coefficient", film, 0.1, 1e5); err != nil {
		return 0, err
	}
	if err := quantity.Within("thickness of the lagging", thickness, 1e-3, 1); err != nil {
		return 0, err
	}
	if err := quantity.Within("conductivity of the lagging", conductivity, 0.01, 5); err != nil {
		return 0, err
	}
	return 1 / (1/film + quantity.FilmCoefficient(float64(thickness)/float64(conductivity))), nil
}
