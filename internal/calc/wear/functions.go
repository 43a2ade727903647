package wear

import "jobsheaf/internal/quantity"

const (
	guardRange  = "limit 0.01 mm to 10 m, U 0.01 µm to 5 mm, or any limit of another kind; the band must stay open"
	guardSource = "ISO 14253-1, guard band w = U (k = 2): LSL + U ≤ y ≤ USL − U"
	shapeRange  = "sizes 0.01 mm to 10 m that differ by less than 10 %"
	shapeSource = "workshop practice: out-of-round is the difference across one place, taper along the length"
)

// Functions are the computations that templates may call.
var Functions = []quantity.Function{
	{Name: "guard_low", Args: []string{"limit", "uncertainty"}, Call: GuardLow,
		What: "Least reading that proves a part is not below its lower limit", Formula: "limit + U",
		Any: raised, Range: guardRange, Source: guardSource},
	{Name: "guard_high", Args: []string{"limit", "uncertainty"}, Call: GuardHigh,
		What: "Greatest reading that proves a part is not above its upper limit", Formula: "limit − U",
		Any: lowered, Range: guardRange, Source: guardSource},
	{Name: "band_low", Args: []string{"low", "high", "uncertainty"}, Call: BandLow,
		What: "Least reading that proves a part is within a band", Formula: "low + U, where 2 U < high − low",
		Any: bandLow, Range: guardRange, Source: guardSource},
	{Name: "band_high", Args: []string{"low", "high", "uncertainty"}, Call: BandHigh,
		What: "Greatest reading that proves a part is within a band", Formula: "high − U, where 2 U < high − low",
		Any: bandHigh, Range: guardRange, Source: guardSource},
	{Name: "reject_low", Args: []string{"limit", "uncertainty"}, Call: RejectLow,
		What: "Reading below which a part is proved to be below its lower limit", Formula: "limit − U",
		Any: lowered, Range: guardRange, Source: guardSource + "; nonconformity y < LSL − U"},
	{Name: "reject_high", Args: []string{"limit", "uncertainty"}, Call: RejectHigh,
		What: "Reading above which a part is proved to be above its upper limit", Formula: "limit + U",
		Any: raised, Range: guardRange, Source: guardSource + "; nonconformity y > USL + U"},
	{Name: "taper", Args: []string{"a", "b"}, Call: Taper,
		What: "Taper: difference of size between two places along the length", Formula: "|a − b|",
		Range: shapeRange, Source: shapeSource, Unchecked: true},
	{Name: "ovality", Args: []string{"a", "b"}, Call: Ovality,
		What: "Ovality: difference of size across one place, a quarter turn apart", Formula: "|a − b|",
		Range: shapeRange, Source: shapeSource, Unchecked: true},
	{Name: "wear_rate", Args: []string{"before", "after", "between"}, Call: WearRate,
		What: "Rate of wear between two readings (below zero: it shrinks)", Formula: "(after − before) / time",
		Range: "sizes 0.01 mm to 10 m, time 1 day to 100 years", Source: "API 570, long-term rate"},
	{Name: "time_left", Args: []string{"now", "limit", "rate"}, Call: TimeLeft,
		What: "Time until a size reaches its limit at a rate", Formula: "(limit − now) / rate",
		Range: "a rate toward the limit; result up to 100 years", Source: "API 570, remaining life"},
}
