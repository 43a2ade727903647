package sheets

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"context"
	"errors"
	"fmt"
	"image"
	"io"

	"golang.org/x/image/ccitt"
	"golang.org/x/image/tiff/lzw"
)

// tiffFile is a TIFF file: each directory is a page, less those of small copies.
// golang.org/x/image/tiff reads the first directory alone, and takes a pixel apart at
// a time; this room shares its own way of unpacking rows with PDF.
// Source: TIFF 6.0, and its Technical Note 2 for JPEG; "section" is one of it.
type tiffFile struct {
	tiffReader
	dirs  []uint32 // where each page's directory stands
	fault error    // what ended the list of them early
}

// maxSheets is how many pages a file may have.
const maxSheets = 20_000

// errLost stands for the pages behind a break.
var errLost = errors.New("the file breaks off here: what follows is lost, scan it again from this page")

func openTIFF(r io.ReaderAt, size int64) (pager, error) {
	t, at, err := tiffHead(io.NewSectionReader(r, 0, size))
	if err != nil {
		return nil, err
	}
	f := &tiffFile{tiffReader: t}
	seen := map[uint32]bool{}
	for at != 0 {
		switch dir, next, err := t.directory(at); {
		case seen[at] || len(seen) >= maxSheets:
			f.fault, at = errors.New("the list of pages runs in a circle or is endless"), 0
		case err != nil && len(f.dirs) == 0:
			return nil, err
		case err != nil:
			f.fault, at = errLost, 0
		default:
			seen[at] = true
			// A reduced copy of another page is no page (section 8, NewSubfileType).
			if dir.one(tagSubfile, 0)&1 == 0 {
				f.dirs = append(f.dirs, at)
			}
			at = next
		}
	}
	return f, nil
}

func (f *tiffFile) len() int {
	if f.fault != nil {
		return len(f.dirs) + 1
	}
	return len(f.dirs)
}

func (f *tiffFile) sheet(_ context.Context, n int) (Sheet, error) {
	if n >= len(f.dirs) {
		return Sheet{}, f.fault
	}
	dir, _, err := f.directory(f.dirs[n])
	if err != nil {
		return Sheet{}, err
	}
	p, err := f.picture(dir)
	if err != nil {
		return Sheet{}, err
	}
	g := image.NewGray(image.Rect(0, 0, p.w, p.h))
	for i := range p.blocks() {
		if err := p.block(g, i); err != nil {
			return Sheet{}, err
		}
	}
	x, y := dir.resolution()
	g, dpi, err := square(g, x, y)
	if err != nil {
		return Sheet{}, err
	}
	return Sheet{Gray: turned(g, exif(int(dir.one(tagOrientation, 1)))), DPI: dpi, Bilevel: p.samples.bilevel()}, nil
}

// The ways of packing. Source: section 8, Compression, and Technical Note 2.
const (
	packNone     = 1
	packFax1D    = 2
	packGroup3   = 3
	packGroup4   = 4
	packLZW      = 5
	packOldJPEG  = 6
	packJPEG     = 7
	packDeflate  = 8
	packDeflate2 = 32946
	packBits     = 32773
)

// packNames names those that are not read.
var packNames = map[uint32]string{
	packFax1D: "CCITT without line ends", packOldJPEG: "JPEG as before 1995", 9: "JBIG", 10: "JBIG", 34661: "JBIG",
	34712: "JPEG 2000", 33003: "JPEG 2000", 33005: "JPEG 2000", 34925: "LZMA", 50000: "Zstandard", 50001: "WebP", 34676: "LogLuv", 34677: "LogLuv",
}

func notInTIFF(pack string) error {
	return fmt.Errorf("its picture is packed as %s, which is not read in TIFF: scan to PDF, or to TIFF with Group 4 or LZW", pack)
}

// tiffPicture is the picture of one directory: blocks, which are strips or tiles.
type tiffPicture struct {
	tiffReader
	dir            tiffDir
	w, h           int
	blockW, blockH int
	across, down   int
	offsets, sizes []uint32
	pack           uint32
	predictor      bool
	lsb            bool // the first pixel is the lowest bit
	samples        *samples
	tables         []byte // of JPEG
}

func (p *tiffPicture) blocks() int { return p.across * p.down }

