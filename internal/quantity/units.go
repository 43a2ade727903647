package quantity

// System is a family of units.
type System uint8

const (
	Metric System = iota
	US
)

// String gives the system's name as a site's record writes it.
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

// Other gives the system that stands in brackets.
func (s System) Other() System { return 1 - s }

// Unit is a unit of measure: SI value = Factor × number + offset.
type Unit struct {
	Symbol string  // as printed and as the records write it
	Kind   Kind    // what it measures
	Factor float64 // exact where the definition is
	offset float64 // K, for the scales of temperature only
	system System
	// peer is the symbol of the unit that stands beside it in the other system.
	peer string
	// places is the number of decimals printed where nothing else is asked for.
	places int
	// tight units stand against the number: 12°, never 12 °.
	tight bool
}

// The factors are exact by definition unless marked. Source: NIST SP 811 (2008)
// appendix B (from memory), each one held against GNU Units in the tests.
const (
	inch       = 0.0254                     // m
	foot       = 12 * inch                  // m
	pound      = 0.45359237                 // kg
	gravity    = 9.80665                    // m/s², the conventional standard acceleration
	poundForce = pound * gravity            // N
	psi        = poundForce / (inch * inch) // Pa
	gallon     = 231 * inch * inch * inch   // m³, US liquid
	minute     = 60.0
	hour       = 3600.0
	turn       = 6.283185307179586 // rad
	zeroC      = 273.15            // K
	zeroF      = 459.67 * 5 / 9    // K
)

