package joblist

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"

	"jobsheaf/internal/check"
	"jobsheaf/internal/procedure"
	"jobsheaf/templates"

	"github.com/xuri/excelize/v2"
)

// part is a part of a workbook; big writes one too large to hold here.
type part struct {
	name, text string
	big        func(io.Writer)
}

// the parts of the least workbook, by name.
const (
	topRels  = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`
	book     = `<workbook xmlns:r="x"><sheets><sheet name="Plan" sheetId="1" r:id="r1"/></sheets></workbook>`
	bookRels = `<Relationships><Relationship Id="r1" Type="http://x/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="r2" Type="http://x/sharedStrings" Target="/xl/sharedStrings.xml"/><Relationship Id="r3" Type="http://x/styles" Target="../xl/styles.xml"/></Relationships>`
	stylesOf = `<styleSheet><fonts><font/></fonts><cellXfs><xf numFmtId="0" fontId="0"/></cellXfs></styleSheet>`
)

// text writes a cell with its text in place.
func text(s string) string { return `<c t="inlineStr"><is><t>` + s + `</t></is></c>` }

var (
	headRow = "<row>" + text("job") + text("unit") + text("procedure") + text("day") + "</row>"
	goodRow = "<row>" + text("K-1") + text("P-214") + text("reset-end-clearance") + text("2026-11-30") + "</row>"
)

func sheetOf(rows string) string {
	return `<?xml version="1.0" encoding="UTF-8"?><worksheet><sheetData>` + rows + `</sheetData></worksheet>`
}

