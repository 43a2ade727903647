package pdf

import (
	"crypto/sha256"
	"fmt"
	"sync"

	"jobsheaf/fonts"
	"jobsheaf/internal/page"
	"jobsheaf/internal/typeface"

	"github.com/klauspost/compress/zlib"
)

// A font is embedded by rows of 64 consecutive code points: a row of which a
// page uses one rune is embedded whole. So most documents in a language use the
// same few subsets, and each is built and compressed only once. The codes in the
// strings of a page are code points, so that a text can be found and copied
// whatever shapes its signs share.

// rows is a set of rows.
type rows [65536 / 64 / 64]uint64

func (s *rows) has(row int) bool { return s[row/64]>>(row%64)&1 == 1 }

// usage says which rows of which fonts a document uses.
type usage [fonts.Count]rows

func (u *usage) add(font uint8, r rune) { u[font][r>>12] |= 1 << (r >> 6 & 63) }

// merge adds what another usage has.
func (u *usage) merge(v *usage) {
	for i := range u {
		for k := range u[i] {
			u[i][k] |= v[i][k]
		}
	}
}

// subset is a part of a font, ready to be embedded. All streams are compressed.
type subset struct {
	name      string // with the prefix that marks a subset
	file      []byte
	fileSize  int    // of file, not compressed
	shapes    []byte // CIDToGIDMap
	unicode   []byte // ToUnicode
	present   []byte // CIDSet
	widths    []byte // the array W
	ascent    int    // these in thousandths of an em
	descent   int
	capHeight int
	bbox      [4]int
}

type subsetKey struct {
	font uint8
	rows rows
}

// subsets keeps the subsets that were built. A site's packets need few; should a
// process ever need many, all are dropped, since a subset can be built again.
var subsets struct {
	sync.Mutex
	built map[subsetKey]*subset
}

const mostSubsets = 128

func subsetOf(font uint8, r rows) *subset {
	key := subsetKey{font, r}
	subsets.Lock()
	defer subsets.Unlock()
	s := subsets.built[key]
	if s == nil {
		if subsets.built == nil || len(subsets.built) >= mostSubsets {
			subsets.built = map[subsetKey]*subset{}
		}
		s = buildSubset(font, &r)
		subsets.built[key] = s
	}
	return s
}

func buildSubset(font uint8, r *rows) *subset {
	f := typeface.FontAt(font)
	em := func(units int) int { return units * 1000 / f.Units }
	s := &subset{ascent: em(f.Ascent), descent: em(f.Descent), capHeight: em(f.Cap)}
	for i, v := range f.BBox {
		s.bbox[i] = em(v)
	}

	g := newGlyphs(f)
	var shapes, present []byte
	var ranges [][2]rune // of consecutive runes, each within a row
	s.widths = append(s.widths, '[')
	for row := range len(r) * 64 {
		if !r.has(row) {
			continue
		}
		last := rune(-2)
		for c := rune(row) * 64; c < rune(row+1)*64; c++ {
			shape, ok := glyphIn(font, c)
			if !ok {
				continue
			}
			id := g.take(shape.ID)
			shapes = append(shapes, make([]byte, 2*int(c)+2-len(shapes))...)
			shapes[2*c], shapes[2*c+1] = byte(id>>8), byte(id)
			present = append(present, make([]byte, int(c)/8+1-len(present))...)
			present[c/8] |= 0x80 >> (c % 8)
			if c != last+1 {
				if len(ranges) > 0 {
					s.widths = append(s.widths, ']')
				}
				s.widths = fmt.Appendf(s.widths, "%d[", c)
				ranges = append(ranges, [2]rune{c, c})
			}
			s.widths = append(appendNumber(s.widths, float64(shape.Advance)), ' ')
			ranges[len(ranges)-1][1] = c
			last = c
		}
	}
	s.widths = append(s.widths, "]]"...)
	present[0] |= 0x80 // the glyph for what is missing

	z := newDeflater()
	file := g.trueType()
	s.fileSize = len(file)
	s.file = z.deflated(file)
	s.shapes = z.deflated(shapes)
	s.present = z.deflated(present)
	s.unicode = z.deflated(toUnicode(ranges))
	s.name = prefix(file) + "+" + f.Name
	return s
}

