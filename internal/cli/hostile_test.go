package cli

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// look is a procedure of a site's own that prints quickly; the neighbour's job.
const look = `procedure: look-over
title: Look over
revision: "1"
language: en
people: 1
hours: 1 h
scope: [Look the pump over.]
stages:
  - stage: Look
    steps:
      - do: Read the nameplate of {unit.name}.
        blanks: [{label: Serial read, kind: words}]
`

const (
	victim    = "job: K-1, unit: P-231, procedure: reset-end-clearance, day: 2026-11-30, crew: late"
	neighbour = "job: K-2, unit: P-402, procedure: look-over, day: 2026-11-30, crew: late"
)

// A hostile record spoils the demo site in one way. The sign « in the new text
// marks where the error has to point; it is taken out before the text is written.
type hostile struct {
	name      string
	file      string
	old       string // "" for the whole file
	with      string
	rule      string
	says      string
	atFile    bool                            // the error is of the file as a whole
	bothStop  bool                            // what is spoilt is what every job depends on
	unit      string                          // whose design size is spoilt
	otherwise func(t *testing.T, site string) // spoils what is not the text of a file
}

const (
	units  = "units/saponification.yaml" // of the victim
	design = "designs/ring-gear-b.yaml"
	liquid = "liquids/glycerine.yaml"
	list   = "lists/week.yaml"
)

