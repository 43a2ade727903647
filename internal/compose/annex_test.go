package compose_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// withAside gives the sheets that are carried, and that of the annex with what stands on
// none of them.
func withAside(p *packet.Packet) []packet.Sheet {
	return slices.Concat(p.Sheets, slices.DeleteFunc(slices.Clone(p.Annex), func(s packet.Sheet) bool { return s.ID != "aside" }))
}

// inWorking is where a number stands that the working alone says.
var inWorking = []packet.Spot{{Sheet: "working"}}

// numbersOf gives what these print, in the order in which it is read: the entry, and
// where it stands.
func numbersOf(p *packet.Packet) (names []string, at map[string][]packet.Spot) {
	at = map[string][]packet.Spot{}
	for _, s := range withAside(p) {
		if s.ID == "aside" { // before which the working has what it alone says
			for _, e := range p.Working {
				if e.Printed != "" && len(at[e.Name]) == 0 && slices.Equal(e.Stands, inWorking) {
					names, at[e.Name] = append(names, e.Name), inWorking
				}
			}
		}
		for step, span := range s.Numbers() {
			spot := packet.Spot{Sheet: s.ID, Step: step}
			if !slices.Contains(at[span.Entry], spot) {
				at[span.Entry] = append(at[span.Entry], spot)
			}
			if len(at[span.Entry]) == 1 && !slices.Contains(names, span.Entry) {
				names = append(names, span.Entry)
			}
		}
	}
	return names, at
}

// annexOf gives the blocks of a sheet of the annex.
func annexOf(p *packet.Packet, id string) []packet.Block {
	for _, s := range p.Annex {
		if s.ID == id {
			return s.Blocks
		}
	}
	return nil
}

// The annex has every entry once, in the order of the sheets and steps at which their
// numbers stand, and each number that stands there again behind its step, with the key.
func TestAnnexOrder(t *testing.T) {
	s := open(t, demo(t, "soapworks"))
	p := s.packet(t, "P-214", "rebuild-component-seal")
	names, at := numbersOf(p)
	var printed []string
	for i, e := range p.Working {
		if want := "W" + strconv.Itoa(i+1); e.Key != want {
			t.Fatalf("entry %d is %s, want %s", i+1, e.Key, want)
		}
		if e.Printed == "" {
			if len(e.Stands) > 0 {
				t.Errorf("%s is printed nowhere and stands at %v", e.Name, e.Stands)
			}
			continue
		}
		printed = append(printed, e.Name)
		if !slices.Equal(e.Stands, at[e.Name]) {
			t.Errorf("%s stands at %v, and says %v", e.Name, at[e.Name], e.Stands)
		}
	}
	// A step on the way to a number comes behind what takes it.
	where := map[string]int{}
	for i, e := range p.Working {
		where[e.Key] = i
	}
	taken := map[string]bool{}
	for i, e := range p.Working {
		for _, in := range e.Inputs {
			if k, ok := where[in.Key]; ok {
				taken[in.Key] = taken[in.Key] || i < k
			}
		}
	}
	for _, e := range p.Working {
		if e.Printed == "" && !taken[e.Key] {
			t.Errorf("%s %s stands before whatever takes it", e.Key, e.Name)
		}
	}
	// The others are in the order in which they are read.
	of := map[string]bool{}
	for _, e := range p.Working {
		of[e.Name] = taken[e.Key]
	}
	behind := func(name string) bool { return of[name] }
	if printed, names = slices.DeleteFunc(printed, behind), slices.DeleteFunc(names, behind); !slices.Equal(printed, names) || len(names) == 0 {
		t.Errorf("the entries are not in the order in which their numbers are read")
	}

	var listed, again []string
	step := ""
	for _, b := range annexOf(p, "working") {
		if b.Working == nil {
			continue
		}
		if b.Working.At != "" {
			step = strings.TrimPrefix(b.Working.At, "Step ")
		}
		for _, e := range b.Working.Entries {
			listed = append(listed, e.Key)
			if len(e.Stands) > 0 && e.Stands[0].Step != "" && e.Stands[0].Step != step && !taken[e.Key] {
				t.Errorf("%s is listed at step %s, and stands first at %v", e.Name, step, e.Stands[0])
			}
		}
		for _, span := range b.Working.Again {
			if span.Style == packet.Key {
				again = append(again, span.Text)
			}
		}
	}
	// A number that stands at two places stands at one of them again, but for the trends'.
	repeats := 0
	for _, spots := range at {
		repeats += len(slices.DeleteFunc(slices.Clone(spots), func(s packet.Spot) bool { return s.Sheet == "aside" })) - 1
	}
	if len(listed) != len(p.Working) || len(again) < repeats || repeats == 0 {
		t.Errorf("it lists %d of %d entries, and %d of %d numbers that stand somewhere again", len(listed), len(p.Working), len(again), repeats)
	}
	if !slices.IsSortedFunc(listed, func(a, b string) int { return where[a] - where[b] }) {
		t.Error("the entries are not listed in the order of their keys")
	}
}

