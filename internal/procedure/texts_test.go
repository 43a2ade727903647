package procedure

import (
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

const spoken = `procedure: wash
title: Wash
revision: "1"
language: en
use: [dry]
values:
  grit: {what: Grit in the oil, is: q("1 g"), source: A guess}
stages:
  - stage: Wash it
    alerts: [{caution: The floor is wet.}]
    steps:
      - do: Wash {unit.id} for 0.5 h.
        how: [Begin at the top.]
        alerts: [{warning: "Hot: {grit}."}]
        blanks: [{label: A, kind: tick}, {label: Clean, kind: tick}]
        hold: second person
        figures: [{figure: wear-points, caption: Where to wash, texts: {part: idler-pin}}]
  - use: dry
---
fragment: dry
revision: "1"
language: de
stages: [{stage: Trocknen, steps: [{do: Trocknen lassen.}]}]
`

const inSpanish = `Wash: Lavado
Grit in the oil: Arenilla en el aceite
A guess: Una suposición
Wash it: Lavar
"Wash {unit.id} for 0.5 h.": "Durante 0,5 h, lavar {unit.id}."
"Hot: {grit}.": "Caliente: {grit}."
Clean: Limpio
second person: segunda persona
Where to wash: Dónde lavar
Trocknen: Secado
Trocknen lassen.: Dejar secar.
The floor is wet.: El suelo está mojado.
Begin at the top.: Empezar por arriba.
`

// spanish loads the template above with a catalogue, the site's own over it.
func spanish(t *testing.T, catalogue, own string) (*Library, string) {
	t.Helper()
	builtin := fstest.MapFS{"procedures/wash.yaml": {Data: []byte(spoken)}, "texts/es/wash.yaml": {Data: []byte(catalogue)}}
	site := fstest.MapFS{}
	if own != "" {
		site["texts/es/own.yaml"] = &fstest.MapFile{Data: []byte(own)}
	}
	opt := options
	opt.Language = "es"
	opt.Instruments, opt.Figures = nil, nil
	lib, problems := Load(site, builtin, opt)
	return lib, found(problems)
}

// TestTranslated puts a procedure and its fragment, of two languages, into a
// third: every text is put, the names of drawings and blanks are not, and names in
// braces keep the places that they have in the template.
func TestTranslated(t *testing.T) {
	lib, problems := spanish(t, inSpanish, "Clean: Limpia\n")
	p, _ := lib.Procedure("wash")
	if problems != "" || p == nil {
		t.Fatal(problems)
	}
	var got []string
	p.prose(func(x *Text) {
		if !x.Empty() {
			got = append(got, x.String())
		}
	})
	want := "Lavado|Arenilla en el aceite|Una suposición|Dónde lavar|Lavar|El suelo está mojado.|Secado|Durante 0,5 h, lavar {unit.id}.|Empezar por arriba.|segunda persona|Caliente: {grit}.|A|Limpia|Dejar secar."
	if s := strings.Join(got, "|"); s != want {
		t.Errorf("\ngot  %s\nwant %s", s, want)
	}
	step := p.Stages[0].Steps[0]
	if step.Figures[0].Texts[0].Say.String() != "idler-pin" || step.Blanks[1].Label.Original() != "Clean" || step.Blanks[0].Label.Original() != "A" {
		t.Errorf("%+v", step)
	}
	if at := step.Do.Parts[1].At.String(); step.Do.Parts[1].Name != "unit.id" || at != source.BuiltIn+"procedures/wash.yaml:12:19" {
		t.Errorf("%+v", step.Do)
	}
	if p.values[0].Language != "en" || lib.Texts().Language != "es" || len(lib.Texts().Files) != 2 || len(lib.Texts().Unused()) != 0 {
		t.Errorf("%+v", lib.Texts().Unused())
	}
	if s, ok := lib.Texts().In("Clean"); s != "Limpia" || !ok {
		t.Error(s)
	}
	if _, ok := lib.Texts().In("Dirty"); ok || lib.Texts().Want("Dirty") || !lib.Texts().Want("T = K d F") {
		t.Error("an entry that is not there")
	}
	if s, ok := (*Texts)(nil).In("Dirty"); s != "Dirty" || !ok {
		t.Error("no catalogue, and yet a translation")
	}
}

// TestUntranslated holds a catalogue to the templates: what is missing, and what
// says other names or numbers, refuses the procedure.
func TestUntranslated(t *testing.T) {
	if lib, _ := spanish(t, inSpanish+"Clear: Claro\n", ""); len(lib.Texts().Unused()) != 1 {
		t.Error("an entry that no template uses is not told")
	}
	const noHot, noWash = `built-in/procedures/wash.yaml:14:29: error: there is no text in es for "Hot: {grit}." [missing-text]`, `built-in/procedures/wash.yaml:12:13: error: there is no text in es for "Wash {unit.id} for 0.5 h." [missing-text]`
	for name, c := range map[string]struct{ old, new, want string }{
		"missing":        {"Clean: Limpio\n", "", `built-in/procedures/wash.yaml:15:50: error: there is no text in es for "Clean" [missing-text]`},
		"missing role":   {"second person: segunda persona\n", "", `built-in/procedures/wash.yaml:16:15: error: there is no text in es for "second person" [missing-text]`},
		"in a fragment":  {"Trocknen: Secado\n", "", `built-in/procedures/wash.yaml:23:18: error: there is no text in es for "Trocknen" [missing-text]`},
		"other name":     {"Caliente: {grit}", "Caliente: {grids}", noHot + "\n" + `built-in/texts/es/wash.yaml:6:18: error: the text names grids, and its key grit [text-names]`},
		"name lost":      {"lavar {unit.id}", "lavar", noWash + "\n" + `built-in/texts/es/wash.yaml:5:31: error: the text names none, and its key unit.id [text-names]`},
		"names too many": {"{grit}.\"\n", "{grit} {unit.id}.\"\n", noHot + "\n" + `built-in/texts/es/wash.yaml:6:18: error: the text names grit, unit.id, and its key grit [text-names]`},
		"other number":   {"0,5 h", "0,8 h", noWash + "\n" + `built-in/texts/es/wash.yaml:5:31: error: the text has the figures 0, 8, and its key 0, 5 [text-figures]`},
		"broken text":    {"Caliente: {grit}", "Caliente: {grit", noHot + "\n" + `built-in/texts/es/wash.yaml:6:28: error: found { with no } behind it [text]`},
		"broken text of no names": {"Clean: Limpio", "Clean: Limpio}", `built-in/procedures/wash.yaml:15:50: error: there is no text in es for "Clean" [missing-text]` + "\n" +
			`built-in/texts/es/wash.yaml:7:14: error: found } with no { before it [text]`},
		"broken key": {"Clean: Limpio", "Clean}: Limpio", `built-in/procedures/wash.yaml:15:50: error: there is no text in es for "Clean" [missing-text]` + "\n" +
			`built-in/texts/es/wash.yaml:7:6: error: found } with no { before it [text]`},
		"twice": {"Wash: Lavado\n", "Wash: Lavado\n---\nWash: Lavada\n", `built-in/texts/es/wash.yaml:3:1: error: this text has an entry already, at built-in/texts/es/wash.yaml:1:1 [duplicate-text]`},
		"no catalogue": {inSpanish, "# nothing\n", `built-in/procedures/wash.yaml:1:1: error: the template wash is in en, and nothing puts it into es [language]` + "\n" + `built-in/procedures/wash.yaml:20:1: error: the fragment dry is in de, procedure wash in en [language]
built-in/procedures/wash.yaml:20:1: error: the template dry is in de, and nothing puts it into es [language]
built-in/texts/es/wash.yaml: error: the file holds no record [empty]`},
	} {
		lib, problems := spanish(t, strings.Replace(inSpanish, c.old, c.new, 1), "")
		if problems != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", name, problems, c.want)
		}
		if p, faulty := lib.Procedure("wash"); name != "twice" && (p != nil || !faulty) {
			t.Errorf("%s: the procedure is handed out", name)
		} else if p != nil && p.Title.String() != "Lavado" {
			t.Errorf("%s: the second entry is taken", name)
		}
		for _, p := range lib.Texts().Unused() {
			if p.Severity != diag.Warning || p.Rule != "unused-text" || strings.Contains(p.Message, `""`) {
				t.Errorf("%s: %s", name, p)
			}
		}
	}
}