func hostiles() []hostile {
	long := strings.Repeat("a", 1<<20)
	job := func(id string) string { return strings.Replace(victim, "job: K-1", "job: "+id, 1) }
	return []hostile{
		// Units and numbers.
		{name: "no unit", file: units, old: "between_valves: 2.1 m", with: "between_valves: 2.1«", rule: "quantity"},
		{name: "unit of nothing", file: units, old: "between_valves: 2.1 m", with: "between_valves: 2.1 «furlongs", rule: "quantity"},
		{name: "wrong dimension", file: units, old: "between_valves: 2.1 m", with: "between_valves: 2.1 «kg", rule: "quantity"},
		{name: "negative length", file: units, old: "between_valves: 2.1 m", with: "between_valves: «-2.1 m", rule: "range", says: "outside the range"},
		{name: "huge number", file: units, old: "speed: 350 rpm", with: "speed: «1e300 rpm", rule: "quantity", says: "too large"},
		{name: "number beyond numbers", file: units, old: "speed: 350 rpm", with: "speed: «1e999 rpm", rule: "quantity"},
		{name: "NaN", file: units, old: "speed: 350 rpm", with: "speed: «NaN rpm", rule: "quantity"},
		{name: "infinity", file: units, old: "speed: 350 rpm", with: "speed: «.inf rpm", rule: "quantity"},
		{name: "number of a million digits", file: units, old: "speed: 350 rpm", with: "speed: «" + strings.Repeat("9", 1000) + " rpm", rule: "quantity"},
		{name: "decimal comma", file: units, old: "outlet: 5 bar", with: "outlet: '«5,0 bar'", rule: "quantity"},
		{name: "thousands", file: units, old: "speed: 350 rpm", with: "speed: 1 «350 rpm", rule: "quantity"},
		{name: "below absolute zero", file: units, old: "temperature: 45 degC, inlet: 0.1 bar, outlet: 5", with: "temperature: «-300 degC, inlet: 0.1 bar, outlet: 5", rule: "quantity"},
		{name: "expression", file: units, old: "speed: 350 rpm", with: "speed: 2«*175 rpm", rule: "quantity"},
		{name: "negative size", unit: "P-118", file: design, old: "housing: {diameter: 72 mm", with: "housing: {diameter: «-72 mm", rule: "range"},
		{name: "nought", unit: "P-122", file: design, old: "housing: {diameter: 85 mm", with: "housing: {diameter: «0 mm", rule: "range"},
		{name: "swapped limits", unit: "P-231", file: design, old: "set: 0.07 mm, low: 0.06 mm, high: 0.10 mm", with: "set: 0.07 mm, low: «0.10 mm, high: 0.06 mm", rule: "limits"},
		{name: "swapped band", unit: "P-215", file: design, old: "torque: 70..96 N.m", with: "torque: «96..70 N.m", rule: "quantity"},
		{name: "bolts of no thread", unit: "P-305", file: design, old: "head: {count: 8, thread: M16, circle: 264 mm}", with: "head: {count: 8, thread: «M16x99, circle: 264 mm}", rule: "unknown-word"},
		{name: "half a bolt", unit: "P-401", file: design, old: "head: {count: 12, thread: M16, circle: 314 mm}", with: "head: {count: «12.5, thread: M16, circle: 314 mm}", rule: "quantity"},

		// Names.
		{name: "unknown design", file: units, old: "size: \"40\"\nserial: RB40-1127", with: "size: «\"41\"\nserial: RB40-1127", rule: "unknown-name", says: "is not on record"},
		{name: "unknown liquid", file: units, old: "liquid: glycerine-99", with: "liquid: «glycerine-98", rule: "unknown-name", says: "is not on record"},
		{name: "unknown statement", file: liquid, old: "statements: []", with: "statements: [«H999]", rule: "unknown-name"},
		{name: "unknown key", file: units, old: "area: Saponification\ndesign: ring-gear-b\nsize: \"40\"", with: "«aria: Saponification\ndesign: ring-gear-b\nsize: \"40\"", rule: "unknown-key", says: "aria"},
		{name: "key twice", file: units, old: "serial: RB40-1127", with: "serial: RB40-1127\n«serial: RB40-1128", rule: "duplicate-key"},
		{name: "unit twice", file: "units/more.yaml", with: "«unit: P-231\nname: Another\ndesign: ring-gear-b\nsize: \"40\"\n", rule: "duplicate", says: "two records"},
		{name: "unit of a job not on record", file: list, old: "unit: P-231", with: "unit: «P-999", rule: "unknown-name"},
		{name: "procedure of a job not on record", file: list, old: "procedure: reset-end-clearance", with: "procedure: «reset-end-clearence", rule: "unknown-name"},
		{name: "procedure for other units", file: list, old: "unit: P-231, procedure: reset-end-clearance", with: "unit: P-231, procedure: «for-none", rule: "wrong-procedure",
			otherwise: func(t *testing.T, site string) {
				spoil(t, site, "procedures/for-none.yaml", strings.NewReplacer("look-over", "for-none", "language: en", "language: en\nfor: built.seal == \"packing\"").Replace(look))
			}},
		{name: "job twice", file: list, old: "{" + victim + "}", with: "{" + victim + "}\n  - {job: «K-1, unit: P-402, procedure: look-over, day: 2026-11-30}", rule: "twice"},
		{name: "job twice but for capitals", file: list, old: "{" + victim + "}", with: "{" + victim + "}\n  - {job: «k-1, unit: P-402, procedure: look-over, day: 2026-11-30}", rule: "twice"},
		{name: "no such day", file: list, old: "procedure: reset-end-clearance, day: 2026-11-30", with: "procedure: reset-end-clearance, day: «2026-02-30", rule: "day"},

		// Paths in names.
		{name: "job up", file: list, old: victim, with: job("«../x"), rule: "name", says: "another folder"},
		{name: "job from the root", file: list, old: victim, with: job("«/etc/x"), rule: "name", says: "another folder"},
		{name: "job in a folder", file: list, old: victim, with: job("«a/b"), rule: "name", says: "another folder"},
		{name: "job behind a backslash", file: list, old: victim, with: job(`«a\b`), rule: "name", says: "another folder"},
		{name: "job of two points", file: list, old: victim, with: job("«.."), rule: "name"},
		{name: "job of one point", file: list, old: victim, with: job("«."), rule: "name"},
		{name: "hidden job", file: list, old: victim, with: job("«.x"), rule: "name"},
		{name: "job on a drive", file: list, old: victim, with: job(`'«C:x'`), rule: "name"},
		{name: "job of a device", file: list, old: victim, with: job("«CON"), rule: "name", says: "device"},
		{name: "job of a device with an ending", file: list, old: victim, with: job("«nul.pdf"), rule: "name", says: "device"},
		{name: "job with NUL", file: list, old: victim, with: job(`"K-1«\0"`), rule: "character"},
		{name: "job with a newline", file: list, old: victim, with: job(`"«K-1\nx"`), rule: "name"},
		{name: "job in look-alikes", file: list, old: victim, with: job("«К-1"), rule: "name"},           // Cyrillic К
		{name: "job with a joiner", file: list, old: victim, with: job("K-«\u200b1"), rule: "character"}, // zero width space
		{name: "job backwards", file: list, old: victim, with: job("K-«\u202e1"), rule: "character"},
		{name: "job with a full-width slash", file: list, old: victim, with: job("..«\uff0fx"), rule: "glyph"},
		{name: "job like an option", file: list, old: victim, with: job("«-rf"), rule: "name"},
		{name: "job of a shell", file: list, old: victim, with: job("«$(id)"), rule: "name"},
		{name: "job too long", file: list, old: victim, with: job("«" + strings.Repeat("K", 300)), rule: "name"},
		{name: "empty job", file: list, old: victim, with: job(`«""`), rule: "empty"},
		{name: "tag up", file: units, old: "unit: P-231", with: "unit: «../P-231", rule: "name"},

		// Texts.
		{name: "text of 1 MB", file: units, old: "name: Glycerine recovery pump", with: "name: «" + long[:len(long)-20000], rule: "size"},
		{name: "key of 1 MB", file: units, old: "area: Saponification\ndesign: ring-gear-b\nsize: \"40\"", with: long[:len(long)-20000] + ": x\ndesign: ring-gear-b\nsize: \"40\"", rule: "yaml"},
		{name: "file over 1 MB", file: units, with: "unit: P-231\nname: " + long, rule: "size", atFile: true},
		{name: "point too long for the sketch", file: units, old: "point: E1", with: "point: «MOTOR-STARTER-7", rule: "room", says: "15 characters"},
		{name: "device too long for the sketch", file: units, old: "device: motor starter 22", with: "device: «" + long[:200], rule: "room", says: "characters"},
		{name: "missing glyph", file: units, old: "name: Glycerine recovery pump", with: "name: Glycerine «漢 pump", rule: "glyph"},
		{name: "missing glyph beyond U+FFFF", file: units, old: "name: Glycerine recovery pump", with: "name: Glycerine «😀 pump", rule: "glyph"},
		{name: "control character", file: units, old: "name: Glycerine recovery pump", with: "name: \"Glycerine «\\e[2J pump\"", rule: "character"},
		{name: "NUL in the file", file: units, old: "name: Glycerine recovery pump", with: "name: Glycerine «\x00 pump", rule: "encoding"},
		{name: "Latin-1", file: units, old: "name: Glycerine recovery pump", with: "name: Pompe «\xe0 glyc\xe9rine", rule: "encoding"},
		{name: "UTF-16", file: units, with: "\xff\xfeu\x00n\x00i\x00t\x00:\x00 \x00P\x00-\x002\x003\x001\x00\n\x00", rule: "encoding", atFile: true},
		{name: "binary", file: units, with: "«\x7fELF\x02\x01\x01\x00\x00\x00\xfe\xfe\xca", rule: "encoding"},
		{name: "empty file", file: units, with: "", rule: "empty", atFile: true},
		{name: "nothing but remarks", file: units, with: "# unit: P-231\n", rule: "empty", atFile: true},

		// YAML.
		{name: "alias bomb", file: units, with: "unit: P-231\na: «&a [x, x, x, x, x, x, x, x, x]\nb: &b [*a, *a, *a, *a, *a, *a, *a, *a, *a]\nc: &c [*b, *b, *b, *b, *b, *b, *b, *b, *b]\nd: &d [*c, *c, *c, *c, *c, *c, *c, *c, *c]\ne: &e [*d, *d, *d, *d, *d, *d, *d, *d, *d]\nf: &f [*e, *e, *e, *e, *e, *e, *e, *e, *e]\ng: [*f, *f, *f, *f, *f, *f, *f, *f, *f]\n", rule: "alias"},
		{name: "alias of itself", file: units, old: "name: Glycerine recovery pump", with: "name: «&n [*n]", rule: "alias"},
		{name: "merge key", file: units, old: "area: Saponification\ndesign: ring-gear-b\nsize: \"40\"", with: "«<<: {area: x}\ndesign: ring-gear-b\nsize: \"40\"", rule: "alias"},
		{name: "tag", file: units, old: "name: Glycerine recovery pump", with: "name: «!!binary R2x5", rule: "tag"},
		{name: "deep", file: units, old: "name: Glycerine recovery pump", with: "name: " + strings.Repeat("[", 11) + "«" + strings.Repeat("[", 40) + "x" + strings.Repeat("]", 51), rule: "depth"},
		{name: "very deep", file: units, old: "name: Glycerine recovery pump", with: "name: " + strings.Repeat("[", 20000), rule: "yaml", says: "depth"},
		{name: "unclosed quote", file: units, old: "name: Glycerine recovery pump", with: "name: \"Glycerine recovery pump", rule: "yaml"},
		{name: "tab", file: units, old: "piping: {bore: 52.5 mm, wall: 3.9 mm, between_valves: 2.1 m, tracing: none}", with: "piping:\n«\tbore: 52.5 mm", rule: "yaml"},
		{name: "list for a mapping", file: units, old: "piping: {bore: 52.5 mm, wall: 3.9 mm, between_valves: 2.1 m, tracing: none}", with: "piping: «[1, 2]", rule: "shape"},
		{name: "nothing behind a key", file: units, old: "name: Glycerine recovery pump", with: "name:«", rule: "empty"},

		// Files.
		{name: "link out of the site", file: units, rule: "file", says: "link", atFile: true, otherwise: func(t *testing.T, site string) {
			name := filepath.Join(site, units)
			away := filepath.Join(t.TempDir(), "away.yaml")
			must(t, os.Rename(name, away))
			must(t, os.Symlink(away, name))
		}},
		{name: "folder for a file", file: "site.yaml", rule: "file", atFile: true, bothStop: true, otherwise: func(t *testing.T, site string) {
			must(t, os.Remove(filepath.Join(site, "site.yaml")))
			must(t, os.Mkdir(filepath.Join(site, "site.yaml"), 0o755))
		}},
		{name: "folder named x.yaml with a spoilt record", file: "units/x.yaml/more.yaml", with: "«unit: P-231\nname: Another\ndesign: ring-gear-b\nsize: \"40\"\n", rule: "duplicate"},
		{name: "no site record", file: "site.yaml", rule: "file", atFile: true, bothStop: true, otherwise: func(t *testing.T, site string) {
			must(t, os.Remove(filepath.Join(site, "site.yaml")))
		}},
		{name: "site with a mistake", file: "site.yaml", old: "paper: A4", with: "paper: «A5", rule: "one-of", bothStop: true},

		// Procedures.
		{name: "misspelt name", file: "procedures/mine.yaml", with: mine("do: Turn to {«travle}."), rule: "unknown-name"},
		{name: "unlike dimensions", file: "procedures/mine.yaml", with: mine("do: Turn {v}.") + "values:\n  v: {what: A, is: 'end_clearance.set «+ duty.temperature', show: 1 mm}\n", rule: "formula-kind"},
		{name: "blank without a unit", file: "procedures/mine.yaml", with: mine("do: Measure.\n        blanks: [«{label: A}]"), rule: "blank-unit"},
	}
}