// Nothing stands twice in the annex: the line of a record is named once, where it is
// used first, and once in each part of the card; a source has one number.
func TestAnnexSaysNothingTwice(t *testing.T) {
	s := open(t, demo(t, "soapworks"))
	p := s.packet(t, "P-214", "rebuild-component-seal")
	lines, inputs := map[string]string{}, 0
	var before []packet.Input
	part, keys := "", map[string]bool{}
	onCard := []string{"Torques", "Clearances and fits to set or measure", "End clearance, travel", "Wear limits", "Lifting"}
	for _, e := range p.Working {
		keys[e.Key] = true
	}
	for _, b := range annexOf(p, "working") {
		if b.Heading != nil {
			part = b.Heading.Text
		}
		if b.Working == nil {
			continue
		}
		for _, e := range b.Working.Entries {
			if len(e.Inputs) > 4 && slices.Equal(e.Inputs, before) {
				t.Errorf("%s has the same inputs as the entry before, and lists them", e.Name)
			}
			before = e.Inputs
			code := e.Governed
			if e.Reads == "" {
				code += e.Formula
			}
			if strings.ContainsAny(code, `?"`) || strings.Contains(code, "q(") {
				t.Errorf("%s reads as a program: %s", e.Name, code)
			}
			for _, in := range e.Inputs {
				inputs++
				at := in.Name + " " + in.Text + " " + in.At.String()
				if slices.Contains(onCard, part) {
					at += " " + part
				}
				switch {
				case in.At == (packet.Place{}) && !keys[in.Key] && in.Table == "":
					t.Errorf("%s takes %s from nowhere", e.Name, in.Name)
				case in.At == (packet.Place{}):
				case lines[at] != "":
					t.Errorf("%s names the place of %s, as %s does", e.Name, in.Name, lines[at])
				default:
					lines[at] = e.Name
				}
				if in.At.Col != 0 || strings.Contains(in.At.File, "/") {
					t.Errorf("%s takes %s from %s: the short name and the line are enough", e.Name, in.Name, in.At)
				}
			}
		}
	}
	if inputs < 100 {
		t.Errorf("there are %d inputs only", inputs)
	}
	seen, files := map[string]bool{}, 0
	for _, b := range annexOf(p, "sources") {
		for _, row := range b.Index.Rows {
			if text := row.Text.String(); seen[text] {
				t.Errorf("the source %q stands there twice", text)
			} else {
				seen[text] = true
			}
			if strings.HasSuffix(row.Text.String(), ".yaml") {
				files++
			}
		}
	}
	if files == 0 || len(seen)-files < 20 {
		t.Errorf("it lists %d sources and %d files", len(seen)-files, files)
	}
}

