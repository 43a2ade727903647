package compute

import (
	"maps"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// read is a procedure of the site's own with numbers that can and cannot be read.
const read = `procedure: names
title: Names
revision: "1"
language: en
values:
  sound: {what: A, low: 'q("8.00 mm")', high: 'q("8.04 mm")', source: S, instrument: outside micrometer}
  narrow: {what: B, low: 'q("8.015 mm")', high: 'q("8.025 mm")', source: S, instrument: outside micrometer}
  unsure: {what: C, low: 'q("8.00 mm")', high: 'q("8.05 mm")', source: S, instrument: vernier caliper}
  shown: {what: D, low: 'q("8.00 mm")', high: 'q("8.03 mm")', source: S, show: 0.01 mm or 0.0005 in}
  nothing: {what: E, is: 'q("23.7 mm")', source: S, show: nearest 500 mm}
  limit: {what: F, high: 'q("0.008 mm")', source: S, instrument: dial indicator}
  turned: {what: G, low: 'q("14.90 N.m")', high: 'q("16.10 N.m")', source: S, instrument: torque wrench, finer: small torque wrench}
  gap: {what: I, low: 'q("0.08 mm")', high: 'q("0.12 mm")', source: S, instrument: feeler gauge}
  runout: {what: J, high: 'q("0.05 mm")', source: S, instrument: outside micrometer}
  share: {what: H, high: "1", target: 'q("62.1 %")', source: S, show: up 1 %}
stages:
  - stage: See
    steps:
      - do: "See {sound}, {narrow}, {unsure}, {shown}, {nothing}, {limit}, {turned}, {gap}, {runout}, {share}, {assemblies.relief_valve.mass}, {pump.mass}."
        blanks:
          - {label: A, low: sound, high: sound, instrument: vernier caliper}
          - {label: B, low: narrow, high: narrow, instrument: outside micrometer}
          - {label: C, low: sound, high: sound, instrument: fine outside micrometer}
`

// What cannot be read as it prints is refused at the line that says with what it is
// read, with instruments that would do.
func TestWhatCannotBeReadIsRefused(t *testing.T) {
	c, _, _ := compiledSite(t, read)
	for _, want := range []struct {
		name, rule, at, says, hint string // no rule where it is sound
	}{
		{name: "sound"},
		{"narrow", "band-unreadable", "procedures/names.yaml:7:89", "outside micrometer: the band of 10 µm holds 1 reading of 0.01 mm", "take fine outside micrometer; or"},
		{"unsure", "band-unreadable", "procedures/names.yaml:8:87", "vernier caliper: the band of 50 µm", "bore gauge"},
		{"shown", "coarse-show", "procedures/names.yaml:9:80", "holds 4 readings of 0.01 mm", "finer grain"},
		{"nothing", "coarse-show", "procedures/names.yaml:10:59", "nothing is 23.7 mm, and rounding makes it 0 mm", "finer grain"},
		{"limit", "coarse-show", "procedures/names.yaml:11:66", "limit is 0.008 mm, and rounding makes it 0.00 mm", "finer grain"},
		{name: "turned"}, {name: "gap"}, {name: "runout"}, {name: "share"},
	} {
		n := numbersFor(t, c, "P-214")
		n.Named(want.name)
		if want.rule == "" {
			if len(n.Problems) > 0 {
				t.Errorf("%s: %s", want.name, n.Problems)
			}
			continue
		}
		if len(n.Problems) != 1 {
			t.Errorf("%s: %d problems: %v", want.name, len(n.Problems), n.Problems)
			continue
		}
		p := n.Problems[0]
		if message := strings.ReplaceAll(p.Message, "\u00a0", " "); p.Rule != want.rule || p.Pos.String() != want.at || !strings.Contains(message, want.says) || !strings.Contains(message, "P-214") || !strings.Contains(p.Hint, want.hint) {
			t.Errorf("%s: %s", want.name, p)
		}
	}
}

// What the show of a built-in procedure is too coarse for prints to a finer grain; the
// site could not mend the line.
func TestBuiltInShowsAreRefined(t *testing.T) {
	for builtIn, want := range map[bool]string{true: "24 mm", false: "0 mm"} {
		c, _, _ := compiledSite(t, read)
		named(c.plans["names"], "nothing").BuiltIn = builtIn
		n := numbersFor(t, c, "P-214")
		if got := strings.ReplaceAll(n.Named("nothing").String(), "\u00a0", " "); got != want || n.Problems.HasErrors() == builtIn {
			t.Errorf("built in %t: %q, %v", builtIn, got, n.Problems)
		}
	}
}

// What stands in brackets is not read: it is left out where it is too coarse, and
// nothing is refused for it.
func TestBracketsAreNotRead(t *testing.T) {
	c, _, _ := compiledSite(t, read)
	c.book.Site.Units = quantity.SystemsNamed("both")
	n := numbersFor(t, c, "P-214")
	if n.Named("runout"); len(n.Problems) > 0 {
		t.Error(n.Problems)
	}
}

// A blank is held to its own instrument; the value's own has been said of the value.
func TestBlanksAreHeldToTheirInstrument(t *testing.T) {
	c, _, _ := compiledSite(t, read)
	blanks := c.plans["names"].proc.Stages[0].Steps[0].Blanks
	for i, want := range []string{"procedures/names.yaml:21:61", "", ""} {
		n := numbersFor(t, c, "P-214")
		n.ToolOf(&blanks[i])
		got := ""
		if len(n.Problems) > 0 {
			got = n.Problems[0].Pos.String()
		}
		if got != want {
			t.Errorf("blank %d: %v", i, n.Problems)
		}
	}
}

// A band that the large wrench cannot read is set with the small one, and a share of a
// strength prints alone, rounded the way that it says.
func TestHowValuesPrint(t *testing.T) {
	c, _, _ := compiledSite(t, read)
	for units, want := range map[string]map[string]string{
		"metric":        {"turned": "14.9 to 16.1 N·m", "share": "63 %", "sound": "8.00 to 8.04 mm", "assemblies.relief_valve.mass": "6.0 kg", "pump.mass": "95.0 kg"},
		"us":            {"turned": "132 to 142 in·lbf", "sound": "0.3150 to 0.3165 in", "gap": "0.08 to 0.12 mm", "assemblies.relief_valve.mass": "14 lb", "pump.mass": "210 lb"},
		"both":          {"runout": "at most 0.05 mm", "turned": "14.9 to 16.1 N·m (132 to 142 in·lbf)", "sound": "8.00 to 8.04 mm (0.3150 to 0.3165 in)"},
		"us and metric": {"turned": "132 to 142 in·lbf (14.9 to 16.1 N·m)", "sound": "0.3150 to 0.3165 in (8.00 to 8.04 mm)"},
	} {
		c.book.Site.Units = quantity.SystemsNamed(units)
		n := numbersFor(t, c, "P-214")
		for name, text := range want {
			if got := strings.ReplaceAll(n.Named(name).String(), "\u00a0", " "); got != text {
				t.Errorf("%s, %s: %q, want %q", units, name, got, text)
			}
		}
		if tool := n.ResultNamed("turned").Tool().Name; tool != "small torque wrench" {
			t.Errorf("it is set with the %s", tool)
		}
	}
}

// An amount that a text states in both systems stands there once where the page has one.
func TestAmountsInTexts(t *testing.T) {
	c, _, _ := compiledSite(t, read)
	text := procedure.Text{Parts: []procedure.Part{{Literal: "Within 5 K (9 °F), at "}, {Name: "share"}}}
	for units, want := range map[string]string{"metric": "Within 5 K, at 63 %", "us": "Within 9 °F, at 63 %", "both": "Within 5 K (9 °F), at 63 %"} {
		c.book.Site.Units = quantity.SystemsNamed(units)
		if got := strings.ReplaceAll(numbersFor(t, c, "P-214").Say(text).String(), "\u00a0", " "); got != want {
			t.Errorf("%s: %q", units, got)
		}
	}
}

// Of every unit of the demo the lock nut can be turned on to the next slot within its
// band: no mechanic can hold one that its washer does not allow.
func TestLockNutsCanBeSet(t *testing.T) {
	c, book, _ := compiledSite(t, read)
	known := func(s string) record.Text { return record.Text{S: s, At: diag.Pos{File: "test", Line: 1, Col: 1}} }
	for id, u := range book.Units {
		if !c.Fits(u, "rebuild-component-seal") {
			continue
		}
		n, problems := c.Job(&record.Job{ID: known("K-1"), Unit: known(id), Procedure: known("rebuild-component-seal"), Day: known("2026-11-30")})
		if n == nil {
			t.Fatal(problems)
		}
		room, turn := n.ResultNamed("nut_room"), n.ResultNamed("nut_turn")
		if room == nil {
			t.Fatalf("%s: no nut_room", id)
		}
		if turn == nil {
			turn = n.Result(named(c.plans["rebuild-component-seal"], "nut_turn"), "")
		}
		if a, b := room.got[procedure.Whole].SI, turn.got[procedure.Whole].SI; a < b {
			t.Errorf("%s: the band holds %.2f degrees of turn, and the next slot is up to %.2f away", id, a*57.3, b*57.3)
		}
	}
}

// named gives a value of a plan by name, whether a text names it or not.
func named(pl *plan, name string) *Value {
	for v := range maps.Values(pl.values) {
		if v.Full("") == name {
			return v
		}
	}
	return nil
}
