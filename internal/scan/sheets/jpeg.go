package sheets

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
)

// jpegFile is a JPEG file: one page.
type jpegFile struct {
	r    io.ReaderAt
	size int64
}

func (f jpegFile) len() int { return 1 }

func (f jpegFile) sheet(context.Context, int) (Sheet, error) {
	h, err := jpegHead(io.NewSectionReader(f.r, 0, f.size))
	if err != nil {
		return Sheet{}, err
	}
	m, err := h.decode(io.NewSectionReader(f.r, 0, f.size))
	if err != nil {
		return Sheet{}, err
	}
	g, err := grey(m)
	if err != nil {
		return Sheet{}, err
	}
	g, dpi, err := square(g, h.dpiX, h.dpiY)
	if err != nil {
		return Sheet{}, err
	}
	return Sheet{Gray: turned(g, exif(h.orientation)), DPI: dpi}, nil
}

// jpegInfo is what stands before the picture in a JPEG stream.
type jpegInfo struct {
	w, h        int
	components  int
	progressive bool
	rgb, adobe  bool // it says that its three components are RGB; Adobe's marker is there
	dpiX, dpiY  float64
	orientation int // as EXIF counts, 0 unknown
	perPixel    float64
}

// The sorts of JPEG, by the marker of their frame. Source: ITU-T T.81, table B.1.
var frames = map[byte]string{
	0xC3: "lossless", 0xC5: "hierarchical", 0xC6: "hierarchical", 0xC7: "hierarchical", 0xC9: "arithmetic", 0xCA: "arithmetic",
	0xCB: "arithmetic", 0xCD: "arithmetic", 0xCE: "arithmetic", 0xCF: "arithmetic", 0xF7: "lossless (JPEG-LS)",
}

// jpegHead reads up to the frame's sizes, and refuses what cannot be decoded.
func jpegHead(r io.ReadSeeker) (jpegInfo, error) {
	h := jpegInfo{}
	fault := errors.New("it breaks off before its picture begins")
	var b [4]byte
	if _, err := io.ReadFull(r, b[:2]); err != nil || b[0] != 0xFF || b[1] != 0xD8 {
		return h, errors.New("its picture is not the JPEG that it says")
	}
	for range 10_000 { // segments; a photograph has a few dozen
		if _, err := io.ReadFull(r, b[:2]); err != nil {
			return h, fault
		}
		for b[0] != 0xFF || b[1] == 0xFF { // fill bytes, and what programs leave between
			b[0] = b[1]
			if _, err := io.ReadFull(r, b[1:2]); err != nil {
				return h, fault
			}
		}
		marker := b[1]
		if marker == 0 || marker == 1 || marker >= 0xD0 && marker <= 0xD8 {
			continue // no length follows
		}
		if marker == 0xD9 || marker == 0xDA {
			return h, errors.New("its picture has no size")
		}
		if _, err := io.ReadFull(r, b[2:4]); err != nil {
			return h, fault
		}
		length := int(binary.BigEndian.Uint16(b[2:4])) - 2
		if length < 0 {
			return h, errors.New("it is damaged before its picture begins")
		}
		if sort, ok := frames[marker]; ok {
			return h, fmt.Errorf("its picture is %s JPEG, which is not read: scan or save it as baseline JPEG", sort)
		}
		switch marker {
		case 0xE0, 0xE1, 0xEE, 0xC0, 0xC1, 0xC2:
			seg := make([]byte, length)
			if _, err := io.ReadFull(r, seg); err != nil {
				return h, fault
			}
			if marker < 0xE0 {
				return h, h.frame(marker, seg)
			}
			h.note(marker, seg)
		default:
			if _, err := r.Seek(int64(length), io.SeekCurrent); err != nil {
				return h, fault
			}
		}
	}
	return h, errors.New("it is damaged before its picture begins")
}

// note takes what an application's segment says. Sources: JFIF 1.02; Exif 2.32,
// 4.7.2; Adobe's segment as Technical Note 5116 has it.
func (h *jpegInfo) note(marker byte, seg []byte) {
	switch {
	case marker == 0xE0 && bytes.HasPrefix(seg, []byte("JFIF\x00")) && len(seg) >= 12:
		x, y := float64(binary.BigEndian.Uint16(seg[8:])), float64(binary.BigEndian.Uint16(seg[10:]))
		switch seg[7] {
		case 1:
			h.dpiX, h.dpiY = x, y
		case 2:
			h.dpiX, h.dpiY = x*2.54, y*2.54
		}
	case marker == 0xEE && bytes.HasPrefix(seg, []byte("Adobe")) && len(seg) >= 12:
		h.adobe, h.rgb = true, seg[11] == 0
	case marker == 0xE1 && bytes.HasPrefix(seg, []byte("Exif\x00\x00")):
		r := bytes.NewReader(seg[6:])
		t, at, err := tiffHead(r)
		if err != nil {
			return
		}
		dir, _, err := t.directory(at)
		if err != nil {
			return
		}
		h.orientation = int(dir.one(tagOrientation, 0))
		if x, y := dir.resolution(); x > 0 && h.dpiX == 0 {
			h.dpiX, h.dpiY = x, y
		}
	}
}

// frame takes the sizes of the picture, and works out what decoding it takes.
func (h *jpegInfo) frame(marker byte, seg []byte) error {
	if len(seg) < 6 || len(seg) < 6+3*int(seg[5]) {
		return errors.New("it is damaged before its picture begins")
	}
	if seg[0] != 8 {
		return fmt.Errorf("its picture is JPEG of %d bits, which is not read: scan or save it with 8 bits", seg[0])
	}
	h.h, h.w = int(binary.BigEndian.Uint16(seg[1:])), int(binary.BigEndian.Uint16(seg[3:]))
	h.components, h.progressive = int(seg[5]), marker == 0xC2
	most, sum := 1, 0
	for c := range h.components {
		across, down := int(seg[7+3*c]>>4), int(seg[7+3*c]&15)
		most, sum = max(most, across*down), sum+across*down
	}
	if sum == 0 {
		return errors.New("it is damaged before its picture begins")
	}
	// A byte for each sample, and four for its coefficient while scans add to it.
	h.perPixel = float64(sum) / float64(most)
	if h.progressive {
		h.perPixel *= 5
	}
	if h.components == 4 || h.components == 3 && h.rgb {
		h.perPixel += 4
	}
	return within(h.w, h.h, h.perPixel)
}

// decode decodes the stream that h is the head of.
func (h *jpegInfo) decode(r io.Reader) (image.Image, error) {
	m, err := jpeg.Decode(r)
	var cannot jpeg.UnsupportedError
	switch {
	case errors.As(err, &cannot):
		return nil, fmt.Errorf("its picture is JPEG of a sort that is not read (%s): scan or save it as baseline JPEG in grey", string(cannot))
	case errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF):
		return nil, errCut
	case err != nil:
		return nil, fmt.Errorf("its picture is damaged (%w)", err)
	}
	return m, nil
}
