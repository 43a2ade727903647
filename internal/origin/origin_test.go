package origin_test

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/origin"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"

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
		Words:   words.Catalogue{Language: "en"}.Replace("b.word", "two", "a.word", "one"),
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
		"built-in/ghs.yaml: statements", "built-in/machines/gear-pump.yaml: machine gear-pump", "built-in/terms.yaml: terms", "terms.yaml: terms",
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
		"a word":              {made: func(m *origin.Made) { m.Words = m.Words.Replace("a.word", "uno") }, part: "the words"},
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
	m.Texts = &procedure.Texts{Language: "en", Files: []procedure.File{{Path: "texts/en/mine.yaml", Line: 1, Raw: []byte("texts: {}\n")}}}
	m.Words.Own = []words.File{{Path: "words/en.yaml", Line: 1, Raw: []byte("a.word: one\n")}}
	_, parts, archive := of(t, &origin.Keeper{}, m)
	want := map[string]bool{"the program": true, "built-in/instruments.yaml: instrument outside micrometer": true, "built-in/ghs.yaml: statements": true, "built-in/machines/gear-pump.yaml: machine gear-pump": true, "built-in/terms.yaml: terms": true, "built-in/procedures/base.yaml": true}
	for _, p := range parts {
		if origin.CameWithProgram(p.Name) != want[p.Name] {
			t.Errorf("%s: %v", p.Name, !want[p.Name])
		}
	}
	if !origin.CameWithProgram("the words") || origin.CameWithProgram("the words with the site's own") {
		t.Error("words of the site are taken for the program's")
	}
	if got := names(parts); !slices.Equal(got[len(got)-3:], []string{"texts/en/mine.yaml", "words/en.yaml", "the words with the site's own"}) {
		t.Errorf("the last inputs are %q", got[len(got)-3:])
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
	if told != 5 || strings.Count(head, "came with") != 5 || strings.Contains(archive, "-- built-in/") {
		t.Errorf("%d inputs are named:\n%s", told, head)
	}
	m.Words.Own = nil
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
