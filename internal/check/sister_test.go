package check

import (
	"math"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// row makes points of values at sizes that double, each its own number.
func row(values ...float64) (ps []point) {
	for i, v := range values {
		n := &number{key: "k", value: quantity.Of(v, quantity.KindLength), at: diag.Pos{File: "f", Line: i + 1, Col: 1}}
		ps = append(ps, point{math.Log(2) * float64(i), math.Log(v), n})
	}
	return ps
}

// TestThrough holds that the line through a row is that of its sound part.
func TestThrough(t *testing.T) {
	for name, c := range map[string]struct {
		ps          []point
		at, scatter float64 // at size 8, as a value; of its logarithm
	}{
		"straight":    {row(1, 2, 4, 8, 16), 8, 0},
		"one is off":  {row(1, 2, 40, 8, 16), 8, 0},
		"flat":        {row(5, 5, 5, 5), 5, 0},
		"square":      {row(1, 4, 16, 64, 256), 64, 0},
		"falling":     {row(16, 8, 4, 2), 2, 0},
		"one size":    {append(row(3), row(3)...), 3, 0},
		"it scatters": {row(1, 2*1.1, 4, 8*1.1, 16), 8, math.Log(1.1)},
	} {
		l := through(c.ps)
		at := math.Exp(l.start + l.slope*math.Log(8))
		if math.Abs(at-c.at) > 0.06*c.at || math.Abs(l.scatter-c.scatter) > 0.06 {
			t.Errorf("%s: %v, scatter %v; want %v, %v", name, at, l.scatter, c.at, c.scatter)
		}
	}
}

// TestRow holds which numbers of a row are doubted: those that leave it by more
// than the factor, and by more than the others scatter.
func TestRow(t *testing.T) {
	long := row(1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 2048, 4096, 819.2, 16384)
	shared := row(1, 2, 4, 80, 16)
	shared[3].n = shared[2].n
	for name, c := range map[string]struct {
		ps   []point
		want []int // lines
	}{
		"sound":           {row(1, 2, 4, 8, 16, 32), nil},
		"ten times":       {row(1, 2, 4, 80, 16, 32), []int{4}},
		"a tenth":         {row(1, 2, 4, 0.8, 16, 32), []int{4}},
		"the first":       {row(10, 2, 4, 8, 16, 32), []int{1}},
		"the last":        {row(1, 2, 4, 8, 16, 3.2), []int{6}},
		"a third":         {row(1, 2, 4, 8*1.3, 16, 32), nil},
		"too few":         {row(1, 20, 4), nil},
		"a wild row":      {row(3, 0.7, 12, 2.7, 48, 11, 190, 43), nil},
		"many":            {long, []int{14}},
		"two are one":     {shared, nil},
		"two in a row":    {row(1, 2, 40, 80, 16, 32, 64, 128, 256, 512), []int{3, 4}},
		"more than twice": {row(1, 2, 4, 8*2.6, 16, 32), []int{4}},
	} {
		r := &run{}
		r.row(c.ps, fewest, factorSize, "")
		var got []int
		for _, d := range r.doubts {
			got = append(got, d.of[0].at.Line)
		}
		if len(got) != len(c.want) || len(got) > 0 && (got[0] != c.want[0] || got[len(got)-1] != c.want[len(got)-1]) {
			t.Errorf("%s: doubted are %v, want %v", name, got, c.want)
		}
	}
}

// TestExpectedRange holds what a message names as expected, in the unit of the
// record.
func TestExpectedRange(t *testing.T) {
	ps := row(1, 2, 4, 80, 16, 32)
	in, err := quantity.Parse("80 in", quantity.KindLength)
	if err != nil {
		t.Fatal(err)
	}
	for i := range ps {
		ps[i].y += math.Log(0.0254)
	}
	ps[3].n.value = in
	r := &run{}
	r.row(ps, fewest, factorSize, "the others suggest")
	if len(r.doubts) != 1 || r.doubts[0].says != "the others suggest 3.2\u00a0in to 20\u00a0in" {
		t.Errorf("%+v", r.doubts)
	}
}
