package sheets

import (
	"bufio"
	"bytes"
	"errors"
	"image"
	"io"

	"golang.org/x/image/ccitt"

	"jobsheaf/internal/pdfobject"
)

// picture is a picture of a PDF. Source: clause 8.9.
type picture struct {
	*page
	*stream
	w, h     int
	filters  []filter
	last     filter // the one that unpacks pixels, if not all unpack bytes
	samples  *samples
	plainly  bool // the numbers mean themselves
	inverted bool // the numbers mean the contrary: 0 is full
}

// packedAs names the filters that only pdftoppm unpacks.
var packedAs = map[string]string{"JBIG2Decode": "JBIG2", "JPXDecode": "JPEG 2000", "Crypt": "an encrypted stream"}

// picture reads what a picture says of itself.
func (p *page) picture(at placed) (*picture, error) {
	get := func(k string) any { return p.file.get(at.dict[k]) }
	q := &picture{page: p, stream: at.stream}
	var err error
	if q.filters, err = filtersOf(at.dict, p.file.get); err != nil {
		return nil, err
	}
	if n := len(q.filters); n > 0 {
		switch f := q.filters[n-1]; f.name {
		case "DCTDecode", "CCITTFaxDecode", "JBIG2Decode", "JPXDecode":
			q.last, q.filters = f, q.filters[:n-1]
		}
	}
	mask := get("ImageMask") == true
	bits, ok := whole(get("BitsPerComponent"))
	if mask || !ok && q.last.name != "DCTDecode" {
		bits = 1
	} else if q.last.name == "DCTDecode" {
		bits = 8
	}
	p.pictures++
	if p.cut = p.cut || !at.whole; bits == 1 {
		p.bilevel++ // if of one colour, which readSamples sees
	}
	if name := packedAs[q.last.name]; name != "" {
		return nil, strange("its picture is packed as %s", name)
	}
	w, _ := whole(get("Width"))
	h, _ := whole(get("Height"))
	q.w, q.h = int(min(w, maxSide+1)), int(min(h, maxSide+1))
	if err := within(q.w, q.h, 1); err != nil {
		return nil, err
	}
	if get("SMask") != nil || get("Mask") != nil {
		return nil, strange("its picture is transparent in parts")
	}
	switch bits {
	case 1, 2, 4, 8, 16:
	default:
		return nil, strange("its picture has %d bits a colour", bits)
	}
	if q.last.name == "CCITTFaxDecode" && bits != 1 {
		return nil, errors.New("its picture is damaged: CCITT holds black and white alone")
	}
	decode, _ := get("Decode").(pdfobject.Array)
	if mask {
		return q, q.maskOf(at.fill, decode)
	}
	if err := q.readSamples(get("ColorSpace"), int(bits), decode); err != nil {
		return nil, err
	}
	if bits == 1 && q.samples != nil && q.samples.n > 1 {
		p.bilevel--
	}
	return q, nil
}

// maskOf makes the table of a stencil: it paints where it is 0. Source: clause 8.9.6.2.
func (q *picture) maskOf(fill int, decode pdfobject.Array) error {
	if fill < 0 {
		return strange("its picture is a stencil in a colour of its own")
	}
	paints := 0.0
	if len(decode) > 0 {
		paints, _ = real(q.file.get(decode[0]))
	}
	q.samples = newSamples(spaceGrey, 1, 0, func(_ int, v float64) float64 {
		if v == paints {
			return float64(fill) / 255
		}
		return 1
	})
	return nil
}

// readSamples finds what the numbers mean. A JPEG without a space has its own.
func (q *picture) readSamples(v any, bits int, decode pdfobject.Array) error {
	if v == nil && q.last.name == "DCTDecode" {
		q.plainly = len(decode) == 0
		if !q.plainly {
			return strange("its picture does not say what its colours are")
		}
		return nil
	}
	if v == nil {
		v = pdfobject.Name("DeviceGray")
	}
	indexed, _ := v.(pdfobject.Array)
	s, palette := space(0), []uint8(nil)
	var err error
	if len(indexed) >= 4 && q.file.get(indexed[0]) == pdfobject.Name("Indexed") {
		s = spaceGrey
		palette, err = q.palette(indexed)
	} else {
		s, err = q.space(v, 0)
	}
	if err != nil {
		return err
	}
	full := 1.0
	if palette != nil {
		if bits > 8 {
			return errors.New("its palette is damaged")
		}
		full = float64(int(1)<<bits - 1)
	}
	// Decode says which amounts the least and the greatest number mean.
	low, high := [4]float64{}, [4]float64{full, full, full, full}
	if len(decode) >= 2*int(s) {
		for c := range int(s) {
			var ok1, ok2 bool
			low[c], ok1 = real(q.file.get(decode[2*c]))
			high[c], ok2 = real(q.file.get(decode[2*c+1]))
			if !ok1 || !ok2 {
				return errors.New("its picture is damaged (Decode)")
			}
		}
	}
	q.plainly, q.inverted = palette == nil, palette == nil
	for c := range int(s) {
		q.plainly = q.plainly && low[c] == 0 && high[c] == 1
		q.inverted = q.inverted && low[c] == 1 && high[c] == 0
	}
	q.samples = newSamples(s, bits, 0, func(c int, v float64) float64 {
		v = low[c] + v*(high[c]-low[c])
		if palette == nil {
			return v
		}
		i := int(min(float64(len(palette)-1), max(0, v+0.5)))
		return float64(palette[i]) / 255
	})
	return nil
}