// TestEntries holds single entries of a catalogue to what they say of the program's own
// texts: names in any order and as often as the language wants, numbers in any order,
// braces that are none of a name.
func TestEntries(t *testing.T) {
	const own = `"{a} over {b}": "{b} bajo {a}"
"{a} alone": "{a}, solo {a}"
3 to 10 turns: de 10 a 3 vueltas
"{{x}} here": "{{x}} aquí"
`
	lib, problems := spanish(t, inSpanish, own)
	x := lib.Texts()
	if problems != "" || len(x.Unused()) != 4 || x.Unused()[0].Message != `no template has the text "{a} over {b}"` {
		t.Fatalf("%s, %v", problems, x.Unused())
	}
	for text, want := range map[string]string{"3 to 10 turns": "de 10 a 3 vueltas", "{x} here": "{x} aquí", "T": "T", "{a} over {b}": "", "": "", "0.5": "", "{{x}} here": ""} {
		s, ok := x.In(text)
		if s != want || ok != (want != "" || text == "") {
			t.Errorf("%q in Spanish is %q, %t", text, s, ok)
		}
	}
	for _, text := range []string{"3 to 10 turns", "{x} here"} {
		if !x.Want(text) {
			t.Errorf("%q is wanted, and is not there", text)
		}
	}
	if n := len(x.Unused()); n != 2 {
		t.Errorf("%d entries are unused, not 2", n)
	}
	if (*Texts)(nil).Unused() != nil || !(*Texts)(nil).Want("Dirty") {
		t.Error("no catalogue, and yet something is wanted of it")
	}
}

