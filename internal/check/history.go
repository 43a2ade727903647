package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// history: earlier readings stand in order, name what the size has, and were
// within the limits when they were left.
var history = rule{
	name: "history",
	what: "a unit's history is oldest first, its readings and replaced parts are ones that the size names, and nothing was left outside its limits, found far outside them, or wore back",
	run: func(r *run) {
		for _, u := range r.units() {
			last := map[string]map[string]record.Amount{}
			r.ownOrder(u)
			for _, h := range u.History {
				if u.Size == nil {
					continue
				}
				r.readings(u.Size, h.AsFound, false)
				r.readings(u.Size, h.AsLeft, true)
				for _, p := range h.Replaced {
					delete(last, p.S)
				}
				r.follow(u.Size, h.AsFound, last)
				r.follow(u.Size, h.AsLeft, last)
				r.replaced(u.Size, h.Replaced)
			}
		}
		r.historyBeforeJobs()
	},
}

// ownOrder reports entries of a unit's own record that do not stand oldest first.
func (r *run) ownOrder(u *record.Unit) {
	var days []record.Text
	for _, h := range u.History {
		if h.Day.Known() && u.Span.Holds(h.Day.At) {
			days = append(days, h.Day)
		}
	}
	slices.SortFunc(days, func(a, b record.Text) int { return a.At.Compare(b.At) })
	for i := 1; i < len(days); i++ {
		if days[i-1].S >= days[i].S {
			r.errorf(days[i].At, places(days[i-1].At), "the oldest stands first, one entry a day", "the day %s does not follow %s", days[i], days[i-1])
		}
	}
}

// historyBeforeJobs reports readings of a day on or after that of the job that is
// to be printed: one of the two days is wrong. Those of the register have the days of
// jobs that were printed.
func (r *run) historyBeforeJobs() {
	for _, name := range inOrder(r.Lists) {
		for _, j := range r.Lists[name].Jobs {
			u := r.Units[j.Unit.S]
			if u == nil || len(u.History) == 0 || !j.Day.Known() {
				continue
			}
			for i := len(u.History) - 1; i >= 0; i-- {
				last := u.History[i]
				if record.FromRegister(last.Day.At) {
					continue
				}
				if last.Day.S >= j.Day.S {
					r.warnf(j.Day.At, places(last.Day.At), "look at both days", "the job %s is on %s, and the unit's history reaches to %s", j.ID, j.Day, last.Day)
				}
				break
			}
		}
	}
}

// signedSheet is where a reading comes from.
const signedSheet = "look at the signed sheet of that job"

// readings checks measured amounts against what the size says.
func (r *run) readings(s *record.Size, of map[string]record.Amount, left bool) {
	for _, name := range inOrder(of) {
		a := of[name]
		f := s.Features[name]
		set, isTerm := s.Scalars[name+".set"]
		plain := s.Scalars[name]
		if f == nil && !isTerm && plain.Form != record.FormAmount {
			if s.Broken() || s.Design.Broken() {
				continue // it may be there and could not be read
			}
			have := slices.Clone(s.FeatureOrder)
			for _, term := range inOrder(s.Scalars) {
				if t := s.Scalars[term].Term; t.Form == record.FormAmount && t.Kind.Type() == a.Value.Type() {
					have = append(have, strings.TrimSuffix(term, ".set"))
				}
			}
			hint := cmp.Or(diag.DidYouMean(name, have), "it is one of the features of the size, or a term of it")
			say := r.errorf
			if record.FromRegister(a.At) { // nobody can mend what the packet called it
				say = r.warnf
			}
			say(a.At, places(s.At), hint, "the size %s has nothing named %s to measure", s.Name, name)
			continue
		}
		if f != nil && far(f, a) {
			r.unlikely(r.numbers.at[a.At], places(f.New.At, f.RejectBelow.At, f.RejectAbove.At), signedSheet, fmt.Sprintf("%s was %s, far from the %s of a new one and from its reject limit", name, a, f.New))
			continue
		}
		if !left {
			continue
		}
		if f != nil && f.RejectBelow.Known() && a.Value.SI() < f.RejectBelow.Value.SI() {
			r.unlikely(r.numbers.at[a.At], places(f.RejectBelow.At), signedSheet, fmt.Sprintf("%s was left at %s, below the reject limit of %s", name, a, f.RejectBelow))
		}
		if f != nil && f.RejectAbove.Known() && a.Value.SI() > f.RejectAbove.Value.SI() {
			r.unlikely(r.numbers.at[a.At], places(f.RejectAbove.At), signedSheet, fmt.Sprintf("%s was left at %s, above the reject limit of %s", name, a, f.RejectAbove))
		}
		if low, ok := s.Scalars[name+".low"]; ok && a.Value.SI() < low.Value.SI()*(1-1e-9) {
			r.unlikely(r.numbers.at[a.At], places(low.At, set.At), signedSheet, fmt.Sprintf("%s was left at %s, below the low limit of %s", name, a, low.Written))
		}
		if high, ok := s.Scalars[name+".high"]; ok && a.Value.SI() > high.Value.SI()*(1+1e-9) {
			r.unlikely(r.numbers.at[a.At], places(high.At, set.At), signedSheet, fmt.Sprintf("%s was left at %s, above the high limit of %s", name, a, high.Written))
		}
	}
}