// picture reads what a directory says of its picture, and refuses what is not read.
func (t tiffReader) picture(dir tiffDir) (*tiffPicture, error) {
	p := &tiffPicture{tiffReader: t, dir: dir, w: int(dir.one(tagWidth, 0)), h: int(dir.one(tagHeight, 0)), pack: dir.one(tagCompression, 1)}
	if err := within(p.w, p.h, 1); err != nil {
		return nil, err
	}
	if name, ok := packNames[p.pack]; ok {
		return nil, notInTIFF(name)
	}
	if p.pack == packGroup3 && dir.one(tagT4Options, 0)&1 != 0 {
		return nil, notInTIFF("CCITT Group 3 (fax) in two dimensions")
	}
	p.lsb = dir.one(tagFillOrder, 1) == 2
	p.predictor = dir.one(tagPredictor, 1) == 2
	if n := dir.one(tagPredictor, 1); n > 2 {
		return nil, fmt.Errorf("its picture is stored as fractions (predictor %d), which is not read: scan in grey", n)
	}
	if err := p.readSamples(); err != nil {
		return nil, err
	}
	p.blockW, p.blockH = p.w, min(p.h, int(min(dir.one(tagRowsPerStrip, maxSide), maxSide)))
	places, lengths := uint16(tagStripOffsets), uint16(tagStripSizes)
	if dir.has(tagTileWidth) {
		p.blockW, p.blockH = int(dir.one(tagTileWidth, 0)), int(dir.one(tagTileHeight, 0))
		places, lengths = tagTileOffsets, tagTileSizes
	}
	if p.blockW < 1 || p.blockH < 1 || p.blockW > maxSide || p.blockH > maxSide {
		return nil, errors.New("its picture is cut into pieces of no size")
	}
	p.across, p.down = (p.w+p.blockW-1)/p.blockW, (p.h+p.blockH-1)/p.blockH
	// A tile may be larger than the picture; small ones by the million are no scan.
	if p.blocks() > 100_000 || p.blockW*p.blockH > 2*maxPixels {
		return nil, errors.New("its picture is cut into too many pieces")
	}
	var err error
	if p.offsets, err = t.numbers(dir, places, p.blocks()); err == nil {
		p.sizes, err = t.numbers(dir, lengths, p.blocks())
	}
	if err != nil {
		return nil, err
	}
	if len(p.offsets) < p.blocks() || len(p.sizes) < p.blocks() {
		return nil, errors.New("its directory does not say where all of its picture is")
	}
	if p.pack == packJPEG {
		p.tables, err = t.bytes(dir, tagJPEGTables, 1<<16)
	}
	return p, err
}

// readSamples finds what the numbers of the picture mean.
func (p *tiffPicture) readSamples() error {
	n := int(p.dir.one(tagSamples, 1))
	bits, err := p.numbers(p.dir, tagBits, 16)
	if err != nil {
		return err
	}
	if len(bits) == 0 {
		bits = []uint32{1}
	}
	for _, b := range bits {
		if b != bits[0] {
			return errors.New("its colours have different numbers of bits, which is not read: scan in grey")
		}
	}
	depth := int(bits[0])
	switch depth {
	case 1, 2, 4, 8, 16:
	default:
		return fmt.Errorf("its picture has %d bits a sample, which is not read: scan in grey", depth)
	}
	if p.dir.one(tagFormat, 1) != 1 {
		return errors.New("its picture is stored as fractions or with signs, which is not read: scan in grey")
	}
	if n > 1 && p.dir.one(tagPlanar, 1) == 2 {
		return errors.New("its colours are stored apart (planar), which is not read: scan in grey")
	}
	s, value := spaceGrey, plain
	switch photo := p.dir.one(tagPhotometric, 1); photo {
	case 0: // white is zero
		value = func(_ int, v float64) float64 { return 1 - v }
	case 1:
	case 2:
		s = spaceRGB
	case 3:
		if depth > 8 {
			return errors.New("its palette is too large")
		}
		palette, err := p.numbers(p.dir, tagPalette, 3<<depth)
		if err != nil || len(palette) < 3<<depth {
			return errors.New("its palette is missing")
		}
		full := float64(int(1)<<depth - 1)
		value = func(_ int, v float64) float64 {
			i := int(v*full + 0.5)
			return float64(redPart*palette[i]/65535+greenPart*palette[i+1<<depth]/65535+bluePart*palette[i+2<<depth]/65535) / 65536
		}
	case 5:
		s = spaceCMYK
		if p.dir.one(tagInkSet, 1) != 1 {
			return errors.New("its colours are inks of its own, which is not read: scan in grey")
		}
	case 6:
		if p.pack != packJPEG {
			return errors.New("its colours are YCbCr without JPEG, which is not read: scan in grey")
		}
		s = spaceRGB
	default:
		return fmt.Errorf("its colours are of a sort (photometric %d) that is not read: scan in grey", photo)
	}
	if n < int(s) || n > 16 {
		return fmt.Errorf("its picture has %d colours where it needs %d", n, s)
	}
	if p.fax() && (depth != 1 || n != 1) {
		return errors.New("its picture is damaged: a fax holds black and white alone")
	}
	p.samples = newSamples(s, depth, n-int(s), value)
	return nil
}

