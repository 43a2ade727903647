package check_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/check"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"

	"github.com/rogpeppe/go-internal/txtar"
)

// mill is the sound site of package record, without relations.
func mill(t *testing.T) (site, builtin fstest.MapFS) {
	t.Helper()
	a, err := txtar.ParseFile("../record/testdata/base.txtar")
	if err != nil {
		t.Fatal(err)
	}
	site, builtin = fstest.MapFS{}, fstest.MapFS{}
	for _, f := range a.Files {
		if in, ok := strings.CutPrefix(f.Name, "builtin/"); ok {
			builtin[in] = &fstest.MapFile{Data: f.Data}
		} else {
			site[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	return site, builtin
}

// put changes one file of a site, which must hold the old text once.
func put(t *testing.T, site fstest.MapFS, file, old, with string) {
	t.Helper()
	if strings.Count(string(site[file].Data), old) != 1 {
		t.Fatalf("%s does not hold %q once", file, old)
	}
	site[file] = &fstest.MapFile{Data: []byte(strings.Replace(string(site[file].Data), old, with, 1))}
}

// more adds terms to those that are built in.
func more(builtin fstest.MapFS, terms string) {
	builtin["terms.yaml"] = &fstest.MapFile{Data: []byte(string(builtin["terms.yaml"].Data) + terms)}
}

// said gives what the rules say of a site, in full: the problem, its hint, and the
// places beside its own. What record says of the site is left out: a site with a
// record that is broken is looked at as well.
func said(t *testing.T, site, builtin fstest.MapFS, known check.Known) string {
	t.Helper()
	book, _ := record.Load(site, builtin, record.Options{})
	library, _ := procedure.Load(site, builtin, procedure.Options{})
	var out []string
	for _, p := range check.Run(book, library, known) {
		if p.Rule == "unknown-name" && strings.HasPrefix(p.Message, "the procedure any") {
			continue // the jobs of the site name a procedure that nobody has
		}
		var beside []string
		for _, at := range p.Related {
			beside = append(beside, at.String())
		}
		hint := p.Hint
		p.Hint, p.Related = "", nil
		out = append(out, strings.ReplaceAll(fmt.Sprintf("%s | %s | %s", p, hint, strings.Join(beside, " ")), "\u00a0", " "))
	}
	return strings.Join(out, "\n")
}

// doubtHint is what every doubt ends in.
func doubtHint(key string) string {
	return "look for a slip of the decimal point or the unit; where it is right, say so in its record: confirmed: {" + key + ": how it is known}"
}

// What a relation of the site says in full: the number that it blames, the figures
// that were held against each other, and the places of the others.
func TestWhatARelationSays(t *testing.T) {
	const torqued = `head: {what: Head to casing, torque: 40..45 N.m, torque_source: Drawing A, `
	for name, c := range map[string]struct {
		changes   []string // of the site: file, old text, new text
		relations string
		want      string
	}{
		"a band is one number": {nil, `{of: size, is: lock_nut.torque.low / lock_nut.torque.high, from: "0.98765", why: a band is narrow}`,
			"designs/a.yaml:16:24: warning: lock_nut.torque of size 10 of design gear-a is 40..45 N.m: a band is narrow (lock_nut.torque.low / lock_nut.torque.high is 0.889, expected at least 0.988) [doubt] | " + doubtHint("lock_nut.torque") + " | "},
		"a band that is confirmed": {[]string{"designs/a.yaml", "thread: M30x1.5}", "thread: M30x1.5}\n    confirmed: {lock_nut.torque: on the drawing}"},
			`{of: size, is: lock_nut.torque.low / lock_nut.torque.high, from: "0.98765", why: a band is narrow}`, ""},
		"an upper end": {nil, `{of: size, is: lock_nut.torque.high / lock_nut.torque.low, to: "1.01234", why: a band is narrow}`,
			"designs/a.yaml:16:24: warning: lock_nut.torque of size 10 of design gear-a is 40..45 N.m: a band is narrow (lock_nut.torque.high / lock_nut.torque.low is 1.12, expected at most 1.01) [doubt] | " + doubtHint("lock_nut.torque") + " | "},
		"both ends of the torque of a joint": {[]string{"designs/a.yaml", "head: {what: Head to casing, ", torqued}, `{of: joint, is: joint.torque.high / joint.torque.low, from: "1.01", to: "1.0567", why: a band is narrow}`,
			"designs/a.yaml:6:42: warning: joints.head.torque of size 10 of design gear-a is 40..45 N.m: a band is narrow (joint.torque.high / joint.torque.low is 1.12, expected at least 1.01, at most 1.06) (and 1 more like it) [doubt] | " + doubtHint("joints.head.torque") + " | "},
		"a joint by its name, in the unit of the record": {[]string{"designs/a.yaml", "head: {what: Head to casing, ", torqued}, `{of: size, is: joints.head.torque.high, to: 'q("30 ft.lbf")', why: it is a small joint}`,
			"designs/a.yaml:6:42: warning: joints.head.torque of size 10 of design gear-a is 40..45 N.m: it is a small joint (joints.head.torque.high is 45 N·m, expected at most 40.7 N·m) (and 1 more like it) [doubt] | " + doubtHint("joints.head.torque") + " | "},
		"passes of a joint": {nil, `{of: joint, is: joint.pass_2 / joint.pass_1, to: "1.5", why: the passes rise evenly}`,
			"designs/a.yaml:6:130: warning: joints.head.pass_2 of size 10 of design gear-a is 0.6: the passes rise evenly (joint.pass_2 / joint.pass_1 is 2, expected at most 1.5) (and 1 more like it) [doubt] | " + doubtHint("joints.head.pass_2") + " | designs/a.yaml:6:125"},
		"a fraction and a count": {nil, `{of: joint, is: joint.fraction * joint.count, to: "5", why: no reason}`,
			"designs/a.yaml:6:110: warning: joints.head.fraction of size 10 of design gear-a is 0.65: no reason (joint.fraction * joint.count is 5.2, expected at most 5) [doubt] | " + doubtHint("joints.head.fraction") + " | designs/a.yaml:18:21"},
		"a long formula": {nil, `{of: feature, is: feature.new * feature.new / feature.reject_below / feature.reject_below, to: "1", why: no reason}`,
			"designs/a.yaml:20:65: warning: features.pin_diameter_worn.new of size 10 of design gear-a is 32.00 mm: no reason (what is compared is 1.01, expected at most 1) [doubt] | " + doubtHint("features.pin_diameter_worn.new") + " | designs/a.yaml:20:89"},
		"a formula of sixty characters": {nil, `{of: feature, is: feature.new / feature.reject_below * feature.new/feature.new, to: "1", why: no reason}`,
			"designs/a.yaml:20:65: warning: features.pin_diameter_worn.new of size 10 of design gear-a is 32.00 mm: no reason (feature.new / feature.reject_below * feature.new/feature.new is 1, expected at most 1) [doubt] | " + doubtHint("features.pin_diameter_worn.new") + " | designs/a.yaml:20:89"},
		"what decides is not blamed": {nil, `{of: unit, when: 'duty.speed > q("10 rpm") and drive.power > q("1 kW")', is: piping.bore / piping.between_valves, to: "0.01", why: no reason}`,
			"units/a.yaml:11:16: warning: piping.bore of unit P-1 is 77.9 mm: no reason (piping.bore / piping.between_valves is 0.0243, expected at most 0.01) [doubt] | " + doubtHint("piping.bore") + " | units/a.yaml:11:41"},
		"it does not apply":           {nil, `{of: unit, when: 'duty.speed < q("10 rpm")', is: piping.bore / piping.between_valves, to: "0.01", why: no reason}`, ""},
		"what decides is not known":   {nil, `{of: unit, when: 'duty.relief_set > q("1 bar(g)")', is: piping.bore / piping.between_valves, to: "0.01", why: no reason}`, ""},
		"it cannot be worked out":     {nil, `{of: unit, is: duty.relief_set - duty.outlet, to: 'q("1 mbar")', why: no reason}`, ""},
		"an end cannot be worked out": {nil, `{of: unit, is: duty.outlet, to: duty.relief_set, why: no reason}`, ""},
		"the unit before its size": {nil, `{of: unit, is: max_speed / duty.speed, to: "2", why: no reason}`,
			"units/a.yaml:9:81: warning: duty.speed of unit P-1 is 280 rpm: no reason (max_speed / duty.speed is 2.14, expected at most 2) [doubt] | " + doubtHint("duty.speed") + " | designs/a.yaml:12:16"},
		"just at an end": {nil, `{of: unit, is: duty.speed, from: 'q("280 rpm")', to: 'q("280 rpm")', why: no reason}`, ""},
		"a crew": {nil, `{of: crew, is: crew.hours / crew.people, to: 'q("4 h")', why: no reason}`,
			"site.yaml:10:27: warning: crews.day.hours of the site is 10 h: no reason (crew.hours / crew.people is 5 h, expected at most 4 h) [doubt] | " + doubtHint("crews.day.hours") + " | site.yaml:10:17"},
	} {
		site, builtin := mill(t)
		more(builtin, "  duty.relief_set: {what: Relief, kind: gauge pressure, from: 0.2 bar(g), to: 40 bar(g)}\n")
		site["relations.yaml"] = &fstest.MapFile{Data: []byte("source: none, for the test\nrelations:\n  - " + c.relations + "\n")}
		for i := 0; i+2 < len(c.changes); i += 3 {
			put(t, site, c.changes[i], c.changes[i+1], c.changes[i+2])
		}
		if got := said(t, site, builtin, check.Known{}); got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", name, got, c.want)
		}
	}
}

// A number that many relations speak against is named once, with two of the reasons,
// the narrowest first, and three of the places.
func TestManyReasons(t *testing.T) {
	const speed = `{of: unit, is: duty.speed * piping.bore / piping.between_valves, to: 'q("1 rpm")', why: long}
  - {of: unit, is: duty.speed, to: 'q("200 rpm")', why: short}
  - {of: unit, is: duty.speed / max_speed, to: "0.1", why: middle}
  - {of: unit, is: duty.speed, to: 'q("200 rpm")', why: short}
`
	for name, c := range map[string]struct{ relations, want string }{
		"one slip": {speed, "units/a.yaml:9:81: warning: duty.speed of unit P-1 is 280 rpm: short (duty.speed is 280 rpm, expected at most 200 rpm); middle (duty.speed / max_speed is 0.467, expected at most 0.1) (and 2 more like it) [doubt] | " +
			doubtHint("duty.speed") + " | designs/a.yaml:12:16 units/a.yaml:11:16 units/a.yaml:11:41"},
		"two reasons": {`{of: unit, is: duty.speed, to: 'q("200 rpm")', why: one}` + "\n  - " + `{of: unit, is: duty.speed, to: 'q("100 rpm")', why: two}`,
			"units/a.yaml:9:81: warning: duty.speed of unit P-1 is 280 rpm: one (duty.speed is 280 rpm, expected at most 200 rpm); two (duty.speed is 280 rpm, expected at most 100 rpm) [doubt] | " + doubtHint("duty.speed") + " | "},
		"two slips that have nothing in common": {`{of: unit, is: duty.speed, to: 'q("200 rpm")', why: one}` + "\n  - " + `{of: unit, is: piping.bore, to: 'q("10 mm")', why: two}`,
			"units/a.yaml:9:81: warning: duty.speed of unit P-1 is 280 rpm: one (duty.speed is 280 rpm, expected at most 200 rpm) [doubt] | " + doubtHint("duty.speed") + " | \n" +
				"units/a.yaml:11:16: warning: piping.bore of unit P-1 is 77.9 mm: two (piping.bore is 77.9 mm, expected at most 10 mm) [doubt] | " + doubtHint("piping.bore") + " | "},
		"the records contradict themselves": {`{of: unit, is: duty.speed / max_speed, to: "0.1", why: one}` + "\n  - " + `{of: unit, is: duty.speed, to: 'q("200 rpm")', why: two, must: true}`,
			"units/a.yaml:9:81: error: duty.speed of unit P-1 is 280 rpm: two (duty.speed is 280 rpm, expected at most 200 rpm); one (duty.speed / max_speed is 0.467, expected at most 0.1) [doubt] | look at both | designs/a.yaml:12:16"},
		// Of two that have a part in as many doubts, the one of which less was found true.
		"the other is held elsewhere": {`{of: unit, is: piping.bore / piping.between_valves, to: "0.01", why: one}` + "\n  - " + `{of: unit, is: piping.between_valves / piping.bore, from: "100", why: two}` + "\n  - " + `{of: unit, is: piping.bore, from: 'q("50 mm")', why: three}`,
			"units/a.yaml:11:41: warning: piping.between_valves of unit P-1 is 3.2 m: one (piping.bore / piping.between_valves is 0.0243, expected at most 0.01); two (piping.between_valves / piping.bore is 41.1, expected at least 100) [doubt] | " + doubtHint("piping.between_valves") + " | units/a.yaml:11:16"},
		"this one is held elsewhere": {`{of: unit, is: piping.bore / piping.between_valves, to: "0.01", why: one}` + "\n  - " + `{of: unit, is: piping.between_valves / piping.bore, from: "100", why: two}` + "\n  - " + `{of: unit, is: piping.between_valves, from: 'q("1 m")', why: three}`,
			"units/a.yaml:11:16: warning: piping.bore of unit P-1 is 77.9 mm: one (piping.bore / piping.between_valves is 0.0243, expected at most 0.01); two (piping.between_valves / piping.bore is 41.1, expected at least 100) [doubt] | " + doubtHint("piping.bore") + " | units/a.yaml:11:41"},
		// Of a chain of doubts the one in the middle explains both.
		"the middle of a chain": {`{of: unit, is: drive.power / duty.speed, to: 'q("1 kW") / q("1000 rpm")', why: one}` + "\n  - " + `{of: unit, is: duty.speed / max_speed, to: "0.1", why: two}`,
			"units/a.yaml:9:81: warning: duty.speed of unit P-1 is 280 rpm: one (drive.power / duty.speed is 188 m^2·kg·s^-2·rad^-1, expected at most 9.55 m^2·kg·s^-2·rad^-1); two (duty.speed / max_speed is 0.467, expected at most 0.1) [doubt] | " + doubtHint("duty.speed") + " | units/a.yaml:10:16 designs/a.yaml:12:16"},
	} {
		site, builtin := mill(t)
		site["relations.yaml"] = &fstest.MapFile{Data: []byte("source: none, for the test\nrelations:\n  - " + c.relations + "\n")}
		if got := said(t, site, builtin, check.Known{}); got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", name, got, c.want)
		}
	}
}

// A relation names what its owner can see, and nothing else: the site and a liquid
// know of no pump, a size of no unit; the parts of a size are named by what has one.
func TestWhoSeesWhat(t *testing.T) {
	names := []string{"site.surroundings", "liquid.density", "max_speed", "end_clearance.set", "duty.speed", "drive.power", "piping.bore", "crew.people", "joint.circle", "joints.head.circle", "feature.new", "features.pin_diameter_worn.new", "assembly.mass", "assemblies.head.mass"}
	parts := []string{"joints.head.circle", "features.pin_diameter_worn.new", "assemblies.head.mass"}
	sees := map[string][]string{
		"site":     {"site.surroundings"},
		"liquid":   {"site.surroundings", "liquid.density"},
		"crew":     {"site.surroundings", "crew.people"},
		"size":     {"site.surroundings", "max_speed", "end_clearance.set"},
		"joint":    {"site.surroundings", "max_speed", "end_clearance.set", "joint.circle"},
		"feature":  {"site.surroundings", "max_speed", "end_clearance.set", "feature.new"},
		"assembly": {"site.surroundings", "max_speed", "end_clearance.set", "assembly.mass"},
		"unit":     {"site.surroundings", "liquid.density", "max_speed", "end_clearance.set", "duty.speed", "drive.power", "piping.bore"},
	}
	for owner, can := range sees {
		for _, name := range names {
			site, builtin := mill(t)
			site["relations.yaml"] = &fstest.MapFile{Data: []byte(fmt.Sprintf("source: none\nrelations:\n  - {of: %s, is: %s / %s, from: \"1\", to: \"1\", why: it is itself}\n", owner, name, name))}
			got := said(t, site, builtin, check.Known{})
			want := slices.Contains(can, name)
			if slices.Contains(parts, name) {
				if owner == "crew" {
					continue
				}
				want = owner != "site" && owner != "liquid"
			}
			if strings.Contains(got, "unknown name") == want {
				t.Errorf("%s, %s: %v, said is %q", owner, name, want, got)
			}
		}
	}
}

// Readings are of a feature of the size or of a quantity among its terms; only where
// the size could not be read may one be missing.
func TestWhatMayBeMeasured(t *testing.T) {
	const nothing = `units/a.yaml:18:%d: error: the size 10 has nothing named %s to measure [history] | %s | designs/a.yaml:8:3`
	missing := func(name, hint string) string { return fmt.Sprintf(nothing, 98+len(name), name, hint) }
	plain := "it is one of the features of the size, or a term of it"
	for reading, want := range map[string]string{
		"housing.diameter: 140 mm":  "",
		"end_clearance.low: 0.1 mm": "",
		"fit: 1 mm":                 "",
		"own.wide: 3 mm":            "",
		"grip: 3 N.m":               "",
		"grip: 1 mm":                "", // said where it is read: a torque is wanted
		"half_rings: 1 mm":          missing("half_rings", plain),
		"lock_nut.torque: 1 mm":     missing("lock_nut.torque", plain),
		"max_sped: 1 mm":            missing("max_sped", plain), // a speed is not suggested
		"housing.lied: 1 mm":        missing("housing.lied", "did you mean housing.lead?"),
		"end_clearanse: 1 mm":       missing("end_clearanse", "did you mean end_clearance?"),
		"pin_diameter_wor: 1 mm":    missing("pin_diameter_wor", "did you mean pin_diameter_worn?"),
	} {
		site, builtin := mill(t)
		more(builtin, "  own.wide: {what: Wide, kind: length, from: 1 mm, to: 9 mm}\n  grip.set: {what: Grip, kind: torque, from: 1 N.m, to: 9 N.m}\n"+
			"  fit.set: {what: Fit, kind: length, from: 1 mm, to: 9 mm}\n")
		put(t, site, "designs/a.yaml", "    half_rings: true\n", "    half_rings: true\n    grip: {set: 3 N.m}\n    own: {wide: 2 mm}\n    fit: {set: 2 mm}\n")
		put(t, site, "units/a.yaml", "as_left: {end_clearance: 0.10 mm, pin_diameter_worn: 31.95 mm}", "as_left: {end_clearance: 0.10 mm, pin_diameter_worn: 31.95 mm, "+reading+"}")
		if got := said(t, site, builtin, check.Known{}); got != want {
			t.Errorf("%s:\ngot  %s\nwant %s", reading, got, want)
		}
		for file, spoil := range map[string][2]string{"the size": {"displacement: 0.5 L\n", "displacement: 0.5 N\n"}, "the design": {"source: Drawing A, issue 1", "source: Drawing A, issue 1\nodd: x"}} {
			spoilt := fstest.MapFS{}
			for name, f := range site {
				spoilt[name] = f
			}
			put(t, spoilt, "designs/a.yaml", spoil[0], spoil[1])
			if got := said(t, spoilt, builtin, check.Known{}); strings.Contains(got, "nothing named") {
				t.Errorf("%s, %s cannot be read: %s", reading, file, got)
			}
		}
	}
}

// Where a unit has no point at all the record itself is named, else the first point.
func TestWhereIsolationIsMissing(t *testing.T) {
	const table = `isolate:
  - {point: E1, energy: electrical, device: starter 1, where: MCC-1, put: open and locked, prove: try start}
  - {point: V1, energy: liquid, device: valve 1, where: hall, put: closed and locked, prove: gauge reads zero}
  - {point: V2, energy: liquid, device: valve 2, where: hall, put: closed and locked, prove: gauge reads zero}
`
	for name, c := range map[string]struct {
		with string
		want []string
	}{
		"none":     {"", []string{"units/a.yaml:1:1 electrical units/a.yaml:10:16", "units/a.yaml:1:1 liquid units/a.yaml:9:16"}},
		"one":      {"isolate:\n  - {point: E1, energy: electrical, device: starter 1, put: open}\n", []string{"units/a.yaml:13:5 liquid units/a.yaml:9:16"}},
		"one side": {"isolate:\n  - {point: V1, energy: liquid, device: valve 1, put: closed}\n", []string{"units/a.yaml:13:5 electrical units/a.yaml:10:16", "units/a.yaml:13:5 one units/a.yaml:9:16"}},
		"all":      {table, nil},
	} {
		site, builtin := mill(t)
		put(t, site, "units/a.yaml", table, c.with)
		var got []string
		book, problems := record.Load(site, builtin, record.Options{})
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		for _, p := range check.Run(book, nil, check.Known{}) {
			if p.Rule != "isolation" {
				continue
			}
			what := "one"
			for _, energy := range []string{"electrical", "liquid", "heat"} {
				if strings.HasSuffix(p.Message, "for its "+energy+" energy") {
					what = energy
				}
			}
			got = append(got, p.Pos.String()+" "+what+" "+p.Related[0].String())
		}
		slices.Sort(got)
		slices.Sort(c.want)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s:\ngot  %q\nwant %q", name, got, c.want)
		}
	}
}

