package layout

import (
	"fmt"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// The packets of these tests are invented; they exercise every kind of block.

// catalogue gives the fixed words as they are printed.
func catalogue(t testing.TB) words.Catalogue {
	t.Helper()
	english, problems := words.Load(nil, templates.FS, "en", nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return english
}

func strong(s string) packet.Span  { return packet.Span{Text: s, Style: packet.Strong} }
func key(s string) packet.Span     { return packet.Span{Text: s, Style: packet.Key} }
func plain(s string) packet.Span   { return packet.Span{Text: s} }
func missing(s string) packet.Span { return packet.Span{Text: s, Style: packet.Missing} }

func reading(id, label, target, k, unit, tool string) packet.Blank {
	b := packet.Blank{ID: id, Kind: packet.Reading, Label: label, Unit: unit, Instrument: tool, Characters: 6}
	if target != "" {
		b.Target = packet.Phrase{strong(target)}
		if k != "" {
			b.Target = append(b.Target, plain(" "), key(k))
		}
	}
	return b
}

func signature(id string) []packet.Blank {
	return []packet.Blank{
		{ID: id + ".name", Kind: packet.Words, Label: "Name, in capitals"},
		{ID: id + ".sign", Kind: packet.Sign, Label: "Signature"},
		{ID: id + ".when", Kind: packet.When, Label: "Date and time"},
	}
}

func blankPacket(t testing.TB, paper string, sheets ...packet.Sheet) packet.Packet {
	return packet.Packet{
		Job: packet.Job{ID: "K-24817", Unit: "P-214", UnitName: "Lye transfer pump", Procedure: "rebuild-component-seal",
			Title: "Rebuild, component seal in the stuffing box", Revision: "1", Day: "2026-11-30", Crew: "day"},
		Site: "Candle Row Soap Works (invented)", Fingerprint: "7F3A91C2", Link: "https://jobs.example.org/J",
		Paper: paper, System: "metric", Language: "en", Decimal: ".", Program: "jobsheaf 0.1", Words: catalogue(t), Sheets: sheets,
	}
}

// example is a packet with all six sheets and an annex, about as long as a real one.
func example(t testing.TB, paper string) packet.Packet {
	p := blankPacket(t, paper, coverSheet(), jobSheet(), numbersSheet(), stepsSheet(), wearSheet(), serviceSheet())
	p.Annex = annexSheets()
	return p
}

func block(v any) packet.Block {
	switch v := v.(type) {
	case packet.Heading:
		return packet.Block{Heading: &v}
	case packet.Para:
		return packet.Block{Para: &v}
	case packet.Hazard:
		return packet.Block{Hazard: &v}
	case packet.Alert:
		return packet.Block{Alert: &v}
	case packet.Facts:
		return packet.Block{Facts: &v}
	case packet.List:
		return packet.Block{List: &v}
	case packet.Table:
		return packet.Block{Table: &v}
	case packet.Step:
		return packet.Block{Step: &v}
	case packet.Done:
		return packet.Block{Done: &v}
	case packet.SignOff:
		return packet.Block{Sign: &v}
	case packet.Notes:
		return packet.Block{Notes: &v}
	case []packet.Figure:
		return packet.Block{Figures: v}
	case packet.Working:
		return packet.Block{Working: &v}
	case packet.Index:
		return packet.Block{Index: &v}
	case []packet.Block:
		return packet.Block{Keep: v}
	}
	panic(fmt.Sprintf("%T is no block", v))
}

func sheet(id, title string, blocks ...any) packet.Sheet {
	s := packet.Sheet{ID: id, Title: title}
	if id == "steps" || id == "service" || id == "working" || id == "sources" {
		s.Columns = 2
	}
	for _, b := range blocks {
		s.Blocks = append(s.Blocks, block(b))
	}
	return s
}

func items(tick bool, id string, texts ...string) packet.List {
	l := packet.List{Tick: tick}
	for i, s := range texts {
		l.Items = append(l.Items, packet.ListItem{ID: fmt.Sprintf("%s.%d", id, i+1), Text: packet.Say(s)})
	}
	return l
}

func coverSheet() packet.Sheet {
	points := packet.Table{ID: "isolation", Title: "Isolation points: all locked and proved before any fastener is touched", Columns: []packet.Column{
		{Title: "Point"}, {Title: "Energy"}, {Title: "Device and where", Weight: 2}, {Title: "Put to", Weight: 1}, {Title: "Proved by", Weight: 1},
		{Title: "Lock no."}, {Title: "On, initials"}, {Title: "Proved, initials"}, {Title: "Off, initials"}}}
	for i, r := range [][]string{
		{"E1", "electrical", "motor starter 14, MCC-3", "open and locked", "try start at the local station"},
		{"V1", "liquid", "suction valve HV-2141, pipe rack level 1", "closed and locked", "gauge PG-2142 reads zero"},
		{"V2", "pressure", "discharge valve HV-2143, pipe rack level 1", "closed and locked", "gauge PG-2144 reads zero"},
		{"H1", "heat", "trace heating panel TH-7", "off and locked", "pilot lamp dark"},
	} {
		var row packet.Row
		for k, s := range r {
			p := packet.Say(s)
			if k == 0 {
				p[0].Style = packet.Strong
			}
			row.Cells = append(row.Cells, packet.Cell{Text: p})
		}
		id := fmt.Sprintf("iso%d.", i+1)
		row.Cells = append(row.Cells,
			packet.Cell{Blanks: []packet.Blank{{ID: id + "lock", Kind: packet.Reading, Characters: 4}}},
			packet.Cell{Blanks: []packet.Blank{{ID: id + "on", Kind: packet.Initial}}},
			packet.Cell{Blanks: []packet.Blank{{ID: id + "proved", Kind: packet.Initial}}},
			packet.Cell{Blanks: []packet.Blank{{ID: id + "off", Kind: packet.Initial}}})
		points.Rows = append(points.Rows, row)
	}
	stop := items(false, "stop", "A lock is missing, or a gauge does not read zero.", "Liquid comes out where the line should be empty.", "The pump, the liquid or the paper is not what this sheet says.")
	return sheet("cover", "Lockout and liquid hazards",
		packet.Hazard{Signal: "Danger", Liquid: "Sodium hydroxide solution, 50 %",
			Condition:  packet.Phrase{plain("In service: "), strong("60 °C (140 °F)"), plain(" at "), strong("6 bar (87 psi)")},
			Pictograms: []string{"GHS05"},
			Statements: []packet.Statement{{Code: "H290", Text: "May be corrosive to metals."}, {Code: "H314", Text: "Causes severe skin burns and eye damage."}},
			Source:     packet.Say("Safety data sheet: Invented Alkali Supply, 2025-11-03, revision 4. Data from memory, invented plant.")},
		packet.Alert{Signal: "danger", Word: "DANGER", Lines: []packet.Phrase{packet.Phrase{plain("Hot surface: the casing takes "), strong("2 h 40 min"), key("W4"), plain(" to cool below the touch limit of "), strong("48 °C"), plain(".")}, packet.Say("It stands in the casing.")}},
		packet.Alert{Signal: "warning", Word: "WARNING", Lines: []packet.Phrase{packet.Phrase{plain("Sets solid below "), strong("12 °C (54 °F)"), key("W5"), plain(": a line that seems empty may be plugged.")}, packet.Say("It stands in the casing.")}},
		packet.Facts{Columns: 3, Rows: []packet.Fact{
			{Label: "Catch at least", Value: packet.Phrase{strong("17 L (4.5 gal)"), key("W6")}}, {Label: "Container", Value: packet.Say("Polyethylene, with lid")}, {Label: "In an emergency", Value: packet.Phrase{strong("Dial 5555")}}}},
		packet.Heading{Text: "Wear", Level: 2},
		items(true, "wear", "Face shield over goggles", "Nitrile or neoprene gauntlets", "Apron, alkali-proof", "Rubber boots under the trousers", "Hard hat", "Hearing protection"),
		[]packet.Figure{{Name: "face-shield"}, {Name: "gloves"}, {Name: "apron"}, {Name: "boots"}, {Name: "ear-protection"}},
		points,
		packet.Heading{Text: "Zero energy proved", Level: 2},
		items(true, "zero", "Tried to start at the local station: nothing moves.", "Both gauges read zero and the vent between the valves is open."),
		packet.Heading{Text: "Stop work when", Level: 2}, stop,
		packet.Para{Small: true, Text: packet.Say("Site rule SR-7, control of hazardous energy, and local law govern. This sheet is for people authorised to do this work; it does not replace either.")},
		packet.SignOff{Rows: []packet.SignRow{
			{Role: "Mechanic", For: packet.Say("I put on my locks and proved every point."), Blanks: signature("cover.mechanic")},
			{Role: "Person in charge", For: packet.Say("The unit is handed over for this work."), Blanks: signature("cover.charge")}}})
}

func jobSheet() packet.Sheet {
	return sheet("job", "Job sheet",
		packet.Facts{Columns: 4, Rows: []packet.Fact{
			{Label: "Unit", Value: packet.Say("P-214")}, {Label: "Name", Value: packet.Say("Lye transfer pump")}, {Label: "Area", Value: packet.Say("Saponification")}, {Label: "Serial", Value: packet.Say("RB65-0381")},
			{Label: "Design and size", Value: packet.Say("Ring gear B, size 65")}, {Label: "Seal", Value: packet.Say("component, in the stuffing box")}, {Label: "Thrust bearing", Value: packet.Say("ball")}, {Label: "Bushing", Value: packet.Say("carbon graphite")}}},
		packet.Table{ID: "plate", Columns: []packet.Column{{Title: "Nameplate model, as read"}, {Title: "Nameplate serial, as read"}, {Title: "Hours started"}, {Title: "Hours ended"}},
			Rows: []packet.Row{{Cells: []packet.Cell{{Blanks: []packet.Blank{{ID: "job.model", Kind: packet.Words}}}, {Blanks: []packet.Blank{{ID: "job.serial", Kind: packet.Words}}},
				{Blanks: []packet.Blank{{ID: "job.start", Kind: packet.When}}}, {Blanks: []packet.Blank{{ID: "job.end", Kind: packet.When}}}}}}},
		packet.Heading{Text: "Scope", Level: 1},
		packet.Para{Text: packet.Say("Strip, measure, replace what is worn, fit a new seal, set the end clearance to the value on the card, and hand back. Two people, nine hours.")},
		packet.Heading{Text: "Tools", Level: 1},
		items(true, "tool", "Soft-face hammer", "Hook spanner for M60x2", "Hex keys 5, 6, 8 and 10 mm", "Arbor press, 5 t", "Brass bar 20 x 300 mm", "Torque wrench 20 to 200 N.m", "Outside micrometer 25 to 50 mm", "Feeler gauges 0.03 to 1 mm", "Steel rule 300 mm"),
		packet.Heading{Text: "Parts to pull", Level: 1},
		packet.Table{ID: "parts", Columns: []packet.Column{{Title: "Kit or part", Weight: 2}, {Title: "Number", Weight: 1}, {Title: "Holds", Weight: 3}, {Title: "Pulled"}}, Rows: []packet.Row{
			{Group: "Seal kit, from serial RB65-0300"},
			{Cells: []packet.Cell{{Text: packet.Say("Seal kit")}, {Text: packet.Phrase{strong("RB65-SK1")}}, {Text: packet.Say("Seal, gasket set, bearing, collars, lip seals, hardware")}, {Blanks: []packet.Blank{{ID: "parts.sk", Kind: packet.Tick}}}}},
			{Group: "Wear kit"},
			{Cells: []packet.Cell{{Text: packet.Say("Wear kit")}, {Text: packet.Phrase{missing("NOT ON RECORD")}}, {Text: packet.Say("Idler with bushing, head with pin, bracket bushing, hardware")}, {Blanks: []packet.Blank{{ID: "parts.wk", Kind: packet.Tick}}}}}},
			Note: packet.Say("Where the tag of the pump is missing: ask the supplier with model and serial before pulling anything.")},
		packet.Notes{ID: "job.notes", Title: "Notes of the crew", Lines: 4})
}

func numbersSheet() packet.Sheet {
	t := packet.Table{ID: "torque", Title: "Bolted joints", Columns: []packet.Column{{Title: "Joint", Weight: 2}, {Title: "Fasteners", Weight: 1}, {Title: "Condition"}, {Title: "Band", Right: true}, {Title: "Target", Right: true}, {Title: "Pass 1", Right: true}, {Title: "Pass 2", Right: true}, {Title: "Final, as read"}, {Title: "Wrench no."}}}
	for i, j := range []string{"Head to casing", "Bearing housing face screws", "Bearing housing radial screws", "Seal holder", "Relief valve to head"} {
		c := func(s ...packet.Span) packet.Cell { return packet.Cell{Text: s} }
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{
			c(strong(j)), c(plain("8 x M12, 8.8")), c(plain("oiled")), c(plain("81..89 N.m (60..65 ft.lbf)")),
			c(strong("85 N.m (63 ft.lbf)"), key(fmt.Sprintf("W%d", 20+i))), c(plain("25 N.m")), c(plain("51 N.m")),
			{Blanks: []packet.Blank{reading(fmt.Sprintf("torque.%d", i), "", "", "", "N.m", "")}}, {Blanks: []packet.Blank{{ID: fmt.Sprintf("wrench.%d", i), Kind: packet.Words, Characters: 5}}}}})
	}
	fits := packet.Table{ID: "fits", Title: "Clearances and fits", Columns: []packet.Column{{Title: "What", Weight: 2}, {Title: "Band", Weight: 1, Right: true}, {Title: "Target", Weight: 1, Right: true}, {Title: "As found"}, {Title: "As left"}, {Title: "How to measure", Weight: 2}}}
	for i, w := range []string{"End clearance, as left", "Bracket bushing to shaft", "Idler bushing to pin", "Crescent to idler tip"} {
		left := reading(fmt.Sprintf("fit.%d.left", i), "", "", "", "mm", "")
		if i == 3 {
			left.NotOnRecord = "tip_clearance.high"
		}
		fits.Rows = append(fits.Rows, packet.Row{Cells: []packet.Cell{{Text: packet.Phrase{strong(w)}}, {Text: packet.Say("0.08..0.12 mm (0.0031..0.0047 in)")}, {Text: packet.Phrase{strong("0.10 mm (0.004 in)"), key("W9")}},
			{Blanks: []packet.Blank{reading(fmt.Sprintf("fit.%d.found", i), "", "", "", "mm", "")}}, {Blanks: []packet.Blank{left}}, {Text: packet.Say("Feeler gauge at the head, three places")}}})
	}
	circle := func(title string, order ...float64) packet.Figure {
		return packet.Figure{Name: "bolt-circle", Caption: packet.Say("Order of tightening, " + title), Numbers: map[string]float64{"count": float64(len(order))},
			Texts: map[string]string{"title": title, "seat": "hex"}, Lists: map[string][]string{"passes": {"25 N.m", "51 N.m", "85 N.m"}}, Series: map[string][]float64{"order": order}}
	}
	marks := packet.Figure{Name: "housing-marks", Caption: packet.Say("Bearing housing, seen from the shaft end"), Numbers: map[string]float64{"diameter": 140, "travel": 22}, Texts: map[string]string{"travel": "22.0 mm (55/64 in)", "turn_in": "cw"}}
	strip := packet.Figure{Name: "strip", Exact: true, Caption: packet.Say("Cut out and wrap round the housing"), Numbers: map[string]float64{"diameter": 140, "lead": 2, "travel": 22, "max_clearance": 0.5, "us": 0},
		Texts: map[string]string{"travel": "22.0 mm (55/64 in)", "clearance": "0.10 mm (0.004 in)", "turn_in": "cw"}}
	return sheet("numbers", "Numbers for this unit", t, fits,
		[]packet.Figure{circle("head to casing", 1, 5, 3, 7, 2, 6, 4, 8), circle("relief valve", 1, 3, 2, 4)}, []packet.Figure{marks}, []packet.Figure{strip})
}

