package slip

import (
	"slices"

	"jobsheaf/internal/quantity"
)

const (
	slotRange = "gap 1 µm to 5 mm, at most a tenth of the width and no more than the length; Reynolds number up to 1400"
	slotFrom  = "Fox & McDonald, Introduction to Fluid Mechanics, section 8.2"
	ownModel  = "plane Poiseuille flow (Fox & McDonald, section 8.2) in each gap; their sum is this project's own model, no outside source"
)

var (
	gapArgs     = []string{"end_gap", "tip_gap", "crescent_gap", "bushing_gap"}
	wornArgs    = []string{"worn_end_gap", "worn_tip_gap", "worn_crescent_gap", "worn_bushing_gap"}
	landArgs    = []string{"rotor_diameter", "pin_diameter", "rotor_width", "end_land", "tip_land", "crescent_land", "shaft_diameter", "bushing_length"}
	liquidArgs  = []string{"difference", "viscosity", "density"}
	turningArgs = slices.Concat(gapArgs, landArgs, []string{"speed"}, liquidArgs)
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "theoretical_flow", Args: []string{"displacement", "speed"}, Call: TheoreticalFlow,
		What: "Flow of the pump without slip", Formula: "Q = V n",
		Range: "displacement 1 µL to 1 m³ a turn, speed 0.1 to 600 rad/s", Source: "Esposito, Fluid Power with Applications, chapter 5"},
	{Name: "delivered_flow", Args: []string{"theoretical", "slip"}, Call: DeliveredFlow,
		What: "Flow that leaves the pump", Formula: "Q = Q_th − Q_slip",
		Range: "slip below the theoretical flow", Source: "Esposito, Fluid Power with Applications, chapter 5"},
	{Name: "slot_flow", Args: []string{"width", "gap", "length", "difference", "viscosity", "density"}, Call: SlotFlow,
		What: "Laminar flow through a slot", Formula: "Q = w h³ Δp / (12 μ L)",
		Range: slotRange, Source: slotFrom},
	{Name: "annulus_flow", Args: []string{"diameter", "gap", "length", "difference", "viscosity", "density"}, Call: AnnulusFlow,
		What: "Laminar flow through a concentric ring gap", Formula: "Q = π D c³ Δp / (12 μ L)",
		Range: "radial " + slotRange + "; gap at most a twentieth of the diameter", Source: "Fox & McDonald, Introduction to Fluid Mechanics, example 8.1"},
	{Name: "eccentric_flow", Args: []string{"diameter", "gap", "length", "eccentricity", "difference", "viscosity", "density"}, Call: EccentricFlow,
		What: "Laminar flow through an eccentric ring gap", Formula: "Q = π D c³ Δp / (12 μ L) · (1 + 1.5 ε²)",
		Range:  "as annulus_flow; eccentricity 0 to 1; Reynolds number at the widest place up to 1400",
		Source: "standard result of lubrication theory, from memory; 2.5 times the concentric flow at contact as published"},
	{Name: "gap_for_slip", Args: []string{"slip", "width", "length", "difference", "viscosity", "density"}, Call: GapForSlip,
		What: "Gap at which a slot passes a flow", Formula: "h = ∛(12 μ L Q / (w Δp))",
		Range: slotRange, Source: slotFrom},
	{Name: "pump_slip", Args: slices.Concat(gapArgs, landArgs, liquidArgs), Call: pumpSlip,
		What: "Slip through the end, tip, crescent and bushing gaps", Formula: "Q = Δp/(12 μ) · [(D−d) e³/L_e + 2 b t³/L_t + 2 b c³/L_c + 2.5 π d_s r³/L_b]",
		Range: "in each gap: " + slotRange, Source: ownModel, Unchecked: true},
	{Name: "running_slip", Args: turningArgs, Call: runningSlip,
		What:    "Slip through the gaps, where the drag of the turning walls may be left out",
		Formula: "Q = Δp/(12 μ) · [(D−d) e³/L_e + 2 b t³/L_t + 2 b c³/L_c + 2.5 π d_s r³/L_b]",
		Range:   "in each gap: " + slotRange + "; drag share up to 1", Source: ownModel, Unchecked: true},
	{Name: "slip_bound", Args: turningArgs, Call: slipBound,
		What: "Slip at most, with all drag of the turning walls going back", Formula: "Q = Q_slip + [(D−d) e + 2 b (t + c)] · ω D/4",
		Range: "in each gap: " + slotRange, Source: ownModel, Unchecked: true},
	{Name: "drag_share", Args: turningArgs, Call: dragShare,
		What: "Drag of the turning walls, at most, as a part of the slip", Formula: "[(D−d) e + 2 b (t + c)] · ω D/4 / Q_slip",
		Range: "in each gap: " + slotRange, Source: ownModel, Unchecked: true},
	{Name: "first_to_renew", Args: slices.Concat(wornArgs, gapArgs, landArgs, liquidArgs), Call: firstToRenew,
		What: "Clearance whose renewal wins most of the slip back", Formula: "greatest of the flows of worn less new, gap by gap",
		Range: "in each gap: " + slotRange + "; worn at least as wide as new", Source: ownModel, Unchecked: true},
	{Name: "end_gap_for_flow", Args: slices.Concat(gapArgs[1:], landArgs, []string{"displacement", "speed", "least_flow"}, liquidArgs), Call: endGapForFlow,
		What: "End clearance at which the least flow is missed", Formula: "e = ∛(12 μ L_e (Q_th − Q_others − Q_least) / ((D−d) Δp))",
		Range: "1 µm to 5 mm, Reynolds number up to 1400; refused where the duty is met or missed at every such gap", Source: ownModel, Unchecked: true},
}

