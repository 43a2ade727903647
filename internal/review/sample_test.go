package review

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// english gives the words of this room.
func english(t testing.TB) Words { return wordsOf(t, "en") }

func wordsOf(t testing.TB, language string) Words {
	t.Helper()
	c, problems := words.Load(nil, templates.FS, language, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	room := c.For("review", &problems)
	t.Cleanup(func() {
		if len(problems) > 0 {
			t.Error(problems)
		}
	})
	return room.Say
}

// sheet makes the pages of a packet.
type sheet struct{ m manifest.Manifest }

func (s *sheet) page() { s.m.Pages = append(s.m.Pages, manifest.Page{Number: len(s.m.Pages) + 1}) }

func (s *sheet) box(id string, a manifest.Ask) {
	p := &s.m.Pages[len(s.m.Pages)-1]
	p.Boxes = append(p.Boxes, manifest.Box{ID: id, Kind: "blank", W: 10, H: 8, Ask: &a})
}

func (s *sheet) sign(id string, what manifest.For, step, role string) {
	for _, part := range []string{"name", "sign", "when"} {
		s.box(id+"."+part, manifest.Ask{For: what, Step: step, Of: role, Label: strings.ToUpper(part)})
	}
}

func (s *sheet) lock(id, of string) {
	s.box(id+".lock", manifest.Ask{For: manifest.ForLock, Of: of})
	s.box(id+".applied", manifest.Ask{For: manifest.ForLockOn, Of: of})
	s.box(id+".proved", manifest.Ask{For: manifest.ForProved, Of: of})
	s.box(id+".removed", manifest.Ask{For: manifest.ForLockOff, Of: of})
}

func (s *sheet) step(number, label string) {
	s.box("s"+number+".done", manifest.Ask{For: manifest.ForDone, Step: number, Label: label})
}

func (s *sheet) stage(number string) {
	s.box("s"+number+".done.by", manifest.Ask{For: manifest.ForStage, Step: number})
	s.box("s"+number+".done.at", manifest.Ask{For: manifest.ForStage, Step: number})
}

func (s *sheet) worn(name string, low *float64) {
	ask := func(what manifest.For, label string) manifest.Ask {
		return manifest.Ask{For: what, Of: name, Label: label, Tool: "outside micrometer"}
	}
	for _, place := range []string{"A", "B", "as-left"} {
		a := ask(manifest.ForReading, place)
		a.Unit, a.Low, a.Limits = "mm", low, "at least 31.91 mm"
		s.box("wear."+name+"."+place, a)
		if place == "B" {
			s.box("wear."+name+".reuse", ask(manifest.ForVerdict, "reuse"))
			s.box("wear."+name+".replace", ask(manifest.ForVerdict, "replace"))
		}
	}
	s.box("wear."+name+".number", ask(manifest.ForNumber, "Instr. no."))
	s.box("wear."+name+".due", ask(manifest.ForDue, "Cal. due"))
}

// manifestOf is a packet with all that is asked for in one: a page with nothing to write,
// locks, instruments, two stages with hold points, wear, the sign-off.
func manifestOf(job string) manifest.Manifest {
	s := &sheet{}
	s.page()
	s.page()
	s.lock("isolation.E1", "E1")
	s.lock("isolation.V1", "V1")
	s.m.Pages[1].Boxes = slices.DeleteFunc(s.m.Pages[1].Boxes, func(b manifest.Box) bool { return b.ID == "isolation.V1.lock" }) // tag only
	s.box("isolation.more1.point", manifest.Ask{For: manifest.ForWords, Of: "row 1"})
	s.lock("isolation.more1", "row 1")
	s.box("locks.1.numbers", manifest.Ask{For: manifest.ForLock, Of: "person 1"})
	s.box("locks.1.on", manifest.Ask{For: manifest.ForLockOn, Of: "person 1"})
	s.box("locks.1.off", manifest.Ask{For: manifest.ForLockOff, Of: "person 1"})
	s.box("prove.1", manifest.Ask{For: manifest.ForTick, Label: "Both gauges stay at zero"})
	s.sign("cover.proved", manifest.ForZero, "", "second person")
	s.page()
	s.box("kit.seal", manifest.Ask{For: manifest.ForSupply, Label: "Seal kit"})
	s.box("job.notes", manifest.Ask{For: manifest.ForWords, Label: "Match marks"})
	for _, tool := range []string{"feeler gauge", "flow meter"} {
		id := "instrument." + strings.ReplaceAll(tool, " ", "-")
		s.box(id+".number", manifest.Ask{For: manifest.ForNumber, Of: tool, Tool: tool})
		s.box(id+".due", manifest.Ask{For: manifest.ForDue, Of: tool, Tool: tool})
	}
	s.page()
	s.step("1.1", "Show the unit")
	s.sign("s1.1.hold", manifest.ForHold, "1.1", "second person")
	s.step("1.2", "Gauge the clearance")
	s.box("s1.2.smallest", manifest.Ask{For: manifest.ForReading, Step: "1.2", Label: "Smallest", Unit: "mm", Low: new(0.09), High: new(0.13), Limits: "0.09 to 0.13 mm", Tool: "feeler gauge", Keep: "as_left end_clearance"})
	s.box("s1.2.measured-by", manifest.Ask{For: manifest.ForInitial, Step: "1.2", Label: "Measured by"})
	s.step("1.3", "Look for cracks")
	s.box("s1.3.not-sound", manifest.Ask{For: manifest.ForWords, Step: "1.3", Label: "Not sound"})
	s.box("s1.3.decided-by", manifest.Ask{For: manifest.ForInitial, Step: "1.3", Label: "Decided by"})
	s.stage("1")
	s.page()
	s.step("2.1", "Open the discharge")
	s.box("s2.1.path", manifest.Ask{For: manifest.ForSign, Step: "2.1", Of: "Path is open", Label: "Path is open"})
	s.step("2.2", "Show it again")
	s.sign("s2.2.hold", manifest.ForHold, "2.2", "second person")
	s.step("2.3", "Read the flow")
	s.box("s2.3.flow", manifest.Ask{For: manifest.ForReading, Step: "2.3", Label: "Flow", Unit: "m³/h", Tool: "flow meter"})
	s.box("s2.4.done", manifest.Ask{For: manifest.ForDone, Step: "2.4", Label: "Drain the jacket", Optional: true})
	s.stage("2")
	s.page()
	s.worn("idler_pin", new(31.91))
	s.worn("shaft", new(31.91))
	s.page()
	for _, n := range []string{"1", "2"} {
		for _, part := range []string{"step", "why", "by"} {
			s.box("signoff.not-done."+n+"."+part, manifest.Ask{For: manifest.ForNotDone, Of: n})
		}
	}
	s.box("signoff.hold.zero", manifest.Ask{For: manifest.ForHeld})
	s.box("signoff.hold.1.1", manifest.Ask{For: manifest.ForHeld, Step: "1.1"})
	s.box("signoff.hold.2.2", manifest.Ask{For: manifest.ForHeld, Step: "2.2"})
	for _, role := range []string{"mechanic", "second"} {
		s.sign("signoff."+role, manifest.ForSign, "", role)
	}
	m := s.m
	m.Format, m.Job, m.Unit, m.Procedure, m.Day, m.Fingerprint = 1, job, "P-214", "rebuild", "2026-11-30", "2208FD40"
	for i := range m.Pages {
		m.Pages[i].Of, m.Pages[i].W, m.Pages[i].H = len(m.Pages), 210, 297
	}
	return m
}

// left is what a careful crew leaves blank: rows for more, what nobody had to decide, the
// part that is not replaced, an optional step.
var left = []string{"isolation.more1.", "locks.1.", "s1.3.not-sound", "s1.3.decided-by", "s2.4.done", ".replace", ".as-left", "signoff.not-done."}

// complete is a packet that came back with nothing to be found.
func complete() *Packet {
	m := manifestOf("K-1")
	p := &Packet{Manifest: m, Job: register.Job{ID: "K-1", Unit: m.Unit, Procedure: m.Procedure, Day: m.Day, Pages: len(m.Pages), State: register.JobOpen},
		Prints:  []register.Printed{{Event: 1, Job: "K-1", N: 1, Fingerprint: m.Fingerprint, Pages: len(m.Pages), At: "2026-11-27T08:00:00Z"}},
		settled: map[string]register.Settled{}, readings: map[string]register.Reading{}}
	p.Print = p.Prints[0]
	for i := range m.Pages {
		page := &m.Pages[i]
		paper := register.Paper{Event: int64(10 + i), State: register.Placed, File: "scan.pdf", At: i + 1, Job: "K-1", Print: 1, Page: page.Number, Picture: fmt.Sprintf("%064x", i), Counts: true, SeenAt: "2026-12-01T08:00:00Z"}
		for k := range page.Boxes {
			b := &page.Boxes[k]
			is := register.Marked
			if slices.ContainsFunc(left, func(part string) bool { return strings.Contains(b.ID, part) }) {
				is = register.Blank
			}
			paper.Boxes = append(paper.Boxes, register.Box{ID: b.ID, Is: is})
		}
		p.papers = append(p.papers, paper)
	}
	p.typed("s1.2.smallest", "0.11", "mm", "")
	p.typed("s2.3.flow", "8.4", "m³/h", "")
	for _, part := range []string{"idler_pin", "shaft"} {
		p.typed("wear."+part+".A", "31.95", "mm", "")
		p.typed("wear."+part+".B", "31.96", "mm", "")
		p.typed("wear."+part+".due", "2027-03-01", "", "")
	}
	p.typed("instrument.feeler-gauge.due", "2027-03-01", "", "")
	p.typed("instrument.flow-meter.due", "2026-12-31", "", "")
	return p
}

// typed types something in; what has a unit is a number.
func (p *Packet) typed(box, text, unit, why string) {
	r := register.Reading{Event: int64(100 + len(p.readings)), Print: 1, Box: box, Text: text, Unit: unit, Why: why, Who: "Planner 1", At: "2026-12-01T09:00:00Z"}
	if unit != "" {
		r.Value = text
	}
	p.readings[box] = r
}

// is says what is seen in boxes; the name may be the beginning of their IDs.
func (p *Packet) is(mark register.Mark, names ...string) {
	for _, name := range names {
		found := false
		for i := range p.papers {
			p.papers[i].Boxes = slices.Clone(p.papers[i].Boxes)
			for k := range p.papers[i].Boxes {
				if b := &p.papers[i].Boxes[k]; strings.HasPrefix(b.ID, name) {
					b.Is, found = mark, true
				}
			}
		}
		if !found {
			panic("no box " + name)
		}
	}
}

func (p *Packet) blank(names ...string)  { p.is(register.Blank, names...) }
func (p *Packet) marked(names ...string) { p.is(register.Marked, names...) }

// forget takes back what was typed in.
func (p *Packet) forget(boxes ...string) {
	for _, b := range boxes {
		maps.DeleteFunc(p.readings, func(id string, _ register.Reading) bool { return strings.HasPrefix(id, b) })
	}
}

// gone takes papers away.
func (p *Packet) gone(pages ...int) {
	p.papers = slices.DeleteFunc(p.papers, func(q register.Paper) bool { return slices.Contains(pages, q.Page) })
}

// told writes findings in one line each: gravity, key and words.
func told(list []Finding, words Words) (out []string) {
	for _, s := range Say(list, words) {
		var keys []string
		for _, f := range s.Findings {
			keys = append(keys, f.Key)
		}
		line := fmt.Sprintf("%s %s | %s: %s", s.Findings[0].Gravity, strings.Join(keys, " "), s.Where, s.What)
		if l := s.Findings[0].Let; l != nil {
			line += " [" + l.Who + ": " + l.Why + "]"
		}
		out = append(out, line)
	}
	return out
}
