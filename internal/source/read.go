// Package source reads the YAML of records and procedures and keeps the place of
// every key and value, so that whatever is wrong can be shown where it is.
//
// Entry points: Files and ReadFile for a folder's documents, Read for the text
// of one file; Map is the cursor that both record and procedure read with. It
// belongs here if it is true of every YAML file that the program reads. It is not
// for what a key means: that is in record and procedure.
//
// The YAML it takes is strict. Every scalar is its text as written (`no` is the
// word no, 2025-03-04 is not turned into a time), a value is never empty, and
// anchors, aliases, merge keys, tags and directives are refused. A file may hold
// several documents with `---` between them; each is read by itself, so that a
// fault in one leaves the others.
package source

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"jobsheaf/internal/diag"

	"gopkg.in/yaml.v3"
)

// The limits of what is read. They are far above what a record needs, and keep a
// broken or hostile file from costing time or paper.
const (
	maxFile  = 1 << 20 // bytes of one file
	maxText  = 2000    // characters of one value
	maxDepth = 12      // mappings and lists within one another
	maxKeys  = 5000    // keys of one mapping: the words of a language are some 1300

	// maxProblems is how many problems of one document are listed.
	maxProblems = 100
)

// BuiltIn is the Prefix of the files that came with the program.
const BuiltIn = "built-in/"

// Options say how to read.
type Options struct {
	// Prefix is put before the names of files where problems name them, so that a
	// site's terms.yaml is not taken for the built-in one.
	Prefix string
	// Missing gives the characters of a text that the pages cannot print. Nil
	// takes every character for printable.
	Missing func(text string) []rune
}

// Span is the lines of a file that a record takes up, both ends counted.
type Span struct {
	File        string
	First, Last int
}

// Holds reports whether a place lies within the span.
func (s Span) Holds(p diag.Pos) bool {
	return p.File == s.File && p.Line >= s.First && p.Line <= s.Last
}

// Doc is one YAML document of a file.
type Doc struct {
	Span     Span
	Kind     string    // its first key, such as "unit"
	ID       string    // the text beside its first key
	At       diag.Pos  // of its first key
	Root     *Map      // nil where the document could not be read at all
	Problems diag.List // what is wrong with it, added to by its cursors

	file *file
	base int // the line before the first that the YAML library saw
	opt  Options
	bad  map[*yaml.Node]bool // nodes whose fault is already reported
}

// Raw gives the document's text as the file has it, comments included and line
// ends as "\n". A change of one character of the record changes it; a change in
// another document of the file does not.
func (d *Doc) Raw() []byte { return []byte(d.file.between(d.Span.First, d.Span.Last)) }

// Errorf adds an error to the document's problems, up to maxProblems.
func (d *Doc) Errorf(at diag.Pos, rule, hint, format string, args ...any) {
	d.add(diag.Problem{Pos: at, Severity: diag.Error, Rule: rule, Hint: hint, Message: fmt.Sprintf(format, args...)})
}

func (d *Doc) add(p diag.Problem) {
	switch {
	case !d.full():
		d.Problems.Add(p)
	case len(d.Problems) == maxProblems:
		d.Problems.Errorf(d.At, "size", "put these right first", "the record has more than %d problems; the rest is not listed", maxProblems)
	}
}

// full reports whether no more problems of the document are listed.
func (d *Doc) full() bool { return len(d.Problems) >= maxProblems }

// file is the text of one file with the start of each line.
type file struct {
	name   string
	text   string
	starts []int
}

func newFile(name, text string) *file {
	f := &file{name: name, text: text, starts: []int{0}}
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' {
			f.starts = append(f.starts, i+1)
		}
	}
	if n := len(f.starts); n > 1 && f.starts[n-1] == len(text) {
		f.starts = f.starts[:n-1]
	}
	return f
}

// line gives a line, counted from 1, without its end.
func (f *file) line(n int) string { return strings.TrimSuffix(f.between(n, n), "\n") }

// between gives whole lines, both ends counted.
func (f *file) between(first, last int) string {
	if first < 1 || first > len(f.starts) || last < first {
		return ""
	}
	end := len(f.text)
	if last < len(f.starts) {
		end = f.starts[last]
	}
	return f.text[f.starts[first-1]:end]
}