// A template calls each with its arguments in a row.
func pumpSlip(end, tip, crescent, bushing, rotor, pin, width, endLand, tipLand, crescentLand, shaft, length quantity.Length,
	difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	return PumpSlip(Gaps{end, tip, crescent, bushing}, Lands{rotor, pin, width, endLand, tipLand, crescentLand, shaft, length}, difference, viscosity, density)
}

func runningSlip(end, tip, crescent, bushing, rotor, pin, width, endLand, tipLand, crescentLand, shaft, length quantity.Length, speed quantity.Speed,
	difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	return RunningSlip(Gaps{end, tip, crescent, bushing}, Lands{rotor, pin, width, endLand, tipLand, crescentLand, shaft, length}, speed, difference, viscosity, density)
}

func slipBound(end, tip, crescent, bushing, rotor, pin, width, endLand, tipLand, crescentLand, shaft, length quantity.Length, speed quantity.Speed,
	difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Flow, error) {
	return SlipBound(Gaps{end, tip, crescent, bushing}, Lands{rotor, pin, width, endLand, tipLand, crescentLand, shaft, length}, speed, difference, viscosity, density)
}

func dragShare(end, tip, crescent, bushing, rotor, pin, width, endLand, tipLand, crescentLand, shaft, length quantity.Length, speed quantity.Speed,
	difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Number, error) {
	return DragShare(Gaps{end, tip, crescent, bushing}, Lands{rotor, pin, width, endLand, tipLand, crescentLand, shaft, length}, speed, difference, viscosity, density)
}

func firstToRenew(wornEnd, wornTip, wornCrescent, wornBushing, end, tip, crescent, bushing,
	rotor, pin, width, endLand, tipLand, crescentLand, shaft, length quantity.Length,
	difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (string, error) {
	return FirstToRenew(Gaps{wornEnd, wornTip, wornCrescent, wornBushing}, Gaps{end, tip, crescent, bushing},
		Lands{rotor, pin, width, endLand, tipLand, crescentLand, shaft, length}, difference, viscosity, density)
}

func endGapForFlow(tip, crescent, bushing, rotor, pin, width, endLand, tipLand, crescentLand, shaft, length quantity.Length,
	displacement quantity.Volume, speed quantity.Speed, least quantity.Flow,
	difference quantity.Pressure, viscosity quantity.DynamicViscosity, density quantity.Density) (quantity.Length, error) {
	return EndGapForFlow(Gaps{tip: tip, crescent: crescent, bushing: bushing}, Lands{rotor, pin, width, endLand, tipLand, crescentLand, shaft, length},
		displacement, speed, least, difference, viscosity, density)
}
