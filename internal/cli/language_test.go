package cli

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// inLanguage reads a demo site as if it had chosen a language for its pages.
func inLanguage(t testing.TB, name, language string) (*site, plant) {
	t.Helper()
	p := demo(t, name)
	if language != "en" {
		p.replace(t, "site.yaml", "language: en", "language: "+language)
	}
	st := readSite(p.files())
	for _, problem := range st.problems {
		t.Errorf("%s in %s: %s", name, language, problem)
	}
	return st, p
}

// TestSpanish prints all jobs of both demo sites in Spanish without a problem: on
// every packet the signal words, the GHS statements and the numbers are Spanish.
func TestSpanish(t *testing.T) {
	for _, name := range []string{"soapworks", "candleworks-us"} {
		st, _ := inLanguage(t, name, "es")
		maker := &printjob.Maker{Composer: st.composer}
		for _, job := range st.jobs() {
			made, err := maker.Print(job)
			if err != nil || made.Packet == nil || len(made.Problems) > 0 {
				t.Fatalf("%s: %v %v", job.ID, err, made.Problems)
			}
			if made.Packet.Language != "es" || made.Packet.Decimal != "," {
				t.Errorf("%s: %q %q", job.ID, made.Packet.Language, made.Packet.Decimal)
			}
			printedTexts(made.Packet, func(field, text string, style packet.Style) {
				if style == packet.Strong && decimalPoint.MatchString(text) {
					t.Errorf("%s: the number %q has a decimal point", job.ID, text)
				}
			})
		}
	}
	st, _ := inLanguage(t, "soapworks", "es")
	pk, _ := st.composer.Make(st.jobs()[0]) // lye
	h := pk.Sheets[0].Blocks[0].Hazard
	want := []packet.Statement{{Code: "H290", Text: "Puede ser corrosivo para los metales"}, {Code: "H314", Text: "Provoca quemaduras graves en la piel y lesiones oculares graves"}}
	if h.Signal != "PELIGRO" || !slices.Equal(h.Statements, want) {
		t.Errorf("%q %q", h.Signal, h.Statements)
	}
	var all strings.Builder
	printedTexts(pk, func(_, text string, _ packet.Style) { all.WriteString(text + "\n") })
	for _, s := range []string{"18,3\u00a0L", "llave dinamométrica", "carbón-grafito", "con aceite", "galga de espesores", "Polipasto"} {
		if !strings.Contains(all.String(), s) {
			t.Errorf("the packet nowhere says %q", s)
		}
	}
}

var decimalPoint = regexp.MustCompile(`\d\.\d`)

// printedTexts visits every text of a packet that its pages print, with the name
// of its field.
func printedTexts(pk *packet.Packet, visit func(field, text string, style packet.Style)) {
	raw, err := json.Marshal(pk.Sheets)
	if err != nil {
		panic(err)
	}
	var sheets any
	if err := json.Unmarshal(raw, &sheets); err != nil {
		panic(err)
	}
	var walk func(field string, v any)
	walk = func(field string, v any) {
		switch v := v.(type) {
		case string:
			visit(field, v, "")
		case []any:
			for _, e := range v {
				walk(field, e)
			}
		case map[string]any:
			if text, ok := v["text"].(string); ok && v["code"] == nil { // a span
				style, _ := v["style"].(string)
				visit("span", text, packet.Style(style))
				return
			}
			for key, e := range v {
				walk(key, e)
			}
		}
	}
	walk("", sheets)
}

// code are the fields of a packet that hold no text of a language: names, places
// and formulas as a template or a record has them.
var code = []string{"id", "kind", "unit", "name", "sign", "signal", "pictograms", "formula", "governed", "at", "key", "number", "numbers", "exactly", "not_on_record", "code", "texts", "lists", "entries", "si", "low", "high"}

// TestNoEnglishLeft compares the packets of all jobs in two languages. What reads
// alike in both must be the site's own words, a number with its unit, a condition
// as its template has it, or a file.
func TestNoEnglishLeft(t *testing.T) {
	english, files := inLanguage(t, "soapworks", "en")
	spanish, _ := inLanguage(t, "soapworks", "es")
	own := siteWords(files)
	conditions, names := map[string]bool{}, fileNames(t, files)
	for _, name := range english.library.Names() {
		p, _ := english.library.Procedure(name)
		p.Conditions(func(e *formula.Expr) { conditions[e.Text] = true })
	}
	for i, job := range english.jobs() {
		en, _ := english.composer.Make(job)
		es, _ := spanish.composer.Make(spanish.jobs()[i])
		if en == nil || es == nil {
			t.Fatalf("%s is refused", job.ID)
		}
		was := map[string]bool{}
		printedTexts(en, func(_, text string, _ packet.Style) { was[text] = true })
		compared := 0
		printedTexts(es, func(field, text string, style packet.Style) {
			if slices.Contains(code, field) || style == packet.Key || !hasWord.MatchString(text) {
				return
			}
			compared++
			place, _, _ := strings.Cut(text, ":")
			if was[text] && !own(strings.TrimSpace(text)) && !amounts.MatchString(text) && !conditions[text] && !names[place] && !names[text] {
				t.Errorf("%s: %s %q reads alike in English and Spanish", job.ID, field, text)
			}
		})
		if compared < 250 {
			t.Errorf("%s: only %d texts were compared", job.ID, compared)
		}
		if a, b := boxNames(en), boxNames(es); !slices.Equal(a, b) {
			t.Errorf("%s: the blanks have other names in Spanish: %v", job.ID, slices.DeleteFunc(b, func(s string) bool { return slices.Contains(a, s) }))
		}
		if en.Fingerprint == es.Fingerprint {
			t.Errorf("%s: one fingerprint for two languages", job.ID)
		}
	}
}

