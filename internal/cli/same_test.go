package cli

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"jobsheaf/internal/printjob"
	"jobsheaf/internal/record"
	"jobsheaf/templates"
)

// sameJobs are printed again and again: two sizes, both procedures.
var sameJobs = []string{"K-24818", "K-24821", "K-24827"}

// TestSameBytes prints the same records on other days, in other folders and
// processes, time zones and locales, and with one and two processors.
func TestSameBytes(t *testing.T) {
	dir := t.TempDir()
	site := filepath.Join(dir, "site")
	demo(t, "soapworks").write(t, site)
	print := func(out string) []string {
		return append([]string{"make", "--site", site, "--out", out}, sameJobs...)
	}
	if got := jobsheaf(print(filepath.Join(dir, "first"))...); got.code != exitDone {
		t.Fatal(got.err)
	}
	want := tree(t, filepath.Join(dir, "first"))
	if len(want) != 1+2*len(sameJobs) {
		t.Fatalf("%d files", len(want))
	}
	same := func(t *testing.T, out string) {
		t.Helper()
		got := tree(t, out)
		if !slices.Equal(slices.Sorted(maps.Keys(got)), slices.Sorted(maps.Keys(want))) {
			t.Errorf("files %q", slices.Sorted(maps.Keys(got)))
		}
		for file, text := range want {
			if got[file] != text {
				t.Errorf("%s differs", file)
			}
		}
	}
	// In a bubble of synctest the clock stands at 1 January 2000.
	t.Run("another day", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			time.Sleep(100 * 24 * time.Hour)
			if year := time.Now().Year(); year != 2000 {
				t.Fatalf("the clock stands at %d", year)
			}
			st := readSite(os.DirFS(site))
			for _, j := range st.jobs() {
				if !slices.Contains(sameJobs, j.ID.S) {
					continue
				}
				files := filesOf(t, st, j)
				for name, data := range files {
					if want[name] != data {
						t.Errorf("%s differs", name)
					}
				}
			}
		})
	})
	for _, v := range []struct {
		name string
		env  []string
	}{
		{"one processor, far west", []string{"GOMAXPROCS=1", "TZ=America/St_Johns", "LC_ALL=C", "HOME=/nowhere"}},
		{"two processors, far east, Turkish", []string{"GOMAXPROCS=2", "TZ=Pacific/Kiritimati", "LC_ALL=tr_TR.UTF-8", "LANG=tr_TR.UTF-8"}},
	} {
		t.Run(v.name, func(t *testing.T) {
			other := t.TempDir() // the same records in another folder, seen from within it
			demo(t, "soapworks").write(t, filepath.Join(other, "a b", "works"))
			cmd := exec.Command(filepath.Join(shipped(t), "jobsheaf"), append([]string{"make", "--site", "works", "--out", "out"}, sameJobs...)...)
			cmd.Dir = filepath.Join(other, "a b")
			cmd.Env = append(v.env, "PATH="+os.Getenv("PATH"))
			if out, err := cmd.CombinedOutput(); err != nil {
				t.Fatalf("%v\n%s", err, out)
			}
			same(t, filepath.Join(cmd.Dir, "out"))
		})
	}
}

// TestOnlyHereIsTheClock holds that no other room than this and the one that makes
// progress known asks for the time, the environment or chance.
func TestOnlyHereIsTheClock(t *testing.T) {
	forbidden := map[string]bool{"time.Now": true, "time.Since": true, "time.Until": true, "time.Local": true, "os.Getenv": true, "os.LookupEnv": true, "os.Hostname": true, "os.Getwd": true}
	files := 0
	err := filepath.WalkDir(filepath.Join("..", ".."), func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "cli" || d.Name() == "release" || d.Name() == "testdata"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		files++
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			return err
		}
		for _, imp := range file.Imports {
			// Who is let in at the desk hangs on chance; nothing that is printed comes from there.
			if room := filepath.Base(filepath.Dir(name)); imp.Path.Value == `"crypto/rand"` && (room == "desk" || room == "users") {
				continue
			}
			if imp.Path.Value == `"math/rand"` || imp.Path.Value == `"math/rand/v2"` || imp.Path.Value == `"crypto/rand"` {
				t.Errorf("%s imports %s", name, imp.Path.Value)
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if x, ok := s.X.(*ast.Ident); ok && forbidden[x.Name+"."+s.Sel.Name] {
					t.Errorf("%s: %s.%s", set.Position(n.Pos()), x.Name, s.Sel.Name)
				}
			}
			return true
		})
		return nil
	})
	if err != nil || files < 50 {
		t.Errorf("%d files, %v", files, err)
	}
}

// print gives the fingerprint of the victim's packet.
func (p plant) print(t *testing.T) string {
	t.Helper()
	st := readSite(p.files())
	for _, j := range st.jobs() {
		if j.ID.S != "K-1" {
			continue
		}
		pk, problems := st.composer.Make(j)
		if pk == nil {
			t.Fatal(problems)
		}
		return pk.Fingerprint
	}
	t.Fatal("there is no job K-1")
	return ""
}

