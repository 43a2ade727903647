package layout

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/typeface"
)

// No line is wider than it may be, whatever the spans of a phrase begin and end with,
// and nothing of a phrase is lost but spaces at its line ends.
func TestLinesHaveTheirWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SampledFrom([]string{"", " ", "  ", "a ", " is", "the ", " · ", "; ", "12 mm", "12 lecturas", " (85 N·m)", "NOT ON RECORD", "Verdrängerpumpengehäuse", "left-hand "})
		styles := rapid.SampledFrom([]packet.Style{packet.Plain, packet.Strong, packet.Soft, packet.Missing, packet.Key})
		var ph packet.Phrase
		for range rapid.IntRange(1, 30).Draw(t, "spans") {
			text, style := strings.Join(rapid.SliceOfN(words, 1, 4).Draw(t, "words"), ""), styles.Draw(t, "style")
			switch style { // these are words of ours
			case packet.Missing:
				text = strings.TrimSpace(text)
			case packet.Key:
				text = "W12"
			}
			ph = append(ph, packet.Span{Text: text, Style: style})
		}
		width := rapid.Float64Range(30, 60).Draw(t, "width")
		s := setter{bad: func(text string, _ face) { t.Fatalf("%q cannot be set", text) }}
		p := s.set(ph, faceBody, width)
		said := ""
		for _, ln := range s.lines[p.l0:p.l1] {
			w := 0.0
			for _, r := range s.runs[ln.r0:ln.r1] {
				said += r.s
				if bare := strings.TrimRight(r.s, " "); bare != "" {
					w = r.x + typeface.Width(r.Face, r.size, bare)
				}
			}
			if w > width+0.01 {
				t.Fatalf("a line of %q is %.2f mm wide in %.2f mm", ph, w, width)
			}
		}
		bare := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if bare(said) != bare(ph.String()) {
			t.Fatalf("of %q it says %q", ph, said)
		}
	})
}
