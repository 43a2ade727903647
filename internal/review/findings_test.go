package review

import (
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/register"
)

var today = When{Today: "2026-12-02", Days: 7}

// A packet that came back complete has no finding, however much on it stayed empty that may.
func TestNothingToBeFound(t *testing.T) {
	if got := told(complete().Findings(today), english(t)); len(got) > 0 {
		t.Errorf("found:\n%s", strings.Join(got, "\n"))
	}
	if s := complete().State(); s != Back {
		t.Errorf("its state is %s", s)
	}
}

// Each case is one thing wrong with a packet that is complete otherwise.
func TestFindings(t *testing.T) {
	words := english(t)
	for name, c := range map[string]struct {
		change func(p *Packet)
		want   []string
	}{
		"a lock that nobody took off": {func(p *Packet) { p.blank("isolation.E1.removed") },
			[]string{"danger lock-E1-off | page 2, lock at E1: put on, and not signed off"}},
		"a person's lock": {func(p *Packet) { p.marked("locks.1.numbers", "locks.1.on") },
			[]string{"danger lock-1-off | page 2, lock at person 1: put on, and not signed off"}},
		"a further point": {func(p *Packet) { p.marked("isolation.more1.point", "isolation.more1.applied") },
			[]string{"danger lock-more1-off | page 2, lock at row 1: put on, and not signed off", "danger lock-more1-on | page 2, lock at row 1: no initials: proved", "proof lock-more1-number | page 2, lock at row 1: no lock number"}},
		"a point that nobody locked": {func(p *Packet) { p.blank("isolation.V1.") },
			[]string{"danger lock-V1-on | page 2, lock at V1: no initials: put on, proved, taken off"}},
		"a lock without a number": {func(p *Packet) { p.blank("isolation.E1.lock") },
			[]string{"proof lock-E1-number | page 2, lock at E1: no lock number"}},
		"zero energy": {func(p *Packet) { p.blank("cover.proved.name", "cover.proved.sign") },
			[]string{"danger zero-unsigned | page 2, zero energy: no signature, name"}},
		"zero energy unticked": {func(p *Packet) { p.blank("prove.1") },
			[]string{"danger zero-prove.1 | page 2, zero energy, Both gauges stay at zero: not ticked"}},
		"a hold point passed": {func(p *Packet) { p.blank("s1.1.hold.sign") },
			[]string{"danger hold-1.1-unsigned | page 4, step 1.1, hold point: no signature; second person; work went on, step 1.2 is ticked"}},
		"a hold point undated": {func(p *Packet) { p.blank("s1.1.hold.when") },
			[]string{"proof hold-1.1-undated | page 4, step 1.1, hold point: no date and time; second person"}},
		"a hold point with no work behind it": {func(p *Packet) {
			p.blank("s2.2.hold", "s2.3.", "s2.done")
			p.forget("s2.3", "instrument.flow")
			p.blank("instrument.flow", "signoff.hold.2.2")
		}, []string{"work hold-2.2-unsigned | page 5, step 2.2, hold point: no signature, name, date and time; second person", "proof stage-2-initials | page 5, stage 2: no initials", "work step-2.3-unticked | page 5, step 2.3: not ticked, and not listed as not done"}},
		"a hold point signed late": {func(p *Packet) { p.typed("s1.1.hold.when", "16:10", "", ""); p.typed("s1.done.at", "15:30", "", "") },
			[]string{"danger hold-1.1-late=16:10 | page 4, step 1.1, hold point: signed at 16:10, after the stage ended at 15:30; second person"}},
		"a hold point in time": {func(p *Packet) {
			p.typed("s1.1.hold.when", "30.11. 15:10", "", "")
			p.typed("s1.done.at", "15:30", "", "")
		}, nil},
		"a stage over midnight": {func(p *Packet) { p.typed("s1.1.hold.when", "23:50", "", ""); p.typed("s1.done.at", "00:10", "", "") }, nil},
		"not on the sign-off":   {func(p *Packet) { p.blank("signoff.hold.1.1") }, []string{"proof hold-1.1-unticked | page 7, step 1.1, hold point: not ticked on the sign-off"}},
		"zero not on the sign-off": {func(p *Packet) { p.blank("signoff.hold.zero") },
			[]string{"proof zero-unticked | page 7, zero energy: not ticked on the sign-off"}},
		"a reading beyond its limits": {func(p *Packet) { p.typed("s1.2.smallest", "0.15", "mm", "") },
			[]string{"work limit-s1.2.smallest=0.15 | page 4, step 1.2, Smallest: 0.15 mm; 0.09 to 0.13 mm"}},
		"one on its limit": {func(p *Packet) { p.typed("s1.2.smallest", "0.13", "mm", "") }, nil},
		"one let through": {func(p *Packet) { p.typed("s1.2.smallest", "0.15", "mm", "the engineer accepts it") },
			[]string{"work limit-s1.2.smallest=0.15 | page 4, step 1.2, Smallest: 0.15 mm; 0.09 to 0.13 mm [Planner 1: the engineer accepts it]"}},
		"one let through on the paper": {func(p *Packet) {
			p.typed("s1.2.smallest", "0.15", "mm", "")
			p.marked("signoff.not-done.1.")
			p.typed("signoff.not-done.1.step", "1.2", "", "")
			p.typed("signoff.not-done.1.why", "0.15 accepted until May", "", "")
		}, []string{"work limit-s1.2.smallest=0.15 | page 4, step 1.2, Smallest: 0.15 mm; 0.09 to 0.13 mm [Planner 1: 0.15 accepted until May]"}},
		"no number": {func(p *Packet) { p.typed("s1.2.smallest", "fits", "", "") },
			[]string{"work limit-s1.2.smallest=fits | page 4, step 1.2, Smallest: “fits” is no number; 0.09 to 0.13 mm"}},
		"reused beyond the limit": {func(p *Packet) { p.typed("wear.idler_pin.B", "31.90", "mm", "") },
			[]string{"work wear-idler_pin-beyond=31.90 | page 6, idler pin, B: 31.90 mm, and marked for reuse; at least 31.91 mm"}},
		"replaced beyond the limit": {func(p *Packet) {
			p.typed("wear.idler_pin.B", "31.90", "mm", "")
			p.blank("wear.idler_pin.reuse")
			p.marked("wear.idler_pin.replace", "wear.idler_pin.as-left")
			p.typed("wear.idler_pin.as-left", "32.00", "mm", "")
		}, nil},
		"replaced, and not measured then": {func(p *Packet) {
			p.typed("wear.idler_pin.B", "31.90", "mm", "")
			p.blank("wear.idler_pin.reuse")
			p.marked("wear.idler_pin.replace")
		}, []string{"work blank-6-wear.idler_pin.as-left | page 6, idler pin as-left: nothing written"}},
		"replaced though within": {func(p *Packet) {
			p.blank("wear.idler_pin.reuse")
			p.marked("wear.idler_pin.replace", "wear.idler_pin.as-left")
			p.typed("wear.idler_pin.as-left", "32.00", "mm", "")
		}, []string{"remark wear-idler_pin-within | page 6, idler pin: marked to be replaced, and every reading is within its limits"}},
		"both verdicts": {func(p *Packet) {
			p.marked("wear.shaft.replace", "wear.shaft.as-left")
			p.typed("wear.shaft.as-left", "32", "mm", "")
		},
			[]string{"work wear-shaft-both | page 6, shaft: reuse and replace are both marked"}},
		"no verdict":            {func(p *Packet) { p.blank("wear.shaft.reuse") }, []string{"work wear-shaft-none | page 6, shaft: readings and no verdict"}},
		"no verdict and beyond": {func(p *Packet) { p.blank("wear.shaft.reuse"); p.typed("wear.shaft.A", "31.5", "mm", "") }, []string{"work wear-shaft-beyond=31.5 | page 6, shaft, A: 31.5 mm, and no verdict; at least 31.91 mm"}},
		"an empty row":          {func(p *Packet) { p.blank("wear.shaft."); p.forget("wear.shaft") }, []string{"proof blank-6-wear.shaft.A | page 6, shaft: nothing written"}},
		"an empty wear sheet": {func(p *Packet) { p.blank("wear."); p.forget("wear.") },
			[]string{"proof blank-6-wear.idler_pin.A blank-6-wear.shaft.A | page 6, idler pin, shaft: nothing written on the whole wear sheet"}},
		"not typed in": {func(p *Packet) { p.forget("wear.idler_pin.A", "wear.shaft.B") },
			[]string{"desk untyped-6-wear.idler_pin.A untyped-6-wear.shaft.B | page 6, idler pin A, shaft B: not typed in"}},
		"not on the paper": {func(p *Packet) {
			p.forget("s2.3.flow")
			p.blank("s2.3.flow", "instrument.flow")
			p.forget("instrument.flow")
		},
			[]string{"proof blank-5-s2.3.flow | page 5, step 2.3, Flow: nothing written"}},
		"nobody measured":    {func(p *Packet) { p.blank("s1.2.measured-by") }, []string{"proof blank-4-s1.2.measured-by | page 4, step 1.2, Measured by: nothing written"}},
		"decided by nobody":  {func(p *Packet) { p.marked("s1.3.not-sound") }, []string{"proof blank-4-s1.3.decided-by | page 4, step 1.3, Decided by: nothing written"}},
		"the operator's own": {func(p *Packet) { p.blank("s2.1.path") }, []string{"proof sign-s2.1.path | page 5, step 2.1, Path is open: nothing written"}},
		"steps not ticked": {func(p *Packet) { p.blank("s1.3.done", "s2.1.done") },
			[]string{"proof step-1.3-unticked | page 4, step 1.3: not ticked, and not listed as not done", "proof step-2.1-unticked | page 5, step 2.1: not ticked, and not listed as not done"}},
		"steps not done": {func(p *Packet) {
			p.blank("s1.3.done", "s2.3.")
			p.forget("s2.3", "instrument.flow")
			p.blank("instrument.flow")
			p.marked("signoff.not-done.1.")
			p.typed("signoff.not-done.1.step", "1.3, 2.3", "", "")
			p.typed("signoff.not-done.1.why", "no meter", "", "")
			p.typed("signoff.not-done.1.by", "AB", "", "")
		}, []string{"remark step-1.3-undone | page 4, step 1.3, Look for cracks: not done: no meter; decided by AB", "remark step-2.3-undone | page 5, step 2.3, Read the flow: not done: no meter; decided by AB"}},
		"a hold point not done": {func(p *Packet) {
			p.blank("s2.2.", "signoff.hold.2.2")
			p.marked("signoff.not-done.1.")
			p.typed("signoff.not-done.1.step", "2.2", "", "")
			p.typed("signoff.not-done.1.why", "not opened", "", "")
		}, []string{"remark step-2.2-undone | page 5, step 2.2, Show it again: not done: not opened"}},
		"not done, not typed in": {func(p *Packet) { p.blank("s1.3.done"); p.marked("signoff.not-done.1.") },
			[]string{"proof step-1.3-unticked | page 4, step 1.3: not ticked, and not listed as not done", "desk untyped-7-signoff.not-done.1.step untyped-7-signoff.not-done.1.why | page 7, what was not done: not typed in"}},
		"not done, no reason": {func(p *Packet) {
			p.blank("s1.3.done")
			p.marked("signoff.not-done.1.step")
			p.typed("signoff.not-done.1.step", "1.3", "", "")
		}, []string{"remark step-1.3-undone | page 4, step 1.3, Look for cracks: not done: ", "proof step-row1-why | page 7, what was not done: no reason; step 1.3", "proof step-row1-unsigned | page 7, what was not done: nobody signed for it; step 1.3"}},
		"a whole stage": {func(p *Packet) {
			p.blank("s2.", "signoff.hold.2.2", "instrument.flow")
			p.forget("s2.", "instrument.flow")
		}, []string{"work stage-2-untouched | page 5, stage 2, hold points 2.2: none of its 4 steps ticked, no initials"}},
		"no initials of a stage": {func(p *Packet) { p.blank("s1.done.by") }, []string{"proof stage-1-initials | page 4, stage 1: no initials"}},
		"no time of a stage":     {func(p *Packet) { p.blank("s1.done.at") }, []string{"proof stage-1-time | page 4, stage 1: no time"}},
		"a page missing": {func(p *Packet) {
			p.gone(4)
			p.forget("s1.")
			p.blank("instrument.feeler")
			p.forget("instrument.feeler")
		},
			[]string{"work missing-4 | page 4, hold points 1.1: it has not come back"}},
		"the sign-off missing":   {func(p *Packet) { p.gone(7) }, []string{"work missing-7 | page 7, signatures of mechanic, second: it has not come back"}},
		"a page to read missing": {func(p *Packet) { p.gone(1) }, []string{"remark missing-unwritten | pages on which nothing is written, not back: 1"}},
		"a page without proof":   {func(p *Packet) { p.gone(3); p.forget("instrument") }, []string{"proof missing-3 | page 3: it has not come back"}},
		"a page that came unread": {func(p *Packet) {
			p.papers[3].State, p.papers[3].Counts, p.papers[3].Why, p.papers[3].Boxes = register.Unread, false, "a corner is torn off", nil
			p.forget("s1.")
			p.blank("instrument.feeler")
			p.forget("instrument.feeler")
		}, []string{"work unread-4 | page 4, hold points 1.1: it came back and could not be read: a corner is torn off"}},
		"a page twice, alike": {func(p *Packet) { p.again(3, false) }, []string{"remark twice-alike | came more than once, with the same marks: pages 4"}},
		"a page twice, unlike": {func(p *Packet) { p.again(3, true) },
			[]string{"desk twice-4-90 | page 4: it came twice, not alike: s1.1.done; the other is paper 90, copy.pdf, page 9"}},
		"a page of another print": {func(p *Packet) { p.reprint("2026-11-20T08:00:00Z", 0, 2); p.other(4) },
			[]string{"work print-page-4 | page 4, hold points 1.1: it came back of print 1 alone; the other pages are of print 2, and nothing is taken from it", "remark print-count | printed 2 times; the pages that came back are of print 2, 2026-11-27, 2208FD40"}},
		"an older print": {func(p *Packet) { p.reprint("2026-11-29T08:00:00Z", 1, 2) },
			[]string{"danger print-older-2 | the pages that came back are of print 1 of 2, 2026-11-27, 2208FD40; a newer print was there before they came back, 2026-11-29"}},
		"printed again later": {func(p *Packet) { p.reprint("2026-12-02T08:00:00Z", 1, 200) },
			[]string{"proof print-again-2 | the pages that came back are of print 1 of 2, 2026-11-27, 2208FD40; it was printed again after that, 2026-12-02"}},
		"unsure": {func(p *Packet) {
			p.is(register.Unsure, "s1.3.done", "signoff.second.sign", "kit.seal", "job.notes", "s2.3.flow")
		},
			[]string{"desk unsure-4-s1.3.done | page 4, step 1.3, the tick: marked or blank, a person has to say", "desk unsure-7-signoff.second.sign | page 7, second SIGN: marked or blank, a person has to say"}},
		"unsure and settled": {func(p *Packet) {
			p.is(register.Unsure, "s1.3.done")
			p.settled["s1.3.done"] = register.Settled{Box: "s1.3.done", Is: register.Marked}
		}, nil},
		"out of calibration": {func(p *Packet) {
			p.typed("instrument.feeler-gauge.due", "2026-10-31", "", "")
			p.typed("instrument.feeler-gauge.number", "FG-3", "", "")
		},
			[]string{"work instrument-feeler-gauge-due=2026-10-31 | page 3, feeler gauge: number FG-3, calibration was due 2026-10-31; the job's day is 2026-11-30"}},
		"due on the job's day": {func(p *Packet) { p.typed("instrument.feeler-gauge.due", "2026-11-30", "", "") }, nil},
		"never calibrated":     {func(p *Packet) { p.typed("instrument.feeler-gauge.due", "n/a", "", "") }, nil},
		"not measured, with a reason": {func(p *Packet) { p.typed("s2.3.flow", "-", "", "the meter is out") },
			[]string{"proof blank-5-s2.3.flow | page 5, step 2.3, Flow: not measured [Planner 1: the meter is out]"}},
		"no number and no limits": {func(p *Packet) { p.typed("s2.3.flow", "much", "", "") },
			[]string{"proof limit-s2.3.flow=much | page 5, step 2.3, Flow: “much” is no number"}},
		"due on no certain day": {func(p *Packet) { p.typed("wear.shaft.due", "03/04/2026", "", "") },
			[]string{"desk instrument-shaft-due=03/04/2026 | page 6, shaft: outside micrometer: calibration due “03/04/2026”, which is no certain day"}},
		"an instrument without a number": {func(p *Packet) { p.blank("wear.shaft.number", "wear.shaft.due"); p.forget("wear.shaft.due") },
			[]string{"proof instrument-shaft-number | page 6, shaft: outside micrometer: no number, day on which calibration is due"}},
		"due not typed in": {func(p *Packet) { p.forget("wear.shaft.due") },
			[]string{"desk untyped-6-wear.shaft.due | page 6, shaft: outside micrometer: day on which calibration is due, not typed in"}},
		"the second signature": {func(p *Packet) { p.blank("signoff.second.") },
			[]string{"proof sign-second-unsigned | page 7, second: no signature, name, date and time"}},
		"no name":          {func(p *Packet) { p.blank("signoff.second.name") }, []string{"proof sign-second-unnamed | page 7, second: no name"}},
		"an optional step": {func(p *Packet) { p.marked("s2.4.done") }, nil},
		"hatched": {func(p *Packet) {
			p.forget("s2.3.flow")
			p.is(register.Unsure, "s2.3.flow")
			p.hatch("s2.3.flow")
			p.blank("instrument.flow")
			p.forget("instrument.flow")
		}, nil},
		"void": {func(p *Packet) {
			p.blank("isolation.E1.removed")
			p.Job.State, p.decisions = register.JobVoid, []register.Decision{{Kind: register.MakeVoid, Print: 1, Why: "not done", Who: "Planner 1", Holds: true}}
		}, []string{"danger lock-E1-off | page 2, lock at E1: put on, and not signed off [Planner 1: not done]"}},
		"accepted": {func(p *Packet) {
			p.blank("isolation.E1.removed")
			p.decisions = []register.Decision{{Kind: register.Accept, Print: 1, Finding: "lock-E1-off", Why: "seen off", Who: "Planner 1", Holds: true}}
		}, []string{"danger lock-E1-off | page 2, lock at E1: put on, and not signed off [Planner 1: seen off]"}},
		"accepted of another print": {func(p *Packet) {
			p.blank("isolation.E1.removed")
			p.decisions = []register.Decision{{Kind: register.Accept, Print: 7, Finding: "lock-E1-off", Why: "seen off", Who: "Planner 1", Holds: true}}
		}, []string{"danger lock-E1-off | page 2, lock at E1: put on, and not signed off"}},
		"nothing back": {func(p *Packet) { p.none() }, []string{"remark back | nothing has come back yet; its day is 2026-11-30"}},
		"before asks": {func(p *Packet) {
			for i := range p.Manifest.Pages {
				for k := range p.Manifest.Pages[i].Boxes {
					p.Manifest.Pages[i].Boxes[k].Ask = nil
				}
			}
		}, []string{"proof print-wordless | printed before packets said what their boxes ask for; its pages alone are reviewed"}},
	} {
		p := complete()
		c.change(p)
		got := told(p.Findings(today), words)
		for i := range got {
			got[i] = strings.Replace(got[i], "| : ", "| ", 1)
		}
		slices.Sort(got)
		slices.Sort(c.want)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: found\n  %s\nwant\n  %s", name, strings.Join(got, "\n  "), strings.Join(c.want, "\n  "))
		}
	}
	p := complete()
	p.gone(7, 4)
	for name, want := range map[string]bool{"sign-second": true, "sign": true, "hold": true, "hold-1.1": true, "hold-1": false, "lock": false, "missing-7": true, "miss": false} {
		if got := slices.ContainsFunc(p.Findings(today), func(f Finding) bool { return f.Is(name) }); got != want {
			t.Errorf("without pages 4 and 7, something is found of %s: %v", name, got)
		}
	}
	p = complete()
	p.none()
	if got := p.Findings(When{"2026-12-07", 7}); len(got) != 1 || got[0].Gravity != proof || p.State() != Out {
		t.Errorf("a week after its day: %+v, %s", got, p.State())
	}
	if got := p.Findings(When{}); len(Open(got)) != 1 {
		t.Error("nothing came back, and it could be closed")
	}
}

