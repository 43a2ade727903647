package record

import "strings"

// serialFrom reports whether a serial number is the given one or a later one:
// both begin alike, and the figures at their ends are compared as numbers
// (RB65-0381 follows RB65-0300, RB65-1000 follows both). sure is false where they
// do not begin alike, so that nobody can tell; a serial that says nothing is
// never taken for early or late.
func serialFrom(serial, first string) (yes, sure bool) {
	a, m := cutFigures(strings.TrimSpace(serial))
	b, n := cutFigures(strings.TrimSpace(first))
	if !strings.EqualFold(a, b) || m == "" || n == "" {
		return false, false
	}
	m, n = strings.TrimLeft(m, "0"), strings.TrimLeft(n, "0")
	if len(m) != len(n) {
		return len(m) > len(n), true
	}
	return m >= n, true
}

// cutFigures separates the figures at the end of a text from what comes before.
func cutFigures(s string) (before, figures string) {
	i := len(s)
	for i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
		i--
	}
	return s[:i], s[i:]
}

// ForSerial reports whether a kit is for a unit with the given serial number.
// sure is false where the kit is for some serials only and the number is not on
// record or cannot be compared.
func (k Kit) ForSerial(serial Text) (yes, sure bool) {
	yes = true
	if k.FromSerial.Known() {
		later, sure := serialFrom(serial.S, k.FromSerial.S)
		if !sure {
			return false, false
		}
		yes = yes && later
	}
	if k.ToSerial.Known() {
		earlier, sure := serialFrom(k.ToSerial.S, serial.S)
		if !sure {
			return false, false
		}
		yes = yes && earlier
	}
	return yes, true
}
