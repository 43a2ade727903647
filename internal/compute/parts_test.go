package compute

import (
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// A part that wears the other way is without a limit; of one that has none on record
// the limit is missing.
func TestLimits(t *testing.T) {
	some := record.Amount{Text: record.Text{S: "1 mm"}, Value: quantity.Of(1e-3, quantity.KindLength)}
	some.At.Line = 1
	for _, c := range []struct {
		limit, other   record.Amount
		known, without bool
	}{{some, some, true, false}, {some, record.Amount{}, true, false}, {record.Amount{}, some, false, true}, {record.Amount{}, record.Amount{}, false, false}} {
		if p := limitOf(c.limit, c.other); p.known != c.known || p.without != c.without {
			t.Errorf("%q beside %q: known %t, without %t", c.limit.S, c.other.S, p.known, p.without)
		}
	}
}

// A grain in bar prints a gauge pressure in bar(g), an absolute one in bar(a).
func TestGrainTakesTheKindOfTheValue(t *testing.T) {
	for kind, want := range map[quantity.Kind]string{quantity.KindGaugePressure: "bar(g)", quantity.KindAbsolutePressure: "bar(a)", quantity.KindPressure: "bar"} {
		show, err := quantity.ParseShow("0.1 bar or 1 psi")
		if err != nil {
			t.Fatal(err)
		}
		if u := ofKind(show, kind).Grain[quantity.Metric].Unit; u.Symbol != want || u.Kind != kind {
			t.Errorf("%s prints in %s (%s)", kind, u.Symbol, u.Kind)
		}
	}
}

// What is missing is not without, and a band that has no target has none as a whole.
func TestWithoutIsNotMissing(t *testing.T) {
	c, _, _ := compiledSite(t, own)
	n := numbersFor(t, c, "P-214")
	for name, want := range map[string][2]bool{ // known, without
		"last": {true, false}, "neither": {false, false}, "band": {false, true}, "joints.head.torque": {true, false},
	} {
		if _, ok, without := n.lookup(n.ref(name).of("")); ok != want[0] || without != want[1] {
			t.Errorf("%s: known %t, without %t", name, ok, without)
		}
	}
	res := n.ResultNamed("joints.head.torque")
	for end, want := range map[procedure.End][4]bool{
		procedure.Whole: {procedure.Low: true, procedure.High: true}, procedure.Low: {procedure.Low: true},
		procedure.High: {procedure.High: true}, procedure.Target: {procedure.Target: true},
	} {
		for i, v := range res.printedEnds(end) {
			if (v != nil) != want[i] {
				t.Errorf("for %q it prints %q: %t", end, procedure.End(i), v != nil)
			}
		}
		if res.hasNone(end) {
			t.Errorf("%q has none", end)
		}
	}
	if one := n.ResultNamed("last").printedEnds(procedure.Whole); one[procedure.Whole] == nil {
		t.Error("a value that is no band prints nothing")
	}
	if is := n.Reference("joints.head.torque", procedure.Whole); is.Digits < 1 || is.Without || len(is.Missing) > 0 {
		t.Errorf("%+v", is)
	}
	if is := n.Reference("neither", procedure.Whole); len(is.Missing) != 1 || len(is.Text) > 0 {
		t.Errorf("%+v", is)
	}
}

// A condition that cannot be decided applies, and says of what it depends; in a form
// it says only that it may apply. One that is decided says nothing.
func TestConditions(t *testing.T) {
	c, _, _ := compiledSite(t, own)
	for _, plans := range []*Plans{c, c.Forms()} {
		n := numbersFor(t, plans, "P-214")
		for text, want := range map[string][2]bool{ // applies, says something
			`built.seal == "component"`: {true, false}, `built.seal == "packing"`: {false, false}, "features.nowhere.new > q(\"1 mm\")": {true, true},
		} {
			e := formula.Parse(text, n.Job.At)
			k := &names{recorded: c.recorded, plan: n.plan, members: membersOf(n.Book)}
			f, problems := k.condition(e)
			if f == nil || len(problems) > 0 {
				t.Fatal(problems)
			}
			n.plan.forms[e] = f
			yes, only := n.Applies(e)
			if yes != want[0] || (only != nil) != want[1] {
				t.Errorf("%s: %t, %q", text, yes, only)
			}
			if _, named := n.missing["features.nowhere.new"]; only != nil && named == n.Blank {
				t.Errorf("%s: the gap is named in a form: %t", text, n.Blank)
			}
		}
	}
}

// A procedure that may be for a unit is refused where the records do not say, and made
// as a form; one that is for others is refused in both.
func TestProcedureForTheUnit(t *testing.T) {
	for text, want := range map[string][2]bool{ // made, made as a form
		`built.seal == "component"`: {true, true}, `built.seal == "packing"`: {false, false}, `features.nowhere.new > q("1 mm")`: {false, true},
	} {
		c, _, _ := compiledSite(t, strings.Replace(own, "values:", "for: '"+text+"'\nvalues:", 1))
		for i, plans := range []*Plans{c, c.Forms()} {
			known := func(s string) record.Text {
				return record.Text{S: s, At: diag.Pos{File: "test", Line: 1, Col: 1}}
			}
			n, problems := plans.Job(&record.Job{ID: known("K-1"), Unit: known("P-214"), Procedure: known("names"), Day: known("2026-11-30")})
			if (n != nil) != want[i] || n == nil && !problems.HasErrors() {
				t.Errorf("%s: made %t, %v", text, n != nil, problems)
			}
		}
	}
}