// units are listed with the printed symbol first; aliases follow in aliasOf.
var units = []Unit{
	{Symbol: "", Kind: KindNumber, Factor: 1, places: 2},
	{Symbol: "%", Kind: KindNumber, Factor: 0.01, places: 0},

	{Symbol: "mm", Kind: KindLength, Factor: 1e-3, peer: "in", places: 2},
	{Symbol: "µm", Kind: KindLength, Factor: 1e-6, peer: "µin", places: 0},
	{Symbol: "cm", Kind: KindLength, Factor: 1e-2, peer: "in", places: 1},
	{Symbol: "m", Kind: KindLength, Factor: 1, peer: "ft", places: 2},
	{Symbol: "in", Kind: KindLength, Factor: inch, system: US, peer: "mm", places: 3},
	{Symbol: "thou", Kind: KindLength, Factor: inch / 1000, system: US, peer: "mm", places: 1},
	{Symbol: "µin", Kind: KindLength, Factor: inch / 1e6, system: US, peer: "µm", places: 0},
	{Symbol: "ft", Kind: KindLength, Factor: foot, system: US, peer: "m", places: 1},

	{Symbol: "mm²", Kind: KindArea, Factor: 1e-6, peer: "in²", places: 1},
	{Symbol: "cm²", Kind: KindArea, Factor: 1e-4, peer: "in²", places: 1},
	{Symbol: "m²", Kind: KindArea, Factor: 1, peer: "ft²", places: 2},
	{Symbol: "in²", Kind: KindArea, Factor: inch * inch, system: US, peer: "mm²", places: 4},
	{Symbol: "ft²", Kind: KindArea, Factor: foot * foot, system: US, peer: "m²", places: 1},

	{Symbol: "L", Kind: KindVolume, Factor: 1e-3, peer: "gal", places: 1},
	{Symbol: "mL", Kind: KindVolume, Factor: 1e-6, peer: "in³", places: 0},
	{Symbol: "cm³", Kind: KindVolume, Factor: 1e-6, peer: "in³", places: 0},
	{Symbol: "m³", Kind: KindVolume, Factor: 1, peer: "gal", places: 2},
	{Symbol: "gal", Kind: KindVolume, Factor: gallon, system: US, peer: "L", places: 1},
	{Symbol: "in³", Kind: KindVolume, Factor: inch * inch * inch, system: US, peer: "cm³", places: 1},

	{Symbol: "kg", Kind: KindMass, Factor: 1, peer: "lb", places: 1},
	{Symbol: "g", Kind: KindMass, Factor: 1e-3, peer: "oz", places: 0},
	{Symbol: "lb", Kind: KindMass, Factor: pound, system: US, peer: "kg", places: 0},
	{Symbol: "oz", Kind: KindMass, Factor: pound / 16, system: US, peer: "g", places: 1},

	{Symbol: "s", Kind: KindTime, Factor: 1, places: 0},
	{Symbol: "min", Kind: KindTime, Factor: minute, places: 0},
	{Symbol: "h", Kind: KindTime, Factor: hour, places: 1},
	{Symbol: "d", Kind: KindTime, Factor: 24 * hour, places: 0},

	{Symbol: "°", Kind: KindAngle, Factor: turn / 360, places: 1, tight: true},
	{Symbol: "rad", Kind: KindAngle, Factor: 1, places: 4},
	{Symbol: "turn", Kind: KindAngle, Factor: turn, places: 3},
	// The slope of one shaft against another: so small that angle and tangent are one.
	{Symbol: "mm/m", Kind: KindAngle, Factor: 1e-3, peer: "thou/in", places: 2},
	{Symbol: "thou/in", Kind: KindAngle, Factor: 1e-3, system: US, peer: "mm/m", places: 2},

	{Symbol: "°C", Kind: KindTemperature, Factor: 1, offset: zeroC, peer: "°F", places: 0},
	{Symbol: "K", Kind: KindTemperature, Factor: 1, peer: "°F", places: 1},
	{Symbol: "°F", Kind: KindTemperature, Factor: 5.0 / 9, offset: zeroF, system: US, peer: "°C", places: 0},
	{Symbol: "K", Kind: KindTemperatureDifference, Factor: 1, peer: "Δ°F", places: 0},
	{Symbol: "Δ°C", Kind: KindTemperatureDifference, Factor: 1, peer: "Δ°F", places: 0},
	{Symbol: "Δ°F", Kind: KindTemperatureDifference, Factor: 5.0 / 9, system: US, peer: "K", places: 0},

	{Symbol: "N", Kind: KindForce, Factor: 1, peer: "lbf", places: 0},
	{Symbol: "kN", Kind: KindForce, Factor: 1e3, peer: "lbf", places: 1},
	{Symbol: "lbf", Kind: KindForce, Factor: poundForce, system: US, peer: "N", places: 0},

	{Symbol: "N·m", Kind: KindTorque, Factor: 1, peer: "ft·lbf", places: 0},
	{Symbol: "kN·m", Kind: KindTorque, Factor: 1e3, peer: "ft·lbf", places: 2},
	{Symbol: "ft·lbf", Kind: KindTorque, Factor: foot * poundForce, system: US, peer: "N·m", places: 0},
	{Symbol: "in·lbf", Kind: KindTorque, Factor: inch * poundForce, system: US, peer: "N·m", places: 0},

	{Symbol: "bar", Kind: KindPressure, Factor: 1e5, peer: "psi", places: 1},
	{Symbol: "mbar", Kind: KindPressure, Factor: 100, peer: "psi", places: 0},
	{Symbol: "Pa", Kind: KindPressure, Factor: 1, peer: "psi", places: 0},
	{Symbol: "kPa", Kind: KindPressure, Factor: 1e3, peer: "psi", places: 0},
	{Symbol: "MPa", Kind: KindPressure, Factor: 1e6, peer: "psi", places: 1},
	{Symbol: "GPa", Kind: KindPressure, Factor: 1e9, peer: "ksi", places: 1},
	{Symbol: "psi", Kind: KindPressure, Factor: psi, system: US, peer: "bar", places: 0},
	{Symbol: "ksi", Kind: KindPressure, Factor: 1000 * psi, system: US, peer: "MPa", places: 1},
	{Symbol: "bar(g)", Kind: KindGaugePressure, Factor: 1e5, peer: "psi(g)", places: 1},
	{Symbol: "kPa(g)", Kind: KindGaugePressure, Factor: 1e3, peer: "psi(g)", places: 0},
	{Symbol: "MPa(g)", Kind: KindGaugePressure, Factor: 1e6, peer: "psi(g)", places: 2},
	{Symbol: "psi(g)", Kind: KindGaugePressure, Factor: psi, system: US, peer: "bar(g)", places: 0},
	{Symbol: "bar(a)", Kind: KindAbsolutePressure, Factor: 1e5, peer: "psi(a)", places: 2},
	{Symbol: "mbar(a)", Kind: KindAbsolutePressure, Factor: 100, peer: "psi(a)", places: 0},
	{Symbol: "kPa(a)", Kind: KindAbsolutePressure, Factor: 1e3, peer: "psi(a)", places: 1},
	{Symbol: "psi(a)", Kind: KindAbsolutePressure, Factor: psi, system: US, peer: "bar(a)", places: 1},

	{Symbol: "m³/h", Kind: KindFlow, Factor: 1 / hour, peer: "gal/min", places: 1},
	{Symbol: "L/min", Kind: KindFlow, Factor: 1e-3 / minute, peer: "gal/min", places: 1},
	{Symbol: "L/s", Kind: KindFlow, Factor: 1e-3, peer: "gal/min", places: 2},
	{Symbol: "mL/min", Kind: KindFlow, Factor: 1e-6 / minute, places: 1},
	{Symbol: "mL/h", Kind: KindFlow, Factor: 1e-6 / hour, places: 0},
	{Symbol: "gal/min", Kind: KindFlow, Factor: gallon / minute, system: US, peer: "m³/h", places: 1},

	{Symbol: "rpm", Kind: KindSpeed, Factor: turn / minute, places: 0},
	{Symbol: "rad/s", Kind: KindSpeed, Factor: 1, places: 2},

	{Symbol: "m/s", Kind: KindVelocity, Factor: 1, peer: "ft/s", places: 2},
	{Symbol: "mm/s", Kind: KindVelocity, Factor: 1e-3, peer: "in/s", places: 1},
	{Symbol: "in/s", Kind: KindVelocity, Factor: inch, system: US, peer: "mm/s", places: 2},
	{Symbol: "ft/s", Kind: KindVelocity, Factor: foot, system: US, peer: "m/s", places: 1},

	{Symbol: "kW", Kind: KindPower, Factor: 1e3, peer: "hp", places: 2},
	{Symbol: "W", Kind: KindPower, Factor: 1, peer: "hp", places: 0},
	{Symbol: "hp", Kind: KindPower, Factor: 550 * foot * poundForce, system: US, peer: "kW", places: 1},

	{Symbol: "mPa·s", Kind: KindDynamicViscosity, Factor: 1e-3, peer: "cP", places: 1},
	{Symbol: "Pa·s", Kind: KindDynamicViscosity, Factor: 1, peer: "cP", places: 3},
	{Symbol: "cP", Kind: KindDynamicViscosity, Factor: 1e-3, system: US, peer: "mPa·s", places: 1},
	{Symbol: "mm²/s", Kind: KindKinematicViscosity, Factor: 1e-6, peer: "cSt", places: 1},
	{Symbol: "cSt", Kind: KindKinematicViscosity, Factor: 1e-6, system: US, peer: "mm²/s", places: 1},

	{Symbol: "kg/m³", Kind: KindDensity, Factor: 1, peer: "lb/ft³", places: 0},
	{Symbol: "g/cm³", Kind: KindDensity, Factor: 1e3, peer: "lb/ft³", places: 3},
	{Symbol: "kg/L", Kind: KindDensity, Factor: 1e3, peer: "lb/ft³", places: 3},
	{Symbol: "lb/ft³", Kind: KindDensity, Factor: pound / (foot * foot * foot), system: US, peer: "kg/m³", places: 1},
	{Symbol: "kg/m", Kind: KindLinearDensity, Factor: 1, peer: "lb/ft", places: 3},
	{Symbol: "g/m", Kind: KindLinearDensity, Factor: 1e-3, peer: "lb/ft", places: 0},
	{Symbol: "lb/ft", Kind: KindLinearDensity, Factor: pound / foot, system: US, peer: "kg/m", places: 3},
	{Symbol: "N/mm", Kind: KindStiffness, Factor: 1e3, peer: "lbf/in", places: 1},
	{Symbol: "lbf/in", Kind: KindStiffness, Factor: poundForce / inch, system: US, peer: "N/mm", places: 0},

	{Symbol: "1/K", Kind: KindExpansion, Factor: 1, places: 7},
	{Symbol: "µm/(m·K)", Kind: KindExpansion, Factor: 1e-6, places: 1},
	{Symbol: "J/(kg·K)", Kind: KindSpecificHeat, Factor: 1, places: 0},
	{Symbol: "kJ/(kg·K)", Kind: KindSpecificHeat, Factor: 1e3, places: 2},
	{Symbol: "W/(m·K)", Kind: KindConductivity, Factor: 1, places: 2},
	{Symbol: "W/(m²·K)", Kind: KindFilmCoefficient, Factor: 1, places: 1},
	{Symbol: "1/MPa", Kind: KindCompressibility, Factor: 1e-6, places: 6},
	{Symbol: "MPa·m/s", Kind: KindPressureVelocity, Factor: 1e6, peer: "psi·ft/min", places: 2},
	{Symbol: "psi·ft/min", Kind: KindPressureVelocity, Factor: psi * foot / minute, system: US, peer: "MPa·m/s", places: 0},

	{Symbol: "Hz", Kind: KindFrequency, Factor: 1, places: 1},
	{Symbol: "Ω", Kind: KindResistance, Factor: 1, places: 2},
	{Symbol: "kΩ", Kind: KindResistance, Factor: 1e3, places: 1},
	{Symbol: "MΩ", Kind: KindResistance, Factor: 1e6, places: 1},
	{Symbol: "GΩ", Kind: KindResistance, Factor: 1e9, places: 2},
	{Symbol: "V", Kind: KindVoltage, Factor: 1, places: 0},
	{Symbol: "kV", Kind: KindVoltage, Factor: 1e3, places: 2},
	{Symbol: "mV", Kind: KindVoltage, Factor: 1e-3, places: 0},
	{Symbol: "A", Kind: KindCurrent, Factor: 1, places: 1},
	{Symbol: "mA", Kind: KindCurrent, Factor: 1e-3, places: 1},
}