// What is found may be worn beyond its limit, by as much again as all the wear
// that is allowed, or by a twentieth of its size, and no more; and nothing grows
// back by more than half of that wear. Common practice, no source.
const mostWorn, leastWorn, mostOfSize = 3, -0.5, 0.05

// wear gives how far a feature has gone from new (0) to rejected (1). ok is false
// where the size does not say between which values.
func wear(f *record.Feature, a record.Amount) (part float64, ok bool) {
	limit, way := f.RejectBelow, -1.0
	if !limit.Known() {
		limit, way = f.RejectAbove, 1
	}
	if !f.New.Known() || !limit.Known() || (limit.Value.SI()-f.New.Value.SI())*way <= 0 {
		return 0, false
	}
	return (a.Value.SI() - f.New.Value.SI()) / (limit.Value.SI() - f.New.Value.SI()), true
}

// far reports whether a reading lies far outside new and rejected, on either side.
func far(f *record.Feature, a record.Amount) bool {
	part, ok := wear(f, a)
	return ok && (part < leastWorn || part > mostWorn) && math.Abs(a.Value.SI()-f.New.Value.SI()) > mostOfSize*f.New.Value.SI()
}

// follow reports a feature that wears back: a reading nearer to new than the one
// before it, of a part that was not replaced between them. last holds the latest
// readings by part.
func (r *run) follow(s *record.Size, of map[string]record.Amount, last map[string]map[string]record.Amount) {
	for _, name := range inOrder(of) {
		f := s.Features[name]
		if f == nil || !f.Replaces.Known() {
			continue // what is set anew does not wear on from where it was
		}
		if far(f, of[name]) {
			continue // told already, and no measure for the next
		}
		part := f.Replaces.S
		before, had := last[part][name]
		now, ok := wear(f, of[name])
		then, _ := wear(f, before)
		if had && ok && now < then+leastWorn {
			r.unlikely(r.numbers.at[of[name].At], places(before.At), signedSheet, fmt.Sprintf("%s was %s, after %s: it does not wear back; was %s replaced?", name, of[name], before, part))
		}
		if last[part] == nil {
			last[part] = map[string]record.Amount{}
		}
		last[part][name] = of[name]
	}
}

// replaced checks that each replaced part is one that renews a feature.
func (r *run) replaced(s *record.Size, parts []record.Text) {
	have := renewable(s)
	for _, p := range parts {
		if slices.Contains(have, p.S) {
			continue
		}
		hint := cmp.Or(diag.DidYouMean(p.S, have), "the parts are those that a feature of the size names under replaces")
		r.warnf(p.At, places(s.At), hint, "no feature of the size %s is renewed by the part %s", s.Name, p)
	}
}
