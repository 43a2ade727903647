package procedure

import (
	"flag"
	"io/fs"
	"os"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"pgregory.net/rapid"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

var update = flag.Bool("update", false, "write what is found into testdata; read the difference before it is committed")

var options = Options{
	Instruments: []string{"feeler gauge", "steel rule", "outside micrometer"},
	Figures:     []string{"strip", "tang", "section", "bolt-circle", "pin"},
	Drawn: map[string]Drawn{
		"strip":       {Entries: []Entry{{Name: "travel", What: "the travel", Wanted: true}, {Name: "travel", What: "the travel as printed", Text: true, Wanted: true}, {Name: "way", Text: true, OneOf: []string{"cw", "ccw"}}}},
		"bolt-circle": {Of: "joint"},
		"pin":         {Of: "feature", Entries: []Entry{{Name: "part", What: "the part", Text: true, Wanted: true, OneOf: []string{"idler-pin"}}}},
	},
	Signs: []string{"gloves", "eye-protection"},
}

// site makes a file system of the archive's templates.
func site(files []txtar.File) fstest.MapFS {
	out := fstest.MapFS{}
	for _, f := range files {
		if strings.HasPrefix(f.Name, "procedures/") {
			out[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	return out
}

// TestMistakes holds each mistake in a template to its messages, places and hints.
func TestMistakes(t *testing.T) {
	const name = "testdata/mistakes.txtar"
	a, err := txtar.ParseFile(name)
	if err != nil {
		t.Fatal(err)
	}
	lib, probs := Load(site(a.Files), nil, options)
	if p, _ := lib.Procedure("reset"); p == nil || len(probs) > 0 {
		t.Fatalf("the templates without a mistake: %v", probs)
	}
	for i, f := range a.Files {
		if strings.HasPrefix(f.Name, "procedures/") {
			continue
		}
		changes, want, _ := strings.Cut(string(f.Data), "----\n")
		fsys := site(a.Files)
		old, rest, _ := strings.Cut(changes, "\n=>\n")
		with := strings.TrimSuffix(rest, "\n")
		found := 0
		for _, file := range fsys {
			if n := strings.Count(string(file.Data), old); n > 0 {
				found += n
				file.Data = []byte(strings.Replace(string(file.Data), old, with, 1))
			}
		}
		if found != 1 {
			t.Errorf("%s: %q stands in the templates %d times, want once", f.Name, old, found)
		}
		lib, probs := Load(fsys, nil, options)
		got := ""
		for _, p := range probs {
			got += p.String() + "\n"
		}
		if p, _ := lib.Procedure("reset"); p != nil || !probs.HasErrors() {
			t.Errorf("%s: the procedure is handed out", f.Name)
		}
		if got != want && !*update {
			t.Errorf("%s\ngot:\n%s\nwant:\n%s", f.Name, got, want)
		}
		a.Files[i].Data = []byte(changes + "----\n" + got)
	}
	if *update {
		if err := os.WriteFile(name, txtar.Format(a), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// templates gives the two good templates of the archive.
func templates(t testing.TB) fstest.MapFS {
	t.Helper()
	a, err := txtar.ParseFile("testdata/mistakes.txtar")
	if err != nil {
		t.Fatal(err)
	}
	return site(a.Files)
}

// load gives the procedure of good templates.
func load(t testing.TB, site, builtin fs.FS) *Procedure {
	t.Helper()
	lib, probs := Load(site, builtin, options)
	p, _ := lib.Procedure("reset")
	if p == nil || len(probs) > 0 {
		t.Fatal(probs)
	}
	return p
}

// TestPlaces holds what is read to its places, in runes.
func TestPlaces(t *testing.T) {
	p := load(t, templates(t), nil)
	at := func(line, col int) diag.Pos { return diag.Pos{File: "procedures/reset.yaml", Line: line, Col: col} }
	step := p.Stages[1].Steps[0]
	for what, pos := range map[string][2]diag.Pos{
		"plain formula":         {p.values[0].is.At, at(13, 9)},
		"quoted formula":        {p.eachJoint[0].is.At, at(23, 30)},
		"formula in a mapping":  {p.eachJoint[1].low.At, at(24, 80)},
		"name of a value":       {p.values[1].At, at(15, 3)},
		"show":                  {p.values[0].ShowAt, at(14, 11)},
		"name in a plain text":  {p.Title.Parts[1].At, at(2, 26)},
		"literal after a name":  {step.Do.Parts[2].At, at(43, 33)},
		"name in a quoted text": {step.Alerts[0].Say.Parts[0].At, at(45, 30)},
		"condition of a stage":  {p.Stages[1].When[0].At, at(41, 11)},
		"target of a blank":     {step.Blanks[0].Target.At, at(46, 37)},
		"hold":                  {step.Hold.At, at(47, 15)},
		"number of a figure":    {p.Numbers.Figures[0].Numbers[0].Is.At, at(34, 47)},
	} {
		if pos[0] != pos[1] {
			t.Errorf("%s: at %s, want %s", what, pos[0], pos[1])
		}
	}
}

// TestMerge holds what a procedure takes from its fragment.
func TestMerge(t *testing.T) {
	p := load(t, templates(t), nil)
	if len(p.Stages) != 2 || p.Stages[0].Title.String() != "Make safe" || p.Stages[1].Sheet != Steps {
		t.Errorf("stages: %+v", p.Stages)
	}
	var tools []string
	for _, item := range p.Job.Tools {
		tools = append(tools, item.Say.String())
	}
	if got := strings.Join(tools, " "); got != "Locks Hammer Spanner" {
		t.Errorf("tools: %s", got)
	}
	if p.People != 2 || p.Hours.SI() != 9*3600 || p.For.Text != `built.seal == "component"` || !p.Wear.All || p.Revision != "1" {
		t.Errorf("%+v", p)
	}
	step := p.Stages[1].Steps[0]
	if len(step.Alerts) != 2 || step.Alerts[1].Signal != "caution" || step.Alerts[1].When == nil || step.Hold.String() != "second person" {
		t.Errorf("%+v", step)
	}
	if u := step.Blanks[1].Unit; u == nil || u.Symbol != "mm" || step.Blanks[0].Instrument.Name != "steel rule" || p.Stages[1].Steps[1].Blanks[0].Kind != Signed {
		t.Errorf("%+v", step.Blanks)
	}
	if s := p.eachJoint[1].Show; s == nil || s.Grain[0].Step != 1 {
		t.Errorf("%+v", s)
	}
}

// TestNested places the stages of a fragment within a fragment, under both their
// conditions, and asks for a tool of both once.
func TestNested(t *testing.T) {
	fsys := fstest.MapFS{"procedures/all.yaml": {Data: []byte(`procedure: reset
title: T
revision: "1"
language: en
use: [outer]
stages: [{use: outer, when: hot}, {stage: Last, steps: [{do: End.}]}]
---
fragment: outer
revision: "1"
language: en
use: [inner]
job: {tools: [Hammer, Saw]}
stages: [{stage: First, steps: [{do: Begin.}]}, {use: inner, when: wet}]
---
fragment: inner
revision: "1"
language: en
job: {tools: [Hammer, {say: Hammer, when: hot}]}
stages: [{stage: Second, when: cold, steps: [{do: Go on.}]}]
`)}}
	p := load(t, fsys, nil)
	got := ""
	for _, s := range p.Stages {
		got += s.Title.String()
		for _, w := range s.When {
			got += " " + w.Text
		}
		got += "; "
	}
	if got != "First hot; Second hot wet cold; Last; " {
		t.Error(got)
	}
	if len(p.Job.Tools) != 3 || len(p.Files) != 3 {
		t.Errorf("%d tools, %d files", len(p.Job.Tools), len(p.Files))
	}
}

// TestStandIn lets a site's template stand in for a built-in one, and a faulty one
// of the site's not fall back to it.
func TestStandIn(t *testing.T) {
	builtin := templates(t)
	own := "fragment: safe\nrevision: \"7\"\nlanguage: en\nstages: [{stage: Ours, steps: [{do: Wait.}]}]\n"
	p := load(t, fstest.MapFS{"procedures/x.yaml": {Data: []byte(own)}}, builtin)
	if p.Stages[0].Title.String() != "Ours" || len(p.Files) != 2 || p.Files[1].Path != "procedures/x.yaml" || string(p.Files[1].Raw) != own {
		t.Errorf("%+v", p.Files)
	}
	lib, probs := Load(fstest.MapFS{"procedures/x.yaml": {Data: []byte(strings.Replace(own, "Wait", "wait", 1))}}, builtin, options)
	if p, faulty := lib.Procedure("reset"); p != nil || !faulty || len(probs) != 1 {
		t.Errorf("a procedure with a faulty fragment is handed out: %v", probs)
	}
	if p, faulty := lib.Procedure("elephant"); p != nil || faulty {
		t.Error("an elephant")
	}
	if lib, probs := Load(nil, nil, options); len(lib.Names()) > 0 || len(probs) > 0 {
		t.Error("templates from nowhere")
	}
}

// TestFiles changes one character at a time: in a template that is used it shows
// in Files, in another it does not.
func TestFiles(t *testing.T) {
	base := load(t, templates(t), nil)
	fsys := templates(t)
	fsys["procedures/other.yaml"] = &fstest.MapFile{Data: []byte("fragment: other\nrevision: \"1\"\nlanguage: en\n")}
	if p := load(t, fsys, nil); !reflect.DeepEqual(p.Files, base.Files) {
		t.Error("a template that is not used shows in the files")
	}
	fsys["procedures/safe.yaml"].Data = []byte(strings.Replace(string(fsys["procedures/safe.yaml"].Data), "Lock it", "Lock  it", 1))
	if p := load(t, fsys, nil); reflect.DeepEqual(p.Files, base.Files) {
		t.Error("a changed fragment does not show in the files")
	}
}

// TestParseName takes names apart and puts them together again.
func TestParseName(t *testing.T) {
	for text, want := range map[string]Name{
		"travel":                 {Rest: "travel"},
		"end_clearance.set":      {Rest: "end_clearance.set"},
		"joint.torque":           {PerJoint, "", "torque"},
		"joint.recorded.low":     {PerJoint, "", "recorded.low"},
		"joints.head.torque.low": {PerJoint, "head", "torque.low"},
		"features.pin.new":       {PerFeature, "pin", "new"},
		"feature.new":            {PerFeature, "", "new"},
		"assemblies.head.mass":   {PerAssembly, "head", "mass"},
		"assembly.mass":          {PerAssembly, "", "mass"},
		"joints.head":            {Rest: "joints.head"},
		"joints":                 {Rest: "joints"},
		"joints..torque":         {Rest: "joints..torque"},
	} {
		if got := ParseName(text); got != want || got.String() != text || got.InHand() != (want.Group != Single && want.Member == "") {
			t.Errorf("%s: %+v, %s", text, got, got)
		}
	}
}

const ordered = `procedure: reset
title: T
revision: "1"
language: en
values:
  last: {what: L, is: 'band.low + joints["head"].load + first', show: nearest 1 mm}
  band: {what: B, low: first, high: 2 * first, target: first, show: nearest 1 mm}
  first: {what: F, is: gap, show: nearest 1 mm}
  component: {what: C, is: 'built.seal == "component" ? first : gap', show: nearest 1 mm}
each_joint:
  load: {what: L, is: joint.area * 2, show: nearest 1 kN}
  area: {what: A, is: joint.count, show: nearest 1 mm}
stages: [{stage: S, steps: [{do: "See {last}, {component} and {band}."}]}]
`

// TestOrder lists each value after those that it is computed from, however a name
// is written; a quoted word is not a name.
func TestOrder(t *testing.T) {
	p := load(t, fstest.MapFS{"procedures/all.yaml": {Data: []byte(ordered)}}, nil)
	var got []string
	for _, v := range p.Order {
		got = append(got, v.Full(""))
	}
	if s := strings.Join(got, " "); s != "first band joint.area joint.load last component" {
		t.Error(s)
	}
	for _, v := range p.values {
		if v.Band() != (v.Name == "band") {
			t.Errorf("%s is a band: %t", v.Name, v.Band())
		}
	}
	for name, want := range map[string]string{
		"last": "last ", "band": "band ", "band.low": "band low", "band.high": "band high", "band.target": "band target", "joints.head.load": "joint.load ",
		"joint.area": "joint.area ", "joints.head.area.low": "joint.area low", "joints.head": "", "load": "", "head.load": "", "band.top": "", "feature.load": "",
	} {
		v, end := p.Find(ParseName(name))
		if got := ""; v != nil {
			if got = v.Full("") + " " + end.String(); got != want {
				t.Errorf("%s: %q, want %q", name, got, want)
			}
		} else if want != "" {
			t.Errorf("%s: nothing, want %q", name, want)
		}
	}
}

// A formula that cannot be read may use any value: none is then said to be unused.
func TestUnreadableFormulaUsesAnything(t *testing.T) {
	text := strings.Replace(ordered, "is: gap", "is: gap + (", 1)
	if _, probs := Load(fstest.MapFS{"procedures/all.yaml": {Data: []byte(strings.Replace(text, "{component}", "all", 1))}}, nil, options); len(probs) > 0 {
		t.Error(probs)
	}
	text = strings.Replace(ordered, "{component}", "all", 1)
	if _, probs := Load(fstest.MapFS{"procedures/all.yaml": {Data: []byte(text)}}, nil, options); len(probs) != 1 || probs[0].Rule != "unused-value" {
		t.Error(probs)
	}
}

// TestTextRoundTrip puts texts together, writes them as a template would, and
// takes them apart again.
func TestTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want Text
		for range rapid.IntRange(1, 6).Draw(t, "parts") {
			if n := len(want.Parts); (n == 0 || want.Parts[n-1].Name != "") && rapid.Bool().Draw(t, "literal") {
				want.Parts = append(want.Parts, Part{Literal: rapid.StringMatching(`[a-zé{}µ.]([ a-zé{}µ.:]{0,8}[a-z{}µ.])?`).Draw(t, "text")})
			} else {
				want.Parts = append(want.Parts, Part{Name: rapid.StringMatching(`[a-z_]{1,4}(\.[a-z0-9_]{1,4}){0,2}`).Draw(t, "name")})
			}
		}
		file := "title: '" + want.String() + "'"
		docs, _ := source.Read("f.yaml", []byte(file), source.Options{})
		if len(docs) != 1 {
			t.Fatal(file)
		}
		got := textOf(docs[0].Root.Text("title"))
		if got.String() != want.String() || len(got.Parts) != len(want.Parts) || len(docs[0].Problems) > 0 {
			t.Fatalf("%q: %+v, %v", want.String(), got, docs[0].Problems)
		}
		runes := []rune(file)
		for i, p := range got.Parts {
			if p.Name != want.Parts[i].Name || p.Literal != want.Parts[i].Literal {
				t.Fatalf("%q: %+v", want.String(), got)
			}
			if from := p.At.Col - 1; p.Name != "" && string(runes[from:from+len([]rune(p.Name))]) != p.Name {
				t.Fatalf("%q: the name %s is not at %s", file, p.Name, p.At)
			}
		}
	})
}

// FuzzLoad reads whatever it is given beside a good fragment: it never panics, and
// hands out only procedures without an error.
func FuzzLoad(f *testing.F) {
	for _, file := range templates(f) {
		f.Add(string(file.Data))
	}
	f.Add("procedure: p\ntitle: '{a'\nrevision: 1\nlanguage: en\nstages: [{use: safe}]\n---\nfragment: q\nuse: [q]\n")
	f.Fuzz(func(t *testing.T, text string) {
		fsys := templates(t)
		fsys["procedures/fuzz.yaml"] = &fstest.MapFile{Data: []byte(text)}
		lib, probs := Load(fsys, nil, options)
		errors := map[string]bool{}
		for _, p := range probs {
			if p.Message == "" || p.Rule == "" {
				t.Fatalf("%+v", p)
			}
			if p.Severity == diag.Error {
				errors[p.Pos.File] = true
			}
		}
		for _, name := range lib.Names() {
			p, faulty := lib.Procedure(name)
			if p == nil || faulty || len(p.Stages) == 0 || p.Title.Empty() {
				t.Fatalf("%s: %+v", name, p)
			}
			if len(p.Files) == 1 && p.Files[0].Path == "procedures/fuzz.yaml" && strings.Count(text, "---") == 0 && errors["procedures/fuzz.yaml"] {
				t.Fatalf("%s is handed out with errors: %v", name, probs)
			}
		}
	})
}