var (
	hasWord = regexp.MustCompile(`\p{Latin}{2}`)
	// amounts are numbers with units, in one system or both.
	amounts = regexp.MustCompile(`^(?:; )?(?:±[ \x{a0}])?\d[\d.,]*[ \x{a0}]?\S{0,10}(?: \(\d[\d.,]*[ \x{a0}]?\S{0,10}\))?(?: \(k = 2\))?$`)
)

// siteWords reports whether every part of a text is in the site's own files.
func siteWords(files plant) func(text string) bool {
	var b strings.Builder
	for _, text := range files {
		b.WriteString(strings.Join(strings.Fields(text), " ") + "\n")
	}
	all := b.String()
	parts := regexp.MustCompile(`[;:.,] |[.;:]$`)
	return func(text string) bool {
		for _, part := range parts.Split(text, -1) {
			if !strings.Contains(all, part) {
				return false
			}
		}
		return true
	}
}

// fileNames are the names by which the working knows a site's files and those that
// are built in.
func fileNames(t *testing.T, files plant) map[string]bool {
	names := map[string]bool{}
	add := func(file string) {
		names[file] = true
		names[strings.TrimSuffix(path.Base(file), ".yaml")] = true
	}
	for file := range files {
		add(file)
	}
	err := fs.WalkDir(templates.FS, ".", func(file string, d fs.DirEntry, err error) error {
		add("built-in/" + file)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// boxNames lists the names of a packet's blanks and steps.
func boxNames(pk *packet.Packet) []string {
	var ids []string
	printedTexts(pk, func(field, text string, _ packet.Style) {
		if field == "id" {
			ids = append(ids, text)
		}
	})
	slices.Sort(ids)
	return ids
}

// TestTextsAreUsed checks the Spanish catalogue against the templates: every entry stands
// for a text that something prints, or that a function would if it were called.
func TestTextsAreUsed(t *testing.T) {
	st, _ := inLanguage(t, "soapworks", "es")
	texts := st.library.Texts()
	for _, f := range formula.Functions() {
		for _, s := range []string{f.Formula, f.Source} {
			if !texts.Want(s) {
				t.Errorf("the function %s has no text for %q", f.Name, s)
			}
		}
	}
	for _, problem := range texts.Unused() {
		t.Error(problem)
	}
}

// TestDrawingsTakeNames checks that the texts that templates pass to figures are names
// that the drawing knows, or numbers: they are not translated.
func TestDrawingsTakeNames(t *testing.T) {
	st, _ := inLanguage(t, "soapworks", "en")
	for _, name := range st.library.Names() {
		p, _ := st.library.Procedure(name)
		p.Figures(func(f *procedure.Figure) {
			for _, label := range f.Texts {
				for _, part := range label.Say.Parts {
					if part.Name == "" && !slices.Contains(wearParts(), part.Literal) {
						t.Errorf("%s: a figure is handed the text %q, which no catalogue holds", part.At, part.Literal)
					}
				}
			}
		})
	}
}

// TestThirdLanguage adds a language by files alone: the Spanish ones under another
// name.
func TestThirdLanguage(t *testing.T) {
	builtin := fstest.MapFS{}
	err := fs.WalkDir(templates.FS, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(templates.FS, name)
		builtin[strings.ReplaceAll(name, "/es", "/pt")] = &fstest.MapFile{Data: data, Mode: 0o444}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	p := demo(t, "soapworks")
	p.replace(t, "site.yaml", "language: en", "language: pt")
	book, problems := record.Load(p.files(), builtin, record.Options{})
	lib, list := procedure.Load(p.files(), builtin, procedure.Options{Language: "pt"})
	problems = append(problems, list...)
	catalogue, list := words.Load(nil, builtin, "pt", nil)
	problems = append(problems, list...)
	composer, list := compose.New(book, lib, catalogue, "test")
	if problems = append(problems, list...); len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, l := range book.Lists {
		for _, job := range l.Jobs {
			if pk, list := composer.Make(job); pk == nil || len(list) > 0 || pk.Language != "pt" {
				t.Fatal(job.ID, list)
			}
		}
	}

	// Without a term's text no packet is made in the language.
	terms := builtin["texts/pt/terms.yaml"]
	builtin["texts/pt/terms.yaml"] = &fstest.MapFile{Data: []byte(strings.Replace(string(terms.Data), "\nShaft seal: ", "\nShaft seals: ", 1))}
	lib, _ = procedure.Load(p.files(), builtin, procedure.Options{Language: "pt"})
	composer, list = compose.New(book, lib, catalogue, "test")
	// Each kind of machine that has the term says so at its own line.
	at := book.Terms["built.seal"].At.String()
	if !slices.ContainsFunc(list, func(p diag.Problem) bool { return p.Pos.String() == at }) {
		t.Errorf("nothing is said at %s: %v", at, list)
	}
	for _, p := range list {
		if !strings.HasPrefix(p.String(), p.Pos.String()+`: error: there is no text in pt for "Shaft seal" [missing-text]`) || !strings.HasPrefix(p.Pos.File, "built-in/machines/") {
			t.Error(p)
		}
	}
	for _, l := range book.Lists {
		if pk, list := composer.Make(l.Jobs[0]); pk != nil || !list.HasErrors() {
			t.Error("a packet is made without its texts")
		}
	}
}

// TestSitesOwnTexts prints a procedure of the site's own, written in English, in
// Spanish by the site's own catalogue; an entry that stands for nothing is reported.
func TestSitesOwnTexts(t *testing.T) {
	p := demo(t, "soapworks").list("job: K-1, unit: P-214, procedure: look, day: 2026-11-30")
	p.replace(t, "site.yaml", "language: en", "language: es")
	// What every procedure of a pump says, so that only the step between is its own.
	around := `use: [make-safe, back-in-service]
values: {opened: {what: %q, is: "1", source: %q, show: "1"}}
stages: [{use: make-safe}, {stage: %q, steps: [{do: %q, does: [guards off]}]}, {use: back-in-service}]
`
	p["procedures/look.yaml"] = "procedure: look\ntitle: Look\nrevision: \"1\"\nlanguage: en\n" +
		fmt.Sprintf(around, "Whether the pump is opened (1) or set from outside (0)", "What this procedure does", "Look at it", "Look at {unit.id}.")
	p["procedures/mira.yaml"] = "procedure: mira\ntitle: Mirar\nrevision: \"1\"\nlanguage: es\n" +
		fmt.Sprintf(around, "Si la bomba se abre", "Lo que hace", "Mirarla", "Mirar {unit.id}.")
	p["texts/es/own.yaml"] = "Look: Mirar\nLook at it: Mirarlo\n\"Look at {unit.id}.\": \"Mirar {unit.id}.\"\nLook again: Mirar otra vez\n"
	st := readSite(p.files())
	if len(st.problems) != 1 || !strings.HasPrefix(st.problems[0].String(), `texts/es/own.yaml:4:1: warning: no template has the text "Look again" [unused-text]`) {
		t.Error(st.problems)
	}
	pk, list := st.composer.Make(st.jobs()[0])
	if pk == nil || len(list) > 0 {
		t.Fatal(list)
	}
	var steps []string
	for _, s := range pk.Sheets {
		for _, b := range s.Blocks {
			if b.Step != nil {
				steps = append(steps, b.Step.Text.String())
			}
		}
	}
	if !slices.Contains(steps, "Mirar P-214.") || pk.Job.Title != "Mirar" {
		t.Errorf("%q %q", steps, pk.Job.Title)
	}
	if !slices.ContainsFunc(pk.Parts, func(q packet.Part) bool { return q.Name == "texts/es/own.yaml" }) {
		t.Error("the fingerprint leaves out the site's own texts")
	}
}

// TestWordsDiffer compares the fixed words of the two languages, those of drawings
// among them: few are alike.
func TestWordsDiffer(t *testing.T) {
	en, _ := words.Load(nil, templates.FS, "en", nil)
	es, problems := words.Load(nil, templates.FS, "es", nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	alike := []string{"compose.no", "figure.bar_100mm", "figure.bar_4in", "figure.part.rotor", "figure.rotor_end", "figure.strip_unit_in", "figure.strip_unit_mm", "layout.revision", "week.day.hours_alone"}
	for key, text := range en.All() {
		if es.Get(key) == text && hasWord.MatchString(text) && !slices.Contains(alike, key) {
			t.Errorf("%s is %q in both languages", key, text)
		}
		if key != "compose.decimal_sign" && decimalPoint.MatchString(es.Get(key)) {
			t.Errorf("%s has a decimal point: %q", key, es.Get(key))
		}
	}
}
