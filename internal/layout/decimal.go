package layout

import (
	"regexp"
	"slices"

	"jobsheaf/internal/packet"
)

// decimal is a number with a decimal sign, with what it is joined to (M35x1.5) and the
// unit that follows it.
var decimal = regexp.MustCompile(`[^\s\x{a0}(,;:]*\d[.,]\d+([ \x{a0}][^\s\x{a0}\d(),;:.]{1,6}(\([ag]\))?)?`)

// bolded makes the numbers with a decimal sign that stand in running text strong: a copy
// of a copy loses the point of a regular one.
func (s *setter) bolded(ph packet.Phrase) packet.Phrase {
	if !s.bold {
		return ph
	}
	first := slices.IndexFunc(ph, regularDecimal)
	if first < 0 {
		return ph
	}
	out := slices.Clone(ph[:first])
	for _, sp := range ph[first:] {
		if !regularDecimal(sp) {
			out = append(out, sp)
			continue
		}
		from := 0
		for _, at := range decimal.FindAllStringIndex(sp.Text, -1) {
			if at[0] > from {
				out = append(out, packet.Span{Text: sp.Text[from:at[0]], Style: sp.Style})
			}
			out = append(out, packet.Span{Text: sp.Text[at[0]:at[1]], Style: packet.Strong})
			from = at[1]
		}
		if from < len(sp.Text) {
			out = append(out, packet.Span{Text: sp.Text[from:], Style: sp.Style})
		}
	}
	return out
}

// regularDecimal reports whether a span has a decimal number that is not bold.
func regularDecimal(sp packet.Span) bool {
	if sp.Style != packet.Plain && sp.Style != packet.Soft {
		return false
	}
	for i := 1; i+1 < len(sp.Text); i++ {
		if c := sp.Text[i]; (c == '.' || c == ',') && digit(sp.Text[i-1]) && digit(sp.Text[i+1]) {
			return true
		}
	}
	return false
}

func digit(c byte) bool { return c >= '0' && c <= '9' }
