package compose

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// wearSheet is the table of what wears: new, last time, limits, and room for the
// readings and the decision.
func (r *run) wearSheet() packet.Sheet {
	s := packet.Sheet{ID: "wear", Title: r.word("wear.title")}
	names := r.wornFeatures()
	if len(names) == 0 {
		s.Blocks = append(s.Blocks, packet.Block{Para: &packet.Para{Text: packet.Say(r.word("wear.none"))}})
		return s
	}
	s.Blocks = append(s.Blocks, packet.Block{Para: &packet.Para{Text: packet.Say(r.word("wear.intro") + " " + r.word("wear.places"))}})
	t := &packet.Table{ID: "wear", Columns: []packet.Column{
		{Title: r.word("wear.part"), Weight: 4}, {Title: r.word("wear.limits"), Weight: 4, Least: 93},
		{Title: r.word("wear.readings"), Weight: 3, Least: 56}, {Title: r.word("wear.worst"), Weight: 1, Least: 26}, {Title: r.word("wear.decision"), Weight: 1, Least: 24},
	}}
	for _, n := range names {
		t.Rows = append(t.Rows, r.wearRow(n))
	}
	t.Note = packet.Say(r.word("wear.note"))
	s.Blocks = append(s.Blocks, packet.Block{Table: t})
	figures, exact := apart(r.figures(r.plan.proc.Wear.Figures))
	s.Blocks = append(append(s.Blocks, figures...), exact...)
	return s
}

// wornFeatures are the features to measure, in the order of the template or of the
// record.
func (r *run) wornFeatures() []string {
	if r.plan.proc.Wear.All {
		switch {
		case r.size == nil && r.c.Blank:
			return []string{"1", "2", "3", "4", "5", "6", "7", "8"} // whatever parts there are
		case r.size == nil:
			return nil
		}
		return r.size.FeatureOrder
	}
	var out []string
	for _, f := range r.plan.proc.Wear.Features {
		out = append(out, f.Name)
	}
	return out
}

func (r *run) wearRow(name string) packet.Row {
	var f *record.Feature
	if r.size != nil {
		f = r.size.Features[name]
	}
	if f == nil {
		f = &record.Feature{Name: name}
		r.notOnRecord(r.word("wear.title"), []string{"features." + name})
	}
	what := packet.Phrase{}
	if f.Part.Known() {
		what = append(what, packet.Span{Text: f.Part.S, Style: packet.Strong}, packet.Span{Text: ": " + f.What.S})
	} else {
		what = append(what, packet.Span{Text: name + " "}, r.lacking())
	}
	if f.Instrument.Known() {
		what = append(what, packet.Span{Text: "; " + r.c.own(f.Instrument.S), Style: packet.Soft})
	}
	tool := r.instrumentOf(name)
	show := quantity.ShowFor(quantity.KindLength)
	if tool != nil {
		show = tool.Show
	}
	lines := packet.Phrase{}
	line := func(label string, p packet.Phrase) {
		if len(lines) > 0 {
			lines = append(lines, packet.Span{Text: "\n"})
		}
		lines = append(append(lines, packet.Span{Text: label + " "}), p...)
	}
	line(r.word("wear.new"), r.featureLength(name, "new", show, quantity.Nearest))
	if _, day, ok := r.last(f); ok {
		line(r.wordWith("wear.last", "day", day), r.featureLength(name, "last", show, quantity.Nearest))
	}
	missing := "" // the limits come last, next to the readings
	for _, v := range shown(r.plan.order[perFeature]) {
		res := r.result(v.of(name))
		if !res.without {
			line(r.plain(v.src.What), r.number(res, ""))
		}
		if len(res.missing) > 0 {
			missing = r.lack(res.missing)
		}
	}
	unit, wide := show.Grain[r.system].Unit.Symbol, charactersOf(show.Grain[r.system], f)
	var readings []packet.Blank
	for _, p := range f.Places {
		readings = append(readings, packet.Blank{ID: r.places.id("wear", name, p.S), Kind: packet.Reading, Label: p.S, Unit: unit, Characters: wide})
	}
	if len(readings) == 0 {
		readings = []packet.Blank{{ID: r.places.id("wear", name, "1"), Kind: packet.Reading, Unit: unit, Characters: wide}}
	}
	worst := packet.Blank{ID: r.places.id("wear", name, "worst"), Kind: packet.Reading, Unit: unit, Characters: wide, NotOnRecord: missing}
	var decide []packet.Blank
	for _, d := range []string{"reuse", "replace", "ask"} {
		decide = append(decide, packet.Blank{ID: r.places.id("wear", name, d), Kind: packet.Tick, Label: r.word("wear." + d)})
	}
	worn := packet.Cell{Text: what}
	if f.IfWorn.Known() {
		worn.Text = append(worn.Text, packet.Span{Text: "\n" + r.word("wear.if_worn") + " " + f.IfWorn.S})
	}
	r.forecastLines(f, func(label string, p packet.Phrase) {
		worn.Text = append(append(worn.Text, packet.Span{Text: "\n" + label + " "}), p...)
	})
	return packet.Row{Cells: []packet.Cell{worn, {Text: lines}, {Blanks: readings}, {Blanks: []packet.Blank{worst}}, {Blanks: decide}}}
}

