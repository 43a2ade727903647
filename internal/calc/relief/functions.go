package relief

import "jobsheaf/internal/quantity"

const (
	setRange    = "set pressure 5 to 6000 psi"
	balance     = "balance of spring and pressure"
	springRange = "k 0.1 N/mm to 100 kN/mm, d 2 mm to 0.5 m, P 0.2 to 10 mm"
	blowdownDef = "ASME PTC 25 and ISO 4126-1, definition of blowdown"
)

var springArgs = []string{"rate", "seat", "pitch"}

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "set_tolerance", Args: []string{"set"}, Call: SetTolerance,
		What: "By how much the opening of a valve may miss its set pressure, ±", Formula: "2 psi up to 70 psi, 3 % above",
		Range: setRange, Source: "ASME BPVC Section VIII Division 1, UG-134(d)(1)"},
	{Name: "test_pressure", Args: []string{"set", "back", "factor"}, Call: TestPressure,
		What: "Cold differential test pressure of a valve", Formula: "(p set − p back) k",
		Range: setRange + ", back pressure up to 0.9 of it, k 1 to 1.1", Source: "ISO 4126-1, definition of cold differential test pressure"},
	{Name: "full_open", Args: []string{"set"}, Call: FullOpen,
		What: "Pressure at which a valve must be full open", Formula: "p set + 10 %, at least 3 psi",
		Range: setRange, Source: "ASME BPVC Section VIII Division 1, UG-125(c) (from memory)"},
	{Name: "blowdown", Args: []string{"set", "reseat"}, Call: Blowdown,
		What: "By what part of its set pressure a valve closes below it", Formula: "b = (p set − p reseat)/p set",
		Range: setRange + ", reseat from half of it", Source: blowdownDef},
	{Name: "reseat", Args: []string{"set", "blowdown"}, Call: Reseat,
		What: "Pressure at which a valve closes", Formula: "p set (1 − b)",
		Range: setRange + ", b up to 0.5", Source: blowdownDef},
	{Name: "tightness_pressure", Args: []string{"set"}, Call: TightnessPressure,
		What: "Pressure at which the seat of a valve is tested", Formula: "90 % of p set, at least 5 psi below it",
		Range: "set pressure 15 to 6000 psi", Source: "API 527"},
	{Name: "seat_bubbles", Args: []string{"set", "orifice"}, Call: SeatBubbles,
		What: "Most bubbles a minute of air through a metal seat", Formula: "by set pressure, orifice up to 0.307 in or above",
		Range: "set pressure 15 to 6000 psi", Source: "API 527, table 1 (from memory)"},
	{Name: "seat_water", Args: []string{"inlet"}, Call: SeatWater,
		What: "Most water through a metal seat", Formula: "10 cm³/h for each inch of inlet, at least 10 cm³/h",
		Range: "inlet 5 mm to 0.5 m", Source: "API 527"},
	{Name: "change_of_turn", Args: springArgs, Call: ChangeOfTurn,
		What: "By how much the set pressure rises with a turn of the screw", Formula: "Δp = k P/(π/4 d²)",
		Range: springRange, Source: balance, Unchecked: true},
	{Name: "turns_to_set", Args: append([]string{"wanted", "found"}, springArgs...), Call: TurnsToSet,
		What: "Turns of the screw to a set pressure (below zero: out)", Formula: "n = (p wanted − p found) π/4 d²/(k P)",
		Range: springRange + ", up to 20 turns", Source: balance, Unchecked: true},
}
