package joblist

import (
	"fmt"
	"strconv"
	"strings"
)

// hours reads hours as lists write them, "9", "9.5", "9,5" or "9:30", and gives
// them with their unit. What already has a unit is left to the records' own rule.
func hours(raw string) (text, fault, hint string) {
	if h, m, ok := strings.Cut(raw, ":"); ok && allDigits(h) && len(h) <= 4 && allDigits(m) && len(m) == 2 && m < "60" {
		a, _ := strconv.Atoi(h)
		b, _ := strconv.Atoi(m)
		return shortest(float64(a)+float64(b)/60) + " h", "", ""
	}
	if whole, frac, ok := strings.Cut(raw, ","); ok && allDigits(whole) && allDigits(frac) {
		if len(frac) > 2 {
			return "", fmt.Sprintf("%q may be a number with a decimal comma or with thousands", clip(raw)), "write it with a point, such as 9.5"
		}
		raw = whole + "." + frac
	}
	if v, ok := number(raw); ok {
		return shortest(v) + " h", "", ""
	}
	return raw, "", ""
}

// hoursOf reads a cell of hours, which a workbook may show as a time: 9:00 is nine
// hours, and is stored as the fraction 0.375 of a day.
func (g *grid) hoursOf(c cell) (text, fault, hint string) {
	v, isNumber := number(clean(c.text))
	if c.kind != numberCell || !isNumber {
		return hours(clean(c.text))
	}
	const write = "write the hours as a number"
	switch how := g.show.clock(c); {
	case how == ofTheDate:
		return "", "the cell shows a date or a time of day, not hours", write
	case how == ofHours && v >= 1:
		return "", fmt.Sprintf("the cell shows a time of day and holds %s hours", shortest(v*24)), write
	case how != noClock:
		return shortest(v*24) + " h", "", ""
	}
	return shortest(v) + " h", "", ""
}

// number reads a plain decimal number as workbooks store them.
func number(s string) (float64, bool) {
	if strings.Trim(s, "0123456789.eE+-") != "" || s == "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// shortest writes a number to ten figures, which drops the digits that
// binary fractions add to it.
func shortest(v float64) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64)
}
