package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/manifest"
)

// small is the demo site with three units only, of which P-231 is of size 40.
func small(t testing.TB) plant {
	p := demo(t, "soapworks")
	for file := range p {
		switch file {
		case "site.yaml", design, units, liquid, "liquids/caustic.yaml":
		default:
			delete(p, file)
		}
	}
	return p
}

// drop takes out what matches, which is there once or more, after the text `from`.
func (p plant) drop(t testing.TB, file, from, pattern string) {
	t.Helper()
	head, tail, found := strings.Cut(p[file], from)
	re := regexp.MustCompile(`(?m)` + pattern)
	at := re.FindStringIndex(tail)
	if !found || at == nil {
		t.Fatalf("%s: after %q there is no %s", file, from, pattern)
	}
	p[file] = head + from + tail[:at[0]] + tail[at[1]:]
}

// line gives the place of a text that begins exactly one line.
func (p plant) place(t testing.TB, file, text string) string {
	t.Helper()
	at := regexp.MustCompile(`(?m)^ *`+regexp.QuoteMeta(text)).FindAllStringIndex(p[file], -1)
	if len(at) != 1 {
		t.Fatalf("%s: %q begins %d lines", file, text, len(at))
	}
	before := p[file][:at[0][1]-len(text)]
	return fmt.Sprintf("%s:%d:%d", file, strings.Count(before, "\n")+1, len(before)-strings.LastIndexByte(before, '\n'))
}

// gap is a record from which something has been taken away.
type gap struct {
	name      string
	procedure string
	take      func(t *testing.T, p plant)
	names     []string // each has to be named as missing
	only      string   // and all that is named begins so
	file, at  string   // where it belongs: the line that begins so
	prints    string   // what the packet says
	also      string   // a rule that warns of it too
	open      bool     // rules of order hang on it too
	boxes     []string // parts of the names of hatched boxes
}

var gaps = []gap{
	{name: "clearances", procedure: "reset-end-clearance", file: design, at: `"40":`,
		take: func(t *testing.T, p plant) {
			for _, term := range []string{"end_clearance: {set", "tip_clearance", "crescent_clearance", "bushing_clearance"} {
				p.drop(t, design, "\n  \"40\":", `^    `+regexp.QuoteMeta(term)+`.*\n`)
			}
		},
		names: []string{"bushing_clearance", "crescent_clearance", "end_clearance.back_off", "end_clearance.high", "end_clearance.hot", "end_clearance.low", "end_clearance.set", "tip_clearance"},
		only:  "end_clearance. tip_clearance crescent_clearance bushing_clearance",
		boxes: []string{".travel-scribed", ".from-first-drag"}},
	{name: "liquid", procedure: "reset-end-clearance", file: liquid, at: "liquid: glycerine-99", boxes: []string{".breathing-zone-ppm", ".as-found"},
		take: func(t *testing.T, p plant) {
			p[liquid] = "liquid: glycerine-99\nname: Glycerine\nsource: \"from memory\"\nsheet: {issuer: Invented, day: 2025-06-18, revision: \"2\"}\nstatements: []\n"
		},
		open:  true,
		names: []string{"liquid.boiling_point", "liquid.flash_point", "liquid.freezing_point", "liquid.density", "liquid.viscosity.cool", "liquid.viscosity.hot_at", "liquid.ph", "liquid.expansion", "liquid.compressibility"},
		only:  "liquid."},
	{name: "no liquid", procedure: "reset-end-clearance", file: units, at: "unit: P-231",
		take:  func(t *testing.T, p plant) { p.replace(t, units, "liquid: glycerine-99, ", "") },
		open:  true,
		names: []string{"duty.liquid", "liquid.name", "liquid.flash_point"}, only: "duty.liquid liquid."},
	{name: "isolation points", procedure: "reset-end-clearance", file: units, at: "unit: P-231", prints: "Find it at", also: "isolation",
		take: func(t *testing.T, p plant) {
			p.drop(t, units, "\nunit: P-231", `^isolate:\n(  - .*\n)+`)
		},
		names: []string{"piping.drive_point", "piping.suction_point", "piping.vent_point"}, only: "piping."},
	{name: "joints", procedure: "rebuild-component-seal", file: design, at: `"40":`,
		take: func(t *testing.T, p plant) {
			p.drop(t, design, "\n  \"40\":", `^    joints:\n(      .*\n)+`)
		},
		names: []string{"joints.head.count", "joints.head.thread", "joints.housing_face.thread", "joints.seal_holder.thread", "joints.relief_valve.thread"}, only: "joints.", boxes: []string{".torque"}},
	{name: "history", procedure: "rebuild-component-seal",
		take: func(t *testing.T, p plant) {
			p.drop(t, units, "\nunit: P-231", `^history:\n(  - .*\n)+`)
		}},
	{name: "kits", procedure: "rebuild-component-seal", file: design, at: `"40":`, prints: "ASK THE SUPPLIER",
		take: func(t *testing.T, p plant) {
			p.drop(t, design, "\n  \"40\":", `^    kits:\n(      .*\n)+`)
		},
		names: []string{"kits"}, only: "kits"},
	{name: "piping", procedure: "rebuild-component-seal", file: units, at: "unit: P-231",
		take:  func(t *testing.T, p plant) { p.drop(t, units, "\nunit: P-231", `^piping:.*\n`) },
		names: []string{"piping.bore", "piping.between_valves", "piping.wall"}, only: "piping."},
}

