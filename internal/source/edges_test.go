package source

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
)

// A text in UTF-16 is told by its mark, or by where its first four bytes are zero.
// Every pattern of zero bytes is tried: what is not UTF-16 is called something else.
func TestWhatIsTakenForUTF16(t *testing.T) {
	taken := func(data []byte) bool {
		docs, problems := Read("f.yaml", data, Options{})
		for _, d := range docs {
			problems = append(problems, d.Problems...)
		}
		for _, p := range problems {
			if strings.Contains(p.Message, "UTF-16") {
				return true
			}
		}
		return false
	}
	for pattern := range 16 {
		var data []byte
		zero := [4]bool{}
		for i := range 4 {
			zero[i] = pattern>>i&1 == 1
			if zero[i] {
				data = append(data, 0)
			} else {
				data = append(data, 'a'+byte(i))
			}
		}
		want := zero[0] && !zero[1] && zero[2] || !zero[0] && zero[1] && zero[3]
		for _, more := range []string{"", "bcd\n"} {
			if got := taken(append(data, more...)); got != want {
				t.Errorf("%q: %v", string(data)+more, got)
			}
		}
		if taken(data[:3]) {
			t.Errorf("three bytes %q are taken for UTF-16", data[:3])
		}
	}
	for text, want := range map[string]bool{"\xfe\xff": true, "\xff\xfe": true, "\xfe\xff\x00a": true, "\xfe": false, "\xff": false, "\xfea": false, "\xffa": false, "a\xff": false, "a\xfe": false, "\xff\xff": false, "\xfe\xfe": false} {
		if got := taken([]byte(text)); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}

// A record is known by its first key, be it the only one; what is no mapping, or one
// without keys, is known by nothing and goes wrong nowhere.
func TestKindOfSmallRecords(t *testing.T) {
	for text, want := range map[string]string{
		"unit: A\n": "unit A at 1 to 1", "unit: A": "unit A at 1 to 1", "unit: A\nname: x\n": "unit A at 1 to 2", "unit: A\n\n\n": "unit A at 1 to 3",
		"# head\nunit: A\n": "unit A at 1 to 2", "---\nunit: A\n---\n": "unit A at 2 to 2",
		"{}\n": "  at 1 to 1", "- unit\n- A\n": "  at 1 to 2", "[unit, A]\n": "  at 1 to 1", "unit\n": "  at 1 to 1", "unit: [A]\n": "unit  at 1 to 1",
	} {
		docs, problems := Read("f.yaml", []byte(text), Options{})
		if len(docs) != 1 || len(problems) > 0 {
			t.Errorf("%q: %d records, %v", text, len(docs), problems)
			continue
		}
		d := docs[0]
		if got := fmt.Sprintf("%s %s at %d to %d", d.Kind, d.ID, d.Span.First, d.Span.Last); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
		for _, e := range d.Root.Entries() {
			e.Value.Text()
		}
	}
}

// A key that is at fault is told once and read no more: nothing is looked up under
// it, and it is not called unknown as well.
func TestKeysAtFaultAreNotRead(t *testing.T) {
	opt := Options{Missing: func(s string) (out []rune) {
		if strings.ContainsRune(s, '中') {
			out = append(out, '中')
		}
		return out
	}}
	for text, want := range map[string]string{
		"unit: A\n? [a]\n: b\n":             "f.yaml:2:3 key\n",
		"unit: A\n&k name: x\n":             "f.yaml:2:1 key\n",
		"unit: A\n!!str name: x\n":          "f.yaml:2:1 key\n",
		"unit: A\n<<: {a: b}\n":             "f.yaml:2:1 alias\n",
		"unit: A\n\"\": x\n":                "f.yaml:2:1 key\n",
		"unit: A\n\"\": x\n'': y\n":         "f.yaml:2:1 key\nf.yaml:3:1 key\n",
		"unit: A\nn中: x\nn中: y\n":           "f.yaml:2:2 glyph\nf.yaml:3:2 glyph\n",
		"unit: A\n\" \": x\n":               "f.yaml:2:1 empty\n",
		"unit: A\nmore: x\nmore: y\n":       "f.yaml:2:1 unknown-key\nf.yaml:3:1 duplicate-key\n",
		"unit: A\n" + "k: v\n" + "\"k\": w": "f.yaml:2:1 unknown-key\nf.yaml:3:1 duplicate-key\n",
	} {
		docs, _ := Read("f.yaml", []byte(text), opt)
		m := docs[0].Root
		if m.Text("unit").S != "A" || m.Has("") || m.Has("name") || m.Has("<<") || m.Has("n中") || m.Has(" ") {
			t.Errorf("%q: a key at fault is read", text)
		}
		m.Done()
		if got := said(docs[0].Problems); got != want {
			t.Errorf("%q: got\n%swant\n%s", text, got, want)
		}
	}
	docs, _ := Read("f.yaml", []byte("unit: A\nmore: x\nmore: y\n"), Options{})
	if got := docs[0].Root.Text("more").S; got != "x" {
		t.Errorf("of a key that appears twice %q is read, not the first", got)
	}
}

// Each rune of a text on one line stands one column after the one before it, quotes
// and characters of two bytes notwithstanding.
func TestColumnsOfEachRune(t *testing.T) {
	m := one(t, "µ: µµ and more\nq: 'it''s µ'\nd: \"µ plain\"\nl: |\n    µ one\n      two\n").Root
	for key, places := range map[string][]string{
		"µ": {"1:4", "1:5", "1:6", "1:7"}, "q": {"2:5", "2:6", "2:7", "2:9", "2:10"}, "d": {"3:5", "3:6", "3:7"},
		"l": {"5:5", "5:6", "5:7", "5:8", "5:9", "5:10", "6:5", "6:6", "6:7"},
	} {
		for i, want := range places {
			if p := m.Text(key).Pos(i); fmt.Sprintf("%d:%d", p.Line, p.Col) != want {
				t.Errorf("rune %d of %s is at %d:%d, want %s", i, key, p.Line, p.Col, want)
			}
		}
	}
}

// half is a file system whose folder units/bad breaks off while it is listed, and
// whose root cannot be looked at where shut is set.
type half struct {
	fstest.MapFS
	shut bool
}

var refused = &fs.PathError{Op: "open", Path: "/private/place", Err: errors.New("permission denied")}

func (h half) Lstat(name string) (fs.FileInfo, error) {
	if h.shut {
		return nil, refused
	}
	return h.MapFS.Lstat(name)
}

func (h half) Stat(name string) (fs.FileInfo, error) {
	if h.shut {
		return nil, refused
	}
	return h.MapFS.Stat(name)
}

func (h half) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := h.MapFS.ReadDir(name)
	if name == "units/bad" {
		return list[:1], refused
	}
	return list, err
}

