package fits

import (
	"fmt"
	"math"

	"jobsheaf/internal/calc/material"
	"jobsheaf/internal/quantity"
)

const (
	leastSize, mostSize         = quantity.Length(1e-4), quantity.Length(2)
	leastDiameter, mostDiameter = quantity.Length(1e-3), quantity.Length(2)
	mostOuter                   = quantity.Length(20)
	leastPressure, mostPressure = quantity.Pressure(1e3), quantity.Pressure(1e9)
	// Beyond 0.4 % of the diameter no common material stays elastic.
	mostStrain = 0.004
)

// InterferenceLow gives the least interference of a hole and a shaft from their
// limits, shaft low − hole high; below zero it is the greatest clearance.
// Range: sizes 0.1 mm to 2 m, each low limit at most its high one.
// Source: ISO 286-1:2010, definitions (from memory).
func InterferenceLow(holeLow, holeHigh, shaftLow, shaftHigh quantity.Length) (quantity.Length, error) {
	if err := pair(holeLow, holeHigh, shaftLow, shaftHigh); err != nil {
		return 0, err
	}
	return shaftLow - holeHigh, nil
}

// InterferenceHigh gives the greatest interference of a hole and a shaft from
// their limits, shaft high − hole low; below zero it is the least clearance.
// Range and source: as InterferenceLow.
func InterferenceHigh(holeLow, holeHigh, shaftLow, shaftHigh quantity.Length) (quantity.Length, error) {
	if err := pair(holeLow, holeHigh, shaftLow, shaftHigh); err != nil {
		return 0, err
	}
	return shaftHigh - holeLow, nil
}

func pair(holeLow, holeHigh, shaftLow, shaftHigh quantity.Length) error {
	for _, band := range []struct {
		what      string
		low, high quantity.Length
	}{{"hole", holeLow, holeHigh}, {"shaft", shaftLow, shaftHigh}} {
		if err := quantity.Within(band.what+" upper limit", band.high, leastSize, mostSize); err != nil {
			return err
		}
		if err := quantity.Within(band.what+" lower limit", band.low, leastSize, band.high); err != nil {
			return err
		}
	}
	return nil
}

// cylinders checks the diameters of a fit: bore < interface < outside. A solid
// shaft has the bore 0.
func cylinders(diameter, hubOuter, bore quantity.Length) error {
	if err := quantity.Within("diameter of the fit", diameter, leastDiameter, mostDiameter); err != nil {
		return err
	}
	if err := quantity.Within("outside diameter of the hub", hubOuter, diameter*1.01, mostOuter); err != nil {
		return err
	}
	return quantity.Within("bore", bore, 0, diameter*0.99)
}

// InterfacePressure gives the pressure between two elastic cylinders, δ being
// the diametral interference:
// p = (δ/d) / {[(do²+d²)/(do²−d²) + νo]/Eo + [(d²+di²)/(d²−di²) − νi]/Ei}.
// Range: diameter 1 mm to 2 m; hub outside from 1.01 d; bore 0 to 0.99 d;
// interference above 0 up to 0.4 % of d; E 0.1 to 1000 GPa; ν 0 to 0.5. Both parts
// are as long as each other and elastic; roughness is not counted.
// Source: Lamé; Shigley, Mechanical Engineering Design, eq. 3-56 (radial form).
func InterfacePressure(interference, diameter, hubOuter, shaftBore quantity.Length, hubModulus quantity.Pressure, hubPoisson quantity.Number, shaftModulus quantity.Pressure, shaftPoisson quantity.Number) (quantity.Pressure, error) {
	if err := cylinders(diameter, hubOuter, shaftBore); err != nil {
		return 0, err
	}
	if err := quantity.Within("interference", interference, 1e-8, diameter*mostStrain); err != nil {
		return 0, err
	}
	for _, part := range []struct {
		what string
		e    quantity.Pressure
		nu   quantity.Number
	}{{"hub", hubModulus, hubPoisson}, {"shaft", shaftModulus, shaftPoisson}} {
		if err := quantity.Within(part.what+" modulus", part.e, 1e8, 1e12); err != nil {
			return 0, err
		}
		if err := quantity.Within(part.what+" Poisson's ratio", part.nu, 0, 0.5); err != nil {
			return 0, err
		}
	}
	d2, o2, i2 := square(diameter), square(hubOuter), square(shaftBore)
	give := ((o2+d2)/(o2-d2)+float64(hubPoisson))/float64(hubModulus) + ((d2+i2)/(d2-i2)-float64(shaftPoisson))/float64(shaftModulus)
	return quantity.Pressure(float64(interference/diameter) / give), nil
}

func square(l quantity.Length) float64 { return float64(l) * float64(l) }

// FitPressure gives the pressure of an interference fit by materials.
// Range and source: as InterfacePressure; materials of package material.
func FitPressure(interference, diameter, hubOuter, shaftBore quantity.Length, hubMaterial, shaftMaterial string) (quantity.Pressure, error) {
	hub, err := material.Named(hubMaterial)
	if err != nil {
		return 0, fmt.Errorf("hub: %w", err)
	}
	shaft, err := material.Named(shaftMaterial)
	if err != nil {
		return 0, fmt.Errorf("shaft: %w", err)
	}
	return InterfacePressure(interference, diameter, hubOuter, shaftBore, hub.Modulus, hub.Poisson, shaft.Modulus, shaft.Poisson)
}

