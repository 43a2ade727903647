package joblist

import (
	"fmt"
	"testing"
)

// Without an order on record, a date that reads two ways is refused.
func TestDateOrder(t *testing.T) {
	for _, c := range []struct{ text, order, want string }{
		{"2026-11-30", "", "2026-11-30"}, {"20261130", "", "2026-11-30"}, {"2026/11/30", "", "2026-11-30"}, {"2026-11-30 06:15", "", "2026-11-30"},
		{"2026-11-30T06:15:00Z", "", "2026-11-30"}, {"11/30/2026 6:15 PM", "month-day-year", "2026-11-30"},
		{"03/04/2026", "", ""}, {"03/04/2026", "day-month-year", "2026-04-03"}, {"03/04/2026", "month-day-year", "2026-03-04"},
		{"3.4.2026", "day-month-year", "2026-04-03"}, {"3.4.26", "day-month-year", ""}, {"2026-13-01", "", ""}, {"2026-11-31", "", ""},
		{"1026-11-30", "", ""}, {"2026-11-30 or later", "", ""}, {"2026", "", ""}, {"61", "", ""}, {"46356.25", "", "2026-11-30"}, {"2026-11", "", ""},
		{"1-2-3", "", ""}, {"--", "", ""}, {"2026-11-3O", "", ""}, {"00002026-1-1", "", ""},
	} {
		got, fault, _ := (&dates{site: c.order}).day(c.text)
		if got != c.want || (fault == "") != (c.want != "") {
			t.Errorf("day(%q, %q) = %q, %q; wanted is %q", c.text, c.order, got, fault, c.want)
		}
	}
}

// Serial numbers. Source: ISO/IEC 29500-1, 18.17.4.1 and its example.
func TestSerial(t *testing.T) {
	for _, c := range []struct {
		n        int
		from1904 bool
		want     string
	}{
		{36526, false, "2000-01-01"}, {39448, false, "2008-01-01"}, {46356, false, "2026-11-30"}, {46356 - 1462, true, "2026-11-30"},
	} {
		if got, _, _ := (&dates{from1904: c.from1904}).day(fmt.Sprint(c.n)); got != c.want {
			t.Errorf("%d: %s, not %s", c.n, got, c.want)
		}
	}
}
