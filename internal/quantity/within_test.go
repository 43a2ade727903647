package quantity

import "testing"

// A target is never printed beyond the limits that stand beside it.
func TestATargetStandsWithinItsLimits(t *testing.T) {
	mm := func(x float64) Value { return Of(x/1000, KindLength) }
	for _, c := range []struct {
		target, low, high float64
		on                Systems
		want              string
	}{
		{0.12, 0.08, 0.12, Systems{}, "0.12\u00a0mm"},
		{0.12, 0.08, 0.12, Systems{First: US}, "0.0046\u00a0in"}, // nearest is 0.0048
		{0.08, 0.08, 0.12, Systems{First: US}, "0.0032\u00a0in"},
		{0.10, 0.08, 0.12, Systems{First: US}, "0.0040\u00a0in"},
	} {
		s, err := ParseShow("nearest 0.01 mm or 0.0002 in")
		if err != nil {
			t.Fatal(err)
		}
		low, high := mm(c.low), mm(c.high)
		if got := s.Within(mm(c.target), Band{Low: &low, High: &high}, c.on).Text(mm(c.target), c.on, "."); got != c.want {
			t.Errorf("%v of %v to %v: %q, want %q", c.target, c.low, c.high, got, c.want)
		}
	}
}
