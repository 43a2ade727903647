package duty

import "jobsheaf/internal/quantity"

const (
	esposito = "Esposito, Fluid Power with Applications, chapter 5"
	turns    = "speed 0.1 to 3000 rad/s"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "hydraulic_power", Args: []string{"flow", "difference"}, Call: HydraulicPower,
		What: "Power that the liquid takes up", Formula: "P = Q Δp",
		Range: "up to 10 m³/s, 1 Pa to 100 MPa", Source: esposito},
	{Name: "shaft_power", Args: []string{"hydraulic", "efficiency"}, Call: ShaftPower,
		What: "Power that the shaft takes", Formula: "P = P_h / η",
		Range: "efficiency 0.01 to 1", Source: esposito},
	{Name: "efficiency", Args: []string{"hydraulic", "shaft"}, Call: Efficiency,
		What: "Efficiency of the pump", Formula: "η = P_h / P",
		Range: "hydraulic power from a hundredth of the shaft power up to it", Source: esposito},
	{Name: "volumetric_efficiency", Args: []string{"delivered", "theoretical"}, Call: VolumetricEfficiency,
		What: "Part of the theoretical flow that is delivered", Formula: "η_v = Q / Q_th",
		Range: "delivered from a hundredth of the theoretical flow up to it", Source: esposito},
	{Name: "shaft_torque", Args: []string{"power", "speed"}, Call: ShaftTorque,
		What: "Torque of the shaft", Formula: "T = P / ω",
		Range: turns, Source: esposito},
	{Name: "torque_power", Args: []string{"torque", "speed"}, Call: TorquePower,
		What: "Power of the shaft", Formula: "P = T ω",
		Range: turns, Source: esposito},
	{Name: "displacement_torque", Args: []string{"displacement", "difference"}, Call: DisplacementTorque,
		What: "Torque that the pressure asks of the shaft", Formula: "T = V Δp / 2π",
		Range: "1 µL to 1 m³ a turn, 1 Pa to 100 MPa", Source: esposito},
	{Name: "tip_speed", Args: []string{"diameter", "speed"}, Call: TipSpeed,
		What: "Speed of the rotor at its outside", Formula: "v = ω D / 2",
		Range: "diameter 5 mm to 5 m, " + turns, Source: "mechanics"},
	{Name: "pipe_velocity", Args: []string{"flow", "bore"}, Call: PipeVelocity,
		What: "Mean speed in a pipe", Formula: "v = 4 Q / (π d²)",
		Range: "up to 10 m³/s, bore 1 mm to 5 m", Source: "continuity"},
	{Name: "absolute", Args: []string{"gauge", "air"}, Call: Absolute,
		What: "Absolute pressure of a gauge reading", Formula: "p_abs = p + p_air",
		Range: "above vacuum, air 0.5 to 1.1 bar", Source: "definition of gauge pressure"},
	{Name: "inlet_margin", Args: []string{"inlet", "vapour"}, Call: InletMargin,
		What: "Inlet pressure above boiling", Formula: "p − p_v",
		Range: "vapour pressure below the inlet pressure", Source: "definition of net positive inlet pressure; ISO 16330 from memory"},
}
