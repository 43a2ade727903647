package sheets

import (
	"encoding/binary"
	"errors"
	"io"
)

// This file reads the directories of TIFF, which EXIF has too. Source: TIFF 6.0,
// section 2.

// The fields that are looked at. Source: sections 8 to 22.
const (
	tagSubfile      = 254
	tagWidth        = 256
	tagHeight       = 257
	tagBits         = 258
	tagCompression  = 259
	tagPhotometric  = 262
	tagFillOrder    = 266
	tagStripOffsets = 273
	tagOrientation  = 274
	tagSamples      = 277
	tagRowsPerStrip = 278
	tagStripSizes   = 279
	tagXResolution  = 282
	tagYResolution  = 283
	tagPlanar       = 284
	tagT4Options    = 292
	tagUnit         = 296
	tagPredictor    = 317
	tagPalette      = 320
	tagTileWidth    = 322
	tagTileHeight   = 323
	tagTileOffsets  = 324
	tagTileSizes    = 325
	tagInkSet       = 332
	tagFormat       = 339
	tagJPEGTables   = 347
)

var (
	little binary.ByteOrder = binary.LittleEndian
	big    binary.ByteOrder = binary.BigEndian
)

// tiffReader reads from a TIFF file in its order of bytes.
type tiffReader struct {
	r     io.ReaderAt
	order binary.ByteOrder
}

// tiffDir is a directory: its fields, and the first number of each that has numbers.
type tiffDir map[uint16]tiffField

// tiffField is a field as it stands in the directory.
type tiffField struct {
	kind  uint16
	count uint32
	value [4]byte // or where the values stand
	first uint32
	ratio float64 // the first of fractions
}

// tiffHead reads how a file begins, and where its first directory is.
func tiffHead(r io.ReaderAt) (tiffReader, uint32, error) {
	var b [8]byte
	if n, _ := r.ReadAt(b[:], 0); n < len(b) {
		return tiffReader{}, 0, errors.New("it breaks off at its beginning")
	}
	switch string(b[:4]) {
	case "II\x2A\x00":
		return tiffReader{r, little}, little.Uint32(b[4:]), nil
	case "MM\x00\x2A":
		return tiffReader{r, big}, big.Uint32(b[4:]), nil
	}
	return tiffReader{}, 0, errors.New("it does not begin as TIFF does")
}

// fieldSizes are the bytes of a value, by the kind of field.
var fieldSizes = [...]int64{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4}

// directory reads the directory at a place; next is where the one behind it is, 0 is
// none.
func (t tiffReader) directory(at uint32) (dir tiffDir, next uint32, err error) {
	fault := errors.New("it breaks off in the list of what a page is")
	var head [2]byte
	if n, _ := t.r.ReadAt(head[:], int64(at)); n < 2 {
		return nil, 0, fault
	}
	b := make([]byte, 12*int(t.order.Uint16(head[:]))+4)
	if n, _ := t.r.ReadAt(b, int64(at)+2); n < len(b) {
		if n < len(b)-4 {
			return nil, 0, fault
		}
		clear(b[n:]) // programs leave out the place of the next where there is none
	}
	dir = tiffDir{}
	for ; len(b) > 4; b = b[12:] {
		f := tiffField{kind: t.order.Uint16(b[2:]), count: t.order.Uint32(b[4:])}
		copy(f.value[:], b[8:])
		if f.kind == 0 || int(f.kind) >= len(fieldSizes) || f.count == 0 {
			continue
		}
		var v [8]byte
		where := t.order.Uint32(f.value[:])
		inside := fieldSizes[f.kind]*int64(f.count) <= 4
		if inside {
			copy(v[:], f.value[:])
		} else if n, _ := t.r.ReadAt(v[:fieldSizes[f.kind]], int64(where)); n < int(fieldSizes[f.kind]) {
			continue // what needs it says that it is missing
		}
		f.first = t.number(f.kind, v[:])
		if below := t.order.Uint32(v[4:]); f.kind == 5 && below != 0 {
			f.ratio = float64(t.order.Uint32(v[:])) / float64(below)
		}
		dir[t.order.Uint16(b)] = f
	}
	return dir, t.order.Uint32(b), nil
}

// number reads a value of a kind that is a whole number, else 0.
func (t tiffReader) number(kind uint16, b []byte) uint32 {
	switch kind {
	case 1, 7:
		return uint32(b[0])
	case 3:
		return uint32(t.order.Uint16(b))
	case 4, 13:
		return t.order.Uint32(b)
	}
	return 0
}

func (d tiffDir) has(tag uint16) bool { _, ok := d[tag]; return ok }

// one gives the first number of a field, or what stands for it where it is missing.
func (d tiffDir) one(tag uint16, missing uint32) uint32 {
	if f, ok := d[tag]; ok {
		return f.first
	}
	return missing
}

// resolution gives pixels to the inch across and down, 0 is unknown.
func (d tiffDir) resolution() (x, y float64) {
	x, y = d[tagXResolution].ratio, d[tagYResolution].ratio
	switch d.one(tagUnit, 2) {
	case 2:
		return x, y
	case 3:
		return x * 2.54, y * 2.54
	}
	return 0, 0
}

// numbers gives the numbers of a field, at most so many.
func (t tiffReader) numbers(d tiffDir, tag uint16, most int) ([]uint32, error) {
	f, ok := d[tag]
	if !ok {
		return nil, nil
	}
	b, err := t.bytes(d, tag, most*int(fieldSizes[f.kind]))
	if err != nil {
		return nil, err
	}
	size := int(fieldSizes[f.kind])
	list := make([]uint32, len(b)/size)
	for i := range list {
		list[i] = t.number(f.kind, b[i*size:])
	}
	return list, nil
}

// bytes gives the values of a field as they stand, at most so many bytes.
func (t tiffReader) bytes(d tiffDir, tag uint16, most int) ([]byte, error) {
	f, ok := d[tag]
	if !ok {
		return nil, nil
	}
	size := fieldSizes[f.kind] * int64(f.count)
	if size <= 4 {
		return f.value[:min(size, int64(most))], nil
	}
	b := make([]byte, min(size, int64(most)))
	if n, _ := t.r.ReadAt(b, int64(t.order.Uint32(f.value[:]))); n < len(b) {
		return nil, errors.New("it breaks off in the list of where a page is")
	}
	return b, nil
}
