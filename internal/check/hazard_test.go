package check

import (
	"testing"

	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// The statement of a flammable liquid at and beside the borders of the categories,
// in both scales. Source: UN GHS Rev. 9, table 2.6.1 and annex 3 (from memory).
func TestBurning(t *testing.T) {
	at := func(text string) record.Scalar {
		switch text {
		case "":
			return record.Scalar{}
		case "none":
			return record.Scalar{Form: record.FormNone}
		}
		v, err := quantity.Parse(text, quantity.KindTemperature)
		if err != nil {
			t.Fatal(err)
		}
		return record.Scalar{Form: record.FormAmount, Value: v}
	}
	for _, c := range []struct{ flash, boils, want string }{
		{"-20 degC", "35 degC", "H224"}, {"-20 degC", "95 degF", "H224"}, {"-20 degC", "35.1 degC", "H225"}, {"22.9 degC", "120 degC", "H225"}, {"22.9 degC", "none", "H225"}, {"22.9 degC", "", ""},
		{"23 degC", "30 degC", "H226"}, {"73.4 degF", "", "H226"}, {"296.15 K", "", "H226"}, {"60 degC", "", "H226"}, {"140 degF", "", "H226"}, {"60.1 degC", "", "H227"}, {"92.9 degC", "", "H227"},
		{"93 degC", "", "H227"}, {"199.4 degF", "", "H227"}, {"93.1 degC", "", ""},
	} {
		if got := burning(at(c.flash), at(c.boils)); got != c.want {
			t.Errorf("flashes at %s, boils at %q: %q, want %q", c.flash, c.boils, got, c.want)
		}
	}
}
