package record_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/record"
)

// errorAt gives an error at a place of a file.
// read reads a site, and does not check it.
// A fault belongs to the job on whose characters it stands, from the first of them to
// the one before the next job; every other place of the list is the list's own.
// So it is with the sizes of a design; and what stands in another file, or beside
// every record, is nobody's.
// A record that says no kind or no name is kept among the records, marked; it is in
// none of the maps.
func TestRecordsWithoutAName(t *testing.T) {
	for file, c := range map[string]struct{ text, want string }{
		"units/c.yaml":       {"unti: P-3\nname: x\n", "unit 1 broken"},
		"units/d.yaml":       {"unit: P 3\nname: x\n", "unit 1 broken"},
		"designs/c.yaml":     {"design: [x]\nname: x\n", "design 1 broken"},
		"instruments/c.yaml": {"instrument: " + strings.Repeat("m", 41) + "\nresolution: 1 mm\n", "instrument 1 broken"},
		"liquids/c.yaml":     {"# two\n---\nliquid: ''\n", "liquid 3 broken"},
		"lists/c.yaml":       {"jobs: []\n", "list 1 broken"},
	} {
		files := base(t)
		before, _, _ := load(files)
		files[file] = c.text
		book, _, _ := load(files)
		got := ""
		for _, r := range book.Records {
			if r.Span.File == file && r.ID == "" {
				got += fmt.Sprintf("%s %d", r.Kind, r.At.Line)
				if r.Broken() {
					got += " broken"
				}
			}
		}
		count := func(b *record.Book) int {
			return len(b.Units) + len(b.Designs) + len(b.Liquids) + len(b.Instruments) + len(b.Lists)
		}
		if got != c.want || count(book) != count(before) {
			t.Errorf("%s: %q, want %q", file, got, c.want)
		}
	}
}

// An instrument whose record cannot be read is known by its first line, whose words
// are not a name as others are; another kind of record is not taken for it.
func TestUnreadInstrument(t *testing.T) {
	for text, want := range map[string]string{
		"instrument: our old gauge\nresolution: [x\n": "our old gauge",
		"instrument: gauge\nresolution: [x\n":         "gauge",
		"instrumnet: our old gauge\nresolution: [x\n": "",
		"unit: gauge\nresolution: [x\n":               "",
	} {
		files := base(t)
		files["instruments/c.yaml"] = text
		book, problems, printed := load(files)
		got := ""
		for name, i := range book.Instruments {
			if i.At.File == "instruments/c.yaml" {
				got = name
			}
		}
		if got != want || !problems.HasErrors() || len(printed) != 2 {
			t.Errorf("%q is known as %q, printed %v", text, got, printed)
		}
	}
}

// A second site record, whatever its name, is told at both places, and the first stays.
func TestTwoSites(t *testing.T) {
	for _, name := range []string{"mill", "works"} {
		files := base(t)
		files["site.yaml"] += "---\n" + strings.Replace(strings.Replace(files["site.yaml"], "site: mill", "site: "+name, 1), "Test Mill", "Other Mill", 1)
		book, problems, printed := load(files)
		var at []string
		for _, p := range problems {
			if p.Rule == "duplicate" {
				at = append(at, p.Pos.String()+" "+p.Related[0].String())
			}
		}
		if strings.Join(at, "; ") != "site.yaml:1:1 site.yaml:12:1; site.yaml:12:1 site.yaml:1:1" || book.Site == nil || book.Site.Name.S != "Test Mill (invented)" || len(printed) > 0 {
			t.Errorf("%s: %q, printed %v", name, at, printed)
		}
	}
}