// A formula in the notation of a handbook stands in place of the template's, and its
// letters stand before the names that they are.
func TestHandbookNotation(t *testing.T) {
	s := open(t, demo(t, "soapworks"))
	p := s.packet(t, "P-214", "rebuild-component-seal")
	i := slices.IndexFunc(p.Working, func(e packet.Entry) bool { return e.Name == "travel" })
	if i < 0 {
		t.Fatal("no travel is printed")
	}
	e := p.Working[i]
	letters := map[string]string{}
	for _, in := range e.Inputs {
		letters[in.Letter] = in.Name
	}
	if e.Reads != "s = π · D · c / l" || letters["D"] != "housing.diameter" || letters["c"] != "to_set" || letters["l"] != "housing.lead" || len(letters) != 3 {
		t.Errorf("it reads %q with %v", e.Reads, letters)
	}
	if !strings.Contains(e.Formula, "arc_travel(") {
		t.Errorf("the packet no longer says the formula of the template, but %q", e.Formula)
	}
	// Of the values that are worked out of others by functions, most have one.
	with, all := 0, 0
	for _, e := range p.Working {
		if strings.Contains(e.Formula, "(") && len(e.Inputs) > 1 {
			all++
			if e.Reads != "" {
				with++
			}
		}
	}
	if with*3 < all*2 {
		t.Errorf("%d of %d formulas are in the notation of a handbook", with, all)
	}
}

// What the records confirm, what was left out and why, and the trends stand in the annex
// and nowhere else.
func TestWhatElseTheAnnexHas(t *testing.T) {
	s := open(t, demo(t, "soapworks"))
	u := s.book.Units["P-214"]
	u.Confirmed = append(u.Confirmed, record.Confirmed{Key: record.Text{S: "drive.power", At: diag.Pos{File: "units/test.yaml", Line: 7, Col: 3}}, Why: record.Text{S: "read on the nameplate"}})
	p := s.packet(t, "P-214", "rebuild-component-seal")
	said := func(id string) string {
		var b strings.Builder
		for _, block := range annexOf(p, id) {
			if block.Index != nil {
				for _, row := range block.Index.Rows {
					b.WriteString(row.Head + " " + row.Text.String() + "\n")
				}
			}
			for _, f := range block.Figures {
				b.WriteString(f.Name + "\n")
			}
		}
		return b.String()
	}
	confirmed := ""
	for _, e := range p.Working {
		for _, in := range e.Inputs {
			if in.Name == "drive.power" {
				confirmed = in.Text
			}
		}
	}
	if confirmed != "5.5 kW, confirmed: read on the nameplate" {
		t.Errorf("confirmed: %q", confirmed)
	}
	if got := said("left_out"); strings.Count(got, `built.thrust_bearing = taper (it is ball): `) != 1 || !strings.Contains(got, " · ") {
		t.Errorf("left out: %s", got)
	}
	if got := said("aside"); strings.Count(got, "trend\n") != 4 {
		t.Errorf("trends: %q", got)
	}
	for _, sheet := range p.Sheets {
		for _, b := range sheet.Blocks {
			if slices.ContainsFunc(b.Figures, func(f packet.Figure) bool { return f.Name == "trend" }) {
				t.Errorf("a trend stands on the sheet %s", sheet.ID)
			}
		}
	}
}

// An entry says to what its number is rounded where the figures do not show it, and whence
// a number comes that is on no line of a record.
func TestAnnexSaysHowItRounds(t *testing.T) {
	p := open(t, demo(t, "soapworks")).packet(t, "P-214", "rebuild-component-seal")
	for name, want := range map[string]string{"travel": "rounded to 0.5 mm", "trapped": "rounded up to 1 bar", "power_share": "rounded up to 1 %", "to_set": "", "joints.seal_holder.torque": ""} {
		i := slices.IndexFunc(p.Working, func(e packet.Entry) bool { return e.Name == name })
		if i < 0 || strings.ReplaceAll(p.Working[i].Rounded, "\u00a0", " ") != want {
			t.Errorf("%s is %q, want %q", name, p.Working[max(i, 0)].Rounded, want)
		}
	}
	if i := slices.IndexFunc(p.Working, func(e packet.Entry) bool { return e.Name == "locks.in_all" }); i < 0 || !strings.Contains(p.Working[i].Formula, "(people: as the ") {
		t.Errorf("the locks are counted for people from nowhere: %q", p.Working[max(i, 0)].Formula)
	}
}
