package source

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// one reads a text that holds one document without a fault.
func one(t *testing.T, text string) *Doc {
	t.Helper()
	docs, problems := Read("f.yaml", []byte(text), Options{})
	if len(docs) != 1 || len(problems) > 0 || len(docs[0].Problems) > 0 {
		t.Fatalf("%d documents, %v %v", len(docs), problems, docs)
	}
	return docs[0]
}

func said(l diag.List) string {
	var b strings.Builder
	for _, p := range l.Sorted() {
		b.WriteString(p.Pos.String() + " " + p.Rule + "\n")
	}
	return b.String()
}

func TestScalarsAreTheirText(t *testing.T) {
	m := one(t, "a: no\nb: 2025-03-04\nc: 1:20:00\nd: 0x10\ne: 1e3\nf: 0381\ng: .inf\nh: yes # said so\ni: 'it''s'\nj: |\n  two\n  lines\n").Root
	for key, want := range map[string]string{"a": "no", "b": "2025-03-04", "c": "1:20:00", "d": "0x10", "e": "1e3", "f": "0381", "g": ".inf", "h": "yes", "i": "it's", "j": "two\nlines\n"} {
		if got := m.Text(key).S; got != want {
			t.Errorf("%s is %q, want %q", key, got, want)
		}
	}
}

// The place of every rune of every way to write a text, counted by hand.
func TestPosOfRunes(t *testing.T) {
	m := one(t, "a: µm x\nb: \"µm x\"\nc: 'it''s x'\nd: |\n  one\n  µwo x\ne: \"\\u00b5m x\"\nf: first\n  second x\n").Root
	for _, c := range []struct {
		key       string
		line, col int
	}{{"a", 1, 7}, {"b", 2, 8}, {"c", 3, 11}, {"d", 6, 7}, {"e", 7, 4}, {"f", 8, 4}} {
		text := m.Text(c.key)
		offset := slices.Index([]rune(text.S), 'x')
		if got := text.Pos(offset); got.Line != c.line || got.Col != c.col {
			t.Errorf("%s: x at %v, want %d:%d", c.key, got, c.line, c.col)
		}
	}
}

func TestDocumentsStandAlone(t *testing.T) {
	text := "# head\n\n---\nunit: A\nname: x\n---  # next\nunit: B\nname: [x\n---\nunit: C\nname: y\n"
	docs, problems := Read("f.yaml", []byte(text), Options{})
	if len(problems) > 0 || len(docs) != 3 {
		t.Fatalf("%d documents, %v", len(docs), problems)
	}
	for i, want := range []struct {
		id     string
		first  int
		faulty bool
	}{{"A", 4, false}, {"B", 7, true}, {"C", 10, false}} {
		d := docs[i]
		if d.ID != want.id || d.Kind != "unit" || d.At.Line != want.first || d.Problems.HasErrors() != want.faulty {
			t.Errorf("document %d: %s %s at %v, %v", i, d.Kind, d.ID, d.At, d.Problems)
		}
	}
	if got := said(docs[1].Problems); got != "f.yaml:8 yaml\n" {
		t.Error(got)
	}
	if got := docs[2].Root.place("name"); got.Line != 11 || got.Col != 7 {
		t.Error(got)
	}
	if got := string(docs[1].Raw()); got != "unit: B\nname: [x\n" {
		t.Errorf("%q", got)
	}
}

func TestEditorsLeaveNoTrace(t *testing.T) {
	plain, windows := one(t, "unit: A\nname: x\n"), one(t, "\ufeffunit: A\r\nname: x\r\n")
	if string(plain.Raw()) != string(windows.Raw()) || plain.Root.place("name") != windows.Root.place("name") {
		t.Errorf("%q, %q", plain.Raw(), windows.Raw())
	}
}

