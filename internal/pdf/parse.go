package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"github.com/klauspost/compress/zlib"
)

// This file reads PDF's objects (clause 7.3) of any file, ours or not, hurt or
// hostile: it never panics, and its time and memory are bounded by the file's
// size. It finds the objects by reading the file from its beginning, not by its
// cross-reference table: what is altered then costs no more than itself.

// The kinds of objects. A number stays as it is written; null is nil.
type (
	nameObj   string
	numberObj string
	stringObj string
	arrayObj  []any
	dictObj   map[string]any
	refObj    int
	streamObj struct {
		dict dictObj
		raw  []byte
	}
)

// The limits of what is read.
const (
	maxNested  = 64        // arrays and dictionaries within one another
	maxObjects = 1 << 20   // of one file
	maxStream  = 64 << 20  // bytes of one stream, decompressed
	maxDecoded = 256 << 20 // bytes of all streams of one file, decompressed
	maxSummed  = 128 << 20 // bytes that digests are taken of
)

// errTangled says that reading would take more time than a file of its size can
// need.
var errTangled = errors.New("the file is not built as a document is")

// lexer reads objects from b at i. Its work is bounded: spent counts the bytes
// looked at, across restarts.
type lexer struct {
	b     []byte
	i     int
	spent *int
}

var errSyntax = errors.New("not an object")

func space(c byte) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

