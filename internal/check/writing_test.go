package check_test

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/check"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/templates"
)

// worded gives what is said of the wording of one procedure, whose stage has the steps
// and alerts given.
func worded(t *testing.T, language, alerts, steps string) string {
	t.Helper()
	text := "procedure: p\ntitle: Look\nrevision: \"1\"\nlanguage: " + language + "\nvalues: {warm: {what: Heat, high: 'q(\"40 degC\")', source: none, show: 1 degC}}\nstages:\n  - stage: Look\n" + alerts + "    steps:\n" + steps
	library, problems := procedure.Load(fstest.MapFS{"procedures/p.yaml": {Data: []byte(text)}}, nil, procedure.Options{})
	if problems.HasErrors() && !strings.Contains(problems[0].Rule, "unused-value") {
		t.Fatal(problems)
	}
	var out []string
	for _, p := range check.Run(&record.Book{}, library, check.Known{}) {
		out = append(out, p.Message)
	}
	return strings.Join(out, "\n")
}

const uses = "      - do: Read it.\n        does: [run]\n        blanks: [{label: Heat, high: warm, instrument: thermometer}]\n"

func TestWriting(t *testing.T) {
	step := func(do string) string { return "      - do: \"" + do + "\"\n" + uses }
	for _, c := range []struct{ says, language, alerts, steps string }{
		{"trails off", "en", "", step("Clean shaft, sleeve etc.")},
		{"trails off", "es", "", step("Limpie eje, manguito y demás.")},
		{"nobody can check", "en", "", step("Add some oil.")},
		{"nobody can check", "en", "", step("Tighten the nut as required.")},
		{"nobody can check", "es", "", step("Añada un poco de aceite.")},
		{"leaves open", "en", "", step("Turn the shaft, which should be free.")},
		{"leaves open", "es", "", step("Gire el eje, que debería estar libre.")},
		{"denied twice", "en", "", step("Do not start it unless the guard is on.")},
		{"denied twice", "es", "", step("Arranque: no lo haga sin guarda.")},
		{"condition after", "en", "", step("Stop the pump, if the seal leaks.")},
		{"condition after", "es", "", step("Pare la bomba, si hay fugas.")},
		{"more words", "en", "", step("Turn" + strings.Repeat(" and turn", 25) + ".")},
		{"holds a hazard", "en", "", step("Open it. Warning: hot.")},
		{"sends the reader", "en", "", step("Tighten it as above.")},
		{"and/or", "en", "", step("Oil nut and/or bolt.")},
		{"asks politely", "es", "", step("Pare la bomba, por favor.")},
		{"more than three motions", "en", "", "      - do: Strip it.\n        how: [Turn it., Pull it., Lift it., Set it down.]\n" + uses},
		{"says what to do", "en", "    alerts: [{warning: Wear gloves.}]\n", uses},
		{"says what to do", "es", "    alerts: [{warning: Mantenga las manos lejos.}]\n", uses},
		{"shouts", "en", "    alerts: [{warning: Hot metal burns!}]\n", uses},
		{"names no hazard", "en", "    alerts: [{warning: Take care at the coupling.}]\n", uses},
		{"what it is read with", "en", "", "      - do: Read it.\n        does: [run]\n        blanks: [{label: Heat, high: warm}]\n"},
		{"no step of procedure p says what it does", "en", "", "      - do: Read it.\n        blanks: [{label: Heat, high: warm, instrument: thermometer}]\n"},
	} {
		if got := worded(t, c.language, c.alerts, c.steps); !strings.Contains(got, c.says) {
			t.Errorf("nothing says %q of\n%s%s: %s", c.says, c.alerts, c.steps, got)
		}
	}
	if got := worded(t, "en", "    alerts: [{warning: Hot metal burns skin.}]\n", step("Turn the shaft by hand through one full turn.")); got != "" {
		t.Errorf("a sound step is told of: %s", got)
	}
}

// The built-in procedures hold the rules of writing, in both languages.
func TestBuiltInWording(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		site := os.DirFS("../../samples/soapworks")
		book, _ := record.Load(site, templates.FS, record.Options{})
		library, _ := procedure.Load(site, templates.FS, procedure.Options{Language: language})
		if len(library.Names()) < 3 {
			t.Fatalf("%s: %d procedures", language, len(library.Names()))
		}
		for _, p := range check.Run(book, library, check.Known{}) {
			if p.Rule == "writing" || p.Rule == "no-does" {
				t.Errorf("%s: %s", language, p)
			}
		}
	}
}
