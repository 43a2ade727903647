package record_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// One slip in a sound site gives its own error at its own place, and no other
// beside the refusals of jobs; "" is for what is still sound.
func TestOneSlip(t *testing.T) {
	long := strings.Repeat("m", 40)
	for _, c := range []struct{ file, old, new, want string }{
		{"builtin/terms.yaml", "  half_rings: {", "  x.y.z.w: {what: X, yes_no: true}\n  half_rings: {", ""},
		{"builtin/terms.yaml", "  half_rings: {", "  x.y.z.w.v: {what: X, yes_no: true}\n  half_rings: {", "built-in/terms.yaml:32:3 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  joint.x: {what: X, yes_no: true}\n  half_rings: {", "built-in/terms.yaml:32:3 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  built: {what: X, yes_no: true}\n  half_rings: {", "built-in/terms.yaml:32:3 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  all: {what: X, yes_no: true}\n  half_rings: {", "built-in/terms.yaml:32:3 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X, yes_no: true, none: true}\n  half_rings: {", "built-in/terms.yaml:32:36 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X, yes_no: true, text: true}\n  half_rings: {", "built-in/terms.yaml:32:13 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X}\n  half_rings: {", "built-in/terms.yaml:32:13 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X, text: true, whole: true}\n  half_rings: {", "built-in/terms.yaml:32:35 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X, kind: length, from: 1 mm, to: 2 mm, whole: true}\n  half_rings: {", "built-in/terms.yaml:32:59 term"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X, kind: length, from: 2 mm, to: 2 mm}\n  half_rings: {", "built-in/terms.yaml:32:46 swapped-limits"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X, kind: length, from: 1 mm, to: 2 mm, show: 1 N.m}\n  half_rings: {", "built-in/terms.yaml:32:58 quantity"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X, kind: length, from: 1 mm, to: 2 mm, show: 1 mmm}\n  half_rings: {", "built-in/terms.yaml:32:60 quantity"},
		{"builtin/terms.yaml", "  half_rings: {", "  x: {what: X, kind: length, from: 1 mm}\n  half_rings: {", "built-in/terms.yaml:32:3 missing-key"},
		{"builtin/terms.yaml", "  half_rings: {", "  housing: {what: X, yes_no: true}\n  half_rings: {", "built-in/terms.yaml:2:3 term; built-in/terms.yaml:2:3 term; designs/a.yaml:14:14 shape"},
		{"builtin/ghs.yaml", "[GHS02]", "[GHS10]", "built-in/ghs.yaml:3:108 one-of"},
		{"builtin/ghs.yaml", "of: [H315]", "of: [H316]", "built-in/ghs.yaml:8:39 unknown-statement"},
		{"builtin/instruments.yaml", "instrument: outside micrometer", "instrument: " + long + "\nresolution: 1 mm\nuncertainty: 1 mm\nsource: x\n---\ninstrument: outside micrometer", ""},
		{"builtin/instruments.yaml", "source: common practice, no source", "source: common practice, no source\n---\ninstrument: m" + long + "\nresolution: 1 mm\nuncertainty: 1 mm\nsource: x", "built-in/instruments.yaml:6:13 name"},
		{"builtin/instruments.yaml", "0.01 mm or", "nearest 0.01 mm or", "built-in/instruments.yaml:2:13 quantity"},
		{"builtin/instruments.yaml", "0.01 mm or", "up 0.01 mm or", "built-in/instruments.yaml:2:13 quantity"},
		{"builtin/instruments.yaml", "0.004 mm", "-0.004 mm", "built-in/instruments.yaml:3:14 range"},
		{"builtin/instruments.yaml", "0.004 mm", "0.004 mm or 0.00016 in", ""},
		{"builtin/instruments.yaml", "0.004 mm", "0.004 mm or 0.0002 in", "built-in/instruments.yaml:3:14 quantity"},
		{"builtin/instruments.yaml", "0.004 mm", "0.004 mm or 3 kg", "built-in/instruments.yaml:3:14 quantity"},
		{"site.yaml", "units: metric", "units: us and metric", ""},
		{"site.yaml", "paper: A4", "paper: A5", "site.yaml:3:8 one-of"},
		{"site.yaml", "units: metric", "units: imperial", "site.yaml:4:8 one-of"},
		{"site.yaml", "units: metric", "units: metric\nsigns: {second person: a fitter, planner: the planner}", ""},
		{"site.yaml", "units: metric", "units: metric\nsigns: {Planner: a, planner: b}", "site.yaml:5:21 duplicate-key"},
		{"site.yaml", "units: metric", "units: metric\nsigns: {planner: [a]}", "site.yaml:5:18 shape"},
		{"site.yaml", "  day: {people: 2", "  day: {people: 201", "site.yaml:10:17 range"},
		{"site.yaml", "  day: {people: 2", "  day: {people: 200", ""},
		{"site.yaml", "  day: {people: 2", "  a day: {people: 2", "lists/week.yaml:3:66 unknown-name; site.yaml:10:3 name"},
		{"designs/a.yaml", "\"11\":", "\"1/1\":", "designs/a.yaml:27:4 name"},
		{"designs/a.yaml", "amount: 15 g", "amount: 0 g", "designs/a.yaml:26:40 range"},
		{"designs/a.yaml", "amount: 15 g", "amount: 15 gg", "designs/a.yaml:26:43 quantity"},
		{"designs/a.yaml", "passes: [0.3, 0.6, 1.0]", "passes: [0.3, 0.6, 0.6]", "designs/a.yaml:6:135 order"},
		{"designs/a.yaml", "passes: [0.3, 0.6, 1.0]", "passes: [0.3, 0.6]", "designs/a.yaml:6:130 range"},
		{"designs/a.yaml", "passes: [0.3, 0.6, 1.0]", "passes: [1]", ""},
		{"designs/a.yaml", "passes: [0.3, 0.6, 1.0]", "passes: [0.2, 0.3, 0.6, 1.0]", "designs/a.yaml:6:140 range"},
		{"designs/a.yaml", "count: 8", "count: 49", "designs/a.yaml:18:21 range"},
		{"designs/a.yaml", "count: 8", "count: 48", ""},
		{"designs/a.yaml", "slots: 4,", "slots: 4.5,", "designs/a.yaml:16:43 quantity"},
		{"designs/a.yaml", "half_rings: true", "half_rings: yes", "designs/a.yaml:15:17 one-of"},
		{"designs/a.yaml", "half_rings: true", "lock_nut.torque.low: 3 N.m", "designs/a.yaml:15:5 unknown-key"},
		{"designs/a.yaml", "half_rings: true", "end_clearance: 3 mm", "designs/a.yaml:15:5 duplicate-key"},
		{"designs/a.yaml", "    housing: {diameter: 140 mm, lead: 2 mm}", "    housing: 140 mm", "designs/a.yaml:14:5 shape"},
		{"designs/a.yaml", "features:\n      pin_diameter_worn:", "features:\n      Pin:", "designs/a.yaml:20:7 name"},
		{"liquids/lye.yaml", "flash_point: none", "density: none", "liquids/lye.yaml:6:10 quantity; liquids/lye.yaml:10:1 duplicate-key"},
		{"liquids/lye.yaml", "ph: 14", "ph: none", "liquids/lye.yaml:9:5 quantity"},
		{"units/a.yaml", "energy: electrical", "energy: electric", "units/a.yaml:13:25 one-of"},
		{"units/a.yaml", "kind: belt", "kind: chain", "units/a.yaml:10:30 one-of"},
		{"units/a.yaml", "size: \"10\"", "size: \"12\"", "units/a.yaml:5:7 unknown-name"},
		{"lists/week.yaml", "job: K-1,", "job: K_1,", "lists/week.yaml:3:12 name"},
		{"lists/week.yaml", "hours: 9 h", "hours: 1001 h", "lists/week.yaml:3:89 range"},
		{"lists/week.yaml", "people: 2,", "people: 0,", "lists/week.yaml:3:79 range"},
	} {
		files := base(t)
		if strings.Count(files[c.file], c.old) != 1 {
			t.Fatalf("%s does not hold %q just once", c.file, c.old)
		}
		files[c.file] = strings.Replace(files[c.file], c.old, c.new, 1)
		_, problems, _ := load(files)
		var got []string
		for _, p := range problems {
			if p.Severity == diag.Error && p.Rule != "refused" {
				got = append(got, p.Pos.String()+" "+p.Rule)
			}
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%s with %q: got %q, want %q", c.file, c.new, s, c.want)
		}
	}
}

// A site's term may not take the place of an end of a band.
func TestEndOfABandIsTaken(t *testing.T) {
	files := base(t)
	files["terms.yaml"] = "terms:\n  lock_nut.torque.low: {what: Ours, text: true}\n"
	book, problems, _ := load(files)
	if !problems.HasErrors() || book.Terms["lock_nut.torque.low"].Of != "lock_nut.torque" {
		t.Errorf("%+v: %v", book.Terms["lock_nut.torque.low"], problems)
	}
}

// A record whose YAML is broken is known by its name where its first line says one.
func TestUnreadRecords(t *testing.T) {
	for text, want := range map[string]string{"unit: P-3\nname: [x\n": "P-3", "unti: P-3\nname: [x\n": "", "unit: P/3\nname: [x\n": ""} {
		files := base(t)
		files["units/c.yaml"] = text
		book, problems, printed := load(files)
		got := ""
		for id, u := range book.Units {
			if len(u.Problems) > 0 && u.Problems[0].Rule == "yaml" {
				got = id
			}
		}
		if got != want || !problems.HasErrors() || len(printed) != 2 {
			t.Errorf("%q is known as %q, printed %v", text, got, printed)
		}
	}
}

// A relation is of something, is a formula, and can be broken.
func TestRelations(t *testing.T) {
	files := base(t)
	files["relations.yaml"] = "relations:\n" +
		"  - {of: size, is: 1, from: 1, why: because, source: from memory, must: true}\n" +
		"  - {of: size, is: 1, why: because, source: from memory}\n" +
		"  - {of: house, is: 1, to: 1, why: because, source: from memory}\n" +
		"  - {of: size, is: 1, to: 1, why: because}\n" +
		"  - {of: size, to: 1, why: because, source: from memory}\n"
	book, problems, _ := load(files)
	var got []string
	for _, p := range problems {
		if p.Pos.File == "relations.yaml" {
			got = append(got, fmt.Sprint(p.Pos.Line, ":", p.Pos.Col, " ", p.Rule))
		}
	}
	if want := "3:20 missing-key; 4:10 one-of; 5:5 missing-key; 6:5 missing-key"; strings.Join(got, "; ") != want {
		t.Errorf("got %q, want %q", got, want)
	}
	ofMachine := func(r record.Relation) bool { return r.Machine != "" }
	book.Relations = slices.DeleteFunc(book.Relations, ofMachine)
	if len(book.Relations) != 3 || !book.Relations[0].Must || book.Relations[1].Must {
		t.Errorf("%+v", book.Relations)
	}
	files["relations.yaml"] = "source: all of them from memory\nrelations:\n  - {of: size, is: 1, to: 1, why: because}\n  - {of: size, is: 1, to: 1, why: because, source: its own}\n"
	book, _, _ = load(files)
	if r := slices.DeleteFunc(book.Relations, ofMachine); len(r) != 2 || r[0].BuiltIn {
		t.Errorf("%+v", r)
	}
}

// Which energies a unit holds with no point to shut them off.
func TestUnisolated(t *testing.T) {
	e1 := "  - {point: E1, energy: electrical, device: starter 1, where: MCC-1, put: open and locked, prove: try start}\n"
	v1 := "  - {point: V1, energy: liquid, device: valve 1, where: hall, put: closed and locked, prove: gauge reads zero}\n"
	v2 := "  - {point: V2, energy: liquid, device: valve 2, where: hall, put: closed and locked, prove: gauge reads zero}\n"
	drive := "drive: {power: 5.5 kW, kind: belt}\n"
	for name, c := range map[string]struct {
		cut  []string
		with [2]string
		want string
	}{
		"all":                                   {nil, [2]string{}, ""},
		"no starter":                            {[]string{e1}, [2]string{}, "electrical 10:16"},
		"one valve":                             {[]string{v1}, [2]string{}, ""},
		"no valve":                              {[]string{v1, v2}, [2]string{}, "liquid 9:16"},
		"no valve, a chemical point":            {[]string{v1}, [2]string{"V2, energy: liquid", "V2, energy: chemical"}, ""},
		"nothing":                               {[]string{e1, v1, v2, "isolate:\n"}, [2]string{}, "electrical 10:16; liquid 9:16"},
		"a jacket":                              {nil, [2]string{"jacket: false", "jacket: true"}, "heat 8:56"},
		"a jacket that is shut off":             {nil, [2]string{"V2, energy: liquid", "V2, energy: heat"}, ""},
		"a starter of the tracing alone":        {nil, [2]string{"prove: try start}", "prove: try start, at: tracing}"}, "electrical 10:16"},
		"no drive on record":                    {[]string{drive, e1}, [2]string{}, "electrical 1:1"},
		"driven by air":                         {[]string{drive}, [2]string{"energy: electrical", "energy: air"}, ""},
		"driven by air, with a motor on record": {nil, [2]string{"energy: electrical", "energy: air"}, "electrical 10:16"},
	} {
		files := base(t)
		text := files["units/a.yaml"]
		for _, cut := range c.cut {
			text = strings.Replace(text, cut, "", 1)
		}
		files["units/a.yaml"] = strings.Replace(text, c.with[0], c.with[1], 1)
		book, _, _ := load(files)
		var got []string
		for _, h := range book.Units["P-1"].Holds() {
			if h.Points == 0 {
				got = append(got, fmt.Sprintf("%s %d:%d", h.Energy.Energy, h.At.Line, h.At.Col))
			}
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%s: got %q, want %q", name, s, c.want)
		}
	}
}

// Why a job is refused, and where to look.
func TestRefusals(t *testing.T) {
	for name, c := range map[string]struct{ file, old, new, want, form string }{
		"sound":           {"site.yaml", "A4", "A4", "", ""},
		"no design":       {"units/a.yaml", "design: gear-a", "design: gear-x", "lists/week.yaml:3:5: the record of unit P-1 has an error [units/a.yaml:4:9]", "same"},
		"a fault of both": {"units/a.yaml", "suction: left", "suction: up\nodd: 1", "lists/week.yaml:3:5: the record of unit P-1 has an error [units/a.yaml:7:10 units/a.yaml:8:1]", "same"},
		"a faulty liquid": {"liquids/lye.yaml", "ph: 14", "ph: 99", "lists/week.yaml:3:5: the record of liquid lye has an error [liquids/lye.yaml:9:5]", "same"},
		"a faulty size":   {"designs/a.yaml", "half_rings: true", "half_rings: 1", "lists/week.yaml:3:5: the size 10 of the design gear-a has an error [designs/a.yaml:15:17]", "same"},
		"its own entry":   {"lists/week.yaml", "people: 2", "people: 0", "lists/week.yaml:3:5: its own entry has an error [lists/week.yaml:3:79]", "same"},
		"its list":        {"lists/week.yaml", "list: week", "list: week\nodd: 1", "lists/week.yaml:4:5: its list has an error [lists/week.yaml:2:1]", "same"},
	} {
		files := base(t)
		files[c.file] = strings.Replace(files[c.file], c.old, c.new, 1)
		book, _, _ := load(files)
		say := func(p *diag.Problem) string {
			if p == nil {
				return ""
			}
			return p.Pos.String() + ": " + strings.TrimPrefix(p.Message, "job K-1 is not printed: ") + " " + fmt.Sprint(p.Related)
		}
		j := book.Lists["week"].Jobs[0]
		if got := say(book.Refusal(j)); got != c.want {
			t.Errorf("%s: got %q, want %q", name, got, c.want)
		}
		form := c.form
		if form == "same" {
			form = c.want
		}
		if got := say(book.FormRefusal(j)); got != form {
			t.Errorf("%s, as a form: got %q, want %q", name, got, form)
		}
	}
	// What only a book knows that was not checked.
	book, _, _ := load(base(t))
	j, u := book.Lists["week"].Jobs[0], book.Units["P-1"]
	for what, miss := range map[string]func(u *record.Unit){
		"the liquid lye of its unit is not on record units/a.yaml:9:16":   func(u *record.Unit) { u.Liquid = nil },
		"the size 10 of its unit is not in the design units/a.yaml:5:7":   func(u *record.Unit) { u.Size = nil },
		"the design gear-a of its unit is not on record units/a.yaml:4:9": func(u *record.Unit) { u.Design, u.Size = nil, nil },
	} {
		less := *u
		miss(&less)
		book.Units["P-1"] = &less
		p := book.Refusal(j)
		if p == nil || len(p.Related) != 1 || strings.TrimPrefix(p.Message, "job K-1 is not printed: ")+" "+p.Related[0].String() != what {
			t.Errorf("got %+v, want %s", p, what)
		}
		if p := book.FormRefusal(j); p != nil {
			t.Errorf("a form is refused: %v", p)
		}
		if _, ok := book.Scalar(&less, "liquid.ph"); ok != (less.Liquid != nil) {
			t.Errorf("%s, and its pH is on record: %v", what, ok)
		}
	}
	delete(book.Units, "P-1")
	if p := book.Refusal(j); p == nil || !strings.HasSuffix(p.Message, "the unit P-1 is not on record") || p.Pos.String() != "lists/week.yaml:3:22" {
		t.Errorf("%v", p)
	}
	if p := book.FormRefusal(j); p != nil {
		t.Errorf("a form is refused: %v", p)
	}
	delete(book.Units, "P-1")
	if p := book.Refusal(j); p == nil || !strings.HasSuffix(p.Message, "the unit P-1 is not on record") || p.Pos.String() != "lists/week.yaml:3:22" {
		t.Errorf("%v", p)
	}
	if p := book.FormRefusal(j); p != nil {
		t.Errorf("a form is refused: %v", p)
	}
	book.Site = nil
	if p := book.FormRefusal(j); p == nil || !strings.HasSuffix(p.Message, "there is no site record") {
		t.Errorf("%v", p)
	}
	if s, ok := book.Scalar(u, "site.surroundings"); ok {
		t.Errorf("%v of no site", s)
	}
}

// What is on record is in the book, with its own words.
func TestWhatIsOnRecord(t *testing.T) {
	book, _, _ := load(base(t))
	if st := book.Statements["H314"]; !slices.Equal(st.Pictograms, []string{"GHS05"}) || st.Signal != "danger" {
		t.Errorf("%+v", st)
	}
	if p := book.Precedence; len(p) != 1 || p[0].Shown != "GHS05" || p[0].Hides != "GHS07" || !slices.Equal(p[0].Of, []string{"H315"}) || p[0].For != nil {
		t.Errorf("%+v", p)
	}
	s := book.Designs["gear-a"].Sizes["10"]
	if len(s.Kits) != 1 || len(s.Supplies) != 1 || s.Supplies[0].Amount.Value.SI() != 0.015 || len(s.Features) != 1 || len(s.Assemblies) != 1 || !slices.Equal(s.JointOrder, []string{"head"}) ||
		!slices.Equal(s.FeatureOrder, []string{"pin_diameter_worn"}) || !slices.Equal(s.AssemblyOrder, []string{"head"}) {
		t.Errorf("%+v", s)
	}
	if s.Scalars["lock_nut.slots"].Term.Show.Grain[0].Step != 1 || s.Scalars["lock_nut.slots"].Term.Show.Grain[1].Step != 1 {
		t.Errorf("%+v", s.Joints["head"])
	}
	if g := book.Terms["end_clearance.set"].Show.Grain[quantity.US]; math.Abs(g.Step-0.0005) > 1e-12 || g.Unit.Symbol != "in" {
		t.Errorf("the clearance is shown to %v", g)
	}
	var kinds []string
	for _, r := range book.Records {
		kinds = append(kinds, r.String())
	}
	if want := "statements instrument outside micrometer machine gear-pump terms design gear-a design gear-b liquid lye liquid water list week site mill unit P-1 unit P-2"; strings.Join(kinds, " ") != want {
		t.Errorf("records %q", kinds)
	}
	u := book.Units["P-1"]
	if len(u.History) != 2 || len(u.History[0].Replaced) != 1 || len(u.History[1].AsLeft) != 2 || len(u.Notes) != 1 || len(u.Isolate) != 3 {
		t.Errorf("%+v", u)
	}
	kit := s.Kits[0]
	for serial, want := range map[string][2]bool{"A10-0001": {true, true}, "A10-0000": {false, true}, "B-1": {false, false}, "": {false, false}} {
		if yes, sure := kit.ForSerial(record.Text{S: serial}); yes != want[0] || sure != want[1] {
			t.Errorf("kit for %q: %v, %v", serial, yes, sure)
		}
	}
	kit.ToSerial = record.Text{S: "A10-0009", At: kit.Kit.At}
	for serial, want := range map[string][2]bool{"A10-0009": {true, true}, "A10-0010": {false, true}, "A10-0000": {false, true}, "B-1": {false, false}} {
		if yes, sure := kit.ForSerial(record.Text{S: serial}); yes != want[0] || sure != want[1] {
			t.Errorf("kit to 9 for %q: %v, %v", serial, yes, sure)
		}
	}
}

// A list that stands alone in a file, and one that is read row by row.
func TestListsAlone(t *testing.T) {
	for text, want := range map[string]string{
		"list: a\njobs: [{job: K-1, unit: P-1, procedure: any, day: 2026-11-30}]\n": "1 jobs, []",
		"# nothing\n": "none, [empty]",
		"list: a\njobs: []\n---\nlist: b\njobs: []\n": "none, [list]",
		"unit: P-1\n": "none, [record-kind]",
	} {
		li, problems := record.ReadList("l.yaml", []byte(text))
		got := "none"
		if li != nil {
			got = fmt.Sprint(len(li.Jobs), " jobs")
		}
		var rules []string
		for _, p := range problems {
			rules = append(rules, p.Rule)
		}
		if got = fmt.Sprint(got, ", ", rules); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
	// Which print it is a packet's own list may say, and no planner's.
	for rest, want := range map[string]string{
		"print: 2, replaces: 7F3A91C2": "2 7F3A91C2 []", "replaces: 7f3a91c2": "0 7f3a91c2 [fingerprint]", "print: 1": "0  [range]", "print: 2.5": "0  [quantity]", "strip: true": "0  []",
	} {
		text := []byte("list: a\njobs: [{job: K-1, unit: P-1, procedure: any, day: 2026-11-30, " + rest + "}]\n")
		li, problems := record.ReadCarried("l.yaml", text)
		var rules []string
		for _, p := range problems {
			rules = append(rules, p.Rule)
		}
		j := li.Jobs[0]
		if got := fmt.Sprint(j.Print, " ", j.Replaces, " ", rules); got != want {
			t.Errorf("%s: %s, want %s", rest, got, want)
		}
		if len(problems) > 0 || j.Print == 0 {
			continue
		}
		if raw := string(j.Raw()); !strings.HasSuffix(raw, "print: 2\nreplaces: 7F3A91C2\n") {
			t.Errorf("the fingerprint is taken of %s", raw)
		}
		if _, problems := record.ReadList("l.yaml", text); len(problems) != 2 || problems[0].Rule != "unknown-key" || problems[1].Rule != "unknown-key" {
			t.Errorf("a planner's list may say %s: %v", rest, problems)
		}
	}
	for file, want := range map[string]string{"week 49.csv": "week-49", `C:\lists\Woche.xlsx`: "Woche", "lists/a.b.csv": "a.b", "ü.csv": "list", "-x-.csv": "x", "con.csv": "list", strings.Repeat("a", 30) + ".csv": strings.Repeat("a", 24), "AZ az09.csv": "AZ-az09"} {
		if li := record.NewList(diag.Pos{File: file, Line: 3, Col: 1}); li.ID != want {
			t.Errorf("%s: %q, want %q", file, li.ID, want)
		}
	}
	li := record.NewList(diag.Pos{File: "l.csv", Line: 1, Col: 1})
	at := diag.Pos{File: "l.csv", Line: 4, Col: 1}
	j := li.AddRow(at, []string{"job", "unit", "procedure", "day"}, []record.Text{{S: "K-1", At: at}, {S: "P-1", At: at}, {S: "any", At: at}, {S: "soon", At: at}})
	if len(li.Jobs) != 1 || li.Jobs[0] != j || !j.Broken() || len(j.Problems) != 1 || j.Problems[0].Rule != "day" || li.Span.Last != 4 {
		t.Errorf("%+v", j)
	}
}
