package layout

import (
	"strings"
	"testing"

	"jobsheaf/internal/packet"

	"pgregory.net/rapid"
)

// TestRoom holds Room to what Layout does: what has room is printed, and what has
// none is refused, on every paper and whatever stands beside it.
func TestRoom(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		paper := rapid.SampledFrom([]string{"A4", "Letter", "Foolscap"}).Draw(rt, "paper")
		text := func(name, runes string, most int) string {
			return "1" + strings.TrimSpace(rapid.StringOfN(rapid.SampledFrom([]rune(runes)), 1, most, -1).Draw(rt, name))
		}
		p := blankPacket(t, paper, sheet("job", "Job sheet", packet.Para{Text: packet.Say("x")}))
		p.Job.ID = text("job", "W1iK-", 22)
		p.Job.Unit = text("tag", "W1iP-", 22)
		p.Job.UnitName = text("name", "Wil me", 60)
		p.Job.Title = text("title", "Wil me", 220)
		p.Site = text("site", "Wil me", 120)
		room := true
		for at, s := range map[Place]string{JobID: p.Job.ID, UnitTag: p.Job.Unit, UnitName: p.Job.UnitName, ProcedureTitle: p.Job.Title,
			PrintedBy: strings.NewReplacer("{program}", p.Program, "{site}", p.Site).Replace(p.Words["layout.printed_by"])} {
			if most, ok := Room(at, paper, s); !ok {
				room = false
				short := clip(s, most)
				if _, ok := Room(at, paper, short); !ok || most < 8 {
					rt.Errorf("place %d: of %q %d characters have no room either", at, s, most)
				}
			}
		}
		_, problems := Layout(p)
		if room && problems.HasErrors() {
			rt.Errorf("all has room, and %v", problems)
		}
		// The title may have room beside a job ID that is no wider than most.
		if !room && !problems.HasErrors() && jobColumn(p.Job.ID) == jobMost {
			rt.Errorf("nothing is refused: %+v", p.Job)
		}
	})
}
