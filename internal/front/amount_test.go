package front

import (
	"fmt"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/words"
)

// written gives an amount as a record has it.
func written(t *testing.T, text string) *packet.Amount {
	t.Helper()
	v, err := quantity.ParseAny(text)
	if err != nil {
		t.Fatal(err)
	}
	u, _ := v.Written()
	return &packet.Amount{SI: v.SI(), Kind: u.Kind.String(), Unit: u.Symbol, Written: text}
}

// Amounts of one supply are added as quantities. The sums are worked by hand, with
// 1 in = 25.4 mm exactly.
func TestAmounts(t *testing.T) {
	for _, c := range []struct {
		system  quantity.System
		amounts []string
		want    string // amounts of the rows of the pull list
		apart   string // kinds that are told as not added
	}{
		{quantity.US, []string{"1 1/2 in3", "1 1/2 in3"}, "3 in³", ""},
		{quantity.US, []string{"1 1/2 in3", "1 in3"}, "2.5 in³", ""},
		{quantity.Metric, []string{"0.25 L", "250 mL"}, "500 mL", ""},
		{quantity.Metric, []string{"1.5 L", "0.25 L"}, "1.75 L", ""},
		{quantity.Metric, []string{"0.1 L", "0.2 L"}, "0.3 L", ""},
		{quantity.Metric, []string{"0.1 L", "0.4 mL"}, "101 mL", ""}, // up, so that it is enough
		{quantity.Metric, []string{"1 in3", "50 mL"}, "67 cm³", ""},  // 16.387 + 50
		{quantity.US, []string{"1 in3", "50 mL"}, "4.1 in³", ""},     // 1 + 3.0512
		{quantity.US, []string{"1 lb", "4 oz"}, "20.0 oz", ""},
		{quantity.Metric, []string{"20", "20"}, "40", ""},
		{quantity.Metric, []string{"50 mL", "40 g", "50 mL"}, "100 mL; 40 g", "volume mass"},
		{quantity.Metric, []string{"20", "1 kg"}, "1 kg; 20", "number mass"},
		{quantity.Metric, []string{"60 degC", "60 degC"}, "60 degC", ""}, // temperatures are not added
	} {
		var jobs []Job
		for i, a := range c.amounts {
			jobs = append(jobs, Job{Job: fmt.Sprint("K-", i), Day: "2026-11-30", Needs: &packet.Needs{Supplies: []packet.Supply{{Item: "Oil", Amount: written(t, a)}}}})
		}
		f := Round(&Run{Look: Look{System: c.system.String()}, Words: english}, "2026-11-30", "", jobs, nil)
		var got, kinds []string
		for _, p := range f.Supplies {
			got = append(got, p.Amount)
		}
		for _, a := range f.Apart {
			kinds = append(kinds, a.Kinds...)
		}
		if g := strings.Join(got, "; "); g != c.want {
			t.Errorf("%v come to %q, not %q", c.amounts, g, c.want)
		}
		if g := strings.Join(kinds, " "); g != c.apart {
			t.Errorf("%v: unlike kinds %q, not %q", c.amounts, g, c.apart)
		}
	}
	in := newSheets(&Front{run: &Run{Words: words.Catalogue{}.Replace("compose.decimal_sign", ",")}})
	if c := in.amount("1.75 L"); c.Text.String() != "1,75 L" {
		t.Error(c.Text.String())
	}
}
