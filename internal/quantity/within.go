package quantity

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// Within says that an input of a formula lies outside the range in which the
// formula holds, both ends included: nil where low <= x <= high, else an error
// that names the input, what was found and the range, with units. A NaN and an
// infinity are outside every range.
func Within[T ~float64](what string, x, low, high T) error {
	if x >= low && x <= high && !math.IsInf(float64(x), 0) {
		return nil
	}
	k, _ := KindOfGo(reflect.TypeFor[T]())
	if math.IsNaN(float64(x)) {
		return fmt.Errorf("%s is not a number: want %s to %s", what, plain(float64(low), k), plain(float64(high), k))
	}
	return fmt.Errorf("%s %s is out of range: want %s to %s", what, plain(float64(x), k), plain(float64(low), k), plain(float64(high), k))
}

// plain prints an amount in a unit that suits its size, for messages.
func plain(si float64, k Kind) string {
	u := Preferred(k, Metric)
	if k != KindTemperature && !readable((si-u.Offset)/u.Factor) {
		for _, v := range units {
			if v.Kind == k && v.System == Metric && readable(si/v.Factor) {
				u = v
				break
			}
		}
	}
	n := (si - u.Offset) / u.Factor
	text := strconv.FormatFloat(n, 'g', 6, 64)
	if math.Abs(n) >= 1e-3 && math.Abs(n) < 1e7 {
		text = strconv.FormatFloat(math.Round(n*1e6)/1e6, 'f', -1, 64)
	}
	return u.Join(strings.Replace(text, "-", "−", 1))
}

func readable(n float64) bool { return n == 0 || (math.Abs(n) >= 0.1 && math.Abs(n) < 1e4) }
