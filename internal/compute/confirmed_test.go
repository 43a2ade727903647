package compute

import (
	"testing"

	"jobsheaf/internal/record"
)

// What is confirmed says so in the working, with its reason: where the number stands by
// itself and where it is an input.
func TestTheWorkingSaysWhatIsConfirmed(t *testing.T) {
	c, book, _ := compiledSite(t, `procedure: names
title: Names
revision: "1"
language: en
values:
  share: {what: A, is: drive.power / drive.power, source: S, show: 1 %}
stages:
  - stage: See
    steps: [{do: "See {drive.power}, {drive.efficiency} and {share}."}]
`)
	book.Units["P-214"].Confirmed = []record.Confirmed{{Key: record.Text{S: "drive.power"}, Why: record.Text{S: "read on the nameplate"}}}
	n := numbersFor(t, c, "P-214")
	for _, name := range []string{"drive.power", "drive.efficiency", "share"} {
		n.Named(name)
	}
	for name, want := range map[string]string{"drive.power": "5.5 kW, confirmed: read on the nameplate", "drive.efficiency": "0.92"} {
		if got := n.working.of(name).Exactly; got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if got := n.working.of("share").Inputs[0].Text; got != "5.5 kW, confirmed: read on the nameplate" {
		t.Errorf("as an input it is %q", got)
	}
}