// glyphIn gives the rune's glyph if a face takes it from that font.
func glyphIn(font uint8, r rune) (typeface.Glyph, bool) {
	for face := range page.FaceCount {
		if g := typeface.Lookup(face, r); g.ID != 0 && g.Font == font {
			return g, true
		}
	}
	return typeface.Glyph{}, false
}

// prefix gives the six letters that tell this subset from others of its font.
// Source: clause 9.6.4.
func prefix(file []byte) string {
	h := sha256.Sum256(file)
	var b [6]byte
	for i := range b {
		b[i] = 'A' + h[i]%26
	}
	return string(b[:])
}

// toUnicode gives the map from codes to code points, which are the same.
// Source: clause 9.10.3; a block has at most 100 entries.
func toUnicode(ranges [][2]rune) []byte {
	b := []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo <</Registry(Adobe)/Ordering(UCS)/Supplement 0>> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000><FFFF>\nendcodespacerange\n")
	for len(ranges) > 0 {
		n := min(100, len(ranges))
		b = fmt.Appendf(b, "%d beginbfrange\n", n)
		for _, r := range ranges[:n] {
			b = fmt.Appendf(b, "<%04X><%04X><%04X>\n", r[0], r[1], r[0])
		}
		b = append(b, "endbfrange\n"...)
		ranges = ranges[n:]
	}
	return append(b, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"...)
}

// deflater compresses what is kept, better and slower than pages.
type deflater struct{ scratch }

func newDeflater() *deflater {
	d := new(deflater)
	d.zip, _ = zlib.NewWriterLevel(&d.buf, zlib.BestCompression) // a known level cannot fail
	return d
}

func (d *deflater) deflated(b []byte) []byte { return append([]byte(nil), d.deflate(b)...) }

// resources writes the fonts that the pages used and the dictionary that names
// them for all pages.
func (p *Writer) resources() {
	dict := "/ProcSet[/PDF/Text]/Font<<"
	for i := range uint8(fonts.Count) {
		if p.used[i] != (rows{}) {
			dict += fmt.Sprintf("/F%d %d 0 R", i, p.embed(subsetOf(i, p.used[i])))
		}
	}
	p.dict(resourceDict, "%s>>", dict)
}

// embed writes a subset's objects and gives the number of the font.
func (p *Writer) embed(s *subset) int {
	const zip = "/Filter/FlateDecode"
	file, shapes, unicode := p.number(), p.number(), p.number()
	p.stream(file, fmt.Sprintf("/Length1 %d%s", s.fileSize, zip), s.file)
	p.stream(shapes, zip, s.shapes)
	p.stream(unicode, zip, s.unicode)
	set := ""
	if !p.archive3() {
		// PDF/A-1 asks for the set (ISO 19005-1, 6.3.5); PDF/A-3 does not, and has
		// stricter words on its content.
		n := p.number()
		p.stream(n, zip, s.present)
		set = fmt.Sprintf("/CIDSet %d 0 R", n)
	}
	descriptor, cid, font := p.number(), p.number(), p.number()
	p.dict(descriptor, "/Type/FontDescriptor/FontName/%s/Flags 4/FontBBox[%d %d %d %d]/ItalicAngle 0/Ascent %d/Descent %d/CapHeight %d/StemV 80/FontFile2 %d 0 R%s",
		s.name, s.bbox[0], s.bbox[1], s.bbox[2], s.bbox[3], s.ascent, s.descent, s.capHeight, file, set)
	p.dict(cid, "/Type/Font/Subtype/CIDFontType2/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/FontDescriptor %d 0 R/CIDToGIDMap %d 0 R/W%s",
		s.name, descriptor, shapes, s.widths)
	p.dict(font, "/Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%d 0 R]/ToUnicode %d 0 R",
		s.name, cid, unicode)
	return font
}
