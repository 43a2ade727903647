package compute

import (
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"

	"github.com/rogpeppe/go-internal/txtar"
)

// A job that cannot be made is refused with the reason and the place of it, and every
// reason is told at once.
func TestRefusedJobs(t *testing.T) {
	const whole = `procedure: whole
title: Whole
revision: "1"
language: en
for: 'built.seal == "component"'
values:
  rise: {what: Rise, is: duty.outlet - duty.inlet, source: S, show: nearest 0.1 bar or 1 psi}
stages: [{stage: See, steps: [{do: "See {rise}."}]}]
`
	files := []txtar.File{{Name: "procedures/whole.yaml", Data: []byte(whole)}, {Name: "procedures/other.yaml", Data: []byte(strings.Replace(whole, "procedure: whole", "procedure: other", 1))}}
	for name, c := range map[string]struct {
		changes         []string
		unit, procedure string
		blank           bool
		want            string
	}{
		"sound":                    {nil, "P-1", "whole", false, ""},
		"a form":                   {nil, "P-1", "whole", true, ""},
		"a form of any unit":       {nil, "any", "whole", true, ""},
		"nearly its name":          {nil, "P-1", "whloe", false, `test:1:1: error: job K-1: there is no procedure named "whloe" [unknown-procedure] | did you mean whole?`},
		"nothing like it":          {nil, "P-1", "nothing", false, `test:1:1: error: job K-1: there is no procedure named "nothing" [unknown-procedure] | the procedures on record are other, whole`},
		"no procedure":             {nil, "P-1", "", false, `test:1:1: error: job K-1 is not printed: it names no procedure [refused] | `},
		"no procedure, no unit":    {nil, "P-9", "", false, `test:1:1: error: job K-1 is not printed: the unit P-9 is not on record [refused] | `},
		"no unit, no such one":     {nil, "P-9", "whloe", false, `test:1:1: error: job K-1 is not printed: the unit P-9 is not on record [refused] | ; test:1:1: error: job K-1: there is no procedure named "whloe" [unknown-procedure] | did you mean whole?`},
		"for other units":          {[]string{"units/a.yaml", "seal: component", "seal: packing"}, "P-1", "whole", false, `test:1:1: error: job K-1, unit P-1: procedure whole is for other units: its condition is built.seal == "component" [wrong-procedure] | choose a procedure that fits how the unit is built`},
		"and as a form":            {[]string{"units/a.yaml", "seal: component", "seal: packing"}, "P-1", "whole", true, `test:1:1: error: job K-1, unit P-1: procedure whole is for other units: its condition is built.seal == "component" [wrong-procedure] | choose a procedure that fits how the unit is built`},
		"it cannot be told":        {[]string{"units/a.yaml", "seal: component, ", ""}, "P-1", "whole", false, `test:1:1: error: job K-1, unit P-1: procedure whole cannot be chosen for it: not on record are built.seal [wrong-procedure] | choose a procedure that fits how the unit is built`},
		"as a form it may be":      {[]string{"units/a.yaml", "seal: component, ", ""}, "P-1", "whole", true, ""},
		"a formula is faulty":      {[]string{"procedures/whole.yaml", "duty.outlet - duty.inlet", "duty.outlet - duty.inlett"}, "P-1", "whole", false, "test:1:1: error: job K-1 is not printed: procedure whole has errors [refused] | (see procedures/whole.yaml:7:40)"},
		"its neighbour is faulty":  {[]string{"procedures/other.yaml", "duty.outlet - duty.inlet", "duty.outlet - duty.inlett"}, "P-1", "whole", false, ""},
		"the template is faulty":   {[]string{"procedures/whole.yaml", `revision: "1"`, `revison: "1"`}, "P-1", "whole", false, "test:1:1: error: job K-1 is not printed: procedure whole has errors [refused] | "},
		"the record is faulty":     {[]string{"units/a.yaml", "suction: left", "suction: up"}, "P-1", "whole", false, "test:1:1: error: job K-1 is not printed: the record of unit P-1 has an error [refused] | (see units/a.yaml:7:10)"},
		"and so is that of a form": {[]string{"units/a.yaml", "suction: left", "suction: up"}, "P-1", "whole", true, "test:1:1: error: job K-1 is not printed: the record of unit P-1 has an error [refused] | (see units/a.yaml:7:10)"},
	} {
		plans, _, _ := wholeSite(t, files, c.changes...)
		if c.blank {
			plans = plans.Forms()
		}
		known := func(s string) record.Text {
			if s == "" {
				return record.Text{}
			}
			return record.Text{S: s, At: diag.Pos{File: "test", Line: 1, Col: 1}}
		}
		at := diag.Pos{File: "test", Line: 1, Col: 1}
		n, list := plans.Job(&record.Job{ID: known("K-1"), Unit: known(c.unit), Procedure: known(c.procedure), Day: known("2026-11-30"), At: at})
		var got []string
		for _, p := range list {
			hint := p.Hint
			for _, at := range p.Related {
				hint += "(see " + at.String() + ")"
			}
			p.Hint, p.Related = "", nil
			got = append(got, p.String()+" | "+hint)
		}
		if s := strings.Join(got, "; "); s != c.want || (n == nil) != (c.want != "") {
			t.Errorf("%s:\ngot  %s\nwant %s", name, s, c.want)
		}
		if n != nil && (n.Blank != c.blank || c.unit == AnyUnit && n.Unit.ID != "" || c.unit == "P-1" && n.Unit.ID != "P-1") {
			t.Errorf("%s: blank %t, of unit %q", name, n.Blank, n.Unit.ID)
		}
	}
	// Without words in its language no job is made.
	plans, book, _ := wholeSite(t, files)
	none, _ := Compile(book, plans.lib, words.Catalogue{})
	at := diag.Pos{File: "test", Line: 1, Col: 1}
	job := &record.Job{ID: record.Text{S: "K-1", At: at}, Unit: record.Text{S: "P-1", At: at}, Procedure: record.Text{S: "whole", At: at}, At: at}
	if n, list := none.Job(job); n != nil || len(list) != 1 || !strings.Contains(list[0].Message, "the pages have no words in its language") {
		t.Errorf("%v", list)
	}
}