var missingName = regexp.MustCompile(`^([a-z0-9_.]+) .*is not on record in`)

// TestGaps takes things away from the records: the packet is printed with NOT ON
// RECORD in their place, and each is named with the place where it belongs.
func TestGaps(t *testing.T) {
	for _, g := range gaps {
		t.Run(g.name, func(t *testing.T) {
			t.Parallel()
			p := small(t).list(strings.Replace(victim, "reset-end-clearance", g.procedure, 1))
			g.take(t, p)
			site, out := filepath.Join(t.TempDir(), "site"), filepath.Join(t.TempDir(), "out")
			p.write(t, site)
			got := jobsheaf("make", "--site", site, "--list", "week", "--out", out, "--json")
			if got.code != exitDone {
				t.Fatalf("exit code %d\n%s%s", got.code, got.out, got.err)
			}
			g.named(t, p, got.out)
			g.hatched(t, out)
		})
	}
}

// named compares the problems of a run, as JSON, with what was taken away.
func (g gap) named(t *testing.T, p plant, out string) {
	t.Helper()
	var report struct {
		Problems []struct {
			At struct {
				File      string
				Line, Col int
			}
			Severity, Rule, Message string
			Open                    bool
		}
	}
	if err := json.Unmarshal([]byte(out), &report); err != nil {
		t.Fatal(err)
	}
	var named []string
	open := false
	for _, q := range report.Problems {
		if q.Severity == "warning" && (g.also != "" && q.Rule == g.also || g.open && q.Open) {
			open = open || q.Open
			continue
		}
		m := missingName.FindStringSubmatch(q.Message)
		if m == nil || q.Severity != "warning" || q.Rule != "not-on-record" {
			t.Errorf("%+v", q)
			continue
		}
		if !strings.Contains(q.Message, "unit P-231") {
			continue // check rehearses the other units too
		}
		named = append(named, m[1])
		if at := fmt.Sprintf("%s:%d:%d", q.At.File, q.At.Line, q.At.Col); at != p.place(t, g.file, g.at) {
			t.Errorf("%s is said to be missing at %s, want %s", m[1], at, p.place(t, g.file, g.at))
		}
		if !slices.ContainsFunc(strings.Fields(g.only), func(lead string) bool { return strings.HasPrefix(m[1], lead) }) {
			t.Errorf("%s is said to be missing", m[1])
		}
	}
	if open != g.open {
		t.Errorf("a rule of order hangs on it: %t", open)
	}
	for _, want := range g.names {
		if !slices.Contains(named, want) {
			t.Errorf("%s is not named as missing; named are %s", want, strings.Join(named, ", "))
		}
	}
}