// A folder that cannot be listed to its end is told of once, none of its files is
// read as if the others were not there, and its neighbours are read.
func TestFolderThatCannotBeListed(t *testing.T) {
	files := fstest.MapFS{"units/a.yaml": {}, "units/bad/b.yaml": {}, "units/bad/c.yaml": {}, "units/d.yaml": {}}
	for _, c := range []struct {
		shut       bool
		names, why string
	}{
		{false, "units/a.yaml units/d.yaml", "units/bad file\n"},
		{true, "", "units file\n"},
	} {
		names, problems := Files(half{files, c.shut}, "units")
		if got := strings.Join(names, " "); got != c.names || said(problems) != c.why {
			t.Errorf("%q, %s", got, said(problems))
		}
		for _, p := range problems {
			if strings.Contains(p.Message, "/private") || !strings.Contains(p.Message, "permission denied") {
				t.Errorf("%s", p)
			}
		}
	}
}

// A warning stands at its rune as an error does, and breaks nothing; of a text that
// is in no record there is nobody to tell.
func TestWarnings(t *testing.T) {
	d := one(t, "name: abc\n")
	text := d.Root.Text("name")
	text.Warnf(2, "rule", "hint", "doubtful: %d", 7)
	if p := d.Problems; len(p) != 1 || p.HasErrors() || p[0].Pos.String() != "f.yaml:1:9" || p[0].Rule != "rule" || p[0].Hint != "hint" || p[0].Message != "doubtful: 7" {
		t.Errorf("%v", p)
	}
	text.Errorf(0, "rule", "", "wrong")
	if !d.Problems.HasErrors() || len(d.Problems) != 2 {
		t.Errorf("%v", d.Problems)
	}
	(Text{S: "x"}).Warnf(0, "rule", "", "nobody is told")
	(Text{S: "x"}).Errorf(0, "rule", "", "nobody is told")
}
