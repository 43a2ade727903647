package source

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf16"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// faults reads a text and gives the place and rule of all that is wrong with it.
func faults(data string, opt Options) string {
	docs, problems := Read("f.yaml", []byte(data), opt)
	var out []string
	for _, d := range docs {
		problems = append(problems, d.Problems...)
	}
	for _, p := range problems.Sorted() {
		out = append(out, strings.TrimPrefix(p.Pos.String(), "f.yaml")+" "+p.Rule)
	}
	return strings.Join(out, "; ")
}

// utf16File gives a text as editors on Windows once saved it.
func utf16File(text string, low, high int, mark bool) string {
	var b []byte
	if mark {
		text = "\ufeff" + text
	}
	for _, u := range utf16.Encode([]rune(text)) {
		two := [2]byte{}
		two[low], two[high] = byte(u), byte(u>>8)
		b = append(b, two[:]...)
	}
	return string(b)
}

// Each fault of a file is reported at its own place.
func TestPlacesOfFaults(t *testing.T) {
	for _, c := range []struct {
		low, high int
		mark      bool
	}{{0, 1, true}, {1, 0, true}, {0, 1, false}, {1, 0, false}} {
		if _, problems := Read("f.yaml", []byte(utf16File("unit: A\n", c.low, c.high, c.mark)), Options{}); len(problems) != 1 || !strings.Contains(problems[0].Message, "UTF-16") {
			t.Errorf("UTF-16 %v: %v", c, problems)
		}
	}
	if docs, _ := Read("f.yaml", []byte("x: \x00\n"), Options{}); len(docs) != 1 || strings.Contains(docs[0].Problems[0].Message, "UTF-16") {
		t.Error("a zero byte is taken for UTF-16")
	}
	for name, c := range map[string]struct{ text, want string }{
		"sound":                           {"unit: A\nname: x\n", ""},
		"without an end of its last line": {"unit: A\nname: x", ""},
		"nothing":                         {"", " empty"},
		"comments only":                   {"# a\n---\n# b\n", " empty"},
		"UTF-16, little end first":        {utf16File("unit: A\n", 0, 1, true), ":1:1 encoding"},
		"UTF-16, big end first":           {utf16File("unit: A\n", 1, 0, true), ":1:1 encoding"},
		"the same without a mark":         {utf16File("unit: A\n", 0, 1, false), ":1:1 encoding"},
		"and big end first":               {utf16File("unit: A\n", 1, 0, false), ":1:1 encoding"},
		"a zero byte in a short text":     {"x: \x00\n", ":1:4 encoding"},
		"a zero byte in a key":            {"ab\x00: c\n", ":1:3 encoding"},
		"a zero byte behind a letter":     {"a\x00bc: d\n", ":1:2 encoding"},
		"zero bytes in front":             {"\x00\x00ab: d\n", ":1:1 encoding"},
		"a zero byte":                     {"unit: A\nname: \x00\n", ":2:7 encoding"},
		"a byte that is not UTF-8":        {"unit: A\nname: µ\xff\n", ":2:8 encoding"},
		"a carriage return alone":         {"unit: A\rname: x\n", ":1:8 encoding"},
		"a bell":                          {"unit: A\nname: µ\x07\n", ":2:8 encoding"},
		"a line separator":                {"unit: A\nname: x\u2028y\n", ":2:8 encoding"},
		"a mark in the middle":            {"unit: A\nname: x\ufeff\n", ":2:8 encoding"},
		"a tab in the indentation":        {"unit: A\nduty:\n  \tspeed: x\n", ":3:3 yaml"},
		"a tab at the beginning":          {"unit: A\nduty:\n\tspeed: x\n", ":3:1 yaml"},
		"a directive":                     {"%YAML 1.2\nunit: A\n", ":1:1 yaml"},
		"the end of a document":           {"unit: A\n...\n", ":2:1 yaml"},
		"the end with a comment":          {"unit: A\n... # end\n", ":2:1 yaml"},
		"text behind a separator":         {"unit: A\n--- x\nunit: B\n", ":2:5 yaml"},
		"text behind the first":           {"--- x\nunit: B\n", ":1:5 yaml"},
		"text behind the last":            {"unit: A\n--- x\n", ":2:5 yaml"},
		"a comment behind a separator":    {"unit: A\n--- # next\nunit: B\n", ""},
		"a tab behind a separator":        {"unit: A\n---\t# next\nunit: B\n", ""},
		"four dashes":                     {"unit: A\n----\nunit: B\n", ":2 yaml"},
		"an alias":                        {"unit: A\nname: *a\n", ":1 yaml"}, // the library gives no line
		"an anchor":                       {"unit: A\nname: &a x\n", ":2:7 alias"},
		"both":                            {"unit: &a A\nname: *a\n", ":1:7 alias; :2:7 alias"},
		"a tag":                           {"unit: A\nname: !!str x\n", ":2:7 tag"},
		"a tag on a mapping":              {"unit: A\nduty: !!map {a: b}\n", ":2:7 tag"},
		"a merge":                         {"unit: A\n<<: {a: b}\n", ":2:1 alias"},
		"a merge in quotes":               {"unit: A\n\"<<\": x\n", ""},
		"a list for a key":                {"unit: A\n? [a]\n: b\n", ":2:3 key"},
		"an anchor on a key":              {"unit: A\n&k name: x\n", ":2:1 key"},
		"a tag on a key":                  {"unit: A\n!!str name: x\n", ":2:1 key"},
		"an empty key":                    {"unit: A\n\"\": x\n", ":2:1 key"},
		"a key twice":                     {"unit: A\nname: x\nname: y\n", ":3:1 duplicate-key"},
		"an empty value":                  {"unit: A\nname:\n", ":2:6 empty"},
		"an empty value at the very end":  {"unit: A\nname:", ":2:6 empty"},
		"null":                            {"unit: A\nname: ~\n", ":2:7 empty"},
		"the word null":                   {"unit: A\nname: null\n", ":2:7 empty"},
		"the word null in quotes":         {"unit: A\nname: 'null'\nmore: \"null\"\nlast: \"~\"\n", ""},
		"empty quotes":                    {"unit: A\nname: ''\nmore: \"  \"\n", ":2:7 empty; :3:7 empty"},
		"a character that prints nothing": {"unit: A\nname: \"ab\\x07\"\n", ":2:10 character"},
		"a no-break space":                {"unit: A\nname: a\u00a0b\n", ""},
		"a soft hyphen":                   {"unit: A\nname: ab\u00adc\n", ":2:9 character"},
		"what the typeface has not":       {"unit: A\nname: a中b\n", ":2:8 glyph"},
		"the same in a block":             {"unit: A\nname: |\n  one\n  a中b\n", ":4:4 glyph"},
		"the second record":               {"unit: A\n---\nunit: B\nname:\n", ":4:6 empty"},
		"not closed":                      {"unit: A\nname: [x\nmore: y\n", ":2 yaml"},
	} {
		missing := func(s string) (out []rune) {
			if strings.ContainsRune(s, '中') {
				out = append(out, '中')
			}
			return out
		}
		if got := faults(c.text, Options{Missing: missing}); got != c.want {
			t.Errorf("%s: got %q, want %q", name, got, c.want)
		}
	}
}