// A key that is no term is told with the nearest that may stand there: a term of the
// same owner, and never an end of a band, which nobody writes.
func TestNearestTerm(t *testing.T) {
	const general = "the terms allowed here are listed in terms.yaml; a site may add a term of its own"
	for _, c := range []struct{ file, old, new, want string }{
		{"units/a.yaml", "speed: 280 rpm", "sped: 280 rpm", "did you mean duty.speed?"},
		{"units/a.yaml", "power: 5.5 kW", "pover: 5.5 kW", "did you mean drive.power?"},
		{"units/a.yaml", "speed: 280 rpm", "max_pressure: 3 bar", general},
		{"units/a.yaml", "speed: 280 rpm", "xpeed: 280 rpm", "did you mean duty.speed?"},
		{"designs/a.yaml", "max_speed: 600 rpm", "max_sped: 600 rpm", "did you mean max_speed?"},
		{"designs/a.yaml", "max_speed: 600 rpm", "drive_power: 6 kW", general},
		{"designs/a.yaml", "max_speed: 600 rpm", "duty_speed: 600 rpm", general},
		{"designs/a.yaml", "housing: {diameter: 140 mm, lead: 2 mm}", "housing: {diameter: 140 mm, leed: 2 mm}", "did you mean housing.lead?"},
		{"designs/a.yaml", "lock_nut: {torque: 40..45 N.m, ", "lock_nut: {torque_low: 40 N.m, ", "did you mean lock_nut.torque?"},
		{"liquids/lye.yaml", "density: 1525 kg/m3", "densty: 1525 kg/m3", "did you mean liquid.density?"},
		{"liquids/lye.yaml", "density: 1525 kg/m3", "flash_point_none: true", "did you mean liquid.flash_point?"},
		{"site.yaml", "surroundings: 25 degC", "surrounding: 25 degC", "did you mean site.surroundings?"},
	} {
		files := base(t)
		if strings.Count(files[c.file], c.old) != 1 {
			t.Fatalf("%s does not hold %q once", c.file, c.old)
		}
		files[c.file] = strings.Replace(files[c.file], c.old, c.new, 1)
		_, problems, _ := load(files)
		var got []string
		for _, p := range problems {
			if p.Rule == "unknown-key" {
				got = append(got, p.Hint)
			}
		}
		if len(got) != 1 || got[0] != c.want {
			t.Errorf("%s: %q, want %q", c.new, got, c.want)
		}
	}
	// What terms stand below is no single value.
	files := base(t)
	files["units/a.yaml"] = strings.Replace(files["units/a.yaml"], "drive: {power: 5.5 kW, kind: belt}", "drive: {power: 5.5 kW, kind: belt, gear: 1}", 1)
	files["terms.yaml"] = "terms:\n  drive.gear.ratio: {what: Ratio, kind: number, from: 1, to: 99}\n"
	_, problems := read(files)
	if len(problems) != 1 || problems[0].Rule != "shape" || problems[0].Pos.String() != "units/a.yaml:10:36" {
		t.Errorf("%v", problems)
	}
}

// Each value says where it comes from: what a size takes from all sizes, from the
// design's source; what it says itself, from its own where it names one.
func TestSourceOfEachPart(t *testing.T) {
	files := base(t)
	files["designs/a.yaml"] = `design: gear-a
name: Gear A (invented)
source: Drawing A
all:
  half_rings: true
  housing: {lead: 2 mm}
  joints:
    head: {what: Head}
    foot: {what: Foot}
  features:
    pin: {part: pin, what: Diameter}
  assemblies:
    head: {what: Head}
sizes:
  "10":
    source: Sheet 2
    displacement: 0.5 L
    housing: {diameter: 140 mm}
    joints:
      head: {count: 8}
      side: {what: Side}
    features:
      bore: {part: bush, what: Bore}
    assemblies:
      rotor: {what: Rotor}
  "11":
    displacement: 0.6 L
`
	book, problems := read(files)
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	for size, want := range map[string]string{
		"10": "displacement Sheet 2, half_rings Drawing A, housing.diameter Sheet 2, housing.lead Drawing A",
		"11": "displacement Drawing A, half_rings Drawing A, housing.lead Drawing A",
	} {
		s := book.Designs["gear-a"].Sizes[size]
		var got []string
		sorted := func(kind string, of map[string]string) {
			var names []string
			for name := range of {
				names = append(names, name)
			}
			slices.Sort(names)
			for _, name := range names {
				got = append(got, kind+name+" "+of[name])
			}
		}
		scalars := map[string]string{}
		for name, v := range s.Scalars {
			scalars[name] = v.Source
		}
		sorted("", scalars)
		if strings.Join(got, ", ") != want {
			t.Errorf("size %s:\ngot  %s\nwant %s", size, strings.Join(got, ", "), want)
		}
	}
}

