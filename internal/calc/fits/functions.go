package fits

import "jobsheaf/internal/quantity"

const (
	isoRange        = "sizes above 0 up to and including 500 mm; holes D to U, shafts d to u, grades 4 to 11"
	isoSource       = "ISO 286-1:2010, tables of standard tolerances and fundamental deviations"
	lame            = "Lamé thick cylinders, Shigley, Mechanical Engineering Design, eq. 3-56 and 3-57"
	pressRange      = "diameter 1 mm to 2 m, bore below diameter below hub outside, interference up to 0.4 % of the diameter"
	tableRange      = "the materials of the table, −30 to 200 °C"
	tableFrom       = "Callister, App. B, and others as package material says; carbon graphite from memory"
	pressureFormula = "p = (δ/d) / {[(do²+d²)/(do²−d²) + νo]/Eo + [(d²+di²)/(d²−di²) − νi]/Ei}"
)

var interferenceArgs = []string{"hole_low", "hole_high", "shaft_low", "shaft_high"}

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{
		Name: "deviation_low", Args: []string{"fit", "size"},
		What:    "Lower limit deviation of a tolerance class",
		Formula: "ei or EI by class and size",
		Range:   isoRange,
		Source:  isoSource,
		Call:    DeviationLow,
	},
	{
		Name: "deviation_high", Args: []string{"fit", "size"},
		What:    "Upper limit deviation of a tolerance class",
		Formula: "es or ES by class and size",
		Range:   isoRange,
		Source:  isoSource,
		Call:    DeviationHigh,
	},
	{
		Name: "limit_low", Args: []string{"fit", "size"},
		What:    "Lower limit of size of a tolerance class",
		Formula: "size + ei (or EI)",
		Range:   isoRange,
		Source:  isoSource,
		Call:    LimitLow,
	},
	{
		Name: "limit_high", Args: []string{"fit", "size"},
		What:    "Upper limit of size of a tolerance class",
		Formula: "size + es (or ES)",
		Range:   isoRange,
		Source:  isoSource,
		Call:    LimitHigh,
	},
	{
		Name: "interference_low", Args: interferenceArgs,
		What:    "Least interference of two toleranced parts (below zero: clearance)",
		Formula: "shaft low − hole high",
		Range:   "sizes 0.1 mm to 2 m, low at most high",
		Source:  "ISO 286-1:2010, 3.3 (from memory)",
		Call:    InterferenceLow,
	},
	{
		Name: "interference_high", Args: interferenceArgs,
		What:    "Greatest interference of two toleranced parts (below zero: clearance)",
		Formula: "shaft high − hole low",
		Range:   "sizes 0.1 mm to 2 m, low at most high",
		Source:  "ISO 286-1:2010, 3.3 (from memory)",
		Call:    InterferenceHigh,
	},
	{
		Name: "interface_pressure", Args: []string{"interference", "diameter", "hub_outer", "shaft_bore", "hub_modulus", "hub_poisson", "shaft_modulus", "shaft_poisson"},
		What:    "Pressure between two parts of an interference fit, from their elastic constants",
		Formula: pressureFormula,
		Range:   pressRange,
		Source:  lame,
		Call:    InterfacePressure,
	},
	{
		Name: "fit_pressure", Args: []string{"interference", "diameter", "hub_outer", "shaft_bore", "hub_material", "shaft_material"},
		What:    "Pressure between two parts of an interference fit, by materials",
		Formula: pressureFormula,
		Range:   pressRange,
		Source:  lame,
		Call:    FitPressure,
	},
	{
		Name: "press_force", Args: []string{"pressure", "diameter", "length", "friction"},
		What:    "Force to press a fit together or apart",
		Formula: "F = π d L p f",
		Range:   "pressure 1 kPa to 1 GPa, friction 0.01 to 0.5",
		Source:  lame,
		Call:    PressForce,
	},
	{
		Name: "hub_stress", Args: []string{"pressure", "diameter", "hub_outer"},
		What:    "Hoop stress at the bore of the outer part",
		Formula: "σt = p (do² + d²)/(do² − d²)",
		Range:   pressRange,
		Source:  lame,
		Call:    HubStress,
	},
	{
		Name: "bushing_stress", Args: []string{"pressure", "diameter", "bore"},
		What:    "Compressive hoop stress at the bore of the inner part",
		Formula: "σt = 2 p d²/(d² − di²)",
		Range:   pressRange,
		Source:  lame,
		Call:    BushingStress,
	},
	{
		Name: "bore_closing", Args: []string{"interference", "diameter", "hub_outer", "bore", "hub_material", "bushing_material"},
		What:    "How far the bore of a pressed bushing closes in",
		Formula: "Δdi = di · 2 p d² / (E (d² − di²))",
		Range:   pressRange,
		Source:  lame,
		Call:    BoreClosing,
	},
	{
		Name: "bore_after", Args: []string{"interference", "diameter", "hub_outer", "bore", "hub_material", "bushing_material"},
		What:    "Bore of a bushing after it is pressed in",
		Formula: "di − Δdi",
		Range:   pressRange,
		Source:  lame,
		Call:    BoreAfter,
	},
	{
		Name: "hub_use", Args: []string{"pressure", "diameter", "hub_outer", "strength"},
		What:    "Part of its strength that the outer part of a fit uses",
		Formula: "(σt + p)/R, σt = p (do² + d²)/(do² − d²)",
		Range:   pressRange + "; strength 1 MPa to 10 GPa",
		Source:  lame + "; Tresca",
		Call:    HubUse,
	},
	{
		Name: "bushing_use", Args: []string{"pressure", "diameter", "bore", "strength"},
		What:    "Part of its strength that the inner part of a fit uses",
		Formula: "σt/Rc, σt = 2 p d²/(d² − di²)",
		Range:   pressRange + "; strength 1 MPa to 10 GPa",
		Source:  lame,
		Call:    BushingUse,
	},
	{
		Name: "hot_interference", Args: []string{"interference", "diameter", "hub_material", "bushing_material", "cold", "running"},
		What:    "Interference of a fit at another temperature (below zero: loose)",
		Formula: "δ + (αi − αo) d (T − T cold)",
		Range:   "interference −1 to 1 % of the diameter; both temperatures −30 to 200 °C",
		Source:  "definition of linear expansion; " + tableFrom,
		Call:    HotInterference,
	},
	{
		Name: "tension", Args: []string{"material"},
		What:    "Stress that a material takes when pulled",
		Formula: "yield, or tensile strength where it breaks first, by material",
		Range:   tableRange,
		Source:  tableFrom,
		Call:    Tension,
	},
	{
		Name: "crushing", Args: []string{"material"},
		What:    "Stress that a material takes when pressed together",
		Formula: "by material",
		Range:   tableRange,
		Source:  tableFrom,
		Call:    Crushing,
	},
	{
		Name: "heat_rise", Args: []string{"interference", "clearance", "diameter", "expansion"},
		What:    "Temperature difference that opens a bore for assembly",
		Formula: "ΔT = (δ + c)/(α d)",
		Range:   "difference 1 to 300 K",
		Source:  "definition of linear expansion",
		Call:    HeatRise,
	},
	{
		Name: "heat_temperature", Args: []string{"interference", "clearance", "diameter", "material", "from"},
		What:    "Temperature at which a part drops on",
		Formula: "T = T from + (δ + c)/(α d)",
		Range:   "from −30 to 60 °C, result up to 300 °C",
		Source:  "definition of linear expansion; cap common practice, no source",
		Call:    HeatTemperature,
	},
	{
		Name: "heat_temperature_below", Args: []string{"interference", "clearance", "diameter", "material", "from", "cap"},
		What:    "Temperature at which a part drops on, refused above a cap",
		Formula: "T = T from + (δ + c)/(α d)",
		Range:   "result up to the cap (rolling bearings: 110 to 120 °C, common practice)",
		Source:  "definition of linear expansion",
		Call:    HeatTemperatureBelow,
	},
	{
		Name: "cool_temperature", Args: []string{"interference", "clearance", "diameter", "material", "from"},
		What:    "Temperature at which a shaft drops in",
		Formula: "T = T from − (δ + c)/(α d)",
		Range:   "from −30 to 60 °C, result down to −80 °C",
		Source:  "definition of linear expansion; cap common practice, no source",
		Call:    CoolTemperature,
	},
	{
		Name: "modulus", Args: []string{"material"},
		What:    "Young's modulus of a material",
		Formula: "E by material",
		Range:   tableRange,
		Source:  tableFrom,
		Call:    Modulus,
	},
	{
		Name: "poisson", Args: []string{"material"},
		What:    "Poisson's ratio of a material",
		Formula: "ν by material",
		Range:   tableRange,
		Source:  tableFrom,
		Call:    Poisson,
	},
	{
		Name: "expansion", Args: []string{"material"},
		What:    "Linear expansion of a material",
		Formula: "α by material",
		Range:   tableRange,
		Source:  tableFrom,
		Call:    Expansion,
	},
	{
		Name: "material_source", Args: []string{"material"},
		What:    "Where a material's figures come from, in words",
		Formula: "by material",
		Range:   tableRange,
		Source:  tableFrom,
		Call:    MaterialSource,
	},
}
