package scribble

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"math"
	"strings"
)

// Codec says how pictures are kept in a PDF or a TIFF.
type Codec string

// Codecs. Auto takes G4 for a bilevel shot, DCT for one that is a JPEG, else Flate.
const (
	Auto  Codec = ""
	Raw   Codec = "raw"
	Flate Codec = "flate"
	DCT   Codec = "jpeg"
	G4    Codec = "g4"
)

// packed is a picture as it is kept.
type packed struct {
	codec  Codec
	data   []byte
	w, h   int
	bits   int // of a pixel's part
	colour bool
	dpi    float64 // 0 unknown
}

// pack encodes a shot. G4 makes any shot bilevel, at half grey.
func pack(s Shot, c Codec) (packed, error) {
	if c == Auto {
		switch {
		case s.JPEG != nil:
			c = DCT
		case s.Bilevel:
			c = G4
		default:
			c = Flate
		}
	}
	p := packed{codec: c, w: s.Image.Rect.Dx(), h: s.Image.Rect.Dy(), bits: 8, dpi: s.DPI}
	switch c {
	case Raw, Flate:
		p.data = rows(s.Image)
		if s.Bilevel {
			p.data, p.bits = bitmap(s.Image), 1
		}
		if c == Flate {
			var b bytes.Buffer
			z := zlib.NewWriter(&b)
			if _, err := z.Write(p.data); err != nil {
				return packed{}, err
			}
			if err := z.Close(); err != nil {
				return packed{}, err
			}
			p.data = b.Bytes()
		}
	case G4:
		p.data, p.bits = encodeG4(s.Image), 1
	case DCT:
		var b bytes.Buffer
		if err := WriteJPEG(&b, s, 75); err != nil {
			return packed{}, err
		}
		p.data = b.Bytes()
		info, err := jpeg.DecodeConfig(&b)
		if err != nil {
			return packed{}, err
		}
		p.colour = info.ColorModel != color.GrayModel
	default:
		return packed{}, fmt.Errorf("scribble: no codec is called %s", c)
	}
	return p, nil
}

// rows gives the pixels without what may lie between rows.
func rows(g *image.Gray) []byte {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	out := make([]byte, 0, w*h)
	for y := range h {
		out = append(out, g.Pix[y*g.Stride:][:w]...)
	}
	return out
}

// bitmap gives a bit for each pixel, 1 for white, rows padded to bytes.
func bitmap(g *image.Gray) []byte {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	stride := (w + 7) / 8
	out := make([]byte, stride*h)
	for y := range h {
		for x, v := range g.Pix[y*g.Stride:][:w] {
			if v >= 128 {
				out[y*stride+x/8] |= 0x80 >> (x % 8)
			}
		}
	}
	return out
}