// Which procedures are for a unit, as far as the records say.
func TestWhichProceduresFit(t *testing.T) {
	const text = "procedure: NAME\ntitle: T\nrevision: \"1\"\nlanguage: en\nFORstages: [{stage: See, steps: [{do: Look at it.}]}]\n"
	var files []txtar.File
	for name, condition := range map[string]string{"always": "", "sealed": "for: 'built.seal == \"component\"'\n", "packed": "for: 'built.seal == \"packing\"'\n", "unknown": "for: 'duty.speed > q(\"1 rpm\")'\n", "faulty": "for: 'built.sael == \"packing\"'\n"} {
		files = append(files, txtar.File{Name: "procedures/" + name + ".yaml", Data: []byte(strings.NewReplacer("NAME", name, "FOR", condition).Replace(text))})
	}
	plans, book, _ := wholeSite(t, files)
	for unit, want := range map[string]string{"P-1": "always sealed unknown", "P-2": "always"} {
		var got []string
		for _, name := range []string{"always", "sealed", "packed", "unknown", "faulty", "none"} {
			if plans.Fits(book.Units[unit], name) {
				got = append(got, name)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("for %s are %q, want %s", unit, got, want)
		}
	}
	book.Site = nil
	if plans.Fits(book.Units["P-1"], "always") {
		t.Error("a procedure fits where there is no site")
	}
}

// A word that the catalogue lacks is told, and nothing stands in its place; a site
// without a name is called by its ID.
func TestMissingWords(t *testing.T) {
	plans, book, _ := wholeSite(t, []txtar.File{{Name: "procedures/whole.yaml", Data: []byte("procedure: whole\ntitle: T\nrevision: \"1\"\nlanguage: en\nstages: [{stage: See, steps: [{do: Look at it.}]}]\n")}})
	at := diag.Pos{File: "test", Line: 1, Col: 1}
	n, list := plans.Job(&record.Job{ID: record.Text{S: "K-1", At: at}, Unit: record.Text{S: "P-1", At: at}, Procedure: record.Text{S: "whole", At: at}, At: at})
	if n == nil {
		t.Fatal(list)
	}
	if got := n.WordWith("property.pass", "n", "2"); got != "[pass 2]" || len(n.Problems) > 0 {
		t.Errorf("%q, %v", got, n.Problems)
	}
	if got := n.Word("elephant"); got != "" || len(n.Problems) != 1 || n.Problems[0].Rule != "missing-word" || n.Problems[0].Pos.File != "words/en.yaml" || n.Problems[0].Message != `the words of the pages lack compose.elephant in language "en"` {
		t.Errorf("%q, %v", got, n.Problems)
	}
	if n.SiteName() != "Test Mill (invented)" {
		t.Error(n.SiteName())
	}
	if book.Site.Name = (record.Text{}); n.SiteName() != "mill" {
		t.Error(n.SiteName())
	}
}
