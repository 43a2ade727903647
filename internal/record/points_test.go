package record_test

import (
	"strings"
	"testing"
)

const pointTerms = "terms:\n  piping.vent_point: {what: Vent, text: true}\n  piping.jacket_return_point: {what: Return, text: true}\n"

// The points of a unit stand ready as terms by the place where each is, two at one
// place together; nobody writes them by hand.
func TestPointsStandReady(t *testing.T) {
	files := base(t)
	files["terms.yaml"] = pointTerms
	files["units/a.yaml"] = strings.Replace(files["units/a.yaml"], "history:\n", `  - {point: V3, energy: liquid, device: vent 1, put: open and tagged, at: vent}
  - {point: V4, energy: liquid, device: vent 2, put: open and tagged, at: vent}
history:
`, 1)
	b, problems, _ := load(files)
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	u := b.Units["P-1"]
	s, ok := b.Scalar(u, "piping.vent_point")
	if !ok || s.Text != "V3, V4" || s.Written != "V3, V4" || s.At != u.Isolate[3].Point.At {
		t.Errorf("%+v", s)
	}
	if _, ok := b.Scalar(u, "piping.jacket_return_point"); ok {
		t.Error("a point that is not there stands ready")
	}
	if first, last := u.LocksOff(); strings.Join(first, " ") != "V2 V1" || strings.Join(last, " ") != "E1" {
		t.Errorf("locks off: %v, %v; what is tagged open has none", first, last)
	}
	files["units/a.yaml"] = strings.Replace(files["units/a.yaml"], "between_valves: 3.2 m}", "between_valves: 3.2 m, vent_point: V9}", 1)
	if _, problems, _ := load(files); !problems.HasErrors() {
		t.Error("a point written by hand is taken")
	}
}
