package cli

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/printjob"
)

// library lists the procedures of the library, each with a unit of the demo site whose
// records hold all that it asks for. A new procedure is a row here.
var library = []libraryRow{
	{"align-coupling", "D-902"}, // by rim and face
	{"align-coupling", "D-903"}, // by reverse dials, and it windmills
	{"bench-set-relief-valve", "RV-952"},
	{"change-motor", "D-902"}, // coupled, its hub shrunk on
	{"change-motor", "D-903"}, // coupled, fed by an inverter
	{"change-motor", "F-901"}, // with belts
	{"clean-strainer", "S-951"},
	{"gearbox-oil-and-backlash", "M-801"},
	{"rebuild-bracket-bushing", "P-214"},
	{"rebuild-centrifugal", "P-701"},
	{"rebuild-centrifugal", "P-703"},
	{"rebuild-component-seal", "P-214"},
	{"regrease-bearing", "M-801"},
	{"remake-flanged-joint", "S-951"},
	{"repack-stuffing-box", "P-404"},
	{"repack-stuffing-box", "P-702"},
	{"replace-belts", "F-901"},
	{"replace-cartridge-seal", "P-703"},
	{"replace-thrust-bearing", "P-214"},
	{"reset-end-clearance", "P-231"},
}

type libraryRow struct{ procedure, unit string }

// TestLibrary prints each of them in both languages, on both papers and in both systems:
// nothing is missing from the records, nothing is doubted, and the packet keeps to its
// procedure's own budget of pages.
func TestLibrary(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		for _, paper := range []string{"A4", "Letter"} {
			for _, units := range []string{"metric", "us"} {
				t.Run(strings.Join([]string{language, paper, units}, "/"), func(t *testing.T) {
					t.Parallel()
					printLibrary(t, language, paper, units)
				})
			}
		}
	}
}

func printLibrary(t *testing.T, language, paper, units string) {
	p := demo(t, "soapworks")
	for key, to := range map[string][2]string{"language": {"en", language}, "paper": {"A4", paper}, "units": {"metric", units}} {
		p.replace(t, "site.yaml", key+": "+to[0]+"\n", key+": "+to[1]+"\n")
	}
	var jobs []string
	for i, l := range library {
		jobs = append(jobs, fmt.Sprintf("job: L-%d, unit: %s, procedure: %s, day: 2026-11-%02d", i+1, l.unit, l.procedure, i+1))
	}
	st := readSite(p.list(jobs...).files())
	for _, problem := range st.problems {
		t.Error(problem)
	}
	for i, job := range st.jobs() {
		row := library[i]
		made, err := (&printjob.Maker{Composer: st.composer, Annex: true}).Print(job)
		if err != nil || made.Packet == nil {
			t.Errorf("%s, %s: %v %v", row.procedure, row.unit, err, made.Problems)
			continue
		}
		for _, problem := range made.Problems {
			t.Errorf("%s, %s: %s", row.procedure, row.unit, problem)
		}
		printedTexts(made.Packet, func(field, text string, style packet.Style) {
			if style == packet.Missing {
				t.Errorf("%s, %s: %s prints %q", row.procedure, row.unit, field, text)
			}
		})
	}
}

// TestLibraryIsWhole holds that no built-in procedure is left out of the table.
func TestLibraryIsWhole(t *testing.T) {
	st, _ := inLanguage(t, "soapworks", "en")
	for _, name := range st.library.Names() {
		if !slices.ContainsFunc(library, func(l libraryRow) bool { return l.procedure == name }) {
			t.Errorf("%s is printed for no unit of the demo site: add it to the table", name)
		}
	}
}

// TestRegreaseAtRest prints the bearing that is not regreased as it runs: where the
// site's rule forbids it, or its fitting is behind a guard, it is isolated, and nobody
// is told to work at what turns.
func TestRegreaseAtRest(t *testing.T) {
	for _, change := range []struct{ file, old, new string }{
		{"site.yaml", "grease_running: true", "grease_running: false"},
		{"designs/mixer-gearbox.yaml", "outside_guards: true", "outside_guards: false"},
	} {
		p := demo(t, "soapworks")
		p.replace(t, change.file, change.old, change.new)
		st := readSite(p.list("job: L-1, unit: M-801, procedure: regrease-bearing, day: 2026-11-01").files())
		made, err := (&printjob.Maker{Composer: st.composer}).Print(st.jobs()[0])
		if err != nil || made.Packet == nil {
			t.Fatal(change.new, err, made.Problems)
		}
		text := pdfText(t, made.Files[0].Data)
		if !strings.Contains(text, "Prove zero energy") || strings.Contains(text, "It runs:") || strings.Contains(text, "Regrease it as it runs") {
			t.Errorf("%s: it is not isolated, or worked on as it runs", change.new)
		}
	}
}