// Pages in English take the program's own texts as they stand.
func TestEnglish(t *testing.T) {
	opt := options
	opt.Language = source.English
	lib, problems := Load(templates(t), nil, opt)
	if p, _ := lib.Procedure("reset"); p == nil || len(problems) > 0 {
		t.Fatal(problems)
	}
	if s, ok := lib.Texts().In("Dirty"); s != "Dirty" || !ok || !lib.Texts().Want("Dirty") {
		t.Errorf("%q, %t", s, ok)
	}
}

// The files of a catalogue are in order of path, and what is wrong in one is told.
func TestTextFiles(t *testing.T) {
	fsys := fstest.MapFS{}
	for _, name := range []string{"a/b", "a", "c"} {
		fsys["texts/es/"+name+".yaml"] = &fstest.MapFile{Data: []byte("# nothing\n---\nText of " + strings.ReplaceAll(name, "/", " and ") + ": Texto\n")}
	}
	lib, problems := Load(fsys, nil, Options{Language: "es"})
	var got []string
	for _, f := range lib.Texts().Files {
		got = append(got, f.Path)
		if f.BuiltIn || f.Line == 0 || !strings.Contains(string(f.Raw), "Text") {
			t.Errorf("%+v", f)
		}
	}
	if s := strings.Join(got, " "); s != "texts/es/a.yaml texts/es/a/b.yaml texts/es/c.yaml" || len(problems) > 0 {
		t.Errorf("%s, %v", s, problems)
	}
}

// A template that does not say its language is told that alone: none of its texts is
// missed.
func TestLanguageMissing(t *testing.T) {
	builtin := fstest.MapFS{"procedures/wash.yaml": {Data: []byte(strings.Replace(spoken, "language: en\n", "", 1))}, "texts/es/wash.yaml": {Data: []byte(strings.Replace(inSpanish, "Clean: Limpio\n", "", 1))}}
	_, problems := Load(nil, builtin, Options{Language: "es"})
	if s := found(problems); s != "built-in/procedures/wash.yaml:1:1: error: the key language is missing [missing-key]" {
		t.Error(s)
	}
}

// A template in the language of the pages stands as it is, and needs no catalogue.
func TestOwnLanguage(t *testing.T) {
	opt := options
	opt.Language = "de"
	fsys := fstest.MapFS{"procedures/dry.yaml": {Data: []byte("procedure: dry\ntitle: Trocknen\nrevision: \"1\"\nlanguage: de\nstages: [{stage: Trocknen, steps: [{do: Trocknen lassen.}]}]\n")}}
	lib, problems := Load(fsys, nil, opt)
	if p, _ := lib.Procedure("dry"); p == nil || len(problems) > 0 || p.Title.String() != "Trocknen" || p.language != "de" {
		t.Error(problems)
	}
}
