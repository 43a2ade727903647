package sheets

import (
	"bytes"
	"context"
	"encoding/hex"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// What a page shows beside its picture, and how the picture lies.
func TestShown(t *testing.T) {
	pic := pictured("/Width 2/Height 1/ColorSpace/DeviceGray/BitsPerComponent 8", []byte{10, 200})
	for name, c := range map[string]struct {
		content, page string
		want          string // the greys by rows, or what the error says
	}{
		"one picture":                {full, "", "10 200/"},
		"within a form":              {"/X2 Do", "", "10 200/"},
		"text that is not shown":     {"BT /F 12 Tf 3 Tr (words) Tj ET " + full, "", "10 200/"},
		"text shown":                 {full + " BT (words) Tj ET", "", "it has text"},
		"text shown again":           {full + " q 3 Tr Q BT (words) Tj ET", "", "it has text"},
		"text under it":              {"BT (words) Tj ET 0 0 m 9 9 l S " + full, "", "10 200/"},
		"text under a part of it":    {"BT (words) Tj ET q 36 0 0 18 0 0 cm /X1 Do Q", "", "it has text"},
		"text alone":                 {"BT (words) Tj ET", "", "it has text"},
		"white paper below":          {"1 g 0 0 72 36 re f 0 g " + full, "", "10 200/"},
		"white over it":              {full + " 1 g 0 0 9 9 re f", "", "drawn areas"},
		"a line over it":             {full + " 0 0 m 9 9 l S", "", "drawn lines"},
		"half seen through":          {"/E gs " + full, "", "transparent"},
		"layers":                     {"/OC /L BDC " + full + " EMC", "", "layers"},
		"upside down":                {"q 72 0 0 -36 0 36 cm /X1 Do Q", "", "10 200/"},
		"mirrored":                   {"q -72 0 0 36 72 0 cm /X1 Do Q", "", "200 10/"},
		"turned by its matrix":       {"q 0 36 -72 0 72 0 cm /X1 Do Q", "", "200/10/"},
		"turned by the page":         {full, "/Rotate 90", "10/200/"},
		"turned back":                {full, "/Rotate -90", "200/10/"},
		"upside down by the page":    {full, "/Rotate 180", "200 10/"},
		"askew":                      {"q 70 7 -7 34 0 0 cm /X1 Do Q", "", "askew"},
		"of no size":                 {"q 0 0 0 0 0 0 cm /X1 Do Q", "", "no size on the page"},
		"two side by side":           {"q 36 0 0 18 0 0 cm /X1 Do Q q 36 0 0 18 36 18 cm /X1 Do Q", "", "255 255 10 200/10 200 255 255/"},
		"two, one over the other":    {full + " q 72 0 0 36 0 0 cm /X1 Do Q", "", "over one another"},
		"a signature laid over it":   {full, "/Annots[<</Subtype/Ink/AP<<>>>>]", "laid over it"},
		"a link":                     {full, "/Annots[<</Subtype/Link>>]", "10 200/"},
		"a note that is not shown":   {full, "/Annots[<</Subtype/Text/F 2>>]", "10 200/"},
		"nothing":                    {"", "", "no picture"},
		"a picture that is missing":  {"/X9 Do", "", "missing"},
		"operators that are damaged": {"<<<<", "", "damaged"},
	} {
		t.Run(name, func(t *testing.T) {
			form := func(b *built) int {
				return b.stream("/Type/XObject/Subtype/Form/BBox[0 0 1 1]/Matrix[72 0 0 36 0 0]/Resources<</XObject<</P 5 0 R>>>>", []byte("/P Do"))
			}
			f := open(t, onePage(c.content, c.page, pic, form), nil)
			s, err := f.Sheet(context.Background(), 1)
			got := ""
			if err != nil {
				got = err.Error()
			} else {
				for y := range s.Gray.Rect.Dy() {
					row := fmt.Sprint(s.Gray.Pix[y*s.Gray.Stride:][:s.Gray.Rect.Dx()])
					got += strings.Trim(row, "[]") + "/"
				}
			}
			if !strings.Contains(got, c.want) {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

// What only pdftoppm unpacks is named; it draws the page, if it is whole.
func TestPackedStrangely(t *testing.T) {
	render := func(context.Context, int) (image.Image, error) { return image.NewGray(image.Rect(0, 0, 200, 100)), nil }
	for filter, says := range map[string]string{"JBIG2Decode": "JBIG2", "JPXDecode": "JPEG 2000", "NewDecode": "NewDecode"} {
		b := onePage(full, "", pictured("/Width 20/Height 10/BitsPerComponent 1/Filter/"+filter, noise(50)))
		refused(t, filter, b, "packed as "+says+", for which pdftoppm is needed: install poppler-utils, or scan to JPEG")
		s, err := open(t, b, render).Sheet(context.Background(), 1)
		if err != nil || !s.Bilevel || math.Abs(s.DPI-200) > 0.1 {
			t.Errorf("%s: %v, %v dpi", filter, err, s.DPI)
		}
		cut := bytes.LastIndex(b, []byte("\nendstream"))
		if s, err := open(t, b[:cut-9], render).Sheet(context.Background(), 1); err == nil {
			t.Errorf("%s, cut short: %v", filter, s)
		}
	}
}

// Several goroutines may read pages at a time, also of a file that has to be searched.
func TestParallel(t *testing.T) {
	b := kept(t, "img2pdf-png.pdf")
	for _, b := range [][]byte{b, bytes.Replace(b, []byte("xref\n0"), []byte("xref\n9"), 1), kept(t, "qpdf-packed.pdf"), kept(t, "three.tif")} {
		f := open(t, b, nil)
		var all sync.WaitGroup
		for i := range 16 {
			all.Go(func() {
				if _, err := f.Sheet(context.Background(), 1+i%f.Len()); err != nil {
					t.Error(err)
				}
			})
		}
		all.Wait()
	}
}

// Poppler takes the same greys out of a file as are read here. It mixes neighbours a little
// when it draws, so a page of strips is of slopes.
func TestLikePoppler(t *testing.T) {
	const w, h = 144, 72 // pixels of half a point: pdftoppm at 144 dpi takes each once
	rgb, grey8, slope := noise(3*w*h), noise(w*h), make([]byte, w*h)
	for i := range slope {
		slope[i] = byte(i%w + i/w)
	}
	for name, c := range map[string]struct {
		b   []byte
		run []string
	}{
		"grey":    {onePage(full, "", pictured("/Width 144/Height 72/ColorSpace/DeviceGray/BitsPerComponent 8", grey8)), []string{"pdfimages"}},
		"colour":  {onePage(full, "", pictured("/Width 144/Height 72/ColorSpace/DeviceRGB/BitsPerComponent 8", rgb)), []string{"pdfimages"}},
		"bits":    {onePage(full, "", pictured("/Width 144/Height 72/ColorSpace/DeviceGray/BitsPerComponent 1", grey8)), []string{"pdfimages"}},
		"palette": {onePage(full, "", pictured("/Width 144/Height 72/ColorSpace[/Indexed/DeviceRGB 15<"+hex.EncodeToString(rgb[:48])+">]/BitsPerComponent 4", grey8)), []string{"pdfimages"}},
		"strips, turned": {onePage("q 72 0 0 18 0 18 cm /X1 Do Q q 72 0 0 18 0 0 cm /X2 Do Q", "/Rotate 90", pictured("/Width 144/Height 36/ColorSpace/DeviceGray/BitsPerComponent 8", slope),
			pictured("/Width 144/Height 36/ColorSpace/DeviceGray/BitsPerComponent 8", slope[w*h/2:])), []string{"pdftoppm", "-r", "144"}},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := open(t, c.b, nil).Sheet(context.Background(), 1)
			if err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			path := filepath.Join(dir, "a.pdf")
			if err := os.WriteFile(path, c.b, 0o600); err != nil {
				t.Fatal(err)
			}
			args := append(append([]string{}, c.run[1:]...), "-png", path, filepath.Join(dir, "p"))
			if out, err := exec.Command(c.run[0], args...).CombinedOutput(); err != nil {
				t.Fatalf("%s (testdata/install-tools installs it): %v %s", c.run[0], err, out)
			}
			found, _ := filepath.Glob(filepath.Join(dir, "p*.png"))
			if len(found) != 1 {
				t.Fatalf("%q", found)
			}
			out, err := os.ReadFile(found[0])
			if err != nil {
				t.Fatal(err)
			}
			m, err := png.Decode(bytes.NewReader(out))
			if err != nil {
				t.Fatal(err)
			}
			want, err := grey(m)
			if err != nil {
				t.Fatal(err)
			}
			same(t, s.Gray, want, 2)
		})
	}
}
