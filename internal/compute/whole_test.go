package compute

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"

	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "write what the numbers come to into testdata; read the difference before it is committed")

// keyWords stands for a language: each word is its own key, so that a change of
// wording changes nothing here.
func keyWords() words.Catalogue {
	texts := map[string]string{}
	for _, key := range strings.Fields("none yes no as_recorded to at_least at_most low high target may_apply not_on_record unchecked isolation.as_written") {
		texts["compose."+key] = "[" + key + "]"
	}
	for _, key := range strings.Fields("what count thread grade seat circle condition method order fraction recorded.low recorded.high part new reject_below reject_above last mass") {
		texts["compose.property."+key] = "[property " + key + "]"
	}
	for _, way := range []string{"nearest", "down", "up"} {
		texts["compose.rounded_"+way] = "[" + way + " {step}]"
	}
	texts["compose.property.pass"] = "[pass {n}]"
	texts["compose.governed_since"] = "[{taken} since {when}]"
	texts["compose.governed_unless"] = "[{taken} unless {when}]"
	texts["compose.unknown.unit.area"] = "[unknown area]"
	texts["compose.decimal_sign"] = "."
	c := words.Catalogue{Language: "en"}
	for key, text := range texts {
		c = c.Replace(key, text)
	}
	return c
}

// wholeSite reads the site and the procedure of an archive over those of package record.
func wholeSite(t *testing.T, files []txtar.File, changes ...string) (*Plans, *record.Book, diag.List) {
	t.Helper()
	a, err := txtar.ParseFile("../record/testdata/base.txtar")
	if err != nil {
		t.Fatal(err)
	}
	site, builtin := fstest.MapFS{}, fstest.MapFS{}
	for _, f := range slices.Concat(a.Files, files) {
		in, isBuiltIn := strings.CutPrefix(f.Name, "builtin/")
		if isBuiltIn {
			builtin[in] = &fstest.MapFile{Data: f.Data}
		} else if !strings.HasPrefix(f.Name, "want") {
			site[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	for i := 0; i+2 < len(changes); i += 3 {
		text := string(site[changes[i]].Data)
		if strings.Count(text, changes[i+1]) != 1 {
			t.Fatalf("%s does not hold %q once", changes[i], changes[i+1])
		}
		site[changes[i]] = &fstest.MapFile{Data: []byte(strings.Replace(text, changes[i+1], changes[i+2], 1))}
	}
	book, problems := record.Load(site, builtin, record.Options{})
	lib, more := procedure.Load(site, builtin, procedure.Options{Instruments: slices.Sorted(maps.Keys(book.Instruments)), Figures: []string{"strip"}, Drawn: map[string]procedure.Drawn{"strip": {Entries: []procedure.Entry{{Name: "travel", What: "the travel"}, {Name: "side", What: "the side"}, {Name: "more", What: "more"}}}}})
	plans, last := Compile(book, lib, keyWords())
	return plans, book, slices.Concat(problems, more, last)
}

// phrase writes a phrase with its styles: numbers between stars, the name of their
// entry of the working behind a caret.
func phrase(p packet.Phrase) string {
	var b strings.Builder
	for _, s := range p {
		switch s.Style {
		case packet.Plain:
			b.WriteString(s.Text)
		case packet.Strong:
			b.WriteString("*" + s.Text + "*")
		default:
			b.WriteString("<" + string(s.Style) + " " + s.Text + ">")
		}
		if s.Entry != "" {
			b.WriteString("^" + s.Entry)
		}
	}
	return strings.ReplaceAll(b.String(), "\u00a0", "_")
}

// everything renders whatever a procedure names for a job, in the order of the
// template, and then the working, on demand in full, and all that was found missing
// or wrong.
func everything(n *Numbers, working bool) string {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	n.Procedure.Conditions(func(e *formula.Expr) {
		yes, only := n.Applies(e)
		say("when %s: %t %s", e.Text, yes, phrase(only))
	})
	n.Procedure.Texts(func(t procedure.Text) {
		if said := phrase(n.Say(t)); said != t.String() || said != n.Plain(t) {
			say("say %s: %s", t, said)
		}
	})
	n.Procedure.Figures(func(f *procedure.Figure) {
		for _, number := range f.Numbers {
			v, missing, ok := n.Amount(number.Is, "the figure's "+number.Key)
			say("figure %s: %.6g %s, missing %v, %t", number.Key, v.SI(), v.Type(), missing, ok)
		}
	})
	n.Procedure.Refs(func(r *procedure.Ref) {
		first := ""
		for _, end := range procedure.Ends {
			is := n.Reference(r.Name, end)
			line := fmt.Sprintf("%s, missing %v, without %t, digits %d, shown %t", phrase(is.Text), is.Missing, is.Without, is.Digits, is.Show != nil)
			if line != first {
				say("reference %s %s: %s", r.Name, end, line)
			}
			if end == procedure.Whole {
				first = line
			}
		}
	})
	for _, s := range n.Procedure.Stages {
		for _, step := range s.Steps {
			for _, blank := range step.Blanks {
				if blank.Instrument != nil {
					say("tool of %s: %s", blank.Label, n.ToolOf(&blank))
				}
			}
			if step.When != nil {
				p, applies := n.SayWhere(step.When, step.Do)
				say("where %s: %t %s", step.When.Text, applies, phrase(p))
			}
		}
	}
	for _, of := range []struct {
		g       procedure.Group
		members []string
	}{{procedure.PerJoint, []string{"head", "foot"}}, {procedure.PerFeature, []string{"pin", "bore"}}, {procedure.PerAssembly, []string{"head", "gone"}}} {
		var shown []string
		for _, v := range n.Shown(of.g) {
			shown = append(shown, v.Name)
		}
		say("columns of group %d: %v", of.g, shown)
		for _, member := range of.members {
			for _, prop := range slices.Sorted(maps.Keys(ready[of.g])) {
				say("%s of %s: %s", prop, member, phrase(n.MemberText(of.g, member, prop)))
			}
			for _, v := range n.plan.order[of.g] {
				res := n.Result(v, member)
				say("%s of %s: %s, lacks %v, known %t, without %t, of a pass %t", v.Name, member, phrase(n.Number(res, procedure.Whole)), res.Lacks(), res.Known(), res.Without, v.OfPass())
			}
		}
	}
	for _, v := range n.plan.order[procedure.Single] {
		res := n.Result(v, "")
		text := ""
		if res.Known() && v.typ.Sort == formula.Quantity {
			text = n.Text(res)
		}
		say("held %s: %s; %s; lacks %q", v.Name, phrase(n.Held(res, " within ")), text, n.Lack(res.Lacks()))
	}
	for _, name := range []string{"pin", "bore", "gone"} {
		f, known := n.Feature(name)
		a, day, had := n.Last(f)
		say("feature %s: %s, known %t, readings in %s, last %s on %s, %t", f.Name, f.Part, known, n.ReadingShow(name).Grain[n.System].Unit.Symbol, a.S, day, had)
	}
	say("site %s; %s; no instrument %t", n.SiteName(), phrase(n.Entered("7 mm", packet.Entry{Name: "own"})), n.Instrument("none") == nil)
	for i := range n.pulled.kits {
		yes, sure := n.WantsKit(i)
		say("kit %d: %t, sure %t", i, yes, sure)
	}
	for i := range n.pulled.supplies {
		say("supply %d: %t", i, n.WantsSupply(i))
	}
	for _, e := range n.Working() {
		if !working {
			say("%s %s %s", e.Key, e.Name, e.Printed)
			continue
		}
		text, err := json.Marshal(e)
		say("%s %v", strings.ReplaceAll(string(text), "\u00a0", "_"), map[bool]string{true: "", false: fmt.Sprint(err)}[err == nil])
	}
	say("unknown: %q, then %q", n.Unknown(), n.Unknown())
	say("instruments %v, rounded to %v", slices.Sorted(maps.Keys(n.Instruments())), slices.Sorted(maps.Keys(n.Rounding())))
	for _, p := range slices.Concat(n.Gaps().Sorted(), n.Problems) {
		if p.Lack != nil {
			say("%s lacks %s %q, in %s, of %s, for %q", p.Pos, p.Lack.Name, p.Lack.What, p.Lack.In, p.Lack.By, p.Lack.For)
			continue
		}
		say("%s", p)
	}
	return strings.ReplaceAll(b.String(), "\u00a0", "_")
}

// TestWhole holds everything that a procedure can ask for, of a site that has it, of one
// in the other units that lacks half of it, and of empty forms, to what was worked out
// by hand when it was first written down.
func TestWhole(t *testing.T) {
	const name = "testdata/whole.txtar"
	a, err := txtar.ParseFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var files []txtar.File
	want := map[string]string{}
	for _, f := range a.Files {
		if strings.HasPrefix(f.Name, "want ") {
			want[strings.TrimPrefix(f.Name, "want ")] = string(f.Data)
		} else {
			files = append(files, f)
		}
	}
	a.Files = files
	for _, c := range []struct {
		name, unit     string
		blank, working bool
		changes        []string
	}{
		{"sound", "P-1", false, true, nil},
		{"in the other units", "P-1", false, false, []string{"site.yaml", "units: metric", "units: us"}},
		{"half of it", "P-2", false, false, nil},
		{"a fault", "P-1", false, false, []string{"designs/a.yaml", "set: 0.10 mm", "set: 0.30 mm", "designs/a.yaml", "lead: 2 mm", "lead: 0.25 mm", "designs/a.yaml", "low: 0.08 mm", "low: 0.081 mm", "designs/a.yaml", "high: 0.12 mm", "high: 0.089 mm", "units/a.yaml", "jacket: false", "jacket: true"}},
		{"a form", "P-1", true, true, nil},
		{"a form of no unit", "any", true, false, nil},
	} {
		plans, _, problems := wholeSite(t, files, c.changes...)
		for _, p := range problems {
			t.Errorf("%s: %s", c.name, p)
		}
		if c.blank {
			plans = plans.Forms()
		}
		known := func(s string) record.Text { return record.Text{S: s, At: diag.Pos{File: "test", Line: 1, Col: 1}} }
		n, list := plans.Job(&record.Job{ID: known("K-1"), Unit: known(c.unit), Procedure: known("whole"), Day: known("2026-11-30")})
		got := ""
		if n == nil {
			got = list.Sorted()[0].String() + "\n"
		} else {
			if n.pulled == nil {
				n.pulled = &pulled{}
			}
			got = everything(n, c.working)
		}
		a.Files = append(a.Files, txtar.File{Name: "want " + c.name, Data: []byte(got)})
		if !*update && got != want[c.name] {
			had := strings.Split(want[c.name], "\n")
			for i, line := range strings.Split(got, "\n") {
				if i >= len(had) || line != had[i] {
					t.Errorf("%s, line %d:\ngot  %s\nwant %s", c.name, i+1, line, append(had, make([]string, i+1)...)[i])
					break
				}
			}
		}
	}
	if *update {
		if err := os.WriteFile(name, txtar.Format(a), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