// mine is a procedure of the victim's own with one step.
func mine(step string) string {
	return strings.Replace(strings.Replace(look, "look-over", "reset-end-clearance", 1), "do: Read the nameplate of {unit.name}.\n        blanks: [{label: Serial read, kind: words}]", step, 1)
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func spoil(t *testing.T, site, file, text string) {
	t.Helper()
	plant{file: text}.write(t, site)
}

// mark takes the sign « out of a text and gives the place that it marked, or the
// file as a whole.
func mark(file, text string) (clean, place string) {
	before, after, marked := strings.Cut(text, "«")
	if !marked {
		return text, file + ":" // the line is the YAML reader's to say
	}
	line := before[strings.LastIndexByte(before, '\n')+1:]
	return before + after, fmt.Sprintf("%s:%d:%d:", file, strings.Count(before, "\n")+1, utf8.RuneCountInString(line)+1)
}

// A trial is a site with hostile records in it, and what is to become of it.
type trial struct {
	p       plant
	said    map[string]hostile // what has to be reported, by the place and the case's name
	refused []string           // the jobs, by their IDs, or where they have none by their place
	cases   []hostile
}

func (tr *trial) expect(h hostile, place, job string) {
	tr.said[place+"\x00"+h.name] = h
	tr.refused = append(tr.refused, job)
	tr.cases = append(tr.cases, h)
}

// TestHostileRecords checks that whatever is wrong in a record is reported with its
// place, that the jobs that lean on it are not printed, and that all others are, as
// if nothing had been. What spoils a record of its own stands side by side with its
// like on one site; the rest is tried one by one.
func TestHostileRecords(t *testing.T) {
	sound := demo(t, "soapworks").list(victim, neighbour)
	sound["procedures/look.yaml"] = look
	good := filepath.Join(t.TempDir(), "site")
	sound.write(t, good)
	out := filepath.Join(t.TempDir(), "out")
	if got := jobsheaf("make", "--site", good, "--list", "week", "--out", out); got.code != 0 || strings.Join(pdfs(t, out), " ") != "K-1 K-2" {
		t.Fatalf("the sound site: %+v", got)
	}
	want := tree(t, out)
	trials := map[string]*trial{}
	in := func(name string) *trial {
		if trials[name] == nil {
			trials[name] = &trial{p: maps.Clone(sound), said: map[string]hostile{}}
		}
		return trials[name]
	}
	cases := hostiles()
	if len(cases) < 40 {
		t.Errorf("%d cases", len(cases))
	}
	own := sound[units][strings.Index(sound[units], "unit: P-231"):]
	own = own[:strings.Index(own, "---\n")]
	jobs := []string{neighbour}
	for i, h := range cases {
		switch {
		case h.file == units && h.otherwise == nil:
			tr, id := in("units"), fmt.Sprintf("H-%d", i)
			p := plant{units: own}
			h.spoil(t, p)
			file := "units/" + id + ".yaml"
			text, place := mark(file, strings.ReplaceAll(p[units], "P-231", id))
			tr.p[file] = text
			tr.expect(h, place, id)
			jobs = append(jobs, strings.NewReplacer("K-1", id, "P-231", id).Replace(victim))
		case h.file == list && h.otherwise == nil && !strings.Contains(h.old, "{"):
			tr := in("jobs")
			if len(tr.cases) == 0 {
				tr.p.list(neighbour)
			}
			p := plant{list: victim}
			h.spoil(t, p)
			text, place := mark(list, "{"+p[list]+"}")
			line := strings.Count(tr.p[list], "\n") + 1
			_, col, _ := strings.Cut(place, ":1:")
			n, err := strconv.Atoi(strings.TrimSuffix(col, ":"))
			must(t, err)
			job := fmt.Sprintf("%s:%d:5", list, line)
			if strings.Contains(text, "job: K-1,") { // its name is sound
				job = fmt.Sprintf("K-%d", 100+i)
				text, n = strings.Replace(text, "K-1", job, 1), n+2
			}
			tr.p[list] += "  - " + text + "\n"
			tr.expect(h, fmt.Sprintf("%s:%d:%d:", list, line, n+4), job)
		case h.unit != "":
			tr := in("sizes")
			h.spoil(t, tr.p)
			var place string
			tr.p[h.file], place = mark(h.file, tr.p[h.file])
			id := "H-" + h.unit
			tr.expect(h, place, id)
			tr.p[list] += "  - {" + strings.NewReplacer("K-1", id, "P-231", h.unit).Replace(victim) + "}\n"
		default:
			tr := in(h.name)
			h.spoil(t, tr.p)
			var place string
			tr.p[h.file], place = mark(h.file, tr.p[h.file])
			tr.expect(h, place, "K-1")
		}
	}
	in("units").p.list(jobs...)
	for name, tr := range trials {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			tr.try(t, want)
		})
	}
}

