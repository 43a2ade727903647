package front

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

var update = flag.Bool("update", false, "write what the sheets say into testdata; read the diff")

// echoes are words that say their own keys, with the places that the real ones
// have for numbers, so that a better wording changes no golden file.
func echoes(t *testing.T) words.Catalogue {
	t.Helper()
	english, problems := words.Load(nil, templates.FS, "en", nil)
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	places := regexp.MustCompile(`\{[a-z]+\}`)
	var pairs []string
	for key, text := range english.All() {
		last := key[strings.LastIndexByte(key, '.')+1:]
		pairs = append(pairs, key, strings.Join(append([]string{"<" + last + ">"}, places.FindAllString(text, -1)...), " "))
	}
	return english.Replace(append(pairs, "compose.decimal_sign", ",")...)
}

// text writes what a sheet says, block by block, for reading.
func text(s packet.Sheet) string {
	var b strings.Builder
	phrase := func(p packet.Phrase) string {
		var parts []string
		for _, x := range p {
			if x.Style != "" {
				parts = append(parts, string(x.Style)+"("+x.Text+")")
			} else {
				parts = append(parts, x.Text)
			}
		}
		return strings.ReplaceAll(strings.Join(parts, ""), "\n", " / ")
	}
	fmt.Fprintf(&b, "== %s: %s\n", s.ID, s.Title)
	for _, k := range s.Blocks {
		if h := k.Heading; h != nil {
			fmt.Fprintf(&b, "# %d %s\n", h.Level, h.Text)
		}
		if a := k.Alert; a != nil {
			fmt.Fprintf(&b, "%s %s: %s\n", a.Signal, a.Word, phrase(a.Text))
		}
		if l := k.List; l != nil {
			for _, it := range l.Items {
				fmt.Fprintf(&b, "* %s\n", phrase(it.Text))
			}
		}
		if h := k.Hazard; h != nil {
			fmt.Fprintf(&b, "hazard %s, %s, %v, %v, %s\n", h.Liquid, h.Signal, h.Pictograms, h.Statements, phrase(h.Source))
		}
		for _, f := range k.Figures {
			fmt.Fprintf(&b, "figure %s %v %v %v %v\n", f.Name, f.Texts, f.Lists, f.Series, f.Numbers)
		}
		if len(k.Figures) > 0 {
			b.WriteString("--\n")
		}
		if t := k.Table; t != nil {
			fmt.Fprintf(&b, "table %s: %s\n", t.ID, t.Title)
			for i, c := range t.Columns {
				fmt.Fprintf(&b, "%s%s %g", map[bool]string{true: " | "}[i > 0], c.Title, c.Weight)
				if c.Right {
					b.WriteString(" right")
				}
				if c.Least > 0 {
					fmt.Fprintf(&b, " at least %g mm", c.Least)
				}
			}
			b.WriteString(map[bool]string{true: " small"}[t.Small] + "\n")
			for _, r := range t.Rows {
				if r.Group != "" {
					fmt.Fprintf(&b, "  [%s]", r.Group)
				}
				for i, c := range r.Cells {
					b.WriteString(map[bool]string{true: " | ", false: "  "}[i > 0] + phrase(c.Text))
					for _, k := range c.Blanks {
						fmt.Fprintf(&b, "_%s %s %d_", k.ID, k.Kind, k.Characters)
					}
				}
				b.WriteString("\n")
			}
			if t.Note != nil {
				fmt.Fprintf(&b, "note %s\n", phrase(t.Note))
			}
		}
	}
	return b.String()
}

