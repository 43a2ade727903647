package fits

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/quantity"
)

const (
	micron = 1e-6 // m
	mm     = 1e-3 // m

	largest            = 500 // mm
	leastIT, mostIT    = 4, 11
	lettersKnown       = "d e f g h js k m n p r s t u (capitals for holes)"
	smallestWithDelta  = 3 // mm, up to and including which Δ is 0
	finestHole, ruleOf = 5, 8
)

// itBands are the upper ends, in mm, of the ranges "over X up to and including
// Y" of the standard tolerances, and standardTolerances their values in µm for
// IT4 to IT11.
// Source: ISO 286-1:2010, table 1. IT4 to IT9 seen in a tool maker's table of h
// tolerances, IT10 up to 80 mm and IT11 up to 315 mm in tables of H10 and H11; the
// rest from memory; all agree with i = 0.45 ∛D + 0.001 D (see the tests).
var itBands = []float64{3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500}

var standardTolerances = [][8]float64{
	{3, 4, 6, 10, 14, 25, 40, 60},
	{4, 5, 8, 12, 18, 30, 48, 75},
	{4, 6, 9, 15, 22, 36, 58, 90},
	{5, 8, 11, 18, 27, 43, 70, 110},
	{6, 9, 13, 21, 33, 52, 84, 130},
	{7, 11, 16, 25, 39, 62, 100, 160},
	{8, 13, 19, 30, 46, 74, 120, 190},
	{10, 15, 22, 35, 54, 87, 140, 220},
	{12, 18, 25, 40, 63, 100, 160, 250},
	{14, 20, 29, 46, 72, 115, 185, 290},
	{16, 23, 32, 52, 81, 130, 210, 320},
	{18, 25, 36, 57, 89, 140, 230, 360},
	{20, 27, 40, 63, 97, 155, 250, 400},
}

// deviationLetters are the columns of deviations: up to g the upper deviation es
// of shafts, from k the lower deviation ei. k holds for IT4 to IT7.
var deviationLetters = []string{"d", "e", "f", "g", "k", "m", "n", "p", "r", "s", "t", "u"}

// none marks a class that the standard does not have (t up to 24 mm).
const none = -9999

// deviations are the fundamental deviations of shafts in µm; up is the upper end
// of the range in mm. Source: ISO 286-1:2010, tables of fundamental deviations,
// seen as printed in Machine Drawing (Narayana, Kannaiah, Reddy), table 15.2 for
// m to u up to 180 mm and d to k above, table 15.3 (holes) for p to u above
// 180 mm; in JIS B 0401:1999 for d to k up to 80 mm. From memory: m and n above
// 180 mm, d to k from 80 to 180 mm, held to their formulas in the tests.
var deviations = []struct {
	up  float64
	dev [12]float64
}{
	{3, [12]float64{-20, -14, -6, -2, 0, 2, 4, 6, 10, 14, none, 18}},
	{6, [12]float64{-30, -20, -10, -4, 1, 4, 8, 12, 15, 19, none, 23}},
	{10, [12]float64{-40, -25, -13, -5, 1, 6, 10, 15, 19, 23, none, 28}},
	{18, [12]float64{-50, -32, -16, -6, 1, 7, 12, 18, 23, 28, none, 33}},
	{24, [12]float64{-65, -40, -20, -7, 2, 8, 15, 22, 28, 35, none, 41}},
	{30, [12]float64{-65, -40, -20, -7, 2, 8, 15, 22, 28, 35, 41, 48}},
	{40, [12]float64{-80, -50, -25, -9, 2, 9, 17, 26, 34, 43, 48, 60}},
	{50, [12]float64{-80, -50, -25, -9, 2, 9, 17, 26, 34, 43, 54, 70}},
	{65, [12]float64{-100, -60, -30, -10, 2, 11, 20, 32, 41, 53, 66, 87}},
	{80, [12]float64{-100, -60, -30, -10, 2, 11, 20, 32, 43, 59, 75, 102}},
	{100, [12]float64{-120, -72, -36, -12, 3, 13, 23, 37, 51, 71, 91, 124}},
	{120, [12]float64{-120, -72, -36, -12, 3, 13, 23, 37, 54, 79, 104, 144}},
	{140, [12]float64{-145, -85, -43, -14, 3, 15, 27, 43, 63, 92, 122, 170}},
	{160, [12]float64{-145, -85, -43, -14, 3, 15, 27, 43, 65, 100, 134, 190}},
	{180, [12]float64{-145, -85, -43, -14, 3, 15, 27, 43, 68, 108, 146, 210}},
	{200, [12]float64{-170, -100, -50, -15, 4, 17, 31, 50, 77, 122, 166, 236}},
	{225, [12]float64{-170, -100, -50, -15, 4, 17, 31, 50, 80, 130, 180, 258}},
	{250, [12]float64{-170, -100, -50, -15, 4, 17, 31, 50, 84, 140, 196, 284}},
	{280, [12]float64{-190, -110, -56, -17, 4, 20, 34, 56, 94, 158, 218, 315}},
	{315, [12]float64{-190, -110, -56, -17, 4, 20, 34, 56, 98, 170, 240, 350}},
	{355, [12]float64{-210, -125, -62, -18, 4, 21, 37, 62, 108, 190, 268, 390}},
	{400, [12]float64{-210, -125, -62, -18, 4, 21, 37, 62, 114, 208, 294, 435}},
	{450, [12]float64{-230, -135, -68, -20, 5, 23, 40, 68, 126, 232, 330, 490}},
	{500, [12]float64{-230, -135, -68, -20, 5, 23, 40, 68, 132, 252, 360, 540}},
}

// class is a tolerance class such as H7: its letter in lower case and its grade.
type class struct {
	name   string
	letter string
	hole   bool
	grade  int
}

