package belts

import "jobsheaf/internal/quantity"

const (
	shigley    = "Shigley, Mechanical Engineering Design, chapter 17"
	arpm       = "ARPM IP-20 (from memory); T/16 is the geometry of t/64"
	openStax   = "the vibrating string, OpenStax, University Physics, section 16.3"
	driveRange = "sheaves 10 mm to 5 m that do not touch, centres up to 20 m"
	pressRange = "span 10 mm to 20 m, belt from twice the span to 50 m, Y up to 1 kN"
	toneRange  = "tension 0.5 N to 100 kN, mass 5 g/m to 20 kg/m, span 10 mm to 20 m"
)

var (
	driveArgs = []string{"centres", "large", "small"}
	pressArgs = []string{"stiffness", "span", "length"}
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "span_length", Args: driveArgs, Call: SpanLength,
		What: "Free length of a belt between its sheaves", Formula: "t = √(C² − ((D − d)/2)²)",
		Range: driveRange, Source: shigley},
	{Name: "wrap_angle", Args: driveArgs, Call: WrapAngle,
		What: "Angle on which a belt lies round the small sheave", Formula: "θ = π − 2 asin((D − d)/(2 C))",
		Range: driveRange, Source: shigley},
	{Name: "belt_length", Args: driveArgs, Call: BeltLength,
		What: "Length of an open belt", Formula: "L = 2 C cos β + π (D + d)/2 + β (D − d), sin β = (D − d)/(2 C)",
		Range: driveRange, Source: shigley},
	{Name: "sheave_angle", Args: []string{"gap", "length"}, Call: SheaveAngle,
		What: "Angle by which two sheaves stand out of line", Formula: "φ = atan(e/L)",
		Range: "gap up to 0.2 m, L 20 mm to 20 m, up to 10°", Source: "geometry", Unchecked: true},
	{Name: "sheave_gap", Args: []string{"angle", "length"}, Call: SheaveGap,
		What: "Gap at a straightedge for an angle between sheaves", Formula: "e = L tan φ",
		Range: "0.01 to 10°, L 20 mm to 20 m", Source: "geometry", Unchecked: true},
	{Name: "belt_deflection", Args: []string{"span"}, Call: Deflection,
		What: "How far a belt is pressed in at mid-span", Formula: "t/64",
		Range: "span 10 mm to 20 m", Source: "Bloch and Geitner, Practical Machinery Management for Process Plants, figure 7-14"},
	{Name: "centrifugal_tension", Args: []string{"mass", "velocity"}, Call: CentrifugalTension,
		What: "Tension that a belt spends in going round", Formula: "m v²",
		Range: "mass 5 g/m to 20 kg/m, speed 0.1 to 60 m/s", Source: shigley},
	{Name: "static_tension", Args: []string{"power", "belts", "velocity", "wrap", "mass"}, Call: StaticTension,
		What: "Tension that each span of each belt needs at rest", Formula: "T = P/(2 N v) · (e^(0.5123 θ) + 1)/(e^(0.5123 θ) − 1) + m v²",
		Range:  "10 W to 10 MW, 1 to 30 belts, 0.1 to 60 m/s, wrap 60 to 180°",
		Source: shigley + ", grip of V-belts; ARPM IP-20 (from memory)", Unchecked: true},
	{Name: "deflection_force", Args: append([]string{"tension"}, pressArgs...), Call: DeflectionForce,
		What: "Force that presses a belt in by a 64th of its span", Formula: "P = (T + Y t/L)/16",
		Range: "tension 0.5 N to 100 kN, " + pressRange, Source: arpm, Unchecked: true},
	{Name: "tension_of_force", Args: append([]string{"force"}, pressArgs...), Call: TensionOfForce,
		What: "Tension of a belt by the force that presses it in", Formula: "T = 16 P − Y t/L",
		Range: "force 0.05 N to 10 kN, " + pressRange, Source: arpm, Unchecked: true},
	{Name: "span_frequency", Args: []string{"tension", "mass", "span"}, Call: SpanFrequency,
		What: "Tone of a plucked span", Formula: "f = √(T/m)/(2 t)",
		Range: toneRange, Source: openStax},
	{Name: "tension_of_frequency", Args: []string{"frequency", "mass", "span"}, Call: TensionOfFrequency,
		What: "Tension of a span by its tone", Formula: "T = 4 m t² f²",
		Range: "1 to 1000 Hz, " + toneRange, Source: openStax},
}
