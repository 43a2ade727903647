package layout

import (
	"math"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
)

// In a column who signs stands above the boxes, however much is said of it, and each row
// of boxes on the page of its role.
func TestSignaturesInAColumn(t *testing.T) {
	for what, says := range map[string]string{"usual": "I have tried every step that is ticked.", "long": strings.Repeat("Shift lead, or who stands in for the shift lead. ", 20), "nothing": "", "one word": strings.Repeat("Verdrängerpumpengehäuse", 6)} {
		for _, paper := range []string{"A4", "Letter"} {
			var rows []packet.SignRow
			for _, role := range []string{"Mechanic", "Operations", "Planner", strings.Repeat("Rotating equipment ", 5)} {
				rows = append(rows, packet.SignRow{Role: role, For: packet.Say(says), Blanks: signature("signoff." + role)})
			}
			p := blankPacket(t, paper, sheet("steps", "Steps", packet.Heading{Text: "Sign-off", Level: 1}, packet.SignOff{Rows: rows}))
			doc := lay(t, p)
			t.Run(what+"/"+paper, func(t *testing.T) {
				inspect(t, doc)
				complete(t, p, doc)
			})
			at, left := map[string]int{}, map[string]float64{}
			for n, pg := range doc.Pages {
				for _, x := range pg.Texts {
					for _, row := range rows {
						if strings.HasPrefix(x.S, strings.Fields(row.Role)[0]) && x.Y > bodyTop && x.Y < pg.H-footRule {
							at[row.Role], left[row.Role] = n, x.X
						}
					}
				}
				for _, b := range pg.Boxes {
					role := strings.Split(b.ID, ".")[1]
					if strings.HasSuffix(b.ID, ".name") && math.Abs(b.X-left[role]) > 0.1 {
						t.Errorf("%s, %s: the box %s stands at %.1f mm, its role at %.1f mm", what, paper, b.ID, b.X, left[role])
					}
					if at[role] != n || b.W > (pg.W-marginLeft-marginRight)/2 {
						t.Errorf("%s, %s: the box %s is %.0f mm wide on page %d, its role on page %d", what, paper, b.ID, b.W, n+1, at[role]+1)
					}
				}
			}
		}
	}
}
