// Package origin says what a packet was made from: it lists the inputs, takes their
// fingerprint, makes the archive of them that the packet carries, and reads that
// archive back.
//
// Entry points: Keeper.Of and Read. It belongs here if it is about which inputs
// count, or how they are carried. It is not for what is computed from them (compute)
// nor for what became of a file since (prove).
package origin

import (
	"bytes"
	"cmp"
	"encoding/hex"
	"fmt"
	"hash/crc32"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"

	"golang.org/x/tools/txtar"
)

// Made is what one packet is made from.
type Made struct {
	Job         *record.Job
	Unit        *record.Unit // as the packet is made for it
	Past        []record.HistoryEntry
	Book        *record.Book
	Instruments map[string]*record.Instrument // that the packet names or rounds to
	Files       []procedure.File              // the templates
	Texts       *procedure.Texts              // the catalogue of the language; nil for none
	Words       words.Catalogue
	Program     string // name and version of what makes it
	Blank       bool   // an empty form
}

// Keeper takes fingerprints and makes archives. It keeps what is the same for many
// packets, and is safe for concurrent use.
type Keeper struct {
	parts sync.Map // of fingerprints, by name: packet.Part
	texts sync.Map // that packets carry, by name: *carriedText
}

// Of gives the fingerprint of what a packet is made from, the parts that it was taken
// of, and the archive that the packet carries. What cannot be carried is in the list.
func (k *Keeper) Of(m Made) (fingerprint string, parts []packet.Part, archive []byte, problems diag.List) {
	list := m.inputs()
	fingerprint, parts = k.fingerprint(list)
	archive, problems = k.archive(m, list)
	return fingerprint, parts, archive, problems
}

// input is one part of what a packet is computed from. raw gives its text without
// empty lines at its end.
type input struct {
	name string // what it is, such as "units/hall.yaml: unit P-214"
	file string // of the site; "" for what came with the program or the command
	line int    // of the file, where it begins
	own  bool   // of this job alone
	raw  func() []byte
}

// The names of inputs that stand in no file.
const (
	ProgramPart = "the program"     // its name and version
	EntryPart   = "the job's entry" // in its list, or as it was asked for
	wordsPart   = "the words"
)

// CameWithProgram reports whether the input of that name, such as a packet.Part
// has it, came with the program and not from the site.
func CameWithProgram(name string) bool {
	return name == ProgramPart || name == wordsPart || strings.HasPrefix(name, "built-in/")
}

// inputs lists everything that the packet is computed from: what the fingerprint
// is taken of, and what the packet carries.
func (m Made) inputs() []input {
	list := []input{
		{name: ProgramPart, raw: func() []byte { return []byte(m.Program) }},
		{name: EntryPart, own: true, raw: m.Job.Raw},
		{name: "the form", own: true, raw: func() []byte { return []byte(form(m.Blank)) }},
	}
	from := func(builtIn bool, in input) {
		if builtIn {
			in.file = ""
		}
		raw := in.raw
		in.raw = func() []byte { return bytes.TrimRight(raw(), "\n") }
		list = append(list, in)
	}
	add := func(rec *record.Record) {
		if rec.Span.File == "" {
			return // a form for a unit that is not on record
		}
		from(rec.BuiltIn, input{name: rec.Span.File + ": " + rec.String(), file: rec.Span.File, line: rec.Span.First, raw: rec.Raw})
	}
	add(&m.Book.Site.Record)
	add(&m.Unit.Record)
	apart := map[*record.Record]bool{}
	for _, e := range m.Past { // what came after the job is no input
		for _, rec := range e.Apart {
			if !apart[rec] {
				apart[rec] = true
				add(rec)
			}
		}
	}
	if m.Unit.Design != nil {
		add(&m.Unit.Design.Record)
	}
	if m.Unit.Liquid != nil {
		add(&m.Unit.Liquid.Record)
	}
	for _, name := range slices.Sorted(maps.Keys(m.Instruments)) {
		add(&m.Instruments[name].Record)
	}
	for _, rec := range m.Book.Records {
		switch rec.Kind {
		case "machine", "terms", "statements": // formulas are compiled over the terms of all kinds
			add(rec)
		}
	}
	files, fixed := slices.Clone(m.Files), wordsPart
	if m.Texts != nil {
		files = append(files, m.Texts.Files...)
	}
	for _, f := range m.Words.Own {
		files, fixed = append(files, procedure.File{Path: f.Path, Line: f.Line, Raw: f.Raw}), wordsPart+" with the site's own"
	}
	for _, f := range files {
		from(f.BuiltIn, input{name: f.Path, file: f.Path, line: f.Line, raw: func() []byte { return f.Raw }})
	}
	from(true, input{name: fixed, raw: func() []byte {
		var all strings.Builder
		for key, text := range m.Words.All() {
			all.WriteString(key + "\x00" + text + "\x00")
		}
		return []byte(all.String())
	}})
	return list
}