// TestFingerprint changes one character of each record that a packet uses, and
// then of all that it does not use.
func TestFingerprint(t *testing.T) {
	sound := small(t).list(victim, neighbour)
	for _, file := range []string{"units/oil-store.yaml", "liquids/oils.yaml"} { // the neighbour's
		sound[file] = demo(t, "soapworks")[file]
	}
	sound["procedures/look.yaml"] = look
	for _, name := range []string{"end-clearance", "bushings"} { // as the built-in ones are
		text, err := fs.ReadFile(templates.FS, "procedures/"+name+".yaml")
		if err != nil {
			t.Fatal(err)
		}
		sound["procedures/"+name+".yaml"] = string(text)
	}
	for _, name := range []string{"feeler gauge", "vernier caliper"} {
		sound["instruments/own.yaml"] += fmt.Sprintf("---\ninstrument: %s\nresolution: 0.01 mm or 0.0005 in\nuncertainty: 0.006 mm\nsource: common practice, no source\n", name)
	}
	want := sound.print(t)
	used := []struct{ file, old, with string }{
		{"site.yaml", "site: soapworks", "site: soapworky"},
		{"site.yaml", "surroundings: 22 degC", "surroundings: 23 degC"},
		{"site.yaml", "emergency: Dial 5555", "emergency: Dial 5556"},
		{units, "name: Glycerine recovery pump", "name: Glycerine recovery punp"},
		{units, "between_valves: 2.1 m", "between_valves: 2.2 m"},
		{units, "serial: RB40-1127", "serial: RB40-1127 "},
		{design, "  \"40\":\n    source: RB-40 sheet 2", "  \"40\":\n    source: RB-40 sheet 3"},
		{design, "end_clearance: {set: 0.07 mm, low: 0.06 mm, high: 0.10 mm", "end_clearance: {set: 0.07 mm, low: 0.05 mm, high: 0.10 mm"},
		{liquid, "density: 1246 kg/m3", "density: 1247 kg/m3"},
		{"instruments/own.yaml", "feeler gauge\nresolution: 0.01 mm or 0.0005 in\nuncertainty: 0.006 mm", "feeler gauge\nresolution: 0.01 mm or 0.0005 in\nuncertainty: 0.007 mm"},
		{"procedures/end-clearance.yaml", "Forcing past the first drag bends the shaft and scores the head.", "Forcing past the first drag bends the shaft and scores the head!"},
		{list, "K-1, unit: P-231, procedure: reset-end-clearance, day: 2026-11-30", "K-1, unit: P-231, procedure: reset-end-clearance, day: 2026-11-29"},
		{list, "K-1, unit: P-231, procedure: reset-end-clearance, day: 2026-11-30, crew: late", "K-1, unit: P-231, procedure: reset-end-clearance, day: 2026-11-30, crew: day"},
	}
	seen := map[string]string{want: "the sound site"}
	for _, u := range used {
		p := maps.Clone(sound)
		p.replace(t, u.file, u.old, u.with)
		got := p.print(t)
		if was, twice := seen[got]; twice {
			t.Errorf("%s: %q has the fingerprint %s of %s", u.file, u.with, got, was)
		}
		seen[got] = u.with
	}
	p := maps.Clone(sound)
	for _, u := range []struct{ file, old, with string }{
		{units, "name: Lye transfer pump", "name: Lye transfer punp"}, // before it in the same file
		{units, "name: Lye day-tank pump", "name: Lye day-tank punp"}, // after it
		{"units/oil-store.yaml", "speed: 320 rpm", "speed: 321 rpm"},
		{"liquids/caustic.yaml", "density: 1497 kg/m3", "density: 1498 kg/m3"},
		{"liquids/oils.yaml", "density: 905 kg/m3", "density: 906 kg/m3"},
		{"instruments/own.yaml", "vernier caliper\nresolution: 0.01 mm or 0.0005 in\nuncertainty: 0.006 mm", "vernier caliper\nresolution: 0.01 mm or 0.0005 in\nuncertainty: 0.007 mm"},
		{"procedures/bushings.yaml", "fragment: bushings", "fragment: bushings # x"},
		{"procedures/look.yaml", "title: Look over", "title: Look oven"},
		{list, "K-2, unit: P-402, procedure: look-over, day: 2026-11-30", "K-2, unit: P-402, procedure: look-over, day: 2026-11-29"},
	} {
		p.replace(t, u.file, u.old, u.with)
	}
	p["lists/another.yaml"] = "list: another\njobs:\n  - {job: K-9, unit: P-402, procedure: look-over, day: 2026-11-30}\n"
	if got := p.print(t); got != want {
		t.Errorf("records that the packet does not use change its fingerprint from %s to %s", want, got)
	}
}

// filesOf gives the files of one job by their names.
func filesOf(t *testing.T, st *site, j *record.Job) map[string]string {
	t.Helper()
	made, err := (&printjob.Maker{Composer: st.composer}).Print(j)
	if err != nil || made.Packet == nil {
		t.Fatal(err, made.Problems)
	}
	files := map[string]string{}
	for _, f := range made.Files {
		files[f.Name] = string(f.Data)
	}
	return files
}