func stepsSheet() packet.Sheet {
	s := sheet("steps", "Steps", packet.Heading{Text: "3  Strip", Level: 1},
		packet.Step{ID: "s3.1", Number: "3.1", Text: packet.Say("Match-mark head and casing with a punch, and note which way the relief valve points."),
			Figure: []packet.Figure{{Name: "relief-valve", Caption: packet.Say("The relief valve points to the suction side."), Texts: map[string]string{"side": "left", "place": "on-head"}}},
			Blanks: []packet.Blank{{ID: "s3.1.in", Kind: packet.Tick, Label: "to suction"}, {ID: "s3.1.out", Kind: packet.Tick, Label: "to discharge"}}},
		packet.Step{ID: "s3.2", Number: "3.2", Text: packet.Phrase{plain("Take out the "), strong("8"), plain(" head fasteners.")},
			Alerts: []packet.Alert{{Signal: "danger", Word: "DANGER", Text: packet.Say("Lye may still stand behind the head. It burns skin and blinds.")}}},
		packet.Step{ID: "s3.3", Number: "3.3", Text: packet.Say("Tilt the head away at the top so that the idler stays on its pin, and set it down on wood."),
			Alerts: []packet.Alert{{Signal: "caution", Word: "CAUTION", Text: packet.Say("The idler slides off a head that is tilted towards you.")}, {Signal: "notice", Word: "NOTICE", Text: packet.Phrase{plain("The head with idler and pin weighs "), strong("18 kg (40 lb)"), key("W31"), plain(".")}}}},
		packet.Step{ID: "s3.4", Number: "3.4", Text: packet.Say("Block the rotor through the port with brass or hardwood."), Only: packet.Say("Only where the lock nut does not come free by hand.")},
		stageDone("s3"),
		packet.Heading{Text: "10  Set the end clearance", Level: 1},
		packet.Step{ID: "s10.1", Number: "10.1", Text: packet.Say("Find zero and mark it."), How: []packet.Phrase{packet.Say("Turn the bearing housing in until the shaft drags slightly."), packet.Say("Mark casing and housing in line.")}},
		packet.Step{ID: "s10.2", Number: "10.2", Text: packet.Phrase{plain("Set a second mark on the casing, "), strong("22.0 mm (55/64 in)"), key("W12"), plain(" from the first against the turning direction.")},
			Blanks: []packet.Blank{reading("s10.2.travel", "Travel used", "22.0 mm (55/64 in)", "W12", "mm", "steel rule")}},
		packet.Step{ID: "s10.3", Number: "10.3", Text: packet.Say("Back the bearing housing off until its mark meets the second casing mark."),
			Alerts: []packet.Alert{{Signal: "warning", Word: "WARNING", Text: packet.Say("A rotor that touches the head seizes within seconds of start-up.")}},
			Blanks: []packet.Blank{reading("s10.3.a", "End clearance at the top", "0.08 to 0.12 mm", "W9", "mm", "feeler gauge"), reading("s10.3.b", "End clearance at the left", "0.08 to 0.12 mm", "W9", "mm", "feeler gauge"),
				reading("s10.3.c", "End clearance at the right", "0.08 to 0.12 mm", "W9", "mm", "feeler gauge"), reading("s10.3.d", "End clearance at the bottom", "0.08 to 0.12 mm", "W9", "mm", "feeler gauge")},
			Hold: &packet.Hold{Role: "second person", Blanks: signature("s10.3.hold")}},
		packet.Step{ID: "s10.4", Number: "10.4", Text: packet.Say("Turn the shaft by hand through one full turn. Where it binds, back off further and check again."),
			Blanks: []packet.Blank{{ID: "s10.4.t", Kind: packet.Reading, Label: "Breakaway torque", Unit: "N.m", Instrument: "torque wrench", NotOnRecord: "breakaway.torque of size 65"},
				{ID: "s10.4.free", Kind: packet.Tick, Label: "turns free"}, {ID: "s10.4.bind", Kind: packet.Tick, Label: "binds"}}},
		packet.Step{ID: "s10.5", Number: "10.5", Text: packet.Say("Lock both face screws equally."), Blanks: []packet.Blank{{ID: "s10.5.note", Kind: packet.Words, Label: "What was seen", Characters: 12}, {ID: "s10.5.i", Kind: packet.Initial, Label: "Initials"}}})
	for i := 6; i < 20; i++ {
		s.Blocks = append(s.Blocks, block(packet.Step{ID: fmt.Sprintf("s10.%d", i), Number: fmt.Sprintf("10.%d", i), Text: packet.Say("Oil the pin and put the idler on; it must turn freely by one finger.")}))
	}
	return s
}

