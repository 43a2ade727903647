package joblist

import (
	"archive/zip"
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/record"
)

// archive packs the parts of a workbook, by name; what a workbook needs and the test
// does not give is added.
func archive(t *testing.T, parts map[string]string) []byte {
	t.Helper()
	all := map[string]string{
		"_rels/.rels":                `<Relationships><Relationship Id="r1" Type="http://x/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml":            `<workbook><sheets><sheet name="One" id="s1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="s1" Type="http://x/worksheet" Target="one.xml"/><Relationship Id="t" Type="http://x/sharedStrings" Target="/xl/texts.xml"/><Relationship Id="y" Type="http://x/styles" Target="styles.xml"/><Relationship Id="z" Type="http://x/styles" TargetMode="External" Target="http://x"/></Relationships>`,
		"xl/one.xml":                 `<worksheet/>`,
		"xl/texts.xml":               `<sst/>`,
		"xl/styles.xml":              `<styleSheet/>`,
	}
	for name, text := range parts {
		all[name] = text
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, text := range all {
		if text == "-" {
			continue
		}
		f, err := z.Create(name)
		if err == nil {
			_, err = f.Write([]byte(text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// shape writes what a grid holds: a row in a bracket, its number before it; a cell
// with a mark for its kind (# number, ! error, ? not computed), its strokes and merges.
func shape(g *grid) string {
	var rows []string
	for _, r := range g.rows {
		var cells []string
		for _, c := range r.cells {
			s := c.text + map[kind]string{numberCell: "#", errorCell: "!", uncomputed: "?"}[c.kind] + map[struck]string{partStruck: "/", allStruck: "//"}[c.struck]
			if c.merged {
				s += "m"
			}
			cells = append(cells, s)
		}
		s := fmt.Sprintf("%d[%s]", r.n, strings.Join(cells, ","))
		if r.hidden {
			s += "h"
		}
		if r.fault != "" {
			s += fmt.Sprintf("!%d", r.at)
		}
		rows = append(rows, s)
	}
	return strings.Join(rows, " ")
}

// What a sheet's rows and cells are, by their parts.
// Source: ISO/IEC 29500-1, 18.3 and 18.4.
func TestPartsOfASheet(t *testing.T) {
	const texts = `<sst><si><t>zero</t></si><si><r><t>on</t></r><r><rPr><strike/></rPr><t>e</t></r></si><si><r><rPr><strike/></rPr><t>two</t></r><r><rPr><strike val="0"/></rPr><t> </t></r></si><si><t>th_x0072_ee</t><rPh><t>sounds</t></rPh></si></sst>`
	const styles = `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="&quot;K-&quot;0"/></numFmts><fonts><font/><font><strike/></font><font><strike val="false"/></font></fonts><cellStyleXfs><xf fontId="1"/></cellStyleXfs><cellXfs><xf/><xf fontId="1"/><xf numFmtId="164" fontId="2"/><xf fontId="9"/></cellXfs><dxfs><dxf><font><strike/></font></dxf></dxfs></styleSheet>`
	for name, c := range map[string]struct{ sheet, want string }{
		"numbers":                       {`<sheetData><row r="2"><c r="B2"><v>5</v></c><c r="D2" t="n"><v>6</v></c></row></sheetData>`, "2[,5#,,6#]"},
		"without names":                 {`<sheetData><row><c><v>5</v></c><c><v>6</v></c></row><row><c><v>7</v></c></row></sheetData>`, "1[5#,6#] 2[7#]"},
		"after a name":                  {`<sheetData><row r="7"><c r="C7"><v>5</v></c><c><v>6</v></c></row><row><c><v>7</v></c></row></sheetData>`, "7[,,5#,6#] 8[7#]"},
		"a row of no number":            {`<sheetData><row r="x"><c><v>5</v></c></row><row r="0"><c><v>6</v></c></row><row r="-1"><c><v>7</v></c></row></sheetData>`, "1[5#] 2[6#] 3[7#]"},
		"empty rows and cells":          {`<sheetData><row r="1"/><row r="2"><c/></row><row r="3"><c r="A3"/><c r="B3"><v>1</v></c><c r="C3"><v></v></c></row></sheetData>`, "3[,1#]"},
		"shared texts":                  {`<sheetData><row><c t="s"><v>0</v></c><c t="s"><v>1</v></c><c t="s"><v> 2 </v></c><c t="s"><v>3</v></c></row></sheetData>`, "1[zero,one/,two //,three]"},
		"texts that are not there":      {`<sheetData><row><c t="s"><v>4</v></c><c t="s"><v>-1</v></c><c t="s"><v>x</v></c></row></sheetData>`, "1[#TEXT!!,#TEXT!!,#TEXT!!]"},
		"a text of its own":             {`<sheetData><row><c t="inlineStr"><is><t>in</t></is></c><c t="inlineStr"><is><r><rPr><strike/></rPr><t>off</t></r></is></c><c t="str"><v>str</v></c></row></sheetData>`, "1[in,off//,str]"},
		"errors and switches":           {`<sheetData><row><c t="e"><v>#REF!</v></c><c t="b"><v>1</v></c><c t="b"><v>0</v></c><c t="d"><v>2026-11-30</v></c></row></sheetData>`, "1[#REF!!,TRUE,FALSE,2026-11-30]"},
		"formulas":                      {`<sheetData><row><c><f>1+1</f><v>2</v></c><c><f>1+1</f></c><c><f>1+1</f><v></v></c><c t="str"><f>x</f><v>y</v></c><c t="str"><f>x</f><v></v></c></row></sheetData>`, "1[2#,?,?,y]"},
		"struck through":                {`<sheetData><row><c s="0"><v>1</v></c><c s="1"><v>2</v></c><c s="2"><v>3</v></c><c s="3"><v>4</v></c><c s="4"><v>5</v></c><c s="-1"><v>6</v></c></row></sheetData>`, "1[1#,2#//,3#,4#,5#,6#]"},
		"hidden rows":                   {`<sheetData><row hidden="1"><c><v>1</v></c></row><row hidden="0"><c><v>2</v></c></row><row hidden="true"><c><v>3</v></c></row></sheetData>`, "1[1#]h 2[2#] 3[3#]h"},
		"out of order":                  {`<sheetData><row r="3"><c><v>3</v></c></row><row r="1"><c><v>1</v></c></row></sheetData>`, "1[1#] 3[3#]"},
		"a row twice":                   {`<sheetData><row r="1"><c><v>1</v></c></row><row r="2"><c><v>2</v></c></row><row r="1"><c><v>3</v></c></row><row r="1"><c><v>4</v></c></row></sheetData>`, "1[1#] 2[2#] 3[3#] 4[4#]"},
		"a cell twice":                  {`<sheetData><row><c r="A1"><v>1</v></c><c r="A1"><v>2</v></c></row><row r="2"><c r="A2"><v>1</v></c><c r="A2"><v>1</v></c><c r="A2"/></row></sheetData>`, "1[2#]!1 2[1#]"},
		"merged down":                   {`<sheetData><row r="1"><c r="B1"><v>1</v></c></row><row r="2"><c r="A2"><v>2</v></c></row><row r="3"><c r="A3"><v>3</v></c><c r="B3"><v>9</v></c></row><row r="4"><c r="A4"><v>4</v></c></row></sheetData><mergeCells><mergeCell ref="B1:B3"/></mergeCells>`, "1[,1#] 2[2#,1#m] 3[3#,9#] 4[4#]"},
		"merged across, or what is not": {`<sheetData><row r="1"><c><v>1</v></c></row><row r="2"><c><v>2</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B1"/><mergeCell ref="B1"/><mergeCell ref="B2:B1"/><mergeCell ref="0:B2"/><mergeCell ref="1:B2"/><mergeCell ref="XFD1:XFD2"/><mergeCell ref="A1:A1"/><mergeCell ref="B9:B10"/><mergeCell ref="C0:C2"/></mergeCells>`, "1[1#] 2[2#]"},
		"merged down and across":        {`<sheetData><row r="1"><c r="A1"><v>1</v></c><c r="B1"><v>5</v></c></row><row r="2"><c r="B2"><v>2</v></c></row></sheetData><mergeCells><mergeCell ref="A1:C2"/></mergeCells>`, "1[1#,5#] 2[1#m,2#]"},
		"far to the right":              {`<sheetData><row><c r="A1"><v>1</v></c><c r="SG1"><v>2</v></c><c r="XFD1"><v>3</v></c></row></sheetData>`, "1[1#]"},
	} {
		g, err := readWorkbook("w.xlsx", archive(t, map[string]string{"xl/one.xml": "<worksheet>" + c.sheet + "</worksheet>", "xl/texts.xml": texts, "xl/styles.xml": styles}), "", headings{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := shape(g); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
	// The first of the fonts is one as well.
	g, err := readWorkbook("w.xlsx", archive(t, map[string]string{"xl/one.xml": `<worksheet><sheetData><row><c s="0"><v>1</v></c><c s="1"><v>2</v></c></row></sheetData></worksheet>`, "xl/styles.xml": `<styleSheet><fonts><font><strike/></font><font/></fonts><cellXfs><xf/><xf fontId="1"/></cellXfs></styleSheet>`}), "", headings{})
	if err != nil || shape(g) != "1[1#//,2#]" {
		t.Errorf("%s, %v", shape(g), err)
	}
	// The last column that is looked at, and the one behind it.
	for name, want := range map[string]int{"SF1": maxColumns, "SG1": 1} {
		g, err := readWorkbook("w.xlsx", archive(t, map[string]string{"xl/one.xml": `<worksheet><sheetData><row><c r="A1"><v>1</v></c><c r="` + name + `"><v>2</v></c></row></sheetData></worksheet>`}), "", headings{})
		if err != nil || len(g.rows[0].cells) != want {
			t.Errorf("%s: %d cells, %v", name, len(g.rows[0].cells), err)
		}
	}
	g, _ = readWorkbook("w.xlsx", archive(t, map[string]string{"xl/one.xml": `<worksheet><cols><col min="2" max="3" hidden="1"/><col min="5" max="5"/><col min="0" max="1" hidden="true"/><col min="499" max="9999" hidden="1"/></cols></worksheet>`}), "", headings{})
	var hidden []int
	for c := range g.hidden {
		hidden = append(hidden, c)
	}
	if slices.Sort(hidden); !slices.Equal(hidden, []int{1, 2, 3, 499, 500}) {
		t.Errorf("hidden are %v", hidden)
	}
	g, _ = readWorkbook("w.xlsx", archive(t, map[string]string{"xl/one.xml": `<worksheet><sheetData><row r="4"><c><v>1</v></c></row><row r="4"><c><v>2</v></c></row></sheetData></worksheet>`}), "", headings{})
	if len(g.notes) != 1 || g.notes[0].Pos.String() != "w.xlsx:4" || g.notes[0].Message != `sheet "One": row 4 is twice in the workbook: the second is read as row 5` {
		t.Errorf("%v", g.notes)
	}
	for name, want := range map[string]int{"A1": 1, "z9": 26, "AB12": 28, "XFD1": 16384, "ZZZZ1": 16384, "12": 0, "": 0, "$A1": 0} {
		if got := column(name); got != want {
			t.Errorf("column of %q is %d", name, got)
		}
	}
}

// Which sheet holds the list, and what is said where none can be read.
func TestSheetsOfAWorkbook(t *testing.T) {
	list := `<worksheet><sheetData><row><c t="str"><v>job</v></c><c t="str"><v>unit</v></c></row></sheetData></worksheet>`
	other := `<worksheet><sheetData><row><c t="str"><v>notes</v></c></row></sheetData></worksheet>`
	rels := `<Relationships><Relationship Id="s1" Type="http://x/worksheet" Target="one.xml"/><Relationship Id="s2" Type="http://x/worksheet" Target="sheets/two.xml"/><Relationship Id="c" Type="http://x/chartsheet" Target="chart.xml"/></Relationships>`
	sheets := func(s string) string {
		return "<workbook><workbookPr date1904=\"1\"/><sheets>" + s + "</sheets></workbook>"
	}
	both := sheets(`<sheet name="One" id="s1"/><sheet name="Chart" id="c"/><sheet name="Two" id="s2"/>`)
	for name, c := range map[string]struct {
		parts map[string]string
		sheet string
		want  string
	}{
		"the one that is a list":  {map[string]string{"xl/workbook.xml": both, "xl/one.xml": other, "xl/sheets/two.xml": list}, "", "Two"},
		"neither is":              {map[string]string{"xl/workbook.xml": both, "xl/one.xml": other, "xl/sheets/two.xml": other}, "", "One"},
		"both are":                {map[string]string{"xl/workbook.xml": both, "xl/one.xml": list, "xl/sheets/two.xml": list}, "", "several sheets hold a list: choose one with --sheet; there are One, Two"},
		"one is named":            {map[string]string{"xl/workbook.xml": both, "xl/one.xml": list, "xl/sheets/two.xml": other}, "Two", "Two"},
		"none of that name":       {map[string]string{"xl/workbook.xml": both, "xl/one.xml": list, "xl/sheets/two.xml": list}, "Chart", `the workbook has no sheet "Chart"; it has One, Two`},
		"one is hidden":           {map[string]string{"xl/workbook.xml": sheets(`<sheet name="One" id="s1" state="veryHidden"/><sheet name="Two" id="s2"/>`), "xl/one.xml": list, "xl/sheets/two.xml": list}, "", "Two"},
		"hidden, but named":       {map[string]string{"xl/workbook.xml": sheets(`<sheet name="One" id="s1" state="hidden"/><sheet name="Two" id="s2"/>`), "xl/one.xml": list, "xl/sheets/two.xml": list}, "One", "One"},
		"all are hidden":          {map[string]string{"xl/workbook.xml": sheets(`<sheet name="One" id="s1" state="hidden"/>`), "xl/one.xml": list}, "", "the workbook has no sheet that is shown"},
		"a sheet without a place": {map[string]string{"xl/workbook.xml": sheets(`<sheet name="One" id="s9"/>`)}, "", `the workbook is damaged: it does not say where its sheet "One" is`},
		"a part is missing":       {map[string]string{"xl/workbook.xml": both, "xl/one.xml": list}, "", "the workbook is damaged: it has no part xl/sheets/two.xml"},
		"no workbook":             {map[string]string{"_rels/.rels": "<Relationships/>"}, "", "the workbook cannot be read: the file is an archive, but not of a workbook"},
		"no relations":            {map[string]string{"_rels/.rels": "-"}, "", "the workbook cannot be read: the file is an archive, but not of a workbook"},
		"another part":            {map[string]string{"xl/workbook.xml": both, "xl/one.xml": "<chart/>", "xl/sheets/two.xml": list}, "", `the workbook is damaged: its part xl/one.xml is not the sheet "One"`},
		"cut short":               {map[string]string{"xl/workbook.xml": both, "xl/one.xml": list[:60], "xl/sheets/two.xml": list}, "", "the workbook is damaged: its part xl/one.xml cannot be read (line 1)"},
		"too deep":                {map[string]string{"xl/workbook.xml": both, "xl/one.xml": "<worksheet>" + strings.Repeat("<a>", 64) + strings.Repeat("</a>", 64) + "</worksheet>", "xl/sheets/two.xml": list}, "", "the workbook is damaged: elements are nested more than 64 deep"},
		"just as deep as may be":  {map[string]string{"xl/workbook.xml": both, "xl/one.xml": "<worksheet>" + strings.Repeat("<a>", 63) + strings.Repeat("</a>", 63) + "</worksheet>", "xl/sheets/two.xml": list}, "", "Two"},
	} {
		c.parts["xl/_rels/workbook.xml.rels"] = rels
		g, err := readWorkbook("w.xlsx", archive(t, c.parts), c.sheet, headingsOf(&record.Site{}))
		got := fmt.Sprint(err)
		if err == nil {
			if got = g.sheet; !g.from1904 {
				t.Errorf("%s: days do not count from 1904", name)
			}
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
	if _, err := readWorkbook("w.xlsx", []byte("PK\x03\x04 no archive"), "", headings{}); err == nil || err.Error() != "the workbook cannot be read: it is cut short or damaged" {
		t.Errorf("%v", err)
	}
}

// How a text file is cut into cells, and what of it is no text.
func TestCellsOfAText(t *testing.T) {
	for text, want := range map[string]string{
		"a,b\nc": "1[a,b] 2[c]", "a,b\r\nc\rd": "1[a,b] 2[c] 3[d]", "a,,b,,\n": "1[a,,b]", "\n\na": "1[] 2[] 3[a]", ",a": "1[,a]", "": "",
		"\"a,b\",c": "1[a,b,c]", "\"a\"\"b\"": `1[a"b]`, "\"a\nb\",c\nd": "1[a\nb,c] 2[d]", "a\"b,c": `1[a"b,c]`, "\"\",a": "1[,a]", "\"a\"": "1[a]", "\"a\"\n": "1[a]", "\"\"\"\"": `1["]`,
		"x,\"a,b\nc": "1[x]!2 2[c]", "x,\"a\"b,c\nd": "1[x]!2 2[d]", "\"a": "1[]!1", "\ufeffa": "1[a]", "a\tb;c": "1[a\tb;c]",
		"\"sep=;\"\na;b,c": "1[a,b,c]", "sep=;\na;b,c": "1[a,b,c]", "sep=|\na|b": "1[a,b]", "sep=\t,,\na\tb": "1[a,b]", "sep=;;;\r\na;b": "1[a,b]", "sep=x\na": "1[sep=x] 2[a]", "sep=;": "",
	} {
		g, err := readText("l.csv", []byte(text), headings{})
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got := shape(g); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	for separator, want := range map[string]string{",": "1[job,unit]", ";": "1[job,unit]", "\t": "1[job,unit]", "|": "1[job|unit]"} {
		if g, _ := readText("l.csv", []byte("job"+separator+"unit\n"), headingsOf(nil)); shape(g) != want {
			t.Errorf("parted by %q: %s", separator, shape(g))
		}
	}
	for text, want := range map[string]string{
		"Se\xf1al": "Señal", "µ\nSe\xf1al\n€": "µ\nSeñal\n€", "\xff\xfea\x00\xf1\x00": "añ", "\xfe\xff\x00a\x00\xf1": "añ", "a\x00b": "a\x00b", strings.Repeat("\x00", 10): strings.Repeat("\x00", 10),
		strings.Repeat("\x00", 11): "?", strings.Repeat("\x00", 11) + strings.Repeat("a", 1089): strings.Repeat("\x00", 11) + strings.Repeat("a", 1089), strings.Repeat("\x00", 11) + strings.Repeat("a", 1088): "?",
	} {
		got, err := decode([]byte(text))
		if err != nil {
			got = "?"
		}
		if got != want {
			t.Errorf("%.30q is %.30q, want %.30q", text, got, want)
		}
	}
	// The lines of the file are kept beside the numbers of its rows.
	g, _ := readText("l.csv", []byte("sep=,\na,\"b\nc\"\nd"), headings{})
	if g.rows[0].line != 2 || g.rows[1].line != 4 || g.rows[1].n != 2 || g.name(&g.rows[1], 28) != "cell AB2 (line 4 of the file)" {
		t.Errorf("%+v", g.rows)
	}
	if got := (&grid{sheet: "S"}).name(&gridRow{n: 3, line: 5}, 1); got != `cell A3 of sheet "S"` {
		t.Error(got)
	}
	// As many rows and columns as may be, and one more.
	if _, err := readText("l.csv", []byte(strings.Repeat("a\n", maxRows)), headings{}); err != nil {
		t.Error(err)
	}
	if _, err := readText("l.csv", []byte(strings.Repeat("a\n", maxRows+1)), headings{}); err == nil {
		t.Error("one row too many is taken")
	}
	g, _ = readText("l.csv", []byte(strings.Repeat("a,", maxColumns+5)), headings{})
	if n := len(g.rows[0].cells); n != maxColumns {
		t.Errorf("%d columns", n)
	}
}