func TestCursor(t *testing.T) {
	docs, _ := Read("f.yaml", []byte("name: x\nlenght: 3 mm\nwide: 3\nway: lefft\nday: 2025-13-01\nyes: yes\nmany: [1 mm, 2 N.m]\nbad/name: 1\nlist: {a: b}\n"), Options{})
	m := docs[0].Root
	m.Need("name", "size")
	m.Text("name")
	length := m.Amount("length", quantity.KindLength, quantity.Band{})
	m.Amount("wide", quantity.KindLength, quantity.Band{})
	m.OneOf("way", "left", "right")
	m.Day("day")
	m.YesNo("yes")
	if many := m.Amounts("many", quantity.KindLength, Within(quantity.KindLength, "0.1 mm", "")); len(many) != 1 || many[0].Value.SI() != 0.001 {
		t.Errorf("%v", many)
	}
	m.List("list")
	m.Done()
	if length.Known() {
		t.Error("a length that is not there is known")
	}
	want := "f.yaml:1:1 missing-key\nf.yaml:2:1 unknown-key\nf.yaml:3:8 quantity\nf.yaml:4:6 one-of\nf.yaml:5:6 day\nf.yaml:6:6 one-of\nf.yaml:7:16 quantity\nf.yaml:8:1 unknown-key\nf.yaml:9:7 shape\n"
	if got := said(docs[0].Problems); got != want {
		t.Errorf("got:\n%swant:\n%s", got, want)
	}
	for _, p := range docs[0].Problems {
		if p.Pos.Line == 2 && !strings.Contains(p.Hint, "did you mean length?") {
			t.Errorf("hint %q", p.Hint)
		}
	}
}

func TestNilMapIsEmpty(t *testing.T) {
	var m *Map
	m.Need("a")
	m.Errorf("a", "r", "", "x")
	m.Done()
	if m.Has("a") || m.Text("a").Known() || m.Map("a") != nil || m.Entries() != nil || m.Rest() != nil || m.Doc() != nil || m.At().Line != 0 || m.Over(nil) != nil {
		t.Error("a nil map holds something")
	}
}

func TestRange(t *testing.T) {
	r := Within(quantity.KindLength, "0.01 mm", "2 mm")
	for text, want := range map[string]bool{"0.01 mm": true, "2 mm": true, "0.0099 mm": false, "2.0001 mm": false, "-1 mm": false, "1 mm": true, "0.001 cm": true} {
		docs, _ := Read("f.yaml", []byte("a: "+text+"\n"), Options{})
		if _, ok := docs[0].Root.Text("a").Amount(quantity.KindLength, r); ok != want {
			t.Errorf("%s: %v, %v", text, ok, docs[0].Problems)
		}
	}
	for text, want := range map[string]bool{"0.5..1 mm": true, "0.005..1 mm": false, "1..3 mm": false, "1 mm": false} {
		docs, _ := Read("f.yaml", []byte("a: "+text+"\n"), Options{})
		if _, ok := docs[0].Root.Text("a").Band(quantity.KindLength, r); ok != want {
			t.Errorf("%s: %v, %v", text, ok, docs[0].Problems)
		}
	}
	for text, want := range map[string]bool{"3": true, "0": false, "49": false, "3.5": false} {
		docs, _ := Read("f.yaml", []byte("a: "+text+"\n"), Options{})
		if got := docs[0].Root.Whole("a", 1, 48); got.Known() != want {
			t.Errorf("%s: %v", text, got.Known())
		}
	}
}

func TestOver(t *testing.T) {
	m := one(t, "all:\n  a: 1\n  m: {x: low, y: low, list: [1, 2]}\n  only: {z: low}\nown:\n  b: 2\n  m: {y: high, list: [3]}\n").Root
	over := m.Map("own").Over(m.Map("all"))
	for key, want := range map[string]string{"a": "1", "b": "2"} {
		if got := over.Text(key).S; got != want {
			t.Errorf("%s is %q", key, got)
		}
	}
	var got []string
	for _, e := range over.Map("m").Entries() {
		if e.Value.IsList() {
			got = append(got, e.Key.S)
			continue
		}
		got = append(got, e.Key.S+"="+e.Value.Text().S)
	}
	if s := strings.Join(got, " "); s != "x=low y=high list" {
		t.Error(s)
	}
	if v, _ := over.Map("m").Value("x"); v.Layer() != 1 {
		t.Error("a value from below is not known as such")
	}
	if n := len(over.Map("m").Texts("list")); n != 1 {
		t.Errorf("a list of %d, want that of the upper mapping whole", n)
	}
	if over.Map("only").Text("z").S != "low" {
		t.Error("a mapping that stands below alone is lost")
	}
	over.Done()
	if len(m.Doc().Problems) != 0 {
		t.Error(m.Doc().Problems)
	}
	over = m.Map("own").Over(m.Map("all"))
	over.Text("b")
	over.Done()
	if got := said(m.Doc().Problems); got != "f.yaml:2:3 unknown-key\nf.yaml:3:3 unknown-key\nf.yaml:4:3 unknown-key\nf.yaml:7:3 unknown-key\n" {
		t.Error(got)
	}
}

