package compose

import (
	"slices"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// wearSheet has a row for each part that wears: where it is measured, new, last and
// limits, readings, verdict, and the part as it was left, which goes into the unit's
// history. It has no blocks where nothing is measured.
func (r *run) wearSheet() packet.Sheet {
	s := packet.Sheet{ID: "wear", Title: r.Word("wear.title")}
	names := r.wornFeatures()
	if len(names) == 0 {
		return s
	}
	s.Blocks = append(s.Blocks, packet.Block{Para: &packet.Para{Text: packet.Say(r.Word("wear.intro"))}})
	t := r.table("wear", column{"place", 0, 0}, column{"part", 1, 0}, column{"readings", 0, 0}, column{"decision", 0, 0}, column{"as_left", 0, 31.5})
	t.Title = "" // the sheet's says it
	for _, n := range names {
		t.Rows = append(t.Rows, r.wearRow(n))
	}
	if !slices.ContainsFunc(t.Rows, func(row packet.Row) bool { return row.Cells[0].Figure != nil }) {
		t.Columns = t.Columns[1:] // of drawings
		for i := range t.Rows {
			t.Rows[i].Cells = t.Rows[i].Cells[1:]
		}
	}
	s.Blocks = append(s.Blocks, packet.Block{Table: t})
	drawn, exact := apart(r.figuresFor(r.Procedure.Wear.Figures))
	s.Blocks = append(append(s.Blocks, drawn...), exact...)
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
	}
	var out []string
	for _, name := range r.featureNames() {
		// What is set and not replaced, such as the end clearance, has its readings at the steps.
		if f, known := r.Feature(name); !known || f.Replaces.Known() {
			out = append(out, name)
		}
	}
	return out
}

