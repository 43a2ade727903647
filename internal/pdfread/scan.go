package pdfread

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"

	"jobsheaf/internal/pdfobject"
)

// This file finds the objects of a file by reading it from its beginning, not by
// its cross-reference table: what is altered then costs no more than itself.

// The limits of what is unpacked.
const (
	maxStream  = 64 << 20  // bytes of one stream, decompressed
	maxDecoded = 256 << 20 // bytes of all streams of one file, decompressed
	maxSummed  = 128 << 20 // bytes that digests are taken of
)

// scan finds the objects of a file. Of two with one number the later counts, as
// in a file that was added to.
func scan(b []byte) (all map[int]any, trailer pdfobject.Dict, err error) {
	all, trailer = map[int]any{}, pdfobject.Dict{}
	spent, unended := 0, false
	lengths := &plainNumbers{b: b}
	note := func(d pdfobject.Dict) {
		if d["Root"] != nil {
			trailer = d
		}
	}
	for at := 0; at < len(b); {
		next := bytes.Index(b[at:], []byte("obj"))
		end := bytes.Index(b[at:min(len(b), at+max(next, 0)+len("trailer"))], []byte("trailer"))
		if next < 0 {
			end = bytes.Index(b[at:], []byte("trailer"))
		}
		if end >= 0 && (next < 0 || end < next) {
			at += end + len("trailer")
			l := pdfobject.Lexer{B: b, At: at, Spent: &spent}
			if v, err := l.Object(); err == nil {
				if d, ok := v.(pdfobject.Dict); ok {
					note(d)
				}
				at = l.At
			} else if errors.Is(err, pdfobject.ErrTangled) {
				return nil, nil, err
			}
			continue
		}
		if next < 0 {
			break
		}
		n, _, ok := pdfobject.NumberBefore(b, at, at+next)
		at += next + len("obj")
		if !ok || n > pdfobject.MaxObjects {
			continue
		}
		l := pdfobject.Lexer{B: b, At: at, Spent: &spent}
		v, err := l.Object()
		if errors.Is(err, pdfobject.ErrTangled) {
			return nil, nil, err
		} else if err != nil {
			continue
		}
		at = l.At
		if d, ok := v.(pdfobject.Dict); ok {
			l.Skip()
			if l.Has("stream") {
				if !l.Has("\r\n") {
					l.Has("\n")
				}
				raw, after, ended := body(b, l.At, d, unended, lengths)
				unended = unended || !ended
				s := &streamObj{d, raw}
				if d["Type"] == pdfobject.Name("XRef") {
					note(d)
				}
				v, at = s, after
			}
		}
		all[n] = v
	}
	settle(all)
	return all, trailer, nil
}

// body gives a stream's bytes: as many as it says where that is right, else up to
// the word that ends it. unended says that the word comes no more.
func body(b []byte, at int, d pdfobject.Dict, unended bool, lengths *plainNumbers) (raw []byte, after int, ended bool) {
	var said []int
	switch w := d["Length"].(type) {
	case pdfobject.Number:
		if n, err := strconv.Atoi(string(w)); err == nil {
			said = []int{n}
		}
	case pdfobject.Ref:
		said = lengths.of(int(w))
	}
	for _, n := range said {
		if n >= 0 && n <= len(b)-at {
			rest := bytes.TrimLeft(b[at+n:min(len(b), at+n+20)], "\r\n")
			if bytes.HasPrefix(rest, []byte("endstream")) {
				return b[at : at+n], at + n, true
			}
		}
	}
	end := -1
	if !unended {
		end = bytes.Index(b[at:], []byte("endstream"))
	}
	if end < 0 {
		return b[at:], len(b), false
	}
	return b[at : at+end], at + end, true
}

// plainNumbers finds objects that are a number and nothing else: other programs write
// the length of a stream behind it as one of these. A stream that holds a PDF, as the
// attachment of an annex does, cannot be told from its end by the words in it.
type plainNumbers struct {
	b     []byte
	known map[int][]int
}

var plainNumber = regexp.MustCompile(`(\d{1,8}) 0 obj\s{1,2}(\d{1,10})\s{1,2}endobj`)

