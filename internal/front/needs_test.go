package front

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// asking gives a job that needs something.
func asking(id, unit, day string, n packet.Needs) Job {
	return Job{Job: id, Unit: unit, Area: "Hall", Title: "Rebuild", Day: day, Crew: "day", People: 1, Hours: 2, Pages: 10, Needs: &n}
}

// sheetOf gives one sheet of some front matter, as text.
func sheetOf(t *testing.T, f *Front, id string) string {
	t.Helper()
	pk, problems := f.packet()
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, s := range pk.Sheets {
		if s.ID == id {
			return text(s)
		}
	}
	return ""
}

// holds reports lines that a sheet does not have in this order.
func holds(t *testing.T, sheet string, lines ...string) {
	t.Helper()
	rest := sheet
	for _, line := range lines {
		_, after, ok := strings.Cut(rest, line+"\n")
		if !ok {
			t.Errorf("%q is missing, or not in its place, in\n%s", line, sheet)
			return
		}
		rest = after
	}
}

// Everything is listed by its name for other programs, and what the store gives out
// stands on the pull list with what is needed first in front.
func TestOrderOfPulling(t *testing.T) {
	run, _, _, _ := works(t)
	kit := func(name, number string, items ...string) packet.Kit {
		return packet.Kit{Kit: name, Number: number, Items: items}
	}
	oil := func(text string) packet.Supply { return packet.Supply{Item: "Oil", Amount: written(t, text)} }
	jobs := []Job{
		asking("A", "P-1", "2026-11-30", packet.Needs{Kits: []packet.Kit{kit("Seal kit", "S-2"), kit("Rings", "R-1")}, Parts: []packet.Item{{Item: "Pin"}, {Item: "Key"}},
			Supplies: []packet.Supply{oil("60 degC"), {Item: "Rags"}, oil("60 degC")}}),
		asking("B", "P-2", "2026-12-01", packet.Needs{Kits: []packet.Kit{kit("Seal kit", "S-1", "ring"), kit("Seal kit", "S-1"), kit("Rings", "R-1")}, Parts: []packet.Item{{Item: "Bush"}, {Item: "Pin"}},
			Supplies: []packet.Supply{oil("40 degC"), {Item: "Felt"}}}),
	}
	f := Round(run, "2026-11-30", "day", jobs, nil)
	list := func(pulls []Pull) string {
		var out []string
		for _, p := range pulls {
			out = append(out, strings.TrimSpace(p.Amount+" "+p.What+" "+p.Number+" "+p.Holds)+": "+strings.Join(p.Jobs, " "))
		}
		return strings.Join(out, "; ")
	}
	for _, c := range []struct{ got, want string }{
		{list(f.Kits), "2 Rings R-1: A B; 1 Seal kit S-1 ring: B; 1 Seal kit S-1: B; 1 Seal kit S-2: A"},
		{list(f.Parts), "1 Bush: B; 1 Key: A; 2 Pin: A B"},
		{list(f.Supplies), "<by_steps> Felt: B; 40 degC Oil: B; 60 degC Oil: A; <by_steps> Rags: A"},
	} {
		if c.got != c.want {
			t.Errorf("%s, not %s", c.got, c.want)
		}
	}
	holds(t, sheetOf(t, &f, "round"),
		"  strong(2) | Rings | strong(R-1) | A, B | <monday> 11-30, day | _kit.1 tick 0_", "  strong(1) | Seal kit | strong(S-2) | A | <monday> 11-30, day | _kit.2 tick 0_",
		"  strong(1) | Seal kit | strong(S-1) | B | <tuesday> 12-01, day | _kit.3 tick 0_",
		"  strong(1) | Key | A | <monday> 11-30, day | _parts.5 tick 0_", "  strong(2) | Pin | A, B | <monday> 11-30, day | _parts.6 tick 0_", "  strong(1) | Bush | B | <tuesday> 12-01, day | _parts.7 tick 0_",
		"  strong(<by_steps>) | Felt | B | <tuesday> 12-01, day | _supplies.8 tick 0_")
}

// A torque wrench is an instrument and no tool; tools that hold something stay, and so
// does what stands behind a wrench. What reads to other steps is another instrument.
func TestToolsAndInstruments(t *testing.T) {
	run, _, _, _ := works(t)
	instrument := func(name, reads string) packet.Instrument {
		return packet.Instrument{Name: name, Resolution: []packet.Amount{*written(t, reads)}}
	}
	needs := packet.Needs{
		Tools:       []packet.Item{{Item: "Wrench", Asks: []packet.Amount{*written(t, "40 N.m")}}, {Item: "Pail", Asks: []packet.Amount{*written(t, "10 L")}}, {Item: "Arbor"}},
		Containers:  []packet.Item{{Item: "Tray"}},
		Instruments: []packet.Instrument{instrument("Rule", "1 mm"), instrument("Gauge", "0.05 mm"), instrument("Gauge", "0.01 mm"), instrument("Gauge", "0.01 mm")},
	}
	jobs := []Job{asking("A", "P-1", "2026-11-30", needs)}
	f := Round(run, "2026-11-30", "day", jobs, nil)
	var got []string
	for _, u := range slices.Concat(f.Instruments, f.Tools) {
		got = append(got, strings.TrimSpace(u.What+" "+u.GoodFor)+": "+strings.Join(u.Jobs, " "))
	}
	if s := strings.Join(got, "; "); s != "Gauge 0,01 mm: A; Gauge 0,05 mm: A; Rule 1 mm: A; Arbor: A; Pail: A; Tray: A" {
		t.Error(s)
	}
	none := Round(run, "2026-11-30", "day", []Job{asking("A", "P-1", "2026-11-30", packet.Needs{})}, nil)
	if s := sheetOf(t, &none, "round"); strings.Contains(s, "table hand") || strings.Contains(s, "table points") || strings.Contains(s, "table danger") || strings.Contains(s, "table liquids") || strings.Contains(s, "table kits") || strings.Contains(s, "# 2") {
		t.Errorf("a job that needs nothing:\n%s", s)
	}
}

