package running

import "jobsheaf/internal/quantity"

const (
	iso281     = "ISO 281, basic rating life"
	lobanoff   = "Lobanoff & Ross, Centrifugal Pumps: Design and Application, chapter 17"
	stackRange = "K 0.05 to 0.60, thread 5 to 500 mm, stack 1 mm to 2 m long, elastic"
	stackFrom  = "Bickford, Introduction to the Design and Behavior of Bolted Joints, eq. 8.1 and 8.2, with the stack's give in series; Shigley, Mechanical Engineering Design, eq. 8-27"
	helium     = "half the wavelength of the helium line at 587.56 nm"
)

var stackArgs = []string{"k", "diameter", "lead", "length", "stack_outer", "stack_bore", "shaft_modulus", "stack_modulus"}

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "slot_angle", Args: []string{"slots"}, Call: SlotAngle,
		What: "Largest turn of a lock nut to the next slot", Formula: "φ = 360° / n",
		Range: "2 to 60 slots", Source: "geometry", Unchecked: true},
	{Name: "tang_angle", Args: []string{"slots", "tangs"}, Call: TangAngle,
		What: "Largest turn of a lock nut to where a slot meets a tang", Formula: "φ = 360° / lcm(n, m)",
		Range: "2 to 60 slots, 1 to 60 tangs evenly spaced", Source: "geometry", Unchecked: true},
	{Name: "slot_travel", Args: []string{"slots", "lead"}, Call: SlotTravel,
		What: "Advance of a lock nut to the next slot", Formula: "s = lead / n",
		Range: "2 to 60 slots, lead 0.1 to 50 mm", Source: "geometry", Unchecked: true},
	{Name: "turn_torque", Args: append([]string{"angle"}, stackArgs...), Call: TurnTorque,
		What: "Torque that a turn of a lock nut adds on its stack, at most", Formula: "ΔT = K d F, F = (lead φ/2π) / (L/(Es As) + L/(Ep Ap))",
		Range: stackRange + "; turn 0.01 rad to one turn", Source: stackFrom, Unchecked: true},
	{Name: "turn_room", Args: append([]string{"torque"}, stackArgs...), Call: TurnRoom,
		What: "Turn of a lock nut that adds a torque on its stack, at least", Formula: "φ = 2π ΔT (L/(Es As) + L/(Ep Ap)) / (K d lead)",
		Range: stackRange + "; torque 0.01 N·m to 100 kN·m", Source: stackFrom, Unchecked: true},
	{Name: "bearing_life", Args: []string{"rating", "load", "kind", "speed"}, Call: BearingLife,
		What: "Life that nine in ten bearings outlive", Formula: "L = 10⁶ (C/P)^p / n, p = 3 for ball, 10/3 for roller",
		Range: "load up to half the rating, speed 0.1 to 3000 rad/s", Source: iso281},
	{Name: "bearing_rating", Args: []string{"load", "life", "kind", "speed"}, Call: BearingRating,
		What: "Dynamic rating that a life needs", Formula: "C = P (L n / 10⁶)^(1/p), p = 3 for ball, 10/3 for roller",
		Range: "load up to half the rating, life 1 h to 10⁷ h, speed 0.1 to 3000 rad/s", Source: iso281},
	{Name: "grease_charge", Args: []string{"outside", "width"}, Call: GreaseCharge,
		What: "Grease to renew in a bearing", Formula: "G = 0.005 D B, in g from mm",
		Range: "outside 10 to 500 mm, width 3 mm up to the outside", Source: "The Tribology Handbook, A20"},
	{Name: "face_speed", Args: []string{"diameter", "speed"}, Call: FaceSpeed,
		What: "Sliding speed of the seal faces", Formula: "v = ω D / 2",
		Range: "mean diameter 5 mm to 1 m, speed 0.1 to 3000 rad/s", Source: lobanoff},
	{Name: "face_pressure", Args: []string{"difference", "balance", "k", "spring"}, Call: FacePressure,
		What: "Pressure between the seal faces", Formula: "p = Δp (B − k) + p_sp",
		Range: "up to 200 bar, B 0.5 to 1.6, k 0 to 1, spring 0.01 to 2 MPa; above zero", Source: lobanoff},
	{Name: "pressure_velocity", Args: []string{"pressure", "velocity"}, Call: PressureVelocity,
		What: "Pressure-velocity product of the seal faces", Formula: "PV = p v",
		Range: "up to 100 MPa, up to 200 m/s", Source: lobanoff},
	{Name: "flatness", Args: []string{"bands"}, Call: Flatness,
		What: "Height of a number of helium light bands", Formula: "h = n · 293.78 nm",
		Range: "0.1 to 30 bands", Source: helium},
	{Name: "light_bands", Args: []string{"flatness"}, Call: LightBands,
		What: "Helium light bands of a height", Formula: "n = h / 293.78 nm",
		Range: "30 nm to 8.8 µm", Source: helium},
	{Name: "speed_factor", Args: []string{"bore", "outside", "speed"}, Call: SpeedFactor,
		What: "Speed factor of a bearing", Formula: "n (d + D)/2, in rpm and mm",
		Range: "bore 5 to 500 mm, outside up to 800 mm", Source: "The Tribology Handbook, A20", Unchecked: true},
	{Name: "grease_interval", Args: []string{"bore", "speed", "kind"}, Call: GreaseInterval,
		What: "Running time after which a bearing is regreased", Formula: "t = K (14·10⁶/(n √d) − 4 d), in h from rpm and mm; K 10 ball, 5 cylindrical or needle, 1 others",
		Range: "bore 5 to 300 mm, clean, horizontal, up to 70 °C; 50 to 32 000 h", Source: "common practice: classical rule of the lubrication trade", Unchecked: true},
	{Name: "hot_interval", Args: []string{"interval", "bearing"}, Call: HotInterval,
		What: "Interval of a bearing that runs hot", Formula: "t = t₀ · 2^(−(T − 70 °C)/15 K) above 70 °C",
		Range: "bearing −20 to 120 °C", Source: "common practice: halving with each 15 K above 70 °C"},
	{Name: "grease_strokes", Args: []string{"amount", "stroke"}, Call: GreaseStrokes,
		What: "Strokes of a grease gun for an amount", Formula: "N = G/g, a whole number",
		Range: "0.1 g to 5 kg, stroke 0.1 to 5 g, up to 500 strokes", Source: "definition", Unchecked: true},
}
