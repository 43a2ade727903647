package pdf

import (
	"encoding/binary"
	"image"
	"image/draw"
	"math"
	"path/filepath"
	"slices"
	"testing"
	"unicode"

	"jobsheaf/fonts"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// Every glyph of the subsets is drawn by mupdf as another program (x/image) draws
// it from the whole font: nothing lost in cutting the font, no accent out of place.
func TestGlyphsLookAsInTheFont(t *testing.T) {
	const (
		size  = 14.0 // pt
		dpi   = 144  // two dots a point
		cell  = 40   // dots a side
		perPt = dpi / 72
	)
	faces := map[uint8]font.Face{}
	for i, f := range fonts.Files {
		parsed, err := opentype.Parse([]byte(f.TTF))
		if err != nil {
			t.Fatal(err)
		}
		face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: size, DPI: dpi, Hinting: font.HintingNone})
		if err != nil {
			t.Fatal(err)
		}
		faces[uint8(i)] = face
	}
	var runes []rune
	for r := rune(0x21); r < 0x7F; r++ {
		runes = append(runes, r)
	}
	for _, r := range special + foreign + "ÀÇÊËĂĄĆČĎĘĚĞĢĹŁŃŇŐŔŘŚŠŞŤŮŰŹŻΆΈΉΌΎΏАБВ☐✓⚠∅" {
		if !unicode.IsSpace(r) && !slices.Contains(runes, r) {
			runes = append(runes, r)
		}
	}
	const columns = 14
	rows := (len(runes) + columns - 1) / columns
	for face := range page.FaceCount {
		const mm = 1 / (perPt * pt) // of a dot
		d := sample(t, 1)
		d.Outline = nil
		d.Pages = []page.Page{{W: columns * cell * mm, H: float64(rows) * cell * mm}}
		want := image.NewGray(image.Rect(0, 0, columns*cell, rows*cell))
		draw.Draw(want, want.Bounds(), image.White, image.Point{}, draw.Src)
		for i, r := range runes {
			x, y := i%columns*cell+4, i/columns*cell+28
			d.Pages[0].Texts = append(d.Pages[0].Texts, page.Text{X: float64(x) * mm, Y: float64(y) * mm, Size: size, Face: face, S: string(r)})
			pen := font.Drawer{Dst: want, Src: image.Black, Face: faces[typeface.Lookup(face, r).Font], Dot: fixed.P(x, y)}
			pen.DrawString(string(r))
		}
		name := filepath.Join(t.TempDir(), "page.pgm")
		run(t, "mutool", "draw", "-q", "-r", "144", "-c", "gray", "-o", name, file(t, d))
		got, width := grey(t, name)
		for i, r := range runes {
			// Ink and its middle, in dots.
			var a, b [3]float64
			for y := i / columns * cell; y < (i/columns+1)*cell; y++ {
				for x := i % columns * cell; x < (i%columns+1)*cell; x++ {
					for k, v := range [3]float64{1, float64(x), float64(y)} {
						a[k] += v * (1 - float64(want.GrayAt(x, y).Y)/255)
						b[k] += v * (1 - float64(got[y*width+x])/255)
					}
				}
			}
			if a[0] < 3 {
				t.Errorf("face %d: %q has no ink", face, r)
				continue
			}
			if math.Abs(a[0]-b[0]) > 3+0.05*a[0] || math.Hypot(a[1]/a[0]-b[1]/b[0], a[2]/a[0]-b[2]/b[0]) > 0.5 {
				t.Errorf("face %d: %q has %.1f dots of ink about (%.1f, %.1f), in the font %.1f about (%.1f, %.1f)",
					face, r, b[0], b[1]/b[0], b[2]/b[0], a[0], a[1]/a[0], a[2]/a[0])
			}
		}
	}
}

// The sums that a font file carries are right.
// Source: OpenType 1.9, "Calculating checksums".
func TestFontFileSums(t *testing.T) {
	g := newGlyphs(typeface.FontAt(fonts.Sans))
	for _, r := range "Ůž½⅛Ω" { // composed ones among them
		g.take(typeface.Lookup(page.Regular, r).ID)
	}
	b := g.trueType()
	if len(g.old) <= 6 {
		t.Errorf("%d glyphs: the parts of composed ones are missing", len(g.old))
	}
	if s := checksum(b); s != 0xB1B0AFBA {
		t.Errorf("the file's sum is %08X", s)
	}
	for i := range int(binary.BigEndian.Uint16(b[4:])) {
		e := b[12+16*i:]
		tag := string(e[:4])
		table := slices.Clone(b[binary.BigEndian.Uint32(e[8:]):][:binary.BigEndian.Uint32(e[12:])])
		if tag == "head" {
			clear(table[8:12])
		}
		if s := checksum(table); s != binary.BigEndian.Uint32(e[4:]) {
			t.Errorf("%s: sum %08X, the file says %08X", tag, s, binary.BigEndian.Uint32(e[4:]))
		}
	}
}
