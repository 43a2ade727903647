package check

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// mm gives a length that is on record, or none for a text that is empty.
func mm(t *testing.T, text string) record.Amount {
	t.Helper()
	if text == "" {
		return record.Amount{}
	}
	v, err := quantity.Parse(text+" mm", quantity.KindLength)
	if err != nil {
		t.Fatal(err)
	}
	a := record.Amount{Value: v}
	a.S, a.At = text+" mm", diag.Pos{File: "f", Line: 1, Col: 1}
	return a
}

// How far a feature has worn, from new (0) to rejected (1), worked by hand; without
// both of these on record, or where they stand the wrong way round, it is not known.
func TestWearOfAFeature(t *testing.T) {
	for _, c := range []struct{ new, below, above, reading, want string }{
		{"32", "31", "", "32", "0 true"}, {"32", "31", "", "31", "1 true"}, {"32", "31", "", "31.5", "0.5 true"}, {"32", "31", "", "32.5", "-0.5 true"}, {"32", "31", "", "29", "3 true"},
		{"40", "", "42", "41", "0.5 true"}, {"40", "", "42", "39", "-0.5 true"}, {"40", "", "42", "46", "3 true"},
		{"32", "31", "33", "31.5", "0.5 true"}, // an outside that may also be too large wears small
		{"", "31", "", "31.5", "0 false"}, {"", "", "33", "400", "0 false"}, {"32", "", "", "31.5", "0 false"}, {"", "", "", "31.5", "0 false"},
		{"32", "32", "", "31.5", "0 false"}, {"32", "33", "", "31.5", "0 false"}, {"40", "", "40", "41", "0 false"}, {"40", "", "39", "41", "0 false"},
	} {
		part, ok := wear(&record.Feature{New: mm(t, c.new), RejectBelow: mm(t, c.below), RejectAbove: mm(t, c.above)}, mm(t, c.reading))
		if got := fmt.Sprint(math.Round(part*1e6)/1e6+0, " ", ok); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
	// A reading is far off beyond three times the wear that is allowed, or half of it on
	// the other side, and by more than a twentieth of the size.
	for _, c := range []struct {
		new, below, above, reading string
		want                       bool
	}{
		{"32", "31", "", "29", false}, {"32", "31", "", "28.9", true}, {"32", "31", "", "32.5", false}, {"32", "31", "", "33.5", false}, {"32", "31", "", "33.7", true}, {"32", "31.9", "", "31.5", false}, {"32", "31.9", "", "30.5", false}, {"32", "31.9", "", "30.3", true},
		{"10", "", "11", "12.9", false}, {"10", "", "11", "13.1", true}, {"10", "", "11", "9.6", false}, {"10", "", "11", "9.4", true}, {"10", "", "", "1", false}, {"", "", "11", "110", false}, {"0", "", "1", "3", false}, {"0", "", "1", "3.1", true},
	} {
		if got := far(&record.Feature{New: mm(t, c.new), RejectBelow: mm(t, c.below), RejectAbove: mm(t, c.above)}, mm(t, c.reading)); got != c.want {
			t.Errorf("%+v: far is %v", c, got)
		}
	}
}

// The middle of some numbers, and of those that stand at one place.
func TestMiddles(t *testing.T) {
	for _, c := range []struct {
		of   []float64
		want float64
	}{{nil, 0}, {[]float64{3}, 3}, {[]float64{4, 2}, 3}, {[]float64{9, 1, 5}, 5}, {[]float64{8, 1, 2, 4}, 3}} {
		had := slices.Clone(c.of)
		if got := median(c.of); got != c.want || !slices.Equal(had, c.of) {
			t.Errorf("of %v: %v", c.of, got)
		}
	}
	at := func(xs ...float64) (ps []point) {
		for i, x := range xs {
			ps = append(ps, point{x: x, y: float64(i)})
		}
		return ps
	}
	for _, c := range []struct {
		ps   []point
		want string
	}{{nil, "[]"}, {at(1), "[{1 0}]"}, {at(2, 1), "[{1 1} {2 0}]"}, {at(1, 1.009, 2), "[{1 0.5} {2 2}]"}, {at(1, 1.0101, 2), "[{1 0} {1.0101 1} {2 2}]"}, {at(1, 1.008, 1.016), "[{1 0.5} {1.016 2}]"}} {
		got := []string{}
		for _, p := range byPlace(c.ps) {
			got = append(got, fmt.Sprintf("{%v %v}", p.x, p.y))
		}
		if s := fmt.Sprint(got); s != c.want {
			t.Errorf("%v: %s, want %s", c.ps, s, c.want)
		}
	}
	if l := through(nil); l != (line{}) {
		t.Errorf("a line through nothing: %+v", l)
	}
}

// Four numbers make a row of sizes, and three do not; one number that several share,
// a point on a scale, and what is not above zero are in none.
func TestWhatMakesARow(t *testing.T) {
	for _, c := range []struct {
		ps    []point
		least int
		want  string
	}{
		{row(1, 2, 4, 80), fewest, "4"}, {row(1, 2, 40), fewest, ""}, {row(5, 5, 5, 5, 5, 50), fewPeers, "6"}, {row(5, 5, 5, 5, 50), fewPeers, ""},
		// Of more than a dozen the line through all is taken, else that through the others.
		{row(1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 2048, 40960), fewest, "13"}, {row(1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 20480), fewest, "12"},
	} {
		r := &run{}
		r.row(c.ps, c.least, factorSize, "")
		got := ""
		for _, d := range r.doubts {
			got += fmt.Sprint(d.of[0].at.Line)
		}
		if got != c.want {
			t.Errorf("%d points: %q, want %q", len(c.ps), got, c.want)
		}
		held := 0
		for _, p := range c.ps {
			held += p.n.held
		}
		if want := len(c.ps) - len(r.doubts); len(c.ps) >= c.least && held != want {
			t.Errorf("%d points: %d are held, want %d", len(c.ps), held, want)
		}
	}
	of := func(v float64, k quantity.Kind) entry {
		e := entry{number: &number{value: quantity.Of(v, k)}}
		e.value.SI = v
		return e
	}
	r := &run{}
	for _, c := range []struct {
		e    entry
		want int
	}{{of(2, quantity.KindLength), 1}, {of(0, quantity.KindLength), 0}, {of(-1, quantity.KindLength), 0}, {of(300, quantity.KindTemperature), 0}, {of(3e5, quantity.KindGaugePressure), 0}, {of(5, quantity.KindTemperatureDifference), 1}, {entry{}, 0}} {
		if got := len(r.enter(nil, 1, c.e)); got != c.want {
			t.Errorf("%+v: %d", c.e, got)
		}
	}
	for _, c := range []struct {
		v    float64
		k    quantity.Kind
		want bool
	}{{4, quantity.KindNumber, true}, {4.5, quantity.KindNumber, false}, {4, quantity.KindLength, false}} {
		if isCount(of(c.v, c.k).number) != c.want {
			t.Errorf("%v %s", c.v, c.k)
		}
	}
}