// What is as large as it may be is taken, and one more is not.
func TestLimits(t *testing.T) {
	keys := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "k%d: v\n", i)
		}
		return b.String()
	}
	deep := func(n int) string { return "k: " + strings.Repeat("[", n) + "x" + strings.Repeat("]", n) + "\n" }
	for name, c := range map[string]struct{ text, want string }{
		"a long text":   {"k: " + strings.Repeat("µ", 2000) + "\n", ""},
		"a longer text": {"k: " + strings.Repeat("µ", 2001) + "\n", ":1:4 size"},
		"many keys":     {keys(5000), ""},
		"more keys":     {keys(5001), ":1:1 size"},
		"deep":          {deep(11), ""},
		"deeper":        {deep(12), ":1:15 depth"},
		"a large file":  {"k: v\n#" + strings.Repeat("x", 1<<20-7) + "\n", ""},
		"a larger file": {"k: v\n#" + strings.Repeat("x", 1<<20-6) + "\n", " size"},
		"100 faults":    {strings.Repeat("'': v\n", 99) + "'': v\n", strings.TrimSuffix(strings.Repeat("? key; ", 100), "; ")},
		"and one more":  {strings.Repeat("'': v\n", 101), strings.TrimSuffix(strings.Repeat("? key; ", 100), "; ") + "; and size"},
		"and many more": {strings.Repeat("'': v\n", 300), strings.TrimSuffix(strings.Repeat("? key; ", 100), "; ") + "; and size"},
	} {
		got := faults(c.text, Options{})
		if strings.HasPrefix(c.want, "?") {
			want := strings.Count(c.want, "key")
			full := strings.Contains(got, "size")
			if strings.Count(got, " key") != want || full != strings.Contains(c.want, "size") || strings.Count(got, ";") != want-1+map[bool]int{true: 1}[full] {
				t.Errorf("%s: %d faults, %v", name, strings.Count(got, " key"), full)
			}
			continue
		}
		if got != c.want {
			t.Errorf("%s: got %q, want %q", name, got, c.want)
		}
	}
	if len(docsOf("a: b\n---\nc: d\n---\n# nothing\n---\ne: f")) != 3 {
		t.Error("three records are not three")
	}
}

func docsOf(text string) []*Doc {
	docs, _ := Read("f.yaml", []byte(text), Options{})
	return docs
}