// The names within the archive of inputs that are no files of the site.
const (
	jobFile  = "job.yaml"
	sumsFile = "sums"
)

// archive makes what the packet carries of its inputs: a text archive (txtar) of
// the site's files in which each line that was used stands at its own number and
// all others are empty, so that every file:line in the packet stays true.
// Templates that came with the program are named, not carried.
func (k *Keeper) archive(m Made, list []input) ([]byte, diag.List) {
	var problems diag.List
	byFile := map[string][]input{}
	head := fmt.Appendf(nil, "What packet %s was made from: the job, and of the site's records and templates the\n"+
		"lines that were used, each at its own number. jobsheaf prove makes it again.\n\n%s%s\n%s%s\n",
		m.Job.ID.S, programLead, m.Program, formLead, form(m.Blank))
	for _, in := range list {
		if in.file != "" {
			byFile[in.file] = append(byFile[in.file], in)
		} else if in.line > 0 {
			head = fmt.Appendf(head, "came with the program: %s %s\n", k.part(in).Digest, in.name)
		}
	}
	size := len(head)
	for _, parts := range byFile {
		for _, in := range parts {
			t := k.text(in)
			size += len(t.raw) + len(t.sums) + in.line + 2*len(in.file) + 32
		}
	}
	var out, sums bytes.Buffer
	out.Grow(size + 1024) // the job's entry is short
	out.Write(head)
	add := func(name string) { fmt.Fprintf(&out, "-- %s --\n", name) } // txtar.Format would copy it all once more
	add(jobFile)
	out.Write(jobList(m.Job))
	for _, file := range slices.Sorted(maps.Keys(byFile)) {
		parts := byFile[file]
		slices.SortFunc(parts, func(a, b input) int { return cmp.Compare(a.line, b.line) })
		add(file)
		at := 1 // the line that comes next
		for _, in := range parts {
			t := k.text(in)
			for ; at < in.line; at++ {
				if at == in.line-1 && !bytes.HasPrefix(t.raw, []byte("---")) {
					out.WriteString("---") // parts the record from what stood above it
				}
				out.WriteByte('\n')
			}
			out.Write(t.raw)
			out.WriteByte('\n')
			fmt.Fprintf(&sums, "%s %d%s\n", file, in.line, t.sums)
			for _, line := range t.markers {
				problems.Errorf(diag.Pos{File: file, Line: at + line, Col: 1}, "not-carried", "indent the line", "a line that begins with -- and ends with -- would be taken for the name of a file among the packet's inputs")
			}
			at += t.lines
		}
	}
	add(sumsFile)
	out.Write(sums.Bytes())
	return out.Bytes(), problems
}

// carriedText is an input as packets carry it.
type carriedText struct {
	raw     []byte
	lines   int
	sums    string // of the lines, a space before each
	markers []int  // lines that the archive would take for the name of a file, from 0
}

