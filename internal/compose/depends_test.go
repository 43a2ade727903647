package compose_test

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

var update = flag.Bool("update", false, "write what is found into testdata; read the difference before it is committed")

// change is one input of a unit's records that is put another way.
type change struct {
	name  string
	edits []edit
	roots []string // the recorded names that it changes; "liquid." stands for all that begin so
	// some of the numbers that must change, and some that must not, by hand
	moves, stays []string
}

const unitsFile, ringFile = "units/units.yaml", "designs/ring.yaml"

var changes = []change{
	{name: "temperature of the liquid", edits: []edit{{unitsFile, "lye-50, temperature: 60 degC", "lye-50, temperature: 66 degC"}}, roots: []string{"duty.temperature"},
		moves: []string{"grown", "clearance", "travel", "turn", "cool_time", "thickness", "mu", "slip_new", "delivered", "reynolds"},
		stays: []string{"theoretical", "joints.head.torque", "life", "made", "idler_force", "trapped", "boils_at"}},
	{name: "surroundings", edits: []edit{{"site.yaml", "surroundings: 22 degC", "surroundings: 12 degC"}}, roots: []string{"site.surroundings"},
		moves: []string{"grown", "clearance", "cool_time"}, stays: []string{"thickness", "theoretical", "boils_at", "touch"}},
	{name: "liquid", edits: []edit{{unitsFile, "liquid: lye-50", "liquid: paraffin-58"}}, roots: []string{"liquid."},
		moves: []string{"trapped", "thickness", "mu", "slip_new"}, stays: []string{"theoretical", "clearance", "joints.head.torque", "life", "catch"}},
	{name: "size", edits: []edit{{unitsFile, `size: "65"`, `size: "80"`}}, roots: []string{"*size"},
		moves: []string{"theoretical", "travel", "joints.head.torque", "idler_force", "life", "catch"}, stays: []string{"thickness", "mu", "difference", "touch"}},
	{name: "bolt grade of the head", edits: []edit{{ringFile, "thread: M12, circle: 220 mm", `thread: M12, circle: 220 mm, grade: "10.9"`}}, roots: []string{"joints.head.grade"},
		moves: []string{"joints.head.torque", "joints.head.first_pass", "joints.head.yield_used"}, stays: []string{"joints.seal_holder.torque", "travel", "life"}},
	{name: "condition of the head's threads", edits: []edit{{ringFile, "thread: M12, circle: 220 mm", `thread: M12, circle: 220 mm, condition: anti-seize`}}, roots: []string{"joints.head.condition"},
		moves: []string{"joints.head.torque", "joints.head.aim", "joints.head.friction", "joints.head.yield_used"}, stays: []string{"joints.head.load", "joints.head.left"}},
	{name: "material of the casing", edits: []edit{{unitsFile, "single spring, thrust_bearing: ball, bushing: carbon graphite, bushing_groove: false, relief_valve: on-head, casing: ductile iron", "single spring, thrust_bearing: ball, bushing: carbon graphite, bushing_groove: false, relief_valve: on-head, casing: stainless steel"}},
		roots: []string{"built.casing"}, moves: []string{"grown", "bracket_force", "bracket_before", "running_clearance"}, stays: []string{"idler_force", "bracket_bore", "joints.head.torque"}},
	{name: "speed", edits: []edit{{unitsFile, "speed: 280 rpm", "speed: 290 rpm"}}, roots: []string{"duty.speed"},
		moves: []string{"theoretical", "delivered", "life", "sliding", "seal_pv", "pump_power", "drive_power", "power_share", "worn_flow"},
		stays: []string{"slip_new", "reynolds", "face_load", "thrust", "clearance"}},
	{name: "outlet pressure", edits: []edit{{unitsFile, "outlet: 6 bar", "outlet: 5 bar"}}, roots: []string{"duty.outlet"},
		moves: []string{"difference", "slip_new", "reynolds", "thrust", "life", "face_load", "pump_power"}, stays: []string{"theoretical", "clearance", "thickness", "sliding", "inlet_boils"}},
	{name: "end clearance to set", edits: []edit{{ringFile, "{set: 0.10 mm, low: 0.08 mm, high: 0.12 mm", "{set: 0.11 mm, low: 0.08 mm, high: 0.12 mm"}}, roots: []string{"end_clearance.set"},
		moves: []string{"clearance", "clearance_band", "travel", "turn", "running_clearance", "slip_new"}, stays: []string{"grown", "made", "worn_running", "back_off_travel"}},
	{name: "a reading of the history", edits: []edit{{unitsFile, "idler_pin_diameter: 31.94 mm", "idler_pin_diameter: 31.93 mm"}}, roots: []string{"2025-03-04 K-21190 as_left", "features.idler_pin_diameter.last"},
		moves: []string{"features.idler_pin_diameter.rate", "features.idler_pin_diameter.forecast"}, stays: []string{"features.idler_pin_diameter.keep", "features.end_clearance.rate"}},
}

