package sheets

import (
	"bytes"
	"compress/lzw"
	"compress/zlib"
	"context"
	"encoding/ascii85"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// built writes a PDF of objects, 1 0 first: text, or text and the bytes of a stream.
type built struct{ objects []string }

// add gives the number of an object.
func (b *built) add(format string, args ...any) int {
	b.objects = append(b.objects, fmt.Sprintf(format, args...))
	return len(b.objects)
}

func (b *built) stream(dict string, data []byte) int {
	return b.add("<<%s/Length %d>>stream\n%s\nendstream", dict, len(data), data)
}

// bytes writes the file; object 1 is the catalog.
func (b *built) bytes() []byte {
	out := []byte("%PDF-1.7\n")
	var at []int
	for i, o := range b.objects {
		at = append(at, len(out))
		out = fmt.Appendf(out, "%d 0 obj%s endobj\n", i+1, o)
	}
	start := len(out)
	out = fmt.Appendf(out, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, p := range at {
		out = fmt.Appendf(out, "%010d 00000 n \n", p)
	}
	return fmt.Appendf(out, "trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(at)+1, start)
}

// onePage is a page of 72 by 36 points whose content is given, with the XObjects X1 and so on
// and more keys of the page.
func onePage(content, page string, objects ...func(b *built) int) []byte {
	b := &built{}
	b.add("<</Type/Catalog/Pages 2 0 R>>")
	b.add("<</Type/Pages/Kids[3 0 R]/Count 1/MediaBox[0 0 72 36]>>")
	b.add("") // the page
	text := b.stream("", []byte(content))
	names := ""
	for i, o := range objects {
		names += fmt.Sprintf("/X%d %d 0 R", i+1, o(b))
	}
	b.objects[2] = fmt.Sprintf("<</Type/Page/Parent 2 0 R/Contents %d 0 R/Resources<</XObject<<%s>>/ExtGState<</E<</ca 0.5>>>>>>%s>>", text, names, page)
	return b.bytes()
}

// full is the content of a page that is one picture, twice as wide as high.
const full = "q 72 0 0 36 0 0 cm /X1 Do Q"

// fullOf is that for a picture of some size, whose pixels are square.
func fullOf(w, h int) string { return fmt.Sprintf("q %d 0 0 %d 0 0 cm /X1 Do Q", w, h) }

// pictured is an XObject that is a picture.
func pictured(dict string, data []byte) func(*built) int {
	return func(b *built) int { return b.stream("/Type/XObject/Subtype/Image"+dict, data) }
}

func zipped9(data []byte) []byte {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	_, _ = z.Write(data)
	_ = z.Close()
	return b.Bytes()
}

// noise gives bytes that are the same each time.
func noise(n int) []byte {
	r := rand.New(rand.NewPCG(1, 2))
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(r.Uint32())
	}
	return b
}

// Each way to store a picture in a PDF gives the greys that its numbers mean, worked out
// apart.
func TestPictures(t *testing.T) {
	const w, h = 13, 5
	grey8, rgb8, cmyk8 := noise(w*h), noise(3*w*h), noise(4*w*h)
	lum := func(r, g, b float64) float64 { return 0.299*r + 0.587*g + 0.114*b }
	bit := func(row []byte, i, bits int) float64 {
		v := 0
		for k := range bits {
			v = v<<1 | int(row[(i*bits+k)/8]>>(7-(i*bits+k)%8)&1)
		}
		return float64(v)
	}
	packed := func(bits, n int) []byte { return noise((w*n*bits + 7) / 8 * h) }
	at := func(data []byte, bits, n, x, y, c int) float64 {
		row := (w*n*bits + 7) / 8
		return bit(data[y*row:], x*n+c, bits)
	}
	var flate85, lzwd bytes.Buffer
	a := ascii85.NewEncoder(&flate85)
	_, _ = a.Write(zipped9(grey8))
	_ = a.Close()
	z := lzw.NewWriter(&lzwd, lzw.MSB, 8)
	_, _ = z.Write(grey8)
	_ = z.Close()
	runLength := []byte{}
	for y := range h {
		runLength = append(append(runLength, w-1), grey8[y*w:y*w+w]...)
	}
	runLength = append(runLength, 128)
	up := []byte{} // the PNG predictors, one row each
	for y := range h {
		up = append(up, byte(y%5))
		for x := range w {
			v, left, above, corner := int(grey8[y*w+x]), 0, 0, 0
			if x > 0 {
				left = int(grey8[y*w+x-1])
			}
			if y > 0 {
				above = int(grey8[(y-1)*w+x])
			}
			if x > 0 && y > 0 {
				corner = int(grey8[(y-1)*w+x-1])
			}
			p := left + above - corner
			near := func(q int) int { return max(p-q, q-p) }
			paeth := corner
			if near(left) <= near(above) && near(left) <= near(corner) {
				paeth = left
			} else if near(above) <= near(corner) {
				paeth = above
			}
			up = append(up, byte(v-[]int{0, left, above, (left + above) / 2, paeth}[y%5]))
		}
	}
	tiff2 := append([]byte{}, rgb8...)
	for i := len(tiff2) - 1; i >= 0; i-- {
		if i%(3*w) >= 3 {
			tiff2[i] -= tiff2[i-3]
		}
	}
	ofGrey := func(x, y int) float64 { return float64(grey8[y*w+x]) }
	ofRGB := func(x, y int) float64 {
		p := rgb8[3*(y*w+x):]
		return lum(float64(p[0]), float64(p[1]), float64(p[2]))
	}
	p1, p2, p4, p16, p2rgb := packed(1, 1), packed(2, 1), packed(4, 1), packed(16, 1), packed(2, 3)
	for name, c := range map[string]struct {
		dict string
		data []byte
		want func(x, y int) float64
	}{
		"8 bits, plain":    {"/ColorSpace/DeviceGray/BitsPerComponent 8", grey8, ofGrey},
		"Flate":            {"/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/FlateDecode", zipped9(grey8), ofGrey},
		"Flate in ASCII85": {"/ColorSpace/DeviceGray/BitsPerComponent 8/Filter[/ASCII85Decode/FlateDecode]", append(flate85.Bytes(), "~>"...), ofGrey},
		"hex":              {"/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/ASCIIHexDecode", []byte(strings.ToUpper(hex.EncodeToString(grey8[:9])) + "\n" + hex.EncodeToString(grey8[9:]) + ">"), ofGrey},
		"LZW":              {"/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/LZWDecode/DecodeParms<</EarlyChange 0>>", lzwd.Bytes(), ofGrey},
		"RunLength":        {"/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/RunLengthDecode", runLength, ofGrey},
		"PNG predictors":   {"/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/FlateDecode/DecodeParms<</Predictor 15/Columns 13>>", zipped9(up), ofGrey},
		"TIFF predictor":   {"/ColorSpace/DeviceRGB/BitsPerComponent 8/Filter/FlateDecode/DecodeParms[<</Predictor 2/Columns 13/Colors 3>>]", zipped9(tiff2), ofRGB},
		"RGB":              {"/ColorSpace/DeviceRGB/BitsPerComponent 8", rgb8, ofRGB},
		"CalRGB":           {"/ColorSpace[/CalRGB<</WhitePoint[1 1 1]>>]/BitsPerComponent 8", rgb8, ofRGB},
		"RGB, 2 bits": {"/ColorSpace/DeviceRGB/BitsPerComponent 2", p2rgb, func(x, y int) float64 {
			return 85 * lum(at(p2rgb, 2, 3, x, y, 0), at(p2rgb, 2, 3, x, y, 1), at(p2rgb, 2, 3, x, y, 2))
		}},
		"CMYK": {"/ColorSpace/DeviceCMYK/BitsPerComponent 8", cmyk8, func(x, y int) float64 {
			p := cmyk8[4*(y*w+x):]
			return max(0, 255-lum(float64(p[0]), float64(p[1]), float64(p[2]))-float64(p[3]))
		}},
		"1 bit": {"/ColorSpace/DeviceGray/BitsPerComponent 1", p1, func(x, y int) float64 { return 255 * at(p1, 1, 1, x, y, 0) }},
		"1 bit, turned round": {"/ColorSpace/DeviceGray/BitsPerComponent 1/Decode[1 0]", p1, func(x, y int) float64 {
			return 255 - 255*at(p1, 1, 1, x, y, 0)
		}},
		"stencil":               {"/ImageMask true", p1, func(x, y int) float64 { return 255 * at(p1, 1, 1, x, y, 0) }},
		"stencil, turned round": {"/ImageMask true/Decode[1 0]", p1, func(x, y int) float64 { return 255 - 255*at(p1, 1, 1, x, y, 0) }},
		"2 bits":                {"/ColorSpace/DeviceGray/BitsPerComponent 2", p2, func(x, y int) float64 { return 85 * at(p2, 2, 1, x, y, 0) }},
		"4 bits, half":          {"/ColorSpace/DeviceGray/BitsPerComponent 4/Decode[0 .5]", p4, func(x, y int) float64 { return 17 * at(p4, 4, 1, x, y, 0) / 2 }},
		"16 bits":               {"/ColorSpace/DeviceGray/BitsPerComponent 16", p16, func(x, y int) float64 { return at(p16, 16, 1, x, y, 0) / 257 }},
		"palette": {"/ColorSpace[/Indexed/DeviceRGB 3<000000 FF0000 00FF00 FFFFFF>]/BitsPerComponent 2", p2, func(x, y int) float64 {
			return []float64{0, 0.299 * 255, 0.587 * 255, 255}[int(at(p2, 2, 1, x, y, 0))]
		}},
		"palette, too short for its numbers": {"/ColorSpace[/Indexed/DeviceGray 1<40 80>]/BitsPerComponent 2", p2, func(x, y int) float64 {
			return []float64{0x40, 0x80, 0x80, 0x80}[int(at(p2, 2, 1, x, y, 0))]
		}},
	} {
		t.Run(name, func(t *testing.T) {
			f := open(t, onePage(fullOf(w, h), "", pictured(fmt.Sprintf("/Width %d/Height %d%s", w, h, c.dict), c.data)), nil)
			s, err := f.Sheet(context.Background(), 1)
			if err != nil {
				t.Fatal(err)
			}
			want := image.NewGray(image.Rect(0, 0, w, h))
			for y := range h {
				for x := range w {
					want.Pix[y*w+x] = uint8(c.want(x, y) + 0.5)
				}
			}
			same(t, s.Gray, want, 1)
		})
	}
}

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
		"text shown again":           {"q 3 Tr Q BT (words) Tj ET" + full, "", "it has text"},
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

// CCITT Group 4 with its switches: the stream of a TIFF of libtiff's, in a PDF.
func TestFax(t *testing.T) {
	raw := kept(t, "bilevel-g4.tif")
	r, at, err := tiffHead(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	dir, _, err := r.directory(at)
	if err != nil {
		t.Fatal(err)
	}
	p, err := r.picture(dir)
	if err != nil {
		t.Fatal(err)
	}
	strip := raw[p.offsets[0] : p.offsets[0]+p.sizes[0]]
	want := truth(t, true)
	want = cropped(want, p.w, p.blockH)
	if p.samples.one[0] == 0 { // white runs are 0, which PDF has as white
		for i := range want.Pix {
			want.Pix[i] = 255 - want.Pix[i]
		}
	}
	turnedRound := cropped(want, p.w, p.blockH)
	for i := range turnedRound.Pix {
		turnedRound.Pix[i] = 255 - turnedRound.Pix[i]
	}
	for keys, want := range map[string]*image.Gray{
		"/K -1/Columns 121>>":                                         want,
		"/K -1/Columns 121/BlackIs1 true>>":                           turnedRound,
		"/K -1/Columns 121>>/Decode[1 0]":                             turnedRound,
		"/K -1/Columns 121/BlackIs1 true>>/Decode[1 0]":               want,
		"/K -1/Columns 121/BlackIs1 true>>/ImageMask true":            turnedRound,
		"/K -1/Columns 121>>/ColorSpace[/Indexed/DeviceGray 1<FF00>]": turnedRound,
	} {
		dict := fmt.Sprintf("/Width 121/Height %d/BitsPerComponent 1/Filter/CCITTFaxDecode/DecodeParms<<%s", p.blockH, keys)
		s, err := open(t, onePage(fullOf(121, p.blockH), "", pictured(dict, strip)), nil).Sheet(context.Background(), 1)
		if err != nil {
			t.Errorf("%s: %v", keys, err)
			continue
		}
		t.Run(keys, func(t *testing.T) { same(t, s.Gray, want, 0) })
		if !s.Bilevel {
			t.Errorf("%s: it is black and white", keys)
		}
	}
	for _, keys := range []string{"/K 0/Columns 121", "/K 4/Columns 121", "/K -1/Columns 1728"} {
		dict := fmt.Sprintf("/Width 121/Height %d/BitsPerComponent 1/Filter/CCITTFaxDecode/DecodeParms<<%s>>", p.blockH, keys)
		refused(t, keys, onePage(full, "", pictured(dict, strip)), "pdftoppm is needed")
	}
}

// JPEG in a PDF: grey, colour, four inks as Adobe's programs store them, RGB that says so.
func TestJPEGs(t *testing.T) {
	const w, h = 24, 16
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.Set(x, y, color.RGBA{uint8(10 * x), uint8(15 * y), uint8(255 - 10*x), 255})
		}
	}
	want, _ := grey(m)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 99}); err != nil {
		t.Fatal(err)
	}
	dict := fmt.Sprintf("/Width %d/Height %d/BitsPerComponent 8/Filter", w, h)
	for name, o := range map[string]func(*built) int{
		"colour":          pictured(dict+"/DCTDecode/ColorSpace/DeviceRGB", b.Bytes()),
		"without a space": pictured(dict+"/DCTDecode", b.Bytes()),
		"packed again":    pictured(dict+"[/FlateDecode/DCTDecode]/ColorSpace/DeviceRGB", zipped9(b.Bytes())),
	} {
		s, err := open(t, onePage(fullOf(w, h), "", o), nil).Sheet(context.Background(), 1)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		t.Run(name, func(t *testing.T) { same(t, s.Gray, want, 12) })
	}
	// Grey with its contrary as Decode has it.
	b.Reset()
	if err := jpeg.Encode(&b, want, &jpeg.Options{Quality: 99}); err != nil {
		t.Fatal(err)
	}
	s, err := open(t, onePage(fullOf(w, h), "", pictured(dict+"/DCTDecode/ColorSpace/DeviceGray/Decode[1 0]", b.Bytes())), nil).Sheet(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Gray.Pix {
		s.Gray.Pix[i] = 255 - s.Gray.Pix[i]
	}
	same(t, cropped(s.Gray, w, h), want, 6)
}