func delimiter(c byte) bool {
	return c == '(' || c == ')' || c == '<' || c == '>' || c == '[' || c == ']' || c == '{' || c == '}' || c == '/' || c == '%'
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// skip passes over white space and comments.
func (l *lexer) skip() {
	for l.i < len(l.b) {
		switch c := l.b[l.i]; {
		case space(c):
			l.i++
		case c == '%':
			for l.i < len(l.b) && l.b[l.i] != '\n' && l.b[l.i] != '\r' {
				l.i++
			}
		default:
			return
		}
	}
}

// has passes over a token if it comes next.
func (l *lexer) has(token string) bool {
	if bytes.HasPrefix(l.b[l.i:], []byte(token)) {
		l.i += len(token)
		return true
	}
	return false
}

// word reads a run of regular characters.
func (l *lexer) word() string {
	from := l.i
	for l.i < len(l.b) && !space(l.b[l.i]) && !delimiter(l.b[l.i]) {
		l.i++
	}
	return string(l.b[from:l.i])
}

// object reads one object that is no stream.
func (l *lexer) object(depth int) (any, error) {
	from := l.i
	defer func() { *l.spent += l.i - from }()
	if depth > maxNested || *l.spent > 16*len(l.b)+1<<16 {
		return nil, errTangled
	}
	l.skip()
	switch {
	case l.i >= len(l.b):
		return nil, errSyntax
	case l.has("<<"):
		return l.dict(depth)
	case l.has("["):
		list := arrayObj{}
		for {
			if l.skip(); l.has("]") {
				return list, nil
			}
			v, err := l.object(depth + 1)
			if err != nil {
				return nil, err
			}
			list = append(list, v)
		}
	case l.has("/"):
		return l.name()
	case l.has("("):
		return l.literal()
	case l.has("<"):
		return l.hex()
	}
	switch w := l.word(); {
	case w == "":
		return nil, errSyntax
	case w == "true" || w == "false":
		return w == "true", nil
	case w == "null":
		return nil, nil
	case digit(w[0]) || w[0] == '-' || w[0] == '+' || w[0] == '.':
		if n, ok := l.reference(w); ok {
			return refObj(n), nil
		}
		if _, err := strconv.ParseFloat(w, 64); err != nil {
			return nil, errSyntax
		}
		return numberObj(w), nil
	}
	return nil, errSyntax
}

// reference reads on where a number begins a reference, such as 12 0 R.
func (l *lexer) reference(w string) (int, bool) {
	n, err := strconv.Atoi(w)
	if err != nil || n < 0 || n > maxObjects {
		return 0, false
	}
	at := l.i
	l.skip()
	if g := l.word(); g != "" && len(g) < 6 && digit(g[0]) {
		l.skip()
		if l.word() == "R" {
			return n, true
		}
	}
	l.i = at
	return 0, false
}

func (l *lexer) dict(depth int) (any, error) {
	d := dictObj{}
	for {
		if l.skip(); l.has(">>") {
			return d, nil
		}
		if !l.has("/") {
			return nil, errSyntax
		}
		key, err := l.name()
		if err != nil {
			return nil, err
		}
		v, err := l.object(depth + 1)
		if err != nil {
			return nil, err
		}
		d[string(key)] = v
	}
}

func (l *lexer) name() (nameObj, error) {
	w := l.word()
	if !bytes.Contains([]byte(w), []byte("#")) {
		return nameObj(w), nil
	}
	var b []byte
	for i := 0; i < len(w); i++ {
		if w[i] == '#' && i+2 < len(w) {
			if v, err := strconv.ParseUint(w[i+1:i+3], 16, 8); err == nil {
				b = append(b, byte(v))
				i += 2
				continue
			}
		}
		b = append(b, w[i])
	}
	return nameObj(b), nil
}

// literal reads a string in parentheses. Source: clause 7.3.4.2.
func (l *lexer) literal() (stringObj, error) {
	var out []byte
	open := 1
	for l.i < len(l.b) {
		c := l.b[l.i]
		l.i++
		switch c {
		case '(':
			open++
		case ')':
			if open--; open == 0 {
				return stringObj(out), nil
			}
		case '\\':
			if l.i >= len(l.b) {
				return "", errSyntax
			}
			c = l.b[l.i]
			l.i++
			switch {
			case c >= '0' && c <= '7':
				v := int(c - '0')
				for n := 0; n < 2 && l.i < len(l.b) && l.b[l.i] >= '0' && l.b[l.i] <= '7'; n++ {
					v = v*8 + int(l.b[l.i]-'0')
					l.i++
				}
				c = byte(v)
			case c == '\n':
				continue
			case c == '\r':
				l.has("\n")
				continue
			default:
				if k := bytes.IndexByte([]byte("nrtbf"), c); k >= 0 {
					c = "\n\r\t\b\f"[k]
				}
			}
		}
		out = append(out, c)
	}
	return "", errSyntax
}

// hex reads a string in angle brackets.
func (l *lexer) hex() (stringObj, error) {
	var digits []byte
	for l.i < len(l.b) {
		c := l.b[l.i]
		l.i++
		switch {
		case c == '>':
			if len(digits)%2 == 1 {
				digits = append(digits, '0')
			}
			out := make([]byte, len(digits)/2)
			for i := range out {
				v, err := strconv.ParseUint(string(digits[2*i:2*i+2]), 16, 8)
				if err != nil {
					return "", errSyntax
				}
				out[i] = byte(v)
			}
			return stringObj(out), nil
		case !space(c):
			digits = append(digits, c)
		}
	}
	return "", errSyntax
}

// scan finds the objects of a file. Of two with one number the later counts, as
// in a file that was added to.
func scan(b []byte) (all map[int]any, trailer dictObj, err error) {
	all, trailer = map[int]any{}, dictObj{}
	spent, unended := 0, false
	note := func(d dictObj) {
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
			l := lexer{b, at, &spent}
			if v, err := l.object(0); err == nil {
				if d, ok := v.(dictObj); ok {
					note(d)
				}
				at = l.i
			} else if errors.Is(err, errTangled) {
				return nil, nil, err
			}
			continue
		}
		if next < 0 {
			break
		}
		n, ok := numberBefore(b, at, at+next)
		at += next + len("obj")
		if !ok || n > maxObjects {
			continue
		}
		l := lexer{b, at, &spent}
		v, err := l.object(0)
		if errors.Is(err, errTangled) {
			return nil, nil, err
		} else if err != nil {
			continue
		}
		at = l.i
		if d, ok := v.(dictObj); ok {
			l.skip()
			if l.has("stream") {
				if !l.has("\r\n") {
					l.has("\n")
				}
				raw, after, ended := body(b, l.i, d, unended)
				unended = unended || !ended
				s := &streamObj{d, raw}
				if d["Type"] == nameObj("XRef") {
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

// numberBefore gives the number of an object whose keyword stands at i.
func numberBefore(b []byte, from, i int) (int, bool) {
	back := func(want func(byte) bool) string {
		end := i
		for i > from && end-i < 12 && want(b[i-1]) {
			i--
		}
		return string(b[i:end])
	}
	back(space)
	generation := back(digit)
	gap := back(space)
	n, err := strconv.Atoi(back(digit))
	return n, err == nil && generation != "" && gap != ""
}

// body gives a stream's bytes: as many as it says where that is right, else up to
// the word that ends it. unended says that the word comes no more.
func body(b []byte, at int, d dictObj, unended bool) (raw []byte, after int, ended bool) {
	if w, ok := d["Length"].(numberObj); ok {
		if n, err := strconv.Atoi(string(w)); err == nil && n >= 0 && n <= len(b)-at {
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

// settle ends the streams whose length stands in another object; the others end
// before the line that ends them.
func settle(all map[int]any) {
	for _, v := range all {
		s, ok := v.(*streamObj)
		if !ok {
			continue
		}
		if n, ok := s.dict["Length"].(refObj); ok {
			if w, ok := all[int(n)].(numberObj); ok {
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
func (f *reading) objectStreams() error {
	var packed []int
	for n, v := range f.all {
		if s, ok := v.(*streamObj); ok && s.dict["Type"] == nameObj("ObjStm") {
			packed = append(packed, n)
		}
	}
	slices.Sort(packed)
	for _, at := range packed {
		s := f.all[at].(*streamObj)
		b, err := f.decode(s)
		if err != nil {
			continue // what it held is missed where it is wanted
		}
		spent := 0
		head := lexer{b, 0, &spent}
		first, _ := strconv.Atoi(fmt.Sprint(f.get(s.dict["First"])))
		for head.i < len(b) {
			head.skip()
			n, err1 := strconv.Atoi(head.word())
			head.skip()
			offset, err2 := strconv.Atoi(head.word())
			if err1 != nil || err2 != nil || n < 0 || n > maxObjects || first < 0 || offset < 0 || offset > len(b)-first || head.i > first {
				break
			}
			l := lexer{b, first + offset, &spent}
			v, err := l.object(0)
			if errors.Is(err, errTangled) {
				return err
			}
			if _, have := f.all[n]; err == nil && !have {
				f.all[n] = v
			}
		}
	}
	return nil
}

// decode gives a stream's content.
func (f *reading) decode(s *streamObj) ([]byte, error) {
	filters, ok := f.get(s.dict["Filter"]).(arrayObj)
	if one, is := f.get(s.dict["Filter"]).(nameObj); is {
		filters, ok = arrayObj{one}, true
	}
	if !ok || len(filters) == 0 || len(s.raw) == 0 {
		return s.raw, nil
	}
	if len(filters) > 1 || f.get(filters[0]) != nameObj("FlateDecode") || f.get(s.dict["DecodeParms"]) != nil {
		return nil, errors.New("it is packed in a way that this program does not use")
	}
	z, err := zlib.NewReader(bytes.NewReader(s.raw))
	if err != nil {
		return nil, errors.New("it cannot be unpacked")
	}
	room := min(maxStream, maxDecoded-f.decoded)
	out, err := io.ReadAll(io.LimitReader(z, int64(room)+1))
	f.decoded += len(out)
	switch {
	case len(out) > room:
		return nil, errors.New("it is too large")
	case err != nil:
		return nil, errors.New("it cannot be unpacked")
	}
	return out, nil
}
