// Package typeface measures text, breaks it into lines and tells which glyphs
// are missing.
//
// Entry points: Width, Wrap and Missing; Lookup, TableOf and FontAt for callers that set
// text rune by rune or embed the fonts. It belongs here if it is about a run of plain text in one face and
// size. It is not for placing text on paper (layout) nor for writing fonts into
// a file (pdf).
//
// Text is set glyph by glyph without kerning, ligatures or placed accents, so
// what is measured here is what is printed.
package typeface

import (
	"sync"
	"unicode/utf8"

	"jobsheaf/fonts"
	"jobsheaf/internal/page"
)

// MM is one point in millimetres.
const MM = 25.4 / 72

// Glyph is where a rune's shape is found and how far it advances.
type Glyph struct {
	Font    uint8   // index for FontAt
	ID      uint16  // glyph in that font; 0 where the face lacks the rune
	Advance float32 // thousandths of an em
}

// chain says for each face which files give its glyphs, in order of preference.
var chain = [page.FaceCount][]uint8{
	page.Regular:       {fonts.Sans, fonts.Signs},
	page.Bold:          {fonts.SansBold, fonts.SignsBold},
	page.Condensed:     {fonts.Condensed, fonts.Signs},
	page.BoldCondensed: {fonts.CondensedBold, fonts.SignsBold},
	page.Mono:          {fonts.Mono},
}

// lacking is what a rune without a glyph counts as: an em, so that a text with
// such runes is never measured too short.
var lacking = Glyph{Advance: 1000}

// block is 256 consecutive runes; a face is a table of 256 blocks, of which
// most are the shared block of lacking runes.
type block [256]Glyph

var (
	once  sync.Once
	files [fonts.Count]*Font
	faces [page.FaceCount]Table
)

// Table has the glyphs of one face, for callers that look up many of its runes
// one by one.
type Table [256]*block

// TableOf gives the table of a face; that of Regular for a face out of range.
func TableOf(face page.Face) *Table {
	once.Do(build)
	if face >= page.FaceCount {
		face = page.Regular
	}
	return &faces[face]
}

// Glyph gives the glyph of r. Its ID is 0 where the face lacks r.
func (t *Table) Glyph(r rune) Glyph {
	if uint32(r) > 0xFFFF {
		return lacking
	}
	return t[r>>8][r&0xFF]
}

func build() {
	for i, f := range fonts.Files {
		files[i] = newFont(f.Name, f.TTF)
	}
	empty := new(block)
	for i := range empty {
		empty[i] = lacking
	}
	for face, from := range chain {
		table := &faces[face]
		for i := range table {
			table[i] = empty
		}
		for _, n := range from {
			f := files[n]
			f.eachRune(func(r rune, glyph uint16) {
				b := table[r>>8]
				if b[r&0xFF].ID != 0 || !printable(r) {
					return
				}
				if b == empty {
					b = new(block)
					*b = *empty
					table[r>>8] = b
				}
				b[r&0xFF] = Glyph{n, glyph, float32(f.Advance(int(glyph))) * 1000 / float32(f.Units)}
				if r == 'H' {
					f.Cap = int(int16(be16(f.Outline(int(glyph)), 8)))
				}
			})
		}
	}
}

// FontAt gives one of the fonts.Count fonts.
func FontAt(i uint8) *Font {
	once.Do(build)
	return files[i]
}

// Lookup gives the glyph of r in the face. Its ID is 0 where the face lacks r.
// A face out of range is Regular.
func Lookup(face page.Face, r rune) Glyph { return TableOf(face).Glyph(r) }

// Width is the advance width of s in mm at the size in points. A rune that the
// face lacks counts as one em.
func Width(face page.Face, size float64, s string) float64 {
	return advance(TableOf(face), s) * size * (MM / 1000)
}

// advance is the width of s in thousandths of an em.
func advance(table *Table, s string) float64 {
	var w float64
	for i, latin := 0, table[0]; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf {
			for _, r := range s[i:] {
				w += float64(table.Glyph(r).Advance)
			}
			break
		}
		w += float64(latin[s[i]].Advance)
	}
	return w
}

// Missing gives the runes of s that the face cannot print, each once, in the
// order in which they appear; nil where there are none. Control characters,
// tabs, line ends, invisible format characters, combining accents, scripts
// other than Latin, Greek and Cyrillic, and runes above U+FFFF are missing;
// broken UTF-8 gives U+FFFD.
func Missing(face page.Face, s string) []rune {
	table := TableOf(face)
	var out []rune
next:
	for _, r := range s {
		if table.Glyph(r).ID != 0 {
			continue
		}
		for _, seen := range out {
			if seen == r {
				continue next
			}
		}
		out = append(out, r)
	}
	return out
}

// Ascent is how far the face's tallest letters rise above the baseline, in mm.
func Ascent(face page.Face, size float64) float64 { return scale(face, size).ascent }

// Descent is how far the face's letters reach below the baseline, in mm,
// positive.
func Descent(face page.Face, size float64) float64 { return scale(face, size).descent }

// CapHeight is the height of the face's capitals, in mm.
func CapHeight(face page.Face, size float64) float64 { return scale(face, size).cap }

type heights struct{ ascent, descent, cap float64 }

func scale(face page.Face, size float64) heights {
	once.Do(build)
	if face >= page.FaceCount {
		face = page.Regular
	}
	f := files[chain[face][0]]
	k := size * MM / float64(f.Units)
	return heights{float64(f.Ascent) * k, -float64(f.Descent) * k, float64(f.Cap) * k}
}