// WritePDF writes shots as a PDF of one picture a page and nothing else, as scanners do.
// A page whose resolution is not known is laid out at 150 dpi.
func WritePDF(w io.Writer, shots []Shot, c Codec) error {
	var b bytes.Buffer
	var at []int
	object := func(head string, data []byte) {
		at = append(at, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\n", len(at), head)
		if data != nil {
			b.WriteString("stream\n")
			b.Write(data)
			b.WriteString("\nendstream\n")
		}
		b.WriteString("endobj\n")
	}
	b.WriteString("%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
	var kids strings.Builder
	for i := range shots {
		fmt.Fprintf(&kids, "%d 0 R ", 3+3*i)
	}
	object("<< /Type /Catalog /Pages 2 0 R >>", nil)
	object(fmt.Sprintf("<< /Type /Pages /Count %d /Kids [ %s] >>", len(shots), kids.String()), nil)
	for _, s := range shots {
		p, err := pack(s, c)
		if err != nil {
			return err
		}
		dpi := p.dpi
		if dpi == 0 {
			dpi = 150
		}
		pw, ph := float64(p.w)/dpi*72, float64(p.h)/dpi*72
		n := len(at) + 1
		object(fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %.2f %.2f] /Contents %d 0 R /Resources << /XObject << /Im0 %d 0 R >> >> >>", pw, ph, n+1, n+2), nil)
		draw := fmt.Appendf(nil, "q %.4f 0 0 %.4f 0 0 cm /Im0 Do Q", pw, ph)
		object(fmt.Sprintf("<< /Length %d >>", len(draw)), draw)
		space, filter := "/DeviceGray", ""
		if p.colour {
			space = "/DeviceRGB"
		}
		switch p.codec {
		case Flate:
			filter = "/Filter /FlateDecode "
		case DCT:
			filter = "/Filter /DCTDecode "
		case G4:
			filter = fmt.Sprintf("/Filter /CCITTFaxDecode /DecodeParms << /K -1 /Columns %d /Rows %d >> ", p.w, p.h)
		}
		object(fmt.Sprintf("<< /Type /XObject /Subtype /Image /Width %d /Height %d /ColorSpace %s /BitsPerComponent %d %s/Length %d >>",
			p.w, p.h, space, p.bits, filter, len(p.data)), p.data)
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, o := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&b, "trailer << /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(at)+1, table)
	_, err := w.Write(b.Bytes())
	return err
}

// WriteTIFF writes shots as the pages of one TIFF 6.0 file, a strip each.
func WriteTIFF(w io.Writer, shots []Shot, c Codec) error {
	le := binary.LittleEndian
	out := []byte("II*\x00\x00\x00\x00\x00")
	link := 4 // where the place of the next page's table goes
	for i, s := range shots {
		p, err := pack(s, c)
		if err != nil {
			return err
		}
		even := func() {
			if len(out)%2 == 1 {
				out = append(out, 0)
			}
		}
		data := len(out)
		out = append(out, p.data...)
		even()
		ratio := len(out)
		out = le.AppendUint32(le.AppendUint32(out, uint32(math.Round(p.dpi))), 1)
		bits := uint32(p.bits)
		parts := uint32(1)
		photometric := uint32(1) // black is 0
		switch {
		case p.codec == G4:
			photometric = 0
		case p.colour:
			photometric, parts = 6, 3
			bits = uint32(len(out))
			out = append(out, 8, 0, 8, 0, 8, 0)
		}
		compression := map[Codec]uint32{Raw: 1, G4: 4, DCT: 7, Flate: 8}[p.codec]
		const short, long, rational = 3, 4, 5
		tags := [][4]uint32{
			{256, long, 1, uint32(p.w)}, {257, long, 1, uint32(p.h)}, {258, short, parts, bits}, {259, short, 1, compression},
			{262, short, 1, photometric}, {273, long, 1, uint32(data)}, {277, short, 1, parts}, {278, long, 1, uint32(p.h)}, {279, long, 1, uint32(len(p.data))},
		}
		if p.dpi > 0 {
			tags = append(tags, [4]uint32{282, rational, 1, uint32(ratio)}, [4]uint32{283, rational, 1, uint32(ratio)}, [4]uint32{296, short, 1, 2})
		}
		tags = append(tags, [4]uint32{297, short, 2, uint32(i) | uint32(len(shots))<<16})
		even()
		le.PutUint32(out[link:], uint32(len(out)))
		out = le.AppendUint16(out, uint16(len(tags)))
		for _, t := range tags {
			out = le.AppendUint16(le.AppendUint16(out, uint16(t[0])), uint16(t[1]))
			out = le.AppendUint32(le.AppendUint32(out, t[2]), t[3])
		}
		link = len(out)
		out = le.AppendUint32(out, 0)
	}
	_, err := w.Write(out)
	return err
}

// WriteJPEG writes a shot that is a JPEG as it is, another at a quality of 1 to 100; with
// the resolution that it knows.
func WriteJPEG(w io.Writer, s Shot, quality int) error {
	raw := s.JPEG
	if raw == nil {
		_, raw = throughJPEG(s.Image, quality)
	}
	if s.DPI > 0 {
		head := []byte{0xFF, 0xD8, 0xFF, 0xE0, 0, 16, 'J', 'F', 'I', 'F', 0, 1, 1, 1}
		d := uint16(math.Round(s.DPI))
		head = binary.BigEndian.AppendUint16(binary.BigEndian.AppendUint16(head, d), d)
		raw = append(append(head, 0, 0), raw[2:]...)
	}
	_, err := w.Write(raw)
	return err
}

// WritePNG writes a shot, a bilevel one with a bit a pixel, with the resolution that it
// knows.
func WritePNG(w io.Writer, s Shot) error {
	var b bytes.Buffer
	var img image.Image = s.Image
	if s.Bilevel {
		two := image.NewPaletted(s.Image.Rect, color.Palette{color.Gray{}, color.Gray{Y: 255}})
		for i, v := range rows(s.Image) {
			two.Pix[i] = v >> 7
		}
		img = two
	}
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, img); err != nil {
		return err
	}
	raw := b.Bytes()
	if s.DPI > 0 {
		// pHYs, pixels a metre, stands behind the header: 8 bytes of signature, 25 of IHDR.
		perM := uint32(math.Round(s.DPI / 0.0254))
		chunk := binary.BigEndian.AppendUint32([]byte("pHYs"), perM)
		chunk = append(binary.BigEndian.AppendUint32(chunk, perM), 1)
		all := append(binary.BigEndian.AppendUint32(nil, uint32(len(chunk)-4)), chunk...)
		all = binary.BigEndian.AppendUint32(all, crc32.ChecksumIEEE(chunk))
		raw = append(append(bytes.Clone(raw[:33]), all...), raw[33:]...)
	}
	_, err := w.Write(raw)
	return err
}
