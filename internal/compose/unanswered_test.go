package compose_test

import (
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// An input out of a formula's range is told once, at its own line, by the value
// whose formula it is, whatever else hangs on that value; what contributed is named.
func TestOutOfRangeIsToldOnce(t *testing.T) {
	s := open(t, demo(t, "soapworks", edit{"units/saponification.yaml", "duty: {liquid: lye-50, temperature: 60 degC, inlet: 0.2 bar, outlet: 6 bar, speed: 280 rpm", "duty: {liquid: lye-50, temperature: -60 degC, inlet: 0.2 bar, outlet: 6 bar, speed: 280 rpm"}))
	known := func(v string) record.Text { return record.Text{S: v, At: diag.Pos{File: "test", Line: 1, Col: 1}} }
	p, problems := s.composer.Make(&record.Job{ID: known("K-1"), Unit: known("P-214"), Procedure: known("reset-end-clearance"), Day: known("2026-11-30"), At: diag.Pos{File: "test", Line: 1}})
	if p != nil {
		t.Fatal("the packet is made")
	}
	about := slices.DeleteFunc(problems.Sorted(), func(d diag.Problem) bool { return !strings.Contains(d.Message, "viscosity_between") })
	if len(about) != 1 {
		t.Fatalf("%d problems, not one: %v", len(about), about)
	}
	d := about[0]
	if d.Pos.File != "units/saponification.yaml" || d.Pos.Line != 10 || d.Pos.Col != 37 {
		t.Errorf("it is told at %s", d.Pos)
	}
	if !strings.Contains(d.Message, "thickness: ") {
		t.Errorf("it does not name the value whose formula it is: %s", d.Message)
	}
	if !slices.ContainsFunc(d.Related, func(at diag.Pos) bool { return at.File == "liquids/caustic.yaml" }) || slices.Contains(d.Related, d.Pos) {
		t.Errorf("the other inputs are %v", d.Related)
	}
}