// pack makes a workbook; a part given replaces that of the smallest workbook, and
// one without text is left out.
func pack(t testing.TB, given ...part) []byte {
	t.Helper()
	parts := []part{{name: "_rels/.rels", text: topRels}, {name: "xl/workbook.xml", text: book}, {name: "xl/_rels/workbook.xml.rels", text: bookRels},
		{name: "xl/styles.xml", text: stylesOf}, {name: "xl/sharedStrings.xml", text: "<sst/>"}, {name: "xl/worksheets/sheet1.xml", text: sheetOf(headRow + goodRow)}}
	for _, g := range given {
		found := false
		for i := range parts {
			if parts[i].name == g.name {
				parts[i], found = g, true
			}
		}
		if !found {
			parts = append(parts, g)
		}
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		if p.text == "" && p.big == nil {
			continue
		}
		w, err := z.Create(p.name)
		if err != nil {
			t.Fatal(err)
		}
		if p.big != nil {
			p.big(w)
		}
		io.WriteString(w, p.text)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// zipBomb unpacks to 600 MB.
func zipBomb(w io.Writer) {
	io.WriteString(w, "<worksheet><sheetData>"+headRow)
	block := bytes.Repeat([]byte("<row></row>"), 100_000)
	for range 600 {
		w.Write(block)
	}
}

func manyStrings(n int) func(io.Writer) {
	return func(w io.Writer) {
		io.WriteString(w, "<sst>")
		for range n {
			io.WriteString(w, "<si><t>a</t></si>")
		}
		io.WriteString(w, "</sst>")
	}
}

// hostile are workbooks that are refused, and what is said of them.
func hostile(t testing.TB) map[string]struct {
	data []byte
	says string
} {
	const sheet1, strs = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"
	good := pack(t)
	type refused = struct {
		data []byte
		says string
	}
	return map[string]refused{
		"zip bomb":        {pack(t, part{name: sheet1, big: zipBomb}), "part xl/worksheets/sheet1.xml has more than 32 MB unpacked"},
		"strings":         {pack(t, part{name: strs, big: manyStrings(2_000_000)}), "more than 300000 texts"},
		"strings bomb":    {pack(t, part{name: strs, big: func(w io.Writer) { io.WriteString(w, "<sst><si><t>"); zipBomb(w) }}), "part xl/sharedStrings.xml has more than 32 MB"},
		"depth":           {pack(t, part{name: sheet1, text: strings.Repeat("<a>", 100_000)}), "part xl/worksheets/sheet1.xml is not the sheet"},
		"depth in sheet":  {pack(t, part{name: sheet1, text: "<worksheet>" + strings.Repeat("<a>", 100_000)}), "nested more than 64 deep"},
		"depth in a cell": {pack(t, part{name: sheet1, text: sheetOf("<row><c><is>" + strings.Repeat("<r>", 1000))}), "nested more than 64 deep"},
		"wide rows":       {pack(t, part{name: sheet1, text: sheetOf(headRow + strings.Repeat(`<row><c r="SF1"><v>1</v></c></row>`, 6000))}), "more than 2000000 cells"},
		"many rows":       {pack(t, part{name: sheet1, text: sheetOf(headRow + strings.Repeat(goodRow, 50_001))}), "more than 50000 rows"},
		"many merged": {pack(t, part{name: sheet1, text: strings.Replace(sheetOf(headRow+strings.Repeat(`<row><c><v>1</v></c></row>`, 20_000)), "</worksheet>",
			strings.Repeat(`<mergeCell ref="A1:A1048576"/>`, 1000)+"</worksheet>", 1)}), "more than 200000 cells are merged"},
		"cut short":      {good[:len(good)-40], "cut short or damaged"},
		"cut in half":    {good[:len(good)/2], "cut short or damaged"},
		"sheet cut":      {pack(t, part{name: sheet1, text: "<worksheet><sheetData>" + headRow + "<row>"}), "part xl/worksheets/sheet1.xml cannot be read"},
		"no sheet":       {pack(t, part{name: sheet1}), "no part xl/worksheets/sheet1.xml"},
		"no strings":     {pack(t, part{name: strs}), "no part xl/sharedStrings.xml"},
		"no workbook":    {pack(t, part{name: "xl/workbook.xml"}), "no part xl/workbook.xml"},
		"no archive":     {pack(t, part{name: "_rels/.rels"}), "not of a workbook"},
		"wrong relation": {pack(t, part{name: "xl/_rels/workbook.xml.rels", text: strings.Replace(bookRels, "worksheets/sheet1.xml", "styles.xml", 1)}), `xl/styles.xml is not the sheet "Plan"`},
		"way out":        {pack(t, part{name: "xl/_rels/workbook.xml.rels", text: strings.Replace(bookRels, "worksheets/sheet1.xml", "../../../../etc/passwd", 1)}), "no part etc/passwd"},
		"elsewhere":      {pack(t, part{name: "xl/_rels/workbook.xml.rels", text: strings.Replace(bookRels, `Target="work`, `TargetMode="External" Target="work`, 1)}), `where its sheet "Plan" is`},
		"no relation":    {pack(t, part{name: "xl/workbook.xml", text: strings.Replace(book, `r:id="r1"`, `r:id="r9"`, 1)}), `where its sheet "Plan" is`},
		"hidden sheet":   {pack(t, part{name: "xl/workbook.xml", text: strings.Replace(book, `r:id`, `state="hidden" r:id`, 1)}), "no sheet that is shown"},
		"entity":         {pack(t, part{name: sheet1, text: `<!DOCTYPE x [<!ENTITY a "aaaa">]>` + sheetOf("<row>"+text("&a;")+"</row>")}), "cannot be read"},
	}
}

func TestHostileWorkbooks(t *testing.T) {
	if li, problems := Read("week.xlsx", pack(t), Options{}); li == nil || len(problems) > 0 || len(li.Jobs) != 1 {
		t.Fatalf("the least workbook: %v", problems)
	}
	for name, c := range hostile(t) {
		t.Run(name, func(t *testing.T) {
			li, problems := Read("week.xlsx", c.data, Options{})
			if li != nil || len(problems) != 1 || !problems.HasErrors() || problems[0].Rule != "list" || problems[0].Hint == "" || !strings.Contains(problems[0].Message, c.says) {
				t.Errorf("%v; wanted is %q", problems, c.says)
			}
		})
	}
}

// What is too large is not read to its end: a part of 600 MB is left after the bytes
// that are read of a part, and no more texts are kept than are taken.
func TestBoundsHold(t *testing.T) {
	w, err := openWorkbook(pack(t, part{name: "xl/worksheets/sheet1.xml", big: zipBomb}))
	if err != nil {
		t.Fatal(err)
	}
	var at int64
	err = w.walk("xl/worksheets/sheet1.xml", func(x *xmlPart, _ xml.StartElement) error {
		at = x.InputOffset()
		return nil
	})
	if err == nil || at > maxPart+1 || at < maxPart-100 {
		t.Errorf("read up to byte %d: %v", at, err)
	}
	w, err = openWorkbook(pack(t))
	if err != nil {
		t.Fatal(err)
	}
	z := pack(t, part{name: "s", big: manyStrings(maxStrings + 1000)})
	r, err := zip.NewReader(bytes.NewReader(z), int64(len(z)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.File {
		w.parts[f.Name] = f
	}
	if err := w.shared("s"); err == nil || len(w.strings) != maxStrings {
		t.Errorf("%d texts are kept: %v", len(w.strings), err)
	}
}

// Junk rows end the reading of a list after the thousandth.
func TestJunk(t *testing.T) {
	rows := strings.Repeat("x,/,?,no day\n", 49_000)
	li, problems := Read("week.csv", []byte("job,unit,procedure,day\n"+rows), Options{})
	if li != nil || len(problems) != 1 {
		t.Fatalf("%d problems", len(problems))
	}
	if got, want := problems[0].String(), `week.csv:1002: error: more than 1000 rows have an error, so nothing of the list is read; the first is: cell C2: "?" is neither the name nor the title of a procedure [list]
    hint: correct the list, or split the list into parts, and print each by itself`; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	for text, says := range map[string]string{
		"job,unit,procedure,day\n" + strings.Repeat("\n", 50_001):           "more than 50000 rows",
		"sep=;\n" + strings.Repeat("a;b\n", 50_002):                         "more than 50000 rows",
		"job,unit\n" + strings.Repeat(strings.Repeat(",", 499)+"x\n", 5000): "more than 2000000 cells",
		strings.Repeat("a", maxList+1):                                      "larger than 16 MB",
	} {
		if li, problems := Read("week.csv", []byte(text), Options{}); li != nil || len(problems) != 1 || !strings.Contains(problems[0].Message, says) {
			t.Errorf("%d problems, wanted is %q", len(problems), says)
		}
	}
}

// The same for rows that are well formed and name what is not on record.
func TestJunkOfRecords(t *testing.T) {
	var text strings.Builder
	text.WriteString("job,unit,procedure,day\n")
	for i := range maxFaulty + 1 {
		fmt.Fprintf(&text, "J-%d,X-%d,reset-end-clearance,2026-11-30\n", i, i)
	}
	li, problems := Read("week.csv", []byte(text.String()), Options{})
	if li == nil || len(problems) > 0 {
		t.Fatal(problems)
	}
	b := soapworks(t)
	b.Only(li)
	library, _ := procedure.Load(nil, templates.FS, procedure.Options{})
	found := check.Run(b, library, check.Known{})
	p, ok := Junk(li, found)
	if want := "week.csv:1002:2: error: more than 1000 rows have an error, so nothing of the list is read; the first is: the unit X-0 is not on record [list]"; !ok || !strings.HasPrefix(p.String(), want) {
		t.Errorf("%s\nwant\n%s", p, want)
	}
	if p, ok := Junk(li, found[:maxFaulty]); ok {
		t.Errorf("%d errors are too many: %s", maxFaulty, p)
	}
}

// No row is lost, whatever its number, and a bad byte spoils its cell alone.
func TestRowsKept(t *testing.T) {
	row := func(attrs, id, unit string) string {
		return "<row " + attrs + ">" + text(id) + text(unit) + text("reset-end-clearance") + text("2026-11-30") + "</row>"
	}
	data := pack(t, part{name: "xl/worksheets/sheet1.xml", text: sheetOf(strings.Replace(headRow, "<row>", `<row r="2">`, 1) +
		row(`r="9"`, "K-9", "P-214") + row(`r="4"`, "K-4", "P-214") + row(`r="4"`, "K-44", "P-214") + row("", "K-5", "P-2\x0014") + row("", "K-6", "P-2\xff14") +
		row(`r="x"`, "K-7", "P-214_x0007_") + row(`r="8"`, "K-8", "P-214"))})
	li, problems := Read("week.xlsx", data, Options{})
	if li == nil {
		t.Fatal(problems)
	}
	var good []string
	for _, j := range li.Jobs {
		if !j.Broken() {
			good = append(good, fmt.Sprintf("%s %d", j.ID, j.At.Line))
		}
	}
	if got := strings.Join(good, ", "); got != "K-4 4, K-8 8, K-9 9, K-44 10" {
		t.Error(got)
	}
	same(t, problems, `week.xlsx:4: warning: sheet "Plan": row 4 is twice in the workbook: the second is read as row 10 [row]
    hint: `+saveAnew+`
week.xlsx:5:2: error: cell B5 of sheet "Plan": found the character U+007F, which prints nothing [character]
    hint: delete it; in double quotes write \\ for a backslash
week.xlsx:6:2: error: cell B6 of sheet "Plan": found the character U+007F, which prints nothing [character]
    hint: delete it; in double quotes write \\ for a backslash
week.xlsx:7:2: error: cell B7 of sheet "Plan": found the character U+0007, which prints nothing [character]
    hint: delete it; in double quotes write \\ for a backslash`)
}

// A cell beyond the columns that are looked at takes no room.
func TestFarCell(t *testing.T) {
	w, err := openWorkbook(pack(t, part{name: "xl/worksheets/sheet1.xml", text: sheetOf(headRow + strings.Replace(goodRow, "</row>", `<c r="XFD2"><v>1</v></c></row>`, 1))}))
	if err != nil {
		t.Fatal(err)
	}
	g, err := w.sheet("week.xlsx", w.sheets[0], 10)
	if err != nil || len(g.rows) != 2 || len(g.rows[1].cells) != 4 {
		t.Errorf("%+v %v", g, err)
	}
}

// A part keeps every character that XML knows, wherever the buffer cuts it.
func TestLegible(t *testing.T) {
	const in, want = "aé€😀\xff\xc3(\x00\t\ufffe\xe2\x82", "aé€😀\x7f\x7f(\x7f\t\x7f\x7f\x7f\x7f\x7f"
	for _, size := range []int{4, 5, 6, 7, 100} {
		var got []byte
		l := &legible{in: strings.NewReader(in)}
		for b := make([]byte, size); ; {
			n, err := l.Read(b)
			got = append(got, b[:n]...)
			if err != nil {
				break
			}
		}
		if string(got) != want {
			t.Errorf("%d at a time: %q", size, got)
		}
	}
}

// Merged cells hold for all their rows, but for hours; headings may take two rows.
func TestMerged(t *testing.T) {
	rows := headRow[:len("<row>")] + text("job") + text("unit") + text("procedure") + text("Planned") + "</row>" +
		"<row>" + `<c r="D2" t="inlineStr"><is><t>day</t></is></c>` + text("hours") + text("crew") + "</row>"
	for i, id := range []string{"K-1", "K-2"} {
		rows += "<row>" + text(id)
		if i == 0 {
			rows += text("P-214") + text("reset-end-clearance") + text("2026-11-30") + text("8") + text("late")
		}
		rows += "</row>"
	}
	sheet := sheetOf(rows)
	for _, ref := range []string{"A1:A2", "B1:B2", "C1:C2", "D1:F1", "B3:B4", "C3:C4", "D3:D4", "E3:E4", "F3:F4"} {
		sheet = strings.Replace(sheet, "</worksheet>", `<mergeCell ref="`+ref+`"/></worksheet>`, 1)
	}
	li, problems := Read("week.xlsx", pack(t, part{name: "xl/worksheets/sheet1.xml", text: sheet}), Options{})
	if li == nil || len(li.Jobs) != 2 || li.Jobs[1].Unit.S != "P-214" || li.Jobs[1].Day.S != "2026-11-30" || li.Jobs[1].Crew.S != "late" || li.Jobs[0].Hours.S != "8 h" || li.Jobs[1].Hours.Known() {
		t.Fatalf("%v %v", li, problems)
	}
	same(t, problems, `week.xlsx:4:5: warning: cell E4 of sheet "Plan": the hours are merged with those of a row above: the job has none of its own [merged]
    hint: unmerge the cells, and write into each row its own`)
}

// Cells are read as they are shown, whatever they hold.
func TestShown(t *testing.T) {
	for _, c := range []struct {
		code  string
		value any
		want  string // of the job
	}{
		{"General", 24817, "24817"}, {"00000", 381, "00381"}, {`"K-"0`, 24817, "K-24817"}, {`\K\-00000;"neg"`, 381, "K-00381"}, {`[Red]"K-"0`, 7, "K-7"}, {"@", "00381", "00381"}, {"0", 3.0, "3"},
	} {
		data := makeWorkbook(t, func(f *excelize.File) {
			f.SetCellValue("Sheet1", "B4", c.value)
			id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &c.code})
			if err != nil {
				t.Fatal(err)
			}
			f.SetCellStyle("Sheet1", "B4", "B4", id)
		})
		li, problems := Read("week.xlsx", data, Options{})
		if li == nil || li.Jobs[0].ID.S != c.want {
			t.Errorf("%v shown as %s: %v, not %s", c.value, c.code, problems, c.want)
		}
	}
	for _, c := range []struct {
		code  string
		value float64
		want  string // of the hours, or a part of the fault
	}{
		{"General", 9.5, "9.5 h"}, {"0.00", 0.375, "0.375 h"}, {"h:mm", 0.375, "9 h"}, {"[h]:mm", 1.5, "36 h"}, {"[hh]:mm:ss", 0.5, "12 h"}, {`h" h "mm`, 0.0625, "1.5 h"}, {`0" h"`, 9, "9 h"}, {`0.0\h`, 9.5, "9.5 h"},
		{"h:mm", 1.5, "holds 36 hours"}, {"h:mm", 1, "holds 24 hours"}, {"h:mm AM/PM", 0.375, "time of day, not hours"}, {"yyyy-mm-dd", 46356, "a date or a time of day"}, {"mm:ss", 0.00625, "a date or a time of day"}, {"[mm]:ss", 0.00625, "a date"},
	} {
		data := makeWorkbook(t, func(f *excelize.File) {
			f.SetCellValue("Sheet1", "H4", c.value)
			id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &c.code})
			if err != nil {
				t.Fatal(err)
			}
			f.SetCellStyle("Sheet1", "H4", "H4", id)
		})
		li, problems := Read("week.xlsx", data, Options{})
		if li == nil || li.Jobs[0].Hours.S != c.want && !strings.Contains(fmt.Sprint(problems), c.want) {
			t.Errorf("%v shown as %s: %q %v, not %s", c.value, c.code, li.Jobs[0].Hours.S, problems, c.want)
		}
	}
	for cell, says := range map[string]string{
		`<c t="e"><v>#N/A</v></c>`: "shows #N/A, the mark of a formula that failed [cell-value]",
		`<c t="s"><v>7</v></c>`:    "shows #TEXT!",
		`<c><f>A1</f></c>`:         "a formula without its value [cell-value]",
		`<c t="inlineStr"><is><r><rPr><strike/></rPr><t>K-1</t></r><r><t>K-2</t></r></is></c>`: "part of the cell is struck through",
		`<c t="inlineStr"><is><r><rPr><strike/></rPr><t>K-1</t></r></is></c>`:                  "it is not clear whether the job is cancelled",
	} {
		_, problems := Read("week.xlsx", pack(t, part{name: "xl/worksheets/sheet1.xml", text: sheetOf(headRow + strings.Replace(goodRow, text("K-1"), cell, 1))}), Options{})
		if !strings.Contains(fmt.Sprint(problems), says) {
			t.Errorf("%s: %v, wanted is %q", cell, problems, says)
		}
	}
}
