package running

import "jobsheaf/internal/quantity"

// FaceSpeed gives the sliding speed of seal faces at their mean diameter:
// v = ω D / 2, in m/s. Range: D from 5 mm to 1 m, speed from 0.1 to 3000 rad/s.
//
// Source: Karassik et al., Pump Handbook, mechanical seals.
func FaceSpeed(diameter quantity.Length, speed quantity.Speed) (quantity.Velocity, error) {
	if err := quantity.Within("mean diameter", diameter, 5e-3, 1); err != nil {
		return 0, err
	}
	if err := quantity.Within("speed", speed, slowest, fastest); err != nil {
		return 0, err
	}
	return quantity.Velocity(float64(diameter) * float64(speed) / 2), nil
}

// FacePressure gives the pressure between seal faces:
//
//	p = Δp (B − k) + p_sp
//
// with the pressure difference Δp over the seal and the spring pressure p_sp on the
// faces in Pa, the balance ratio B, and the part k of Δp that stands between the
// faces (0.5 where it falls evenly). Range: Δp up to 200 bar, B from 0.5 to 1.6,
// k from 0 to 1, p_sp from 0.01 to 2 MPa; the result above zero, else the faces part.
//
// Source: Lobanoff & Ross, Centrifugal Pumps: Design and Application, chapter 17.
func FacePressure(difference quantity.Pressure, balance, k quantity.Number, spring quantity.Pressure) (quantity.Pressure, error) {
	if err := quantity.Within("pressure difference over the seal", difference, 0, 20e6); err != nil {
		return 0, err
	}
	if err := quantity.Within("balance ratio", balance, 0.5, 1.6); err != nil {
		return 0, err
	}
	if err := quantity.Within("pressure gradient factor", k, 0, 1); err != nil {
		return 0, err
	}
	if err := quantity.Within("spring pressure", spring, 0.01e6, 2e6); err != nil {
		return 0, err
	}
	p := difference*quantity.Pressure(balance-k) + spring
	// Below this the faces part: there is no pressure between them to speak of.
	if err := quantity.Within("face pressure", p, 1, 100e6); err != nil {
		return 0, err
	}
	return p, nil
}

// PressureVelocity gives the pressure-velocity product of seal faces, p·v, in
// Pa·m/s. Range: p from 1 Pa to 100 MPa, v from 0.1 mm/s to 200 m/s.
//
// Source: Lobanoff & Ross, Centrifugal Pumps: Design and Application, chapter 17.
func PressureVelocity(pressure quantity.Pressure, velocity quantity.Velocity) (quantity.PressureVelocity, error) {
	if err := quantity.Within("face pressure", pressure, 1, 100e6); err != nil {
		return 0, err
	}
	if err := quantity.Within("face speed", velocity, 1e-4, 200); err != nil {
		return 0, err
	}
	return quantity.PressureVelocity(float64(pressure) * float64(velocity)), nil
}

// lightBand is half the wavelength of the yellow helium line, 587.56 nm, m.
// Source: NIST Atomic Spectra Database, He I (from memory).
const lightBand quantity.Length = 587.562e-9 / 2

// Flatness gives the height of a number of helium light bands: n · 293.78 nm.
// Range: 0.1 to 30 bands.
//
// Source: half the wavelength of the helium line at 587.56 nm.
func Flatness(bands quantity.Number) (quantity.Length, error) {
	if err := quantity.Within("light bands", bands, 0.1, 30); err != nil {
		return 0, err
	}
	return lightBand * quantity.Length(bands), nil
}

// LightBands gives the number of helium light bands of a height, the inverse of
// Flatness. Range: 30 nm to 8.8 µm.
//
// Source: as Flatness.
func LightBands(flatness quantity.Length) (quantity.Number, error) {
	if err := quantity.Within("flatness", flatness, lightBand*0.1, lightBand*30); err != nil {
		return 0, err
	}
	return quantity.Number(flatness / lightBand), nil
}
