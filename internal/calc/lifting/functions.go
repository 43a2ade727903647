package lifting

import "jobsheaf/internal/quantity"

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "weight_limit", Args: []string{"horizontal", "vertical", "distance", "angle", "per_minute", "hours", "coupling"}, Call: WeightLimit, Tables: []string{"frequency_factor(per_minute, hours, vertical)", "coupling_factor(coupling, vertical)"},
		What:    "Recommended weight limit for one person",
		Formula: "RWL = 23 kg · 25/H · (1 − 0.003 |V − 75|) · (0.82 + 4.5/D) · (1 − 0.0032 A) · FM · CM, lengths in cm, A in °",
		Range:   "two hands, standing; 0 above H 63 cm, V or D 175 cm, A 135°; up to 60 lifts a minute and 8 h; coupling good, fair or poor",
		Source:  "NIOSH, DHHS 94-110, section 1.3"},
	{Name: "frequency_factor", Args: []string{"per_minute", "hours", "vertical"}, Call: FrequencyFactor, Symbol: "FM",
		What: "By how much frequent lifting lowers the recommended weight limit", Formula: "FM by lifts a minute, hours and height of the hands",
		Range: "up to 60 lifts a minute and 8 h", Source: "NIOSH, DHHS 94-110, table 5"},
	{Name: "coupling_factor", Args: []string{"coupling", "vertical"}, Call: CouplingFactor, Symbol: "CM",
		What: "By how much a poor grip lowers the recommended weight limit", Formula: "CM by the grip and height of the hands",
		Range: "good, fair or poor", Source: "NIOSH, DHHS 94-110, table 7"},
	{Name: "lifting_index", Args: []string{"mass", "limit"}, Call: LiftingIndex,
		What: "Load as a part of the recommended weight limit", Formula: "LI = m / RWL",
		Range: "limit 0.1 to 23 kg", Source: "NIOSH, DHHS 94-110, section 1.4"},
	{Name: "people_for", Args: []string{"mass", "limit"}, Call: PeopleFor,
		What: "How to lift: 1 or 2 people, 0 for a hoist", Formula: "1 up to RWL, 2 up to ⅔ · 2 RWL, else 0",
		Range: "limit 0 to 23 kg", Source: "NIOSH, DHHS 94-110; HSE guidance L23, paragraph 120, for two"},
}
