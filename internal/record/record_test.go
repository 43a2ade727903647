package record_test

import (
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
	"jobsheaf/templates"

	"pgregory.net/rapid"
)

func TestScalarsOfAUnit(t *testing.T) {
	b, _, _ := load(base(t))
	u := b.Units["P-1"]
	for name, want := range map[string]struct {
		si     float64
		at     string
		source string
	}{
		"site.surroundings":    {298.15, "site.yaml:8:15", ""},
		"duty.outlet":          {6e5, "units/a.yaml:9:67", ""},
		"liquid.density":       {1525, "liquids/lye.yaml:10:10", "from memory"},
		"end_clearance.set":    {1e-4, "designs/a.yaml:13:26", "Drawing A, issue 1"},
		"lock_nut.torque.low":  {40, "designs/a.yaml:16:24", "Drawing A, issue 1"},
		"lock_nut.torque.high": {45, "designs/a.yaml:16:24", "Drawing A, issue 1"},
		"lock_nut.slots":       {4, "designs/a.yaml:16:43", "Drawing A, issue 1"},
	} {
		s, ok := b.Scalar(u, name)
		if !ok || s.Form != record.FormAmount || math.Abs(s.Value.SI()-want.si) > 1e-9*want.si || s.At.String() != want.at || s.Source != want.source || s.Term == nil || s.Term.Name != name {
			t.Errorf("%s: %+v %v", name, s, ok)
		}
	}
	if s, _ := b.Scalar(u, "built.seal"); s.Form != record.FormWords || s.Text != "component" {
		t.Errorf("%+v", s)
	}
	if s, _ := b.Scalar(u, "half_rings"); s.Form != record.FormYesNo || !s.Yes {
		t.Errorf("%+v", s)
	}
	// Known to be without is not the same as not on record.
	if s, ok := b.Scalar(u, "liquid.flash_point"); !ok || s.Form != record.FormNone {
		t.Errorf("%+v", s)
	}
	if s, _ := b.Scalar(u, "liquid.flash_point.none"); s.Form != record.FormYesNo || !s.Yes {
		t.Errorf("%+v", s)
	}
	if s, ok := b.Scalar(u, "liquid.boiling_point.none"); !ok || s.Yes {
		t.Errorf("%+v", s)
	}
	if _, ok := b.Scalar(b.Units["P-2"], "liquid.flash_point.none"); ok {
		t.Error("what is not on record is known")
	}
	all := map[string]record.Scalar{}
	for _, part := range []map[string]record.Scalar{b.Site.Scalars, u.Scalars, u.Liquid.Scalars, u.Size.Scalars} {
		maps.Copy(all, part)
	}
	for name, s := range all {
		if one, ok := b.Scalar(u, name); !ok || one.At != s.At {
			t.Errorf("%s is in the whole view only", name)
		}
	}
	if len(all) < 30 {
		t.Errorf("%d scalars", len(all))
	}
}

func TestSizeIsLaidOverAll(t *testing.T) {
	files := base(t)
	files["designs/a.yaml"] = strings.Replace(files["designs/a.yaml"], "all:\n", "all:\n  half_rings: false\n  housing: {lead: 3 mm}\n  displacement: 9 L\n", 1)
	files["designs/a.yaml"] = strings.Replace(files["designs/a.yaml"], "  \"10\":\n", "  \"10\":\n    source: Sheet 2\n", 1)
	b, problems, _ := load(files)
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	j := b.Designs["gear-a"].Sizes["10"].Joints["head"]
	if j.Grade.S != "8.8" || j.Grade.At.Line != 9 || j.Thread.S != "M12" || j.Thread.At.Line != 22 || j.Order != "cross" || len(j.Passes) != 3 || j.Count.Value.SI() != 8 {
		t.Errorf("%+v", j)
	}
	ten, eleven := b.Designs["gear-a"].Sizes["10"], b.Designs["gear-a"].Sizes["11"]
	if !ten.Scalars["half_rings"].Yes || eleven.Scalars["half_rings"].Yes || eleven.Scalars["housing.lead"].Value.SI() != 0.003 || ten.Scalars["housing.lead"].Value.SI() != 0.002 {
		t.Errorf("%+v %+v", ten.Scalars, eleven.Scalars)
	}
	if ten.Scalars["displacement"].Source != "Sheet 2" || eleven.Scalars["displacement"].Source != "Drawing A, issue 1" {
		t.Errorf("sources %q, %q", ten.Scalars["displacement"].Source, eleven.Scalars["displacement"].Source)
	}
}

