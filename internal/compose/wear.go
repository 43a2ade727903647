package compose

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// wearSheet is the table of what wears: new, last time, limits, and room for the
// readings and the decision.
func (r *run) wearSheet() packet.Sheet {
	s := packet.Sheet{ID: "wear", Title: r.Word("wear.title")}
	names := r.wornFeatures()
	if len(names) == 0 {
		s.Blocks = append(s.Blocks, packet.Block{Para: &packet.Para{Text: packet.Say(r.Word("wear.none"))}})
		return s
	}
	s.Blocks = append(s.Blocks, packet.Block{Para: &packet.Para{Text: packet.Say(r.Word("wear.intro") + " " + r.Word("wear.places"))}})
	t := r.table("wear", column{"part", 4, 0}, column{"limits", 4, 93}, column{"readings", 3, 56}, column{"worst", 1, 26}, column{"decision", 1, 24})
	t.Title = "" // the sheet's says it
	for _, n := range names {
		t.Rows = append(t.Rows, r.wearRow(n))
	}
	t.Note = packet.Say(r.Word("wear.note"))
	s.Blocks = append(s.Blocks, packet.Block{Table: t})
	figures, exact := apart(r.figures(r.Procedure.Wear.Figures))
	s.Blocks = append(append(s.Blocks, figures...), exact...)
	return s
}

// wornFeatures are the features to measure, in the order of the template or of the
// record.
func (r *run) wornFeatures() []string {
	if r.Procedure.Wear.All {
		switch {
		case r.Size == nil && r.Blank:
			return []string{"1", "2", "3", "4", "5", "6", "7", "8"} // whatever parts there are
		case r.Size == nil:
			return nil
		}
		return r.Size.FeatureOrder
	}
	var out []string
	for _, f := range r.Procedure.Wear.Features {
		out = append(out, f.Name)
	}
	return out
}

func (r *run) wearRow(name string) packet.Row {
	f, known := r.Feature(name)
	if !known {
		r.NotOnRecord(r.Word("wear.title"), "features."+name)
	}
	limits, missing := r.wearLimits(f)
	grain := r.ReadingShow(name).Grain[r.System]
	reading := packet.Blank{Kind: packet.Reading, Unit: grain.Unit.Symbol, Characters: charactersOf(grain, f)}
	at := func(b packet.Blank, place string) packet.Blank {
		b.ID = r.places.id("wear", name, place)
		return b
	}
	var readings []packet.Blank
	for _, p := range f.Places {
		b := at(reading, p.S)
		b.Label = p.S
		readings = append(readings, b)
	}
	if len(readings) == 0 {
		readings = []packet.Blank{at(reading, "1")}
	}
	worst := at(reading, "worst")
	worst.NotOnRecord = missing
	var decide []packet.Blank
	for _, d := range []string{"reuse", "replace", "ask"} {
		decide = append(decide, at(packet.Blank{Kind: packet.Tick, Label: r.Word("wear." + d)}, d))
	}
	return packet.Row{Cells: []packet.Cell{{Text: r.wearPart(f)}, {Text: limits}, {Blanks: readings}, {Blanks: []packet.Blank{worst}}, {Blanks: decide}}}
}

// wearPart says what wears, what follows where it is worn, and what its history
// forecasts.
func (r *run) wearPart(f *record.Feature) packet.Phrase {
	p := r.partOf(f)
	if f.Instrument.Known() {
		p = append(p, packet.Span{Text: "; " + r.Translate(f.Instrument.S), Style: packet.Soft})
	}
	if f.IfWorn.Known() {
		p = append(p, packet.Span{Text: "\n" + r.Word("wear.if_worn") + " " + f.IfWorn.S})
	}
	return append(p, r.forecastLines(f)...)
}

// wearLimits says how large a feature was when new and last time, and then, next to
// the readings, its limits, with what is missing of these.
func (r *run) wearLimits(f *record.Feature) (lines packet.Phrase, missing string) {
	line := func(label string, p packet.Phrase) {
		if len(lines) > 0 {
			lines = append(lines, packet.Span{Text: "\n"})
		}
		lines = append(append(lines, packet.Span{Text: label + " "}), p...)
	}
	line(r.Word("wear.new"), r.featureLength(f.Name, "new", f.New))
	if last, day, ok := r.Last(f); ok {
		line(r.WordWith("wear.last", "day", day), r.featureLength(f.Name, "last", last))
	}
	for _, v := range r.Shown(procedure.PerFeature) {
		res := r.Result(v, f.Name)
		if !res.Without {
			line(r.Plain(v.What), r.Number(res, procedure.Whole))
		}
		if lacks := res.Lacks(); len(lacks) > 0 {
			missing = r.Lack(lacks)
		}
	}
	return lines, missing
}

// partOf names a feature with its part.
func (r *run) partOf(f *record.Feature) packet.Phrase {
	if !f.Part.Known() {
		return packet.Phrase{{Text: f.Name + " "}, r.Lacking()}
	}
	return packet.Phrase{{Text: f.Part.S, Style: packet.Strong}, {Text: ": " + f.What.S}}
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
func (r *run) featureLength(name, prop string, a record.Amount) packet.Phrase {
	show := r.ReadingShow(name)
	full := "features." + name + "." + prop
	switch {
	case !a.Known() && r.Blank:
		return r.LackingAmount(show)
	case !a.Known():
		return r.NotOnRecord(r.Word("wear.title"), full)
	}
	show.Way = quantity.Nearest
	text := r.AsRecorded(show, a.Value)
	return r.Keyed(text, packet.Entry{
		Name: full, What: r.Word("wear."+prop+"_what") + ": " + name, Recorded: true, Formula: r.Word("as_recorded"),
		At: packet.Place(a.At), SI: new(a.Value.SI()), Kind: "length", Exactly: r.WithReason(full, a.S), Printed: text,
	})
}

// asLeft asks for what goes into the unit's history: each worn feature as it was
// left, and whether its part is new.
func (r *run) asLeft() *packet.Table {
	t := r.table("as_left", column{"what", 4, 0}, column{"reading", 1, 0}, column{"replaced", 1, 0})
	t.Double = true
	for _, name := range r.wornFeatures() {
		f, _ := r.Feature(name)
		g := r.ReadingShow(name).Grain[r.System]
		row := packet.Row{Cells: []packet.Cell{{Text: r.partOf(f)}, {Blanks: []packet.Blank{
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
