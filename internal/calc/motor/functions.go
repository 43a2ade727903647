package motor

import "jobsheaf/internal/quantity"

const ieee43 = "IEEE 43-2013 (from memory)"

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "insulation_at_40", Args: []string{"reading", "winding", "kind"}, Call: InsulationAt40,
		What:    "What an insulation resistance comes to at 40 °C",
		Formula: "R40 = KT R, KT = 0.5^((40 − T)/10); thermosetting: exp(−1245 (1/T − 1/313)), above 40 °C exp(−4230 (1/T − 1/313))",
		Range:   "winding 10 to 85 °C; thermoplastic or thermosetting", Source: ieee43 + ", 6.3"},
	{Name: "insulation_least", Args: []string{"voltage", "winding"}, Call: InsulationLeast,
		What: "Least insulation resistance of a winding at 40 °C", Formula: "R = (kV + 1) MΩ for old windings, 100 MΩ form-wound, 5 MΩ random-wound",
		Range: "100 V to 30 kV; old, form or random", Source: ieee43 + ", table 3"},
	{Name: "test_voltage_high", Args: []string{"voltage"}, Call: TestVoltageHigh,
		What: "Highest direct voltage of an insulation test", Formula: "U by the rated voltage",
		Range: "100 V to 30 kV", Source: ieee43 + ", table 1"},
	{Name: "polarization_index", Args: []string{"ten_minutes", "one_minute"}, Call: PolarizationIndex,
		What: "Polarization index of a winding", Formula: "PI = R10/R1",
		Range: "R1 1 kΩ to 5 GΩ", Source: ieee43, Unchecked: true},
	{Name: "voltage_unbalance", Args: []string{"a", "b", "c"}, Call: Unbalance,
		What: "By what part three voltages are out of balance", Formula: "greatest |U − mean| / mean",
		Range: "1 V to 30 kV", Source: "NEMA MG 1, definition of voltage unbalance"},
	{Name: "current_unbalance", Args: []string{"a", "b", "c"}, Call: CurrentUnbalance,
		What: "By what part three currents are out of balance", Formula: "greatest |I − mean| / mean",
		Range: "10 mA to 10 kA", Source: "NEMA MG 1, definition of voltage unbalance, applied to currents"},
}
