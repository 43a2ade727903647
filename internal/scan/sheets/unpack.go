package sheets

import (
	"bufio"
	"compress/lzw"
	"compress/zlib"
	"encoding/ascii85"
	"encoding/hex"
	"errors"
	"io"

	tifflzw "golang.org/x/image/tiff/lzw"

	"jobsheaf/internal/pdfobject"
)

// filter is one step of unpacking a stream of a PDF.
type filter struct {
	name  string
	parms pdfobject.Dict
}

// filtersOf gives the steps that a stream says. get follows references.
func filtersOf(d pdfobject.Dict, get func(any) any) ([]filter, error) {
	list := func(v any) pdfobject.Array {
		v = get(v)
		if a, ok := v.(pdfobject.Array); ok {
			return a
		}
		return pdfobject.Array{v}
	}
	if get(d["Filter"]) == nil {
		return nil, nil
	}
	names, parms := list(d["Filter"]), list(d["DecodeParms"])
	if len(names) > 4 {
		return nil, errors.New("its picture is packed too many times over")
	}
	var all []filter
	for i, n := range names {
		f := filter{name: nameIn(get(n))}
		if i < len(parms) {
			said, _ := get(parms[i]).(pdfobject.Dict)
			f.parms = pdfobject.Dict{}
			for k, v := range said {
				f.parms[k] = get(v)
			}
		}
		all = append(all, f)
	}
	return all, nil
}

// unpack gives the bytes of a stream that holds no picture, as far as all that says how
// stands with it: what follows references may need the very stream.
func (o *objects) unpack(s *stream) (io.Reader, error) {
	return o.unpackWith(s, func(v any) any { return v })
}

func (o *objects) unpackWith(s *stream, get func(any) any) (io.Reader, error) {
	filters, err := filtersOf(s.dict, get)
	if err != nil {
		return nil, err
	}
	return o.chain(s, filters)
}

// chain gives what filters make of a stream's bytes.
func (o *objects) chain(s *stream, filters []filter) (io.Reader, error) {
	var r io.Reader = bufio.NewReaderSize(io.NewSectionReader(o.r, s.at, s.n), 1<<15)
	for _, f := range filters {
		number := func(k string, missing int) int {
			if n, ok := whole(f.parms[k]); ok && n <= 1<<20 {
				return int(n)
			}
			return missing
		}
		switch f.name {
		case "FlateDecode":
			z, err := zlib.NewReader(r)
			if err != nil {
				return nil, errors.New("what it shows is damaged (Flate)")
			}
			r = z
		case "LZWDecode":
			if number("EarlyChange", 1) == 0 {
				r = lzw.NewReader(r, lzw.MSB, 8)
			} else {
				r = tifflzw.NewReader(r, tifflzw.MSB, 8)
			}
		case "RunLengthDecode":
			r = &runs{r: bufio.NewReader(r)}
		case "ASCII85Decode":
			r = ascii85.NewDecoder(&until{r: bufio.NewReader(r), end: '~'})
		case "ASCIIHexDecode":
			r = hex.NewDecoder(&until{r: bufio.NewReader(r), end: '>'})
		default:
			name := packedAs[f.name]
			if name == "" {
				name = f.name
			}
			return nil, strange("its picture is packed as %s", name)
		}
		if f.name != "FlateDecode" && f.name != "LZWDecode" {
			continue
		}
		if how := number("Predictor", 1); how > 1 {
			columns, colours, bits := number("Columns", 1), number("Colors", 1), number("BitsPerComponent", 8)
			if how != predictTIFF && how < predictPNG || columns < 1 || columns > maxSide || colours < 1 || colours > 32 || bits < 1 || bits > 16 || bits&(bits-1) != 0 {
				return nil, errors.New("its picture is damaged (Predictor)")
			}
			r = newPredicted(r, how, columns, colours, bits, big)
		}
	}
	return bufio.NewReaderSize(r, 1<<15), nil
}

// until reads text up to the sign that ends it, without white space.
type until struct {
	r   *bufio.Reader
	end byte
}

func (u *until) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		c, err := u.r.ReadByte()
		if err != nil {
			return n, err
		}
		if c == u.end {
			_ = u.r.UnreadByte()
			return n, io.EOF
		}
		if c > ' ' {
			p[n] = c
			n++
		}
		if n > 0 && u.r.Buffered() == 0 {
			break
		}
	}
	return n, nil
}
