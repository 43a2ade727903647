package typeface

import (
	"unicode"
)

// Font is one embedded font file with the tables that measuring and embedding
// need. It is built once and never changes.
type Font struct {
	Name     string // PostScript name
	Units    int    // units per em
	Ascent   int    // above the baseline, in font units
	Descent  int    // below the baseline, in font units, negative
	Cap      int    // height of H, in font units
	glyphs   int    // the number of glyphs
	BBox     [4]int // least box that holds every glyph, in font units
	tables   map[string]string
	metrics  int  // the number of entries of hmtx that have an advance
	longLoca bool // offsets in loca are 32 bits
}

// Table gives the bytes of the table with the tag, such as "glyf"; "" where
// there is none.
func (f *Font) Table(tag string) string { return f.tables[tag] }

// Advance is the glyph's advance width in font units.
func (f *Font) Advance(glyph int) int {
	return int(be16(f.tables["hmtx"], 4*min(glyph, f.metrics-1)))
}

// Outline gives the bytes of the glyph in the table glyf; "" for a glyph
// without ink.
func (f *Font) Outline(glyph int) string {
	loca, glyf := f.tables["loca"], f.tables["glyf"]
	if f.longLoca {
		return glyf[be32(loca, 4*glyph):be32(loca, 4*glyph+4)]
	}
	return glyf[2*int(be16(loca, 2*glyph)) : 2*int(be16(loca, 2*glyph+2))]
}

// The font files are part of the program and the tests read every glyph of
// them, so the readers below trust their offsets.

func newFont(name, ttf string) *Font {
	f := &Font{Name: name, tables: map[string]string{}}
	for i := range int(be16(ttf, 4)) {
		e := 12 + 16*i
		at := be32(ttf, e+8)
		f.tables[ttf[e:e+4]] = ttf[at : at+be32(ttf, e+12)]
	}
	head, hhea := f.tables["head"], f.tables["hhea"]
	f.Units = int(be16(head, 18))
	for i := range f.BBox {
		f.BBox[i] = int(int16(be16(head, 36+2*i)))
	}
	f.longLoca = be16(head, 50) == 1
	f.Ascent, f.Descent = int(int16(be16(hhea, 4))), int(int16(be16(hhea, 6)))
	f.metrics = int(be16(hhea, 34))
	f.glyphs = int(be16(f.tables["maxp"], 4))
	return f
}

// eachRune calls do with every rune up to U+FFFF that the font has and its glyph.
// Source: OpenType 1.9, cmap table, format 4.
func (f *Font) eachRune(do func(r rune, glyph uint16)) {
	cmap := f.tables["cmap"]
	var sub string
	for i := range int(be16(cmap, 2)) {
		e := 4 + 8*i
		if be16(cmap, e) == 3 && be16(cmap, e+2) == 1 { // Windows, Unicode BMP
			sub = cmap[be32(cmap, e+4):]
		}
	}
	n := int(be16(sub, 6)) // twice the number of segments
	ends, starts, deltas, offsets := 14, 16+n, 16+2*n, 16+3*n
	for s := 0; s < n; s += 2 {
		first, last := int(be16(sub, starts+s)), int(be16(sub, ends+s))
		delta, offset := be16(sub, deltas+s), int(be16(sub, offsets+s))
		for r := first; r <= last && r < 0xFFFF; r++ {
			g := uint16(r) + delta
			if offset != 0 {
				if g = be16(sub, offsets+s+offset+2*(r-first)); g != 0 {
					g += delta
				}
			}
			if g != 0 {
				do(rune(r), g)
			}
		}
	}
}

// printable reports whether a line of plain runes shows r as its writer means
// it. Controls and invisible format characters print nothing or a wrong sign,
// combining marks need placing, and other scripts need shaping or another
// direction: none of these is done here, so they count as missing.
func printable(r rune) bool {
	switch {
	case r == unicode.ReplacementChar:
		return false // what broken UTF-8 decodes to
	case unicode.In(r, unicode.C, unicode.M, unicode.Zl, unicode.Zp):
		return false
	case unicode.IsLetter(r):
		return unicode.In(r, unicode.Latin, unicode.Greek, unicode.Cyrillic, unicode.Common)
	}
	return true
}

func be16(s string, at int) uint16 { return uint16(s[at])<<8 | uint16(s[at+1]) }

func be32(s string, at int) uint32 {
	return uint32(be16(s, at))<<16 | uint32(be16(s, at+2))
}
