package bolting

import (
	"errors"
	"fmt"

	"jobsheaf/internal/quantity"
)

// The counts of bolts for which an order is given.
const (
	FewestBolts = 3
	MostBolts   = 48
)

// CrossPattern gives the order in which the bolts of a circle are tightened,
// numbered from 1 clockwise: opposite pairs, the next pair at a right angle to
// the first or as near as the count allows. Range: 3 to 48 bolts.
//
// From 6 bolts up no two neighbours come in a row; with 5 neither, with 4 and 3
// they must. In an even count the bolts come in opposite pairs.
//
// Source: ASME PCC-1 (2010 to 2019), legacy cross pattern, for multiples of 4
// (12 seen, others from memory); for other counts the same rule, common
// practice, no source.
func CrossPattern(n int) ([]int, error) {
	if n < FewestBolts || n > MostBolts {
		return nil, fmt.Errorf("a circle of %d bolts is out of range: want %d to %d", n, FewestBolts, MostBolts)
	}
	if n%2 == 1 {
		// An odd circle takes the order of the even one above it and leaves the
		// last bolt out: opposite becomes as nearly opposite as can be.
		even, err := CrossPattern(n + 1)
		order := make([]int, 0, n)
		for _, b := range even {
			if b <= n {
				order = append(order, b)
			}
		}
		return order, err
	}
	half, quarter := n/2, n/4
	order := make([]int, 0, n)
	for _, start := range starts(quarter) {
		order = append(order, start, start+half, start+quarter, start+quarter+half)
	}
	if n%4 == 2 {
		order = append(order, half, n)
	}
	return order, nil
}

// starts gives the order in which the bolts of the first quarter lead their
// group of four: every other one first, so that the load spreads round the
// joint, but in turn where there are three or fewer, as PCC-1 has it.
func starts(quarter int) []int {
	step := 2
	if quarter <= 3 {
		step = 1
	}
	var s []int
	for first := 1; first <= step; first++ {
		for b := first; b <= quarter; b += step {
			s = append(s, b)
		}
	}
	return s
}

// Pass is one round of tightening.
type Pass struct {
	Fraction quantity.Number // of the final torque
	Torque   quantity.Torque
	Around   bool // true: in turn round the circle; false: by CrossPattern
}

// Passes gives the rounds that bring a joint to its torque: the fractions in
// the cross pattern, then once round at full torque until no nut turns.
// Range: one to six fractions of 0.05 to 1, rising, the last 1.
// Source: ASME PCC-1 (2010 to 2019), legacy tightening (rounds of 20 to 30 %,
// 50 to 70 % and 100 %, then circumferential); 30, 60, 100 % seen as common
// practice.
func Passes(torque quantity.Torque, fractions []quantity.Number) ([]Pass, error) {
	if len(fractions) == 0 || len(fractions) > 6 || fractions[len(fractions)-1] != 1 {
		return nil, errors.New("the passes are out of range: want one to six fractions of the torque, the last 1, such as 0.3, 0.6, 1")
	}
	passes := make([]Pass, 0, len(fractions)+1)
	for i, f := range fractions {
		if i > 0 && !(f > fractions[i-1]) {
			return nil, fmt.Errorf("pass %d at %g is not above the one before it: want rising fractions such as 0.3, 0.6, 1", i+1, float64(f))
		}
		t, err := PassTorque(torque, f)
		if err != nil {
			return nil, fmt.Errorf("pass %d: %w", i+1, err)
		}
		passes = append(passes, Pass{Fraction: f, Torque: t})
	}
	return append(passes, Pass{Fraction: 1, Torque: torque, Around: true}), nil
}