// works is a run of two crews with a bit of everything that front matter can say.
func works(t *testing.T) (*Run, []Job, []Refused, []Withdrawal) {
	oil := func(item, text string) packet.Supply { return packet.Supply{Item: item, Amount: written(t, text)} }
	lye := &packet.Hazard{Signal: "Danger", Liquid: "Lye", Pictograms: []string{"GHS05"}, Statements: []packet.Statement{{Code: "H314", Text: "Burns"}},
		Condition: packet.Phrase{{Text: "60 °C", Entry: "duty.temperature"}}, Source: packet.Say("sheet of 2025")}
	water := &packet.Hazard{Liquid: "Water", Condition: packet.Say("20 °C")}
	starter := packet.Lock{Point: "E1", Energy: "electrical", Device: "starter", Where: "MCC-1", Put: "open", Prove: "try it", Last: true}
	needs := []packet.Needs{
		{Kits: []packet.Kit{{Kit: "Seal kit", Number: "S-1", Items: []string{"rings", "gasket"}}}, Supplies: []packet.Supply{oil("Oil", "0.25 L"), oil("Grease", "20 g"), {Item: "Rags"}},
			Parts: []packet.Item{{Item: "Idler pin"}}, Tools: []packet.Item{{Item: "Hammer"}, {Item: "Torch"}}, Containers: []packet.Item{{Item: "Pail, 10 L"}},
			Instruments: []packet.Instrument{{Name: "outside micrometer", Resolution: []packet.Amount{*written(t, "0.01 mm"), *written(t, "0.0005 in")}, Uncertainty: written(t, "0.004 mm")}},
			Locks:       []packet.Lock{starter, {Point: "V1", Energy: "liquid", Device: "valve", Put: "closed"}}, Liquid: lye,
			Dangers: []string{"It starts by itself.", "Burns skin."}, Due: []packet.Due{{Part: "idler pin: Diameter", Month: "2026-10"}, {Part: "head: Face"}}},
		{KitsUnknown: true, Tools: []packet.Item{{Item: "Torch"}}, Supplies: []packet.Supply{oil("Grease", "5 mL")}, Instruments: []packet.Instrument{{Name: "eye", Counts: true, Resolution: []packet.Amount{*written(t, "1")}}},
			Locks: []packet.Lock{{Energy: "heat", Missing: true}}, Liquid: water, Lacks: 3, Dangers: []string{"It starts by itself."}},
	}
	job := func(id, unit, area, day, crew string, people, hours float64, n int) Job {
		return Job{Job: id, Unit: unit, UnitName: "pump " + unit, Area: area, Procedure: "rebuild", Title: "Rebuild", Day: day, Crew: crew, People: people, Hours: hours, Pages: 10, Fingerprint: "ABCD", Needs: &needs[n]}
	}
	jobs := []Job{
		job("A", "P-1", "Hall", "2026-11-30", "day", 2, 4, 0), job("B", "P-2", "Hall", "2026-11-30", "day", 1, 2.5, 1), job("C", "P-1", "Hall", "2026-11-30", "late", 1, 1, 0),
		job("D", "P-3", "", "2026-12-01", "day", 2, 4, 0), job("E", "P-4", "Yard", "2026-12-01", "", 0, 0, 1),
	}
	refused := []Refused{
		{Job: "R", Unit: "P-9", Day: "2026-12-01", Crew: "day", Cause: InList, Reasons: []string{"no such unit", "a ≠ 中 ж ’ é ~"}, At: diag.Pos{File: "l.csv", Line: 3}},
		{Reasons: []string{"an empty row"}}, {Job: "S", Cause: InProcedure}, {Job: "T", Day: "2027-03-01", Reasons: []string{"of another week"}},
	}
	withdraw := []Withdrawal{
		{Job: "X", Unit: "P-1", Day: "2026-11-30", Crew: "day", Fingerprint: "11", Print: "print/x.pdf", PrintFingerprint: "22", Cancelled: true, Files: []string{"X.pdf", "X.json"}},
		{Job: "Y", Files: []string{"Y.pdf"}},
	}
	return &Run{Program: "test", List: "week-49", Look: Look{Site: "Works", Paper: "A4", Language: "en", System: "metric"}, Crews: []Crew{{"day", 10.5}, {"late", 0.75}}, Words: echoes(t)}, jobs, refused, withdraw
}

// What the sheets of a week and of a crew's day say, word for word.
func TestSheets(t *testing.T) {
	run, jobs, refused, withdraw := works(t)
	weeks := slices.Collect(Weeks(run, jobs, refused, withdraw))
	if len(weeks) != 2 || weeks[0].From != "2026-11-30" || weeks[0].To != "2026-12-01" || weeks[1].Week != "2027-W09" {
		t.Fatalf("%d weeks", len(weeks))
	}
	round := Round(run, "2026-12-01", "day", jobs[3:4], refused[:1])
	quiet := Round(run, "2026-12-01", "", jobs[4:], nil)
	if alone := slices.Collect(Weeks(run, nil, nil, withdraw)); len(alone) != 1 || alone[0].Week != "" || len(alone[0].Withdraw) != 2 {
		t.Errorf("what is to be withdrawn with no job printed is in %d weeks", len(alone))
	}
	if none := slices.Collect(Weeks(run, nil, nil, nil)); len(none) != 0 {
		t.Errorf("nothing at all is in %d weeks", len(none))
	}
	three := Round(run, "2026-11-30", "day", jobs[:3], nil)
	for name, f := range map[string]*Front{"week": &weeks[0], "three_jobs": &three, "refused_only": &weeks[1], "round": &round, "no_crew": &quiet} {
		t.Run(name, func(t *testing.T) {
			pk, problems := f.packet()
			if len(problems) > 0 {
				t.Error(problems)
			}
			got := fmt.Sprintf("%s | %s | %s | %s | revision %s | %s | %s | %s | %s | %s\n", pk.Job.ID, pk.Job.Unit, pk.Job.UnitName, pk.Job.Title, pk.Job.Revision, pk.Job.Day,
				pk.Words.Get("layout.job"), pk.Words.Get("layout.unit"), pk.Words.Get("layout.procedure"), pk.Decimal)
			if id := strings.ToUpper(f.ID()); len(pk.Fingerprint) != 8 || !strings.HasPrefix(id, pk.Fingerprint) {
				t.Errorf("the fingerprint %s is not the beginning of %s", pk.Fingerprint, id)
			}
			for _, s := range pk.Sheets {
				got += text(s)
			}
			golden(t, name, got)
		})
	}
}