// Read reads the text of one file. The list holds what is wrong with the file as
// a whole; what is wrong with a document is in its own Problems.
func Read(name string, data []byte, opt Options) ([]*Doc, diag.List) {
	var problems diag.List
	name = opt.Prefix + name
	text, ok := decode(name, data, &problems)
	if !ok {
		return nil, problems
	}
	f := newFile(name, text)
	var docs []*Doc
	first, beside := 1, diag.Pos{}
	for n := 1; n <= len(f.starts)+1; n++ {
		if n <= len(f.starts) && !separates(f.line(n)) {
			continue
		}
		d := readDoc(f, first, n-1, opt)
		if beside.Line > 0 {
			// The record below may lack what this line holds.
			message, hint := "found text after the line that separates two records", "begin the record on the next line"
			if d != nil {
				d.Span.First = beside.Line
				d.Errorf(beside, "yaml", hint, "%s", message)
			} else {
				problems.Errorf(beside, "yaml", hint, "%s", message)
			}
		}
		if d != nil {
			docs = append(docs, d)
		}
		beside = diag.Pos{}
		if n <= len(f.starts) {
			if after := strings.TrimSpace(f.line(n)[3:]); after != "" && !strings.HasPrefix(after, "#") {
				beside = diag.Pos{File: name, Line: n, Col: 5}
			}
		}
		first = n + 1
	}
	if len(docs) == 0 && len(problems) == 0 {
		problems.Errorf(diag.Pos{File: name}, "empty", "write a record, or delete the file", "the file holds no record")
	}
	return docs, problems
}

// separates reports whether a line parts two documents.
func separates(line string) bool {
	return line == "---" || strings.HasPrefix(line, "--- ") || strings.HasPrefix(line, "---\t")
}

// decode strips what editors add of their own accord: a byte order
// mark before UTF-8, and the line ends of Windows. The characters themselves are
// looked at by document, so that a bad one spoils its own record only.
func decode(name string, data []byte, problems *diag.List) (string, bool) {
	at := diag.Pos{File: name}
	switch {
	case len(data) > maxFile:
		problems.Errorf(at, "size", "split the records over several files", "the file is larger than %d bytes", maxFile)
		return "", false
	case len(data) >= 2 && (data[0] == 0xFE && data[1] == 0xFF || data[0] == 0xFF && data[1] == 0xFE),
		len(data) >= 4 && (data[0] == 0 && data[1] != 0 && data[2] == 0 || data[0] != 0 && data[1] == 0 && data[3] == 0):
		problems.Errorf(diag.Pos{File: name, Line: 1, Col: 1}, "encoding", "save the file as UTF-8", "the file is in UTF-16 or UTF-32")
		return "", false
	}
	return strings.ReplaceAll(strings.TrimPrefix(string(data), "\ufeff"), "\r\n", "\n"), true
}

// plain reports the first character of a line that no text file in UTF-8 has.
func (d *Doc) plain(n int, line string) bool {
	col := 0
	for i := 0; i < len(line); {
		r, size := utf8.DecodeRuneInString(line[i:])
		col++
		at := diag.Pos{File: d.file.name, Line: n, Col: col}
		switch {
		case r == utf8.RuneError && size == 1:
			d.Errorf(at, "encoding", "save the file as UTF-8", "found a byte 0x%02X that is not UTF-8", line[i])
			return false
		case r == 0:
			d.Errorf(at, "encoding", "records are text files", "found a zero byte: this is not a text file")
			return false
		case r == '\r':
			d.Errorf(at, "encoding", "save the file with the line ends of Unix or Windows", "found a carriage return by itself")
			return false
		case r != '\t' && (unicode.Is(unicode.Cc, r) || r == '\u2028' || r == '\u2029' || r == '\ufeff'):
			d.Errorf(at, "encoding", "delete it", "found the control character U+%04X", r)
			return false
		}
		i += size
	}
	return true
}

var head = regexp.MustCompile(`^['"]?([A-Za-z_]+)['"]?[ ]*:[ ]+['"]?([^'"#]*[^'"# ])`)

