package origin_test

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/origin"
	"jobsheaf/internal/procedure"
)

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
