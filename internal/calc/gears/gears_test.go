package gears

import (
	"math"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "gears", Functions)
}

// A lying space is empty, half full and full where it should be, and fills evenly from
// both sides of the middle.
func TestLyingVolumeFills(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, l := quantity.Length(rapid.Float64Range(0.05, 3).Draw(t, "bore")), quantity.Length(rapid.Float64Range(0.05, 10).Draw(t, "length"))
		h := d * quantity.Length(rapid.Float64Range(0, 1).Draw(t, "level"))
		low, err := LyingVolume(d, l, h)
		high, err2 := LyingVolume(d, l, d-h)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		full := math.Pi / 4 * float64(d*d*l)
		if math.Abs(float64(low+high)/full-1) > 1e-9 {
			t.Errorf("%g and %g are not %g", low, high, full)
		}
	})
}

// Grades do not overlap, and what a grade gives is at least what was asked for.
func TestGradesStandApart(t *testing.T) {
	for i, g := range grades {
		low, _ := GradeLow(quantity.Number(g.grade))
		if i > 0 {
			if below, _ := GradeHigh(quantity.Number(grades[i-1].grade)); below >= low {
				t.Errorf("VG %g begins at %g, below the end of the grade before", g.grade, low)
			}
		}
		if v, err := GradeFor(quantity.KinematicViscosity(g.middle * 1e-6)); err != nil || float64(v) != g.grade {
			t.Errorf("VG %g comes back as %g (%v)", g.grade, v, err)
		}
	}
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	good := map[string][]any{
		"backlash_at_pitch": {quantity.Length(3e-4), quantity.Length(0.2), quantity.Length(0.1)},
		"backlash_angle":    {quantity.Length(3e-4), quantity.Length(0.1)},
		"least_backlash":    {quantity.Length(3e-3), quantity.Length(0.2)},
		"play_shim":         {quantity.Length(3e-4), quantity.Length(1e-4), quantity.Length(2e-4)},
		"lying_volume":      {quantity.Length(0.5), quantity.Length(1), quantity.Length(0.2)},
		"sump_volume":       {quantity.Length(0.5), quantity.Length(0.4), quantity.Length(0.1), quantity.Number(0.8)},
		"grade_low":         {quantity.Number(220)},
		"grade_high":        {quantity.Number(220)},
		"grade_for":         {quantity.KinematicViscosity(180e-6)},
		"gear_viscosity":    {quantity.Velocity(5)},
	}
	for _, f := range Functions {
		zero := []string{"play", "low"}
		if f.Name == "lying_volume" {
			zero = append(zero, "level")
		}
		published.Spoil(t, f, good[f.Name], zero...)
	}
}