// text gives an input that stands in a file as packets carry it. It is worked out
// once for all packets.
func (k *Keeper) text(in input) *carriedText {
	if t, ok := k.texts.Load(in.name); ok {
		return t.(*carriedText)
	}
	t := &carriedText{raw: in.raw()}
	var sums []byte
	for line := range bytes.SplitSeq(t.raw, []byte("\n")) {
		n := lineSum(line)
		sums = hex.AppendEncode(append(sums, ' '), []byte{byte(n >> 8), byte(n)})
		if bytes.HasPrefix(line, []byte("-- ")) && bytes.HasSuffix(line, []byte(" --")) {
			t.markers = append(t.markers, t.lines)
		}
		t.lines++
	}
	t.sums = string(sums)
	k.texts.Store(in.name, t)
	return t
}

// jobList writes the job's entry as a list, whichever way it came.
func jobList(j *record.Job) []byte {
	out := []byte("list: packet\njobs:\n")
	lead := "  - "
	for line := range bytes.Lines(j.Raw()) {
		out = append(append(out, lead...), line...)
		lead = "    "
	}
	return out
}

// The lines of the archive's head that are read back.
const (
	programLead = "program: "
	formLead    = "form: "
)

func form(blank bool) string {
	if blank {
		return "blank"
	}
	return "filled"
}

// lineSum tells, with the place of the line, whether it was altered by mistake.
func lineSum(line []byte) uint16 { return uint16(crc32.ChecksumIEEE(line)) }

// Carried is what a packet carries of its inputs.
type Carried struct {
	Program string // name and version of what made the packet
	Blank   bool   // the packet is an empty form
	Job     *record.Job
	Site    fs.FS      // the records and templates used, each line at its own number
	Altered []diag.Pos // lines that are not what they were when the packet was made
}

// Read reads what a packet carries as its inputs. Altered lines that can
// still be read are no error.
func Read(data []byte) (*Carried, error) {
	a := txtar.Parse(data)
	c := &Carried{}
	for line := range strings.Lines(string(a.Comment)) {
		line = strings.TrimRight(line, "\r\n")
		if s, ok := strings.CutPrefix(line, programLead); ok {
			c.Program = s
		}
		c.Blank = c.Blank || line == formLead+form(true)
	}
	files := map[string][]byte{}
	site := &txtar.Archive{}
	for _, f := range a.Files {
		if files[f.Name] != nil {
			return nil, fmt.Errorf("the inputs hold two files named %q", f.Name)
		}
		files[f.Name] = append([]byte{}, f.Data...)
		if f.Name != jobFile && f.Name != sumsFile {
			site.Files = append(site.Files, f)
		}
	}
	if c.Program == "" || files[jobFile] == nil || len(site.Files) == 0 {
		return nil, fmt.Errorf("the inputs do not say the program, the job and the records")
	}
	c.Altered = altered(files)
	list, problems := record.ReadCarried(jobFile, files[jobFile])
	if list == nil || len(list.Jobs) != 1 {
		if len(problems) > 0 {
			return nil, fmt.Errorf("the job's entry cannot be read: %s", problems[0].Message)
		}
		return nil, fmt.Errorf("the inputs hold %s with more than the packet's job", jobFile)
	}
	c.Job = list.Jobs[0]
	c.Job.List = nil // it stands for itself
	var err error
	c.Site, err = txtar.FS(site)
	return c, err
}

// altered compares the lines with their sums.
func altered(files map[string][]byte) []diag.Pos {
	var out []diag.Pos
	for row := range strings.Lines(string(files[sumsFile])) {
		f := strings.Fields(row)
		if len(f) < 3 {
			continue
		}
		var first int
		if _, err := fmt.Sscanf(f[1], "%d", &first); err != nil || first < 1 {
			continue
		}
		lines := bytes.Split(files[f[0]], []byte("\n"))
		for i, want := range f[2:] {
			n := first + i
			if n > len(lines) || fmt.Sprintf("%04x", lineSum(lines[n-1])) != want {
				out = append(out, diag.Pos{File: f[0], Line: n})
			}
		}
	}
	return out
}
