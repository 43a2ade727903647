package compose_test

import (
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// A number without a dimension stands bare in a sum whose result is in %, with one factor
// of 100 at its end; a reading in % has what is added to it in % too.
func TestBareNumbersOfAShare(t *testing.T) {
	for is, want := range map[string]string{
		"(readings.rim_bottom + 2 * readings.face_bottom) / (readings.rim_left * 4) - 1": "( ( □ mm + 2 × □ mm ) ÷ ( □ mm × 4 ) − 1 ) × 100 = □ %",
		"2 * (readings.rim_bottom - readings.face_bottom) / readings.rim_left":           "2 × ( □ mm − □ mm ) ÷ □ mm × 100 = □ %",
		"1.5 - readings.slip":      "150 % − □ % = □ %",
		"2 * readings.slip + 0.25": "2 × □ % + 25 % = □ %",
		"min(0.5, readings.slip)":  "the smaller of ( 50 % ; □ % ) = □ %",
		"(1 + readings.slip) * (readings.rim_bottom / readings.rim_left)": "( 100 % + □ % ) × □ mm ÷ □ mm = □ %",
	} {
		added := [3]string{"procedures/align-by-dials.yaml", "  low:\n", "  share:\n    what: A share\n    is: " + is + "\n    source: common practice, no source\n    show: 0.1 %\n  low:\n"}
		shown := [3]string{"procedures/align-by-dials.yaml", `{offset.target}."`, `{offset.target}, {share}."`}
		slip := [3]string{"procedures/align-by-dials.yaml", "blanks:\n", "blanks:\n          - {label: Slip, name: slip, unit: \"%\"}\n"}
		s := open(t, filesOf(t, readingsSite, added, shown, slip))
		p, problems := s.composer.Make(s.book.Lists["week"].Jobs[0])
		if p == nil {
			t.Fatal(problems)
		}
		got := ""
		eachStep(p, func(st *packet.Step) {
			for _, w := range st.Work {
				if w.Sum == nil || w.Sum.What[0].Entry != "share" {
					continue
				}
				for _, term := range w.Sum.Terms {
					if got += " "; term.Blank != nil {
						got += "□ " + term.Blank.Unit
					} else {
						got += strings.ReplaceAll(term.Text, "\u00a0", " ")
					}
				}
			}
		})
		if got != " "+want {
			t.Errorf("%s\n is laid out as %s\n where a person wants %s", is, got, want)
		}
	}
}