// Everyone hangs a lock of their own at each point; what is tagged takes none, nor what
// the records do not name. The most people at a unit count, not the last.
func TestLocksAndTags(t *testing.T) {
	run, _, _, _ := works(t)
	lock := func(point string, tagged bool) packet.Lock {
		return packet.Lock{Point: point, Device: "valve", Put: "closed", Prove: "look", Energy: "liquid", Tagged: tagged}
	}
	jobs := []Job{
		asking("A", "P-1", "2026-11-30", packet.Needs{Locks: []packet.Lock{lock("V1", false), lock("V2", true), {Energy: "heat", Missing: true}}}),
		asking("B", "P-1", "2026-11-30", packet.Needs{Locks: []packet.Lock{lock("V3", false), lock("V1", false)}}),
		asking("C", "P-2", "2026-12-01", packet.Needs{Locks: []packet.Lock{lock("V1", false), lock("V4", false)}}),
		asking("D", "P-3", "2026-12-01", packet.Needs{}),
	}
	jobs[0].People, jobs[2].People, jobs[3].People = 3, 0, 9
	f := Round(run, "2026-11-30", "day", jobs, nil)
	holds(t, sheetOf(t, &f, "round"),
		"  strong(P-1) / Hall | strong(6) | strong(V1) valve; strong(V2) valve (<tag>); strong(<heat>) <not_on_record> <find>; strong(V3) valve | A, B",
		"  strong(P-2) / Hall | strong(2) | strong(V1) valve; strong(V4) valve | C", "note <note> 8")
}

// What the pumps hold: a liquid of two safety data sheets stands twice, in order of
// name and sheet, each with its units in order and every state in which one is found.
func TestLiquids(t *testing.T) {
	run, _, _, _ := works(t)
	hazard := func(name, source, condition string, says ...packet.Statement) packet.Needs {
		return packet.Needs{Liquid: &packet.Hazard{Liquid: name, Source: packet.Say(source), Condition: packet.Say(condition), Statements: says}}
	}
	burns, blinds := packet.Statement{Code: "H314", Text: "Burns"}, packet.Statement{Text: "Blinds"}
	f := Round(run, "2026-11-30", "day", []Job{
		asking("A", "P-2", "2026-11-30", hazard("Water", "", "20 °C")), asking("B", "P-3", "2026-11-30", hazard("Lye", "sheet of 2025", "60 °C", burns, blinds)),
		asking("C", "P-1", "2026-11-30", hazard("Lye", "sheet of 2025", "<condition>: 40 °C", burns, blinds)), asking("D", "P-1", "2026-11-30", hazard("Lye", "sheet of 2019", "60 °C", burns)),
		asking("E", "P-1", "2026-11-30", hazard("Lye", "sheet of 2025", "30 °C", burns)), asking("F", "P-1", "2026-11-30", hazard("Lye", "sheet of 2025", "30 °C", burns)),
	}, nil)
	var got []string
	for _, q := range f.Liquids {
		got = append(got, q.Name+" "+q.Source)
		for _, u := range q.Units {
			got = append(got, u.Unit+" "+u.Condition+" "+strings.Join(u.Jobs, " "))
		}
	}
	if s := strings.Join(got, "; "); s != "Lye sheet of 2019; P-1 60 °C D; Lye sheet of 2025; P-1 30 °C E F; P-1 <condition>: 40 °C C; P-3 60 °C B; Water ; P-2 20 °C A" {
		t.Error(s)
	}
	holds(t, sheetOf(t, &f, "round"), "  strong(Lye) | H314 Burns | strong(P-1) 60 °C", "  strong(Lye) | H314 Burns; Blinds | strong(P-1) 30 °C / strong(P-1) 40 °C / strong(P-3) 60 °C", "  strong(Water) | <no_statements> | strong(P-2) 20 °C")
}

// One value that is not on record is told as well as many.
func TestLacks(t *testing.T) {
	run, _, _, _ := works(t)
	f := Round(run, "2026-11-30", "day", []Job{asking("A", "P-1", "2026-11-30", packet.Needs{Lacks: 1}), asking("B", "P-2", "2026-11-30", packet.Needs{})}, nil)
	if fmt.Sprint(f.Lacks) != "[{P-1 A 1}]" {
		t.Errorf("%v", f.Lacks)
	}
	holds(t, sheetOf(t, &f, "round"), "* strong(<lacks>): P-1 (A) 1")
}
