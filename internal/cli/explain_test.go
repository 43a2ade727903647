package cli

import (
	"encoding/json"
	"io/fs"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/templates"
)

// said runs a command and gives what it prints.
func said(t *testing.T, wantCode int, args ...string) (out, errs string) {
	t.Helper()
	o := jobsheaf(args...)
	if o.code != wantCode {
		t.Fatalf("jobsheaf %s: exit code %d, want %d: %s", strings.Join(args, " "), o.code, wantCode, o.err)
	}
	return o.out, o.err
}

// Every function that templates may call is listed with the kinds of its
// arguments, its formula, range and source, for people and for programs alike.
func TestFunctionsAreListed(t *testing.T) {
	text, _ := said(t, 0, "explain", "--functions")
	raw, _ := said(t, 0, "explain", "--functions", "--json")
	var list []struct{ Signature, What, Formula, Range, Source string }
	if err := json.Unmarshal([]byte(raw), &list); err != nil {
		t.Fatal(err)
	}
	all := formula.Functions()
	if len(list) != len(all) || len(all) < 70 {
		t.Fatalf("%d functions are listed, there are %d", len(list), len(all))
	}
	signature := regexp.MustCompile(`^[a-z_0-9]+\(([a-z_0-9]+: [a-z -]+)(, [a-z_0-9]+: [a-z -]+)*\) [a-z -]+$`)
	for i, f := range all {
		got := list[i]
		if !strings.HasPrefix(got.Signature, f.Name+"(") || !signature.MatchString(got.Signature) || strings.Count(got.Signature, ": ") != len(f.Args) {
			t.Errorf("%s is listed as %q", f.Name, got.Signature)
		}
		for _, s := range []string{got.Signature, got.What, got.Formula, got.Range, got.Source} {
			if s == "" || !strings.Contains(text, s) {
				t.Errorf("%s: the list for people lacks %q", f.Name, s)
			}
		}
	}
}

// A template that calls functions takes them from the list: each one that the
// built-in templates call is there, and they call functions of every topic.
func TestTemplatesCallListedFunctions(t *testing.T) {
	called := map[string]bool{}
	call := regexp.MustCompile(`\b([a-z][a-z0-9_]*)\(`)
	err := fs.WalkDir(templates.FS, "procedures", func(file string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(file) != ".yaml" {
			return err
		}
		text, err := fs.ReadFile(templates.FS, file)
		for _, m := range call.FindAllStringSubmatch(string(text), -1) {
			called[m[1]] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, f := range formula.Functions() {
		if called[f.Name] {
			n++
		}
	}
	for _, one := range []string{"torque", "arc_travel", "limit_low", "guard_high", "pump_slip", "viscosity_at", "bearing_life", "weight_limit", "hydraulic_power"} {
		if !called[one] || !slices.ContainsFunc(formula.Functions(), func(f quantity.Function) bool { return f.Name == one }) {
			t.Errorf("no template calls %s", one)
		}
	}
	if n < 35 {
		t.Errorf("the templates call %d functions", n)
	}
}

// explain prints the working of one number, for people and for programs, and says
// what it knows where a name is not one.
func TestExplain(t *testing.T) {
	site := "../../samples/soapworks"
	text, _ := said(t, 0, "explain", "P-214", "travel", "--site", site)
	for _, want := range []string{"travel: Travel from mark to mark", "printed ", "exactly ", "formula   arc_travel(to_set, housing.diameter, housing.lead)",
		"from      D housing.diameter = 140 mm  (designs/ring-gear-b.yaml:", "source    s = π D c / lead"} {
		if !strings.Contains(text, want) {
			t.Errorf("explain lacks %q:\n%s", want, text)
		}
	}
	raw, _ := said(t, 0, "explain", "P-214", "clearance", "features.idler_pin_diameter.keep", "--site", site, "--json")
	var got struct {
		Unit, Procedure string
		Values          []packet.Entry
	}
	if err := json.Unmarshal([]byte(raw), &got); err != nil {
		t.Fatal(err)
	}
	if got.Unit != "P-214" || len(got.Values) != 2 || got.Values[0].SI == nil || got.Values[0].Governed == "" || got.Values[1].Printed == "" {
		t.Errorf("explain --json gives %+v", got)
	}
	early, _ := said(t, 0, "explain", "P-214", "features.idler_pin_diameter.last", "--site", site, "--day", "2024-06-01")
	if !strings.Contains(early, "31.96\u00a0mm\n") { // as left on 2024-04-22; the year after it was 31.94 mm
		t.Errorf("the history does not end with the day that was asked for:\n%s", early)
	}
	for _, c := range []struct {
		args []string
		say  string
	}{
		{[]string{"explain"}, "name a unit"},
		{[]string{"explain", "P-999", "--site", site}, `no unit "P-999"`},
		{[]string{"explain", "P-214", "travl", "--site", site}, "did you mean travel?"},
		{[]string{"explain", "P-214", "--site", site, "--day", "tomorrow"}, "write year-month-day"},
	} {
		if _, errs := said(t, 2, c.args...); !strings.Contains(errs, c.say) {
			t.Errorf("%q says %q, want %q", c.args, errs, c.say)
		}
	}
}

// explain --terms lists what may be on record of a kind of machine, each term once with its
// kind and range, and what templates name beside it.
func TestExplainTerms(t *testing.T) {
	site := filepath.Join("..", "..", "testdata", "elevator")
	out, _ := said(t, 0, "explain", "--terms", "bucket-elevator", "--site", site)
	out = strings.ReplaceAll(out, "\u00a0", " ")
	for _, want := range []string{
		"leg.height\n    Height of the leg\n    a quantity (length): 1 m to 80 m\n", "unit.tower\n    Tower in which it stands\n    words: north, south\n",
		"built.loaded_leg\n    Buckets stay full when it is stopped\n    true or false\n", "steel rule", "eye-protection", "    torque: N·m",
	} {
		if strings.Count(out, want) != 1 {
			t.Errorf("%q stands %d times in\n%s", want, strings.Count(out, want), out)
		}
	}
	for _, not := range []string{"duty.relief_set", "piping.drive_point.low"} {
		if strings.Contains(out, not+"\n") {
			t.Errorf("%s is no term of the kind", not)
		}
	}
	if all, _ := said(t, 0, "explain", "--terms", "--site", site); !strings.Contains(all, "duty.relief_set\n") || !strings.Contains(all, "leg.height\n") {
		t.Error("a kind's terms are missing among all")
	}
	if _, errs := said(t, 2, "explain", "--terms", "bucket-elevater", "--site", site); !strings.Contains(errs, "did you mean bucket-elevator") {
		t.Errorf("a kind misspelt: %s", errs)
	}
}
