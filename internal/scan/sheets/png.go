package sheets

import (
	"bufio"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"image/color"
	"image/png"
	"io"
)

// pngFile is a PNG file: one page.
type pngFile struct {
	r    io.ReaderAt
	size int64
}

func (f pngFile) len() int { return 1 }

func (f pngFile) sheet(context.Context, int) (Sheet, error) {
	bits, colour, x, y := f.head()
	cfg, err := png.DecodeConfig(io.NewSectionReader(f.r, 0, f.size))
	if err == nil {
		err = within(cfg.Width, cfg.Height, pngBytes(cfg.ColorModel))
	} else {
		err = pngFault(err)
	}
	if err != nil {
		return Sheet{}, err
	}
	m, err := png.Decode(bufio.NewReader(io.NewSectionReader(f.r, 0, f.size)))
	if err != nil {
		return Sheet{}, pngFault(err)
	}
	g, err := grey(m)
	if err != nil {
		return Sheet{}, err
	}
	g, dpi, err := square(g, x, y)
	return Sheet{Gray: g, DPI: dpi, Bilevel: bits == 1 && colour == 0}, err
}

func pngFault(err error) error {
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return errCut
	}
	return fmt.Errorf("its picture is damaged (%w)", err)
}

// pngBytes is how much a pixel takes decoded, with a second picture of the passes where
// it is interlaced, and our grey.
func pngBytes(m color.Model) float64 {
	switch m {
	case color.GrayModel:
		return 2
	case color.Gray16Model:
		return 5
	case color.RGBAModel, color.NRGBAModel:
		return 9
	case color.RGBA64Model, color.NRGBA64Model:
		return 17
	}
	return 3 // a palette
}

// head reads what stands before the picture: bits of a sample, type of colour, pixels to
// the inch. Source: PNG (W3C, third edition), 11.2.1 and 11.3.4.3.
func (f pngFile) head() (bits, colour byte, x, y float64) {
	const perInch = 0.0254 // metres
	at := int64(8)
	for range 10_000 { // chunks; a picture has a few dozen before its data
		var b [8 + 13]byte
		n, _ := f.r.ReadAt(b[:], at)
		if n < 8 {
			return
		}
		data := b[8:n]
		switch kind := string(b[4:8]); {
		case kind == "IDAT" || kind == "IEND":
			return
		case kind == "IHDR" && len(data) >= 13:
			bits, colour = data[8], data[9]
		case kind == "pHYs" && len(data) >= 9 && data[8] == 1:
			x = float64(binary.BigEndian.Uint32(data)) * perInch
			y = float64(binary.BigEndian.Uint32(data[4:])) * perInch
		}
		at += 12 + int64(binary.BigEndian.Uint32(b[:4]))
	}
	return
}