// PressForce gives the axial force that slides a fit, F = π d L p f.
// Range: p 1 kPa to 1 GPa, d 1 mm to 2 m, L 0.1 mm to 2 m, f 0.01 to 0.5.
// Source: Shigley, Mechanical Engineering Design, press and shrink fits.
func PressForce(pressure quantity.Pressure, diameter, length quantity.Length, friction quantity.Number) (quantity.Force, error) {
	if err := quantity.Within("pressure", pressure, leastPressure, mostPressure); err != nil {
		return 0, err
	}
	if err := quantity.Within("diameter of the fit", diameter, leastDiameter, mostDiameter); err != nil {
		return 0, err
	}
	if err := quantity.Within("length of the fit", length, leastSize, mostSize); err != nil {
		return 0, err
	}
	if err := quantity.Within("friction", friction, 0.01, 0.5); err != nil {
		return 0, err
	}
	return quantity.Force(math.Pi * float64(diameter) * float64(length) * float64(pressure) * float64(friction)), nil
}

// HubStress gives the tensile hoop stress at the bore of the outer part,
// σt = p (do² + d²)/(do² − d²). Range: p 1 kPa to 1 GPa; diameters as
// InterfacePressure. Source: Lamé; Shigley, Mechanical Engineering Design, eq. 3-58.
func HubStress(pressure quantity.Pressure, diameter, hubOuter quantity.Length) (quantity.Pressure, error) {
	if err := quantity.Within("pressure", pressure, leastPressure, mostPressure); err != nil {
		return 0, err
	}
	if err := cylinders(diameter, hubOuter, 0); err != nil {
		return 0, err
	}
	d2, o2 := square(diameter), square(hubOuter)
	return pressure * quantity.Pressure((o2+d2)/(o2-d2)), nil
}

// BushingStress gives the compressive hoop stress at the bore of the inner part,
// σt = 2 p d²/(d² − di²); it holds for a bore, not for a solid shaft, whose
// stress is p throughout. Range: p 1 kPa to 1 GPa; bore 0.1 mm to 0.99 d.
// Source: Lamé (cylinder under outside pressure).
func BushingStress(pressure quantity.Pressure, diameter, bore quantity.Length) (quantity.Pressure, error) {
	if err := quantity.Within("pressure", pressure, leastPressure, mostPressure); err != nil {
		return 0, err
	}
	if err := quantity.Within("diameter of the fit", diameter, leastDiameter, mostDiameter); err != nil {
		return 0, err
	}
	if err := quantity.Within("bore", bore, leastSize, diameter*0.99); err != nil {
		return 0, err
	}
	d2, i2 := square(diameter), square(bore)
	return pressure * quantity.Pressure(2*d2/(d2-i2)), nil
}

// BoreClosing gives how much smaller the bore of a bushing is once pressed in:
// Δdi = di · σt/E with σt = 2 p d²/(d² − di²), since at the free bore only the
// hoop stress acts. Range: as FitPressure, bore from 0.1 mm.
// Source: Lamé (cylinder under outside pressure).
func BoreClosing(interference, diameter, hubOuter, bore quantity.Length, hubMaterial, bushingMaterial string) (quantity.Length, error) {
	if err := quantity.Within("bore", bore, leastSize, diameter*0.99); err != nil {
		return 0, err
	}
	p, err := FitPressure(interference, diameter, hubOuter, bore, hubMaterial, bushingMaterial)
	if err != nil {
		return 0, err
	}
	bushing, err := material.Named(bushingMaterial)
	if err != nil {
		return 0, err
	}
	d2, i2 := square(diameter), square(bore)
	return bore * quantity.Length(float64(p)*2*d2/(d2-i2)/float64(bushing.Modulus)), nil
}

// BoreAfter gives the bore of a bushing once pressed in, di − Δdi.
// Range and source: as BoreClosing.
func BoreAfter(interference, diameter, hubOuter, bore quantity.Length, hubMaterial, bushingMaterial string) (quantity.Length, error) {
	closing, err := BoreClosing(interference, diameter, hubOuter, bore, hubMaterial, bushingMaterial)
	if err != nil {
		return 0, err
	}
	return bore - closing, nil
}

// BoreBefore gives the bore that a bushing must have before it is pressed in, so that
// it has the wanted one after, the inverse of BoreAfter: di such that di − Δdi(di) is
// the bore after. For the lower limit of the bore the greatest interference counts, for
// the upper one the least. It holds for a bushing that stays elastic.
// Range: as BoreClosing, for the bore before.
// Source: as BoreClosing.
func BoreBefore(after, interference, diameter, hubOuter quantity.Length, hubMaterial, bushingMaterial string) (quantity.Length, error) {
	if err := quantity.Within("bore after pressing", after, leastSize, diameter*0.99); err != nil {
		return 0, err
	}
	// The closing hangs little on the bore: each round leaves less than a tenth of the
	// error before it, wherever the bushing is not a foil.
	bore := after
	for range 60 {
		closing, err := BoreClosing(interference, diameter, hubOuter, bore, hubMaterial, bushingMaterial)
		if err != nil {
			return 0, err
		}
		bore = after + closing
	}
	return bore, nil
}
