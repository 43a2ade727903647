package joblist

import (
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// escaped is how a part writes a character that XML has no room for.
// Source: ISO/IEC 29500-1, 22.9.2.19 (ST_Xstring).
var escaped = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return escaped.ReplaceAllStringFunc(s, func(m string) string {
		n, _ := strconv.ParseUint(m[2:6], 16, 16)
		return string(rune(n))
	})
}

// legible reads a part with DEL in place of every byte that XML does not know, so
// that such a byte spoils its cell and no other: DEL is refused wherever a text is
// read.
type legible struct {
	in   io.Reader
	rest [utf8.UTFMax]byte // the beginning of a character that was cut by the buffer
	have int
}

func (l *legible) Read(p []byte) (int, error) {
	n := copy(p, l.rest[:l.have])
	l.have = 0
	m, err := l.in.Read(p[n:])
	b := p[:n+m]
	if err == nil {
		for i := 1; i < utf8.UTFMax && i <= len(b); i++ {
			if tail := b[len(b)-i:]; utf8.RuneStart(tail[0]) {
				if !utf8.FullRune(tail) {
					l.have = copy(l.rest[:], tail)
					b = b[:len(b)-i]
				}
				break
			}
		}
	}
	for i := 0; i < len(b); {
		size := 1
		if c := b[i]; c >= utf8.RuneSelf {
			var r rune
			if r, size = utf8.DecodeRune(b[i:]); r == utf8.RuneError && size == 1 || r == 0xFFFE || r == 0xFFFF {
				for k := range size {
					b[i+k] = 0x7F
				}
			}
		} else if c < ' ' && c != '\t' && c != '\n' && c != '\r' {
			b[i] = 0x7F
		}
		i += size
	}
	return len(b), err
}
