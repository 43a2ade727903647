// Package pdfobject reads the objects that a PDF file is written in, of any file,
// ours or not, damaged or hostile: it never panics, and its time and memory are
// bounded by the length of what it is given.
//
// Entry point: Lexer. It belongs here if it is about how PDF writes a number, a
// name, a string, an array or a dictionary. What they mean is for those who read a
// document: pdfread (a packet of ours) and scan/sheets (a scan).
//
// Source: ISO 32000-1, clause 7.3. "Clause" in the comments is one of it.
package pdfobject

import (
	"bytes"
	"errors"
	"strconv"
)

// The kinds of objects. A number stays as it is written; null is nil.
type (
	Name   string
	Number string
	String string
	Array  []any
	Dict   map[string]any
	Ref    int // the number of an object; its generation is not kept
)

// The limits of what is read.
const (
	MaxNested  = 64      // arrays and dictionaries within one another
	MaxObjects = 1 << 20 // of one file
)

// ErrTangled says that reading would take more time than a file of its size can
// need.
var ErrTangled = errors.New("the file is not built as a document is")

// errSyntax says that no object begins here, or that it does not end.
var errSyntax = errors.New("not an object")

// Lexer reads objects from B, beginning At. Its work is bounded: Spent counts the
// bytes looked at, across restarts.
type Lexer struct {
	B     []byte
	At    int
	Spent *int
}

// space says whether a byte is white space.
func space(c byte) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

func delimiter(c byte) bool {
	return c == '(' || c == ')' || c == '<' || c == '>' || c == '[' || c == ']' || c == '{' || c == '}' || c == '/' || c == '%'
}

// digit says whether a byte is a digit.
func digit(c byte) bool { return c >= '0' && c <= '9' }

// Skip passes over white space and comments.
func (l *Lexer) Skip() {
	for l.At < len(l.B) {
		switch c := l.B[l.At]; {
		case space(c):
			l.At++
		case c == '%':
			for l.At < len(l.B) && l.B[l.At] != '\n' && l.B[l.At] != '\r' {
				l.At++
			}
		default:
			return
		}
	}
}

// Has passes over a token if it comes next.
func (l *Lexer) Has(token string) bool {
	if bytes.HasPrefix(l.B[l.At:], []byte(token)) {
		l.At += len(token)
		return true
	}
	return false
}

// Word reads a run of regular characters.
func (l *Lexer) Word() string {
	from := l.At
	for l.At < len(l.B) && !space(l.B[l.At]) && !delimiter(l.B[l.At]) {
		l.At++
	}
	return string(l.B[from:l.At])
}

// Object reads one object that is not a stream.
func (l *Lexer) Object() (any, error) { return l.object(0) }

func (l *Lexer) object(depth int) (any, error) {
	from := l.At
	defer func() { *l.Spent += l.At - from }()
	if depth > MaxNested || *l.Spent > 16*len(l.B)+1<<16 {
		return nil, ErrTangled
	}
	l.Skip()
	switch {
	case l.At >= len(l.B):
		return nil, errSyntax
	case l.Has("<<"):
		return l.dict(depth)
	case l.Has("["):
		list := Array{}
		for {
			if l.Skip(); l.Has("]") {
				return list, nil
			}
			v, err := l.object(depth + 1)
			if err != nil {
				return nil, err
			}
			list = append(list, v)
		}
	case l.Has("/"):
		return l.name()
	case l.Has("("):
		return l.literal()
	case l.Has("<"):
		return l.hex()
	}
	switch w := l.Word(); {
	case w == "":
		return nil, errSyntax
	case w == "true" || w == "false":
		return w == "true", nil
	case w == "null":
		return nil, nil
	case digit(w[0]) || w[0] == '-' || w[0] == '+' || w[0] == '.':
		if n, ok := l.reference(w); ok {
			return Ref(n), nil
		}
		if _, err := strconv.ParseFloat(w, 64); err != nil {
			return nil, errSyntax
		}
		return Number(w), nil
	}
	return nil, errSyntax
}

// reference reads on where a number begins a reference, such as 12 0 R.
func (l *Lexer) reference(w string) (int, bool) {
	n, err := strconv.Atoi(w)
	if err != nil || n < 0 || n > MaxObjects {
		return 0, false
	}
	at := l.At
	l.Skip()
	if g := l.Word(); g != "" && len(g) < 6 && digit(g[0]) {
		l.Skip()
		if l.Word() == "R" {
			return n, true
		}
	}
	l.At = at
	return 0, false
}

func (l *Lexer) dict(depth int) (any, error) {
	d := Dict{}
	for {
		if l.Skip(); l.Has(">>") {
			return d, nil
		}
		if !l.Has("/") {
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

func (l *Lexer) name() (Name, error) {
	w := l.Word()
	if !bytes.Contains([]byte(w), []byte("#")) {
		return Name(w), nil
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
	return Name(b), nil
}

// literal reads a string in parentheses. Source: clause 7.3.4.2.
func (l *Lexer) literal() (String, error) {
	var out []byte
	open := 1
	for l.At < len(l.B) {
		c := l.B[l.At]
		l.At++
		switch c {
		case '(':
			open++
		case ')':
			if open--; open == 0 {
				return String(out), nil
			}
		case '\\':
			if l.At >= len(l.B) {
				return "", errSyntax
			}
			c = l.B[l.At]
			l.At++
			switch {
			case c >= '0' && c <= '7':
				v := int(c - '0')
				for n := 0; n < 2 && l.At < len(l.B) && l.B[l.At] >= '0' && l.B[l.At] <= '7'; n++ {
					v = v*8 + int(l.B[l.At]-'0')
					l.At++
				}
				c = byte(v)
			case c == '\n':
				continue
			case c == '\r':
				l.Has("\n")
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
func (l *Lexer) hex() (String, error) {
	var digits []byte
	for l.At < len(l.B) {
		c := l.B[l.At]
		l.At++
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
			return String(out), nil
		case !space(c):
			digits = append(digits, c)
		}
	}
	return "", errSyntax
}

// NumberBefore gives the number of an object whose keyword begins at i, as in 12 0 obj,
// and where it begins, if it stands between from and i.
func NumberBefore(b []byte, from, i int) (n, at int, ok bool) {
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
	return n, i, err == nil && generation != "" && gap != ""
}
