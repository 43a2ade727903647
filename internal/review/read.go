package review

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"jobsheaf/internal/register"
)

// verdict says how a reading stands to its limits.
type verdict int

const (
	unknown verdict = iota // nothing was typed in, or it has no limits
	within
	beyond
	noNumber // what was typed in is none
	untaken  // what was typed in says that nothing was measured
)

// judge holds a reading to the limits that whoever typed it had before them, else to those
// of the page.
func (l *look) judge(s *spot) verdict {
	t, typed := l.readings[s.ID]
	low, high := s.Ask.Low, s.Ask.High
	if typed && (t.Low != nil || t.High != nil) {
		low, high = t.Low, t.High
	}
	v, err := strconv.ParseFloat(t.Value, 64)
	switch {
	case !typed:
		return unknown
	case noneForm.MatchString(strings.TrimSpace(t.Text)):
		return untaken
	case err != nil:
		return noNumber
	case low == nil && high == nil:
		return unknown
	case t.Unit != s.Ask.Unit && t.Low == nil && t.High == nil:
		return noNumber
	}
	if low != nil && v < *low || high != nil && v > *high {
		return beyond
	}
	return within
}

// reading finds what is wrong with a reading: outside its limits, not typed in, or not on
// the paper though its step is done.
func (l *look) reading(s *spot, done bool) {
	about := l.called(s)
	switch {
	case l.text(s) != "":
		l.limits(s, about)
	case s.Hatched && !l.written(s):
	case l.written(s):
		l.untyped(s, about...)
	case l.blank(s) && done && !s.Ask.Optional:
		g := proof
		if s.Ask.Low != nil || s.Ask.High != nil {
			g = work
		}
		f := at(s, "blank-"+number(s.page)+"-"+s.ID, g, "blank", say("blank"), about...)
		f.alike = true
		l.find(f)
	}
}

// limits finds a reading outside its limits. Who let it through is said where a reason was
// typed in with it, or stands among what was not done.
func (l *look) limits(s *spot, about []word) {
	is := l.judge(s)
	if is == unknown || is == within {
		return
	}
	t, limits := l.readings[s.ID], l.limitsOf(s)
	f := at(s, "limit-"+s.ID+"="+cmp.Or(t.Value, t.Text), work, "decide", say("limit", with("is", inUnit(t)), with("limits", limits)), about...)
	switch {
	case is == untaken:
		f.Key, f.Gravity, f.what = "blank-"+number(s.page)+"-"+s.ID, proof, say("untaken")
	case is == noNumber && limits == "":
		f.Gravity, f.what = proof, say("no_number", with("text", t.Text))
	case is == noNumber:
		f.what = say("no_number_limits", with("text", t.Text), with("limits", limits))
	}
	switch u := l.undone[s.Ask.Step]; {
	case t.Why != "":
		f.Let = &Let{t.Who, t.Why, t.At}
	case u != nil && u.why != "":
		f.Let = &Let{cmp.Or(u.by, u.who), u.why, u.at}
	}
	l.find(f)
}

func inUnit(t register.Reading) string {
	if t.Value == "" || t.Unit == "" {
		return cmp.Or(t.Value, t.Text)
	}
	return t.Value + " " + t.Unit
}

// limitsOf gives the limits of a reading as the page has them, or writes them where it has
// no text for them.
func (l *look) limitsOf(s *spot) string {
	t, a := l.readings[s.ID], s.Ask
	if a.Limits != "" {
		return a.Limits
	}
	low, high := cmp.Or(t.Low, a.Low), cmp.Or(t.High, a.High)
	text := ""
	if low != nil {
		text = "≥ " + strconv.FormatFloat(*low, 'f', -1, 64) + " "
	}
	if high != nil {
		text += "≤ " + strconv.FormatFloat(*high, 'f', -1, 64) + " "
	}
	if text == "" {
		return ""
	}
	return text + a.Unit
}

// untyped finds that something stands in a box which nobody typed in.
func (l *look) untyped(s *spot, about ...word) {
	f := at(s, "untyped-"+number(s.page)+"-"+s.ID, desk, "type", say("untyped"), about...)
	f.alike = true
	l.find(f)
}

// wear finds verdicts that the readings of a part contradict, and rows that say too little.
func (l *look) wear() {
	empty := 0
	for _, f := range l.features {
		if l.emptyRow(f) {
			empty++
		}
	}
	for _, f := range l.features {
		l.wornPart(f, empty == len(l.features))
	}
}

// emptyRow reports that nothing stands in the row of a part.
func (l *look) emptyRow(f *feature) bool {
	all := append([]*spot{f.left, f.reuse, f.replace, f.replaced}, f.readings...)
	return !slices.ContainsFunc(all, func(s *spot) bool { return s != nil && !l.blank(s) })
}