// of gives what the objects of a number say, in the order of the file, at most a few.
func (p *plainNumbers) of(object int) []int {
	const most = 8
	if p.known == nil {
		p.known = map[int][]int{}
		for _, m := range plainNumber.FindAllSubmatch(p.b, pdfobject.MaxObjects) {
			n, _ := strconv.Atoi(string(m[1]))
			if says, err := strconv.Atoi(string(m[2])); err == nil && len(p.known[n]) < most {
				p.known[n] = append(p.known[n], says)
			}
		}
	}
	return p.known[object]
}

// settle ends the streams whose length stands in another object; the others end
// before the line that ends them.
func settle(all map[int]any) {
	for _, v := range all {
		s, ok := v.(*streamObj)
		if !ok {
			continue
		}
		if n, ok := s.dict["Length"].(pdfobject.Ref); ok {
			if w, ok := all[int(n)].(pdfobject.Number); ok {
				if n, err := strconv.Atoi(string(w)); err == nil && n >= 0 && n <= len(s.raw) && len(bytes.TrimLeft(s.raw[n:], "\r\n")) == 0 {
					s.raw = s.raw[:n]
				}
			}
			continue
		}
		if fmt.Sprint(s.dict["Length"]) != strconv.Itoa(len(s.raw)) {
			s.raw = bytes.TrimSuffix(bytes.TrimSuffix(s.raw, []byte("\n")), []byte("\r"))
		}
	}
}

// objectStreams adds the objects that other programs pack into streams. Source:
// clause 7.5.7.
func (r *reading) objectStreams() error {
	var packed []int
	for n, v := range r.all {
		if s, ok := v.(*streamObj); ok && s.dict["Type"] == pdfobject.Name("ObjStm") {
			packed = append(packed, n)
		}
	}
	slices.Sort(packed)
	for _, at := range packed {
		s := r.all[at].(*streamObj)
		b, err := r.decode(s)
		if err != nil {
			continue // what it held is missed where it is wanted
		}
		spent := 0
		head := pdfobject.Lexer{B: b, At: 0, Spent: &spent}
		first, _ := strconv.Atoi(fmt.Sprint(r.get(s.dict["First"])))
		for head.At < len(b) {
			head.Skip()
			n, err1 := strconv.Atoi(head.Word())
			head.Skip()
			offset, err2 := strconv.Atoi(head.Word())
			if err1 != nil || err2 != nil || n < 0 || n > pdfobject.MaxObjects || first < 0 || offset < 0 || offset > len(b)-first || head.At > first {
				break
			}
			l := pdfobject.Lexer{B: b, At: first + offset, Spent: &spent}
			v, err := l.Object()
			if errors.Is(err, pdfobject.ErrTangled) {
				return err
			}
			if _, have := r.all[n]; err == nil && !have {
				r.all[n] = v
			}
		}
	}
	return nil
}

// decode gives a stream's content.
func (r *reading) decode(s *streamObj) ([]byte, error) {
	filters, ok := r.get(s.dict["Filter"]).(pdfobject.Array)
	if one, is := r.get(s.dict["Filter"]).(pdfobject.Name); is {
		filters, ok = pdfobject.Array{one}, true
	}
	if !ok || len(filters) == 0 || len(s.raw) == 0 {
		return s.raw, nil
	}
	if len(filters) > 1 || r.get(filters[0]) != pdfobject.Name("FlateDecode") || r.get(s.dict["DecodeParms"]) != nil {
		return nil, errors.New("it is packed in a way that this program does not use")
	}
	z, err := zlib.NewReader(bytes.NewReader(s.raw))
	if err != nil {
		return nil, errors.New("it cannot be unpacked")
	}
	room := min(maxStream, maxDecoded-r.decoded)
	out, err := io.ReadAll(io.LimitReader(z, int64(room)+1))
	r.decoded += len(out)
	switch {
	case len(out) > room:
		return nil, errors.New("it is too large")
	case err != nil:
		return nil, errors.New("it cannot be unpacked")
	}
	return out, nil
}