func stageDone(id string) packet.Done {
	return packet.Done{Text: "Stage done", Blanks: []packet.Blank{{ID: id + ".by", Kind: packet.Initial, Label: "Initials"}, {ID: id + ".at", Kind: packet.Words, Label: "Time", Characters: 5}}}
}

func wearSheet() packet.Sheet {
	t := packet.Table{ID: "wear", Title: "Worn parts", Columns: []packet.Column{{Title: "Feature", Weight: 1}, {Title: "New", Right: true}, {Title: "Last as left", Right: true}, {Title: "Reject", Right: true}, {Title: "Readings"}, {Title: "Worst"}, {Title: "Verdict"}}}
	for i, part := range []string{"Idler pin", "Idler bushing", "Bracket bushing", "Rotor", "Casing"} {
		id := fmt.Sprintf("wear.%d.", i)
		t.Rows = append(t.Rows, packet.Row{Group: part}, packet.Row{Cells: []packet.Cell{
			{Text: packet.Say("Diameter where the bushing runs, outside micrometer")}, {Text: packet.Say("32.00 mm")}, {Text: packet.Say("31.94 mm 2025-03-04")}, {Text: packet.Phrase{strong("below 31.91 mm"), key("W40")}},
			{Blanks: []packet.Blank{reading(id+"a1", "A1", "", "", "mm", ""), reading(id+"a2", "A2", "", "", "mm", ""), reading(id+"b1", "B1", "", "", "mm", ""), reading(id+"b2", "B2", "", "", "mm", "")}},
			{Blanks: []packet.Blank{reading(id+"w", "", "", "", "mm", "")}},
			{Blanks: []packet.Blank{{ID: id + "reuse", Kind: packet.Tick, Label: "reuse"}, {ID: id + "replace", Kind: packet.Tick, Label: "replace"}, {ID: id + "ask", Kind: packet.Tick, Label: "ask"}}}}})
	}
	return sheet("wear", "Wear measurements", packet.Para{Text: packet.Say("Measure clean and at room temperature. Write every reading, then the worst of them, and tick one box.")}, t)
}

