package pdfread

import (
	"bytes"
	"errors"
	"strconv"
)

// This file reads PDF's objects (clause 7.3) of any file, ours or not, damaged or
// hostile: it never panics, and its time and memory are bounded by the file's
// size.

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
	maxNested  = 64      // arrays and dictionaries within one another
	maxObjects = 1 << 20 // of one file
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

// object reads one object that is not a stream.
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
