package bolting

import "jobsheaf/internal/quantity"

const (
	strengthSource = "ISO 898-1; SAE J429 (Shigley, Mechanical Engineering Design, 5th ed., p. 341); ASTM A193 B7; ISO 3506-1"
	threadRange    = "metric M3 to M39, UNC and UNF 1/4 to 1-1/2 in, 8UN 1 to 2-1/2 in"
	gradeRange     = "4.6, 5.8, 8.8, 10.9, 12.9, SAE 2, 5, 8, B7, A2 and A4 in the sizes of their standards"
	vdi            = "VDI 2230 Part 1 (2003, 2015)"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{
		Name: "stress_area", Args: []string{"thread"},
		What:    "Tensile stress area of a bolt's thread",
		Formula: "As = (π/4) ((d2 + d3)/2)²; unified: At = 0.7854 (D − 0.9743/n)²",
		Range:   threadRange,
		Source:  "ISO 898-1:2013, 9.1.6.1; ASME B1.1",
		Call:    StressArea,
	},
	{
		Name: "thread_diameter", Args: []string{"thread"},
		What:    "Nominal diameter of a thread",
		Formula: "d by the thread's designation",
		Range:   threadRange,
		Source:  "ISO 261; ASME B1.1",
		Call:    ThreadDiameter,
	},
	{
		Name: "thread_pitch", Args: []string{"thread"},
		What:    "Pitch of a thread",
		Formula: "P by the thread's designation",
		Range:   threadRange,
		Source:  "ISO 261; ASME B1.1",
		Call:    ThreadPitch,
	},
	{
		Name: "proof_strength", Args: []string{"grade", "thread"},
		What:    "Stress under proof load of a bolt grade (yield where none is standardised)",
		Formula: "Sp by grade and size",
		Range:   gradeRange,
		Source:  strengthSource,
		Call:    ProofStrength,
	},
	{
		Name: "yield_strength", Args: []string{"grade", "thread"},
		What:    "Least yield strength of a bolt grade",
		Formula: "Re by grade and size",
		Range:   gradeRange,
		Source:  strengthSource,
		Call:    YieldStrength,
	},
	{
		Name: "tensile_strength", Args: []string{"grade", "thread"},
		What:    "Least tensile strength of a bolt grade",
		Formula: "Rm by grade and size",
		Range:   gradeRange,
		Source:  strengthSource,
		Call:    TensileStrength,
	},
	{
		Name: "strength_basis", Args: []string{"grade", "thread"},
		What:    "What the proof strength of a grade is, in words",
		Formula: "by grade",
		Range:   gradeRange,
		Source:  strengthSource,
		Call:    StrengthBasis,
	},
	{
		Name: "nut_factor", Args: []string{"condition"},
		What:    "Nut factor for a condition of thread and seat",
		Formula: "K by condition",
		Range:   "black, dry, zinc plated, oiled, lubricated, cadmium plated, anti-seize",
		Source:  "Shigley, Mechanical Engineering Design, 9th ed., table 8-15; dry: handbook value for clean dry steel",
		Call:    NutFactor,
	},
	{
		Name: "scatter", Args: []string{"method"},
		What:    "Spread of preload by method of tightening, ± part",
		Formula: "s by method",
		Range:   "the methods of the table",
		Source:  "Machinery's Handbook, accuracy of bolt preload application methods; NASA preload criteria",
		Call:    Scatter,
	},
	{
		Name: "proof_load", Args: []string{"thread", "grade"},
		What:    "Proof load of a bolt",
		Formula: "Fp = As Sp",
		Range:   gradeRange,
		Source:  "ISO 898-1:2013, tables of proof loads; SAE J429",
		Call:    ProofLoad,
	},
	{
		Name: "preload", Args: []string{"thread", "grade", "fraction"},
		What:    "Preload as a part of proof load",
		Formula: "Fi = fraction As Sp",
		Range:   "fraction 0.1 to 0.9",
		Source:  "Shigley, Mechanical Engineering Design, eq. 8-31",
		Call:    Preload,
	},
	{
		Name: "torque", Args: []string{"k", "thread", "preload"},
		What:    "Tightening torque, short form",
		Formula: "T = K d F",
		Range:   "K 0.05 to 0.60, F 10 N to 5 MN",
		Source:  "Shigley, Mechanical Engineering Design, eq. 8-27",
		Call:    Torque,
	},
	{
		Name: "torque_friction", Args: []string{"thread", "preload", "mu_thread", "mu_seat", "seat"},
		What:    "Tightening torque from the friction of thread and seat",
		Formula: "T = F (0.16 P + 0.58 d2 μG + DKm μK/2)",
		Range:   "μ 0.04 to 0.40, F 10 N to 5 MN; seat hex or socket",
		Source:  vdi + ", assembly torque; bearing faces ISO 4014, ISO 4762, ISO 273 from memory",
		Call:    TorqueFriction,
	},
	{
		Name: "friction_of", Args: []string{"k", "thread"},
		What:    "Friction that a nut factor stands for, alike in thread and seat",
		Formula: "μ = (K − 0.16 P/d) / (0.58 d2/d + 0.625)",
		Range:   "K 0.05 to 0.60, μ 0.04 to 0.40",
		Source:  "Shigley, Mechanical Engineering Design, eq. 8-26 and 8-27, seat of mean diameter 1.25 d; linear in μ as in VDI 2230",
		Call:    FrictionOf,
	},
	{
		Name: "preload_low", Args: []string{"preload", "scatter"},
		What:    "Least preload that the scatter leaves",
		Formula: "F (1 − s)",
		Range:   "s 0 to 0.9, F 10 N to 5 MN",
		Source:  "from memory: NASA-STD-5020",
		Call:    PreloadLow,
	},
	{
		Name: "preload_high", Args: []string{"preload", "scatter"},
		What:    "Greatest preload that the scatter leaves",
		Formula: "F (1 + s)",
		Range:   "s 0 to 0.9, F 10 N to 5 MN",
		Source:  "from memory: NASA-STD-5020",
		Call:    PreloadHigh,
	},
	{
		Name: "yield_use", Args: []string{"thread", "grade", "preload"},
		What:    "Part of yield used by the axial stress alone",
		Formula: "F / (As Re)",
		Range:   "F 10 N to 5 MN",
		Source:  "definition of stress; " + strengthSource,
		Call:    YieldUse,
	},
	{
		Name: "yield_use_torsion", Args: []string{"thread", "grade", "preload", "mu_thread"},
		What:    "Part of yield used by tension and torsion while tightening",
		Formula: "F √(1 + 3 [1.5 (d2/d0) (P/(π d2) + 1.155 μG)]²) / (A0 Re)",
		Range:   "μ 0.04 to 0.40, F 10 N to 5 MN",
		Source:  vdi + ", assembly preload",
		Call:    YieldUseTorsion,
	},
	{
		Name: "preload_yield", Args: []string{"thread", "grade", "fraction", "mu_thread"},
		What:    "Preload at which tension and torsion use a part of yield",
		Formula: "FM = A0 ν Re / √(1 + 3 [1.5 (d2/d0) (P/(π d2) + 1.155 μG)]²)",
		Range:   "ν 0.1 to 0.9, μ 0.04 to 0.40",
		Source:  vdi + ", assembly preload",
		Call:    PreloadYield,
	},
	{
		Name: "pass_torque", Args: []string{"torque", "fraction"},
		What:    "Torque of one pass",
		Formula: "fraction T",
		Range:   "fraction 0.05 to 1",
		Source:  "ASME PCC-1, legacy tightening passes (from memory)",
		Call:    PassTorque,
	},
}
