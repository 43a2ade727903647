package scribble

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/ccitt"
	"golang.org/x/image/tiff"

	"jobsheaf/internal/manifest"
)

// few gives a grey, a bilevel and a photographed shot, small.
func few(t *testing.T) []Shot {
	t.Helper()
	var out []Shot
	for _, name := range []string{"clean 150", "bilevel 200", "photo, strong", "jpeg 40"} {
		c, ok := Named(name)
		if !ok {
			t.Fatal(name)
		}
		c.DPI = 72
		g, p := sample(c.DPI)
		out = append(out, c.Apply(g, p, nil, seeded(3), Rough))
	}
	return out
}

// What is compressed as G4 is read back to the last pixel by a decoder of others.
func TestG4(t *testing.T) {
	odd := func(w, h int, f func(x, y int) bool) *image.Gray {
		g := image.NewGray(image.Rect(0, 0, w, h))
		for i := range g.Pix {
			if !f(i%w, i/w) {
				g.Pix[i] = 255
			}
		}
		return g
	}
	noisy := func(x, y int) bool { return hash(int32(x), int32(y), 1)%7 < 3 }
	for name, g := range map[string]*image.Gray{
		"page":     few(t)[1].Image,
		"noise":    odd(317, 90, noisy),
		"black":    odd(5300, 3, func(int, int) bool { return true }),
		"one":      odd(1, 5, noisy),
		"slanting": odd(200, 200, func(x, y int) bool { return (x*3+y)%40 < 9 }),
	} {
		back := image.NewGray(g.Rect)
		if err := ccitt.DecodeIntoGray(back, bytes.NewReader(encodeG4(g)), ccitt.MSB, ccitt.Group4, &ccitt.Options{}); err != nil {
			t.Errorf("%s: %v", name, err)
		} else if !bytes.Equal(back.Pix, g.Pix) {
			t.Errorf("%s: other pixels came back", name)
		}
	}
}

// Every codec of a PDF is drawn by pdftoppm as the shot was, about.
func TestPDF(t *testing.T) {
	shots := few(t)[:2]
	for _, c := range []Codec{Auto, Raw, Flate, DCT, G4} {
		name := filepath.Join(t.TempDir(), "scan.pdf")
		var b bytes.Buffer
		if err := WritePDF(&b, shots, c); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		for i, s := range shots {
			if c == G4 && !s.Bilevel {
				continue
			}
			g, err := Render(context.Background(), name, i+1, s.DPI)
			if err != nil {
				t.Fatal(c, err)
			}
			// It stretches a picture by up to a pixel, so edges differ; another page, or
			// one upside down, differs by more than twice this.
			if d := far(g, s.Image); d > 9 {
				t.Errorf("%s, page %d: the pixels that come back are off by %.1f on average", c, i+1, d)
			}
		}
	}
}

// far gives by how much the greys of two pictures differ on average, 255 if their sizes do.
func far(a, b *image.Gray) float64 {
	dx, dy := a.Rect.Dx()-b.Rect.Dx(), a.Rect.Dy()-b.Rect.Dy()
	if dx*dx > 1 || dy*dy > 1 {
		return 255
	}
	sum, n := 0.0, 0
	for y := range min(a.Rect.Dy(), b.Rect.Dy()) {
		for x := range min(a.Rect.Dx(), b.Rect.Dx()) {
			d := int(a.GrayAt(x, y).Y) - int(b.GrayAt(x, y).Y)
			sum, n = sum+float64(max(d, -d)), n+1
		}
	}
	return sum / float64(n)
}

// Single pictures come back as they were, or as the shot says that they do.
func TestPictures(t *testing.T) {
	for _, s := range few(t) {
		var b bytes.Buffer
		if err := WritePNG(&b, s); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil || far(grey(img), s.Image) != 0 {
			t.Errorf("%s: PNG: %v", s.Condition, err)
		}
		for _, c := range []Codec{Raw, Flate, G4} {
			if c == G4 && !s.Bilevel {
				continue
			}
			b.Reset()
			if err := WriteTIFF(&b, []Shot{s, s}, c); err != nil {
				t.Fatal(err)
			}
			if img, err = tiff.Decode(bytes.NewReader(b.Bytes())); err != nil || far(grey(img), s.Image) != 0 {
				t.Errorf("%s: TIFF, %s: %v", s.Condition, c, err)
			}
		}
		b.Reset()
		if err := WriteJPEG(&b, s, 90); err != nil {
			t.Fatal(err)
		}
		if img, err = jpeg.Decode(&b); err != nil || s.JPEG != nil && far(grey(img), s.Image) != 0 {
			t.Errorf("%s: JPEG: %v", s.Condition, err)
		}
	}
}

// A packet's pages are rendered, written on, and given back with their truth; a page or a
// file that is not there is an error.
func TestPacket(t *testing.T) {
	g, page := sample(100)
	name := filepath.Join(t.TempDir(), "packet.pdf")
	var b bytes.Buffer
	if err := WritePDF(&b, []Shot{{Image: g, DPI: 100}}, Flate); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	p := Open(name, manifest.Manifest{Job: "A-1", Pages: []manifest.Page{*page}})
	c, _ := Named("clean 150")
	one, err := p.Shoot(context.Background(), 1, c, 7, Ordinary)
	if err != nil {
		t.Fatal(err)
	}
	two, err := p.Shoot(context.Background(), 1, c, 7, Ordinary)
	if err != nil || !bytes.Equal(one.Image.Pix, two.Image.Pix) {
		t.Errorf("the second time it differs: %v", err)
	}
	if one.Page != 1 || one.DPI != 150 || len(one.Truth) != len(page.Boxes) {
		t.Errorf("page %d at %v dpi, %d truths", one.Page, one.DPI, len(one.Truth))
	}
	if _, err := p.Shoot(context.Background(), 2, c, 7, Ordinary); err == nil {
		t.Error("a page that is not there came back")
	}
	if _, err := Open(name+"x", p.Manifest).Shoot(context.Background(), 1, c, 7, Ordinary); err == nil {
		t.Error("a file that is not there was rendered")
	}
}