// A kit that ends at some serial number, and one that begins at one, name each its own.
func TestKitsOfSomeSerials(t *testing.T) {
	const compared = "serials are compared by the figures at their end, after the same beginning"
	for name, c := range map[string]struct{ kit, serial, want string }{
		"from":           {"from_serial: A10-0001", "serial: B10-1", "units/a.yaml:6:9: warning: the serial B10-1 cannot be compared with A10-0001, from which the kit Seal kit depends [serial] | " + compared + " | designs/a.yaml:24:55"},
		"to":             {"to_serial: A10-0900", "serial: B10-1", "units/a.yaml:6:9: warning: the serial B10-1 cannot be compared with A10-0900, from which the kit Seal kit depends [serial] | " + compared + " | designs/a.yaml:24:53"},
		"both":           {"from_serial: A10-0001, to_serial: A10-0900", "serial: B10-1", "units/a.yaml:6:9: warning: the serial B10-1 cannot be compared with A10-0001, from which the kit Seal kit depends [serial] | " + compared + " | designs/a.yaml:24:55"},
		"none on record": {"to_serial: A10-0900", "area: Yard", "units/a.yaml:1:1: warning: the kit Seal kit is for some serial numbers only, and unit P-1 has none on record [serial] | add serial: ..., or ask the supplier with model and serial number | designs/a.yaml:24:53"},
		"it fits":        {"to_serial: A10-0900", "serial: A10-0005", ""},
		"it does not":    {"to_serial: A10-0004", "serial: A10-0005", ""},
	} {
		site, builtin := mill(t)
		put(t, site, "designs/a.yaml", "from_serial: A10-0001", c.kit)
		if strings.HasPrefix(c.serial, "area") {
			put(t, site, "units/a.yaml", "serial: A10-0005\n", "")
		} else {
			put(t, site, "units/a.yaml", "serial: A10-0005", c.serial)
		}
		if got := said(t, site, builtin, check.Known{}); got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", name, got, c.want)
		}
	}
}

