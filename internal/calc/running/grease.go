package running

import (
	"cmp"
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

// revolutions gives turns a minute of a speed.
func revolutions(speed quantity.Speed) float64 { return float64(speed) * 60 / turn }

// SpeedFactor gives the speed factor of a bearing, n dm, by which greases are rated: turns
// a minute times the mean diameter (d + D)/2 in mm. Range: bore 5 to 500 mm, outside above
// it up to 800 mm, speed 0.1 to 3000 rad/s.
//
// Source: The Tribology Handbook, A20; DIN 51825 rates greases by it (from memory).
func SpeedFactor(bore, outside quantity.Length, speed quantity.Speed) (quantity.Number, error) {
	if err := cmp.Or(boreWithin(bore), quantity.Within("outside diameter", outside, bore+1e-3, 0.8), quantity.Within("speed", speed, slowest, fastest)); err != nil {
		return 0, err
	}
	return quantity.Number(revolutions(speed) * float64(bore+outside) / 2 * 1e3), nil
}

func boreWithin(bore quantity.Length) error { return quantity.Within("bore", bore, 5e-3, 0.5) }

// greaseKinds are the factors of the regreasing interval by kind of bearing.
var greaseKinds = map[string]float64{"ball": 10, "cylindrical": 5, "needle": 5, "spherical": 1, "tapered": 1, "thrust": 1}

// mostInterval is what no interval is longer than: grease ages in a bearing that hardly
// turns.
const mostInterval quantity.Time = 32000 * 3600

// GreaseInterval gives the running time after which a bearing is regreased:
//
//	t = K (14·10⁶/(n √d) − 4 d), in h
//
// with n in turns a minute, the bore d in mm and K = 10 for "ball", 5 for "cylindrical"
// and "needle", 1 for "spherical", "tapered" and "thrust" bearings; 32 000 h at most. It
// holds for a clean horizontal bearing at up to 70 °C; a hotter one by HotInterval. In s.
// Range: bore 5 to 300 mm, speed 0.1 to 3000 rad/s; a bearing too fast for grease, whose
// interval falls below 50 h, is an error.
//
// Source: common practice: the classical rule of the lubrication trade, as published in
// guides; the cap as in a published plant standard.
func GreaseInterval(bore quantity.Length, speed quantity.Speed, kind string) (quantity.Time, error) {
	if err := cmp.Or(quantity.Within("bore", bore, 5e-3, 0.3), quantity.Within("speed", speed, slowest, fastest)); err != nil {
		return 0, err
	}
	k, ok := greaseKinds[kind]
	if !ok {
		return 0, fmt.Errorf("no bearing kind %q: want ball, cylindrical, needle, spherical, tapered or thrust", kind)
	}
	d := float64(bore) * 1e3
	t := quantity.Time(k * (14e6/(revolutions(speed)*math.Sqrt(d)) - 4*d) * 3600)
	return min(t, mostInterval), quantity.Within("interval", min(t, mostInterval), 50*3600, mostInterval)
}

// HotInterval gives the interval of a bearing that runs hot: halved for each 15 K above
// 70 °C, t = t₀ · 2^(−(T − 70)/15); up to 70 °C as it is. In s. Range: interval 1 h to 10⁵
// h, bearing −20 to 120 °C, above which ordinary grease does not last.
//
// Source: common practice: halving with each 15 K above 70 °C, as published.
func HotInterval(interval quantity.Time, bearing quantity.Temperature) (quantity.Time, error) {
	const zero = 273.15
	if err := cmp.Or(quantity.Within("interval", interval, 3600, 3.6e8), quantity.Within("bearing temperature", bearing, zero-20, zero+120)); err != nil {
		return 0, err
	}
	return interval * quantity.Time(math.Exp2(-max(0, float64(bearing)-zero-70)/15)), nil
}

// GreaseStrokes gives the strokes of a grease gun for an amount, rounded to the nearest
// whole one and at least one: N = G/g. Range: amount 0.1 g to 5 kg, a stroke of 0.1 to 5 g,
// up to 500 strokes.
//
// Source: definition; the stroke is that of the gun, weighed.
func GreaseStrokes(amount, stroke quantity.Mass) (quantity.Number, error) {
	if err := cmp.Or(quantity.Within("amount of grease", amount, 1e-4, 5), quantity.Within("grease of a stroke", stroke, 1e-4, 5e-3)); err != nil {
		return 0, err
	}
	n := quantity.Number(max(1, math.Round(float64(amount/stroke))))
	return n, quantity.Within("strokes", n, 1, 500)
}
