package sheets

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math/bits"
)

// This file unpacks bytes, as they come and never further than they are asked for: a
// small file cannot make a large one of itself here.

// runs unpacks runs of equal bytes: PDF's RunLength, and PackBits of TIFF, in which
// the byte that ends PDF's says nothing. Sources: ISO 32000-1, 7.4.5; TIFF 6.0, section 9.
type runs struct {
	r     *bufio.Reader
	tiff  bool
	left  int  // bytes of this run
	equal bool // they are all last
	last  byte
}

func (u *runs) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		if u.left == 0 {
			c, err := u.r.ReadByte()
			switch {
			case err != nil:
				return n, err
			case c == 128 && u.tiff:
				continue
			case c == 128:
				return n, io.EOF
			case c > 128:
				if u.last, err = u.r.ReadByte(); err != nil {
					return n, err
				}
				u.left, u.equal = 257-int(c), true
			default:
				u.left, u.equal = int(c)+1, false
			}
		}
		part := p[n:min(len(p), n+u.left)]
		got := len(part)
		if u.equal {
			for i := range part {
				part[i] = u.last
			}
		} else {
			var err error
			if got, err = io.ReadFull(u.r, part); err != nil {
				return n + got, err
			}
		}
		n, u.left = n+got, u.left-got
	}
	return n, nil
}

// predictTIFF and those from predictPNG on are ways to store a row by what differs from
// its neighbours. Source: ISO 32000-1, table 10.
const (
	predictTIFF = 2
	predictPNG  = 10
)

// predicted undoes that, a row at a time.
type predicted struct {
	r         io.Reader
	png       bool
	bits      int
	colours   int
	order     binary.ByteOrder // of 16 bits; what comes out has the high byte first
	pixel     int              // bytes, 1 at least
	row, last []byte           // PNG's with the byte before it that says how
	out       []byte           // of row, not yet given
	err       error
}

func newPredicted(r io.Reader, how, columns, colours, depth int, order binary.ByteOrder) *predicted {
	p := &predicted{r: r, png: how >= predictPNG, bits: depth, colours: colours, order: order, pixel: max(1, colours*depth/8)}
	n := (columns*colours*depth + 7) / 8
	if p.png {
		n++
	}
	p.row, p.last = make([]byte, n), make([]byte, n)
	return p
}

func (p *predicted) Read(b []byte) (int, error) {
	if len(p.out) == 0 {
		if p.err != nil {
			return 0, p.err
		}
		p.row, p.last = p.last, p.row
		if _, p.err = io.ReadFull(p.r, p.row); p.err != nil {
			return 0, p.err
		}
		if p.png {
			if p.err = p.undoPNG(); p.err != nil {
				return 0, p.err
			}
			p.out = p.row[1:]
		} else {
			p.undoTIFF()
			p.out = p.row
		}
	}
	n := copy(b, p.out)
	p.out = p.out[n:]
	return n, nil
}

// undoPNG adds the neighbours. Source: PNG (W3C, third edition), 9.2.
func (p *predicted) undoPNG() error {
	row, up := p.row[1:], p.last[1:]
	switch p.row[0] {
	case 0:
	case 1:
		for i := p.pixel; i < len(row); i++ {
			row[i] += row[i-p.pixel]
		}
	case 2:
		for i := range row {
			row[i] += up[i]
		}
	case 3:
		for i := range row {
			left := 0
			if i >= p.pixel {
				left = int(row[i-p.pixel])
			}
			row[i] += byte((left + int(up[i])) / 2)
		}
	case 4:
		for i := range row {
			var a, c int
			if i >= p.pixel {
				a, c = int(row[i-p.pixel]), int(up[i-p.pixel])
			}
			b := int(up[i])
			da, db, dc := b-c, a-c, a+b-2*c
			da, db, dc = max(da, -da), max(db, -db), max(dc, -dc)
			switch {
			case da <= db && da <= dc:
				row[i] += byte(a)
			case db <= dc:
				row[i] += byte(b)
			default:
				row[i] += byte(c)
			}
		}
	default:
		return errors.New("a row is stored in a way that does not exist")
	}
	return nil
}

// undoTIFF adds the pixel to the left. Source: TIFF 6.0, section 14.
func (p *predicted) undoTIFF() {
	row := p.row
	switch p.bits {
	case 8:
		for i := p.colours; i < len(row); i++ {
			row[i] += row[i-p.colours]
		}
	case 16:
		for i := 0; i+1 < len(row); i += 2 {
			v := p.order.Uint16(row[i:])
			if i >= 2*p.colours {
				v += big.Uint16(row[i-2*p.colours:])
			}
			big.PutUint16(row[i:], v)
		}
	default:
		mask := byte(1<<p.bits - 1)
		at := func(i int) (int, int) { return i * p.bits >> 3, 8 - p.bits - i*p.bits&7 }
		for i := p.colours; i < len(row)*8/p.bits; i++ {
			k, shift := at(i)
			kl, left := at(i - p.colours)
			v := (row[k]>>shift + row[kl]>>left) & mask
			row[k] = row[k]&^(mask<<shift) | v<<shift
		}
	}
}

// reversed turns the bits of each byte round.
type reversed struct{ r io.Reader }

func (v reversed) Read(p []byte) (int, error) {
	n, err := v.r.Read(p)
	for i := range p[:n] {
		p[i] = bits.Reverse8(p[i])
	}
	return n, err
}

// swapped puts the high byte of two first. It is read in whole rows.
type swapped struct{ r io.Reader }

func (s swapped) Read(p []byte) (int, error) {
	n, err := io.ReadFull(s.r, p[:len(p)&^1])
	for i := 0; i+1 < n; i += 2 {
		p[i], p[i+1] = p[i+1], p[i]
	}
	return n, err
}

// faxFault says in our words what is wrong with a CCITT stream.
func faxFault(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		return errCut
	}
	return fmt.Errorf("its picture is damaged (%w)", err)
}
