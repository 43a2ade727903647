package bolting

import (
	"cmp"
	"math"

	"jobsheaf/internal/quantity"
)

// The sizes of gaskets and flanges that are taken for meant.
const (
	leastGasket, mostGasket = quantity.Length(5e-3), quantity.Length(5)
	leastStress, mostStress = quantity.Pressure(1e4), quantity.Pressure(1e9)
	mostInside              = quantity.Pressure(1e8)
)

func boltsWithin(n quantity.Number) error {
	return quantity.Within("number of bolts", n, fewestBolts, 200)
}

func areaWithin(a quantity.Area) error { return quantity.Within("area of the gasket", a, 1e-6, 5) }

func gasketWithin(outside, inside quantity.Length) error {
	return cmp.Or(quantity.Within("outside of the gasket", outside, leastGasket, mostGasket),
		quantity.Within("inside of the gasket", inside, outside/10, outside*0.999))
}

// GasketArea gives the area of a ring gasket that is pressed: A = π/4 (Do² − Di²), in m²,
// where both flanges bear. Range: Do 5 mm to 5 m, Di from a tenth of it.
//
// Source: geometry.
func GasketArea(outside, inside quantity.Length) (quantity.Area, error) {
	if err := gasketWithin(outside, inside); err != nil {
		return 0, err
	}
	return quantity.Area(math.Pi / 4 * float64(outside*outside-inside*inside)), nil
}

// narrow is the basic width up to which a gasket seats over the whole of it.
const narrow quantity.Length = 0.25 * 25.4e-3

// SeatingWidth gives the width over which a gasket counts as seated: b = b0 up to a b0 of
// ¼ in, else b = 0.5 √b0 in inches, with the basic width b0 = N/2 of a flat gasket that
// bears on the width N. In m. Range: b0 0.5 mm to 0.5 m.
//
// Source: ASME BPVC Section VIII Division 1, appendix 2, table 2-5.2.
func SeatingWidth(basic quantity.Length) (quantity.Length, error) {
	if err := quantity.Within("basic width", basic, 5e-4, 0.5); err != nil {
		return 0, err
	}
	if basic <= narrow*(1+1e-9) {
		return basic, nil
	}
	return quantity.Length(math.Sqrt(float64(narrow * basic))), nil
}

// SeatingDiameter gives the diameter at which the load of a gasket acts: its middle where
// b0 is up to ¼ in, else G = Do − 2 b, with the outside Do of the face that bears. In m.
// Range: gasket as GasketArea; b0 is half its width.
//
// Source: as SeatingWidth.
func SeatingDiameter(outside, inside quantity.Length) (quantity.Length, error) {
	if err := gasketWithin(outside, inside); err != nil {
		return 0, err
	}
	basic := (outside - inside) / 4
	if basic <= narrow*(1+1e-9) {
		return (outside + inside) / 2, nil
	}
	b, err := SeatingWidth(basic)
	return outside - 2*b, err
}

func seatWithin(diameter, width quantity.Length) error {
	return cmp.Or(quantity.Within("diameter of the gasket's load", diameter, leastGasket, mostGasket), quantity.Within("seating width", width, 5e-4, diameter/4))
}

// SeatingLoad gives the load of all bolts together that seats a gasket:
// W = π b G y, in N, with its seating stress y. Range: G 5 mm to 5 m, b 0.5 mm to G/4,
// y 10 kPa to 1 GPa.
//
// Source: ASME BPVC Section VIII Division 1, appendix 2, 2-5 (Wm2).
func SeatingLoad(diameter, width quantity.Length, seating quantity.Pressure) (quantity.Force, error) {
	if err := cmp.Or(seatWithin(diameter, width), quantity.Within("seating stress", seating, leastStress, mostStress)); err != nil {
		return 0, err
	}
	return quantity.Force(math.Pi * float64(width) * float64(diameter) * float64(seating)), nil
}

// OperatingLoad gives the load of all bolts together that holds a joint tight under
// pressure: W = π/4 G² p + 2 b π G m p, in N, with the gasket factor m. Range: as
// SeatingLoad; m 0.5 to 10, p 1 kPa to 100 MPa.
//
// Source: ASME BPVC Section VIII Division 1, appendix 2, 2-5 (Wm1).
func OperatingLoad(diameter, width quantity.Length, m quantity.Number, pressure quantity.Pressure) (quantity.Force, error) {
	if err := cmp.Or(seatWithin(diameter, width), quantity.Within("gasket factor", m, 0.5, 10), quantity.Within("pressure", pressure, 1e3, mostInside)); err != nil {
		return 0, err
	}
	g, b := float64(diameter), float64(width)
	return quantity.Force((math.Pi/4*g*g + 2*math.Pi*b*g*float64(m)) * float64(pressure)), nil
}