func TestValuesAndTheirFaults(t *testing.T) {
	text := "day: 1900-01-01\nlate: 2200-12-31\nearly: 1899-12-31\nfar: 2201-01-01\nnone: 2025-02-29\nlang: en\nbrazil: pt-BR\nbad: English\nname: a b\nyes: true\nno: false\nlist: [a, {b: c}, d]\nnumber: 3 mm\n"
	d := docsOf(text)[0]
	m := d.Root
	for key, want := range map[string]bool{"day": true, "late": true, "early": false, "far": false, "none": false, "list": false, "absent": false} {
		if m.Day(key).Known() != want {
			t.Errorf("day %s: %v", key, !want)
		}
	}
	for key, want := range map[string]bool{"lang": true, "brazil": true, "bad": false, "absent": false} {
		if m.Language(key).Known() != want {
			t.Errorf("language %s: %v", key, !want)
		}
	}
	if m.Name("name").Known() || m.Name("absent").Known() || !m.Name("lang").Known() {
		t.Error("names")
	}
	for key, want := range map[string][2]bool{"yes": {true, true}, "no": {false, true}, "absent": {}, "lang": {}} {
		if yes, ok := m.YesNo(key); yes != want[0] || ok != want[1] {
			t.Errorf("%s is %v, %v", key, yes, ok)
		}
	}
	if got := m.Texts("list"); len(got) != 2 || got[1].S != "d" {
		t.Errorf("texts %v", got)
	}
	if m.Map("lang") != nil || m.List("lang") != nil || m.Map("absent") != nil {
		t.Error("a text is a mapping or a list")
	}
	if m.Band("number", quantity.KindLength, quantity.Band{}).Known() || m.Whole("absent", 1, 2).Known() {
		t.Error("a number is a band")
	}
	m.Errorf("lang", "rule", "", "at its value")
	m.Errorf("absent", "rule", "", "at the mapping")
	m.Done()
	want := "f.yaml:1:1 rule\nf.yaml:3:8 day\nf.yaml:4:6 day\nf.yaml:5:7 day\nf.yaml:6:7 one-of\nf.yaml:6:7 shape\nf.yaml:6:7 shape\nf.yaml:6:7 rule\nf.yaml:8:6 language\nf.yaml:9:7 name\nf.yaml:12:7 shape\nf.yaml:12:11 shape\nf.yaml:13:9 quantity\n"
	if got := said(d.Problems); !sameLines(got, want) {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// sameLines compares lines in any order: several may have one place.
func sameLines(a, b string) bool {
	count := map[string]int{}
	for line := range strings.Lines(a) {
		count[line]++
	}
	for line := range strings.Lines(b) {
		count[line]--
	}
	for _, n := range count {
		if n != 0 {
			return false
		}
	}
	return true
}

// Where each value begins and ends, so that a fault within it is known as its own.
func TestExtents(t *testing.T) {
	d := docsOf("# head\nunit: A\nsizes:\n  \"10\":\n    a: b\n  \"11\": {c: d}\njobs:\n  - {x: y}\n  - z\nlast: w\n")[0]
	at := func(v Value) string {
		from, to := v.Extent()
		return fmt.Sprintf("%d:%d to %d:%d", from.Line, from.Col, to.Line, to.Col)
	}
	var got []string
	for _, e := range d.Root.Map("sizes").Entries() {
		got = append(got, e.Key.S+" "+at(e.Value))
	}
	for _, v := range d.Root.List("jobs") {
		got = append(got, at(v))
	}
	v, _ := d.Root.Value("last")
	got = append(got, at(v))
	if want := "10 4:3 to 6:3; 11 6:3 to 7:1; 8:5 to 9:5; 9:5 to 10:1; 10:1 to 11:1"; strings.Join(got, "; ") != want {
		t.Errorf("got  %s\nwant %s", strings.Join(got, "; "), want)
	}
	if s := (Span{File: "f", First: 2, Last: 4}); !s.Holds(diag.Pos{File: "f", Line: 2}) || !s.Holds(diag.Pos{File: "f", Line: 4}) || s.Holds(diag.Pos{File: "f", Line: 1}) || s.Holds(diag.Pos{File: "f", Line: 5}) || s.Holds(diag.Pos{File: "g", Line: 3}) {
		t.Error("a span holds other lines than its own")
	}
}

func TestRangeTexts(t *testing.T) {
	for want, r := range map[string]quantity.Band{
		"0.01 mm to 2 mm": Within(quantity.KindLength, "0.01 mm", "2 mm"), "0.01 mm or more": Within(quantity.KindLength, "0.01 mm", ""), "2 mm or less": Within(quantity.KindLength, "", "2 mm"), "any": {},
	} {
		if got := strings.ReplaceAll(rangeText(r), "\u00a0", " "); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := Quote(strings.Repeat("µ", 40)); strings.Contains(got, "…") {
		t.Errorf("40 characters are cut: %s", got)
	}
	if got := Quote(strings.Repeat("µ", 41)); got != `"`+strings.Repeat("µ", 39)+`…"` {
		t.Errorf("41 characters are not cut to 40: %s", got)
	}
}

// A row of a spreadsheet is read by the same rules, and its faults are reported at its cells.
func TestRow(t *testing.T) {
	at := diag.Pos{File: "l.csv", Line: 7, Col: 1}
	cell := func(s string, col int) Text { return Text{S: s, At: diag.Pos{File: "l.csv", Line: 7, Col: col}} }
	m, d := Row(at, []string{"job", "day", "crew", "odd"}, []Text{cell("K-1", 1), cell("soon", 5), cell("late", 9), cell("", 12)})
	if m.Name("job").S != "K-1" || m.Day("day").Known() || m.Text("crew").At.Col != 9 || m.Text("odd").Known() {
		t.Error("the row is not read")
	}
	v, _ := m.Value("odd")
	if from, to := v.Extent(); from.Line != 7 || to.Line != 8 || to.Col != 1 {
		t.Errorf("the last cell is from %v to %v", from, to)
	}
	m.Done()
	if got := said(d.Problems); got != "l.csv:7:5 day\nl.csv:7:12 empty\n" {
		t.Errorf("%s", got)
	}
}

func TestReadFile(t *testing.T) {
	fsys := fstest.MapFS{"a.yaml": {Data: []byte("unit: A\nname:\n")}, "dir/b.yaml": {Data: []byte("unit: B\n")}}
	for name, want := range map[string]string{"a.yaml": "", "none.yaml": "built-in/none.yaml file\n", "dir": "built-in/dir file\n"} {
		docs, problems := ReadFile(fsys, name, Options{Prefix: BuiltIn})
		if got := said(problems); got != want || (len(docs) == 1) != (want == "") {
			t.Errorf("%s: %d records, %q", name, len(docs), got)
		}
		for _, d := range docs {
			if got := said(d.Problems); got != "built-in/a.yaml:2:6 empty\n" {
				t.Errorf("%q", got)
			}
		}
	}
	for name, want := range map[string]bool{"a.yaml": true, "A.YML": true, "a.txt": false, "yaml": false, "l.yaml.txt": false} {
		if isYAML(name) != want {
			t.Errorf("%s: %v", name, !want)
		}
	}
	if at := (Text{S: "x", At: diag.Pos{File: "l.csv", Line: 3, Col: 4}}).Pos(1); at.Line != 3 || at.Col != 4 {
		t.Errorf("a rune of a text without a file is at %v", at)
	}
	// What is refused is not read all the same.
	for _, text := range []string{"a: !!str b\n", "a: &x b\n", "a: ~\n"} {
		if docsOf(text)[0].Root.Text("a").Known() {
			t.Errorf("%q is read", text)
		}
	}
	// What becomes full is said once, and a text of a full record knows it.
	if (Text{}).Full() {
		t.Error("a text of no record is of a full one")
	}
	docs := docsOf("a: b\n" + strings.Repeat("'': v\n", 200))
	if !docs[0].full() || !docs[0].Root.Text("a").Full() {
		t.Error("200 faults do not fill a record")
	}
}

// The rune that is meant, in texts of one line or several.
func TestPosInBlocks(t *testing.T) {
	m := docsOf("a: |\n    ab\n    cd\nb: >\n  ab\n  cd\nc: [x,   'y z']\nd: |2\n   ab\ne: plain\n")[0].Root
	texts := m.Texts("c")
	for _, c := range []struct {
		text   Text
		offset int
		want   string
	}{
		{m.Text("a"), 0, "2:5"}, {m.Text("a"), 1, "2:6"}, {m.Text("a"), 3, "3:5"}, {m.Text("a"), 4, "3:6"}, {m.Text("b"), 4, "4:4"}, {m.Text("b"), 0, "4:4"},
		{texts[1], 0, "7:11"}, {texts[1], 2, "7:13"}, {texts[0], 0, "7:5"}, {texts[0], 99, "7:6"}, {m.Text("d"), 0, "9:3"}, {m.Text("d"), 1, "9:4"},
		{m.Text("e"), 0, "10:4"}, {m.Text("e"), -1, "10:4"}, {m.Text("e"), 4, "10:8"}, {m.Text("e"), 5, "10:9"},
	} {
		if p := c.text.Pos(c.offset); fmt.Sprintf("%d:%d", p.Line, p.Col) != c.want {
			t.Errorf("rune %d of %q is at %d:%d, want %s", c.offset, c.text.S, p.Line, p.Col, c.want)
		}
	}
}
