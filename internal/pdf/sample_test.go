package pdf

import (
	"fmt"
	"strings"
	"testing"

	"jobsheaf/internal/page"
	"jobsheaf/internal/pagecode"
	"jobsheaf/internal/typeface"
)

const (
	foreign = "Łódź, Żuraw, ¿Qué señal?, Größe, œuvre, İğş — „ő” • Ελληνικά Ωμέγα, Насос Ёж їґ"
	special = "± ≤ ≥ µ Ω ° ½ ← ↑ → ↓ ⌀ √ π × · − – — … “ ” ‘ ’ • Δ ² ³"
	words   = "Back the bearing housing off until its mark meets the second casing mark, then turn the shaft by hand " +
		"through one full turn and write down what was measured at the top, at the side and at the bottom of the bore; "
)

// codeOf gives the code of a page, of which the reading tests expect the text.
func codeOf(t testing.TB, n, of int) (pagecode.Code, string) {
	text, err := pagecode.Ref{Link: "https://jobs.example.org/j", Job: "K-24817", Page: n, Pages: of, Fingerprint: "7F3A91C2"}.Text()
	if err != nil {
		t.Fatal(err)
	}
	code, err := pagecode.Encode(text)
	if err != nil {
		t.Fatal(err)
	}
	return code, text
}

// sample makes an A4 document of n pages as packets have them: some 400 words
// and two codes a page, tables on four pages, a drawing on one.
func sample(t testing.TB, n int) page.Doc {
	d := page.Doc{
		Title: "K-24817 (P-214) – Wellendichtung", Subject: "Job packet", Language: "en",
		Created: "2025-03-04T06:00:00+01:00", ID: "7f3a91c2",
	}
	grey, red := page.Ink{R: 128, G: 128, B: 128}, page.Ink{R: 200, G: 16, B: 46}
	for i := range n {
		pg := page.Page{W: 210, H: 297, Sheet: "steps", Title: "Steps"}
		y := 20.0
		line := func(face page.Face, size, x float64, ink page.Ink, s string) {
			pg.Texts = append(pg.Texts, page.Text{X: x, Y: y, Size: size, Face: face, Ink: ink, S: s})
		}
		line(page.BoldCondensed, 14, 20, red, fmt.Sprintf("DANGER: sheet %d of %d", i+1, n))
		y += 8
		line(page.Regular, 9.5, 20, black, foreign)
		y += 6
		for face := range page.FaceCount {
			line(face, 9.5, 20, black, special)
			y += 5
		}
		for _, s := range typeface.Wrap(page.Regular, 9.5, 170, strings.Repeat(words, 9)) {
			line(page.Regular, 9.5, 20, black, s)
			y += 4.4
		}
		if i%3 == 0 {
			for row := range 20 {
				y += 5
				for col := range 6 {
					line(page.Condensed, 9.5, 20+28*float64(col), black, fmt.Sprintf("%d.%02d ±0.05 mm", row, col))
				}
				stroke := grey
				pg.Paths = append(pg.Paths, page.Path{Segs: page.Polyline(20, y+1, 190, y+1), Stroke: &stroke, Width: 0.2})
				pg.Boxes = append(pg.Boxes, page.Box{ID: fmt.Sprintf("p%d-%d", i, row), Kind: page.Tick, X: 192, Y: y - 3.5, W: 4.5, H: 4.5})
			}
		}
		if i == 1 {
			for k := range 24 {
				a := float64(k) * 15
				fill, stroke := grey, black
				pg.Paths = append(pg.Paths,
					page.Path{Segs: page.Arc(100, 200, 40, a, 10), Stroke: &stroke, Width: 0.35, Round: true},
					page.Path{Segs: page.Circle(60+4*float64(k), 250, 1.5), Fill: &fill, Stroke: &stroke, Width: 0.18, Dash: []float64{1, 0.5}})
			}
			pg.Boxes = append(pg.Boxes, page.Box{ID: "hatched", Kind: page.Blank, X: 60, Y: 180, W: 60, H: 10, Hatched: true})
			pg.Texts = append(pg.Texts, page.Text{X: 15, Y: 200, Size: 9.5, Face: page.Mono, S: "turned upward", Turn: 90})
		}
		code, text := codeOf(t, i+1, n)
		for _, at := range [][2]float64{{170, 17}, {18, 258}} {
			pg.Codes = append(pg.Codes, page.Code{X: at[0], Y: at[1], Size: 22, Modules: code.Modules, Text: text, Level: code.Level, Version: code.Version})
		}
		d.Pages = append(d.Pages, pg)
		d.Outline = append(d.Outline, page.Mark{Title: fmt.Sprintf("Sheet %d – Größe", i+1), Page: i, Level: min(i%3, i)})
	}
	return d
}

// attached is the sample with attachments.
func attached(t testing.TB, n int) page.Doc {
	d := sample(t, n)
	d.Attachments = []page.Attachment{
		{Name: "packet.json", MIME: "application/json", Description: "What the packet says", Relationship: "Data", Data: []byte(`{"job":"K-24817"}`)},
		{Name: "Größe (neu).yaml", MIME: "application/yaml", Description: "Maße", Relationship: "Source", Data: []byte("unit: P-214\n")},
		{Name: "inputs.yaml", MIME: "application/yaml", Relationship: "Source", Data: []byte(strings.Repeat("unit: P-214\n", 500))},
		{Name: "empty.csv", MIME: "text/csv", Relationship: "Supplement"},
	}
	return d
}
