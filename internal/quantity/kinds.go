// Package quantity holds values with their dimension: it parses them from a
// record, converts, rounds inward and prints them in both unit systems.
//
// Entry points: Parse for text, Value for what it gives, the named types
// (Length, Torque ...) for formulas in SI. It belongs here if it is about units
// and rounding. It is not for any formula of the trade: those are in calc.
package quantity

import "fmt"

// The named types hold SI values, for signatures that cannot be mixed up.
type (
	Length                float64 // m
	Area                  float64 // m²
	Volume                float64 // m³
	Mass                  float64 // kg
	Time                  float64 // s
	Angle                 float64 // rad
	Temperature           float64 // K, a point on the thermodynamic scale
	TemperatureDifference float64 // K, an interval
	Force                 float64 // N
	Torque                float64 // N·m
	Pressure              float64 // Pa, a pressure difference or a stress
	GaugePressure         float64 // Pa above the surrounding air
	AbsolutePressure      float64 // Pa above vacuum
	Flow                  float64 // m³/s
	Speed                 float64 // rad/s, of rotation
	Velocity              float64 // m/s
	Power                 float64 // W
	DynamicViscosity      float64 // Pa·s
	KinematicViscosity    float64 // m²/s
	Density               float64 // kg/m³
	LinearDensity         float64 // kg/m
	Stiffness             float64 // N/m
	Expansion             float64 // 1/K, linear or cubic
	SpecificHeat          float64 // J/(kg·K)
	Conductivity          float64 // W/(m·K)
	FilmCoefficient       float64 // W/(m²·K)
	Compressibility       float64 // 1/Pa
	PressureVelocity      float64 // Pa·m/s
	Frequency             float64 // Hz, of what repeats; of rotation it is Speed
	Resistance            float64 // Ω, electrical
	Voltage               float64 // V
	Current               float64 // A
	Number                float64 // no dimension
)

// Dim is a dimension: the exponents of metre, kilogram, second, kelvin, radian and
// ampere. The radian is kept so that a speed of rotation is not a frequency.
type Dim struct{ L, M, T, K, A, I int8 }

func (d Dim) plus(e Dim) Dim {
	return Dim{d.L + e.L, d.M + e.M, d.T + e.T, d.K + e.K, d.A + e.A, d.I + e.I}
}

func (d Dim) minus(e Dim) Dim {
	return Dim{d.L - e.L, d.M - e.M, d.T - e.T, d.K - e.K, d.A - e.A, d.I - e.I}
}

// Datum says from where a value counts. A difference has none; a point on a
// scale has one, and points may be subtracted but never added.
type Datum uint8

const (
	Difference     Datum = iota
	AbsoluteZero         // a temperature
	SurroundingAir       // a gauge pressure
	Vacuum               // an absolute pressure
)

// Kind is what a value is a value of.
type Kind uint8

const (
	KindNumber Kind = iota
	KindLength
	KindArea
	KindVolume
	KindMass
	KindTime
	KindAngle
	KindTemperature
	KindTemperatureDifference
	KindForce
	KindTorque
	KindPressure
	KindGaugePressure
	KindAbsolutePressure
	KindFlow
	KindSpeed
	KindVelocity
	KindPower
	KindDynamicViscosity
	KindKinematicViscosity
	KindDensity
	KindLinearDensity
	KindStiffness
	KindExpansion
	KindSpecificHeat
	KindConductivity
	KindFilmCoefficient
	KindCompressibility
	KindPressureVelocity
	KindFrequency
	KindResistance
	KindVoltage
	KindCurrent
	kindCount
)

// Type is a dimension with its datum: what a formula is checked with.
type Type struct {
	Dim   Dim
	Datum Datum
}

