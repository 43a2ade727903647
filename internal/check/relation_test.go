package check

import (
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/samples"
	"jobsheaf/templates"
)

// TestBuiltInRelations holds that each relation compiles and says something of a
// demo site: one with a slip in a name would be passed over in silence, as is one
// that names a part which no design has.
func TestBuiltInRelations(t *testing.T) {
	said, text := map[diag.Pos]int{}, map[diag.Pos]string{}
	for _, name := range []string{"candleworks-us", "soapworks"} {
		site, err := fs.Sub(samples.FS, name)
		if err != nil {
			t.Fatal(err)
		}
		book, problems := record.Load(site, templates.FS, record.Options{})
		for _, p := range problems {
			t.Error(p)
		}
		for _, rel := range book.Relations {
			r := &run{Book: book}
			r.numbers = r.collect()
			r.Relations = []record.Relation{rel}
			r.relate()
			if k := rel.Machine; k == "" || slices.ContainsFunc(slices.Collect(maps.Values(book.Units)), func(u *record.Unit) bool { return u.Machine.ID == k }) {
				text[rel.Is.At] = rel.Is.S
			}
			for _, n := range r.numbers.at {
				said[rel.Is.At] += n.held
			}
			if rel.Why.S == "" {
				t.Errorf("%s: no reason", rel.Is.At)
			}
		}
	}
	if len(text) < 60 {
		t.Errorf("only %d relations were read", len(text))
	}
	delete(text, place(text, "joint.torque.low / joint.torque.high")) // the demo's torques are all computed
	for at, is := range text {
		if said[at] == 0 {
			t.Errorf("%s: %s says nothing of either demo site", at, is)
		}
	}
}

func place(of map[diag.Pos]string, text string) diag.Pos {
	for at, is := range of {
		if is == text {
			return at
		}
	}
	return diag.Pos{}
}

// TestFaultyRelations holds that a site is told of a fault in its own relations,
// each at its place.
func TestFaultyRelations(t *testing.T) {
	site := fstest.MapFS{}
	err := fs.WalkDir(samples.FS, "soapworks", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(samples.FS, p)
		site[strings.TrimPrefix(p, "soapworks/")] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		`{of: size, is: rotor.wodth / rotor.outside, to: "1", why: w, source: s}`:                      `relations.yaml:2:20: error: unknown name "rotor.wodth" [formula-name]`,
		`{of: size, is: duty.speed, to: 'q("10 rpm")', why: w, source: s}`:                             `relations.yaml:2:20: error: unknown name "duty.speed" [formula-name]`,
		`{of: size, is: rotor.width, to: "1", why: w, source: s}`:                                      `relations.yaml:2:37: error: this is number, where is comes to length [dimension]`,
		`{of: size, when: rotor.width, is: rotor.width, to: 'q("1 mm")', why: w, source: s}`:           `relations.yaml:2:22: error: a condition is yes or no; this is length [condition]`,
		`{of: unit, is: built.seal, to: "1", why: w, source: s}`:                                       `relations.yaml:2:20: error: this is one of component, cartridge, packing, lip, and is no quantity [dimension]`,
		`{of: size, is: rotor.width, why: w, source: s}`:                                               `relations.yaml:2:20: error: the relation has neither from nor to, so nothing could break it [missing-key]`,
		`{of: pump, is: rotor.width, to: 'q("1 mm")', why: w, source: s}`:                              `relations.yaml:2:10: error: found "pump" where one of these is wanted: site, crew, liquid, size, joint, feature, assembly, unit [one-of]`,
		`{of: size, is: rotor.width, to: 'q("1 m")', why: w}`:                                          `relations.yaml:2:5: error: the key source is missing [missing-key]`,
		`{of: assembly, is: assembly.mass / assemblies.head.mass, to: "1000", why: w, source: s}`:      "",
		`{of: unit, is: drive.power * 2 / drive.power, from: "2", to: "2", why: equal, source: maths}`: "",
	} {
		site["relations.yaml"] = &fstest.MapFile{Data: []byte("relations:\n  - " + text + "\n")}
		book, problems := record.Load(site, templates.FS, record.Options{})
		problems = append(problems, Run(book, nil, Known{})...)
		got := ""
		for _, p := range problems {
			p.Hint, p.Related = "", nil
			got += p.String()
		}
		if got != want {
			t.Errorf("%s\ngot  %s\nwant %s", text, got, want)
		}
	}
}