// aliasOf maps what people type to the printed symbol. Before the look-up the
// text loses its spaces, "." and "*" become "·", "²" and "³" become digits.
var aliasOf = map[string]string{
	"um": "µm", "μm": "µm", "micron": "µm", "uin": "µin", "μin": "µin", "\"": "in", "inch": "in", "mil": "thou",
	"l": "L", "liter": "L", "litre": "L", "ml": "mL", "usgal": "gal", "cc": "cm3",
	"sec": "s", "hr": "h", "day": "d", "days": "d", "deg": "°", "degree": "°", "turns": "turn", "rev": "turn",
	"mil/in": "thou/in", "ml/min": "mL/min", "ml/h": "mL/h", "cm3/h": "mL/h",
	"degC": "°C", "C": "°C", "degF": "°F", "F": "°F", "deltadegC": "Δ°C", "deltadegF": "Δ°F", "ΔK": "K",
	"Nm": "N·m", "kNm": "kN·m", "ft·lb": "ft·lbf", "lbf·ft": "ft·lbf", "lb·ft": "ft·lbf", "in·lb": "in·lbf", "lbf·in": "in·lbf", "lb·in": "in·lbf",
	"barg": "bar(g)", "bara": "bar(a)", "mbara": "mbar(a)", "kPag": "kPa(g)", "kPaa": "kPa(a)", "MPag": "MPa(g)", "psig": "psi(g)", "psia": "psi(a)",
	"gpm": "gal/min", "lpm": "L/min", "l/min": "L/min", "l/s": "L/s", "rev/min": "rpm", "1/min": "rpm", "r/min": "rpm",
	"mPas": "mPa·s", "Pas": "Pa·s", "um/m·K": "µm/(m·K)", "um/(m·K)": "µm/(m·K)", "µm/m·K": "µm/(m·K)", "μm/(m·K)": "µm/(m·K)",
	"J/kg·K": "J/(kg·K)", "kJ/kg·K": "kJ/(kg·K)", "W/m·K": "W/(m·K)", "W/m2·K": "W/(m2·K)", "MPa-1": "1/MPa", "K-1": "1/K", "kg/l": "kg/L",
	"ohm": "Ω", "Ohm": "Ω", "kohm": "kΩ", "kOhm": "kΩ", "Mohm": "MΩ", "MOhm": "MΩ", "Gohm": "GΩ", "GOhm": "GΩ",
	"volt": "V", "amp": "A", "hertz": "Hz",
}