// spoil does to the site's text what the case says.
func (h hostile) spoil(t *testing.T, p plant) {
	t.Helper()
	switch {
	case h.old != "":
		p.replace(t, h.file, h.old, h.with)
	case h.with != "" || h.otherwise == nil:
		p[h.file] = h.with
	}
}

// try prints the site's list and looks at what was said and written.
func (tr *trial) try(t *testing.T, want map[string]string) {
	around := t.TempDir()
	site, out := filepath.Join(around, "site"), filepath.Join(around, "out")
	tr.p.write(t, site)
	bothStop, sameNeighbour := false, true
	for _, h := range tr.cases {
		if h.otherwise != nil {
			h.otherwise(t, site)
		}
		bothStop = bothStop || h.bothStop
		sameNeighbour = sameNeighbour && h.file != design // all of a design's sizes are in the fingerprint
	}
	before := tree(t, around)
	got := jobsheaf("make", "--site", site, "--list", "week", "--out", out)
	if got.code != exitRefused {
		t.Errorf("exit code %d, want %d", got.code, exitRefused)
	}
	tr.told(t, got.err)
	after := tree(t, around)
	for file, text := range after {
		rel, ours := strings.CutPrefix(file, "out/")
		switch {
		case ours && (bothStop || !strings.HasPrefix(rel, "K-2.")):
			t.Errorf("%s was written", file)
		case ours && text != want[rel] && sameNeighbour:
			t.Errorf("%s differs from that of the sound site", file)
		case !ours && file != "out" && before[file] != text:
			t.Errorf("%s was changed", file)
		}
	}
	if files := len(after) - len(before); !bothStop && files != 3 { // out, K-2.pdf, K-2.json
		t.Errorf("%d files were added, want the packet of the neighbour\n%s", files, got.err)
	}
}

