package alignment

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "alignment", Functions)
}

// line is the movable shaft in the plane of the page, the fixed one being the axis x:
// its height y at x = 0 and its slope. It is turned by hand, and dials are read by
// geometry alone, not by the formulas.
type line struct{ y, slope float64 }

func (l line) at(x float64) float64 { return l.y + l.slope*x }

// rim reads a dial at x with its bracket on the fixed shaft: the height of the movable
// hub's surface of radius r under the stem, on top and at the bottom, which the bracket's
// droop brings nearer on top and farther below.
func (l line) rimOnMovable(x, r, droop float64) quantity.Length {
	top := (l.at(x) + r) + droop
	bottom := -(l.at(x) - r) - droop
	return quantity.Length(bottom - top)
}

// rimOnFixed reads a dial at x with its bracket on the movable shaft: the surface of the
// fixed hub, seen from the movable axis.
func (l line) rimOnFixed(x, r, droop float64) quantity.Length {
	top := (r - l.at(x)) + droop
	bottom := -(-r - l.at(x)) - droop
	return quantity.Length(bottom - top)
}

// face reads a dial on the face of the movable hub: a point of the face at height h is
// where the normal to the shaft through (0, y) is, x = −slope·h; nearer pushes the stem in.
func (l line) face(diameter float64) quantity.Length {
	top, bottom := -l.slope*diameter/2, l.slope*diameter/2
	return quantity.Length(top - bottom) // the stem is pushed in where the face is nearer, at smaller x
}

func draw(t *rapid.T, name string, low, high float64) float64 {
	return rapid.Float64Range(low, high).Draw(t, name)
}

// After the moves that either method asks for, the shaft runs where it was to be set: low
// by the rise, at both feet.
func TestMovesBringTheShaftIntoLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := line{draw(t, "y", -2e-3, 2e-3), draw(t, "slope", -3e-3, 3e-3)}
		sweep, between := draw(t, "sweep", 0.05, 0.5), draw(t, "between", 0.05, 0.6)
		droop := draw(t, "droop", 0, 5e-4)
		sag := quantity.Length(-2 * droop)
		for i := range 2 {
			foot := draw(t, "foot", 0.1, 2) + float64(i)
			rise := draw(t, "rise", -5e-4, 5e-4)
			want := -l.at(foot) - rise
			got := map[string]quantity.Length{}
			var err error
			on := func(name string, f func() (quantity.Length, error)) {
				if got[name], err = f(); err != nil {
					t.Fatalf("%s: %v", name, err)
				}
			}
			on("rim and face, bracket on the fixed shaft", func() (quantity.Length, error) {
				return RimFaceMove(l.rimOnMovable(0, 0.1, droop), sag, l.face(sweep), quantity.Length(sweep), quantity.Length(foot), quantity.Length(rise), "fixed")
			})
			on("rim and face, bracket on the movable shaft", func() (quantity.Length, error) {
				return RimFaceMove(l.rimOnFixed(0, 0.1, droop), sag, l.face(sweep), quantity.Length(sweep), quantity.Length(foot), quantity.Length(rise), "movable")
			})
			on("reverse dials", func() (quantity.Length, error) {
				return ReverseMove(l.rimOnMovable(0, 0.1, droop), sag, l.rimOnFixed(-between, 0.1, droop), sag, quantity.Length(between), quantity.Length(foot), quantity.Length(rise))
			})
			for name, m := range got {
				if math.Abs(float64(m)-want) > 1e-9 {
					t.Errorf("%s: move %g, want %g", name, m, want)
				}
			}
		}
	})
}

// A soft foot that is shimmed leaves all four gaps on one plane.
func TestSoftFootLevels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := [4]quantity.Length{}
		for i := range g {
			g[i] = quantity.Length(draw(t, "gap", 0, 1e-3))
		}
		shim, err := SoftFoot(g[0], g[1], g[2], g[3])
		if err != nil {
			t.Fatal(err)
		}
		if shim > 0 {
			g[0], g[3] = g[0]-shim, g[3]-shim
		} else {
			g[1], g[2] = g[1]+shim, g[2]+shim
		}
		if left := g[0] + g[3] - g[1] - g[2]; math.Abs(float64(left)) > 1e-12 {
			t.Errorf("%g of rock left", left)
		}
	})
}

func TestFasterIsStricter(t *testing.T) {
	for i := 1; i < len(limits); i++ {
		a, b := limits[i-1], limits[i]
		if b.upTo <= a.upTo || b.offset >= a.offset || b.short > a.short || b.spacer > a.spacer {
			t.Errorf("%g rpm is not stricter than %g rpm", b.upTo, a.upTo)
		}
	}
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	// Readings may be below zero: each good one is so near to the end of the range that
	// its own worthless negative lies beyond the other end.
	const most quantity.Length = 9.5e-3
	const offset quantity.Length = 49.5e-3
	good := map[string][]any{
		"dial_closure":  {most, most, most, most},
		"sag_corrected": {most, -most},
		"rim_offset":    {most, -most, "fixed"},
		"face_slope":    {most, quantity.Length(0.3)},
		"slope_between": {offset, offset, quantity.Length(0.3)},
		"offset_at":     {offset, quantity.Angle(0.0495), quantity.Length(9.9995)},
		"foot_move":     {offset, quantity.Angle(0.0495), quantity.Length(0.5), most},
		"rim_face_move": {most, -most, most, quantity.Length(0.3), quantity.Length(0.5), most, "movable"},
		"reverse_move":  {most, -most, most, -most, quantity.Length(0.5), quantity.Length(0.5), most},
		"rise_apart": {quantity.Length(0.4), quantity.Expansion(1.2e-5), quantity.TemperatureDifference(299.9995), quantity.Length(0.4), quantity.Expansion(1.2e-5),
			quantity.TemperatureDifference(299.9995)},
		"soft_foot":    {most, most, most, most},
		"offset_limit": {quantity.Speed(150)},
		"slope_limit":  {quantity.Speed(150), "spacer"},
	}
	zero := []string{"top", "bottom", "left", "right", "reading", "sag", "face", "near_fixed", "near_movable", "offset", "slope", "distance", "rise", "rim",
		"on_movable", "sag_on_movable", "on_fixed", "sag_on_fixed", "movable_difference", "fixed_difference", "front_left", "front_right", "rear_left", "rear_right"}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name], zero...)
	}
}
