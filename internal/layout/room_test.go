package layout

import (
	"strings"
	"testing"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"

	"pgregory.net/rapid"
)

// TestRoom holds Room to what Layout does, on every paper and whatever stands
// beside it: what has room is printed whole; of what has none a job ID and a tag are
// refused, and a name is shortened.
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
		refused, short := false, 0
		for at, s := range map[Place]string{JobID: p.Job.ID, UnitTag: p.Job.Unit, UnitName: p.Job.UnitName, ProcedureTitle: p.Job.Title,
			PrintedBy: p.Words.For("layout", new(diag.List)).Say("printed_by", "program", p.Program, "site", p.Site)} {
			if most, ok := Room(at, paper, s); !ok {
				if at == JobID || at == UnitTag {
					refused = true
				} else {
					short++
				}
				if _, ok := Room(at, paper, clip(s, most)); !ok || most < 8 {
					rt.Errorf("place %d: of %q %d characters have no room either", at, s, most)
				}
			}
		}
		doc, problems := Layout(p)
		if refused != problems.HasErrors() {
			rt.Errorf("refused is %v, and the problems are %v", refused, problems)
		}
		if refused {
			return
		}
		ends := 0
		for _, t := range doc.Pages[0].Texts {
			if strings.HasSuffix(t.S, "…") {
				ends++
			}
		}
		if ends != short {
			rt.Errorf("%d names have no room, and %d are shortened: %+v", short, ends, p.Job)
		}
	})
}
