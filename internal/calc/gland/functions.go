package gland

import "jobsheaf/internal/quantity"

const (
	mobley      = "Mobley, Root Cause Failure Analysis, chapter 18"
	forsthoffer = "heat balance; Forsthoffer, Best Practice Handbook for Rotating Machinery, figure 8.7.4"
	dropFactor  = "U.S. Army course MD0904, drop factor; 20 drops a millilitre of water is common practice"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "packing_section", Args: []string{"box", "shaft"}, Call: PackingSection,
		What: "Side of a square packing", Formula: "s = (D − d)/2",
		Range: "shaft 5 mm to 1 m, s 2 to 60 mm", Source: mobley},
	{Name: "packing_rings", Args: []string{"depth", "taken", "section"}, Call: PackingRings,
		What: "Rings that go into a box, rounded down", Formula: "n = (L − l)/s",
		Range: "at least one ring, depth up to 1 m", Source: "common practice, geometry", Unchecked: true},
	{Name: "ring_length", Args: []string{"shaft", "section"}, Call: RingLength,
		What: "Packing for one ring, along its middle", Formula: "π (d + s)",
		Range: "shaft 5 mm to 1 m, s 2 to 60 mm", Source: mobley},
	{Name: "packing_length", Args: []string{"rings", "shaft", "section"}, Call: PackingLength,
		What: "Packing that a box takes", Formula: "n π (d + s)",
		Range: "1 to 20 rings, shaft 5 mm to 1 m, s 2 to 60 mm", Source: mobley, Unchecked: true},
	{Name: "drip_flow", Args: []string{"per_minute", "per_ml"}, Call: DripFlow,
		What: "Flow of a number of drops a minute", Formula: "Q = n/k, k drops in a millilitre",
		Range: "0.1 to 1000 drops a minute, k 10 to 60", Source: dropFactor},
	{Name: "drip_rate", Args: []string{"flow", "per_ml"}, Call: DripRate,
		What: "Drops a minute of a flow", Formula: "n = Q k, k drops in a millilitre",
		Range: "0.01 to 100 mL/min, k 10 to 60", Source: dropFactor},
	{Name: "gland_travel", Args: []string{"flats", "pitch"}, Call: GlandTravel,
		What: "How far a gland moves for flats of its nuts", Formula: "s = n P/6",
		Range: "0.1 to 60 flats, pitch 0.2 to 10 mm", Source: "geometry of the thread", Unchecked: true},
	{Name: "face_heat", Args: []string{"pressure", "outside", "inside", "speed", "friction"}, Call: FaceHeat,
		What: "Heat that the faces of a mechanical seal make", Formula: "H = p A v f, A = π/4 (Do² − Di²), v = ω (Do + Di)/4",
		Range:  "p 0.01 to 10 MPa, Do 5 mm to 1 m, Di 0.5 to 0.99 Do, f 0.01 to 0.4",
		Source: "friction at a mean radius; API 682, annex on seal calculations (from memory)", Unchecked: true},
	{Name: "flush_flow", Args: []string{"heat", "density", "specific_heat", "rise"}, Call: FlushFlow,
		What: "Flush that carries off a heat", Formula: "Q = H/(ρ c ΔT)",
		Range: "1 W to 1 MW, rise 1 to 60 K", Source: forsthoffer},
	{Name: "flush_rise", Args: []string{"heat", "density", "specific_heat", "flow"}, Call: FlushRise,
		What: "By how much a flush warms", Formula: "ΔT = H/(ρ c Q)",
		Range: "1 W to 1 MW, 0.01 to 1000 L/min, rise up to 100 K", Source: forsthoffer},
}
