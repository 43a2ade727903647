package compute

import (
	"fmt"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"

	"github.com/rogpeppe/go-internal/txtar"
)

const asking = `procedure: ask
title: Ask
revision: "1"
language: en
values:
  band: {what: Band, low: duty.inlet, high: duty.outlet, source: S, show: nearest 0.1 bar or 1 psi}
  rise: {what: Rise, is: duty.outlet - duty.inlet, source: S, show: nearest 0.1 bar or 1 psi}
  half: {what: Half, target: readings.pin / 2, high: end_clearance.set, source: S, show: 0.01 mm or 0.0005 in}
stages:
  - stage: See
    steps:
      - do: "See {rise} and {half}."
        blanks:
          - {label: A, low: band, high: band}
          - {label: B, target: band}
          - {label: C, high: rise, unit: kPa}
          - {label: D, name: pin, unit: mm, keep: as_found pin_diameter_worn}
          - {label: E, high: end_clearance.set, keep: as_left end_clearance}
`

// What a blank for a reading asks for is what the page says of it.
func TestAskOf(t *testing.T) {
	plans, _, problems := wholeSite(t, []txtar.File{{Name: "procedures/ask.yaml", Data: []byte(asking)}})
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	at := diag.Pos{File: "test", Line: 1, Col: 1}
	known := func(s string) record.Text { return record.Text{S: s, At: at} }
	n, list := plans.Job(&record.Job{ID: known("K-1"), Unit: known("P-1"), Procedure: known("ask"), Day: known("2026-11-30"), At: at})
	if n == nil {
		t.Fatal(list)
	}
	number := func(x *float64) string {
		if x == nil {
			return "-"
		}
		return fmt.Sprint(*x)
	}
	var got []string
	step := &n.Procedure.Stages[0].Steps[0]
	for i := range step.Blanks {
		a := n.AskOf(&step.Blanks[i])
		got = append(got, fmt.Sprintf("%s to %s, last %q, keep %q", number(a.Low), number(a.High), a.Last, a.Keep))
	}
	for _, w := range n.WorkAt(step) {
		for _, b := range w.Blanks() {
			got = append(got, fmt.Sprintf("%s: %s to %s of %s", b.ID, number(b.Ask.Low), number(b.Ask.High), b.Ask.Of))
		}
	}
	want := `0.2 to 6, last "", keep ""
0.2 to 6, last "", keep ""
- to 580, last "", keep ""
- to -, last "31.95\u00a0mm, 2025-03-04", keep "as_found pin_diameter_worn"
- to 0.1, last "0.10\u00a0mm, 2025-03-04", keep "as_left end_clearance"
half.pin: - to - of 
half.target: - to 0.1 of Half`
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("got\n%s", s)
	}
}

// A reading is not kept under the name of what is of another kind.
func TestKeptAsAnotherKind(t *testing.T) {
	for keep, want := range map[string]string{
		"{label: E, high: rise, keep: as_left end_clearance}":     "procedures/ask.yaml:18:50: error: the reading is a pressure, and a history has end_clearance as a length",
		"{label: E, unit: bar, keep: as_found pin_diameter_worn}": "procedures/ask.yaml:18:50: error: the reading is a pressure, and a history has pin_diameter_worn as a length",
		"{label: E, unit: mm, keep: as_found pin_diameter_worn}":  "",
		"{label: E, unit: mm, keep: as_found nobody_has_it}":      "", // which check tells
	} {
		text := strings.Replace(asking, "{label: E, high: end_clearance.set, keep: as_left end_clearance}", keep, 1)
		_, _, problems := wholeSite(t, []txtar.File{{Name: "procedures/ask.yaml", Data: []byte(text)}})
		got := ""
		for _, p := range problems {
			if p.Rule == "keep" {
				got, _, _ = strings.Cut(p.String(), " [")
			}
		}
		if got != want {
			t.Errorf("%s: %q", keep, got)
		}
	}
}