// preferred gives the units that a kind prints in where no one asks for others.
var preferred = [2]map[Kind]string{
	Metric: {
		KindLength: "mm", KindArea: "mm²", KindVolume: "L", KindMass: "kg", KindTime: "h", KindAngle: "°",
		KindTemperature: "°C", KindTemperatureDifference: "K", KindForce: "kN", KindTorque: "N·m", KindPressure: "bar",
		KindGaugePressure: "bar(g)", KindAbsolutePressure: "bar(a)", KindFlow: "m³/h", KindSpeed: "rpm", KindVelocity: "m/s",
		KindPower: "kW", KindDynamicViscosity: "mPa·s", KindKinematicViscosity: "mm²/s", KindDensity: "kg/m³",
		KindLinearDensity: "kg/m", KindStiffness: "N/mm",
		KindExpansion: "µm/(m·K)", KindSpecificHeat: "J/(kg·K)", KindConductivity: "W/(m·K)", KindFilmCoefficient: "W/(m²·K)",
		KindCompressibility: "1/MPa", KindPressureVelocity: "MPa·m/s",
		KindFrequency: "Hz", KindResistance: "MΩ", KindVoltage: "V", KindCurrent: "A",
	},
	US: {
		KindLength: "in", KindArea: "in²", KindVolume: "gal", KindMass: "lb", KindForce: "lbf", KindTorque: "ft·lbf",
		KindTemperature: "°F", KindTemperatureDifference: "Δ°F", KindPressure: "psi", KindGaugePressure: "psi(g)",
		KindAbsolutePressure: "psi(a)", KindFlow: "gal/min", KindVelocity: "ft/s", KindPower: "hp", KindDynamicViscosity: "cP",
		KindKinematicViscosity: "cSt", KindDensity: "lb/ft³", KindPressureVelocity: "psi·ft/min",
		KindLinearDensity: "lb/ft", KindStiffness: "lbf/in",
	},
}

// Preferred gives the unit that a kind prints in under a system. Kinds with no
// unit of their own in a system (time, angle, speed) give the common one.
func Preferred(k Kind, s System) Unit {
	sym, ok := preferred[s][k]
	if !ok {
		sym = preferred[Metric][k]
	}
	u, _ := unitOf(sym, k)
	return u
}

// unitOf finds a unit by its printed symbol and kind.
func unitOf(symbol string, k Kind) (Unit, bool) {
	for _, u := range units {
		if u.Symbol == symbol && u.Kind == k {
			return u, true
		}
	}
	return Unit{}, false
}

// In gives the unit that stands beside u under system s: u itself if it is of
// that system or of none, else its peer.
func (u Unit) In(s System) Unit {
	if u.peer == "" || u.system == s {
		return u
	}
	if p, ok := unitOf(u.peer, u.Kind); ok && p.system == s {
		return p
	}
	return u
}
