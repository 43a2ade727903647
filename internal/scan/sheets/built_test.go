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
	"math/rand/v2"
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
