package compute

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"

	"github.com/rogpeppe/go-internal/txtar"
)

// translated compiles the site of package record in a language in which each text of
// the program is itself with a mark behind it, without those that are left out.
func translated(t *testing.T, own string, left ...string) (*Plans, diag.List) {
	t.Helper()
	a, err := txtar.ParseFile("../record/testdata/base.txtar")
	if err != nil {
		t.Fatal(err)
	}
	site, builtin := fstest.MapFS{}, fstest.MapFS{}
	for _, f := range a.Files {
		if in, ok := strings.CutPrefix(f.Name, "builtin/"); ok {
			builtin[in] = &fstest.MapFile{Data: f.Data}
		} else {
			site[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	site["terms.yaml"] = &fstest.MapFile{Data: []byte("terms:\n  own.way: {what: A thing of ours, one_of: [hither, thither]}\n  built.thrust_bearing: {what: Our bearing, one_of: [ball, taper]}\n")}
	site["instruments/ours.yaml"] = &fstest.MapFile{Data: []byte("instrument: our gauge\nresolution: 0.01 mm\nuncertainty: 0.01 mm\nsource: invented\n")}
	site["procedures/own.yaml"] = &fstest.MapFile{Data: []byte(own)}
	options := procedure.Options{Language: "eo", Instruments: []string{"outside micrometer"}}
	texts := map[string]bool{}
	lacks := func(problems diag.List) {
		for _, p := range problems {
			if _, text, ok := strings.Cut(p.Message, "there is no text in eo for "); ok {
				texts[text] = true
			}
		}
	}
	load := func() (*record.Book, *procedure.Library) {
		book, problems := record.Load(site, builtin, record.Options{})
		lib, more := procedure.Load(site, builtin, options)
		lacks(more)
		for _, p := range slices.Concat(problems, more) {
			if p.Severity == diag.Error && p.Rule != "missing-text" {
				t.Fatal(p)
			}
		}
		return book, lib
	}
	// What the catalogue must hold is what one that has less is told that it lacks.
	catalogue := func(left ...string) {
		var b strings.Builder
		b.WriteString("nothing at all: x\n")
		for _, text := range slices.Sorted(maps.Keys(texts)) {
			if !slices.Contains(left, text) {
				fmt.Fprintf(&b, "%s: %s+\"\n", text, strings.TrimSuffix(text, `"`))
			}
		}
		builtin["texts/eo/all.yaml"] = &fstest.MapFile{Data: []byte(b.String())}
	}
	for range 2 {
		catalogue()
		book, lib := load()
		_, lacking := Compile(book, lib, keyWords())
		lacks(lacking)
	}
	catalogue(left...)
	book, lib := load()
	return Compile(book, lib, keyWords())
}

// ownTexts is a procedure of the site's own, in the language of its pages.
const ownTexts = `procedure: own
title: Own
revision: "1"
language: eo
values:
  travel: {what: Travel, is: 'arc_travel(end_clearance.set, housing.diameter, housing.lead)', show: nearest 0.5 mm}
  way: {what: Way, is: 'half_rings ? "this way" : "that way"', source: S, show: text}
stages:
  - stage: See
    steps: [{do: "Read {travel}, {way}, {built.seal}, {drive.kind}, {lock_nut.thread}, {end_clearance.set}, {joints.head.condition}, {joints.head.what}, {unit.suction}."}]
`

// Everything of the program that a packet may print has a text in the language of the
// pages, or no packet is made; what the site wrote is left as it wrote it.
func TestVocabulary(t *testing.T) {
	if _, problems := translated(t, ownTexts); len(problems) > 0 {
		t.Fatal(problems)
	}
	for text, want := range map[string]string{
		`"Shaft seal"`:             "built-in/terms.yaml:3:3", // what a term is
		`"cartridge"`:              "built-in/terms.yaml:3:3", // a word of it
		`"Causes skin irritation"`: "built-in/ghs.yaml:6:3",
		`"outside micrometer"`:     "built-in/instruments.yaml:1:1",
		`"oiled"`:                  "-", // a word of the tables of bolting
		`"cross"`:                  "-",
		`"left"`:                   "built-in/machines/gear-pump.yaml:6:3",
		`"geometry of the helix"`:  "procedures/own.yaml:6:31", // the source of a function
		`"s = π D c / lead"`:       "procedures/own.yaml:6:31",
	} {
		plans, problems := translated(t, ownTexts, text)
		var got []string
		for _, p := range problems {
			got = append(got, p.Pos.String()+" "+p.Message+" "+p.Hint)
		}
		if len(got) != 1 || got[0] != want+" there is no text in eo for "+text+" add it to the folder texts/eo" {
			t.Errorf("without %s: %q", text, got)
		}
		known := func(s string) record.Text { return record.Text{S: s, At: diag.Pos{File: "test", Line: 1, Col: 1}} }
		if n, list := plans.Job(&record.Job{ID: known("K-1"), Unit: known("P-1"), Procedure: known("own"), Day: known("2026-11-30")}); n != nil || !list.HasErrors() {
			t.Errorf("without %s a packet is made", text)
		}
	}
	// In another language than that of the pages, the words that a formula may come to
	// are wanted as well.
	_, problems := translated(t, strings.Replace(ownTexts, "language: eo", "language: en", 1), `"this way"`)
	if len(problems) != 1 || problems[0].Pos.String() != "procedures/own.yaml:7:25" {
		t.Errorf("%v", problems)
	}
}

// The program's own words print in the language of the pages, the site's as they are.
func TestWordsOfTheProgramAndOfTheSite(t *testing.T) {
	plans, problems := translated(t, ownTexts)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	known := func(s string) record.Text { return record.Text{S: s, At: diag.Pos{File: "test", Line: 1, Col: 1}} }
	n, list := plans.Job(&record.Job{ID: known("K-1"), Unit: known("P-1"), Procedure: known("own"), Day: known("2026-11-30")})
	if n == nil {
		t.Fatal(list)
	}
	var got []string
	for _, name := range []string{"travel", "way", "built.seal", "drive.kind", "lock_nut.thread", "joints.head.condition", "joints.head.what", "unit.suction", "unit.name"} {
		got = append(got, n.Named(name).String())
	}
	if want := "22.0\u00a0mm, this way, component+, belt+, M30x1.5, oiled+, Head to casing, left+, First pump"; strings.Join(got, ", ") != want {
		t.Errorf("got  %s\nwant %s", strings.Join(got, ", "), want)
	}
	n.Named("end_clearance.set")
	for _, e := range n.Working() {
		switch e.Name {
		case "travel":
			if !slices.Equal(e.Sources, []string{"s = π D c / lead+ (geometry of the helix+)"}) {
				t.Errorf("%q", e.Sources)
			}
		case "end_clearance.set":
			if e.What != "To set+" {
				t.Errorf("%q", e.What)
			}
		}
	}
	for name, want := range map[string]string{"lock_nut.torque.low": "Torque+, [low]", "lock_nut.torque": "Torque+", "own.way": "A thing of ours", "built.thrust_bearing": "Our bearing"} {
		if got := n.What(n.Book.Terms[name]); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
}