// Two jobs of one unit on one day are named by their numbers, or by their lines.
func TestTwoJobsOnADay(t *testing.T) {
	for name, c := range map[string]struct{ first, second, want string }{
		"numbers":        {"job: K-1, ", "job: K-2, ", "the unit P-1 has two jobs on 2026-11-30: K-1 and K-2"},
		"no number":      {"", "job: K-2, ", "the unit P-1 has two jobs on 2026-11-30: one without a number (line 3) and K-2"},
		"neither has it": {"", "", "the unit P-1 has two jobs on 2026-11-30: one without a number (line 3) and one without a number (line 4)"},
	} {
		site, builtin := mill(t)
		site["lists/week.yaml"] = &fstest.MapFile{Data: []byte("list: week\njobs:\n  - {" + c.first + "unit: P-1, procedure: any, day: 2026-11-30}\n  - {" + c.second + "unit: P-1, procedure: any, day: 2026-11-30}\n")}
		if got := said(t, site, builtin, check.Known{}); !strings.Contains(got, "warning: "+c.want+" [twice]") || strings.Count(got, "two jobs") != 1 {
			t.Errorf("%s: %s", name, got)
		}
	}
	// Jobs that do not say their unit are not two of one.
	site, builtin := mill(t)
	site["lists/week.yaml"] = &fstest.MapFile{Data: []byte("list: week\njobs:\n  - {job: K-1, procedure: any, day: 2026-11-30}\n  - {job: K-2, procedure: any, day: 2026-11-30}\n")}
	if got := said(t, site, builtin, check.Known{}); got != "" {
		t.Errorf("%s", got)
	}
}

