package hydraulics

import "jobsheaf/internal/quantity"

const (
	fox      = "Fox & McDonald, Introduction to Fluid Mechanics, minor losses"
	kv       = "IEC 60534-2-1, flow coefficient Kv (from memory)"
	screen   = "a screen's drop goes with the square of the speed in its holes; common practice"
	affinity = "affinity laws; Fox & McDonald, Introduction to Fluid Mechanics, chapter 10"
	statics  = "hydrostatics; Fox & McDonald, Introduction to Fluid Mechanics, chapter 3"
	api610   = "API 610, 11th ed. (from memory)"
	speeds   = "speed 1 to 3000 rad/s, from half to twice the first"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "drop_at_flow", Args: []string{"drop", "flow", "other"}, Call: DropAtFlow,
		What: "Pressure drop at another flow", Formula: "Δp₂ = Δp₁ (Q₂/Q₁)²",
		Range: "turbulent, Q₂ from a tenth to ten times Q₁", Source: fox},
	{Name: "drop_by_kv", Args: []string{"flow", "kv", "density"}, Call: DropByKv,
		What: "Pressure drop of a passage by its flow coefficient", Formula: "Δp = 1 bar (Q/Kv)² ρ/1000",
		Range: "turbulent, ρ 300 to 3000 kg/m³", Source: kv},
	{Name: "kv_of", Args: []string{"flow", "drop", "density"}, Call: KvOf,
		What: "Flow coefficient of a passage", Formula: "Kv = Q √(1 bar ρ/(1000 Δp))",
		Range: "turbulent, ρ 300 to 3000 kg/m³", Source: kv},
	{Name: "blocked_share", Args: []string{"clean", "dirty"}, Call: BlockedShare,
		What: "Part of a strainer's open area that is blocked, at one flow", Formula: "s = 1 − √(Δp clean/Δp dirty)",
		Range: "turbulent, dirty no less than clean", Source: screen, Unchecked: true},
	{Name: "dirty_drop", Args: []string{"clean", "share"}, Call: DirtyDrop,
		What: "Drop of a strainer of which a part is blocked", Formula: "Δp dirty = Δp clean/(1 − s)²",
		Range: "turbulent, s up to 0.95", Source: screen, Unchecked: true},
	{Name: "head_of", Args: []string{"pressure", "density"}, Call: HeadOf,
		What: "Height of liquid that a pressure stands for", Formula: "H = Δp/(ρ g)",
		Range: "1 Pa to 100 MPa, ρ 300 to 3000 kg/m³", Source: statics},
	{Name: "pressure_of", Args: []string{"head", "density"}, Call: PressureOf,
		What: "Pressure of a height of liquid", Formula: "Δp = ρ g H",
		Range: "0.1 mm to 5 km, ρ 300 to 3000 kg/m³", Source: statics},
	{Name: "affinity_flow", Args: []string{"flow", "from", "to"}, Call: AffinityFlow,
		What: "Flow of a centrifugal pump at another speed", Formula: "Q₂ = Q₁ n₂/n₁",
		Range: speeds, Source: affinity},
	{Name: "affinity_head", Args: []string{"head", "from", "to"}, Call: AffinityHead,
		What: "Head of a centrifugal pump at another speed", Formula: "H₂ = H₁ (n₂/n₁)²",
		Range: speeds, Source: affinity},
	{Name: "affinity_power", Args: []string{"power", "from", "to"}, Call: AffinityPower,
		What: "Power of a centrifugal pump at another speed", Formula: "P₂ = P₁ (n₂/n₁)³",
		Range: speeds, Source: affinity},
	{Name: "ring_clearance", Args: []string{"diameter"}, Call: RingClearance, Symbol: "c_ring", Unit: "mm",
		What: "Least diametral clearance of a wear ring", Formula: "c by diameter; above 650 mm 0.95 mm + 1 µm a mm",
		Range: "10 mm to 2 m; 0.125 mm more for materials that gall and above 260 °C", Source: api610 + ", table 6"},
	{Name: "chamber_runout", Args: []string{"bore"}, Call: ChamberRunout,
		What: "Greatest runout of the face of a seal chamber", Formula: "0.5 µm a mm of bore",
		Range: "bore 20 mm to 1 m", Source: api610 + ", 6.8", Unchecked: true},
	{Name: "front_turns", Args: []string{"clearance", "pitch"}, Call: FrontTurns,
		What: "Turns of the adjusting screws for a front clearance, from contact", Formula: "n = c/P",
		Range: "c 0.05 to 5 mm, pitch 0.2 to 10 mm", Source: "geometry of the thread", Unchecked: true},
}
