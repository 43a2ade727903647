package sheets

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

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