// again lets a page come once more, with one box unlike.
func (p *Packet) again(i int, unlike bool) {
	e := p.papers[i]
	e.Event, e.Counts, e.File, e.At, e.Boxes = 90, false, "copy.pdf", 9, slices.Clone(e.Boxes)
	if unlike {
		e.Boxes[0].Is = register.Blank
	}
	p.papers = append(p.papers, e)
}

// reprint gives the job another print, before or behind the one that came back.
func (p *Packet) reprint(at string, place int, event int64) {
	p.Prints = slices.Insert(p.Prints, place, register.Printed{Event: event, Job: "K-1", Fingerprint: "00000002", At: at})
	for i := range p.Prints {
		p.Prints[i].N = i + 1
		if p.Prints[i].Event == 1 {
			p.Print = p.Prints[i]
		}
	}
}

// other lets a page come of the other print instead.
func (p *Packet) other(page int) {
	p.gone(page)
	p.others = append(p.others, register.Paper{Event: 91, State: register.Placed, Print: 2, Page: page, Counts: true})
	p.forget("s1.")
	p.blank("instrument.feeler")
	p.forget("instrument.feeler")
}

func (p *Packet) none() {
	p.papers = nil
	clear(p.readings)
}

func (p *Packet) hatch(id string) {
	for i := range p.Manifest.Pages {
		for k := range p.Manifest.Pages[i].Boxes {
			if b := &p.Manifest.Pages[i].Boxes[k]; b.ID == id {
				b.Hatched = true
			}
		}
	}
}
