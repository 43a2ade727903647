package pdf

import (
	"encoding/binary"
	"math/bits"
	"sort"

	"jobsheaf/internal/typeface"
)

// Flags of a part of a composite glyph. Source: OpenType 1.9, glyf table.
const (
	argsAreWords    = 0x0001
	hasScale        = 0x0008
	morePartsFollow = 0x0020
	hasTwoScales    = 0x0040
	hasMatrix       = 0x0080
	hasInstructions = 0x0100
)

// glyphs collects the glyphs of a font that a subset has and numbers them from 0,
// which is the glyph for what is missing.
type glyphs struct {
	font   *typeface.Font
	old    []uint16          // by new number
	number map[uint16]uint16 // by old number
}

func newGlyphs(f *typeface.Font) *glyphs {
	g := &glyphs{font: f, number: map[uint16]uint16{}}
	g.take(0)
	return g
}

// take gives the new number of a glyph.
func (g *glyphs) take(old uint16) uint16 {
	n, ok := g.number[old]
	if !ok {
		n = uint16(len(g.old))
		g.number[old] = n
		g.old = append(g.old, old)
	}
	return n
}

// trueType gives a font file with the glyphs taken so far and the parts of which
// they are composed. It has the tables that clause 9.9 asks for. Instructions
// are left out: what draws a page at the size of paper does not need them, and
// they are most of a file.
func (g *glyphs) trueType() []byte {
	var glyf, loca, hmtx []byte
	xMin, yMin, xMax, yMax := int16(0), int16(0), int16(0), int16(0)
	for i := 0; i < len(g.old); i++ { // grows as parts are found
		old := int(g.old[i])
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		outline := []byte(g.font.Outline(old))
		var left int16
		if len(outline) > 0 {
			box := func(at int) int16 { return int16(binary.BigEndian.Uint16(outline[at:])) }
			left = box(2)
			xMin, yMin, xMax, yMax = min(xMin, left), min(yMin, box(4)), max(xMax, box(6)), max(yMax, box(8))
			glyf = append(glyf, g.plain(outline)...)
			for len(glyf)%4 != 0 {
				glyf = append(glyf, 0)
			}
		}
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(g.font.Advance(old)))
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(left))
	}
	loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))

	head, hhea, maxp := []byte(g.font.Table("head")), []byte(g.font.Table("hhea")), []byte(g.font.Table("maxp"))
	put := binary.BigEndian.PutUint16
	put(head[36:], uint16(xMin))
	put(head[38:], uint16(yMin))
	put(head[40:], uint16(xMax))
	put(head[42:], uint16(yMax))
	put(head[50:], 1) // loca has 32 bits
	put(hhea[34:], uint16(len(g.old)))
	put(maxp[4:], uint16(len(g.old)))
	for at := 14; at < 28; at += 2 {
		put(maxp[at:], 0) // what instructions would need
	}
	put(maxp[14:], 1) // zones
	return fontFile(map[string][]byte{"glyf": glyf, "head": head, "hhea": hhea, "hmtx": hmtx, "loca": loca, "maxp": maxp})
}

// plain gives an outline without instructions, its parts renumbered.
func (g *glyphs) plain(outline []byte) []byte {
	word := func(at int) int { return int(binary.BigEndian.Uint16(outline[at:])) }
	if contours := int16(word(0)); contours >= 0 {
		at := 10 + 2*int(contours)
		rest := at + 2 + word(at)
		out := append(outline[:at:at], 0, 0)
		return append(out, outline[rest:]...)
	}
	for at := 10; ; {
		flags := word(at)
		binary.BigEndian.PutUint16(outline[at:], uint16(flags&^hasInstructions))
		binary.BigEndian.PutUint16(outline[at+2:], g.take(uint16(word(at+2))))
		at += 6
		if flags&argsAreWords != 0 {
			at += 2
		}
		switch {
		case flags&hasScale != 0:
			at += 2
		case flags&hasTwoScales != 0:
			at += 4
		case flags&hasMatrix != 0:
			at += 8
		}
		if flags&morePartsFollow == 0 {
			return outline[:at]
		}
	}
}

// fontFile joins tables. Source: OpenType 1.9, "Organization of an OpenType
// Font" and "Calculating checksums".
func fontFile(tables map[string][]byte) []byte {
	tags := make([]string, 0, len(tables))
	for tag := range tables {
		tags = append(tags, tag)
	}
	sort.Strings(tags)
	n := len(tags)
	log := bits.Len(uint(n)) - 1
	b := []byte{0, 1, 0, 0}
	for _, v := range []int{n, 16 << log, log, 16*n - 16<<log} {
		b = binary.BigEndian.AppendUint16(b, uint16(v))
	}
	binary.BigEndian.PutUint32(tables["head"][8:], 0) // the sum of the whole, set below
	at := len(b) + 16*n
	for _, tag := range tags {
		b = append(b, tag...)
		b = binary.BigEndian.AppendUint32(b, checksum(tables[tag]))
		b = binary.BigEndian.AppendUint32(b, uint32(at))
		b = binary.BigEndian.AppendUint32(b, uint32(len(tables[tag])))
		at += (len(tables[tag]) + 3) &^ 3
	}
	head := 0
	for _, tag := range tags {
		if tag == "head" {
			head = len(b)
		}
		b = append(b, tables[tag]...)
		for len(b)%4 != 0 {
			b = append(b, 0)
		}
	}
	binary.BigEndian.PutUint32(b[head+8:], 0xB1B0AFBA-checksum(b))
	return b
}

// checksum adds up the 32-bit words of b, which is filled up with zeros.
func checksum(b []byte) uint32 {
	var s uint32
	for ; len(b) >= 4; b = b[4:] {
		s += binary.BigEndian.Uint32(b)
	}
	if len(b) > 0 {
		var last [4]byte
		copy(last[:], b)
		s += binary.BigEndian.Uint32(last[:])
	}
	return s
}