// GasketPreload gives the preload of each bolt that presses a gasket to a stress:
// F = σ A/n, in N. Range: σ 10 kPa to 1 GPa, A 1 mm² to 5 m², 3 to 200 bolts.
//
// Source: ASME PCC-1, appendix on assembly bolt load, target assembly gasket stress (from
// memory: Sbsel = SgT Ag/(nb Ab)).
func GasketPreload(stress quantity.Pressure, area quantity.Area, bolts quantity.Number) (quantity.Force, error) {
	if err := cmp.Or(quantity.Within("gasket stress", stress, leastStress, mostStress), areaWithin(area), boltsWithin(bolts)); err != nil {
		return 0, err
	}
	return quantity.Force(float64(stress) * float64(area) / float64(bolts)), nil
}

// GasketStress gives the stress on a gasket under pressure:
// σ = (φ n F − π/4 Di² p)/A, in Pa, with n bolts of preload F, of which the part φ is
// left after relaxation, and the pressure p inside Di. With φ = 1 and p = 0 it is the
// stress at assembly. A joint that comes open is an error. Range: F 10 N to 5 MN, φ 0.3 to
// 1, Di 5 mm to 5 m, p 0 to 100 MPa.
//
// Source: ASME PCC-1, appendix on assembly bolt load, operating gasket stress (from
// memory); φ 0.7 is its usual figure (seen).
func GasketStress(preload quantity.Force, bolts, left quantity.Number, area quantity.Area, inside quantity.Length, pressure quantity.Pressure) (quantity.Pressure, error) {
	end, err := endForce(inside, pressure)
	if err != nil {
		return 0, err
	}
	if err := cmp.Or(preloadWithin(preload), boltsWithin(bolts), leftWithin(left), areaWithin(area)); err != nil {
		return 0, err
	}
	stress := quantity.Pressure((float64(left)*float64(bolts)*float64(preload) - end) / float64(area))
	return stress, quantity.Within("stress left on the gasket", stress, leastStress/1e3, mostStress)
}

// GasketPreloadLow gives the least preload of each bolt at assembly that leaves a stress on
// the gasket under pressure, the inverse of GasketStress: F = (σ A + π/4 Di² p)/(φ n), in
// N. Range: as GasketStress and GasketPreload.
//
// Source: as GasketStress.
func GasketPreloadLow(stress quantity.Pressure, bolts, left quantity.Number, area quantity.Area, inside quantity.Length, pressure quantity.Pressure) (quantity.Force, error) {
	end, err := endForce(inside, pressure)
	if err != nil {
		return 0, err
	}
	pressed, err := GasketPreload(stress, area, bolts)
	if err != nil {
		return 0, err
	}
	if err := leftWithin(left); err != nil {
		return 0, err
	}
	return (pressed + quantity.Force(end/float64(bolts))) / quantity.Force(left), nil
}

func leftWithin(left quantity.Number) error {
	return quantity.Within("part left after relaxation", left, 0.3, 1)
}

// endForce is the pull of the pressure on a closed end, in N.
func endForce(inside quantity.Length, pressure quantity.Pressure) (float64, error) {
	err := cmp.Or(quantity.Within("inside under pressure", inside, leastGasket, mostGasket), quantity.Within("pressure", pressure, 0, mostInside))
	return math.Pi / 4 * float64(inside) * float64(inside) * float64(pressure), err
}

// JointScatter gives the spread of the load of a joint from that of one bolt:
// ε = s (1 + 3/√n)/4, since not all bolts err the same way. Range: s 0 to 0.9, 3 to 200
// bolts.
//
// Source: EN 1591-1, scatter of the bolt load of several bolts (from memory).
func JointScatter(scatter, bolts quantity.Number) (quantity.Number, error) {
	if err := cmp.Or(quantity.Within("scatter", scatter, 0, 0.9), boltsWithin(bolts)); err != nil {
		return 0, err
	}
	return scatter * quantity.Number(1+3/math.Sqrt(float64(bolts))) / 4, nil
}

// LidForce gives the force with which a pressure lifts a cover: F = p π/4 D², in N. It is
// why a cover is not opened on a pressure that a gauge hardly shows. Range: p 100 Pa to
// 100 MPa, D 5 mm to 5 m.
//
// Source: definition of pressure.
func LidForce(pressure quantity.Pressure, diameter quantity.Length) (quantity.Force, error) {
	if err := quantity.Within("pressure", pressure, 100, mostInside); err != nil {
		return 0, err
	}
	f, err := endForce(diameter, pressure)
	return quantity.Force(f), err
}
