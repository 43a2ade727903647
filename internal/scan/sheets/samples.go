package sheets

import (
	"errors"
	"fmt"
	"image"
	"io"
	"math"
)

// samples says how the numbers of a picture are stored, and what they mean as grey:
// each component gives its part, from a table.
type samples struct {
	bits int // of a number: 1, 2, 4, 8 or 16
	n    int // components that count: 1, 3 or 4
	skip int // components behind them that do not
	// one is the grey of a picture of one component; parts are what each of several
	// adds to base, in parts of 65536. Of 16 bits the upper 8 count.
	one   [256]uint8
	parts [4][256]int32
	base  int32
}

// space is a way to say colours by numbers.
type space int

const (
	spaceGrey space = 1
	spaceRGB  space = 3
	spaceCMYK space = 4
)

// newSamples makes the tables of a space. value gives for a component and a number of
// it from 0 to 1 its amount from 0 to 1.
func newSamples(s space, bits, skip int, value func(c int, v float64) float64) *samples {
	t := &samples{bits: bits, n: int(s), skip: skip}
	full := float64(int(1)<<min(bits, 8) - 1)
	weights := [4]float64{redPart, greenPart, bluePart, 65536}
	if s == spaceCMYK {
		t.base = 255 << 16
	}
	for c := range t.n {
		for v := range int(full) + 1 {
			amount := 255 * min(1, max(0, value(c, float64(v)/full)))
			switch s {
			case spaceGrey:
				t.one[v] = uint8(math.Round(amount))
			case spaceRGB:
				t.parts[c][v] = int32(math.Round(amount) * weights[c])
			case spaceCMYK:
				t.parts[c][v] = int32(math.Round(amount) * -weights[c])
			}
		}
	}
	return t
}

// plain is the value of numbers that mean themselves.
func plain(_ int, v float64) float64 { return v }

// rowBytes is the length of a stored row.
func (s *samples) rowBytes(w int) int { return (w*(s.n+s.skip)*s.bits + 7) / 8 }

// bilevel says whether there are two greys.
func (s *samples) bilevel() bool { return s.bits == 1 && s.n == 1 }

// row makes grey of a stored row.
func (s *samples) row(dst, src []byte) {
	step := s.n + s.skip
	switch {
	case s.n == 1 && s.bits == 1 && step == 1:
		zero, one := s.one[0], s.one[1]
		for x := range dst {
			if src[x>>3]&(0x80>>(x&7)) == 0 {
				dst[x] = zero
			} else {
				dst[x] = one
			}
		}
	case s.n == 1 && s.bits == 8:
		for x := range dst {
			dst[x] = s.one[src[x*step]]
		}
	case s.n == 1:
		for x := range dst {
			dst[x] = s.one[s.at(src, x*step)]
		}
	default:
		for x := range dst {
			sum := s.base + 1<<15
			for c := range s.n {
				sum += s.parts[c][s.at(src, x*step+c)]
			}
			dst[x] = uint8(min(255, max(0, sum>>16)))
		}
	}
}

// at gives the number at a place of a row.
func (s *samples) at(row []byte, i int) uint8 {
	switch s.bits {
	case 8:
		return row[i]
	case 16:
		return row[2*i]
	}
	bit := i * s.bits
	return row[bit>>3] >> (8 - s.bits - bit&7) & (1<<s.bits - 1)
}

// errCut is what reading rows gives where they end early.
var errCut = errors.New("its picture breaks off")

// fill reads rows into the part of g from y0 to y1, from its left edge x0 to x1, of a
// stored width w that may go further. A row is unpacked before the next is read.
func (s *samples) fill(g *image.Gray, x0, x1, y0, y1, w int, r io.Reader) error {
	row := make([]byte, s.rowBytes(w))
	for y := y0; y < y1; y++ {
		if _, err := io.ReadFull(r, row); err != nil {
			if err == io.EOF || errors.Is(err, io.ErrUnexpectedEOF) {
				return fmt.Errorf("%w at row %d of %d", errCut, y, g.Rect.Dy())
			}
			return fmt.Errorf("its picture is damaged at row %d of %d (%w)", y, g.Rect.Dy(), err)
		}
		s.row(g.Pix[y*g.Stride+x0:y*g.Stride+x1], row)
	}
	return nil
}

// again replaces greys from 0 to 255, read as numbers of one component, by what they
// mean. It leaves alone what means itself.
func (s *samples) again(g *image.Gray) {
	same := true
	var table [256]uint8
	for v := range table {
		table[v] = s.one[v>>(8-min(8, s.bits))]
		same = same && int(table[v]) == v
	}
	if same {
		return
	}
	for y := range g.Rect.Dy() {
		row := g.Pix[y*g.Stride:][:g.Rect.Dx()]
		for x, v := range row {
			row[x] = table[v]
		}
	}
}
