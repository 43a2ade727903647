package week

import (
	"strconv"
	"strings"
)

// shortest writes a number to ten figures, which lets go of what binary fractions
// add to it.
func shortest(v float64) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func allDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}