func TestNames(t *testing.T) {
	for name, want := range map[string]bool{
		"P-214": true, "65": true, "a.b_c-d": true, "ABCDEFGHIJKLMNOPQRSTUVWX": true, "ABCDEFGHIJKLMNOPQRSTUVWXY": false,
		"": false, ".": false, "..": false, "-a": false, ".a": false, "a..b": false, "a.": false, "a/b": false, `a\b`: false, "a b": false,
		"con": false, "NUL.txt": false, "com1": false, "lpt9.x": false, "console": true, "com10": true, "ä": false, "a\n": false, "a:b": false, "K-1\x00": false,
	} {
		if got := NameFault(name) == ""; got != want {
			t.Errorf("%q: %v", name, got)
		}
	}
	for word, want := range map[string]bool{"head": true, "end_clearance": true, "a1": true, "1a": false, "a__b": false, "_a": false, "a_": false, "A": false, "a-b": false, "": false} {
		if IsWord(word) != want {
			t.Errorf("%q", word)
		}
	}
}

// A change of one character of a document changes its Raw and no other's.
func TestRawIsItsOwn(t *testing.T) {
	text := "unit: A\nname: x\n---\nunit: B\n# why\nname: y\n---\nunit: C\nname: z\n"
	before, _ := Read("f.yaml", []byte(text), Options{})
	for i := range text {
		if text[i] == '\n' || strings.Contains("-", text[i:i+1]) {
			continue
		}
		after, _ := Read("f.yaml", []byte(text[:i]+"q"+text[i+1:]), Options{})
		line := 1 + strings.Count(text[:i], "\n")
		for k := range before {
			same := string(before[k].Raw()) == string(after[k].Raw())
			inside := before[k].Span.Holds(diag.Pos{File: "f.yaml", Line: line})
			if same == inside {
				t.Errorf("byte %d, document %d: same %v, inside %v", i, k, same, inside)
			}
		}
	}
}

func TestFiles(t *testing.T) {
	fsys := fstest.MapFS{
		"units/a.yaml": {}, "units/b.yml": {}, "units/c.txt": {}, "units/.d.yaml": {}, "units/_e.yaml": {}, "units/sub/f.yaml": {},
		"units/.g/h.yaml": {}, "units/i.yaml": {Mode: fs.ModeSymlink}, "units/j.yaml": {Mode: fs.ModeNamedPipe}, "units/con.yaml": {}, "other/k.yaml": {},
		"units/l.yaml.txt": {}, "units/m.yaml.bak": {}, "units/n.yaml~": {},
	}
	names, problems := Files(fsys, "units")
	if got := strings.Join(names, " "); got != "units/a.yaml units/b.yml units/sub/f.yaml" {
		t.Error(got)
	}
	if got := said(problems); got != "units/con.yaml name\nunits/i.yaml file\nunits/j.yaml file\nunits/l.yaml.txt file\n" {
		t.Error(got)
	}
	if names, problems := Files(fsys, "nothing"); names != nil || problems != nil {
		t.Error(names, problems)
	}
}

