package procedure

import (
	"slices"
	"strings"
	"unicode"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/order"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// stage reads a stage, or the place of a fragment's stages.
func stage(m *source.Map) (place, bool) {
	if m.Has("use") {
		p := place{use: refOf(m.Text("use")), when: exprOf(m.Text("when"))}
		m.Done()
		return p, p.use != nil
	}
	m.Need("stage: Set the end clearance", "steps: [{do: Look at the seal.}]")
	s := Stage{Title: textOf(m.Text("stage")), Sheet: Steps, Alerts: hazards(m)}
	if t := m.OneOf("sheet", string(Steps), string(Service)); t.Known() {
		s.Sheet = Sheet(t.S)
	}
	if when := exprOf(m.Text("when")); when != nil {
		s.When = []*formula.Expr{when}
	}
	list := m.List("steps")
	if v, ok := m.Value("steps"); ok && v.IsList() && len(list) == 0 {
		m.Errorf("steps", "empty", "write its steps, or take it out", "the stage has no steps")
	}
	for _, v := range list {
		e := v.Map()
		switch {
		case e == nil:
		case e.Has("place"):
			if r := refOf(e.Text("place")); r != nil {
				s.Steps = append(s.Steps, Step{place: r})
			}
			e.Done()
		default:
			s.Steps = append(s.Steps, step(e))
		}
	}
	m.Done()
	return place{own: &s}, true
}

// mostHazards is how many alerts may stand at the head of a stage: a fourth one is
// not read.
const mostHazards = 3

// hazards reads the alerts of a stage. Those that always apply are counted here; how
// many apply to one unit is counted where its conditions are decided. A danger is said where it threatens: at the
// head of a stage it has to say that all of the stage is meant.
func hazards(m *source.Map) []Alert {
	var out []Alert
	always := 0
	for _, v := range m.List("alerts") {
		e := v.Map()
		if e == nil {
			continue
		}
		whole, _ := e.YesNo("whole_stage")
		a := alert(e)
		if a.Signal == "danger" && !whole {
			e.Doc().Errorf(e.At(), "stage-hazard", "move it to the alerts of its step; if all of the stage is meant, add whole_stage: true", "a danger stands at the head of a stage, where it is read once and forgotten")
		}
		if a.When == nil {
			always++
		}
		if a.When == nil && always == mostHazards+1 {
			e.Doc().Errorf(e.At(), "stage-hazard", "keep the gravest, and move the others to their steps", "the stage has more than %d alerts that always apply", mostHazards)
		}
		out = append(out, a)
	}
	return out
}

func step(m *source.Map) Step {
	m.Need("do: Look at the seal.")
	do := m.Text("do")
	s := Step{Do: textOf(do), When: exprOf(m.Text("when")), Figures: figures(m), How: items(m, "how", false)}
	if !s.Do.Empty() {
		beginsWithVerb(do)
	}
	for _, v := range m.List("alerts") {
		if a := v.Map(); a != nil {
			s.Alerts = append(s.Alerts, alert(a))
		}
	}
	labels := map[string]diag.Pos{}
	for _, v := range m.List("blanks") {
		e := v.Map()
		if e == nil {
			continue
		}
		b := blank(e)
		label := b.Label.String()
		if first, twice := labels[label]; twice && label != "" {
			e.Doc().Problems.Add(diag.Problem{Pos: b.Label.At, Severity: diag.Error, Rule: "blank-label", Related: []diag.Pos{first},
				Message: "two blanks of one step are labelled " + source.Quote(label), Hint: "say in each what or where it is, such as A, B, C"})
		}
		labels[label] = b.Label.At
		s.Blanks = append(s.Blanks, b)
	}
	s.Hold, s.Index = textOf(m.Text("hold")), textOf(m.Text("index"))
	s.ProvesZero, _ = m.YesNo("proves_zero")
	s.Does = doings(m)
	m.Done()
	return s
}

// doings reads the key does, a list whose entries are such as `lock drive`, or
// {do: gas-test, when: ...}.
func doings(m *source.Map) []Doing {
	var out []Doing
	add := func(t source.Text, when *formula.Expr) {
		if !t.Known() {
			return
		}
		a, fault, hint := order.Parse(t.S, t.Pos(0))
		if fault != "" {
			t.Errorf(0, "does", hint, "%s", fault)
			return
		}
		out = append(out, Doing{a, when})
	}
	for _, v := range m.List("does") {
		if !v.IsMap() {
			add(v.Text(), nil)
			continue
		}
		e := v.Map()
		e.Need("do: lock drive")
		add(e.Text("do"), exprOf(e.Text("when")))
		e.Done()
	}
	return out
}

// noVerbs are words with which an English sentence begins that is not an order.
var noVerbs = []string{"The", "A", "An", "This", "That", "These", "Those", "It", "There", "You", "We", "Please", "Should", "Must", "Will", "Now", "Then"}

// beginsWithVerb reports a step that does not begin as an order does. Whether a
// word is a verb cannot be known without a dictionary of every language; what is
// caught is a small letter, a number or a name in front, and in English the
// commonest words that are none.
func beginsWithVerb(t source.Text) {
	const rule, hint = "step-verb", "begin with what to do, such as Turn the shaft by hand"
	first, _, _ := strings.Cut(t.S, " ")
	switch r := []rune(t.S)[0]; {
	case r == '{':
		t.Errorf(0, rule, hint, "a step begins with a verb, found a name in braces")
	case !unicode.IsUpper(r):
		t.Errorf(0, rule, hint, "a step begins with a verb and a capital letter, found %s", source.Quote(first))
	case slices.Contains(noVerbs, first):
		t.Errorf(0, rule, hint, "a step begins with a verb, found %s", source.Quote(first))
	}
}

// alert reads {danger: "..."}: one signal word with its text.
func alert(m *source.Map) Alert {
	a := Alert{When: exprOf(m.Text("when")), At: m.At()}
	found := false
	for _, s := range signals {
		t := m.Text(s)
		if !t.Known() {
			continue
		}
		if found {
			t.Errorf(0, "alert", "write one entry for each", "an alert has two signal words")
		}
		a.Signal, a.Say, found = Signal(s), textOf(t), true
	}
	if !found {
		m.Doc().Errorf(m.At(), "alert", `write it as {warning: "Fingers are drawn in at the coupling."}`, "an alert has one of %s as its key", strings.Join(signals, ", "))
	}
	m.Done()
	return a
}

func blank(m *source.Map) Blank {
	m.Need("label: Travel used")
	b := Blank{
		Label: textOf(m.Text("label")), Kind: Reading, When: exprOf(m.Text("when")),
		Low: refOf(m.Text("low")), High: refOf(m.Text("high")), Target: refOf(m.Text("target")), Instrument: refOf(m.Text("instrument")),
	}
	if m.Has("kind") {
		b.Kind = Kind(m.OneOf("kind", string(Reading), string(Written), string(Tick), string(Initial), string(Signed), string(Moment)).S)
	}
	if t := m.Text("unit"); t.Known() {
		b.Unit = unit(t)
	}
	if t := m.Text("name"); t.Known() {
		switch {
		case !source.IsWord(t.S):
			t.Errorf(0, "blank-name", "use lower-case letters, digits and single underscores, such as rim_bottom", "%s cannot be the name of a reading", source.Quote(t.S))
		case b.Kind != Reading:
			t.Errorf(0, "blank-name", "delete it", "only a reading has a name in formulas, not a blank of kind %s", b.Kind)
		default:
			b.Name = refOf(t)
		}
	}
	b.Keep = keep(m.Text("keep"), b.Kind)
	measured := m.Has("unit") || m.Has("low") || m.Has("high") || m.Has("target")
	switch {
	case b.Kind == Reading && !measured:
		m.Doc().Errorf(m.At(), "blank-unit", "name its target or limits, or write unit: mm (unit: number for a count)", "the blank for a reading has no unit")
	case b.Kind != Reading && b.Kind != "" && (measured || b.Instrument != nil):
		m.Errorf("kind", "blank-unit", "leave out unit, low, high, target and instrument, or the kind", "a blank of kind %s is not a reading, and has no unit, limits or instrument", b.Kind)
	}
	m.Done()
	return b
}

// keep reads where a reading goes in the unit's history, such as as_left end_clearance.
func keep(t source.Text, kind Kind) *Keep {
	if !t.Known() {
		return nil
	}
	which, name, _ := strings.Cut(t.S, " ")
	switch {
	case kind != Reading:
		t.Errorf(0, "keep", "delete it", "only a reading goes into the unit's history, not a blank of kind %s", kind)
		return nil
	case which != "as_found" && which != "as_left", !isDotted(name):
		t.Errorf(0, "keep", "write as_found or as_left and what was read, such as as_left end_clearance", "%s does not say where in the unit's history the reading goes", source.Quote(t.S))
		return nil
	}
	return &Keep{left: which == "as_left", Name: Ref{name, t.Pos(len(which) + 1)}}
}

// isDotted reports whether a name can be one of a feature or a term.
func isDotted(name string) bool {
	for part := range strings.SplitSeq(name, ".") {
		if !source.IsWord(part) {
			return false
		}
	}
	return true
}

// unit reads the unit of a reading; "number" is that of a count.
func unit(t source.Text) *quantity.Unit {
	if t.S == "number" {
		u := quantity.Preferred(quantity.KindNumber, quantity.Metric)
		return &u
	}
	v, err := quantity.ParseAny("1 " + t.S)
	u, _ := v.Written()
	if err != nil || u.Symbol == "" { // such as 1/2, which is a number
		t.Errorf(0, "blank-unit", "write it as mm, N.m, degC, bar(g), or number for a count", "%s is not a unit that is known here", source.Quote(t.S))
		return nil
	}
	return &u
}