func parseClass(name string) (class, error) {
	s := strings.TrimSpace(name)
	letters := strings.TrimRight(s, "0123456789")
	grade, err := strconv.Atoi(s[len(letters):])
	lower := strings.ToLower(letters)
	c := class{name: s, letter: lower, hole: letters == strings.ToUpper(letters), grade: grade}
	known := lower == "h" || lower == "js" || slices.Contains(deviationLetters, lower)
	switch {
	case err != nil || !known || (letters != lower && !c.hole):
		return c, fmt.Errorf("tolerance class %q is not known: want one of the letters %s and a grade, such as H7 or s6", name, lettersKnown)
	case grade < leastIT || grade > mostIT:
		return c, fmt.Errorf("tolerance class %q has a grade out of range: want %d to %d", name, leastIT, mostIT)
	case c.hole && lower >= "k" && grade < finestHole:
		return c, fmt.Errorf("tolerance class %q has a grade out of range: holes K to U want %d to %d", name, finestHole, mostIT)
	case c.hole && (lower == "k" || lower == "m" || lower == "n") && grade > ruleOf:
		return c, fmt.Errorf("tolerance class %q has a grade out of range: holes K, M and N want %d to %d", name, finestHole, ruleOf)
	}
	return c, nil
}

// row finds the range "over X up to and including Y" that a size in mm lies in.
func row(size float64, ends []float64) int {
	i, _ := slices.BinarySearch(ends, size)
	return i
}

// millimetres gives a size in mm without the noise of binary arithmetic, which
// at a boundary would pick the next range.
func millimetres(size quantity.Length) float64 { return math.Round(float64(size)*1e9) / 1e6 }

// limits gives the lower and upper deviation of a class in µm.
func limits(name string, size quantity.Length) (low, high float64, err error) {
	c, err := parseClass(name)
	if err != nil {
		return 0, 0, err
	}
	d := millimetres(size)
	if !(d > 0 && d <= largest) {
		return 0, 0, fmt.Errorf("size %g mm is out of range: want above 0 up to and including %d mm", d, largest)
	}
	tolerances := standardTolerances[row(d, itBands)]
	it := tolerances[c.grade-leastIT]
	switch c.letter {
	case "h":
		if c.hole {
			return 0, it, nil
		}
		return -it, 0, nil
	case "js":
		return -it / 2, it / 2, nil
	}
	dev, err := c.fundamental(d)
	if err != nil {
		return 0, 0, err
	}
	above := c.letter < "h" // clearance classes: d to g
	switch {
	case !c.hole && above:
		return dev - it, dev, nil
	case !c.hole:
		return dev, dev + it, nil
	case above:
		return -dev, -dev + it, nil
	}
	high = -dev + c.delta(d, tolerances)
	return high - it, high, nil
}

// fundamental gives the shaft's fundamental deviation in µm.
func (c class) fundamental(d float64) (float64, error) {
	if c.letter == "k" && !c.hole && c.grade > 7 {
		return 0, nil // ISO 286-1: k has ei = 0 outside IT4 to IT7
	}
	i := slices.IndexFunc(deviations, func(r struct {
		up  float64
		dev [12]float64
	}) bool {
		return d <= r.up
	})
	dev := deviations[i].dev[slices.Index(deviationLetters, c.letter)]
	if dev == none {
		return 0, fmt.Errorf("tolerance class %q does not exist for %g mm: t and T begin above 24 mm", c.name, d)
	}
	return dev, nil
}

// delta gives Δ = ITn − IT(n−1), by which the hole's deviation is shifted so
// that, say, H7/p6 and P7/h6 give the same fit: for K, M and N up to IT8 and for
// P to U up to IT7, above 3 mm.
// Source: ISO 286-1:2010, 4.3 (rule and table of Δ); M6 from 250 to 315 mm is
// −9 instead of −11 by its own note (from memory).
func (c class) delta(d float64, tolerances [8]float64) float64 {
	upTo := 7
	if c.letter < "p" {
		upTo = ruleOf
	}
	if d <= smallestWithDelta || c.grade > upTo {
		return 0
	}
	delta := tolerances[c.grade-leastIT] - tolerances[c.grade-1-leastIT]
	if c.letter == "m" && c.grade == 6 && d > 250 && d <= 315 {
		delta += 2
	}
	return delta
}

// DeviationLow gives the lower limit deviation of a tolerance class, ei or EI.
// Range: sizes above 0 up to and including 500 mm, classes D to U and d to u
// without J and j, grades 4 to 11 (holes K to U from 5, K, M and N up to 8).
// Source: ISO 286-1:2010.
func DeviationLow(fit string, size quantity.Length) (quantity.Length, error) {
	low, _, err := limits(fit, size)
	return quantity.Length(low * micron), err
}

// DeviationHigh gives the upper limit deviation of a tolerance class, es or ES.
// Range and source: as DeviationLow.
func DeviationHigh(fit string, size quantity.Length) (quantity.Length, error) {
	_, high, err := limits(fit, size)
	return quantity.Length(high * micron), err
}

// LimitLow gives the lower limit of size of a tolerance class.
// Range and source: as DeviationLow.
func LimitLow(fit string, size quantity.Length) (quantity.Length, error) {
	low, _, err := limits(fit, size)
	if err != nil {
		return 0, err
	}
	return size + quantity.Length(low*micron), nil
}

// LimitHigh gives the upper limit of size of a tolerance class.
// Range and source: as DeviationLow.
func LimitHigh(fit string, size quantity.Length) (quantity.Length, error) {
	_, high, err := limits(fit, size)
	if err != nil {
		return 0, err
	}
	return size + quantity.Length(high*micron), nil
}