// A faulty value of one size stops the units of that size only.
func TestFaultOfOneSize(t *testing.T) {
	files := base(t)
	files["designs/a.yaml"] = strings.Replace(files["designs/a.yaml"], "displacement: 0.6 L", "displacement: 0.6 mm", 1)
	b, problems, printed := load(files)
	if !problems.HasErrors() || len(printed) != 2 || !b.Designs["gear-a"].Sizes["11"].Broken() || b.Designs["gear-a"].Sizes["10"].Broken() || b.Designs["gear-a"].Broken() {
		t.Errorf("%v %v", printed, problems)
	}
}

// A fault of one job stops that job only.
func TestFaultOfOneJob(t *testing.T) {
	files := base(t)
	files["lists/week.yaml"] = "list: week\njobs: [{job: K-1, unit: P-1, procedure: any, day: 2026-11-31}, {job: K-2, unit: P-2, procedure: any, day: 2026-11-30}]\n"
	_, _, printed := load(files)
	if strings.Join(printed, " ") != "K-2" {
		t.Error(printed)
	}
}

func TestSiteStandsIn(t *testing.T) {
	files := base(t)
	files["instruments/x.yaml"] = "instrument: outside micrometer\nresolution: 0.001 mm or 0.0001 in\nuncertainty: 0.002 mm\nsource: calibration of our own (invented)\n---\ninstrument: thermometer\nresolution: 1 degC\nuncertainty: 2 K\nsource: from memory\n"
	files["terms.yaml"] = "terms:\n  housing.lead: {what: Lead, kind: length, from: 0.1 mm, to: 50 mm}\n  guard.count: {what: Guards, kind: number, from: 0, to: 9, whole: true}\n"
	files["designs/a.yaml"] = strings.Replace(files["designs/a.yaml"], "lead: 2 mm}", "lead: 40 mm}\n    guard: {count: 2}", 1)
	b, problems, _ := load(files)
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	if i := b.Instruments["outside micrometer"]; i.BuiltIn || math.Abs(i.Uncertainty.Value.SI()-2e-6) > 1e-15 || math.Abs(i.Show.Grain[quantity.US].Step-0.0001) > 1e-12 {
		t.Errorf("%+v", i)
	}
	if i := b.Instruments["thermometer"]; i.Uncertainty.Value.Type() != quantity.KindTemperatureDifference.Type() {
		t.Errorf("%+v", i)
	}
	files["terms.yaml"] = "terms:\n  housing.lead: {what: Lead, kind: angle, from: 1 deg, to: 9 deg}\n"
	if _, problems, _ = load(files); !strings.Contains(fmt.Sprint(problems), "terms.yaml:2:3: error") {
		t.Error(problems)
	}
}

// The fingerprint of a job is taken of Raw: each record's own characters, no
// other's.
func TestRawOfJobs(t *testing.T) {
	files := base(t)
	b, _, _ := load(files)
	raw := string(b.Lists["week"].Jobs[0].Raw())
	if raw != "job: K-1\nunit: P-1\nprocedure: any\nday: 2026-11-30\ncrew: day\npeople: 2\nhours: 9 h\n" {
		t.Errorf("%q", raw)
	}
	if string(b.Units["P-2"].Raw()) != files["units/b.yaml"] {
		t.Errorf("%q", b.Units["P-2"].Raw())
	}
}

// from gives a kit for a serial number and the later ones.
func from(first string) record.Kit {
	return record.Kit{FromSerial: record.Text{S: first, At: diag.Pos{File: "test", Line: 1}}}
}

func TestSerialFrom(t *testing.T) {
	for _, c := range []struct {
		serial, first string
		yes, sure     bool
	}{
		{"RB65-0381", "RB65-0300", true, true}, {"RB65-0300", "RB65-0300", true, true}, {"RB65-0299", "RB65-0300", false, true},
		{"RB65-1000", "RB65-0300", true, true}, {"rb65-381", "RB65-0300", true, true}, {"RB40-0381", "RB65-0300", false, false},
		{"", "RB65-0300", false, false}, {"RB65-", "RB65-0300", false, false}, {"99999999999999999999999", "3", true, true},
	} {
		if yes, sure := from(c.first).ForSerial(record.Text{S: c.serial}); yes != c.yes || sure != c.sure {
			t.Errorf("%s from %s: %v %v", c.serial, c.first, yes, sure)
		}
	}
}

// Numbers under a common beginning compare as numbers do.
func TestSerialOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Uint32().Draw(t, "a"), rapid.Uint32().Draw(t, "b")
		w := rapid.IntRange(1, 12).Draw(t, "width")
		yes, sure := from(fmt.Sprintf("x-%d", b)).ForSerial(record.Text{S: fmt.Sprintf("X-%0*d", w, a)})
		if !sure || yes != (a >= b) {
			t.Fatal(yes, sure)
		}
	})
}