// told checks that a person can use the messages.
func (tr *trial) told(t *testing.T, errs string) {
	t.Helper()
	lines := strings.Split(errs, "\n")
	for place, h := range tr.said {
		place, _, _ = strings.Cut(place, "\x00")
		if !slices.ContainsFunc(lines, func(l string) bool {
			return strings.HasPrefix(l, place) && strings.Contains(l, ": error: ") && strings.Contains(l, h.says) && strings.HasSuffix(l, "["+h.rule+"]")
		}) {
			t.Errorf("%s: nothing is said at %s of %q [%s]; said is:\n%s", h.name, place, h.says, h.rule, errs)
		}
	}
	refused := strings.Split(strings.TrimPrefix(lines[max(0, len(lines)-2)], "refused: "), ", ")
	for _, job := range tr.refused {
		if !slices.Contains(refused, job) {
			t.Errorf("%s is not among the refused: %s", job, refused)
		}
	}
	if len(errs) > 20_000+1000*len(tr.cases) || slices.ContainsFunc(lines, func(l string) bool { return len(l) > 1000 && !strings.HasPrefix(l, "refused") }) {
		t.Errorf("%d characters, too many to read", len(errs))
	}
	for _, r := range errs {
		if r == utf8.RuneError || r != '\n' && r != '\u00a0' && !unicode.IsPrint(r) {
			t.Errorf("the messages hold %q", r)
			break
		}
	}
	if strings.Contains(errs, "goroutine ") || strings.Contains(errs, "panic") || strings.Contains(errs, os.TempDir()) {
		t.Errorf("not for a reader: %s", errs)
	}
}