// space reads a space of colours. Source: clause 8.6; the calibrated ones are taken for
// the plain ones of as many components, which changes a grey by little.
func (q *picture) space(v any, depth int) (space, error) {
	get := q.file.get
	list, _ := v.(pdfobject.Array)
	if len(list) > 0 {
		v = get(list[0])
	}
	switch v {
	case pdfobject.Name("DeviceGray"), pdfobject.Name("CalGray"):
		return spaceGrey, nil
	case pdfobject.Name("DeviceRGB"), pdfobject.Name("CalRGB"):
		return spaceRGB, nil
	case pdfobject.Name("DeviceCMYK"):
		return spaceCMYK, nil
	case pdfobject.Name("ICCBased"):
		if len(list) > 1 {
			if s, ok := get(list[1]).(*stream); ok {
				switch n, _ := whole(get(s.dict["N"])); n {
				case 1, 3, 4:
					return space(n), nil
				}
			}
		}
		return 0, errors.New("its colours are damaged (ICCBased)")
	}
	if n := nameIn(v); n != "" {
		return 0, strange("its colours are of a sort of their own (%s)", n)
	}
	return 0, strange("its colours are of a sort of their own")
}

// palette gives the grey of each colour of an Indexed space: base, highest, table.
func (q *picture) palette(list pdfobject.Array) ([]uint8, error) {
	s, err := q.space(q.file.get(list[1]), 1)
	if err != nil {
		return nil, err
	}
	highest, ok := whole(q.file.get(list[2]))
	if !ok || highest > 255 {
		return nil, errors.New("its palette is damaged")
	}
	n := int(highest) + 1
	var table []byte
	switch t := q.file.get(list[3]).(type) {
	case pdfobject.String:
		table = []byte(t)
	case *stream:
		r, err := q.file.unpackWith(t, q.file.get)
		if err != nil {
			return nil, err
		}
		table, _ = io.ReadAll(io.LimitReader(r, int64(n*int(s))))
	}
	if len(table) < n*int(s) {
		return nil, errors.New("its palette is cut short")
	}
	grey := make([]uint8, n)
	newSamples(s, 8, 0, plain).row(grey, table)
	return grey, nil
}

// decode gives the picture as it is stored, not turned.
func (q *picture) decode() (*image.Gray, error) {
	if q.last.name == "DCTDecode" {
		return q.decodeJPEG()
	}
	g := image.NewGray(image.Rect(0, 0, q.w, q.h))
	r, err := q.file.chain(q.stream, q.filters)
	if err != nil {
		return nil, err
	}
	if q.last.name == "CCITTFaxDecode" {
		return g, q.decodeFax(g, r)
	}
	return g, q.samples.fill(g, 0, q.w, 0, q.h, q.w, r)
}

// decodeFax unpacks CCITT. Source: clause 7.4.6.
func (q *picture) decodeFax(g *image.Gray, r io.Reader) error {
	parms := q.last.parms
	k, _ := real(parms["K"])
	group := ccitt.Group4
	switch {
	case k > 0:
		return strange("its picture is packed as CCITT Group 3 in two dimensions")
	case k == 0 && parms["EndOfLine"] != true:
		return strange("its picture is packed as CCITT Group 3 without line ends")
	case k == 0:
		group = ccitt.Group3
	}
	columns, ok := whole(parms["Columns"])
	if !ok {
		columns = 1728
	}
	if columns != int64(q.w) {
		return strange("its picture is packed with another width than it has")
	}
	o := &ccitt.Options{Align: parms["EncodedByteAlign"] == true, Invert: parms["BlackIs1"] == true}
	if err := ccitt.DecodeIntoGray(g, bufio.NewReader(r), ccitt.MSB, group, o); err != nil {
		if cut := faxFault(err); cut == errCut || group == ccitt.Group4 {
			return cut
		}
		return strange("its picture is packed as CCITT Group 3 of a sort of its own")
	}
	q.samples.again(g)
	return nil
}

// maxJPEG is how long a JPEG within another packing may be, in bytes.
const maxJPEG = 64 << 20

func (q *picture) decodeJPEG() (*image.Gray, error) {
	raw := io.NewSectionReader(q.file.r, q.at, q.n)
	if len(q.filters) > 0 {
		r, err := q.file.chain(q.stream, q.filters)
		if err != nil {
			return nil, err
		}
		b, err := io.ReadAll(io.LimitReader(r, maxJPEG+1))
		if err != nil || len(b) > maxJPEG {
			return nil, errors.New("its picture is damaged, or too long as it is packed")
		}
		raw = io.NewSectionReader(bytes.NewReader(b), 0, int64(len(b)))
	}
	h, err := jpegHead(raw)
	if err != nil {
		return nil, err
	}
	if q.samples != nil && h.components != q.samples.n {
		return nil, strange("its picture has other colours than it says")
	}
	if h.components == 4 && !h.adobe {
		return nil, strange("its picture is JPEG in four colours that it does not name")
	}
	_, _ = raw.Seek(0, io.SeekStart)
	m, err := h.decode(raw)
	if err != nil {
		return nil, err
	}
	switch m := m.(type) {
	case *image.Gray:
		if q.samples != nil {
			q.samples.again(m)
		}
	case *image.CMYK:
		// The decoder takes numbers of 0 for full ink, as programs of old store them; PDF takes
		// them as they stand, and says in Decode where they are stored so.
		if !q.inverted {
			for i := range m.Pix {
				m.Pix[i] = 255 - m.Pix[i]
			}
		}
		if !q.inverted && !q.plainly {
			return nil, strange("its picture stretches its colours (Decode)")
		}
	case *image.YCbCr:
		if n, ok := real(q.last.parms["ColorTransform"]); ok && n == 0 && !h.adobe && q.plainly {
			return planesGrey(m)
		}
		if !q.plainly {
			return nil, strange("its picture stretches its colours (Decode)")
		}
	default:
		if !q.plainly {
			return nil, strange("its picture stretches its colours (Decode)")
		}
	}
	return grey(m)
}