func serviceSheet() packet.Sheet {
	return sheet("service", "Back in service",
		packet.Heading{Text: "Start-up readings", Level: 1},
		packet.Table{ID: "start", Columns: []packet.Column{{Title: "Reading", Weight: 2}, {Title: "Expected", Weight: 2}, {Title: "After 5 min"}, {Title: "After 1 h"}}, Rows: []packet.Row{
			{Cells: []packet.Cell{{Text: packet.Say("Discharge pressure, PG-2144")}, {Text: packet.Phrase{strong("6.0 bar (87 psi)")}}, {Blanks: []packet.Blank{reading("start.p5", "", "", "", "bar", "")}}, {Blanks: []packet.Blank{reading("start.p60", "", "", "", "bar", "")}}}},
			{Cells: []packet.Cell{{Text: packet.Say("Motor current")}, {Text: packet.Phrase{strong("7.4 A")}}, {Blanks: []packet.Blank{reading("start.i5", "", "", "", "A", "")}}, {Blanks: []packet.Blank{reading("start.i60", "", "", "", "A", "")}}}}}},
		packet.Heading{Text: "Signed", Level: 1},
		packet.SignOff{Rows: []packet.SignRow{{Role: "Mechanic", For: packet.Say("Done as written; exceptions are noted."), Blanks: signature("service.m")}, {Role: "Second person", Blanks: signature("service.s")}, {Role: "Person in charge", For: packet.Say("Taken back into service."), Blanks: signature("service.c")}}})
}

