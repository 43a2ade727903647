package liquid

import "jobsheaf/internal/quantity"

const (
	d2161   = "ASTM D2161-93, section 4 and 5.3"
	flashes = "flash point −100 to 500 °C, boiling point above it and up to 700 °C"
	osha    = "29 CFR 1910.106(a)(19)"
	lumped  = "Holman, Heat Transfer, section 4-2"
	cools   = "target at least 0.5 K above the surroundings and below the start; body cools as one lump"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{
		Name: "viscosity_at", Args: []string{"temperature", "t1", "v1", "t2", "v2"},
		What:    "Kinematic viscosity of a petroleum oil at a temperature, from two points",
		Formula: "log log Z = A − B log T, Z = ν + 0.7 + exp(−1.47 − 1.84 ν − 0.51 ν²)",
		Range:   "0.21 to 2·10⁷ mm²/s, −70 to 370 °C, points 10 K apart or more, beyond them by no more than their distance",
		Source:  "ASTM D341-20, section 5",
		Call:    ViscosityAt,
	},
	{
		Name: "viscosity_between", Args: []string{"temperature", "t1", "v1", "t2", "v2"},
		What:    "Kinematic viscosity of a Newtonian liquid at a temperature between two points",
		Formula: "log log Z = A − B log T, Z = ν + 0.7 + exp(−1.47 − 1.84 ν − 0.51 ν²)",
		Range:   "0.21 to 2·10⁷ mm²/s, −70 to 370 °C, points 10 K apart or more, never beyond them",
		Source:  "ASTM D341-20, section 5, used to interpolate",
		Call:    ViscosityBetween,
	},
	{
		Name: "saybolt", Args: []string{"sus", "temperature"},
		What:    "Kinematic viscosity of Saybolt universal seconds",
		Formula: "SUS = [1 + 0.000061 (t − 100)] · {4.6324 ν + (1 + 0.03264 ν) / [(3930.2 + 262.7 ν + 23.97 ν² + 1.646 ν³)·10⁻⁵]}",
		Range:   "32 SUS or more, 1.81 to 100 000 mm²/s, 0 to 350 °F",
		Source:  d2161,
		Call:    Saybolt,
	},
	{
		Name: "saybolt_of", Args: []string{"viscosity", "temperature"},
		What:    "Saybolt universal seconds of a kinematic viscosity",
		Formula: "SUS = [1 + 0.000061 (t − 100)] · {4.6324 ν + (1 + 0.03264 ν) / [(3930.2 + 262.7 ν + 23.97 ν² + 1.646 ν³)·10⁻⁵]}",
		Range:   "1.81 to 100 000 mm²/s, 0 to 350 °F",
		Source:  d2161,
		Call:    SayboltOf,
	},
	{
		Name: "dynamic", Args: []string{"kinematic", "density"},
		What:    "Dynamic viscosity",
		Formula: "μ = ν ρ",
		Range:   "0.05 to 2·10⁷ mm²/s, 300 to 3000 kg/m³",
		Source:  "definition of kinematic viscosity",
		Call:    Dynamic,
	},
	{
		Name: "kinematic", Args: []string{"dynamic", "density"},
		What:    "Kinematic viscosity",
		Formula: "ν = μ / ρ",
		Range:   "0.05 mPa·s to 20 kPa·s, 300 to 3000 kg/m³",
		Source:  "definition of kinematic viscosity",
		Call:    Kinematic,
	},
	{
		Name: "flammable_category", Args: []string{"flash", "boiling"},
		What:    "GHS category of a flammable liquid, 0 for none",
		Formula: "1: flash < 23 °C, boiling ≤ 35 °C; 2: flash < 23 °C; 3: flash ≤ 60 °C; 4: flash ≤ 93 °C",
		Range:   flashes,
		Source:  osha + "(i) to (iv); UN GHS, table 2.6.1",
		Call:    FlammableCategory,
	},
	{
		Name: "heated_category", Args: []string{"flash", "boiling", "temperature"},
		What:    "Category by whose rules a heated liquid is handled",
		Formula: "within 16.7 K of the flash point, category 4 is handled as 3, and none as 4",
		Range:   flashes,
		Source:  osha + "(iii) and (iv); (v) from memory",
		Call:    HeatedCategory,
	},
	{
		Name: "near_flash", Args: []string{"flash", "temperature"},
		What:    "Within 16.7 K of the flash point, or above it",
		Formula: "t ≥ flash − 16.7 K",
		Range:   "−100 to 500 °C",
		Source:  osha + "(iii) and (iv)",
		Call:    NearFlash,
	},
	{
		Name: "corrosive_ph", Args: []string{"ph"},
		What:    "Corrosive to skin by its pH",
		Formula: "pH ≤ 2 or pH ≥ 11.5",
		Range:   "pH −2 to 16",
		Source:  "29 CFR 1910.1200 appendix A.2; UN GHS 3.2.2.2",
		Call:    CorrosivePH,
	},
	{
		Name: "antoine_boiling", Args: []string{"a", "b", "c", "low", "high", "pressure"},
		What:    "Boiling temperature under a pressure",
		Formula: "T = B / (A − log₁₀ p) − C, p in bar, T in K",
		Range:   "between the temperatures for which the constants hold",
		Source:  "Antoine's equation, in the form of the NIST Chemistry WebBook",
		Call:    AntoineBoiling,
	},
	{
		Name: "boiling_at", Args: []string{"pressure", "t1", "p1", "t2", "p2"},
		What:    "Boiling temperature under a pressure, from two points",
		Formula: "1/T = 1/T₁ + (1/T₂ − 1/T₁) · ln(p/p₁) / ln(p₂/p₁)",
		Range:   "beyond the points by no more than half their distance in ln p",
		Source:  "Clausius-Clapeyron equation, OpenStax Chemistry 2e, section 10.3",
		Call:    BoilingAt,
	},
	{
		Name: "boiling_known", Args: []string{"pressure", "p1", "p2"},
		What:    "Whether two points of vapour pressure carry to a pressure",
		Formula: "p₁/√(p₂/p₁) ≤ p ≤ p₂·√(p₂/p₁)",
		Range:   "1 Pa to 220 bar; how far the points carry is our own rule",
		Source:  "Clausius-Clapeyron equation, OpenStax Chemistry 2e, section 10.3",
		Call:    BoilingKnown,
	},
	{
		Name: "touch_limit", Args: []string{"material", "contact"},
		What:    "Surface temperature above which skin may burn",
		Formula: "table by surface and contact time; the next longer time counts",
		Range:   "0.5 s to 8 h; bare metal, ceramic, plastic, wood",
		Source:  "from memory: ISO 13732-1:2006, burn thresholds",
		Call:    TouchLimit,
	},
	{
		Name: "cooling_time", Args: []string{"mass", "specific_heat", "area", "film", "from", "to", "surroundings"},
		What:    "Time to cool",
		Formula: "t = m c / (h A) · ln[(T₀ − T∞) / (T − T∞)]",
		Range:   cools,
		Source:  lumped,
		Call:    CoolingTime,
	},
	{
		Name: "cooling_time_checked", Args: []string{"mass", "specific_heat", "area", "film", "from", "to", "surroundings", "conductivity", "volume"},
		What:    "Time to cool, with the Biot number checked",
		Formula: "t = m c / (h A) · ln[(T₀ − T∞) / (T − T∞)], h V / (A k) ≤ 0.1",
		Range:   cools + "; Biot number up to 0.1",
		Source:  lumped,
		Call:    CoolingTimeChecked,
	},
	{
		Name: "temperature_after", Args: []string{"mass", "specific_heat", "area", "film", "from", "surroundings", "after"},
		What:    "Temperature after cooling for a time",
		Formula: "T = T∞ + (T₀ − T∞) · exp(−h A t / (m c))",
		Range:   "0 to 1000 h; body cools as one lump",
		Source:  lumped,
		Call:    TemperatureAfter,
	},
	{
		Name: "lagged_film", Args: []string{"film", "thickness", "conductivity"},
		What:      "Film coefficient of a lagged surface",
		Formula:   "1/U = 1/h + s/k",
		Range:     "h 0.1 to 10⁵ W/(m²·K), s 1 mm to 1 m, k 0.01 to 5 W/(m·K); lagging thin beside the body",
		Source:    "Çengel, Heat Transfer, section 3-1",
		Unchecked: true,
		Call:      LaggedFilm,
	},
	{
		Name: "trapped_rise", Args: []string{"liquid_expansion", "metal_expansion", "compressibility", "difference", "diameter", "wall", "modulus"},
		What:    "Pressure rise of a trapped liquid that warms",
		Formula: "Δp = (α_f − 3 α_m) ΔT / (β + D / (t E))",
		Range:   "0.1 to 300 K; the liquid expands more than the metal",
		Source:  "balance of volumes, as in ANSI/API 521 (2007), hydraulic expansion",
		Call:    TrappedRise,
	},
	{
		Name: "cylinder_volume", Args: []string{"bore", "length"},
		What:    "Volume of a round space",
		Formula: "V = π/4 d² L",
		Range:   "bore 1 mm to 5 m, length 1 mm to 1 km",
		Source:  "geometry",
		Call:    CylinderVolume,
	},
	{
		Name: "container_for", Args: []string{"volume"},
		What:    "Container to catch a volume",
		Formula: "next of 1, 2, 5, 10, 20, 30, 60, 120, 200, 1000 L, filled to 80 % at most",
		Range:   "1 mL to 800 L",
		Source:  "common practice, no source",
		Call:    ContainerFor,
	},
}
