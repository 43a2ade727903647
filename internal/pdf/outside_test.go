package pdf

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"
)

// What other programs make of the files: qpdf, poppler, mupdf and zbar.

// file writes the document where other programs can read it.
func file(t *testing.T, d page.Doc) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "doc.pdf")
	if err := os.WriteFile(name, written(t, d), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// run gives what a program prints; a program that fails or is not there fails
// the test.
func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	cmd := exec.Command(name, args...)
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s: %v\n%s%s", name, err, out.String(), errs.String())
	}
	return out.String()
}

func TestQpdfFindsNoFault(t *testing.T) {
	for _, d := range []page.Doc{sample(t, 1), sample(t, 10), sample(t, 70), attached(t, 2)} {
		out := run(t, "qpdf", "--check", file(t, d))
		if !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out, "WARNING") {
			t.Error(out)
		}
	}
}

func TestEveryFontIsEmbeddedAndSubset(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(run(t, "pdffonts", file(t, sample(t, 3)))), "\n")[2:]
	if len(lines) != 7 {
		t.Errorf("%d fonts, want 7", len(lines))
	}
	for _, l := range lines {
		if !strings.Contains(l, "yes yes yes") || strings.IndexByte(l, '+') != 6 {
			t.Errorf("not embedded, subset and mapped to Unicode: %s", l)
		}
	}
}

// A document that uses one face carries one font.
func TestUnusedFontsAreNotEmbedded(t *testing.T) {
	d := sample(t, 1)
	d.Pages[0].Texts = []page.Text{{X: 20, Y: 20, Size: 10, S: "plain"}}
	if lines := strings.Split(strings.TrimSpace(run(t, "pdffonts", file(t, d))), "\n")[2:]; len(lines) != 1 {
		t.Errorf("fonts: %q", lines)
	}
}

func TestTextComesOutAsItWentIn(t *testing.T) {
	d := sample(t, 1)
	pg := &d.Pages[0]
	pg.Texts = nil
	var want []string
	y := 20.0
	for face := range page.FaceCount {
		// Signs stand within words: of lone signs poppler drops the spaces.
		for _, s := range append(strings.Fields(special), "micro\u00b5 mu\u03bc", "ohm\u2126 omega\u03a9", "delta\u0394 increment\u2206", foreign, "(a\\b) \r"[:6], "ĊčĨĩ\u0128\u0228") {
			if typeface.Missing(face, s) != nil {
				continue // some faces lack U+2126 and its like
			}
			s = "x" + s + "x"
			pg.Texts = append(pg.Texts, page.Text{X: 20, Y: y, Size: 9.5, Face: face, S: s})
			want = append(want, s)
			y += 1.2 // lines may overlap: nobody looks at them
		}
	}
	if len(want) < 140 {
		t.Fatalf("only %d texts", len(want))
	}
	got := strings.Split(strings.TrimSpace(run(t, "pdftotext", "-raw", "-nopgbrk", file(t, d), "-")), "\n")
	for i, w := range want {
		if i >= len(got) || got[i] != w {
			t.Fatalf("text %d: %q, want %q", i, got[min(i, len(got)-1)], w)
		}
	}
}

// What typeface measures is what is printed, also when turned.
func TestMeasuredWidthIsPrinted(t *testing.T) {
	const s = "Wm12.5±0.05⌀Łódź"
	var texts []page.Text
	d := sample(t, 1)
	d.Pages = nil
	for face := range page.FaceCount {
		for _, turn := range []float64{0, 90} {
			x := page.Text{X: 105, Y: 148, Size: 11, Face: face, S: s, Turn: turn}
			texts = append(texts, x)
			d.Pages = append(d.Pages, page.Page{W: 210, H: 297, Texts: []page.Text{x}})
		}
	}
	var out struct {
		Words []struct {
			XMin float64 `xml:"xMin,attr"`
			XMax float64 `xml:"xMax,attr"`
			YMin float64 `xml:"yMin,attr"`
			YMax float64 `xml:"yMax,attr"`
		} `xml:"body>doc>page>word"`
	}
	if err := xml.Unmarshal([]byte(run(t, "pdftotext", "-bbox", file(t, d), "-")), &out); err != nil {
		t.Fatal(err)
	}
	if len(out.Words) != len(texts) {
		t.Fatalf("%d words, want %d", len(out.Words), len(texts))
	}
	for i, w := range out.Words {
		x := texts[i]
		want := typeface.Width(x.Face, x.Size, x.S)
		from, got := w.XMin/pt-x.X, (w.XMax-w.XMin)/pt
		if x.Turn != 0 {
			from, got = x.Y-w.YMax/pt, (w.YMax-w.YMin)/pt
		}
		if math.Abs(got-want) > 0.01 || math.Abs(from) > 0.01 {
			t.Errorf("text %d is %.3f mm long and begins %.3f mm off, want %.3f", i, got, from, want)
		}
	}
}

