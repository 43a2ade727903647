package quantity

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// OutOfRange says that an input of a formula lies outside the range in which the
// formula holds.
type OutOfRange struct {
	SI      float64 // what was found
	message string
}

func (e *OutOfRange) Error() string { return e.message }

// endTolerance is the relative error that unit conversion may leave: a value that misses
// the end of its range by less counts as within. At an end of zero there is none.
const endTolerance = 1e-12

// Within says that an input of a formula lies outside the range in which the
// formula holds, both ends included: nil where low <= x <= high, else an error
// *OutOfRange that names the input, what was found and the range, with units. A NaN
// and an infinity are outside every range.
func Within[T ~float64](what string, x, low, high T) error {
	l, h := float64(low), float64(high)
	if float64(x) >= l-endTolerance*math.Abs(l) && float64(x) <= h+endTolerance*math.Abs(h) && !math.IsInf(float64(x), 0) {
		return nil
	}
	k, _ := KindOfGo(reflect.TypeFor[T]())
	if math.IsNaN(float64(x)) {
		return &OutOfRange{float64(x), fmt.Sprintf("%s is not a number: want %s to %s", what, plain(float64(low), k), plain(float64(high), k))}
	}
	return &OutOfRange{float64(x), fmt.Sprintf("%s %s is out of range: want %s to %s", what, plain(float64(x), k), plain(float64(low), k), plain(float64(high), k))}
}

// plain prints an amount in a unit that suits its size, for messages.
func plain(si float64, k Kind) string {
	u := Preferred(k, Metric)
	if k != KindTemperature && !readable((si-u.offset)/u.Factor) {
		for _, v := range units {
			if v.Kind == k && v.system == Metric && readable(si/v.Factor) {
				u = v
				break
			}
		}
	}
	n := (si - u.offset) / u.Factor
	text := strconv.FormatFloat(n, 'g', 6, 64)
	if math.Abs(n) >= 1e-3 && math.Abs(n) < 1e7 {
		text = strconv.FormatFloat(math.Round(n*1e6)/1e6, 'f', -1, 64)
	}
	return u.Join(strings.Replace(text, "-", "−", 1))
}

func readable(n float64) bool { return n == 0 || (math.Abs(n) >= 0.1 && math.Abs(n) < 1e4) }
