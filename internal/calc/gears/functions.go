package gears

import "jobsheaf/internal/quantity"

const (
	iso3448    = "ISO 3448:1992, table 1"
	gradeRange = "the grades VG 2 to VG 3200"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "backlash_at_pitch", Args: []string{"reading", "dial_radius", "pitch_radius"}, Call: BacklashAtPitch,
		What: "Backlash at the pitch circle from a dial at another radius", Formula: "j = a r/R",
		Range: "reading 1 µm to 20 mm, dial from a fifth to five times the pitch radius", Source: "geometry", Unchecked: true},
	{Name: "backlash_angle", Args: []string{"backlash", "pitch_radius"}, Call: BacklashAngle,
		What: "Turn of a gear within its backlash", Formula: "φ = j/r",
		Range: "up to a tenth of the radius, 5 mm to 5 m", Source: "geometry", Unchecked: true},
	{Name: "least_backlash", Args: []string{"module", "centres"}, Call: LeastBacklash,
		What: "Least backlash recommended for new gears, normal to the teeth", Formula: "j = 2/3 (0.06 + 0.0005 a + 0.03 m), in mm",
		Range: "module 1.5 to 25 mm, centres 50 mm to 2 m, pitch speed up to 15 m/s", Source: "ISO/TR 10064-2:1996, annex A (from memory)"},
	{Name: "play_shim", Args: []string{"play", "low", "high"}, Call: PlayShim,
		What: "Shim to take out for the middle of a band of end play (below zero: to put in)", Formula: "t = s − (low + high)/2",
		Range: "play up to 20 mm, band within 10 mm", Source: "common practice, no source", Unchecked: true},
	{Name: "lying_volume", Args: []string{"bore", "length", "level"}, Call: LyingVolume,
		What: "Liquid in a lying round space up to a level", Formula: "V = L r² (α − sin α cos α), cos α = 1 − h/r",
		Range: "bore 20 mm to 5 m, length 10 mm to 50 m", Source: "geometry"},
	{Name: "sump_volume", Args: []string{"length", "width", "level", "free"}, Call: SumpVolume,
		What: "Oil in a sump up to a level", Formula: "V = φ L W h",
		Range: "L and W 20 mm to 5 m, h 1 mm to 3 m, φ 0.3 to 1", Source: "geometry", Unchecked: true},
	{Name: "grade_low", Args: []string{"grade"}, Call: GradeLow,
		What: "Least viscosity at 40 °C of an ISO viscosity grade", Formula: "0.9 ν of the grade",
		Range: gradeRange, Source: iso3448},
	{Name: "grade_high", Args: []string{"grade"}, Call: GradeHigh,
		What: "Greatest viscosity at 40 °C of an ISO viscosity grade", Formula: "1.1 ν of the grade",
		Range: gradeRange, Source: iso3448},
	{Name: "grade_for", Args: []string{"viscosity"}, Call: GradeFor,
		What: "ISO viscosity grade for a viscosity wanted at 40 °C, the next above", Formula: "VG whose ν is nearest above",
		Range: "2 to 3200 mm²/s at 40 °C", Source: iso3448},
	{Name: "gear_viscosity", Args: []string{"pitch_speed"}, Call: GearViscosity,
		What: "Viscosity at 40 °C that gears want at a pitch speed", Formula: "ν = 7000/√V, in mm²/s with V in ft/min",
		Range: "0.3 to 50 m/s, spur, helical and bevel gears", Source: "ASM Handbook, volume 18 (from memory)", Unchecked: true},
}
