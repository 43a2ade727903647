package joblist

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// The days that a list may name.
const firstYear, lastYear = 1900, 2200

// day reads a day as lists write it and gives it as YYYY-MM-DD: year-month-day, or
// YYYYMMDD (ISO 8601, 5.2.2.1 a and b), the site's own order, or the serial number
// of a spreadsheet. A time after the day is let go. What is wrong is said in words,
// with what would do.
func day(text, order string, from1904 bool) (iso, fault, hint string) {
	const write = "write it as 2026-11-30"
	s := dropTime(text)
	if allDigits(s) {
		switch n, _ := strconv.Atoi(s); {
		case len(s) == 8:
			return civil(s[:4], s[4:6], s[6:], text, write)
		case len(s) == 5 || len(s) == 6 && n < 110_000:
			return serial(n, from1904)
		}
	}
	parts, ok := cutDate(s)
	if !ok {
		return "", fmt.Sprintf("%q is no day", clip(text)), write
	}
	switch {
	case len(parts[0]) == 4:
		return civil(parts[0], parts[1], parts[2], text, write)
	case len(parts[2]) != 4:
		return "", fmt.Sprintf("the year of %q has not four figures", clip(text)), write
	case order == "day-month-year":
		return civil(parts[2], parts[1], parts[0], text, "the site writes day-month-year; or "+write)
	case order == "month-day-year":
		return civil(parts[2], parts[0], parts[1], text, "the site writes month-day-year; or "+write)
	}
	return "", fmt.Sprintf("which part of %q is the day and which the month is not known", clip(text)), write + ", or add dates: day-month-year (or month-day-year) to site.yaml"
}

// clip keeps a message short.
func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return s
}

// dropTime takes a time of day off the end of a text.
func dropTime(s string) string {
	at := strings.IndexAny(s, " T")
	if at < 0 {
		if n, frac, ok := strings.Cut(s, "."); ok && len(n) == 5 && allDigits(n) && allDigits(frac) {
			return n // a serial number with the time as its fraction
		}
		return s
	}
	rest := strings.TrimSpace(s[at+1:])
	rest = strings.TrimSuffix(strings.TrimSuffix(strings.ToUpper(rest), "Z"), " AM")
	rest = strings.TrimSuffix(rest, " PM")
	for _, c := range rest {
		if !(c >= '0' && c <= '9' || c == ':' || c == '.') {
			return s
		}
	}
	if !strings.Contains(rest, ":") {
		return s
	}
	return s[:at]
}

// cutDate cuts a date at its two separators, which are alike.
func cutDate(s string) (parts [3]string, ok bool) {
	at := strings.IndexAny(s, "-/.")
	if at < 0 {
		return parts, false
	}
	list := strings.Split(strings.TrimSuffix(s, "."), s[at:at+1])
	if len(list) != 3 {
		return parts, false
	}
	for i, p := range list {
		p = strings.TrimSpace(p)
		if p == "" || len(p) > 4 || len(p) == 3 || !allDigits(p) {
			return parts, false
		}
		parts[i] = p
	}
	return parts, true
}

func allDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// civil gives a day of the calendar.
func civil(year, month, day, text, hint string) (iso, fault, hintOut string) {
	y, _ := strconv.Atoi(year)
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if t.Year() != y || int(t.Month()) != m || t.Day() != d || y < firstYear || y > lastYear {
		return "", fmt.Sprintf("%q is no day between %d and %d", clip(text), firstYear, lastYear), hint
	}
	return t.Format(time.DateOnly), "", ""
}

// serial gives the day of a spreadsheet's serial number. Days are counted from
// 1899-12-31, with a 29 February 1900 that never was counted in (so from
// 1899-12-30 for all days after it), or from 1904-01-01.
// Source: ISO/IEC 29500-1, 18.17.4.1.
func serial(n int, from1904 bool) (iso, fault, hint string) {
	epoch := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if from1904 {
		epoch = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	t := epoch.AddDate(0, 0, n)
	if t.Year() > lastYear {
		return "", fmt.Sprintf("the serial number %d is no day between %d and %d", n, firstYear, lastYear), "write it as 2026-11-30"
	}
	return t.Format(time.DateOnly), "", ""
}
