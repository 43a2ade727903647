package compute

import (
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
)

// A letter of a formula stands for a name that the formula takes, of the member in hand
// as anywhere; any other is an error at its place, and so are letters of no formula.
func TestLetters(t *testing.T) {
	pass := `{what: P, is: joint.torque * joint.pass_1, source: S, show: nearest 1 N.m}`
	with := func(more string) string {
		return strings.Replace(own, pass, strings.TrimSuffix(pass, "}")+", "+more+"}", 1)
	}
	errorsOf := func(own string) string {
		_, _, problems := compiledSite(t, own)
		said := ""
		for _, p := range problems {
			if p.Severity == diag.Error {
				said += p.String() + "\n"
			}
		}
		return said
	}
	for more, want := range map[string]string{
		"reads: T · p, letters: {T: joint.torque, p: joint.pass_1}": "",
		"reads: T · p":                                       "",
		"reads: T · p, letters: {T: joint.aim}":              "procedures/names.yaml:16:111: error: the formula of joint.pass takes no joint.aim, for which the letter T stands",
		"reads: T · p, letters: {T: joint.tork}":             "takes no joint.tork",
		"reads: T · p, letters: {T: joints.head.torque.low}": "takes no joints.head.torque.low",
		"letters: {T: joint.torque}":                         "the value pass has letters and no formula that they stand in",
	} {
		if got := errorsOf(with(more)); want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q", more, got, want)
		}
	}

	c, _, _ := compiledSite(t, with("reads: T · p, letters: {T: joint.torque, p: joint.pass_1}"))
	n := numbersFor(t, c, "P-214")
	r := (&names{recorded: c.recorded, plan: c.plans["names"]}).find("joints.head.pass", procedure.Single)
	n.Number(n.Result(r.value, r.of("").member), procedure.Whole)
	e := n.Entry("joints.head.pass")
	if e == nil || e.Reads != "T · p" {
		t.Fatalf("the entry is %+v", e)
	}
	for _, in := range e.Inputs {
		if want := map[string]string{"joints.head.torque": "T", "joints.head.pass_1": "p"}[in.Name]; want == "" || in.Letter != want {
			t.Errorf("%s has the letter %q, want %q", in.Name, in.Letter, want)
		}
	}
}
