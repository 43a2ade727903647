package compute

import (
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// own is a procedure of the site's own that names things in every way.
const own = `procedure: names
title: Names
revision: "1"
language: en
values:
  last: {what: L, is: 'joints["head"].torque.target + band.low', source: S, show: nearest 1 N.m}
  component: {what: C, is: 'built.seal == "component" ? band.low : band.high', show: nearest 1 N.m}
  band: {what: B, low: 'joints.head.torque.low / 2', high: 'joints.head.torque.high', source: S, instrument: torque wrench}
  ready: {what: R, is: 'features.idler_pin_diameter.keep + features.idler_pin_diameter["reject_below"]', source: S, show: nearest 0.001 mm}
  hidden: {what: H, is: 'none(liquid.flash_point) and not known(features.nowhere_at_all.last)', show: text}
  wanting: {what: W, is: features.nowhere_at_all.new, show: nearest 0.001 mm}
  neither: {what: N, is: wanting * 2, source: S, show: nearest 0.001 mm}
each_joint:
  aim: {what: A, is: 'q("1 N.m") * joint.count', source: S}
  torque: {what: T, low: joint.aim * 0.5, high: joint.aim * 2, target: joint.aim, source: S, instrument: torque wrench}
  pass: {what: P, is: joint.torque * joint.pass_1, source: S, show: nearest 1 N.m}
each_feature:
  keep: {what: K, is: feature.new - instrument.uncertainty, source: S, show: nearest 0.001 mm}
stages:
  - stage: See
    steps: [{do: "See {last}, {component}, {band}, {ready}, {hidden}, {neither} and {joints.head.torque}."}]
`

// compiled reads the demo site with a procedure of its own.
func compiledSite(t testing.TB, own string) (*Plans, *record.Book, diag.List) {
	t.Helper()
	files := fstest.MapFS{"procedures/names.yaml": {Data: []byte(own)}}
	demo := os.DirFS("../../samples/soapworks")
	err := fs.WalkDir(demo, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(demo, path)
		files[path] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	book, _ := record.Load(files, templates.FS, record.Options{})
	lib, problems := procedure.Load(files, templates.FS, procedure.Options{})
	catalogue, _ := words.Load(nil, templates.FS, "en", nil)
	c, list := Compile(book, lib, catalogue)
	return c, book, append(problems, list...)
}

// numbersFor begins the numbers of a unit by the procedure.
func numbersFor(t testing.TB, c *Plans, unit string) *Numbers {
	t.Helper()
	known := func(s string) record.Text { return record.Text{S: s, At: diag.Pos{File: "test", Line: 1, Col: 1}} }
	n, problems := c.Job(&record.Job{ID: known("K-1"), Unit: known(unit), Procedure: known("names"), Day: known("2026-11-30")})
	if n == nil {
		t.Fatal(problems)
	}
	return n
}

// However a name is written it means the same, and a quoted word means nothing.
func TestNamesAreResolvedOnce(t *testing.T) {
	c, _, problems := compiledSite(t, own)
	if list := slices.DeleteFunc(problems, func(p diag.Problem) bool { return p.Severity != diag.Error }); len(list) > 0 {
		t.Fatal(list)
	}
	n := numbersFor(t, c, "P-214") // 8 bolts, a component seal, an idler pin of 32 mm that is rejected below 31.90 mm
	for name, want := range map[string]float64{"last": 8 + 2, "component": 2, "joints.head.torque": 8, "joints.head.torque.low": 4, "joints.head.torque.high": 16, "joints.head.aim": 8, "band": 0} {
		r := c.plans["names"].named[name]
		if r == nil {
			r = (&names{recorded: c.recorded, plan: c.plans["names"]}).find(name, procedure.Single)
		}
		if r == nil || r.value == nil {
			t.Errorf("%s stands for %+v", name, r)
			continue
		}
		res := n.Result(r.value, r.of("").member)
		switch got := res.at(r.end); {
		case want == 0 && got != nil:
			t.Errorf("%s = %v, want none", name, got.SI)
		case want != 0 && (got == nil || got.SI < want-1e-9 || got.SI > want+1e-9):
			t.Errorf("%s = %+v, want %v", name, got, want)
		}
	}
	if res := n.ResultNamed("neither"); !slices.Equal(res.Lacks(), []string{"features.nowhere_at_all.new"}) || res.Known() || res.Without {
		t.Errorf("neither lacks %q", res.Lacks())
	}
	if res := n.ResultNamed("ready"); !res.Known() || n.Text(res) == "" {
		t.Errorf("ready lacks %q", res.Lacks())
	}
	if n.ResultNamed("liquid.name") != nil || n.ResultNamed("elephant") != nil {
		t.Error("what is not computed has a result")
	}
	values := map[string]*Value{}
	for g, list := range c.plans["names"].order {
		for _, v := range list {
			values[v.Full("")] = v
			if v.Group != procedure.Group(g) {
				t.Errorf("%s is in group %d", v.Full(""), g)
			}
		}
	}
	for name, want := range map[string]bool{"joint.pass": true, "joint.torque": false, "last": false} {
		if values[name].OfPass() != want {
			t.Errorf("%s of a pass: %t", name, !want)
		}
	}
	if shown := n.Shown(procedure.PerJoint); len(shown) != 2 || shown[0].Name != "torque" {
		t.Errorf("%d values of joints have a column", len(shown))
	}
}

// A working names its inputs in full, and a place where each is recorded.
func TestWorkingNamesInputsInFull(t *testing.T) {
	c, _, _ := compiledSite(t, own)
	n := numbersFor(t, c, "P-214")
	n.Named("last")
	n.Named("ready")
	got := map[string][]string{}
	at := map[string]packet.Place{}
	for _, e := range n.Working() {
		for _, in := range e.Inputs {
			got[e.Name] = append(got[e.Name], in.Name)
			at[in.Name] = in.At
		}
	}
	for name, want := range map[string]string{
		"last":                             "band.low joints.head.torque.target",
		"joints.head.torque":               "joints.head.aim",
		"joints.head.aim":                  "joints.head.count",
		"features.idler_pin_diameter.keep": "features.idler_pin_diameter.new features.idler_pin_diameter.instrument.uncertainty",
		"ready":                            "features.idler_pin_diameter.keep features.idler_pin_diameter.reject_below",
		"band":                             "joints.head.torque.low joints.head.torque.high",
	} {
		if strings.Join(got[name], " ") != want {
			t.Errorf("%s takes %q, want %q", name, got[name], want)
		}
	}
	for _, name := range []string{"joints.head.count", "features.idler_pin_diameter.new", "features.idler_pin_diameter.reject_below"} {
		if at[name].Line == 0 {
			t.Errorf("%s is recorded nowhere", name)
		}
	}
}

// What a name does not mean is told, with the nearest that means something.
func TestWrongNames(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"{last}", "{joint.torque} {last}", "nothing is named joint.torque"},
		{"{last}", "{joints.head} {last}", "nothing is named joints.head"},
		{"{last}", "{component.low} {last}", ""},
		{"{last}", "{lasst} {last}", `nothing is named lasst [unknown-name]
    hint: did you mean last?`},
		{"{last}", "{joints.head.torque.top} {last}", "nothing is named joints.head.torque.top"},
		{"is: joint.torque * joint.pass_1", "is: joint.torque * feature.new", `unknown name "feature.new"`},
		{"is: joint.torque * joint.pass_1", "is: joint.torque * joint.pass_4", `unknown name "joint.pass_4"`},
		{"is: wanting * 2", "is: wanting * instrument.resolution / q(\"1 mm\")", `unknown name "instrument.resolution"`},
		{"is: wanting * 2", "is: wanting * joint.torque", `unknown name "joint.torque"`},
		{"is: wanting * 2", "is: wanting * band", "band stands for more than one value"},
		{"is: wanting * 2", "is: wanting.low * 2", `unknown name "wanting.low"`},
		{"  wanting: {", "  end_clearance.set: {", "cannot be the name of a value"},
		{"  pass: {", "  fraction: {", "joint.fraction is already the name of something on record"},
		{"is: wanting * 2, source: S", "is: wanting * 2", "neither is computed by no function and names no source"},
		{"low: joint.aim * 0.5", "low: 0.5", "and number in the same band"},
		{"joints.head.torque}", "joints.haed.torque}", "no design on record has joints.haed"},
	} {
		if !strings.Contains(own, c.old) {
			t.Fatalf("no %q", c.old)
		}
		_, _, problems := compiledSite(t, strings.Replace(own, c.old, c.new, 1))
		said := ""
		for _, p := range problems {
			said += p.String() + "\n"
		}
		if !strings.Contains(said, c.want) {
			t.Errorf("%s: %s\nwant %s", c.new, said, c.want)
		}
	}
}