var kinds = [kindCount]struct {
	name string
	typ  Type
}{
	KindNumber:                {"number", Type{}},
	KindLength:                {"length", Type{Dim: Dim{L: 1}}},
	KindArea:                  {"area", Type{Dim: Dim{L: 2}}},
	KindVolume:                {"volume", Type{Dim: Dim{L: 3}}},
	KindMass:                  {"mass", Type{Dim: Dim{M: 1}}},
	KindTime:                  {"time", Type{Dim: Dim{T: 1}}},
	KindAngle:                 {"angle", Type{Dim: Dim{A: 1}}},
	KindTemperature:           {"temperature", Type{Dim{K: 1}, AbsoluteZero}},
	KindTemperatureDifference: {"temperature difference", Type{Dim: Dim{K: 1}}},
	KindForce:                 {"force", Type{Dim: Dim{L: 1, M: 1, T: -2}}},
	KindTorque:                {"torque", Type{Dim: Dim{L: 2, M: 1, T: -2}}},
	KindPressure:              {"pressure", Type{Dim: Dim{L: -1, M: 1, T: -2}}},
	KindGaugePressure:         {"gauge pressure", Type{Dim{L: -1, M: 1, T: -2}, SurroundingAir}},
	KindAbsolutePressure:      {"absolute pressure", Type{Dim{L: -1, M: 1, T: -2}, Vacuum}},
	KindFlow:                  {"flow", Type{Dim: Dim{L: 3, T: -1}}},
	KindSpeed:                 {"speed", Type{Dim: Dim{A: 1, T: -1}}},
	KindVelocity:              {"velocity", Type{Dim: Dim{L: 1, T: -1}}},
	KindPower:                 {"power", Type{Dim: Dim{L: 2, M: 1, T: -3}}},
	KindDynamicViscosity:      {"dynamic viscosity", Type{Dim: Dim{L: -1, M: 1, T: -1}}},
	KindKinematicViscosity:    {"kinematic viscosity", Type{Dim: Dim{L: 2, T: -1}}},
	KindDensity:               {"density", Type{Dim: Dim{L: -3, M: 1}}},
	KindLinearDensity:         {"linear density", Type{Dim: Dim{L: -1, M: 1}}},
	KindStiffness:             {"stiffness", Type{Dim: Dim{M: 1, T: -2}}},
	KindExpansion:             {"expansion", Type{Dim: Dim{K: -1}}},
	KindSpecificHeat:          {"specific heat", Type{Dim: Dim{L: 2, T: -2, K: -1}}},
	KindConductivity:          {"conductivity", Type{Dim: Dim{L: 1, M: 1, T: -3, K: -1}}},
	KindFilmCoefficient:       {"film coefficient", Type{Dim: Dim{M: 1, T: -3, K: -1}}},
	KindCompressibility:       {"compressibility", Type{Dim: Dim{L: 1, M: -1, T: 2}}},
	KindPressureVelocity:      {"pressure-velocity", Type{Dim: Dim{M: 1, T: -3}}},
	KindFrequency:             {"frequency", Type{Dim: Dim{T: -1}}},
	KindResistance:            {"resistance", Type{Dim: Dim{L: 2, M: 1, T: -3, I: -2}}},
	KindVoltage:               {"voltage", Type{Dim: Dim{L: 2, M: 1, T: -3, I: -1}}},
	KindCurrent:               {"current", Type{Dim: Dim{I: 1}}},
}

// String gives the kind's name as records and templates write it.
func (k Kind) String() string {
	if k < kindCount {
		return kinds[k].name
	}
	return fmt.Sprintf("kind %d", uint8(k))
}

// Type gives the kind's dimension and datum.
func (k Kind) Type() Type {
	if k < kindCount {
		return kinds[k].typ
	}
	return Type{}
}

// KindNamed finds a kind by its name.
func KindNamed(name string) (Kind, bool) {
	for k, e := range kinds {
		if e.name == name {
			return Kind(k), true
		}
	}
	return 0, false
}

// KindNames lists the kinds' names in order.
func KindNames() []string {
	names := make([]string, kindCount)
	for k, e := range kinds {
		names[k] = e.name
	}
	return names
}

// Symbols gives the units of a kind as they are printed; a bare number needs none.
func Symbols(k Kind) []string {
	var out []string
	for _, u := range units {
		if u.Kind == k && u.Symbol != "" {
			out = append(out, u.Symbol)
		}
	}
	return out
}

// Kind gives the named kind of a type, if it has one.
func (t Type) Kind() (Kind, bool) {
	for k, e := range kinds {
		if e.typ == t {
			return Kind(k), true
		}
	}
	return 0, false
}

// String names the type by its kind, or by its dimension where it has none.
func (t Type) String() string {
	if k, ok := t.Kind(); ok {
		return k.String()
	}
	s := ""
	for _, e := range []struct {
		n   int8
		sym string
	}{{t.Dim.L, "m"}, {t.Dim.M, "kg"}, {t.Dim.T, "s"}, {t.Dim.K, "K"}, {t.Dim.A, "rad"}, {t.Dim.I, "A"}} {
		if e.n == 0 {
			continue
		}
		if s != "" {
			s += "·"
		}
		s += e.sym
		if e.n != 1 {
			s += fmt.Sprintf("^%d", e.n)
		}
	}
	return s
}

// Plus gives the type of a sum, or an error that says why there is none.
func (t Type) Plus(u Type) (Type, error) {
	switch {
	case t.Dim != u.Dim:
		return Type{}, fmt.Errorf("cannot add %s to %s", u, t)
	case t.Datum != Difference && u.Datum != Difference:
		return Type{}, fmt.Errorf("cannot add two points on a scale (%s and %s): subtract them, or add a difference", t, u)
	case t.Datum == Difference:
		return u, nil
	}
	return t, nil
}

// Minus gives the type of a difference, or an error that says why there is none.
func (t Type) Minus(u Type) (Type, error) {
	switch {
	case t.Dim != u.Dim:
		return Type{}, fmt.Errorf("cannot subtract %s from %s", u, t)
	case u.Datum == Difference:
		return t, nil
	case t.Datum == u.Datum:
		return Type{Dim: t.Dim}, nil
	}
	return Type{}, fmt.Errorf("cannot subtract %s from %s: they count from different points", u, t)
}

// Times gives the type of a product. Points on a scale cannot be multiplied.
func (t Type) Times(u Type) (Type, error) {
	if t.Datum != Difference || u.Datum != Difference {
		return Type{}, fmt.Errorf("cannot multiply %s by %s: a point on a scale is not an amount", t, u)
	}
	return Type{Dim: t.Dim.plus(u.Dim)}, nil
}

// Over gives the type of a quotient. Points on a scale cannot be divided.
func (t Type) Over(u Type) (Type, error) {
	if t.Datum != Difference || u.Datum != Difference {
		return Type{}, fmt.Errorf("cannot divide %s by %s: a point on a scale is not an amount", t, u)
	}
	return Type{Dim: t.Dim.minus(u.Dim)}, nil
}
