package compose

import (
	"fmt"
	"strings"
	"unicode"
)

// places are the places to write on: a reading has one, at a step or in a table.
type places struct {
	ids map[string]bool
}

func newPlaces() places { return places{ids: map[string]bool{}} }

// id makes a blank's name unique in the packet.
func (p *places) id(parts ...string) string {
	base := strings.Join(parts, ".")
	name := base
	for n := 2; p.ids[name]; n++ {
		name = fmt.Sprintf("%s-%d", base, n)
	}
	p.ids[name] = true
	return name
}

// slug makes a short name of a label: letters and digits, at most 24.
func slug(label string) string {
	var b strings.Builder
	for _, c := range strings.ToLower(label) {
		switch {
		case unicode.IsLetter(c) || unicode.IsDigit(c):
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 24 {
			break
		}
	}
	return strings.Trim(b.String(), "-")
}
