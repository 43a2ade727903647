package packet

import "strings"

// Beginning gives the first sentence of a text without its stop, cut to so many characters
// at the end of a word, where that leaves the half of them.
func Beginning(s string, most int) string {
	if end := strings.Index(s, ". "); end > 0 {
		s = s[:end]
	}
	s = strings.TrimSuffix(s, ".")
	letters := []rune(s)
	if len(letters) <= most {
		return s
	}
	s = string(letters[:most-1])
	if at := strings.LastIndexByte(s, ' '); at >= most/2 {
		s = s[:at]
	}
	return strings.TrimRight(s, " ,;:…") + "…"
}