// root reports whether a change changes a recorded name itself.
func (c *change) root(name string) bool {
	return slices.ContainsFunc(c.roots, func(r string) bool {
		if r == "*size" { // all but what other records say, and readings, which begin with their day
			first, _, dotted := strings.Cut(name, ".")
			if digit.MatchString(name[:1]) || strings.HasSuffix(name, ".last") {
				return false
			}
			return !dotted || !slices.Contains([]string{"site", "duty", "liquid", "built", "piping", "drive"}, first)
		}
		return name == r || strings.HasSuffix(r, ".") && strings.HasPrefix(name, r)
	})
}

// hangs gives the entries that hang on what a change changes, by the inputs that
// their formulas name, however far back.
func (c *change) hangs(all ...map[string]packet.Entry) map[string]bool {
	on := map[string]bool{}
	for grew := true; grew; {
		grew = false
		for _, entries := range all {
			for name, e := range entries {
				if on[name] {
					continue
				}
				yes := e.Recorded && c.root(name)
				for _, in := range e.Inputs {
					base := in.Name
					for _, end := range []string{".low", ".high", ".target"} {
						base = strings.TrimSuffix(base, end)
					}
					yes = yes || in.At != (packet.Place{}) && c.root(in.Name) || on[base]
				}
				if yes {
					on[name], grew = true, true
				}
			}
		}
	}
	return on
}

// differs reports whether a number is another one.
func differs(a, b packet.Entry) bool {
	same := func(x, y *float64) bool { return (x == nil) == (y == nil) && (x == nil || *x == *y) }
	return a.Printed != b.Printed || a.Exactly != b.Exactly || !same(a.SI, b.SI) || !same(a.Low, b.Low) || !same(a.High, b.High)
}

// TestOneInputMovesWhatHangsOnIt puts one input of a unit another way and holds the
// numbers that change to those whose formulas name it. testdata/depends.txt lists
// them: "moves", "appears" and "vanishes" by a condition, and "stays", which hangs
// on the input but is governed by another limit or goes by steps.
func TestOneInputMovesWhatHangsOnIt(t *testing.T) {
	var golden strings.Builder
	base := os.DirFS(workedDir + "metric")
	before := entries(open(t, base).packet(t, "P-214", "rebuild-bracket-bushing"))
	for _, c := range changes {
		after := entries(open(t, edited(t, base, c.edits...)).packet(t, "P-214", "rebuild-bracket-bushing"))
		hangs := c.hangs(before, after)
		found := map[string][]string{}
		names := maps.Clone(before)
		maps.Copy(names, after)
		for _, name := range slices.Sorted(maps.Keys(names)) {
			a, was := before[name]
			b, is := after[name]
			switch {
			case !is:
				found["vanishes"] = append(found["vanishes"], name)
			case !was:
				found["appears"] = append(found["appears"], name)
			case differs(a, b):
				found["moves"] = append(found["moves"], name)
				if !hangs[name] {
					t.Errorf("%s: %s moves from %s to %s, and nothing in its working says why", c.name, name, a.Exactly, b.Exactly)
				}
			case hangs[name]:
				found["stays"] = append(found["stays"], name)
			}
		}
		for _, n := range c.moves {
			if !slices.Contains(found["moves"], n) {
				t.Errorf("%s: %s does not move", c.name, n)
			}
		}
		for _, n := range c.stays {
			if slices.Contains(found["moves"], n) || before[n].Name == "" && n != "boils_at" {
				t.Errorf("%s: %s moves or is not there", c.name, n)
			}
		}
		fmt.Fprintf(&golden, "%s\n", c.name)
		for _, what := range []string{"moves", "appears", "vanishes", "stays"} {
			for _, n := range found[what] {
				fmt.Fprintf(&golden, "  %s %s\n", what, n)
			}
		}
	}
	const file = "testdata/depends.txt"
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(golden.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if golden.String() != string(want) {
		t.Errorf("what moves differs from %s (-args -update writes it):\n%s", file, golden.String())
	}
}
