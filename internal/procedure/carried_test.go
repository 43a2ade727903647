package procedure

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

const carried = `procedure: wash
title: Wash
revision: "1"
language: en
pages: 6
strip: false
values:
  grit: {what: Grit, is: q("1 g"), source: A guess}
  soap: {what: Soap, is: q("2 g"), source: A guess}
  foam: {what: Foam, is: q("3 g"), source: A guess}
each_joint:
  load: {what: Preload, is: q("1 kN"), source: A guess, show: 1 kN, annex: true}
job:
  tools: [Bucket, {say: Scales, annex: true}]
  figures: [section, {figure: tang, annex: true}]
numbers:
  table: [grit, {value: soap, annex: true}]
stages:
  - stage: Wash it
    alerts:
      - {danger: "Hot: {grit}.", whole_stage: true}
      - {caution: The floor is wet., when: foam > soap}
    steps:
      - do: Wash it.
        how: [Begin at the top., {say: "Add {foam} of soap.", when: foam > grit}]
      - do: Dry it.
`

// TestCarried holds what is said about the carried packet: its budget, what belongs to
// the annex alone, hazards of a stage, and the lines of a step.
func TestCarried(t *testing.T) {
	lib, problems := Load(fstest.MapFS{"procedures/wash.yaml": {Data: []byte(carried)}}, nil, options)
	p, _ := lib.Procedure("wash")
	if p == nil || len(problems) > 0 {
		t.Fatal(problems)
	}
	if p.Pages != 6 || p.PagesAt.Line != 5 || p.PagesAt.Col != 8 || p.Strip == nil || *p.Strip {
		t.Errorf("pages %d at %s, strip %v", p.Pages, p.PagesAt, p.Strip)
	}
	var annex []string
	for _, i := range p.Job.Tools {
		if i.Annex {
			annex = append(annex, i.Say.String())
		}
	}
	p.Figures(func(f *Figure) {
		if f.Annex {
			annex = append(annex, f.Figure.Name)
		}
	})
	for _, r := range p.Numbers.Table {
		if r.Annex {
			annex = append(annex, r.Value.Name)
		}
	}
	p.everyValue(func(v *Value) {
		if v.Annex {
			annex = append(annex, v.Full(""))
		}
	})
	if got := strings.Join(annex, " "); got != "Scales tang soap joint.load" {
		t.Errorf("in the annex alone: %s", got)
	}
	st := p.Stages[0]
	if len(st.Alerts) != 2 || st.Alerts[0].Signal != "danger" || st.Alerts[1].When == nil {
		t.Errorf("hazards of the stage: %+v", st.Alerts)
	}
	if how := st.Steps[0].How; len(how) != 2 || how[0].When != nil || how[1].Say.String() != "Add {foam} of soap." || how[1].When == nil || st.Steps[1].How != nil {
		t.Errorf("lines of the steps: %+v, %+v", how, st.Steps[1].How)
	}
	// What they name is compiled and counts as shown.
	var named []string
	p.Mentions(func(r Ref) { named = append(named, r.Name) })
	for name, n := range map[string]int{"grit": 3, "foam": 3, "soap": 2} {
		if got := len(slices.DeleteFunc(slices.Clone(named), func(s string) bool { return s != name })); got != n {
			t.Errorf("%s is named %d times, want %d", name, got, n)
		}
	}
}

// TestCarriedAndAnnex: what one fragment wants carried and another one in the annex is
// carried.
func TestCarriedAndAnnex(t *testing.T) {
	fsys := templates(t)
	fsys["procedures/safe.yaml"].Data = []byte(strings.Replace(string(fsys["procedures/safe.yaml"].Data), "[Locks]", "[Locks, {say: Hammer, annex: true}]", 1))
	var tools []string
	for _, i := range load(t, fsys, nil).Job.Tools {
		if !i.Annex {
			tools = append(tools, i.Say.String())
		}
	}
	if got := strings.Join(tools, " "); got != "Locks Hammer Spanner" {
		t.Errorf("carried: %s", got)
	}
}
