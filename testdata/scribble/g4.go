package scribble

import (
	"image"
	"strings"
)

// The codes of runs: 0 to 63 pixels one by one, then multiples of 64 (ITU-T T.4 (07/2003),
// Tables 2, 3a and 3b). Runs of 1792 and more have the same for both colours.
var (
	longRuns = strings.Fields("00000001000 00000001100 00000001101 000000010010 000000010011 000000010100 000000010101 000000010110 000000010111 " +
		"000000011100 000000011101 000000011110 000000011111")
	whiteRuns = append(strings.Fields("00110101 000111 0111 1000 1011 1100 1110 1111 10011 10100 00111 01000 001000 000011 110100 110101 101010 101011 0100111 "+
		"0001100 0001000 0010111 0000011 0000100 0101000 0101011 0010011 0100100 0011000 00000010 00000011 00011010 00011011 "+
		"00010010 00010011 00010100 00010101 00010110 00010111 00101000 00101001 00101010 00101011 00101100 00101101 00000100 "+
		"00000101 00001010 00001011 01010010 01010011 01010100 01010101 00100100 00100101 01011000 01011001 01011010 01011011 "+
		"01001010 01001011 00110010 00110011 00110100 11011 10010 010111 0110111 00110110 00110111 01100100 01100101 01101000 "+
		"01100111 011001100 011001101 011010010 011010011 011010100 011010101 011010110 011010111 011011000 011011001 011011010 "+
		"011011011 010011000 010011001 010011010 011000 010011011"), longRuns...)
	blackRuns = append(strings.Fields("0000110111 010 11 10 011 0011 0010 00011 000101 000100 0000100 0000101 0000111 00000100 00000111 000011000 0000010111 "+
		"0000011000 0000001000 00001100111 00001101000 00001101100 00000110111 00000101000 00000010111 00000011000 000011001010 "+
		"000011001011 000011001100 000011001101 000001101000 000001101001 000001101010 000001101011 000011010010 000011010011 "+
		"000011010100 000011010101 000011010110 000011010111 000001101100 000001101101 000011011010 000011011011 000001010100 "+
		"000001010101 000001010110 000001010111 000001100100 000001100101 000001010010 000001010011 000000100100 000000110111 "+
		"000000111000 000000100111 000000101000 000001011000 000001011001 000000101011 000000101100 000001011010 000001100110 "+
		"000001100111 0000001111 000011001000 000011001001 000001011011 000000110011 000000110100 000000110101 0000001101100 "+
		"0000001101101 0000001001010 0000001001011 0000001001100 0000001001101 0000001110010 0000001110011 0000001110100 "+
		"0000001110101 0000001110110 0000001110111 0000001010010 0000001010011 0000001010100 0000001010101 0000001011010 "+
		"0000001011011 0000001100100 0000001100101"), longRuns...)
)

// vertical has the codes of T.6 for an edge that lies -3 to 3 pixels right of the one above
// (ITU-T T.6 (11/1988), Table 1).
var vertical = [7]string{"0000010", "000010", "010", "1", "011", "000011", "0000011"}

// bits are written from the highest of each byte down.
type bits struct {
	out  []byte
	last uint
	n    int
}

func (b *bits) put(code string) {
	for i := range len(code) {
		b.last = b.last<<1 | uint(code[i]-'0')
		if b.n++; b.n == 8 {
			b.out, b.last, b.n = append(b.out, byte(b.last)), 0, 0
		}
	}
}

// run writes how many pixels of a colour follow.
func (b *bits) run(n int, black bool) {
	codes := whiteRuns
	if black {
		codes = blackRuns
	}
	for n >= 64 {
		k := min(n/64, 40)
		b.put(codes[63+k])
		n -= 64 * k
	}
	b.put(codes[n])
}

// edge gives where in a row, from x on, the colour changes: the first pixel that is not
// as the one left of it. Left of the row is white.
func edge(row []uint8, x int) int {
	was := false
	if x > 0 {
		was = row[x-1] < 128
	}
	for x < len(row) && (row[x] < 128) == was {
		x++
	}
	return x
}

// encodeG4 compresses a bilevel picture as ITU-T T.6 says, which scanners call G4: each
// row by how its edges lie to those of the row above.
func encodeG4(g *image.Gray) []byte {
	var b bits
	w, h := g.Rect.Dx(), g.Rect.Dy()
	above := make([]uint8, w)
	for i := range above {
		above[i] = 255
	}
	for y := range h {
		row := g.Pix[y*g.Stride:][:w]
		a0, black := -1, false
		for a0 < w {
			from := max(a0, 0)
			a1 := from // the next edge of this row
			for a1 < w && (row[a1] < 128) == black {
				a1++
			}
			// The first edge above, right of a0, to the other colour; then the next.
			b1 := edge(above, a0+1)
			if b1 < w && (above[b1] < 128) == black {
				b1 = edge(above, b1+1)
			}
			b2 := w
			if b1 < w {
				b2 = edge(above, b1+1)
			}
			switch d := a1 - b1; {
			case b2 < a1:
				b.put("0001") // pass
				a0 = b2
				continue
			case d >= -3 && d <= 3:
				b.put(vertical[d+3])
				a0, black = a1, !black
			default:
				a2 := a1
				for a2 < w && (row[a2] < 128) != black {
					a2++
				}
				b.put("001") // horizontal: two runs
				b.run(a1-from, black)
				b.run(a2-a1, !black)
				a0 = a2
			}
		}
		above = row
	}
	b.put("000000000001000000000001")
	for b.n != 0 {
		b.put("0")
	}
	return b.out
}