// A linked folder is reported as a linked file is: its records would be missed.
func TestLinkedFolders(t *testing.T) {
	away, site := t.TempDir(), t.TempDir()
	for _, err := range []error{
		os.WriteFile(filepath.Join(away, "a.yaml"), []byte("unit: A\n"), 0o644), os.Mkdir(filepath.Join(site, "units"), 0o755),
		os.Symlink(away, filepath.Join(site, "units", "more")), os.Symlink(filepath.Join(away, "a.yaml"), filepath.Join(site, "units", "a.yaml")),
		os.Symlink(filepath.Join(away, "none"), filepath.Join(site, "units", "none")), os.Symlink(away, filepath.Join(site, "lists")),
		os.WriteFile(filepath.Join(site, "units", "b.yaml.txt"), []byte("unit: B\n"), 0o644),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	names, problems := Files(os.DirFS(site), "units")
	if got := said(problems); len(names) > 0 || got != "units/a.yaml file\nunits/b.yaml.txt file\nunits/more file\n" {
		t.Errorf("%q\n%s", names, got)
	}
	if names, problems := Files(os.DirFS(site), "lists"); len(names) > 0 || said(problems) != "lists file\n" {
		t.Errorf("%q\n%s", names, said(problems))
	}
}

// A record without the line that separates it from the one above is reported once.
func TestMissingSeparator(t *testing.T) {
	docs, _ := Read("u.yaml", []byte("unit: A\nname: x\narea: y\nsize: z\nunit: B\nname: x\narea: y\nsize: z\n"), Options{})
	if len(docs) != 1 || len(docs[0].Problems) != 1 || !strings.Contains(docs[0].Problems[0].Message, "--- seems to be missing") || docs[0].Problems[0].Pos.Line != 5 {
		t.Errorf("%v", docs[0].Problems)
	}
}

func TestNameFaultSaysWhich(t *testing.T) {
	for name, want := range map[string]string{"P 214": "' '", "_a": "starts with '_'", "Pumpe-Ä": "'Ä'", "a/b": "folder", "": "empty"} {
		if got := NameFault(name); !strings.Contains(got, want) {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// unreadable is a file system that breaks in the middle of a file.
type unreadable struct{ fs.FS }

type torn struct{ fs.File }

func (unreadable) Lstat(name string) (fs.FileInfo, error) {
	return fs.Stat(fstest.MapFS{name: {}}, name)
}
func (unreadable) ReadLink(string) (string, error) { return "", errors.ErrUnsupported }
func (unreadable) Open(name string) (fs.File, error) {
	f, err := fstest.MapFS{name: {}}.Open(name)
	return torn{f}, err
}
func (torn) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: "/private/place", Err: errors.New("input/output error")}
}

func TestUnreadableFileIsAProblem(t *testing.T) {
	docs, problems := ReadFile(unreadable{}, "a.yaml", Options{})
	if len(docs) != 0 || len(problems) != 1 || strings.Contains(problems[0].Message, "/private") || !strings.Contains(problems[0].Message, "input/output error") {
		t.Errorf("%v %v", docs, problems)
	}
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{"unit: A\nname: x\n", "a: &b [*b]\n", "a: [[[[", "? {a: b}\n: c\n", "--- |\n x\n", "a: 'it''s'\nb: \"\\x07\"\nc: |\n  x\n", "\xff\xfea", "a:\t1\n", "%YAML 1.1\n---\na: 1", "!!map {a: 1}", "<<: {a: 1}", "a: 1\n...\nb: 2"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		opt := Options{Missing: func(s string) (out []rune) {
			for _, r := range s {
				if r > 0xFFFF {
					out = append(out, r)
				}
			}
			return out
		}}
		start := time.Now()
		docs, problems := Read("f.yaml", data, opt)
		if took := time.Since(start); took > time.Minute { // a busy machine may be slow, but not so slow
			t.Fatalf("%d bytes took %v", len(data), took)
		}
		if len(docs) == 0 && !problems.HasErrors() {
			t.Fatal("nothing read and nothing said")
		}
		lines := 1 + strings.Count(string(data), "\n")
		for _, d := range docs {
			if d.Root == nil && !d.Problems.HasErrors() {
				t.Fatal("a document that could not be read, and nothing said")
			}
			visit(t, d.Root.Over(d.Root), 0)
			for _, p := range d.Problems {
				if p.Pos.Line < 1 || p.Pos.Line > lines || p.Pos.Col < 0 {
					t.Fatalf("a place that is not in the file of %d lines: %v", lines, p)
				}
			}
			if len(d.Problems) > maxProblems+1 {
				t.Fatalf("%d problems", len(d.Problems))
			}
		}
	})
}

// visit asks everything of everything below a mapping.
func visit(t *testing.T, m *Map, depth int) {
	if depth > maxDepth {
		t.Fatal("deeper than is read")
	}
	for _, e := range m.Entries() {
		m.Day(e.Key.S)
		m.Name(e.Key.S)
		m.Amount(e.Key.S, quantity.KindLength, Within(quantity.KindLength, "0 mm", "1 m"))
		text := e.Value.Text()
		for i := range len([]rune(text.S)) + 1 {
			if p := text.Pos(i); p.Line < text.At.Line {
				t.Fatalf("rune %d at %v, before its text at %v", i, p, text.At)
			}
		}
		for _, v := range e.Value.list() {
			visit(t, v.Map(), depth+1)
		}
		visit(t, e.Value.Map(), depth+1)
	}
	m.Done()
}
