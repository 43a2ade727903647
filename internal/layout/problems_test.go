package layout

import (
	"reflect"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// What cannot be printed is an error that names what is wrong, never a page with
// less on it.
func TestProblems(t *testing.T) {
	para := func(s string) packet.Sheet { return sheet("job", "Job sheet", packet.Para{Text: packet.Say(s)}) }
	for _, c := range []struct {
		name, rule, says string
		change           func(p *packet.Packet)
	}{
		{"paper", "unknown-paper", `"A5"`, func(p *packet.Packet) { p.Paper = "A5" }},
		{"word", "missing-word", "layout.pen", func(p *packet.Packet) { p.Words = p.Words.Replace("layout.pen", "") }},
		{"placeholder", "word-placeholder", "{N}", func(p *packet.Packet) { p.Words = p.Words.Replace("layout.page", "Page {n}") }},
		{"glyph of a word", "missing-glyph", "页", func(p *packet.Packet) { p.Words = p.Words.Replace("layout.job", "页") }},
		{"glyph", "missing-glyph", "漢", func(p *packet.Packet) { p.Sheets[0] = para("Open the 漢 valve") }},
		{"glyph in an identifier", "missing-glyph", "字", func(p *packet.Packet) { p.Job.Day = "字" }},
		{"control", "missing-glyph", `\a`, func(p *packet.Packet) { p.Sheets[0] = para("a\x07b") }},
		{"broken UTF-8", "missing-glyph", "�", func(p *packet.Packet) { p.Sheets[0] = para("a\xffb") }},
		{"tag", "header-room", "characters", func(p *packet.Packet) { p.Job.Unit = strings.Repeat("W", 60) }},
		{"sheet's title", "header-room", "sheet title", func(p *packet.Packet) { p.Sheets[0].Title = long(300) }},
		{"job", "page-code", "job ID", func(p *packet.Packet) { p.Job.ID = "K 1" }},
		{"link", "page-code", "link", func(p *packet.Packet) { p.Link = "ftp://x" }},
		{"fingerprint", "page-code", "fingerprint", func(p *packet.Packet) { p.Fingerprint = "xyz" }},
		{"figure", "figure", "no-such-figure", func(p *packet.Packet) {
			p.Sheets[0] = sheet("job", "Job sheet", packet.Para{Text: packet.Say("x")}, []packet.Figure{{Name: "no-such-figure"}})
		}},
		{"pictogram", "figure", "ghs77", func(p *packet.Packet) {
			p.Sheets[0] = sheet("cover", "Cover", packet.Hazard{Liquid: "x", Pictograms: []string{"GHS77"}})
		}},
		{"table", "table-too-wide", "mm", func(p *packet.Packet) {
			tb := packet.Table{Title: "Wide", Rows: []packet.Row{{}}}
			for range 9 {
				tb.Columns = append(tb.Columns, packet.Column{Title: "C"})
				tb.Rows[0].Cells = append(tb.Rows[0].Cells, packet.Cell{Blanks: []packet.Blank{{ID: "x", Kind: packet.Sign}}})
			}
			p.Sheets[0] = sheet("job", "Job sheet", tb)
		}},
		{"cells", "row-cells", "2 cells for 1", func(p *packet.Packet) {
			p.Sheets[0] = sheet("job", "Job sheet", packet.Table{Columns: []packet.Column{{Title: "A"}}, Rows: []packet.Row{{Cells: []packet.Cell{{Text: packet.Say("a")}, {Text: packet.Say("b")}}}}})
		}},
		{"kind of block", "unknown-block", "no kind", func(p *packet.Packet) { p.Sheets[0].Blocks = append(p.Sheets[0].Blocks, packet.Block{}) }},
		{"height", "too-tall", "page has room", func(p *packet.Packet) {
			p.Sheets[0] = sheet("job", "Job sheet", packet.Heading{Text: long(6000)})
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := blankPacket(t, "A4", para("Nothing is wrong here."))
			if _, problems := Layout(p); len(problems) > 0 {
				t.Fatal(problems)
			}
			c.change(&p)
			_, problems := Layout(p)
			if !problems.HasErrors() {
				t.Fatal("no error")
			}
			for _, d := range problems {
				if d.Rule == c.rule && strings.Contains(d.Message, c.says) {
					return
				}
			}
			t.Errorf("no %s that says %q in %v", c.rule, c.says, problems)
		})
	}
}

func TestWarnings(t *testing.T) {
	p := blankPacket(t, "A4", sheet("job", "Job sheet", packet.Para{Text: packet.Say("x")}), sheet("wear", "Nothing"))
	p.Link = "https://a-very-long-name-of-a-host.example.org/jobs/of/this/works/and/of/others"
	doc, problems := Layout(p)
	if problems.HasErrors() || !has(problems, "code-too-fine") || !has(problems, "empty-sheet") {
		t.Error(problems)
	}
	if len(doc.Pages) != 1 {
		t.Errorf("%d pages", len(doc.Pages))
	}

	s := packet.Step{ID: "s", Number: "1.1", Text: packet.Say(long(2000))}
	for range 9 {
		s.Alerts = append(s.Alerts, packet.Alert{Signal: "danger", Word: "DANGER", Text: packet.Say(long(400))})
	}
	p = blankPacket(t, "A4", sheet("steps", "Steps", s))
	doc, problems = Layout(p)
	if problems.HasErrors() || !has(problems, "step-parted") {
		t.Error(problems)
	}
	inspect(t, doc)
}

// A kind of block that is added to a packet and not drawn is no page with less on it.
func TestEveryKindOfBlockIsDrawn(t *testing.T) {
	kinds := reflect.TypeFor[packet.Block]()
	for i := range kinds.NumField() {
		var b packet.Block
		switch field := reflect.ValueOf(&b).Elem().Field(i); field.Kind() {
		case reflect.Pointer:
			field.Set(reflect.New(field.Type().Elem()))
		case reflect.Slice:
			field.Set(reflect.MakeSlice(field.Type(), 0, 0))
		default:
			t.Fatalf("%s is neither a pointer nor a slice", kinds.Field(i).Name)
		}
		p := blankPacket(t, "A4", packet.Sheet{ID: "job", Title: "Job sheet", Blocks: []packet.Block{b}})
		_, problems := Layout(p)
		for _, problem := range problems {
			if problem.Rule == "unknown-block" {
				t.Errorf("%s is not drawn", kinds.Field(i).Name)
			}
		}
	}
}

// NOT ON RECORD: the blank is hatched and the words are printed, wherever the blank
// stands. What is missing is said once a sheet, in words, and not by its name there.
func TestNotOnRecord(t *testing.T) {
	b := func(id string) packet.Blank {
		b := reading(id, "Label", "", "", "mm", "rule")
		b.NotOnRecord = "missing." + id
		return b
	}
	aside, below := b("aside"), b("below")
	p := blankPacket(t, "A4", sheet("steps", "Steps",
		packet.Table{Columns: []packet.Column{{Title: "A"}, {Title: "B"}}, Rows: []packet.Row{{Cells: []packet.Cell{{Text: packet.Say("x")}, {Blanks: []packet.Blank{b("cell")}}}}}},
		packet.Step{ID: "s1", Number: "1.1", Text: packet.Say("x"), Blanks: []packet.Blank{aside}},
		packet.Step{ID: "s2", Number: "1.2", Text: packet.Say("x"), Blanks: []packet.Blank{below, reading("w", "", "", "", "mm", ""), reading("x", "", "", "", "mm", ""), reading("y", "", "", "", "mm", "")}},
	))
	doc := lay(t, p)
	inspect(t, doc)
	complete(t, p, doc)
	all := strings.Join(wordsOn(doc), "")
	if n := strings.Count(all, "NOTONRECORD"); n != 3 {
		t.Errorf("NOT ON RECORD is printed %d times", n)
	}
	if strings.Contains(all, "missing.") {
		t.Error("a name of the records stands on the page")
	}
	hatched := 0
	for _, pg := range doc.Pages {
		for _, x := range pg.Boxes {
			if x.Hatched {
				hatched++
			}
		}
	}
	if hatched != 3 {
		t.Errorf("%d boxes are hatched", hatched)
	}
}
