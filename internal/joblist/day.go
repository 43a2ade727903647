package joblist

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// The days that a list may name.
const firstYear, lastYear = 1900, 2200

const (
	dayFirst   = "day-month-year"
	monthFirst = "month-day-year"
	writeDay   = "write it as year-month-day"
)

// dates settles in which order a list writes its days. A day that reads two ways is
// read by the order that the heading or the site names, or else by that of the
// list's other days, and by none where these contradict one another.
type dates struct {
	site, heading string                   // an order, or ""
	seen          map[byte]map[string]bool // by separator: the orders of the days that read one way only
	from1904      bool
}

// note takes in a day of the list.
func (d *dates) note(text string) {
	_, text = cutWeekday(dropTime(text))
	parts, sep, ok := cutDate(text)
	if !ok || len(parts[2]) != 4 {
		return
	}
	a, b := readings(parts)
	order := ""
	switch {
	case a != "" && b == "":
		order = dayFirst
	case b != "" && a == "":
		order = monthFirst
	default:
		return
	}
	if d.seen == nil {
		d.seen = map[byte]map[string]bool{}
	}
	if d.seen[sep] == nil {
		d.seen[sep] = map[string]bool{}
	}
	d.seen[sep][order] = true
}

// order gives the order of days with a separator; "" where it is in doubt. Days
// with points are written day first in most countries, so that a site that writes
// the month first does not settle how they read.
func (d *dates) order(sep byte) string {
	said := d.heading
	if said == "" && !(sep == '.' && d.site == monthFirst) {
		said = d.site
	}
	if said != dayFirst && said != monthFirst {
		said = ""
	}
	seen := d.seen[sep]
	switch {
	case len(seen) > 1 || said != "" && len(seen) == 1 && !seen[said]:
		return ""
	case said != "":
		return said
	case seen[dayFirst]:
		return dayFirst
	case seen[monthFirst]:
		return monthFirst
	}
	return ""
}

// day reads a day as lists write it and gives it as YYYY-MM-DD: year-month-day, or
// YYYYMMDD (ISO 8601, 5.2.2.1 a and b), day and month in either order, the month in
// words, or the serial number of a spreadsheet. A time after the day is dropped. What
// is wrong is said in words, with what would do.
func (d *dates) day(text string) (iso, fault, hint string) {
	week, s := cutWeekday(dropTime(text))
	iso, fault, hint = d.plain(s, text)
	if fault == "" && week >= 0 {
		if t, err := time.Parse(time.DateOnly, iso); err == nil && int(t.Weekday()) != week {
			return "", fmt.Sprintf("%q contradicts itself: %s is a %s", clip(text), iso, t.Weekday()), writeDay
		}
	}
	return iso, fault, hint
}

func (d *dates) plain(s, text string) (iso, fault, hint string) {
	if allDigits(s) {
		switch n, _ := strconv.Atoi(s); {
		case len(s) == 8:
			return civil(s[:4], s[4:6], s[6:], text)
		case len(s) == 5 || len(s) == 6 && n < 110_000:
			return serial(n, d.from1904)
		}
	}
	parts, sep, ok := cutDate(s)
	if !ok {
		return inWords(s, text)
	}
	switch {
	case len(parts[0]) == 4:
		return civil(parts[0], parts[1], parts[2], text)
	case len(parts[2]) != 4:
		return "", fmt.Sprintf("the year of %q does not have four digits", clip(text)), writeDay
	}
	a, b := readings(parts)
	switch order := d.order(sep); {
	case a == "" && b == "":
		return "", noDay(text), writeDay
	case b == "" || a == b:
		return a, "", ""
	case a == "":
		return b, "", ""
	case order == dayFirst:
		return a, "", ""
	case order == monthFirst:
		return b, "", ""
	}
	return "", fmt.Sprintf("%q may be %s or %s", clip(text), long(a), long(b)), d.doubt(sep)
}

// doubt says what would settle how a day reads.
func (d *dates) doubt(sep byte) string {
	said := d.heading
	if said == "" {
		said = d.site
	}
	switch {
	case len(d.seen[sep]) > 1:
		return "the list writes days in both orders: " + writeDay
	case len(d.seen[sep]) == 1:
		return "other days of the list contradict the order " + said + ": " + writeDay
	case sep == '.' && said == monthFirst:
		return "the order " + said + " cannot be taken for granted for a day with points: " + writeDay
	}
	return writeDay + ", or add dates: " + dayFirst + " (or " + monthFirst + ") to site.yaml"
}

// readings gives the days that three numbers with the year last may be: day first,
// and month first; "" for what is not in the calendar.
func readings(parts [3]string) (a, b string) {
	a, _, _ = civil(parts[2], parts[1], parts[0], "")
	b, _, _ = civil(parts[2], parts[0], parts[1], "")
	return a, b
}

