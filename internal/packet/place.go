package packet

import (
	"strconv"
	"strings"
)

// Place is a place in a file of the site or of the program; the zero Place is none.
type Place struct {
	File      string
	Line, Col int // from 1; 0 where they are not known
}

// String writes the place as file:line:column.
func (p Place) String() string {
	s := p.File
	for _, n := range []int{p.Line, p.Col} {
		if n == 0 {
			break
		}
		s += ":" + strconv.Itoa(n)
	}
	return s
}

// MarshalText writes the place as String does.
func (p Place) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (p *Place) UnmarshalText(text []byte) error {
	*p = Place{File: string(text)}
	for range 2 { // the column, if there is one, then the line
		at := strings.LastIndexByte(p.File, ':')
		n, err := strconv.Atoi(p.File[at+1:])
		if at < 0 || err != nil || n < 1 {
			break
		}
		p.File, p.Line, p.Col = p.File[:at], n, p.Line
	}
	return nil
}