// Every entry of a drawing is held to its own length, and only the points of the
// isolation drawing and the places of a part are counted.
func TestRoomOfDrawings(t *testing.T) {
	var asked []string
	known := check.Known{Drawn: func(figure, entry string) (int, int) {
		asked = append(asked, figure+" "+entry)
		return 1, 17
	}}
	site, builtin := mill(t)
	put(t, site, "units/a.yaml", "device: valve 1", "device: eighteen characters")
	put(t, site, "units/b.yaml", "point: V2", "point: V2-behind-the-last-pump")
	put(t, site, "designs/a.yaml", "what: Head to casing", "what: Head to the casing")
	got := said(t, site, builtin, known)
	want := `designs/a.yaml:6:18: error: found 18 characters, too many for the drawing that shows it [room] | say it in at most 17 characters | 
designs/a.yaml:20:50: error: found 19 characters, too many for the drawing that shows it [room] | say it in at most 17 characters | 
designs/a.yaml:20:144: error: A2 is one more than the 1 that have room in the drawing [room] | make one of two, or leave it out | 
units/a.yaml:14:13: error: V1 is one more than the 1 that have room in the drawing [room] | make one of two, or leave it out | 
units/a.yaml:14:41: error: found 19 characters, too many for the drawing that shows it [room] | say it in at most 17 characters | 
units/b.yaml:8:13: error: V2-behind-the-last-pump is one more than the 1 that have room in the drawing [room] | make one of two, or leave it out | `
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	slices.Sort(asked)
	if got := strings.Join(slices.Compact(asked), "; "); got != "bolt-circle title; isolation devices; isolation points; trend title; wear-points places" {
		t.Errorf("asked are %s", got)
	}
}

