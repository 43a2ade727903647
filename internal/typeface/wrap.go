package typeface

import (
	"unicode"
	"unicode/utf8"

	"jobsheaf/internal/page"
)

// Wrap breaks s into lines no wider than width mm. A line ends at a line feed,
// else at a space, or after a hyphen, slash or dash that joins two words. It
// never ends at a no-break space (U+00A0, U+202F) or no-break hyphen (U+2011),
// nor inside a number, a tag or a fraction: "-5", "P-214", "1/2" and "m3/h"
// stay whole. A word wider than the line is cut between two runes. Spaces at a
// break are dropped. The empty string has no lines; the lines are parts of s.
func Wrap(face page.Face, size, width float64, s string) []string {
	if s == "" {
		return nil
	}
	table := TableOf(face)
	limit := width/(size*(MM/1000)) + 1e-6 // thousandths of an em
	var lines []string

	start := 0          // of the line
	end, next := -1, -1 // of the last place to break: line's end, next line's start
	w, wEnd := 0.0, 0.0 // width up to here, and up to next
	gap := true         // only spaces since start
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == '\n' {
			lines = append(lines, trimRight(s[start:i]))
			i += n
			start, end, w, gap = i, -1, 0, true
			continue
		}
		a := float64(table.Glyph(r).Advance)
		if r == ' ' {
			i += n
			w += a
			if !gap { // the break comes after the whole run of spaces
				if end < 0 || next != i-n || s[next-1] != ' ' {
					end = i - n
				}
				next, wEnd = i, w
			}
			continue
		}
		if w+a > limit && i > start {
			if end >= 0 {
				lines = append(lines, s[start:end])
				start, w = next, w-wEnd
			} else {
				lines = append(lines, trimRight(s[start:i]))
				start, w = i, 0
			}
			end = -1
			gap = start == i
			continue // the same rune again: it may still not fit
		}
		i += n
		w += a
		gap = false
		if Joins(s, i-n, i, r) {
			end, next, wEnd = i, i, w
		}
	}
	return append(lines, trimRight(s[start:]))
}

func trimRight(s string) string {
	for len(s) > 0 && s[len(s)-1] == ' ' {
		s = s[:len(s)-1]
	}
	return s
}

// Joins reports whether r, at s[from:to], joins two words, so that a line may
// end after it.
func Joins(s string, from, to int, r rune) bool {
	return (r == '-' || r == '/' || r >= '\u2010' && r <= '—') && joins(s, from, to, r)
}

func joins(s string, from, to int, r rune) bool {
	var least int // letters that must stand on either side
	switch r {
	case '-', '\u2010', '–', '—':
		least = 2
	case '/':
		least = 4 // shorter ones are mostly units, such as rev/min
	default:
		return false
	}
	for at, k := to, 0; k < least; k++ {
		after, n := utf8.DecodeRuneInString(s[at:])
		if !unicode.IsLetter(after) {
			return false
		}
		at += n
	}
	for at, k := from, 0; k < least; k++ {
		before, n := utf8.DecodeLastRuneInString(s[:at])
		if !unicode.IsLetter(before) {
			return false
		}
		at -= n
	}
	return true
}