// The scope lists for hints just what it gives a type.
func TestScopeListsItsNames(t *testing.T) {
	c, book, _ := compiledSite(t, own)
	k := &names{recorded: c.recorded, plan: c.plans["names"], members: membersOf(book)}
	for in, want := range map[procedure.Group][]string{
		procedure.Single:     {"duty.speed", "unit.id", "joints.head.torque.low", "joints.head.torque", "joints.head.count", "last", "features.idler_pin_diameter.keep"},
		procedure.PerJoint:   {"joint.torque.high", "joint.aim", "joint.recorded.low", "last"},
		procedure.PerFeature: {"feature.new", "instrument.uncertainty", "feature.keep"},
	} {
		have := scope{k, in, quantity.KindLength}.Names()
		for _, name := range want {
			if !slices.Contains(have, name) {
				t.Errorf("group %d does not list %s", in, name)
			}
		}
		for _, name := range have {
			if _, ok := (scope{k, in, quantity.KindLength}).Type(name); !ok {
				t.Errorf("group %d lists %s, which has no type", in, name)
			}
		}
		for _, not := range []string{"band", "joint.torque", "feature.new", "instrument.resolution", "last.low"} {
			_, ok := scope{k, in, quantity.KindLength}.Type(not)
			if local := strings.HasPrefix(not, "joint.") && in == procedure.PerJoint || !strings.HasPrefix(not, "joint.") && in == procedure.PerFeature && not != "band" && not != "last.low"; ok != local {
				t.Errorf("group %d: %s: %t", in, not, ok)
			}
		}
	}
	if typ, _ := (scope{k, procedure.Single, quantity.KindLength}).Type("last"); typ.Sort != formula.Quantity {
		t.Error(typ)
	}
}