// annexSheets are four pages of working, its sources, and a table that takes the whole
// width.
func annexSheets() []packet.Sheet {
	var es []packet.Entry
	for i := range 60 {
		es = append(es, packet.Entry{Key: fmt.Sprintf("W%d", i+1), Name: "travel", What: "Mark-to-mark travel on the bearing housing", Formula: "arc_travel(end_clearance.set, housing.diameter, housing.lead)",
			At: packet.Place{File: "procedures/bearing-housing.yaml", Line: 14}, Printed: "22.0 mm (55/64 in)", Exactly: "21.991 mm",
			Inputs:  []packet.Input{{Name: "end_clearance.set", Text: "0.10 mm", At: packet.Place{File: "designs/ring-gear-b.yaml", Line: 31}}, {Name: "housing.diameter", Text: "140 mm", At: packet.Place{File: "designs/ring-gear-b.yaml", Line: 32}, Key: "W3"}, {Name: "housing.lead", Text: "2 mm", At: packet.Place{File: "designs/ring-gear-b.yaml", Line: 32}}},
			Sources: []string{"geometry of a screw thread", "Works drawing set RB, issue 4 (invented)"}})
	}
	es = append(es, packet.Entry{Key: "W15", Name: "torque.breakaway", What: "Breakaway torque", Formula: "breakaway.torque"})
	again := packet.Phrase{{Text: "22.0 mm"}, {Text: "W1", Style: packet.Key}, {Text: " · "}, {Text: "60 °C"}, {Text: "W2", Style: packet.Key}}
	working := []any{packet.Para{Text: packet.Say("Each number where it is first printed."), Small: true}, packet.Heading{Text: "Cover", Level: 2}, packet.Working{Entries: es[:5]}, packet.Heading{Text: "Steps", Level: 2}}
	for i := 5; i < len(es); i += 4 {
		working = append(working, packet.Working{At: fmt.Sprintf("Step %d.1", i), Again: again, Entries: es[i:min(i+4, len(es))]}, packet.Working{At: fmt.Sprintf("Step %d.2", i), Again: again})
	}
	var sources []packet.Looked
	for i := range 20 {
		sources = append(sources, packet.Looked{Head: fmt.Sprintf("S%d", i+1), Text: packet.Say(strings.Repeat("geometry of a screw thread, ", 1+i%4))})
	}
	return []packet.Sheet{sheet("working", "Working", working...), sheet("sources", "Sources", packet.Index{Rows: sources}),
		sheet("aside", "A wide table", packet.Table{ID: "wide", Columns: []packet.Column{{Title: "What", Weight: 1}, {Title: "How much", Weight: 1}}, Rows: []packet.Row{{Cells: []packet.Cell{{Text: packet.Say("Mass")}, {Text: packet.Phrase{strong("12 kg")}}}}}})}
}