// featureNames are the features that the template names, or all of the record.
func (r *run) featureNames() []string {
	if r.Procedure.Wear.All {
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
	tool := ""
	if f.Instrument.Known() {
		tool = r.Translate(f.Instrument.S)
	}
	at := func(b packet.Blank, place string, what manifest.For) packet.Blank {
		b.ID, b.Ask = r.places.id("wear", name, place), &manifest.Ask{For: what, Of: name}
		return b
	}
	keep := func(b *packet.Blank, as string) {
		b.Ask.Tool, b.Ask.Last = tool, r.LastText(f)
		if known {
			b.Ask.Keep = as + " " + name
		}
		if !r.renewed(f) {
			r.wearHolds(f, b.Ask)
		}
	}
	reading := packet.Blank{Kind: packet.Reading, Unit: grain.Unit.Symbol, Characters: charactersOf(grain, f)}
	tick := func(word string) packet.Blank {
		b := at(packet.Blank{Kind: packet.Tick, Label: r.Word("wear." + word)}, word, manifest.ForVerdict)
		if word != "reuse" && f.Replaces.Known() {
			b.Ask.Keep = "replaced " + f.Replaces.S
		}
		return b
	}
	cells := []packet.Cell{{Figure: r.featureFigure(name)}, {Text: r.wearPart(f)}, {}, {}, {}}
	if r.renewed(f) {
		cells[3].Blanks = []packet.Blank{tick("replaced")}
	} else {
		cells[1].Text = append(append(cells[1].Text, packet.Span{Text: "\n"}), limits...)
		for _, p := range readingPlaces(f) {
			b := at(reading, p, manifest.ForReading)
			keep(&b, "as_found")
			b.Label, b.NotOnRecord, missing = p, missing, "" // said once
			cells[2].Blanks = append(cells[2].Blanks, b)
		}
		cells[3].Blanks = []packet.Blank{tick("reuse"), tick("replace")}
	}
	write := func(word string, n int, what manifest.For) packet.Blank {
		b := at(packet.Blank{Kind: packet.Words, Characters: n, Label: r.Word("wear." + word)}, word, what)
		b.Ask.Tool = tool
		return b
	}
	left := at(reading, "as-left", manifest.ForReading)
	keep(&left, "as_left")
	cells[4].Blanks = []packet.Blank{left, write("number", 3, manifest.ForNumber), write("due", 3, manifest.ForDue)}
	if f.Instrument.Known() {
		r.onWear[f.Instrument.S] = true
	}
	return packet.Row{Cells: cells}
}

// featureFigure is the small drawing of where a feature is measured; nil where there is
// none for the unit's kind of machine.
func (r *run) featureFigure(name string) *packet.Figure {
	if _, ok := r.Book.Draws(r.Unit.Machine, "feature"); !ok {
		return nil
	}
	f := &packet.Figure{Name: "feature", Numbers: map[string]float64{}, Texts: map[string]string{"feature": name}}
	r.taken(f)
	return f
}

// renewed reports whether the job replaces a feature's part whatever is read on it.
func (r *run) renewed(f *record.Feature) bool {
	return f.Replaces.Known() && slices.ContainsFunc(r.Procedure.Wear.Renews, func(part procedure.Ref) bool { return part.Name == f.Replaces.S })
}

// mostReadings is how many readings of a feature have room.
const mostReadings = 3

// readingPlaces are the places whose readings are written down: all of a few; of more
// those along the part, at each of which the worse of its directions is written.
func readingPlaces(f *record.Feature) []string {
	var all, along []string
	for _, p := range f.Places {
		all = append(all, p.S)
		if place := strings.TrimRight(p.S, "0123456789"); place != "" && !slices.Contains(along, place) {
			along = append(along, place)
		}
	}
	switch {
	case len(all) == 0:
		return []string{"1"}
	case len(all) <= mostReadings:
		return all
	case len(along) == 0 || len(along) > mostReadings: // one reading, the worst of them all
		return []string{strings.Join(all, ", ")}
	}
	return along
}

// wearPart says what wears and what follows where it is worn.
func (r *run) wearPart(f *record.Feature) packet.Phrase {
	p := r.partOf(f)
	if f.Instrument.Known() {
		p = append(p, packet.Span{Text: "; " + r.Translate(f.Instrument.S), Style: packet.Soft})
	}
	if f.IfWorn.Known() && !r.renewed(f) {
		p = append(p, packet.Span{Text: "\n" + r.Word("wear.if_worn") + " " + f.IfWorn.S})
	}
	return p
}

// wearLimits says first, in bold, within which limit a part is used again, then the
// others and how large the feature was when new and last time, with what is missing of
// the limits.
func (r *run) wearLimits(f *record.Feature) (lines packet.Phrase, missing string) {
	say := func(between, label string, style packet.Style, p packet.Phrase) {
		if len(lines) == 0 {
			between = ""
		}
		lines = append(append(lines, packet.Span{Text: between}, packet.Span{Text: label + " ", Style: style}), p...)
	}
	shown := r.Shown(procedure.PerFeature)
	for i := len(shown) - 1; i >= 0; i-- { // the last decides
		res := r.Result(shown[i], f.Name)
		switch {
		case res.Without:
		case i == len(shown)-1:
			say("", r.Plain(shown[i].What), packet.Strong, r.Number(res, procedure.Whole))
		default:
			say("\n", r.Plain(shown[i].What), packet.Soft, r.Number(res, procedure.Whole))
		}
		if lacks := res.Lacks(); len(lacks) > 0 {
			missing = r.Lack(lacks)
		}
	}
	say("\n", r.Word("wear.new"), packet.Soft, r.featureAmount(f.Name, "new", f.New))
	if last, day, ok := r.Last(f); ok {
		say("; ", r.WordWith("wear.last", "day", day), packet.Soft, r.featureAmount(f.Name, "last", last))
	}
	if due := r.wornOut(f); due != nil {
		lines = append(append(lines, packet.Span{Text: "\n"}), due...)
	}
	return lines, missing
}

// wearHolds says of a reading within which limits its part is used again: those of the
// value that stands in bold.
func (r *run) wearHolds(f *record.Feature, a *manifest.Ask) {
	shown := r.Shown(procedure.PerFeature)
	if len(shown) == 0 {
		return
	}
	res := r.Result(shown[len(shown)-1], f.Name)
	if a.Low, a.High = r.HeldAs(res); a.Low != nil || a.High != nil {
		a.Limits = r.Text(res)
	}
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

// featureAmount prints a recorded amount of a feature to its instrument's grain.
func (r *run) featureAmount(name, prop string, a record.Amount) packet.Phrase {
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
	return r.Entered(text, packet.Entry{
		Name: full, What: r.Word("wear."+prop+"_what") + ": " + name, Recorded: true, Formula: r.Word("as_recorded"),
		At: packet.Place(a.At), SI: new(a.Value.SI()), Kind: r.kindOf(name), Exactly: r.WithReason(full, a.S), Printed: text,
	})
}

// kindOf names the kind of quantity that a feature is measured in.
func (r *run) kindOf(feature string) string {
	f, _ := r.Feature(feature)
	kind, _ := f.Kind()
	return kind.String()
}
