package quantity

import (
	"math"
	"testing"
)

func TestWithin(t *testing.T) {
	for _, x := range []Length{0.001, 0.01, 0.1, 0.1 + 1e-16, 0.001 - 1e-18} {
		if err := Within("gap", x, 0.001, 0.1); err != nil {
			t.Errorf("%v m: %v", x, err)
		}
	}
	if Within("gap", Length(-1e-300), 0, 1) == nil || Within("gap", Length(0.1+1e-12), 0.001, 0.1) == nil {
		t.Error("what is outside by more than the tolerance passes")
	}
	for _, tc := range []struct {
		err  error
		want string
	}{
		{Within("gap", Length(0.2), 0.001, 0.1), "gap 200\u00a0mm is out of range: want 1\u00a0mm to 100\u00a0mm"},
		{Within("gap", Length(math.NaN()), 1e-6, 0.1), "gap is not a number: want 1\u00a0µm to 100\u00a0mm"},
		{Within("gap", Length(math.Inf(1)), 0.001, Length(math.Inf(1))), "gap +Inf\u00a0mm is out of range: want 1\u00a0mm to +Inf\u00a0mm"},
		{Within("contact", Time(0), 0.5, 28800), "contact 0\u00a0h is out of range: want 0.5\u00a0s to 8\u00a0h"},
		{Within("flash point", Temperature(100), 173.15, 673.15), "flash point −173.15\u00a0°C is out of range: want −100\u00a0°C to 400\u00a0°C"},
		{Within("pH", Number(17), -2, 16), "pH 17 is out of range: want −2 to 16"},
	} {
		if tc.err == nil || tc.err.Error() != tc.want {
			t.Errorf("got %v, want %s", tc.err, tc.want)
		}
	}
}
