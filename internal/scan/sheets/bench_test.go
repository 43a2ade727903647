package sheets

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"testing"
)

// a4 is a page of 200 dpi with the strokes and the grain of a scan.
func a4() *image.Gray {
	g := image.NewGray(image.Rect(0, 0, 1654, 2339))
	grain := noise(len(g.Pix))
	for i := range g.Pix {
		x, y := i%g.Stride, i/g.Stride
		if g.Pix[i] = 240 + grain[i]%8; (x/3+y/40)%13 == 0 && y%40 < 24 {
			g.Pix[i] = 20 + grain[i]%8
		}
	}
	return g
}

// BenchmarkSheet reads a page as scanners store it at 200 dpi; its bytes are pixels.
func BenchmarkSheet(b *testing.B) {
	g := a4()
	var grey, colour bytes.Buffer
	ycc := image.NewYCbCr(g.Rect, image.YCbCrSubsampleRatio420)
	copy(ycc.Y, g.Pix)
	for i := range ycc.Cb {
		ycc.Cb[i], ycc.Cr[i] = 128, 128
	}
	if err := jpeg.Encode(&grey, g, &jpeg.Options{Quality: 75}); err != nil {
		b.Fatal(err)
	}
	if err := jpeg.Encode(&colour, ycc, &jpeg.Options{Quality: 75}); err != nil {
		b.Fatal(err)
	}
	bits := make([]byte, 207*2339)
	for i, v := range g.Pix {
		if x, y := i%g.Stride, i/g.Stride; v > 128 {
			bits[y*207+x/8] |= 0x80 >> (x % 8)
		}
	}
	dict := fmt.Sprintf("/Width %d/Height %d", g.Rect.Dx(), g.Rect.Dy())
	page := func(keys string, data []byte) []byte {
		return onePage(fullOf(g.Rect.Dx(), g.Rect.Dy()), "", pictured(dict+keys, data))
	}
	for _, c := range []struct {
		name string
		file []byte
	}{
		{"JPEG grey", grey.Bytes()},
		{"PDF JPEG grey", page("/Filter/DCTDecode/ColorSpace/DeviceGray/BitsPerComponent 8", grey.Bytes())},
		{"PDF JPEG colour", page("/Filter/DCTDecode/ColorSpace/DeviceRGB/BitsPerComponent 8", colour.Bytes())},
		{"PDF Flate grey", page("/Filter/FlateDecode/ColorSpace/DeviceGray/BitsPerComponent 8", zipped9(g.Pix))},
		{"PDF Flate bits", page("/Filter/FlateDecode/ColorSpace/DeviceGray/BitsPerComponent 1", zipped9(bits))},
	} {
		b.Run(c.name, func(b *testing.B) {
			f, err := Open(context.Background(), bytes.NewReader(c.file), int64(len(c.file)), nil)
			if err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(len(g.Pix)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.Sheet(context.Background(), 1); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "pages/s")
		})
	}
}
