package cli

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/printjob"
)

// elevator is a site with a kind of machine of its own, which holds no liquid.
func elevator(t testing.TB) plant { return plantOf(t, "../../testdata/elevator") }

// plantOf gives the files of a site's folder.
func plantOf(t testing.TB, dir string) plant {
	t.Helper()
	p := plant{}
	site := os.DirFS(dir)
	err := fs.WalkDir(site, ".", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(site, file)
		p[file] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// madeAll gives what each job of a site's lists prints.
func madeAll(t testing.TB, p plant) []printjob.Made {
	t.Helper()
	st := readSite(p.files())
	for _, problem := range st.problems {
		t.Error(problem)
	}
	var out []printjob.Made
	for _, j := range st.jobs() {
		made, err := (&printjob.Maker{Composer: st.composer, Annex: true}).Print(j)
		if err != nil || made.Packet == nil {
			t.Fatal(err, made.Problems)
		}
		for _, problem := range made.Problems {
			t.Error(problem)
		}
		out = append(out, made)
	}
	return out
}

// pdfText gives the text of a PDF.
func pdfText(t testing.TB, pdf []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	text, errs, err := outside("pdftotext", file, "-")
	if err != nil {
		t.Fatalf("%v: %s", err, errs)
	}
	return strings.Join(strings.Fields(string(text)), " ")
}

// A machine without a liquid prints no question about one and asks for nothing that it
// has not; its packet carries its kind, and is proved.
func TestMachineWithoutLiquid(t *testing.T) {
	for _, made := range madeAll(t, elevator(t)) {
		if made.Packet.Needs.Liquid != nil {
			t.Error("a liquid is asked for")
		}
		text := pdfText(t, made.Files[0].Data)
		asks := regexp.MustCompile(`(?i:liquid|flash|boil|data sheet|vent\b|drain|suction|pump|may apply)|NOT ON RECORD`)
		if found := asks.FindAllString(text, -1); found != nil {
			t.Errorf("%s asks: %q", made.Packet.Job.ID, found)
		}
		for _, want := range []string{"north tower", "pinned and locked", "Run the belt through by hand", "Watch the belt at the boot", "Let the load down", "Bleed the air", "A1, G1"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not print %q", made.Packet.Job.ID, want)
			}
		}
		if !slices.ContainsFunc(made.Packet.Parts, func(p packet.Part) bool {
			return p.Name == "machines/bucket-elevator.yaml: machine bucket-elevator"
		}) {
			t.Error("the kind is no part of the fingerprint")
		}
		if r := proof(made.Files[0].Data); !r.Same {
			t.Errorf("the packet is not proved: %+v", r)
		}
	}
}

// What a unit has not is not asked of it: without air nothing is bled.
func TestEnergyThatIsNotHeld(t *testing.T) {
	p := elevator(t)
	p.replace(t, "units/legs.yaml", ", gate_air: true", "")
	p.replace(t, "units/legs.yaml", "  - {point: A1, energy: air, device: valve AV-3 of the inlet gate, where: at the boot, put: closed and locked, prove: gauge PG-3 reads zero, at: inlet gate}\n", "")
	for _, made := range madeAll(t, p) {
		if text := pdfText(t, made.Files[0].Data); strings.Contains(text, "air") && strings.Contains(text, "Bleed") {
			t.Error("air is bled that is not there")
		}
	}
}

// A procedure is refused for a unit of another kind, in words that a planner knows.
func TestProcedureOfAnotherKind(t *testing.T) {
	p := elevator(t)
	p.replace(t, "lists/day.yaml", "tension-the-belt", "reset-end-clearance")
	st := readSite(p.files())
	made, err := (&printjob.Maker{Composer: st.composer}).Print(st.jobs()[0])
	if err != nil || made.Packet != nil {
		t.Fatal(err, "a packet was made")
	}
	want := "job G-1, unit BE-3: procedure reset-end-clearance is for gear-pump, and the unit is of the kind bucket-elevator"
	if len(made.Problems) != 1 || made.Problems[0].Message != want {
		t.Errorf("got %v", made.Problems)
	}
}

// Faults of a kind are told at their line.
func TestFaultsOfAKind(t *testing.T) {
	for name, c := range map[string]struct{ file, old, with, want string }{
		"kind misspelt":     {"designs/leg.yaml", "machine: bucket-elevator", "machine: bucket-elevater", "designs/leg.yaml:3:10"},
		"term of another":   {"units/legs.yaml", "duty: {speed", "duty: {relief_set: 3 bar, speed", "units/legs.yaml:9:8"},
		"term with a range": {"machines/bucket-elevator.yaml", "duty.speed: {what: Speed of the head shaft, kind: speed", "duty.speed: {what: Speed of the head shaft, kind: length", "machines/bucket-elevator.yaml:8:3"},
		"place not there":   {"machines/bucket-elevator.yaml", "at: [boot]", "at: [boots]", "machines/bucket-elevator.yaml:19:58"},
		"energy not there":  {"machines/bucket-elevator.yaml", "energy: gravity, shown", "energy: gravitation, shown", "machines/bucket-elevator.yaml:19:14"},
		"shown by no term":  {"machines/bucket-elevator.yaml", "shown_by: [built.loaded_leg]", "shown_by: [built.loadedleg]", "machines/bucket-elevator.yaml:19:34"},
		"shown by the site": {"machines/bucket-elevator.yaml", "shown_by: [built.loaded_leg]", "shown_by: [site.surroundings]", "machines/bucket-elevator.yaml:19:34"},
		"no such word":      {"machines/bucket-elevator.yaml", "shown_by: [built.loaded_leg]", "shown_by: [{term: unit.tower, is: west}]", "machines/bucket-elevator.yaml:19:57"},
		"no word at all":    {"machines/bucket-elevator.yaml", "shown_by: [built.loaded_leg]", "shown_by: [{term: built.loaded_leg, is: west}]", "machines/bucket-elevator.yaml:19:63"},
		"joint of no step":  {"procedures/takeup.yaml", "bearing, {joints.head.torque}", "bearing", "procedures/takeup.yaml:17:12"},
		"if not there":      {"machines/bucket-elevator.yaml", "if: built.gate_air", "if: built.gate_ear", "machines/bucket-elevator.yaml:16:49"},
		"point elsewhere":   {"units/legs.yaml", "at: boot}", "at: suction}", "units/legs.yaml:13:145"},
		"wanted":            {"units/legs.yaml", ", current: 11", "", "units/legs.yaml:1:1"},
		"kind of procedure": {"procedures/takeup.yaml", "machine: bucket-elevator", "machine: bucket-elevatar", "procedures/takeup.yaml:5:10"},
		"place of steps":    {"procedures/takeup.yaml", "run-in:", "run-on:", "procedures/takeup.yaml:23:3"},
		"relation":          {"units/legs.yaml", "speed: 48 rpm", "speed: 61 rpm", "units/legs.yaml:9:15"},
	} {
		t.Run(name, func(t *testing.T) {
			p := elevator(t)
			p.replace(t, c.file, c.old, c.with)
			st := readSite(p.files())
			var at []string
			for _, problem := range st.problems {
				at = append(at, problem.Pos.String())
			}
			if !slices.Contains(at, c.want) {
				t.Errorf("got %v, want %s", st.problems, c.want)
			}
		})
	}
}