// The title of a procedure is held to the header where it is one text; what a title
// takes from records is known only when the packet is made.
func TestRoomOfTitles(t *testing.T) {
	known := check.Known{Room: func(at check.Place, paper, text string) (int, bool) {
		if paper != "A4" {
			t.Errorf("the paper is %q", paper)
		}
		return 12, at != check.ProcedureTitle || len(text) <= 12
	}}
	for title, want := range map[string]string{
		"Twelve chars":                     "",
		"Thirteen char":                    "procedures/x.yaml:2:9: warning: the procedure's title has 13 characters, and is shortened in the pages' header or footer [room] | about 12 characters have room | ",
		"Reset the {end_clearance.set} of": "",
	} {
		site, builtin := mill(t)
		site["procedures/x.yaml"] = &fstest.MapFile{Data: []byte("procedure: x\ntitle: \"" + title + "\"\nrevision: \"1\"\nlanguage: en\nstages: [{stage: One, steps: [{do: Nothing., does: [tell]}]}]\n")}
		if library, problems := procedure.Load(site, builtin, procedure.Options{}); len(library.Names()) != 1 {
			t.Fatal(problems)
		}
		if got := said(t, site, builtin, known); got != want {
			t.Errorf("%s:\ngot  %s\nwant %s", title, got, want)
		}
	}
}