// block decodes one strip or tile into its place.
func (p *tiffPicture) block(g *image.Gray, i int) error {
	x0, y0 := i%p.across*p.blockW, i/p.across*p.blockH
	x1, y1 := min(p.w, x0+p.blockW), min(p.h, y0+p.blockH)
	rows := y1 - y0
	if p.dir.has(tagTileWidth) {
		rows = p.blockH // tiles are filled up
	}
	from := io.NewSectionReader(p.r, int64(p.offsets[i]), int64(p.sizes[i]))
	var r io.Reader = bufio.NewReader(from)
	if p.lsb && !p.fax() && p.samples.bits < 8 {
		r = reversed{r}
	}
	switch p.pack {
	case 0, packNone:
	case packGroup3, packGroup4:
		return p.faxBlock(g, r, x0, y0, x1, y1, rows)
	case packLZW:
		z := lzw.NewReader(r, lzw.MSB, 8)
		defer z.Close()
		r = z
	case packDeflate, packDeflate2:
		z, err := zlib.NewReader(r)
		if err != nil {
			return fmt.Errorf("%w, or is damaged", errCut)
		}
		r = z
	case packBits:
		r = &runs{r: bufio.NewReader(r), tiff: true}
	case packJPEG:
		return p.jpegBlock(g, from, x0, y0, x1, y1)
	default:
		return fmt.Errorf("its picture is packed in a way (compression %d) that is not read: scan to PDF, or to TIFF with Group 4 or LZW", p.pack)
	}
	if p.predictor {
		r = newPredicted(r, predictTIFF, p.blockW, p.samples.n+p.samples.skip, p.samples.bits, p.order)
	} else if p.samples.bits == 16 && p.order == little {
		r = swapped{r}
	}
	return p.samples.fill(g, x0, x1, y0, y1, p.blockW, r)
}

// fax says whether the picture is packed as a fax is.
func (p *tiffPicture) fax() bool { return p.pack == packGroup3 || p.pack == packGroup4 }

// faxBlock decodes a strip or tile of rows that is packed as a fax.
func (p *tiffPicture) faxBlock(g *image.Gray, r io.Reader, x0, y0, x1, y1, rows int) error {
	order, group := ccitt.MSB, ccitt.Group4
	if p.lsb {
		order = ccitt.LSB
	}
	if p.pack == packGroup3 {
		group = ccitt.Group3
	}
	// White runs of the stream are samples of 0, whatever these mean, as libtiff has it.
	if x0 != 0 || x1 != p.w {
		return p.samples.fill(g, x0, x1, y0, y1, p.blockW, ccitt.NewReader(r, order, group, p.blockW, rows, &ccitt.Options{Invert: true}))
	}
	part := &image.Gray{Pix: g.Pix[y0*g.Stride:], Stride: g.Stride, Rect: image.Rect(0, 0, p.w, y1-y0)}
	raw := p.samples.one[0] != 255 || p.samples.one[1] != 0
	err := faxFault(ccitt.DecodeIntoGray(part, r, order, group, &ccitt.Options{Invert: raw}))
	if group == ccitt.Group3 && err != nil && err != errCut {
		return notInTIFF("CCITT Group 3 (fax) as this file has it")
	}
	if raw && err == nil {
		p.samples.again(part)
	}
	return err
}

// jpegBlock decodes a strip or tile that is a JPEG stream, whose tables stand before
// all of them. Source: Technical Note 2.
func (p *tiffPicture) jpegBlock(g *image.Gray, from *io.SectionReader, x0, y0, x1, y1 int) error {
	h, err := jpegHead(io.NewSectionReader(from, 0, from.Size()))
	if err != nil {
		return err
	}
	if h.w < x1-x0 || h.h < y1-y0 {
		return errors.New("a piece of its picture is smaller than it says")
	}
	// Both begin with a start of image, and the tables end with an end of it.
	var r io.Reader = io.NewSectionReader(from, 0, from.Size())
	if n := len(p.tables); n >= 4 {
		r = io.MultiReader(bytes.NewReader(p.tables[:n-2]), io.NewSectionReader(from, 2, from.Size()-2))
	}
	m, err := h.decode(r)
	if err != nil {
		return err
	}
	part, err := p.jpegGrey(m)
	if err != nil {
		return err
	}
	for y := y0; y < y1; y++ {
		copy(g.Pix[y*g.Stride+x0:y*g.Stride+x1], part.Pix[(y-y0)*part.Stride:])
	}
	return nil
}

// jpegGrey gives the grey of a piece: where TIFF says that its three components are
// RGB, they are not YCbCr as JPEG alone would have it.
func (p *tiffPicture) jpegGrey(m image.Image) (*image.Gray, error) {
	planes, ok := m.(*image.YCbCr)
	if ok && p.dir.one(tagPhotometric, 1) == 2 {
		return planesGrey(planes)
	}
	g, err := grey(m)
	if err == nil && p.samples.n == 1 {
		p.samples.again(g)
	}
	return g, err
}

// planesGrey gives the grey of planes that are red, green and blue.
func planesGrey(m *image.YCbCr) (*image.Gray, error) {
	b := m.Bounds()
	g := image.NewGray(image.Rect(0, 0, b.Dx(), b.Dy()))
	for y := range g.Rect.Dy() {
		for x := range g.Rect.Dx() {
			i, c := m.YOffset(b.Min.X+x, b.Min.Y+y), m.COffset(b.Min.X+x, b.Min.Y+y)
			g.Pix[y*g.Stride+x] = luminance(m.Y[i], m.Cb[c], m.Cr[c])
		}
	}
	return g, nil
}
