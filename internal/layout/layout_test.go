package layout

import (
	"reflect"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
)

// lay lays out a packet and fails on any problem.
func lay(t testing.TB, p packet.Packet) page.Doc {
	t.Helper()
	doc, problems := Layout(p)
	for _, d := range problems {
		t.Errorf("%v", d)
	}
	return doc
}

func TestExample(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		t.Run(paper, func(t *testing.T) {
			p := example(t, paper)
			doc := lay(t, p)
			inspect(t, doc)
			complete(t, p, doc)
			if again := lay(t, p); !reflect.DeepEqual(doc, again) {
				t.Error("the same packet gave another document")
			}
		})
	}
}

// The header holds a job ID and a unit's tag of the most characters, and a long
// name and title.
func TestLongNames(t *testing.T) {
	p := blankPacket(t, "A4", sheet("job", "Job sheet", packet.Para{Text: packet.Say("x")}))
	p.Job.ID, p.Job.Unit, p.Job.UnitName = "K-2026-11-30.0000000001A", "P-214-SAPONIFICATION-002", "Lye transfer pump, second"
	p.Job.Title = "Rebuild with a component seal in the stuffing box and reset the end clearance"
	p.Link = ""
	inspect(t, lay(t, p))
}

func has(problems diag.List, rule string) bool {
	for _, p := range problems {
		if p.Rule == rule {
			return true
		}
	}
	return false
}