func TestDemoSiteHasNoError(t *testing.T) {
	b, problems := record.Load(os.DirFS("../../samples/soapworks"), templates.FS, record.Options{})
	for _, p := range problems {
		t.Error(p)
	}
	if len(b.Units) < 8 || len(b.Terms) < 100 || len(b.Statements) < 60 || len(b.Instruments) < 10 {
		t.Errorf("%d units, %d terms, %d statements, %d instruments", len(b.Units), len(b.Terms), len(b.Statements), len(b.Instruments))
	}
}

// manyUnits is a site of n units.
func manyUnits(t testing.TB, n int) map[string]string {
	files := base(t)
	for i := range n {
		id := fmt.Sprintf("U-%04d", i)
		files["units/"+id+".yaml"] = strings.Replace(files["units/a.yaml"], "unit: P-1", "unit: "+id, 1)
	}
	return files
}

func BenchmarkLoad300(b *testing.B) {
	site, builtin := split(manyUnits(b, 300))
	b.ReportAllocs()
	for b.Loop() {
		book, problems := record.Load(site, builtin, record.Options{Missing: noRunes})
		if len(book.Units) != 302 || problems.HasErrors() {
			b.Fatal(len(book.Units), problems)
		}
	}
}

func BenchmarkScalar(b *testing.B) {
	book, _, _ := load(base(b))
	u := book.Units["P-1"]
	b.ReportAllocs()
	for b.Loop() {
		if s, ok := book.Scalar(u, "end_clearance.set"); !ok || s.Form != record.FormAmount {
			b.Fatal(s)
		}
	}
}

var spoilt = []string{"units/a.yaml", "designs/a.yaml", "liquids/lye.yaml", "site.yaml", "lists/week.yaml", "builtin/terms.yaml", "builtin/ghs.yaml", "builtin/instruments.yaml"}

// FuzzLoad puts any text in the place of one record of a sound site.
func FuzzLoad(f *testing.F) {
	files := base(f)
	for i, name := range spoilt {
		f.Add(byte(i), files[name])
		f.Add(byte(i), strings.ReplaceAll(files[name], "{", "["))
		f.Add(byte(i), strings.ReplaceAll(files[name], ": ", ": - "))
		f.Add(byte(i), strings.ReplaceAll(files[name], "mm", ""))
	}
	f.Fuzz(func(t *testing.T, which byte, text string) {
		files := base(t)
		files[spoilt[int(which)%len(spoilt)]] = text
		trusts(t, files)
	})
}

// Slips of the pen anywhere in a sound site: the fuzzer needs long to come by
// records that are still nearly right.
func TestSlips(t *testing.T) {
	sound := base(t)
	rapid.Check(t, func(rt *rapid.T) {
		files := maps.Clone(sound)
		name := rapid.SampledFrom(spoilt).Draw(rt, "file")
		for range rapid.IntRange(1, 3).Draw(rt, "slips") {
			text := files[name]
			if text == "" {
				break
			}
			from := rapid.IntRange(0, len(text)-1).Draw(rt, "from")
			to := min(len(text), from+rapid.SampledFrom([]int{0, 1, 1, 2, 5, 20}).Draw(rt, "length"))
			put := rapid.SampledFrom([]string{"", "", " ", "\n", "\n  ", ": ", "-", "- ", "{", "}", "[", "]", ",", "#", "'", "\"", "\t", "0", "9", "e9", ".", "..", "mm", "|", "&a ", "*a", "!!x ", "---\n", "\x00", "\xff", "none", text[from:to]}).Draw(rt, "put")
			files[name] = text[:from] + put + text[to:]
		}
		trusts(rt, files)
	})
}

// trusts checks that every problem has a place, and that no job is printed from a
// record in which an error stands.
func trusts(t interface{ Fatalf(string, ...any) }, files map[string]string) {
	book, problems, printed := load(files)
	for _, p := range problems {
		if p.Pos.File == "" || p.Message == "" || p.Rule == "" {
			t.Fatalf("an error without a place, words or rule: %+v", p)
		}
	}
	for _, l := range book.Lists {
		for _, j := range l.Jobs {
			if !slices.Contains(printed, j.ID.S) || j.Broken() {
				continue
			}
			u := book.Units[j.Unit.S]
			on := []*record.Record{&u.Record, &u.Design.Record, &book.Site.Record}
			if u.Liquid != nil {
				on = append(on, &u.Liquid.Record)
			}
			for _, p := range problems {
				for _, r := range on {
					if p.Severity == diag.Error && r.Span.Holds(p.Pos) && !inOtherSize(u, p.Pos) {
						t.Fatalf("%s is printed from %s: %s", j.ID, r, p)
					}
				}
			}
		}
	}
}

// inOtherSize reports whether a place is in a size that the unit does not have.
func inOtherSize(u *record.Unit, at diag.Pos) bool {
	for name, s := range u.Design.Sizes {
		if name != u.Size.Name && at.File == u.Design.Span.File && at.Line >= s.From.Line && at.Line <= s.To.Line {
			return true
		}
	}
	return false
}