// readDoc reads the document on some lines of a file; nil where they hold nothing
// but comments.
func readDoc(f *file, first, last int, opt Options) *Doc {
	d := &Doc{Span: Span{f.name, first, last}, At: diag.Pos{File: f.name, Line: first, Col: 1}, file: f, base: first - 1, opt: opt, bad: map[*yaml.Node]bool{}}
	empty := true
	for n := first; n <= last; n++ {
		line := f.line(n)
		trimmed := strings.TrimLeft(line, " \t")
		if !d.plain(n, line) {
			return d
		}
		if trimmed == "" || strings.HasPrefix(trimmed, "#") {
			continue
		}
		indent := line[:len(line)-len(trimmed)]
		if empty {
			// The head is taken from the text, so that a record whose YAML is broken
			// is still known by its name.
			if m := head.FindStringSubmatch(line); m != nil {
				d.Kind, d.ID = m[1], m[2]
			}
			d.At = diag.Pos{File: f.name, Line: n, Col: 1 + len(indent)}
		}
		empty = false
		at := diag.Pos{File: f.name, Line: n, Col: 1}
		switch {
		case strings.ContainsRune(indent, '\t'):
			at.Col += strings.IndexByte(indent, '\t')
			d.Errorf(at, "yaml", "indent with spaces", "found a tab in the indentation")
			return d
		case line[0] == '%':
			d.Errorf(at, "yaml", "delete the line", "YAML directives are not allowed here")
			return d
		case line == "..." || strings.HasPrefix(line, "... "):
			d.Errorf(at, "yaml", "write --- between two records", "found the mark of a document's end")
			return d
		}
	}
	if empty {
		return nil
	}
	node, line, message := parse(f.between(first, last))
	if message != "" {
		at := diag.Pos{File: f.name, Line: d.At.Line}
		if line > 0 {
			at.Line = min(line+first-1, last)
		}
		d.Errorf(at, "yaml", syntaxHint(message), "not YAML: %s", message)
		return d
	}
	root := Value{doc: d, node: node, from: d.At, to: diag.Pos{File: f.name, Line: last + 1, Col: 1}}
	d.vet(node, 0)
	d.Kind, d.ID = "", ""
	if node.Kind == yaml.MappingNode && len(node.Content) >= 2 {
		d.Kind, d.ID = node.Content[0].Value, node.Content[1].Value
	}
	d.Root = root.Map()
	return d
}

var syntaxLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(?:while [^:]*: )?(.*)$`)

var byParser = regexp.MustCompile(`^did not find expected (<|node content|key|'-'|',')|^found (undefined tag|duplicate %|incompatible YAML)`)

// parse hands the text to the YAML library and gives the root node, or the line
// within the text and what is wrong.
func parse(text string) (node *yaml.Node, line int, message string) {
	defer func() {
		// The library is not ours: a panic in it on hostile input is a fault of the
		// input, and no reason to lose the other records.
		if r := recover(); r != nil {
			node, line, message = nil, 0, "the document cannot be read"
		}
	}()
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		m := syntaxLine.FindStringSubmatch(err.Error())
		if m == nil {
			return nil, 0, err.Error()
		}
		if m[1] != "" {
			fmt.Sscanf(m[1], "%d", &line)
		}
		// The library counts lines from 0 in what its parser says, and from 1 in
		// what its scanner says.
		if byParser.MatchString(m[2]) {
			line++
		}
		return nil, line, m[2]
	}
	if len(doc.Content) != 1 {
		return nil, 0, "the document is empty"
	}
	return doc.Content[0], 0, ""
}

// syntaxHint says in plain words what usually causes a message of the library.
func syntaxHint(message string) string {
	for _, h := range [][2]string{
		{"mapping values are not allowed", `put a value with ": " in it in quotes; or the line above or this one is indented wrongly`},
		{"cannot start any token", "put a value that begins with @ % ` or a tab in quotes"},
		{"end of stream", "a quote or bracket is opened and never closed"},
		{"did not find expected ',' or", "a bracket is never closed, or a comma is missing between two entries"},
		{"did not find expected node content", "something is missing between two commas or brackets"},
		{"did not find expected key", "indent the keys of one record alike; text after a closing quote is not allowed"},
		{"could not find expected ':'", `every key is followed by ": " and its value`},
		{"found a tab", "indent with spaces"},
		{"unknown escape", "in double quotes a backslash begins an escape: use single quotes"},
		{"unknown anchor", "aliases are not allowed here: write the value out"},
		{"max depth", "records are never nested so deeply"},
	} {
		if strings.Contains(message, h[0]) {
			return h[1]
		}
	}
	return "check the indentation, quotes and brackets of this line and the one above"
}