// golden holds a text against a file of testdata.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name+".txt")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s: got\n%s", file, got)
	}
}

// The tables of a list of two weeks, as another program reads them.
func TestTables(t *testing.T) {
	run, jobs, refused, withdraw := works(t)
	files := map[string]*bytes.Buffer{}
	tables, err := NewTables(func(name string) (io.Writer, error) {
		files[name] = &bytes.Buffer{}
		return files[name], nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for f := range Weeks(run, jobs, refused, withdraw) {
		tables.Add(&f)
	}
	if err := tables.Close(); err != nil {
		t.Fatal(err)
	}
	var got strings.Builder
	for _, c := range csvTables {
		fmt.Fprintf(&got, "-- %s\n%s", c.name, files[c.name])
	}
	fmt.Fprintf(&got, "-- %s\n%s", jsonTable, files[jsonTable])
	golden(t, "tables", got.String())

	broken := 0
	for _, at := range []string{"jobs.csv", "refused.csv", jsonTable} {
		if _, err := NewTables(func(name string) (io.Writer, error) {
			if name == at {
				return nil, io.ErrShortWrite
			}
			return io.Discard, nil
		}); err == io.ErrShortWrite {
			broken++
		}
		tables, err := NewTables(func(name string) (io.Writer, error) {
			if name == at {
				return full{}, nil
			}
			return io.Discard, nil
		})
		if err != nil {
			t.Fatal(err)
		}
		tables.Add(&Front{Week: "2026-W49"})
		if err := tables.Close(); err != io.ErrShortWrite {
			t.Errorf("%s on a full disk: %v", at, err)
		}
	}
	if broken != 3 {
		t.Errorf("%d of 3 files that cannot be made are told", broken)
	}
}

// full is a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

// The pages of a week, a round and of what changed; amounts that cannot be added
// are told with the list that asks for them.
func TestLayOut(t *testing.T) {
	run, jobs, refused, withdraw := works(t)
	var missing diag.List
	run.Words, missing = words.Load(nil, templates.FS, "en", nil)
	if missing.HasErrors() {
		t.Fatal(missing)
	}
	for _, f := range slices.Collect(Weeks(run, jobs, refused, withdraw)) {
		doc, problems := f.LayOut()
		if problems.HasErrors() || len(doc.Pages) == 0 || doc.ID != f.ID() {
			t.Errorf("%s: %d pages, %v", f.Week, len(doc.Pages), problems)
		}
		var told []string
		for _, p := range problems {
			if p.Rule == "unlike-amounts" {
				told = append(told, p.Pos.String()+": "+p.Message)
			}
		}
		if f.Week == "2026-W49" && (len(told) != 1 || told[0] != "week-49: Grease: the jobs of 2026-W49 ask for amounts of unlike kinds, mass and volume, which are not added") {
			t.Errorf("told are %q", told)
		}
	}
	f := Round(run, "2026-12-01", "day", jobs[3:4], nil)
	one, problems := f.Changes([]Change{{Job: "D", Why: []string{"units/P-3.yaml: unit P-3"}}})
	two, _ := f.Changes([]Change{{Job: "D", Why: []string{"its entry in the list"}}})
	if problems.HasErrors() || len(one.Pages) != 1 || one.ID == two.ID || one.ID == f.ID() {
		t.Errorf("%d pages, %s, %s, %v", len(one.Pages), one.ID, two.ID, problems)
	}
	f.run.Look.Paper = "Napkin"
	if _, problems = f.LayOut(); !problems.HasErrors() || problems[0].Pos.File != "week-49" || !strings.Contains(problems[0].Message, "front matter of 2026-12-01 day, ") {
		t.Errorf("%v", problems)
	}
	run.Words = run.Words.Replace("week.walk.title", "")
	if _, problems := f.packet(); len(problems) != 1 || problems[0].Rule != "missing-word" {
		t.Errorf("a word that the catalogue lacks: %v", problems)
	}
}
