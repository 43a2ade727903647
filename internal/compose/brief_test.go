package compose_test

import (
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// mostSteps is how many steps a procedure may come to for any unit: what is longer is
// not read.
var mostSteps = map[string]int{"rebuild-component-seal": 88, "rebuild-bracket-bushing": 88, "reset-end-clearance": 30}

// TestStepsAreBrief holds what a mechanic reads to its budget, for each unit with each
// built-in procedure that fits it: steps, panels, no panel twice, a few lines a step, few words.
func TestStepsAreBrief(t *testing.T) {
	for name, files := range map[string]fs.FS{"soapworks": os.DirFS("../../samples/soapworks"), "candleworks-us": os.DirFS("../../samples/candleworks-us"), "pressing": os.DirFS("../../testdata/plants/pressing")} {
		s := open(t, files)
		for id, u := range s.book.Units {
			for proc, most := range mostSteps {
				if !s.composer.Fits(u, proc) {
					continue
				}
				p := s.packet(t, id, proc)
				steps, words := 0, 0
				panels := 0
				var warned []string // line by line
				warn := func(a packet.Alert) {
					panels++
					for _, line := range append([]packet.Phrase{a.Text}, a.Lines...) {
						if len(line) > 0 {
							warned = append(warned, strings.Split(line.String(), "\n")...)
						}
					}
				}
				for _, sheet := range p.Sheets {
					for _, b := range sheet.Blocks {
						if b.Alert != nil {
							warn(*b.Alert)
						}
						if b.Step == nil {
							continue
						}
						steps++
						for _, a := range b.Step.Alerts {
							warn(a)
						}
						for _, line := range append([]packet.Phrase{b.Step.Text}, b.Step.How...) {
							n := len(strings.Fields(line.String()))
							words += n
							if n > 45 {
								t.Errorf("%s %s %s, step %s: a line has %d words: %s", name, id, proc, b.Step.Number, n, line.String())
							}
						}
						if len(b.Step.How) > 5 {
							t.Errorf("%s %s %s, step %s has %d lines", name, id, proc, b.Step.Number, len(b.Step.How))
						}
					}
				}
				if steps > most || steps < most/2 || words > 32*most || panels > 25 {
					t.Errorf("%s %s %s: %d steps of at most %d, %d words in them, %d panels", name, id, proc, steps, most, words, panels)
				}
				slices.Sort(warned)
				if one := slices.Compact(slices.Clone(warned)); len(one) != len(warned) {
					t.Errorf("%s %s %s: a panel says what another one says: %q", name, id, proc, warned)
				}
			}
		}
	}
}