// cropped drops the padding of rows.
func cropped(g *image.Gray, w, h int) *image.Gray {
	to := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		copy(to.Pix[y*w:][:w], g.Pix[y*g.Stride:])
	}
	return to
}

// PNG of every sort that the encoder writes.
func TestPNG(t *testing.T) {
	r := image.Rect(0, 0, 9, 7)
	pal := image.NewPaletted(r, color.Palette{color.Black, color.White, color.RGBA{255, 0, 0, 255}})
	nrgba, grey16, rgba64, nrgba64 := image.NewNRGBA(r), image.NewGray16(r), image.NewRGBA64(r), image.NewNRGBA64(r)
	for i, v := range noise(len(nrgba64.Pix)) {
		nrgba64.Pix[i] = v
		if i < len(pal.Pix) {
			pal.Pix[i] = v % 3
		}
		if i < len(nrgba.Pix) {
			nrgba.Pix[i] = v
		}
		if i < len(grey16.Pix) {
			grey16.Pix[i] = v
		}
		rgba64.Pix[i] = v
		if i%8 >= 6 {
			rgba64.Pix[i] = 255
		}
	}
	for name, m := range map[string]image.Image{"palette": pal, "alpha": nrgba, "grey 16": grey16, "colour 16": rgba64, "alpha 16": nrgba64} {
		var b bytes.Buffer
		if err := png.Encode(&b, m); err != nil {
			t.Fatal(err)
		}
		s, err := open(t, b.Bytes(), nil).Sheet(context.Background(), 1)
		if err != nil {
			t.Fatal(err)
		}
		want := image.NewGray(r)
		for y := range r.Dy() {
			for x := range r.Dx() {
				r, g, b, a := m.At(x, y).RGBA()
				want.Pix[y*want.Stride+x] = uint8((0.299*float64(r)+0.587*float64(g)+0.114*float64(b)+65535-float64(a))/257 + 0.5)
			}
		}
		t.Run(name, func(t *testing.T) { same(t, s.Gray, want, 1) })
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
