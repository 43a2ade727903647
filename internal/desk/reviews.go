package desk

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"jobsheaf/internal/register"
	"jobsheaf/internal/review"
)

// This file is the list of packets with what is found of them, as the command review has
// it.

// reviewsPage is what is found of the packets of some days or of a unit.
type reviewsPage struct {
	register.Query
	Week  string
	Only  string
	Stand bool // only findings that stand
	Late  int
	Wrong bool // what was asked for makes no sense, and was left out
	List  []reviewedJob
	Next  string
	Began bool
	First string
}

// reviewedJob is a packet with those of its findings that are asked for.
type reviewedJob struct {
	*packetFound
	Lines []reviewLine
}

// reviewsAPage is how many packets a page lists.
const reviewsAPage = 30

// mostLate is the most days after its own that a packet may be let wait.
const mostLate = 3650

// Topics are what can be asked for.
func (is *reviewsPage) Topics() [][2]string { return review.Topics }

// Narrow reports whether more was asked for than a week.
func (is *reviewsPage) Narrow() bool {
	return is.Week == "" || is.Unit != "" || is.Only != "" || is.Stand || is.Late != late
}

// reviews lists packets with what is found, by default those of this week.
func (v *visit) reviews() error {
	is := &reviewsPage{Query: register.Query{Unit: v.asked("unit", 60), From: v.asked("from", 10), To: v.asked("to", 10)}, Week: v.asked("week", 12), Only: v.asked("only", 60), Stand: v.asked("open", 1) != "", Late: late}
	if text := v.asked("late", 5); text != "" {
		n, err := strconv.Atoi(text)
		if is.Wrong = err != nil || n < 0 || n > mostLate; !is.Wrong {
			is.Late = n
		}
	}
	for _, day := range []*string{&is.From, &is.To} {
		if !isDay(*day) {
			*day, is.Wrong = "", true
		}
	}
	topic, _, _ := strings.Cut(is.Only, "-")
	if is.Only != "" && !slices.ContainsFunc(review.Topics, func(t [2]string) bool { return t[0] == topic }) {
		is.Only, is.Wrong = "", true
	}
	if is.Week != "" || is.Unit+is.From+is.To == "" {
		week := cmp.Or(is.Week, weekOf(v.Now()))
		monday, err := review.Monday(week)
		if err != nil {
			is.Wrong, week = true, weekOf(v.Now())
			monday, _ = review.Monday(week) // it is of a day
		}
		is.Week, is.From, is.To = week, monday.Format("2006-01-02"), monday.AddDate(0, 0, 6).Format("2006-01-02")
	}
	after := register.Place{Day: v.asked("day", 10), ID: v.asked("after", 60)}
	is.Began = after != register.Place{}
	jobs, err := v.Register.Page(v.r.Context(), is.Query, after, true, reviewsAPage+1)
	if err != nil {
		return err
	}
	q := is.address()
	is.First = "/review?" + q.Encode()
	if len(jobs) > reviewsAPage {
		jobs = jobs[:reviewsAPage]
		q.Set("day", jobs[reviewsAPage-1].Day)
		q.Set("after", jobs[reviewsAPage-1].ID)
		is.Next = "/review?" + q.Encode()
	}
	say, err := v.reviewWords()
	if err != nil {
		return err
	}
	for _, job := range jobs {
		found, err := v.foundIn(job, is.Late)
		if err != nil {
			return err
		}
		one := reviewedJob{packetFound: found}
		if is.Only != "" {
			var shown []review.Finding
			for _, f := range found.Findings {
				if f.Is(is.Only) && (!is.Stand || f.Stands()) {
					shown = append(shown, f)
				}
			}
			for _, s := range review.Say(shown, say) {
				l := reviewLine{Said: s, Keys: []string{s.Findings[0].Key}}
				if s.Findings[0].Let != nil {
					l.Let = s.Findings[0].Let.Say(say)
				}
				one.Lines = append(one.Lines, l)
			}
		}
		if is.Only != "" && len(one.Lines) == 0 || is.Stand && found.Stand() == 0 {
			continue
		}
		is.List = append(is.List, one)
	}
	return v.show("reviews", is)
}

// address is what was asked for, as an address has it.
func (is *reviewsPage) address() url.Values {
	q := url.Values{}
	days := [][2]string{{"week", is.Week}, {"unit", is.Unit}, {"only", is.Only}}
	if is.Week == "" {
		days = append(days, [2]string{"from", is.From}, [2]string{"to", is.To})
	}
	for _, p := range days {
		if p[1] != "" {
			q.Set(p[0], p[1])
		}
	}
	if is.Stand {
		q.Set("open", "1")
	}
	if is.Late != late {
		q.Set("late", strconv.Itoa(is.Late))
	}
	return q
}

// isDay reports whether a text is a day, or nothing.
func isDay(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return text == "" || err == nil
}

// weekOf gives the week of a day as ISO 8601 writes it.
func weekOf(day time.Time) string {
	y, w := day.ISOWeek()
	return fmt.Sprintf("%04d-W%02d", y, w)
}