// hatched compares the packet with what was taken away.
func (g gap) hatched(t *testing.T, out string) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(out, "K-1.json"))
	if err != nil {
		t.Fatal(err)
	}
	m, err := manifest.Decode(raw)
	if err != nil {
		t.Fatal(err)
	}
	var hatched []string
	for _, pg := range m.Pages {
		for _, b := range pg.Boxes {
			if b.Hatched {
				hatched = append(hatched, b.ID)
			}
		}
	}
	if len(hatched) > 0 && len(g.names) == 0 {
		t.Errorf("hatched are %q", hatched)
	}
	for _, want := range g.boxes {
		if !slices.ContainsFunc(hatched, func(id string) bool { return strings.Contains(id, want) }) {
			t.Errorf("%s is not hatched; hatched are %q", want, hatched)
		}
	}
	text, errs, err := outside("pdftotext", "-layout", filepath.Join(out, "K-1.pdf"), "-")
	if err != nil {
		t.Fatalf("%v\n%s", err, errs)
	}
	if n := strings.Count(text, "NOT ON RECORD"); n == 0 != (len(g.names) == 0) || n < len(g.boxes) {
		t.Errorf("NOT ON RECORD is printed %d times", n)
	}
	if !strings.Contains(text, g.prints) {
		t.Errorf("%q is not printed", g.prints)
	}
}

// TestCheckNamesGaps holds that check names what make names, for every unit that
// is of the size.
func TestCheckNamesGaps(t *testing.T) {
	g := gaps[0]
	p := small(t).list(victim, "job: K-3, unit: P-231, procedure: rebuild-component-seal, day: 2026-12-01")
	g.take(t, p)
	site := filepath.Join(t.TempDir(), "site")
	p.write(t, site)
	got := jobsheaf("check", site, "--json")
	if got.code != exitDone {
		t.Errorf("exit code %d", got.code)
	}
	g.named(t, p, got.out)
	// A person hears once of each record, and with --all once of each value, though
	// every procedure wants it.
	got = jobsheaf("check", site)
	if n := strings.Count(got.out, " lacks "); n != 1 || !strings.Contains(got.out, "design ring-gear-b, size 40 lacks "+strconv.Itoa(len(g.names))+" values: ") ||
		!strings.Contains(got.err, "`jobsheaf start --size ring-gear-b 40 --site "+site+"` prints a form to fill in; --all names each\n") {
		t.Errorf("%s%s", got.out, got.err)
	}
	got = jobsheaf("check", site, "--all")
	for _, name := range g.names {
		if n := strings.Count("\n"+got.out, ": warning: "+name+" "); n != 1 {
			t.Errorf("%s is named %d times", name, n)
		}
	}
	if !strings.Contains(got.out, " more job") || !strings.Contains(got.err, "values not on record: put them on record") || !strings.HasSuffix(got.err, "warnings\n") {
		t.Errorf("%s%s", got.out, got.err)
	}
}

// What hangs on a value that is not on record is said once of a rule; what does not, and
// with --all each, stays.
func TestFoldOpen(t *testing.T) {
	at := func(line int) diag.Pos { return diag.Pos{File: "a.yaml", Line: line, Col: 1} }
	list := diag.List{
		{Pos: at(1), Severity: diag.Warning, Rule: "warm-first", Message: "cold at V1", Hint: "warm it", Open: true},
		{Pos: at(2), Severity: diag.Warning, Rule: "warm-first", Message: "cold at V2", Open: true},
		{Pos: at(3), Severity: diag.Error, Rule: "warm-first", Message: "cold at V3"},
		{Pos: at(4), Severity: diag.Warning, Rule: "test-first", Message: "no test", Hint: "test", Open: true},
		{Pos: at(5), Severity: diag.Warning, Rule: "warm-first", Message: "cold at V4", Open: true},
	}
	got := ""
	for _, p := range foldOpen(list) {
		got += p.String() + "\n"
	}
	want := "a.yaml:1:1: warning: cold at V1 (and 2 more); --all names each [warm-first]\na.yaml:3:1: error: cold at V3 [warm-first]\na.yaml:4:1: warning: no test [test-first]\n    hint: test"
	if strings.TrimSpace(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
