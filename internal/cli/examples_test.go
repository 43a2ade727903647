package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jobsheaf/internal/printjob"
	"jobsheaf/internal/source"
	"jobsheaf/templates"
)

// examples gives the indented blocks of a page in Markdown, by the heading that
// they stand under, without their indentation.
func examples(t testing.TB, page string) map[string][]string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(page)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]string{}
	heading, block, blank := "", "", true
	for line := range strings.Lines(string(raw) + "\n") {
		code, indented := strings.CutPrefix(line, "    ")
		switch {
		case indented && (block != "" || blank):
			block += code
		case block != "" && strings.TrimSpace(line) == "":
			block += line
		case block != "":
			out[heading] = append(out[heading], strings.TrimRight(block, "\n")+"\n")
			block = ""
		}
		if title, ok := strings.CutPrefix(line, "## "); ok {
			heading = strings.TrimSpace(title)
		}
		blank = strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#")
	}
	return out
}

// documented is the site that the examples of both pages make together.
func documented(t testing.TB) plant {
	t.Helper()
	records, templates := examples(t, "samples/README.md"), examples(t, "templates/README.md")
	p := plant{}
	for file, block := range map[string][]string{
		"terms.yaml": records["Terms"], "site.yaml": records["Site"], "units/unit.yaml": records["Unit"], "designs/design.yaml": records["Design"],
		"liquids/liquid.yaml": records["Liquid"], "history/history.yaml": records["History"], "instruments/instrument.yaml": records["Instrument"], "lists/list.yaml": records["List"],
		"procedures/procedure.yaml": templates["A procedure"],
	} {
		if len(block) != 1 {
			t.Fatalf("the pages have %d examples of %s", len(block), file)
		}
		p[file] = block[0]
	}
	return p
}

// TestExamplesLoad checks that the program reads the examples of samples/README.md and
// templates/README.md: together they make a site that checks without a fault and
// prints.
func TestExamplesLoad(t *testing.T) {
	p := documented(t)
	st := readSite(p.files())
	for _, problem := range st.problems {
		t.Error(problem)
	}
	// By another list than that of the example, so that each procedure that is for such a
	// unit has its turn.
	printed := 0
	for _, name := range st.library.Names() {
		p.list("job: K-1, unit: P-214, procedure: " + name + ", day: 2026-11-30, crew: day")
		st := readSite(p.files())
		for _, problem := range st.problems {
			t.Error(problem)
		}
		if !st.composer.Fits(st.book.Units["P-214"], name) {
			continue // it is for another kind of machine, or for one that is built otherwise
		}
		printed++
		made, err := (&printjob.Maker{Composer: st.composer}).Print(st.jobs()[0])
		if err != nil || made.Packet == nil {
			t.Errorf("%s: %v %v", name, err, made.Problems)
		}
	}
	if _, faulty := st.library.Procedure("set-the-gap"); faulty || printed < 5 {
		t.Errorf("%d are printed of %v", printed, st.library.Names())
	}

	// The example of a catalogue is an entry of ours.
	entry := examples(t, "templates/README.md")["Languages"]
	if len(entry) != 1 {
		t.Fatalf("%d examples of texts", len(entry))
	}
	docs, problems := source.Read("texts.yaml", []byte(entry[0]), source.Options{})
	if len(problems) > 0 || len(docs) != 1 || len(docs[0].Root.Entries()) == 0 {
		t.Fatal(problems)
	}
	for _, e := range docs[0].Root.Entries() {
		file := "texts/es/end-clearance.yaml"
		ours, _ := source.ReadFile(templates.FS, file, source.Options{})
		if got := ours[0].Root.Text(e.Key.S); got.S != e.Value.Text().S {
			t.Errorf("%s has for %q the text %q", file, e.Key.S, got.S)
		}
	}
}
