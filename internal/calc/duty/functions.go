package duty

import "jobsheaf/internal/quantity"

const (
	esposito = "Esposito, Fluid Power with Applications, chapter 5"
	turns    = "speed 0.1 to 3000 rad/s"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{
		Name: "hydraulic_power", Args: []string{"flow", "difference"},
		What:    "Power that the liquid takes up",
		Formula: "P = Q Δp",
		Range:   "up to 10 m³/s, 1 Pa to 100 MPa",
		Source:  esposito,
		Call:    HydraulicPower,
	},
	{
		Name: "shaft_power", Args: []string{"hydraulic", "efficiency"},
		What:    "Power that the shaft takes",
		Formula: "P = P_h / η",
		Range:   "efficiency 0.01 to 1",
		Source:  esposito,
		Call:    ShaftPower,
	},
	{
		Name: "efficiency", Args: []string{"hydraulic", "shaft"},
		What:    "Efficiency of the pump",
		Formula: "η = P_h / P",
		Range:   "hydraulic power from a hundredth of the shaft power up to it",
		Source:  esposito,
		Call:    Efficiency,
	},
	{
		Name: "volumetric_efficiency", Args: []string{"delivered", "theoretical"},
		What:    "Part of the theoretical flow that is delivered",
		Formula: "η_v = Q / Q_th",
		Range:   "delivered from a hundredth of the theoretical flow up to it",
		Source:  esposito,
		Call:    VolumetricEfficiency,
	},
	{
		Name: "shaft_torque", Args: []string{"power", "speed"},
		What:    "Torque of the shaft",
		Formula: "T = P / ω",
		Range:   turns,
		Source:  esposito,
		Call:    ShaftTorque,
	},
	{
		Name: "torque_power", Args: []string{"torque", "speed"},
		What:    "Power of the shaft",
		Formula: "P = T ω",
		Range:   turns,
		Source:  esposito,
		Call:    TorquePower,
	},
	{
		Name: "displacement_torque", Args: []string{"displacement", "difference"},
		What:    "Torque that the pressure asks of the shaft",
		Formula: "T = V Δp / 2π",
		Range:   "1 µL to 1 m³ a turn, 1 Pa to 100 MPa",
		Source:  esposito,
		Call:    DisplacementTorque,
	},
	{
		Name: "tip_speed", Args: []string{"diameter", "speed"},
		What:    "Speed of the rotor at its outside",
		Formula: "v = ω D / 2",
		Range:   "diameter 5 mm to 5 m, " + turns,
		Source:  "mechanics",
		Call:    TipSpeed,
	},
	{
		Name: "pipe_velocity", Args: []string{"flow", "bore"},
		What:    "Mean speed in a pipe",
		Formula: "v = 4 Q / (π d²)",
		Range:   "up to 10 m³/s, bore 1 mm to 5 m",
		Source:  "continuity",
		Call:    PipeVelocity,
	},
	{
		Name: "absolute", Args: []string{"gauge", "air"},
		What:    "Absolute pressure of a gauge reading",
		Formula: "p_abs = p + p_air",
		Range:   "above vacuum, air 0.5 to 1.1 bar",
		Source:  "definition of gauge pressure",
		Call:    Absolute,
	},
	{
		Name: "inlet_margin", Args: []string{"inlet", "vapour"},
		What:    "Inlet pressure above boiling",
		Formula: "p − p_v",
		Range:   "vapour pressure below the inlet pressure",
		Source:  "definition of net positive inlet pressure; ISO 16330 from memory",
		Call:    InletMargin,
	},
}