func (l *look) wornPart(f *feature, allEmpty bool) {
	part, id := text(f.named()), "wear-"+key(f.id)
	first := cmp.Or(f.reuse, f.replaced, f.left)
	if len(f.readings) > 0 {
		first = f.readings[0]
	}
	if l.emptyRow(f) {
		if first != nil && !first.Hatched {
			x := at(first, "blank-"+number(first.page)+"-"+first.ID, proof, "blank", say("wear_blank"), part)
			x.also = []string{id}
			if x.alike = true; allEmpty {
				x.what = say("wear_all_blank")
			}
			l.find(x)
		}
		return
	}
	worst, known, any := unknown, 0, false
	var at1 *spot // the reading beyond its limit
	for _, s := range f.readings {
		any = any || l.written(s)
		switch v := l.judge(s); v {
		case within:
			known++
		case beyond:
			if at1 == nil {
				at1 = s
			}
			worst, known = beyond, known+1
		case noNumber, untaken:
			l.limits(s, l.called(s))
		}
		if l.text(s) == "" {
			l.reading(s, l.written(f.reuse) || l.written(f.replace))
		}
	}
	reuse, replace := l.written(f.reuse), l.written(f.replace)
	switch {
	case reuse && replace:
		l.find(at(f.reuse, id+"-both", work, "decide", say("wear_both"), part))
	case at1 == nil && any && l.blank(f.reuse) && l.blank(f.replace):
		l.find(at(f.reuse, id+"-none", work, "decide", say("wear_none"), part))
	case replace && worst != beyond && known > 0 && known == len(f.readings):
		l.find(at(f.replace, id+"-within", remark, "", say("wear_within"), part))
	case f.replaced != nil && l.blank(f.replaced):
		l.find(at(f.replaced, id+"-replaced", work, "sign", say("wear_replaced"), part))
	}
	if at1 != nil && !(replace && !reuse) { // a part that is replaced may be worn
		t := l.readings[at1.ID]
		x := at(at1, id+"-beyond="+t.Value, work, "decide", say("wear_beyond", with("is", inUnit(t)), with("limits", l.limitsOf(at1))), part, text(at1.Ask.Label))
		if reuse {
			x.what.key = "wear_reused"
		}
		if x.also = []string{"limit"}; t.Why != "" {
			x.Let = &Let{t.Who, t.Why, t.At}
		}
		l.find(x)
	}
	if f.left != nil {
		l.reading(f.left, replace || l.written(f.replaced))
	}
}

// instruments finds instruments that were used without a number, or when their calibration
// was overdue.
func (l *look) instruments() {
	for _, f := range l.tools {
		var reads []*spot
		for _, s := range l.board.steps {
			for _, r := range s.readings {
				if f.tool != "" && r.Ask.Tool == f.tool {
					reads = append(reads, r)
				}
			}
		}
		if len(reads) == 0 || slices.ContainsFunc(reads, l.written) {
			l.instrument(f, cmp.Or(f.tool, f.named()))
		}
	}
	for _, f := range l.features {
		if slices.ContainsFunc(append([]*spot{f.left}, f.readings...), l.written) {
			l.instrument(f, f.named())
		}
	}
}

func (l *look) instrument(f *feature, name string) {
	id, about := "instrument-"+key(f.id), text(name)
	if f.tool != "" && f.tool != name {
		about = text(name + ": " + f.tool)
	}
	var lacks []word
	var first *spot
	for _, s := range []struct {
		spot *spot
		key  string
	}{{f.number, "tool_number"}, {f.due, "tool_due"}} {
		if l.blank(s.spot) {
			lacks, first = append(lacks, say(s.key)), cmp.Or(first, s.spot)
		}
	}
	if first != nil {
		x := at(first, id+"-"+first.part(), proof, "blank", say("tool_lacks", pair{"what", lacks}), about)
		x.alike = true
		l.find(x)
	}
	typed := l.text(f.due)
	if typed == "" {
		if l.written(f.due) {
			x := at(f.due, "untyped-"+number(f.due.page)+"-"+f.due.ID, desk, "type", say("due_untyped"), about)
			x.alike, x.also = true, []string{id}
			l.find(x)
		}
		return
	}
	due, ok := dueDay(l.readings[f.due.ID])
	used, err := time.Parse(time.DateOnly, l.Job.Day)
	switch {
	case noneForm.MatchString(typed): // it is never calibrated
	case !ok:
		l.find(at(f.due, id+"-due="+typed, desk, "type", say("due_unread", with("text", typed)), about))
	case err == nil && due.Before(used):
		x := at(f.due, id+"-due="+typed, work, "decide", say("due_past", with("due", typed), with("day", l.Job.Day)), about)
		if n := l.text(f.number); n != "" {
			x.what = say("due_past_of", with("number", n), with("due", typed), with("day", l.Job.Day))
		}
		l.find(x)
	}
}
