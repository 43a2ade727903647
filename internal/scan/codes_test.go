package scan

import (
	"context"
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"jobsheaf/internal/pagecode"
)

// clean is a page as it was printed, which the test may draw on.
func clean(t testing.TB, page int, dpi float64) (*image.Gray, *packet) {
	t.Helper()
	p := onePacket(t)
	was, err := p.Clean(context.Background(), page, dpi)
	if err != nil {
		t.Fatal(err)
	}
	g := image.NewGray(was.Rect)
	copy(g.Pix, was.Pix)
	return g, p
}

// stick draws a code's symbol with its quiet zone, its top left corner at x, y.
func stick(t testing.TB, g *image.Gray, text string, x, y, module int) {
	t.Helper()
	c, err := pagecode.Encode(text)
	if err != nil {
		t.Fatal(err)
	}
	const quiet = 4
	side := (len(c.Modules) + 2*quiet) * module
	for j := range side {
		for i := range side {
			row, col := j/module-quiet, i/module-quiet
			v := color.Gray{255}
			if row >= 0 && col >= 0 && row < len(c.Modules) && col < len(c.Modules) && c.Modules[row][col] {
				v = color.Gray{0}
			}
			g.SetGray(x+i, y+j, v)
		}
	}
}

// A sticker beside the page's code neither hides it nor is taken for it: a shop's own, a
// page of another site, a page of ours that is no page of a packet that is known.
func TestStickersAreNotTaken(t *testing.T) {
	ours := func(text string) bool {
		_, err := pagecode.Parse(text, "https://jobs.example.org/J")
		return err == nil
	}
	for _, text := range []string{
		"HTTPS://PARTS.EXAMPLE.COM/12345", "HTTPS://JOBS.EXAMPLE.COM/J/K-24817/4/16/2208FD40", "J2:K-24817/4/16/2208FD40", "WIFI:PUMPHOUSE", "0",
	} {
		for _, at := range [][2]int{{1180, 60}, {1060, 190}, {1400, 190}, {330, 1900}, {240, 2000}} {
			g, p := clean(t, 4, 200)
			for module := range 2 {
				stick(t, g, text, at[0], at[1], 4+module)
				codes := Codes(g, ours)
				if len(codes) != 1 || codes[0].Text != p.Manifest.Pages[3].Codes[0].Text {
					t.Errorf("%s at %v, %d pixels a module: %d codes are ours", text, at, 4+module, len(codes))
				}
			}
		}
		g := image.NewGray(image.Rect(0, 0, 1654, 2339))
		for i := range g.Pix {
			g.Pix[i] = 250
		}
		stick(t, g, text, 1380, 40, 4)
		if codes := Codes(g, ours); len(codes) != 0 {
			t.Errorf("%s alone is taken for %+v", text, codes)
		}
	}
}

// Two pages on one picture are two codes: nobody guesses which is meant.
func TestTwoPagesAreTwoCodes(t *testing.T) {
	g, _ := clean(t, 4, 200)
	stick(t, g, "HTTPS://JOBS.EXAMPLE.ORG/J/K-24818/1/6/6169417B", 1100, 200, 4)
	if codes := Codes(g, nil); len(codes) != 2 {
		t.Errorf("%d codes", len(codes))
	}
}

// Both codes of a page are seen, however it lies, and count as one.
func TestBothCodesAreSeen(t *testing.T) {
	g, p := clean(t, 4, 200)
	for turn := range 4 {
		codes := Codes(g, nil)
		if len(codes) != 1 || len(codes[0].at) != 2 || codes[0].Ref.Page != 4 || codes[0].Ref.Job != p.Manifest.Job {
			t.Fatalf("turned %d times: %+v", turn, codes)
		}
		g = quarter(g)
	}
}

// quarter turns a picture clockwise.
func quarter(g *image.Gray) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, h, w))
	for y := range h {
		for x := range w {
			out.Pix[x*out.Stride+h-1-y] = g.Pix[y*g.Stride+x]
		}
	}
	return out
}

// Whatever the picture is, Codes and Read come back, and find nothing in it.
func TestOddPictures(t *testing.T) {
	_, p := clean(t, 4, 200)
	known := Codes(func() *image.Gray { g, _ := clean(t, 4, 200); return g }(), nil)[0]
	rng := rand.New(rand.NewPCG(1, 2))
	make := map[string]func(w, h int) *image.Gray{
		"black": func(w, h int) *image.Gray { return image.NewGray(image.Rect(0, 0, w, h)) },
		"noise": func(w, h int) *image.Gray {
			g := image.NewGray(image.Rect(0, 0, w, h))
			for i := range g.Pix {
				g.Pix[i] = uint8(rng.Uint32())
			}
			return g
		},
		"stripes": func(w, h int) *image.Gray { // rows that look like finders, all of them
			g := image.NewGray(image.Rect(0, 0, w, h))
			for i := range g.Pix {
				if x := i % w / 4 % 7; x == 1 || x == 5 {
					g.Pix[i] = 255
				}
			}
			return g
		},
		"finders": func(w, h int) *image.Gray { // nothing but finders
			g := image.NewGray(image.Rect(0, 0, w, h))
			for y := range h {
				for x := range w {
					d := max(max(x/4%9-4, 4-x/4%9), max(y/4%9-4, 4-y/4%9))
					if d == 2 || d == 4 {
						g.Pix[y*g.Stride+x] = 255
					}
				}
			}
			return g
		},
	}
	for name, draw := range make {
		for _, size := range [][2]int{{1, 1}, {2, 3000}, {99, 99}, {700, 900}, {3000, 101}} {
			g := draw(size[0], size[1])
			if codes := Codes(g, nil); len(codes) != 0 {
				t.Errorf("%s, %v: %+v", name, size, codes)
			}
			if _, err := Read(g, known, &p.Manifest.Pages[3]); err == nil {
				t.Errorf("%s, %v: it was read", name, size)
			}
		}
	}
	if Codes(nil, nil) != nil || Codes(image.NewGray(image.Rectangle{}), nil) != nil {
		t.Error("no picture has a code")
	}
	if _, err := Read(nil, known, &p.Manifest.Pages[3]); err == nil {
		t.Error("no picture was read")
	}
	// A part of a larger picture is read as by itself.
	big := image.NewGray(image.Rect(0, 0, 2000, 2600))
	g, _ := clean(t, 4, 200)
	for y := range g.Rect.Dy() {
		copy(big.Pix[big.PixOffset(100, 50+y):], g.Pix[y*g.Stride:][:g.Rect.Dx()])
	}
	part := big.SubImage(image.Rect(100, 50, 100+g.Rect.Dx(), 50+g.Rect.Dy())).(*image.Gray)
	if codes := Codes(part, nil); len(codes) != 1 {
		t.Errorf("a part of a picture: %d codes", len(codes))
	} else if _, err := Read(part, codes[0], &p.Manifest.Pages[3]); err != nil {
		t.Error(err)
	}
}