// Both codes of a page are read at 100 dpi and above, in two programs' pictures.
func TestCodesAreRead(t *testing.T) {
	d := sample(t, 2)
	name := file(t, d)
	for _, c := range [][2]string{{"100", "mutool"}, {"150", "mutool"}, {"200", "mutool"}, {"150", "pdftoppm"}} {
		dpi, program := c[0], c[1]
		picture := filepath.Join(t.TempDir(), "page.png")
		if program == "mutool" {
			run(t, "mutool", "draw", "-q", "-r", dpi, "-o", picture, name, "2")
		} else {
			run(t, "pdftoppm", "-png", "-r", dpi, "-f", "2", "-singlefile", name, strings.TrimSuffix(picture, ".png"))
		}
		_, text := codeOf(t, 2, 2)
		if got := run(t, "zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", picture); got != text+"\n"+text+"\n" {
			t.Errorf("%s at %s dpi: read %q", program, dpi, got)
		}
	}
}

// Distances on paper are right: the ink of a bar of 100 mm and of a box, where
// the raster shows it at 300 dpi.
func TestPlacesOnPaper(t *testing.T) {
	d := sample(t, 1)
	ink := black
	d.Pages = []page.Page{{W: 210, H: 297,
		Paths: []page.Path{{Segs: page.Rect(50, 100, 100, 5), Fill: &ink}},
		Boxes: []page.Box{{X: 50, Y: 200, W: 4.5, H: 8}},
	}}
	d.Outline = nil
	base := filepath.Join(t.TempDir(), "page")
	run(t, "pdftoppm", "-gray", "-r", "300", "-singlefile", file(t, d), base)
	img, w := grey(t, base+".pgm")
	const dot = 25.4 / 300
	extent := func(from, to float64) (x0, y0, x1, y1 float64) { // of ink between two heights
		x0, y0 = 1e9, 1e9
		for i, v := range img {
			x, y := float64(i%w)*dot, float64(i/w)*dot
			if v < 128 && y >= from && y < to {
				x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x+dot), max(y1, y+dot)
			}
		}
		return
	}
	check := func(what string, got, want float64) {
		if math.Abs(got-want) > 0.1 {
			t.Errorf("%s: %.2f mm, want %.2f", what, got, want)
		}
	}
	x0, y0, x1, y1 := extent(0, 150)
	check("bar's left", x0, 50)
	check("bar's length", x1-x0, 100)
	check("bar's top", y0, 100)
	check("bar's height", y1-y0, 5)
	x0, y0, x1, y1 = extent(150, 297)
	check("box's left", x0, 50-boxLine/2)
	check("box's width", x1-x0, 4.5+boxLine)
	check("box's top", y0, 200-boxLine/2)
	check("box's height", y1-y0, 8+boxLine)
}

// grey reads a binary PGM picture.
func grey(t *testing.T, name string) (pixels []byte, width int) {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var h, most int
	if _, err := fmt.Sscanf(string(b[:min(len(b), 40)]), "P5\n%d %d\n%d\n", &width, &h, &most); err != nil || most != 255 {
		t.Fatalf("%s is no picture of 8 bits: %v", name, err)
	}
	return b[len(b)-width*h:], width
}

// A picture within a page is read by other programs with its very pixels.
func TestImage(t *testing.T) {
	m := page.Image{X: 20, Y: 30, W: 40, H: 20, Columns: 8, Rows: 4}
	for i := range m.Columns * m.Rows {
		m.Grey = append(m.Grey, byte(255*(i%2)))
	}
	d := page.Doc{Title: "x", Language: "en", Created: "2026-11-30T00:00:00Z", ID: "0A", Pages: []page.Page{{W: 210, H: 297, Images: []page.Image{m}}}}
	name := file(t, d)
	if out, err := exec.Command("qpdf", "--check", name).CombinedOutput(); err != nil {
		t.Fatalf("qpdf: %v\n%s", err, out)
	}
	list, err := exec.Command("pdfimages", "-list", name).CombinedOutput()
	if err != nil || !strings.Contains(string(list), "gray") {
		t.Fatalf("pdfimages: %v\n%s", err, list)
	}
	out, err := exec.Command("pdftoppm", "-r", "72", "-gray", name).Output() // a point is a pixel
	if err != nil {
		t.Fatal(err)
	}
	var wide, high, most int
	if _, err := fmt.Sscanf(string(out[:20]), "P5\n%d %d\n%d", &wide, &high, &most); err != nil || len(out) < wide*high {
		t.Fatalf("pdftoppm gives %q (%v)", out[:20], err)
	}
	pixels := out[len(out)-wide*high:]
	at := func(column, row int) byte {
		x, y := (20+(float64(column)+0.5)*5)*72/25.4, (30+(float64(row)+0.5)*5)*72/25.4
		return pixels[int(y)*wide+int(x)]
	}
	for row := range m.Rows {
		for column := range m.Columns {
			if got, want := at(column, row), m.Grey[row*m.Columns+column]; got != want {
				t.Errorf("column %d, row %d is %d, want %d", column, row, got, want)
			}
		}
	}
	d.Pages[0].Images[0].Rows = 5
	if err := Write(new(bytes.Buffer), d); err == nil {
		t.Error("an image without all its bytes was written")
	}
}