// A job of a unit, a crew or a procedure that nobody has on record is told at the
// word that names it; where there is no site, its crew cannot be held against any.
func TestJobsOfWhatIsNotOnRecord(t *testing.T) {
	for name, c := range map[string]struct{ old, with, want string }{
		"unit":                            {"unit: P-2", "unit: P-9", "lists/week.yaml:4:22: error: the unit P-9 is not on record [unknown-name] | did you mean P-1? Else add it to units/ | "},
		"far":                             {"unit: P-2", "unit: zzz", "lists/week.yaml:4:22: error: the unit zzz is not on record [unknown-name] | add it to units/ | "},
		"crew":                            {"crew: day", "crew: dya", "lists/week.yaml:3:66: error: the crew dya is not on record [unknown-name] | did you mean day? Else add it to the crews of site.yaml | site.yaml:1:1"},
		"none":                            {"crew: day, ", "", ""},
		"what it confirms is not doubted": {"hours: 9 h}", "hours: 9 h, confirmed: {hours: asked for}}", "lists/week.yaml:3:106: warning: nothing speaks against hours of job K-1, which is confirmed [doubt] | delete it: it would keep the next slip quiet | "},
		"what it confirms is not its own": {"hours: 9 h}", "hours: 9 h, confirmed: {hoars: asked for}}", "lists/week.yaml:3:106: warning: job K-1 has no number hoars to confirm [doubt] | did you mean hours? | "},
	} {
		site, builtin := mill(t)
		put(t, site, "lists/week.yaml", c.old, c.with)
		if got := said(t, site, builtin, check.Known{}); got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", name, got, c.want)
		}
		delete(site, "site.yaml")
		if got := said(t, site, builtin, check.Known{}); strings.Contains(got, "crew") {
			t.Errorf("%s, without a site: %s", name, got)
		}
	}
	site, builtin := mill(t)
	book, _ := record.Load(site, builtin, record.Options{})
	library, _ := procedure.Load(site, builtin, procedure.Options{})
	if got := len(check.Run(book, library, check.Known{})); got != 2 {
		t.Errorf("%d procedures are unknown, not those of both jobs", got)
	}
	if got := check.Run(book, nil, check.Known{}); len(got) != 0 {
		t.Errorf("procedures are not looked at: %v", got)
	}
}
