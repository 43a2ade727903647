package review

import (
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// weekForm is how a week is written.
var weekForm = regexp.MustCompile(`^(\d{4})-W(\d{2})$`)

// Monday gives the first day of a week as ISO 8601 counts them: week 1 has January 4.
func Monday(week string) (time.Time, error) {
	if m := weekForm.FindStringSubmatch(week); m != nil {
		year, _ := strconv.Atoi(m[1]) // digits
		n, _ := strconv.Atoi(m[2])
		first := time.Date(year, time.January, 4, 0, 0, 0, 0, time.UTC)
		day := first.AddDate(0, 0, -(int(first.Weekday())+6)%7+7*(n-1))
		if y, w := day.ISOWeek(); y == year && w == n {
			return day, nil
		}
	}
	return time.Time{}, fmt.Errorf("%q: write a week that the year has as 2026-W49", week)
}