// charactersOf is how many characters the readings of a feature take at most.
func charactersOf(g quantity.Grain, f *record.Feature) int {
	n := 0
	for _, a := range []record.Amount{f.New, f.RejectBelow, f.RejectAbove} {
		if a.Known() {
			n = max(n, len(g.Number(a.Value, quantity.Nearest, ".")))
		}
	}
	if n == 0 {
		return 6
	}
	return n
}

// featureLength prints a recorded length of a feature to its instrument's grain.
func (r *run) featureLength(name, prop string, show quantity.Show, way quantity.Way) packet.Phrase {
	full := "features." + name + "." + prop
	p := r.member(perFeature, name, prop)
	if p.without {
		return packet.Say("–")
	}
	if !p.known && r.c.Blank {
		return r.lackingAmount(show)
	}
	if !p.known {
		return r.notOnRecord(r.word("wear.title"), []string{full})
	}
	show.Way = way
	text := show.Both(quantity.Of(p.value.SI, quantity.KindLength), r.system, r.decimal)
	return r.keyed(text, r.working.add(packet.Entry{
		Name: full, What: r.word("wear."+prop+"_what") + ": " + name, Recorded: true, Formula: r.word("as_recorded"), At: p.at.String(), SI: new(p.value.SI), Kind: "length", Exactly: p.written, Printed: text,
	}))
}

// asLeft asks for what goes into the unit's history: each worn feature as it was
// left, and whether its part is new.
func (r *run) asLeft() *packet.Table {
	t := &packet.Table{ID: "as_left", Title: r.word("as_left.title"), Double: true, Columns: []packet.Column{
		{Title: r.word("as_left.what"), Weight: 4}, {Title: r.word("as_left.reading"), Weight: 1}, {Title: r.word("as_left.replaced"), Weight: 1},
	}}
	for _, name := range r.wornFeatures() {
		f := &record.Feature{Name: name}
		if r.size != nil && r.size.Features[name] != nil {
			f = r.size.Features[name]
		}
		what := packet.Phrase{{Text: f.Part.S, Style: packet.Strong}, {Text: ": " + f.What.S}}
		if !f.Part.Known() {
			what = packet.Phrase{{Text: name + " "}, r.lacking()}
		}
		show := quantity.ShowFor(quantity.KindLength)
		if tool := r.instrumentOf(name); tool != nil {
			show = tool.Show
		}
		g := show.Grain[r.system]
		row := packet.Row{Cells: []packet.Cell{{Text: what}, {Blanks: []packet.Blank{
			{ID: r.places.id("as_left", name), Kind: packet.Reading, Unit: g.Unit.Symbol, Characters: charactersOf(g, f)},
		}}, {}}}
		if f.Replaces.Known() {
			row.Cells[2].Blanks = []packet.Blank{{ID: r.places.id("as_left", name, "replaced"), Kind: packet.Tick}}
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t
}
