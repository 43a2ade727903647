package alignment

import "jobsheaf/internal/quantity"

const (
	bloch      = "geometry; Bloch and Geitner, Machinery Component Maintenance and Repair, chapter 5"
	signs      = "zeroed on top (left), read at the bottom (right); above zero is up (left)"
	limitTable = "common practice: table of flexible couplings said to be taken over by NASA and the U.S. Navy (Efficient Plant, December 2018)"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "dial_closure", Args: []string{"top", "bottom", "left", "right"}, Call: DialClosure,
		What: "By how much four readings of one dial miss each other", Formula: "|(top + bottom) − (left + right)|",
		Range: "readings within ±10 mm", Source: "geometry of a circle, common practice", Unchecked: true},
	{Name: "sag_corrected", Args: []string{"reading", "sag"}, Call: SagCorrected,
		What: "Rim reading without the sag of its bracket", Formula: "R − S",
		Range: "reading within ±10 mm, sag −10 mm to 0", Source: "common practice, geometry"},
	{Name: "rim_offset", Args: []string{"reading", "sag", "bracket"}, Call: RimOffset,
		What: "How far the movable shaft stands above (left of) the fixed one", Formula: "y = ∓(R − S)/2, − for a bracket on the fixed shaft",
		Range: "reading within ±10 mm; " + signs, Source: bloch},
	{Name: "face_slope", Args: []string{"face", "sweep"}, Call: FaceSlope,
		What: "Slope of the movable shaft against the fixed one", Formula: "θ = −F/D",
		Range: "reading within ±10 mm, D 20 mm to 2 m; " + signs, Source: bloch, Unchecked: true},
	{Name: "slope_between", Args: []string{"near_fixed", "near_movable", "between"}, Call: SlopeBetween,
		What: "Slope of the movable shaft from its offsets in two planes", Formula: "θ = (y₂ − y₁)/L",
		Range: "offsets within ±50 mm, L 20 mm to 10 m, slope up to 50 mm/m", Source: bloch},
	{Name: "offset_at", Args: []string{"offset", "slope", "distance"}, Call: OffsetAt,
		What: "Offset of the shaft in another plane", Formula: "y + θ x",
		Range: "offset within ±50 mm, slope within ±50 mm/m, x within ±10 m", Source: bloch},
	{Name: "foot_move", Args: []string{"offset", "slope", "foot", "rise"}, Call: FootMove,
		What: "How far a foot has to move up (left)", Formula: "m = −(y + θ x) − g",
		Range: "as offset_at, x from 10 mm, g within ±10 mm", Source: bloch},
	{Name: "rim_face_move", Args: []string{"rim", "sag", "face", "sweep", "foot", "rise", "bracket"}, Call: RimFaceMove,
		What: "How far a foot has to move up (left), by rim and face", Formula: "m = ±(R − S)/2 + F x/D − g, + for a bracket on the fixed shaft",
		Range: "readings within ±10 mm; " + signs, Source: bloch},
	{Name: "reverse_move", Args: []string{"on_movable", "sag_on_movable", "on_fixed", "sag_on_fixed", "between", "foot", "rise"}, Call: ReverseMove,
		What: "How far a foot has to move up (left), by reverse dials", Formula: "m = (Rm − Sm)/2 + [(Rm − Sm) + (Rf − Sf)] x/(2 L) − g",
		Range: "readings within ±10 mm; " + signs, Source: bloch},
	{Name: "rise_apart", Args: []string{"movable_height", "movable_expansion", "movable_difference", "fixed_height", "fixed_expansion", "fixed_difference"}, Call: RiseApart,
		What: "How much further the movable shaft rises with heat than the fixed one", Formula: "g = αm hm ΔTm − αf hf ΔTf",
		Range: "heights 20 mm to 5 m, differences −100 to 300 K", Source: "definition of linear expansion", Unchecked: true},
	{Name: "soft_foot", Args: []string{"front_left", "front_right", "rear_left", "rear_right"}, Call: SoftFoot,
		What:    "Shim under front left and rear right that ends a soft foot (below zero: under the other two)",
		Formula: "t = [(FL + RR) − (FR + RL)]/2", Range: "gaps 0 to 10 mm, even", Source: "geometry of a plane on four feet", Unchecked: true},
	{Name: "offset_limit", Args: []string{"speed"}, Call: OffsetLimit, Symbol: "y_most", Unit: "mm",
		What: "Greatest offset at a short flexible coupling", Formula: "y by speed",
		Range: "10 to 7200 rpm", Source: limitTable},
	{Name: "slope_limit", Args: []string{"speed", "coupling"}, Call: SlopeLimit, Symbol: "θ_most", Unit: "mm/m",
		What: "Greatest slope of one shaft against the other", Formula: "θ by speed and coupling",
		Range: "10 to 7200 rpm; short or spacer", Source: limitTable},
}
