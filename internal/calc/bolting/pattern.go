package bolting

import "fmt"

// The counts of bolts for which an order is given.
const (
	fewestBolts = 3
	mostBolts   = 48
)

// CrossPattern gives the order in which the bolts of a circle are tightened,
// numbered from 1 clockwise: opposite pairs, the next pair at a right angle to
// the first or as near as the count allows. Range: 3 to 48 bolts.
//
// From 6 bolts up no two neighbours come in a row; with 5 neither, with 4 and 3
// they must. In an even count the bolts come in opposite pairs.
//
// Source: ASME PCC-1 (2010 to 2019), legacy cross pattern: 8, 12, 16 and 24 bolts as
// public notes on that standard quote it (seen), 4 and 20 bolts from memory. Every other
// count follows the same halving: common practice, no source.
func CrossPattern(n int) ([]int, error) {
	if n < fewestBolts || n > mostBolts {
		return nil, fmt.Errorf("a circle of %d bolts is out of range: want %d to %d", n, fewestBolts, mostBolts)
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

// starts gives the order in which the bolts of the first quarter lead their group of
// four, so that the load spreads round the joint: an even quarter interleaves its two
// halves, an odd one takes every other bolt, and three go in turn, as PCC-1 has it.
func starts(quarter int) []int {
	var s []int
	switch half := quarter / 2; {
	case quarter == 3:
		return []int{1, 2, 3}
	case quarter%2 == 0 && quarter > 0:
		for _, b := range starts(half) {
			s = append(s, b, b+half)
		}
	default:
		for b := 1; b <= quarter; b += 2 {
			s = append(s, b)
		}
		for b := 2; b <= quarter; b += 2 {
			s = append(s, b)
		}
	}
	return s
}
