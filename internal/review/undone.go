package review

import (
	"cmp"
	"regexp"
	"strings"
	"time"

	"jobsheaf/internal/register"
)

// This file reads what people type in of what was not done, and of days and times. What
// cannot be read for certain is not guessed at.

// undone is a step that was not done, or whose reading was let through, as it was written
// down and typed in.
type undone struct {
	why, by, at string // by: initials as typed; at: when it was typed in
	who         string // who typed it in
}

func (u *undone) what() word {
	if u.by == "" {
		return say("undone", with("why", u.why))
	}
	return say("undone_by", with("why", u.why), with("by", u.by))
}

// stepForm is a step's number or a stage's, or several in a row: 6.1-6.4.
var stepForm = regexp.MustCompile(`(\d+(?:\.\d+)?)(?:\s*(?:-|–|to|a)\s*(\d+(?:\.\d+)?))?`)

// leadForm is the numbers at the beginning of what was written about some steps.
var leadForm = regexp.MustCompile(`^\D{0,8}?(\d+(?:\.\d+)?(?:(?:\s*(?:,|and|y|\+|&|-|–|to|a)\s*)\d+(?:\.\d+)?)*)\b[.:)]?\s*`)

// named gives the steps that a text names.
func (b *board) named(text string) (out []*step) {
	for _, m := range stepForm.FindAllStringSubmatch(text, -1) {
		from, to := b.first(m[1]), b.last(m[1])
		if m[2] != "" {
			to = b.last(m[2])
		}
		if from != nil && to != nil && from.nth <= to.nth {
			out = append(out, b.steps[from.nth:to.nth+1]...)
		}
	}
	return out
}

// first and last give a step by its number, or the ends of a stage by its own.
func (b *board) first(number string) *step { return b.end(number, 0) }
func (b *board) last(number string) *step  { return b.end(number, -1) }

func (b *board) end(number string, i int) *step {
	if s := b.byNumber[number]; s != nil {
		return s
	}
	for _, st := range b.stages {
		if st.number == number && len(st.steps) > 0 {
			return st.steps[(i+len(st.steps))%len(st.steps)]
		}
	}
	return nil
}

// readUndone reads what is written of steps that were not done, and finds what of it is not
// typed in or says too little.
func (l *look) readUndone() {
	l.undone = map[string]*undone{}
	for n, r := range l.rows {
		which, why := l.text(r.step), l.text(r.why)
		for _, s := range []*spot{r.step, r.why} {
			if l.written(s) && l.text(s) == "" {
				l.untyped(s, say("not_done"))
			}
		}
		id := "step-row" + number(n+1)
		if which == "" {
			if why != "" && l.blank(r.step) {
				l.find(at(r.step, id+"-nameless", proof, "decide", say("undone_nameless", with("why", why)), say("not_done")))
			}
			continue
		}
		steps := l.named(which)
		if len(steps) == 0 {
			l.find(at(r.step, id+"-unknown", desk, "type", say("undone_unknown", with("text", which)), say("not_done")))
		}
		u := &undone{why: why, by: l.text(r.by), at: l.readings[r.step.ID].At, who: l.readings[r.step.ID].Who}
		for _, s := range steps {
			l.undone[s.number] = u
		}
		if r.why != nil && l.blank(r.why) {
			l.find(at(r.why, id+"-why", proof, "decide", say("undone_why", with("steps", which)), say("not_done")))
		}
		if r.by != nil && l.blank(r.by) {
			l.find(at(r.by, id+"-unsigned", proof, "sign", say("undone_unsigned", with("steps", which)), say("not_done")))
		}
	}
	if l.missed == nil {
		return
	}
	all := l.text(l.missed)
	if l.written(l.missed) && all == "" {
		l.untyped(l.missed, say("not_done"))
	}
	for part := range strings.FieldsFuncSeq(all, func(r rune) bool { return r == ';' || r == '\n' }) {
		part = strings.TrimSpace(part)
		lead := leadForm.FindStringSubmatch(part)
		if lead == nil {
			continue
		}
		t := l.readings[l.missed.ID]
		for _, s := range l.named(lead[1]) {
			l.undone[s.number] = &undone{why: strings.TrimSpace(strings.TrimPrefix(part, lead[0])), at: t.At, who: t.Who}
		}
	}
}

var (
	clockForm = regexp.MustCompile(`\b([01]?\d|2[0-3])[:hH]([0-5]\d)\b`)
	isoForm   = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)
	mostLater = 12 * time.Hour // beyond which two times without a day may be of two days
)

// late reports that a hold point was signed after the end of its stage. Both must be typed
// with a time; days count where both have one.
func late(signed, ended string) bool {
	s, e := clockForm.FindStringSubmatch(signed), clockForm.FindStringSubmatch(ended)
	if s == nil || e == nil {
		return false
	}
	at := func(m []string, text string) (time.Time, bool) {
		t, _ := time.Parse("15:04", m[1]+":"+m[2])
		d := isoForm.FindString(text)
		day, err := time.Parse(time.DateOnly, d)
		if err != nil {
			return t, false
		}
		return day.Add(time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute), true
	}
	a, aDay := at(s, signed)
	b, bDay := at(e, ended)
	switch {
	case aDay && bDay:
		return a.After(b)
	case aDay || bDay:
		return false
	}
	return a.After(b) && a.Sub(b) <= mostLater
}

// dueDay reads when a calibration is due; ok is false where what was typed in is no day.
func dueDay(t register.Reading) (day time.Time, ok bool) {
	day, err := time.Parse(time.DateOnly, cmp.Or(t.Value, strings.TrimSpace(t.Text)))
	return day, err == nil
}

// noneForm is what people write where there is nothing: an instrument that is never
// calibrated, a reading that was not taken.
var noneForm = regexp.MustCompile(`(?i)^(?:[-–—−]|n/?a|n\.a\.|not measured)$`)
