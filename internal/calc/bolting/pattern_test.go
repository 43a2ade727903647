package bolting

import (
	"slices"
	"testing"
)

// TestPCC1Order holds the pattern against the legacy cross pattern.
// Source: ASME PCC-1, legacy cross pattern: 8, 12, 16 and 24 bolts as quoted in the
// public repository TysunM/pipefit-pro, docs/BOLT-UP-STANDARDS.md (seen; 12 in the 2013
// edition too); 4 and 20 from memory.
func TestPCC1Order(t *testing.T) {
	for _, want := range [][]int{
		{1, 3, 2, 4},
		{1, 5, 3, 7, 2, 6, 4, 8},
		{1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12},
		{1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16},
		{1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19},
		{1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24},
	} {
		if got, err := CrossPattern(len(want)); err != nil || !slices.Equal(got, want) {
			t.Errorf("%d bolts: %v, %v; want %v", len(want), got, err, want)
		}
	}
}

func apart(a, b, n int) int {
	d := (a - b + n) % n
	return min(d, n-d)
}

func TestCrossPatternForEveryCount(t *testing.T) {
	for n := fewestBolts; n <= mostBolts; n++ {
		order, err := CrossPattern(n)
		if err != nil {
			t.Fatal(err)
		}
		sorted := slices.Sorted(slices.Values(order))
		for i, b := range sorted {
			if b != i+1 || len(sorted) != n {
				t.Fatalf("%d bolts: %v is not a permutation", n, order)
			}
		}
		neighbours := 0
		for i := 1; i < n; i++ {
			if apart(order[i], order[i-1], n) == 1 {
				neighbours++
			}
		}
		// All of 3 are neighbours; of 4, the best order has one such pair.
		if want := map[int]int{3: 2, 4: 1}[n]; neighbours != want {
			t.Errorf("%d bolts: %d neighbours in a row in %v, want %d", n, neighbours, order, want)
		}
		if n%2 == 0 {
			for i := 0; i < n; i += 2 {
				if apart(order[i], order[i+1], n) != n/2 {
					t.Errorf("%d bolts: %d and %d are not opposite", n, order[i], order[i+1])
				}
			}
		}
		if n%4 == 0 && apart(order[0], order[2], n) != n/4 {
			t.Errorf("%d bolts: the second pair is not at a right angle to the first", n)
		}
		if n >= 6 && apart(order[0], order[2], n) < n/4 {
			t.Errorf("%d bolts: the third bolt %d is near the first", n, order[2])
		}
	}
	for _, n := range []int{-1, 0, 1, 2, 49, 1 << 40} {
		if _, err := CrossPattern(n); err == nil {
			t.Errorf("%d bolts are accepted", n)
		}
	}
}

// TestOneNeighbourIsTheBestOfFour tries every order of four bolts.
func TestOneNeighbourIsTheBestOfFour(t *testing.T) {
	best := 4
	var walk func(order []int)
	walk = func(order []int) {
		if len(order) == 4 {
			count := 0
			for i := 1; i < 4; i++ {
				if apart(order[i], order[i-1], 4) == 1 {
					count++
				}
			}
			best = min(best, count)
			return
		}
		for b := 1; b <= 4; b++ {
			if !slices.Contains(order, b) {
				walk(append(slices.Clone(order), b))
			}
		}
	}
	walk(nil)
	if best != 1 {
		t.Errorf("the best order of four bolts has %d neighbours in a row", best)
	}
}