// A resolution has no direction, and an uncertainty is a difference, of a temperature
// as of a length.
func TestResolutionOfInstruments(t *testing.T) {
	for text, want := range map[string]string{
		"resolution: 0.01 mm\nuncertainty: 0.004 mm":          "",
		"resolution: 1 degC\nuncertainty: 2 K":                "",
		"resolution: 1 degC\nuncertainty: 2 degC":             "3:16 quantity",
		"resolution: 0.1 bar(g)\nuncertainty: 0.05 bar":       "",
		"resolution: down 0.01 mm\nuncertainty: 0.004 mm":     "2:13 quantity",
		"resolution: nearest 0.01 mm\nuncertainty: 0.004 mm":  "2:13 quantity",
		"resolution: 0.01 mm or 0.0005 in\nuncertainty: 0 mm": "2:13 doubt", // no instrument is without
		"resolution: 0.01 mm\nuncertainty: -0.001 mm":         "3:14 range",
		"resolution: 0.01 mm\nuncertainty: 1 N.m":             "3:16 quantity",
	} {
		files := base(t)
		files["instruments/c.yaml"] = "instrument: our gauge\n" + text + "\nsource: invented\n"
		_, problems, _ := load(files)
		var got []string
		for _, p := range problems {
			got = append(got, strings.TrimPrefix(p.Pos.String(), "instruments/c.yaml:")+" "+p.Rule)
		}
		if strings.Join(got, "; ") != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A site may read its planner's headings in words of its own.
func TestColumnsOfASite(t *testing.T) {
	files := base(t)
	files["site.yaml"] += "columns:\n  job: Order\n  hours: [Std, Est]\n  status: State\n  odd: x\n"
	site, builtin := split(files)
	book, problems := record.Load(site, builtin, record.Options{})
	if len(problems) != 1 || problems[0].Rule != "unknown-key" || problems[0].Pos.String() != "site.yaml:15:3" {
		t.Errorf("%v", problems)
	}
	var got []string
	for _, key := range []string{"job", "hours", "status", "unit"} {
		var words []string
		for _, w := range book.Site.Columns[key] {
			words = append(words, w.S)
		}
		got = append(got, fmt.Sprint(key, words))
	}
	if want := "job[Order] hours[Std Est] status[State] unit[]"; strings.Join(got, " ") != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if _, ok := book.Site.Columns["unit"]; ok {
		t.Error("a heading that the site does not name is known")
	}
}

// A site need not hold files of its own beside site.yaml, but this one it must.
func TestEmptySite(t *testing.T) {
	_, builtin := split(base(t))
	book, problems := record.Load(fstest.MapFS{}, builtin, record.Options{})
	if len(problems) != 1 || problems[0].Pos.String() != "site.yaml" || problems[0].Rule != "file" || book.Site != nil {
		t.Errorf("%v", problems)
	}
	delete(builtin, "ghs.yaml")
	if _, problems = record.Load(fstest.MapFS{}, builtin, record.Options{}); len(problems) != 2 || problems[0].Pos.String() != "built-in/ghs.yaml" {
		t.Errorf("%v", problems)
	}
}

// A term whose value is one of some words is that too where there is but one.
func TestTermsOfWords(t *testing.T) {
	for text, want := range map[string]record.Form{"one_of: [only]": record.FormWords, "one_of: [a, b]": record.FormWords, "text: true": record.FormWords, "yes_no: true": record.FormYesNo, "kind: number, from: 1, to: 2": record.FormAmount, "kind: length, from: 1 mm, to: 2 mm, band: true": record.FormBand} {
		files := base(t)
		files["terms.yaml"] = "terms:\n  own.thing: {what: Ours, " + text + "}\n"
		book, problems := read(files)
		if term := book.Terms["own.thing"]; problems.HasErrors() || term == nil || term.Form != want {
			t.Errorf("%s: %+v, %v", text, term, problems)
		}
	}
}
