package origin_test

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"

	"golang.org/x/tools/txtar"
)

// A site in which several records share a file, and one stands in a folder below.
// Unit P-2 and the second liquid are in no packet of P-1.
const units = `# the pumps of the hall

---
unit: P-2
name: Second pump
design: gear-b
size: "20"
---

# the first
unit: P-1
name: First pump
design: gear-a
size: "10"
duty: {liquid: lye}


---
unit: P-3
name: Third pump
design: gear-a
size: "10"
`

const template = `procedure: any
title: Anything
# it does nothing
`

// site loads the site with the built-in records of package record's sound one, after
// changes, each a file, the old text and the new.
func site(t testing.TB, changes ...string) *record.Book {
	t.Helper()
	a, err := txtar.ParseFile("../record/testdata/base.txtar")
	if err != nil {
		t.Fatal(err)
	}
	own, builtin := fstest.MapFS{}, fstest.MapFS{}
	for _, f := range a.Files {
		if in, ok := strings.CutPrefix(f.Name, "builtin/"); ok {
			builtin[in] = &fstest.MapFile{Data: f.Data}
		} else if !strings.HasPrefix(f.Name, "units/") {
			own[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	own["units/all.yaml"] = &fstest.MapFile{Data: []byte(units)}
	own["terms.yaml"] = &fstest.MapFile{Data: []byte("terms:\n  own.thing: {what: A thing of ours, kind: length, from: 1 mm, to: 2 mm}\n")}
	own["instruments/ours.yaml"] = &fstest.MapFile{Data: []byte("# ours\n---\ninstrument: our gauge\nresolution: 0.01 mm\nuncertainty: 0.01 mm\nsource: invented\n")}
	for i := 0; i+2 < len(changes); i += 3 {
		old := string(own[changes[i]].Data)
		if strings.Count(old, changes[i+1]) != 1 {
			t.Fatalf("%s does not hold %q once", changes[i], changes[i+1])
		}
		own[changes[i]] = &fstest.MapFile{Data: []byte(strings.Replace(old, changes[i+1], changes[i+2], 1))}
	}
	book, problems := record.Load(own, builtin, record.Options{})
	for _, p := range problems {
		t.Errorf("%s", p)
	}
	return book
}

// madeOf is what a packet of a job of the week is made from.
func madeOf(book *record.Book, unit string) origin.Made {
	j := *book.Lists["week"].Jobs[0]
	j.Unit.S = unit
	return origin.Made{
		Job: &j, Unit: book.Units[unit], Book: book,
		Instruments: map[string]*record.Instrument{"outside micrometer": book.Instruments["outside micrometer"], "our gauge": book.Instruments["our gauge"]},
		Files: []procedure.File{
			{Path: "built-in/procedures/base.yaml", Line: 1, BuiltIn: true, Raw: []byte("fragment: base\n")},
			{Path: "procedures/mine.yaml", Line: 3, Raw: []byte(template)},
		},
		Words:   map[string]string{"b.word": "two", "a.word": "one"},
		Program: "test 1",
	}
}

// names lists the inputs of a packet in their order.
func names(parts []packet.Part) []string {
	var out []string
	for _, p := range parts {
		out = append(out, p.Name)
	}
	return out
}

// of gives what a packet of madeOf is made from, and fails where something is not carried.
func of(t testing.TB, k *origin.Keeper, m origin.Made) (string, []packet.Part, string) {
	t.Helper()
	fingerprint, parts, archive, problems := k.Of(m)
	for _, p := range problems {
		t.Errorf("%s", p)
	}
	return fingerprint, parts, string(archive)
}

// digest is worked out here apart from the room.
func digest(text string) string {
	h := sha256.Sum256([]byte(text))
	return hex.EncodeToString(h[:])[:16]
}

// The inputs are these, in this order, each with the digest of its own text; the
// fingerprint is taken of their names and digests.
func TestInputsOfAPacket(t *testing.T) {
	book := site(t)
	m := madeOf(book, "P-1")
	fingerprint, parts, _ := of(t, &origin.Keeper{}, m)
	want := []string{
		"the program", "the job's entry", "the form",
		"site.yaml: site mill", "units/all.yaml: unit P-1", "designs/a.yaml: design gear-a", "liquids/lye.yaml: liquid lye",
		"instruments/ours.yaml: instrument our gauge", "built-in/instruments.yaml: instrument outside micrometer",
		"built-in/ghs.yaml: statements", "built-in/terms.yaml: terms", "terms.yaml: terms",
		"built-in/procedures/base.yaml", "procedures/mine.yaml", "the words",
	}
	if got := names(parts); !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	texts := map[string]string{
		"the program": "test 1", "the job's entry": string(m.Job.Raw()), "the form": "filled",
		"units/all.yaml: unit P-1":                    "\n# the first\nunit: P-1\nname: First pump\ndesign: gear-a\nsize: \"10\"\nduty: {liquid: lye}",
		"instruments/ours.yaml: instrument our gauge": "instrument: our gauge\nresolution: 0.01 mm\nuncertainty: 0.01 mm\nsource: invented",
		"procedures/mine.yaml":                        strings.TrimRight(template, "\n"),
		"the words":                                   "a.word\x00one\x00b.word\x00two\x00",
	}
	all := ""
	for _, p := range parts {
		if text, ok := texts[p.Name]; ok {
			if p.Digest != digest(text) {
				t.Errorf("%s: digest %s, want that of %q", p.Name, p.Digest, text)
			}
			delete(texts, p.Name)
		}
		all += p.Name + "\x00" + p.Digest + "\x00"
	}
	if len(texts) > 0 {
		t.Errorf("not among the inputs: %q", texts)
	}
	if want := strings.ToUpper(digest(all)[:8]); fingerprint != want {
		t.Errorf("fingerprint %s, want %s", fingerprint, want)
	}
}

// What a packet is made from decides its fingerprint, each part by its own digest;
// what it does not use, and how the list is written, does not.
func TestWhatTheFingerprintCounts(t *testing.T) {
	before, parts, _ := of(t, &origin.Keeper{}, madeOf(site(t), "P-1"))
	for name, c := range map[string]struct {
		change []string
		made   func(*origin.Made)
		part   string // that alone differs; "" for none
	}{
		"the program":         {made: func(m *origin.Made) { m.Program = "test 2" }, part: "the program"},
		"the form":            {made: func(m *origin.Made) { m.Blank = true }, part: "the form"},
		"the crew":            {change: []string{"lists/week.yaml", "hours: 9 h", "hours: 8 h"}, part: "the job's entry"},
		"another job":         {change: []string{"lists/week.yaml", "job: K-2", "job: K-3"}},
		"how it is written":   {change: []string{"lists/week.yaml", "{job: K-1, unit: P-1, ", "{unit: P-1,  job: \"K-1\", "}},
		"the unit":            {change: []string{"units/all.yaml", "First pump", "Good pump"}, part: "units/all.yaml: unit P-1"},
		"a comment in it":     {change: []string{"units/all.yaml", "# the first", "# one"}, part: "units/all.yaml: unit P-1"},
		"its neighbour":       {change: []string{"units/all.yaml", "Second pump", "Other pump"}},
		"lines at its end":    {change: []string{"units/all.yaml", "lye}\n\n\n", "lye}\n"}},
		"its place":           {change: []string{"units/all.yaml", "# the pumps of the hall\n", "# the pumps\n# of the hall\n"}},
		"the design":          {change: []string{"designs/a.yaml", "issue 1", "issue 2"}, part: "designs/a.yaml: design gear-a"},
		"another design":      {change: []string{"designs/b.yaml", "issue 1", "issue 2"}},
		"the liquid":          {change: []string{"liquids/lye.yaml", "ph: 14", "ph: 13"}, part: "liquids/lye.yaml: liquid lye"},
		"another liquid":      {change: []string{"liquids/water.yaml", "ph: 7", "ph: 8"}},
		"the site":            {change: []string{"site.yaml", "Dial 5555", "Dial 6666"}, part: "site.yaml: site mill"},
		"an instrument":       {change: []string{"instruments/ours.yaml", "source: invented", "source: guessed"}, part: "instruments/ours.yaml: instrument our gauge"},
		"one that is unused":  {change: []string{"instruments/ours.yaml", "source: invented", "source: guessed"}, made: func(m *origin.Made) { delete(m.Instruments, "our gauge") }, part: "-"},
		"a term of the site":  {change: []string{"terms.yaml", "to: 2 mm", "to: 3 mm"}, part: "terms.yaml: terms"},
		"a template":          {made: func(m *origin.Made) { m.Files[1].Raw = []byte("procedure: other\n") }, part: "procedures/mine.yaml"},
		"a built-in template": {made: func(m *origin.Made) { m.Files[0].Raw = []byte("fragment: other\n") }, part: "built-in/procedures/base.yaml"},
		"a word":              {made: func(m *origin.Made) { m.Words = map[string]string{"b.word": "two", "a.word": "uno"} }, part: "the words"},
	} {
		m := madeOf(site(t, c.change...), "P-1")
		if c.made != nil {
			c.made(&m)
		}
		got, now, _ := of(t, &origin.Keeper{}, m)
		if (got == before) != (c.part == "") {
			t.Errorf("%s: fingerprint %s, was %s", name, got, before)
		}
		if c.part == "-" {
			if len(now) != len(parts)-1 || slices.Contains(names(now), "instruments/ours.yaml: instrument our gauge") {
				t.Errorf("%s: is among the inputs", name)
			}
			continue
		}
		for i := range parts {
			if now[i].Name != parts[i].Name || (now[i] == parts[i]) == (now[i].Name == c.part) {
				t.Errorf("%s: input %v, was %v", name, now[i], parts[i])
			}
		}
	}
}

// A keeper that made other packets gives what a new one gives.
func TestKeeperKeepsNoJob(t *testing.T) {
	book := site(t)
	k := &origin.Keeper{}
	for _, unit := range []string{"P-1", "P-3", "P-2", "P-1"} {
		for _, blank := range []bool{false, true} {
			m := madeOf(book, unit)
			m.Blank = blank
			got, parts, archive := of(t, k, m)
			want, fresh, alone := of(t, &origin.Keeper{}, m)
			if got != want || !slices.Equal(parts, fresh) || archive != alone {
				t.Errorf("%s: %s, want %s", unit, got, want)
			}
		}
	}
}

// What came with the program is told by its name, and what the site wrote is not.
func TestWhatCameWithTheProgram(t *testing.T) {
	m := madeOf(site(t), "P-1")
	m.Texts = &procedure.Texts{Language: "en", OwnWords: true, Files: []procedure.File{{Path: "texts/en/mine.yaml", Line: 1, Raw: []byte("texts: {}\n")}}}
	_, parts, archive := of(t, &origin.Keeper{}, m)
	want := map[string]bool{"the program": true, "built-in/instruments.yaml: instrument outside micrometer": true, "built-in/ghs.yaml: statements": true, "built-in/terms.yaml: terms": true, "built-in/procedures/base.yaml": true}
	for _, p := range parts {
		if origin.CameWithProgram(p.Name) != want[p.Name] {
			t.Errorf("%s: %v", p.Name, !want[p.Name])
		}
	}
	if !origin.CameWithProgram("the words") || origin.CameWithProgram("the words with the site's own") {
		t.Error("words of the site are taken for the program's")
	}
	if got := names(parts); !slices.Equal(got[len(got)-2:], []string{"texts/en/mine.yaml", "the words with the site's own"}) {
		t.Errorf("the last inputs are %q", got[len(got)-2:])
	}
	// Of these the packet carries the names and digests.
	head, _, _ := strings.Cut(archive, "-- job.yaml --\n")
	told := 0
	for _, p := range parts {
		if line := "came with the program: " + p.Digest + " " + p.Name + "\n"; strings.Contains(head, line) {
			told++
			if !want[p.Name] || p.Name == "the program" {
				t.Errorf("%s is named in the head", p.Name)
			}
		}
	}
	if told != 4 || strings.Count(head, "came with") != 4 || strings.Contains(archive, "-- built-in/") {
		t.Errorf("%d inputs are named:\n%s", told, head)
	}
	m.Texts.OwnWords = false
	if _, parts, _ = of(t, &origin.Keeper{}, m); parts[len(parts)-1].Name != "the words" {
		t.Errorf("the last input is %q", parts[len(parts)-1].Name)
	}
}

// A form for a unit that is on no record is made without its record.
func TestUnitThatIsNotOnRecord(t *testing.T) {
	m := madeOf(site(t), "P-1")
	m.Unit = &record.Unit{}
	_, parts, _ := of(t, &origin.Keeper{}, m)
	if got := names(parts); got[3] != "site.yaml: site mill" || got[4] != "instruments/ours.yaml: instrument our gauge" {
		t.Errorf("%q", got)
	}
}

// What is carried gives back the program, the job and the site's records, each line
// at its own number and nothing on the others but what parts two records.
func TestArchiveReadsBack(t *testing.T) {
	book := site(t)
	for _, unit := range []string{"P-1", "P-2", "P-3"} {
		m := madeOf(book, unit)
		m.Blank = unit == "P-2"
		_, _, archive := of(t, &origin.Keeper{}, m)
		c, err := origin.Read([]byte(archive))
		if err != nil {
			t.Fatal(err)
		}
		if c.Program != "test 1" || c.Blank != m.Blank || len(c.Altered) > 0 || c.Job.List != nil || string(c.Job.Raw()) != string(m.Job.Raw()) {
			t.Errorf("%s: program %q, blank %v, altered %v, job %q", unit, c.Program, c.Blank, c.Altered, c.Job.Raw())
		}
		all, _ := fs.Glob(c.Site, "*/*")
		top, _ := fs.Glob(c.Site, "*.yaml")
		want := []string{"designs/" + strings.TrimPrefix(book.Units[unit].DesignName.S, "gear-") + ".yaml", "instruments/ours.yaml", "procedures/mine.yaml", "units/all.yaml"}
		if unit == "P-1" {
			want = slices.Insert(want, 2, "liquids/lye.yaml")
		}
		if !slices.Equal(all, want) || !slices.Equal(top, []string{"site.yaml", "terms.yaml"}) {
			t.Errorf("%s carries %q and %q", unit, all, top)
		}
		data, _ := fs.ReadFile(c.Site, "units/all.yaml")
		lines, rec := strings.Split(strings.TrimRight(units, "\n"), "\n"), book.Units[unit]
		got := strings.Split(strings.TrimRight(string(data), "\n"), "\n")
		for i, line := range got {
			at, want := i+1, ""
			switch {
			case at >= rec.Span.First && at <= rec.Span.Last:
				want = lines[i]
			case at == rec.Span.First-1:
				want = "---"
			}
			if line != want {
				t.Errorf("%s: line %d is %q, want %q", unit, at, line, want)
			}
		}
		// A template that begins below the first line of its file is parted likewise.
		if mine, _ := fs.ReadFile(c.Site, "procedures/mine.yaml"); string(mine) != "\n---\n"+template {
			t.Errorf("the template is carried as %q", mine)
		}
	}
}

// Two records of one file stand each at its own lines, in the order of the file,
// whichever of them is named first.
func TestRecordsOfOneFile(t *testing.T) {
	two := madeOf(site(t, "instruments/ours.yaml", "# ours\n---\n", "# ours\n\n---\ninstrument: thin gauge\nresolution: 0.02 mm\nuncertainty: 0.01 mm\nsource: invented\n\n---\n"), "P-1")
	two.Instruments["thin gauge"] = two.Book.Instruments["thin gauge"]
	_, _, text := of(t, &origin.Keeper{}, two)
	c, err := origin.Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	data, _ := fs.ReadFile(c.Site, "instruments/ours.yaml")
	if want := "\n\n---\ninstrument: thin gauge\nresolution: 0.02 mm\nuncertainty: 0.01 mm\nsource: invented\n\n---\ninstrument: our gauge\nresolution: 0.01 mm\nuncertainty: 0.01 mm\nsource: invented\n"; string(data) != want {
		t.Errorf("got\n%s\nwant\n%s", data, want)
	}
}

// Whichever line is altered, added or lost, that line is named and no other.
func TestAlteredLines(t *testing.T) {
	_, _, archive := of(t, &origin.Keeper{}, madeOf(site(t), "P-1"))
	lines := strings.Split(archive, "\n")
	file, at, tried := "", 0, 0
	for i, line := range lines {
		if strings.HasPrefix(line, "-- ") {
			file, at = strings.TrimSuffix(strings.TrimPrefix(line, "-- "), " --"), 0
			continue
		}
		at++
		if file == "" || file == "job.yaml" || file == "sums" || line == "" || line == "---" {
			continue
		}
		tried++
		changed := slices.Clone(lines)
		changed[i] += " "
		c, err := origin.Read([]byte(strings.Join(changed, "\n")))
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if len(c.Altered) != 1 || c.Altered[0].File != file || c.Altered[0].Line != at {
			t.Errorf("altered is %s:%d, said is %v", file, at, c.Altered)
		}
	}
	if tried < 60 {
		t.Errorf("only %d lines were altered", tried)
	}
	// The last line of a file is lost.
	lost := strings.Replace(archive, "uncertainty: 0.01 mm\nsource: invented\n", "uncertainty: 0.01 mm\n", 1)
	if c, err := origin.Read([]byte(lost)); err != nil || len(c.Altered) != 1 || c.Altered[0].String() != "instruments/ours.yaml:6" {
		t.Errorf("a line is lost: %v, %v", c.Altered, err)
	}
}

// The sums themselves may be damaged: what cannot be read of them is passed over, and
// the rest is still held.
func TestDamagedSums(t *testing.T) {
	const head, job, records = "program: x\n", "-- job.yaml --\nlist: a\njobs: [{job: a, unit: b, procedure: c, day: 2025-01-01}]\n", "-- site.yaml --\none\ntwo\n"
	read := func(sums string) string {
		c, err := origin.Read([]byte(head + job + records + "-- sums --\n" + sums))
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(c.Altered)
	}
	right := map[string]string{"one": "", "two": ""}
	for line := range right {
		// A packet that carries the line tells its sum.
		m := madeOf(site(t), "P-1")
		m.Files = []procedure.File{{Path: "procedures/x.yaml", Line: 2, Raw: []byte(line + "\n")}}
		_, _, archive := of(t, &origin.Keeper{}, m)
		_, after, ok := strings.Cut(archive, "\nprocedures/x.yaml 2 ")
		if !ok {
			t.Fatalf("no sum of %q in\n%s", line, archive)
		}
		right[line], _, _ = strings.Cut(after, "\n")
	}
	a, b := right["one"], right["two"]
	if len(a) != 4 || len(b) != 4 || a == b {
		t.Fatalf("sums %q and %q", a, b)
	}
	for sums, want := range map[string]string{
		"site.yaml 1 " + a + " " + b + "\n":                     "[]",
		"site.yaml 2 " + b + "\n":                               "[]",
		"site.yaml 2 " + b:                                      "[]",
		"site.yaml 1 " + b + " " + b + "\n":                     "[site.yaml:1]",
		"site.yaml 1 " + a + " " + a + "\n":                     "[site.yaml:2]",
		"site.yaml 1 " + b + " " + a + "\n":                     "[site.yaml:1 site.yaml:2]",
		"site.yaml 9 " + a + "\n":                               "[site.yaml:9]",
		"site.yaml 0 " + b + "\n":                               "[]",
		"site.yaml -1 " + b + "\n":                              "[]",
		"site.yaml one " + b + "\n":                             "[]",
		"site.yaml 1\n":                                         "[]",
		"\n\nsite.yaml\nsite.yaml 0 0\nsite.yaml 1 " + b + "\n": "[site.yaml:1]",
		"gone.yaml 1 " + a + "\n":                               "[gone.yaml:1]",
		"":                                                      "[]",
	} {
		if got := read(sums); got != want {
			t.Errorf("%q: altered are %s, want %s", sums, got, want)
		}
	}
}

// A template on the first line of its file, and one that begins with the line that
// parts it, are carried as they are.
func TestTemplatesAtTheHead(t *testing.T) {
	for _, c := range []struct {
		line       int
		text, want string
	}{
		{1, "fragment: a\n\n\n", "fragment: a\n"}, {2, "fragment: a", "---\nfragment: a\n"},
		{2, "--- # ours\nfragment: a\n", "\n--- # ours\nfragment: a\n"}, {4, "fragment: a\nb: c\n", "\n\n---\nfragment: a\nb: c\n"},
	} {
		m := madeOf(site(t), "P-1")
		m.Files = []procedure.File{{Path: "procedures/x.yaml", Line: c.line, Raw: []byte(c.text)}}
		_, _, archive := of(t, &origin.Keeper{}, m)
		in, err := origin.Read([]byte(archive))
		if err != nil || len(in.Altered) > 0 {
			t.Fatal(err, in.Altered)
		}
		if got, _ := fs.ReadFile(in.Site, "procedures/x.yaml"); string(got) != c.want {
			t.Errorf("%q on line %d is carried as %q", c.text, c.line, got)
		}
	}
}

// What is not whole is refused with what it lacks.
func TestReadRefuses(t *testing.T) {
	const (
		head = "program: x\n"
		job  = "-- job.yaml --\nlist: a\njobs:\n  - {job: a, unit: b, procedure: c, day: 2025-01-01}\n"
		site = "-- site.yaml --\nsite: x\n"
	)
	lacks := "do not say the program, the job and the records"
	for text, want := range map[string]string{
		head + job + site:           "",
		job + site:                  lacks,
		"program: \n" + job + site:  lacks,
		head + site:                 lacks,
		head + job:                  lacks,
		head + job + "-- sums --\n": lacks,
		"":                          lacks,
		head + job + site + site:    `two files named "site.yaml"`,
		head + job + job + site:     `two files named "job.yaml"`,
		head + job + site + "-- sums --\n-- sums --\n":                               `two files named "sums"`,
		head + job + "  - {job: b, unit: b, procedure: c, day: 2025-01-01}\n" + site: "more than the packet's job",
		head + "-- job.yaml --\nlist: a\njobs: [\n" + site:                           "the job's entry cannot be read",
		head + "-- job.yaml --\nunit: a\n" + site:                                    "the job's entry cannot be read",
	} {
		c, err := origin.Read([]byte(text))
		switch {
		case want == "" && (err != nil || c.Job.ID.S != "a" || c.Program != "x" || c.Blank):
			t.Errorf("%q: %v", text, err)
		case want != "" && (err == nil || c != nil || !strings.Contains(err.Error(), want)):
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	for text, want := range map[string]bool{"form: blank\n": true, "form: filled\n": false, "form: blank\nform: filled\n": true, "form: blank\r\n": true, "": false} {
		if c, err := origin.Read([]byte(head + text + job + site)); err != nil || c.Blank != want || c.Program != "x" {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// A line that would be taken for the name of a file within the packet is told at its
// place in the site; what only resembles one is carried.
func TestLinesLikeTheNameOfAFile(t *testing.T) {
	for text, want := range map[string]string{
		"a: b\n-- x --\n":            "procedures/mine.yaml:8:1",
		"-- x --\na: b\n-- y --\n":   "procedures/mine.yaml:7:1 procedures/mine.yaml:9:1",
		"a: b\n\n\n-- x --\nc: d\n":  "procedures/mine.yaml:10:1",
		"a: b\n -- x --\n":           "",
		"a: b\n-- x\ny --\n--x --\n": "",
		"a: b\n-- x -- \n":           "",
	} {
		m := madeOf(site(t), "P-1")
		m.Files = []procedure.File{{Path: "procedures/mine.yaml", Line: 7, Raw: []byte(text)}}
		_, _, _, problems := (&origin.Keeper{}).Of(m)
		var got []string
		for _, p := range problems {
			if p.Rule != "not-carried" {
				t.Errorf("%s", p)
			}
			got = append(got, p.Pos.String())
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