// long writes a day so that it reads one way only.
func long(iso string) string {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return t.Format("2 January 2006")
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
	at := strings.LastIndexAny(s, " T")
	if at < 0 {
		if n, frac, ok := strings.Cut(s, "."); ok && len(n) == 5 && allDigits(n) && allDigits(frac) {
			return n // a serial number with the time as its fraction
		}
		return s
	}
	rest := strings.ToUpper(s[at+1:])
	if rest == "AM" || rest == "PM" {
		before := strings.TrimSpace(s[:at])
		if at = strings.LastIndexAny(before, " T"); at < 0 {
			return s
		}
		rest = strings.ToUpper(before[at+1:])
	}
	rest = strings.TrimSuffix(rest, "Z")
	if !strings.Contains(rest, ":") || strings.Trim(rest, "0123456789:.") != "" {
		return s
	}
	return strings.TrimRight(s[:at], " ,")
}

// cutDate cuts a date at its two separators, which are alike.
func cutDate(s string) (parts [3]string, sep byte, ok bool) {
	at := strings.IndexAny(s, "-/.")
	if at < 0 {
		return parts, 0, false
	}
	list := strings.Split(strings.TrimSuffix(s, "."), s[at:at+1])
	if len(list) != 3 {
		return parts, 0, false
	}
	for i, p := range list {
		p = strings.TrimSpace(p)
		if p == "" || len(p) > 4 || len(p) == 3 || !allDigits(p) {
			return parts, 0, false
		}
		parts[i] = p
	}
	return parts, s[at], true
}

func allDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// civil gives a day of the calendar.
func civil(year, month, day, text string) (iso, fault, hint string) {
	y, _ := strconv.Atoi(year)
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if t.Year() != y || int(t.Month()) != m || t.Day() != d || y < firstYear || y > lastYear {
		return "", noDay(text), writeDay
	}
	return t.Format(time.DateOnly), "", ""
}

func noDay(text string) string {
	return fmt.Sprintf("%q is not a day between %d and %d", clip(text), firstYear, lastYear)
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
	if t.Year() > lastYear || n < 61 && !from1904 { // before 61 lies the day that never was
		return "", fmt.Sprintf("the serial number %d is not a day between %d and %d", n, firstYear, lastYear), writeDay
	}
	return t.Format(time.DateOnly), "", ""
}

// The names of months and of days of the week, folded, in English and Spanish.
var (
	monthNames = [12][]string{{"january", "enero"}, {"february", "febrero"}, {"march", "marzo"}, {"april", "abril"}, {"may", "mayo"}, {"june", "junio"},
		{"july", "julio"}, {"august", "agosto"}, {"september", "septiembre", "setiembre"}, {"october", "octubre"}, {"november", "noviembre"}, {"december", "diciembre"}}
	weekdayNames = [7][]string{{"sunday", "domingo"}, {"monday", "lunes"}, {"tuesday", "martes"}, {"wednesday", "miercoles"}, {"thursday", "jueves"},
		{"friday", "viernes"}, {"saturday", "sabado"}}
)

// begun gives which of the names a word is the beginning of, by three letters or
// more; -1 for none.
func begun(word string, names [][]string) int {
	if len(word) < 3 {
		return -1
	}
	return slices.IndexFunc(names, func(of []string) bool {
		return slices.ContainsFunc(of, func(n string) bool { return strings.HasPrefix(n, word) })
	})
}

// cutWeekday takes the day of the week off the front of a day; -1 where it has none.
func cutWeekday(s string) (week int, rest string) {
	at := strings.IndexFunc(s, func(c rune) bool { return c >= '0' && c <= '9' || c == ' ' })
	if at <= 0 {
		return -1, s
	}
	word := fold(s[:at])
	rest = strings.TrimSpace(strings.TrimLeft(s[at:], " ,."))
	week = begun(word, weekdayNames[:])
	// "mar" is martes or March: a month only where nothing else is.
	if week < 0 || begun(word, monthNames[:]) >= 0 && !strings.ContainsAny(rest, "-/.") && len(strings.Fields(fold(rest))) < 3 {
		return -1, s
	}
	return week, rest
}

// inWords reads a day whose month is a word, such as 30 Nov 2026, Nov 30th, 2026 or
// 30 de noviembre de 2026.
func inWords(s, text string) (iso, fault, hint string) {
	var numbers []string
	month := -1
	for _, w := range strings.Fields(fold(s)) {
		bare := w
		for _, end := range []string{"st", "nd", "rd", "th"} {
			bare = strings.TrimSuffix(bare, end)
		}
		m := begun(w, monthNames[:])
		switch {
		case allDigits(bare):
			numbers = append(numbers, bare)
		case m >= 0 && month < 0:
			month = m
		case w == "de" || w == "del" || w == "of":
		default:
			return "", fmt.Sprintf("%q is not a day", clip(text)), writeDay
		}
	}
	switch {
	case month < 0 || len(numbers) != 2:
		return "", fmt.Sprintf("%q is not a day", clip(text)), writeDay
	case len(numbers[0]) == 4 && len(numbers[1]) <= 2:
		numbers[0], numbers[1] = numbers[1], numbers[0]
	}
	if len(numbers[1]) != 4 || len(numbers[0]) > 2 {
		return "", fmt.Sprintf("the year of %q does not have four digits", clip(text)), writeDay
	}
	return civil(numbers[1], strconv.Itoa(month+1), numbers[0], text)
}
