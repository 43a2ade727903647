package review

import (
	"slices"

	"jobsheaf/internal/manifest"
)

// locks finds locks that were put on and not taken off, and points that nobody signed for.
// A row for further locks is asked for nothing until something stands in it.
func (l *look) locks() {
	for _, p := range l.points {
		about, id := say("lock", with("of", p.of)), "lock-"+key(p.id)
		was := l.written(p.on) || l.written(p.proved)
		if was && l.blank(p.removed) {
			f := at(p.removed, id+"-off", danger, "sign", say("lock_off"), about)
			f.alike = true
			l.find(f)
		}
		if !p.asked && !was && !l.written(p.removed) {
			continue
		}
		var lacks []word
		var first *spot
		for _, s := range []struct {
			spot *spot
			key  string
		}{{p.on, "lock_on"}, {p.proved, "lock_proved"}} {
			if l.blank(s.spot) {
				if lacks = append(lacks, say(s.key)); first == nil {
					first = s.spot
				}
			}
		}
		if len(lacks) > 0 && l.blank(p.removed) && !was {
			lacks = append(lacks, say("lock_removed"))
		}
		if first != nil {
			f := at(first, id+"-on", danger, "sign", say("lock_lacks", pair{"what", lacks}), about)
			f.alike = true
			l.find(f)
		}
		if l.written(p.on) && l.blank(p.lock) {
			f := at(p.lock, id+"-number", proof, "sign", say("lock_number"), about)
			f.alike = true
			l.find(f)
		}
	}
}

// zero finds that the proof of zero energy was not signed for, or not wholly ticked.
func (l *look) zero() {
	if f, found := l.unsigned(&l.board.zero, "zero", danger, "zero_unsigned", say("zero")); found {
		l.find(f)
	}
	for _, s := range l.proofs {
		if l.blank(s) {
			f := at(s, "zero-"+s.ID, danger, "sign", say("zero_unticked"), say("zero"), text(s.Ask.Label))
			f.alike = true
			l.find(f)
		}
	}
}

// hold finds a hold point that was not signed, or after what it holds.
func (l *look) hold(s *step) {
	if l.excused(s) && !l.written(s.hold.sign) {
		return
	}
	past := l.after(s)
	g, what := work, "hold_unsigned"
	if past != "" {
		g, what = danger, "hold_passed"
	}
	f, found := l.unsigned(&s.hold, "hold-"+s.number, g, what, say("hold"), with("role", s.hold.role))
	if found {
		if f.Gravity == danger {
			f.what.pairs = append(f.what.pairs, with("step", past))
		} else {
			f.what.key = "hold_unsigned"
		}
		l.find(f)
		return
	}
	signed, ended := l.text(s.hold.when), l.text(s.stage.at)
	if late(signed, ended) {
		l.find(at(s.hold.when, "hold-"+s.number+"-late="+signed, danger, "decide",
			say("hold_late", with("signed", signed), with("ended", ended), with("role", s.hold.role)), say("hold")))
	}
	for _, h := range l.held {
		if h.Ask.Step == s.number && l.blank(h) && l.written(s.hold.sign) {
			f := at(h, "hold-"+s.number+"-unticked", proof, "sign", say("held_unticked"), say("hold"))
			f.alike = true
			l.find(f)
		}
	}
}

// after gives the first step behind another that is ticked, "" where none is.
func (l *look) after(s *step) string {
	for _, next := range l.board.steps[s.nth+1:] {
		if l.written(next.done) {
			return next.number
		}
	}
	return ""
}

// steps finds what was not ticked, not signed and not read at the steps.
func (l *look) steps() {
	for _, st := range l.stages {
		if l.untouched(st) {
			continue
		}
		worked := false
		for _, s := range st.steps {
			l.step(s)
			worked = worked || l.written(s.done)
		}
		about := say("stage", with("n", st.number))
		switch {
		case !worked:
		case l.blank(st.by):
			f := at(st.by, "stage-"+st.number+"-initials", proof, "sign", say("stage_initials"), about)
			f.Step = ""
			l.find(f)
		case l.blank(st.at):
			f := at(st.at, "stage-"+st.number+"-time", proof, "sign", say("stage_time"), about)
			f.Step, f.alike = "", true
			l.find(f)
		}
	}
	if z := l.board.zero; l.written(z.sign) {
		for _, h := range l.held {
			if h.Ask.Step == "" && l.blank(h) {
				f := at(h, "zero-unticked", proof, "sign", say("held_unticked"), say("zero"))
				f.alike = true
				l.find(f)
			}
		}
	}
}

// untouched finds a stage in which nothing is ticked and nothing signed: said once.
func (l *look) untouched(st *stage) bool {
	optional := func(s *step) bool { return s.done == nil || s.done.Ask.Optional }
	if len(st.steps) < 2 || !l.blank(st.by) || !slices.ContainsFunc(st.steps, func(s *step) bool { return !optional(s) }) {
		return false
	}
	f := at(st.by, "stage-"+st.number+"-untouched", proof, "step", say("stage_untouched", with("n", number(len(st.steps)))), say("stage", with("n", st.number)))
	f.Step = ""
	for _, s := range st.steps {
		if !l.blank(s.done) || l.undone[s.number] != nil {
			return false
		}
		if optional(s) {
			continue
		}
		f.also = append(f.also, "step-"+s.number)
		if s.hold.sign != nil {
			if l.written(s.hold.sign) {
				return false
			}
			f.Gravity, f.also = work, append(f.also, "hold-"+s.number)
			f.about = append(f.about, say("holds", pair{"steps", []word{text(s.number)}}))
		}
	}
	f.Page, f.Box = st.steps[0].done.page, st.steps[0].done.ID
	l.find(f)
	return true
}

// excused reports that a step was not done, and that this was written down, or that it is
// one which the job may not ask for.
func (l *look) excused(s *step) bool {
	return !l.written(s.done) && (l.undone[s.number] != nil || s.done != nil && s.done.Ask.Optional)
}

func (l *look) step(s *step) {
	if s.hold.sign != nil {
		l.hold(s)
	}
	ticked := l.written(s.done)
	switch u := l.undone[s.number]; {
	case ticked || s.done == nil:
	case u != nil:
		f := at(s.done, "step-"+s.number+"-undone", remark, "", u.what(), text(s.done.Ask.Label))
		l.find(f)
	case l.blank(s.done) && !s.done.Ask.Optional:
		f := at(s.done, "step-"+s.number+"-unticked", proof, "step", say("step_unticked"))
		f.alike = true
		if s.hold.sign != nil || len(s.readings) > 0 {
			f.Gravity = work
		}
		l.find(f)
	}
	for _, r := range s.readings {
		l.reading(r, ticked)
	}
	if !ticked {
		return
	}
	for _, w := range s.whens {
		if w.Ask.For != manifest.ForSign && len(s.words) > 0 && !slices.ContainsFunc(s.words, l.written) {
			continue // who decided what nobody had to decide
		}
		if l.blank(w) {
			f := at(w, "blank-"+number(w.page)+"-"+w.ID, proof, "sign", say("blank"), text(w.Ask.Label))
			if w.Ask.For == manifest.ForSign {
				f.Key = "sign-" + w.ID
			}
			f.alike = true
			l.find(f)
		}
	}
}

// signOff finds who has not signed at the end.
func (l *look) signOff() {
	for _, r := range l.roles {
		if f, found := l.unsigned(r, "sign-"+key(r.id), proof, "role_unsigned", text(r.role)); found {
			l.find(f)
		}
	}
}
