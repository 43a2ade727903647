package sheets

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// kept reads a file of testdata.
func kept(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// truth is the page that testdata/make.sh had other programs store, in grey or in black
// and white.
func truth(t testing.TB, bilevel bool) *image.Gray {
	t.Helper()
	name := "page.pgm"
	if bilevel {
		name = "page.pbm"
	}
	b := kept(t, name)
	var kind string
	var w, h, most int
	r := bytes.NewReader(b)
	var err error
	if bilevel {
		_, err = fmt.Fscanf(r, "%s\n%d %d\n", &kind, &w, &h)
	} else {
		_, err = fmt.Fscanf(r, "%s\n%d %d\n%d\n", &kind, &w, &h, &most)
	}
	if err != nil {
		t.Fatal(err)
	}
	rest := b[len(b)-r.Len():]
	g := image.NewGray(image.Rect(0, 0, w, h))
	if !bilevel {
		copy(g.Pix, rest)
		return g
	}
	for y := range h {
		for x := range w {
			if rest[y*((w+7)/8)+x/8]&(0x80>>(x%8)) == 0 {
				g.Pix[y*w+x] = 255
			}
		}
	}
	return g
}

// clockwise turns a picture by quarters, pixel by pixel.
func clockwise(g *image.Gray, quarters int) *image.Gray {
	for range quarters {
		w, h := g.Rect.Dx(), g.Rect.Dy()
		to := image.NewGray(image.Rect(0, 0, h, w))
		for y := range h {
			for x := range w {
				to.SetGray(h-1-y, x, g.GrayAt(x, y))
			}
		}
		g = to
	}
	return g
}

// same holds a picture to another: no grey may be further off.
func same(t *testing.T, got, want *image.Gray, off int) {
	t.Helper()
	if got.Rect != want.Rect {
		t.Errorf("it is %v, want %v", got.Rect, want.Rect)
		return
	}
	for y := range got.Rect.Dy() {
		for x := range got.Rect.Dx() {
			if d := int(got.GrayAt(x, y).Y) - int(want.GrayAt(x, y).Y); d > off || d < -off {
				t.Errorf("at %d, %d it is %d, want %d", x, y, got.GrayAt(x, y).Y, want.GrayAt(x, y).Y)
				return
			}
		}
	}
}

// open opens bytes.
func open(t *testing.T, b []byte, render Renderer) *File {
	t.Helper()
	f, err := Open(context.Background(), bytes.NewReader(b), int64(len(b)), render)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Files that other programs wrote give the page that they were given.
func TestFiles(t *testing.T) {
	for _, c := range []struct {
		file           string
		off            int // that a grey may be off, as JPEG loses
		dpi            float64
		bilevel, turns string // of each page: b or g; quarters
	}{
		{"grey.png", 0, 200, "g", "0"},
		{"interlaced.png", 0, 0, "g", "0"},
		{"bilevel.png", 0, 0, "b", "0"},
		{"grey.jpg", 12, 0, "g", "0"},
		{"progressive.jpg", 12, 0, "g", "0"},
		{"rgb.jpg", 12, 0, "g", "0"},
		{"grey-none.tif", 0, 200, "g", "0"},
		{"grey-lzw.tif", 0, 200, "g", "0"},
		{"grey-lzw-2.tif", 0, 200, "g", "0"},
		{"grey-zip-2.tif", 0, 200, "g", "0"},
		{"grey-packbits.tif", 0, 200, "g", "0"},
		{"bilevel-none.tif", 0, 200, "b", "0"},
		{"bilevel-packbits.tif", 0, 200, "b", "0"},
		{"bilevel-g4.tif", 0, 200, "b", "0"},
		{"bilevel-g31d.tif", 0, 200, "b", "0"},
		{"bilevel-lsb.tif", 0, 200, "b", "0"},
		{"bilevel-none-lsb.tif", 0, 200, "b", "0"},
		{"bilevel-tiles.tif", 0, 200, "b", "0"},
		{"rgb-tiles.tif", 0, 200, "g", "0"},
		{"rgb-big-endian.tif", 0, 200, "g", "0"},
		{"rgb-jpeg.tif", 12, 200, "g", "0"},
		{"ycbcr-jpeg.tif", 12, 200, "g", "0"},
		{"three.tif", 0, 200, "bbb", "000"},
		{"turned.tif", 0, 200, "b", "1"},
		{"img2pdf-jpeg.pdf", 12, 200, "g", "0"},
		{"img2pdf-png.pdf", 0, 200, "gb", "00"},
		{"tiff2pdf-g4.pdf", 0, 200, "b", "0"},
		{"tiff2pdf-tiles.pdf", 0, 200, "g", "0"},
		{"gs.pdf", 0, 200, "gb", "00"},
		{"gs-image24.pdf", 0, 200, "g", "0"},
		{"qpdf-packed.pdf", 12, 200, "g", "0"},
		{"qpdf-linear.pdf", 12, 200, "g", "0"},
		{"qpdf-turned.pdf", 0, 200, "gb", "11"},
		{"qpdf-turned-tiles.pdf", 0, 200, "g", "3"},
		{"mutool-text.pdf", 0, 200, "gb", "00"},
	} {
		t.Run(c.file, func(t *testing.T) {
			f := open(t, kept(t, c.file), nil)
			if f.Len() != len(c.bilevel) {
				t.Fatalf("%d pages, want %d", f.Len(), len(c.bilevel))
			}
			for n := 1; n <= f.Len(); n++ {
				s, err := f.Sheet(context.Background(), n)
				if err != nil {
					t.Fatal(err)
				}
				if bilevel := c.bilevel[n-1] == 'b'; s.Bilevel != bilevel {
					t.Errorf("page %d: bilevel is %v", n, s.Bilevel)
				}
				if math.Abs(s.DPI-c.dpi) > 2.5 {
					t.Errorf("page %d: %.1f dpi, want %.0f", n, s.DPI, c.dpi)
				}
				same(t, s.Gray, clockwise(truth(t, c.bilevel[n-1] == 'b'), int(c.turns[n-1]-'0')), c.off)
			}
		})
	}
}

// What cannot be read is named, with what would do.
func TestRefused(t *testing.T) {
	for _, c := range []struct{ file, says string }{
		{"arithmetic.jpg", "arithmetic JPEG"},
		{"bigtiff.tif", "a BigTIFF file, which is not read; scan or save it as PDF"},
		{"planar.tif", "planar"},
		{"bilevel-g32d.tif", "Group 3 (fax) in two dimensions"},
		{"qpdf-locked.pdf", "locked (encrypted)"},
		{"text.pdf", "it has text, for which pdftoppm is needed: install poppler-utils"},
	} {
		refused(t, c.file, kept(t, c.file), c.says)
	}
	for name, c := range map[string]struct{ b, says string }{
		"HEIC":       {"\x00\x00\x00\x24ftypheic\x00\x00\x00\x00", "HEIC"},
		"HEIC, mif1": {"\x00\x00\x00\x24ftypmif1\x00\x00\x00\x00", "HEIC"},
		"film":       {"\x00\x00\x00\x20ftypisom\x00\x00\x00\x00", "a film"},
		"DOCX":       {"PK\x03\x04\x14\x00\x06\x00[Content_Types].xml word/document.xml", "a Word document"},
		"XLSX":       {"PK\x03\x04\x14\x00\x06\x00[Content_Types].xml xl/workbook.xml", "an Excel workbook"},
		"ODT":        {"PK\x03\x04\x14\x00\x06\x00mimetypeapplication/vnd.oasis.opendocument.text", "an OpenDocument file"},
		"ZIP":        {"PK\x03\x04\x14\x00\x06\x00scan.pdf", "a ZIP archive"},
		"HTML":       {"\n <!DOCTYPE html><html>", "a web page"},
		"text":       {"Not found\r\n", "plain text"},
		"WebP":       {"RIFF\x00\x00\x00\x00WEBPVP8 ", "a WebP"},
		"JPEG 2000":  {"\x00\x00\x00\x0CjP  \r\n\x87\n", "JPEG 2000"},
		"nothing":    {"", "it is empty"},
		"noise":      {"\x01\x02\x03\x04\x05", "not known"},
	} {
		refused(t, name, []byte(c.b), c.says)
	}
}

func refused(t *testing.T, name string, b []byte, says string) {
	t.Helper()
	f, err := Open(context.Background(), bytes.NewReader(b), int64(len(b)), nil)
	if err == nil {
		_, err = f.Sheet(context.Background(), 1)
	}
	if err == nil || !strings.Contains(err.Error(), says) {
		t.Errorf("%s: %v, want %q", name, err, says)
	}
}

// A page for which there is no decoder is drawn by the renderer; the resolution is that
// of what it drew.
func TestRendered(t *testing.T) {
	asked := 0
	f := open(t, kept(t, "text.pdf"), func(_ context.Context, page int) (image.Image, error) {
		asked = page
		return image.NewRGBA(image.Rect(10, 20, 10+200, 20+200)), nil
	})
	s, err := f.Sheet(context.Background(), 1)
	if err != nil || asked != 1 {
		t.Fatalf("page %d: %v", asked, err)
	}
	if s.Gray.Rect != image.Rect(0, 0, 200, 200) || math.Abs(s.DPI-144) > 0.5 || s.Bilevel {
		t.Errorf("%v, %v dpi", s.Gray.Rect, s.DPI) // 1000 pixels at gs's 720 dpi are 100 points
	}
	if _, err := f.Sheet(context.Background(), 2); err == nil {
		t.Error("there is no page 2")
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := f.Sheet(ctx, 1); err != context.Canceled {
		t.Errorf("stopped: %v", err)
	}
}

// EXIF's eight orientations, by where the first stored pixel goes, where the last of the
// first row, and where the first of the last row.
func TestTurned(t *testing.T) {
	g := image.NewGray(image.Rect(0, 0, 130, 70)) // larger than the squares that it is turned in
	g.Pix[0], g.Pix[129], g.Pix[69*130] = 1, 2, 3
	for o, want := range map[int]string{1: "12/3-", 2: "21/-3", 3: "-3/21", 4: "3-/12", 5: "13/2-", 6: "31/-2", 7: "-2/31", 8: "2-/13", 0: "12/3-", 9: "12/3-"} {
		to := turned(g, exif(o))
		r := to.Rect.Max
		name := func(x, y int) string { return string("-123"[to.GrayAt(x, y).Y]) }
		if got := name(0, 0) + name(r.X-1, 0) + "/" + name(0, r.Y-1) + name(r.X-1, r.Y-1); got != want {
			t.Errorf("orientation %d: %s, want %s", o, got, want)
		}
	}
}

// A fax has half as many rows as columns to the inch: rows are doubled.
func TestSquare(t *testing.T) {
	g := image.NewGray(image.Rect(0, 0, 20, 10))
	g.Pix[5*20+3] = 9
	to, dpi, err := square(g, 204, 102)
	if err != nil || dpi != 204 || to.Rect != image.Rect(0, 0, 20, 20) || to.GrayAt(3, 10).Y != 9 || to.GrayAt(3, 11).Y != 9 || to.GrayAt(3, 12).Y != 0 {
		t.Errorf("%v %v %v", to.Rect, dpi, err)
	}
	if to, dpi, _ := square(g, 1e-9, 200); to != g || dpi != 0 {
		t.Errorf("nonsense: %v %v", to.Rect, dpi)
	}
}
