// Package review holds a packet that came back against what was printed and what the
// register holds of it, and says what an auditor would find.
//
// Entry points: Of, which takes a job out of the register, and Packet.Findings; Say gives
// a finding in words, and LayOut a page of them to file with the packet. It belongs here
// if it judges what came back. It is not for what the register keeps (register), for what
// a box asks for (manifest), nor for reading paper (scan) or typing in (typein).
//
// A finding costs whoever reads it: what is nobody's business is none, such as a row for
// further locks that stayed empty.
package review

import (
	"context"
	"fmt"
	"slices"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// Packet is what the register holds of a job: the print that was signed, and what came of
// it.
type Packet struct {
	Job       register.Job
	Prints    []register.Printed
	Print     register.Printed // the one that is reviewed
	Manifest  manifest.Manifest
	papers    []register.Paper // of that print, by page, those that count first
	others    []register.Paper // that count, of the job's other prints
	settled   map[string]register.Settled
	readings  map[string]register.Reading
	decisions []register.Decision
}

// Of takes a job out of the register. Reviewed is the print of which the most pages came
// back: that is the one which was signed. Of several alike it is the newest.
func Of(ctx context.Context, r *register.Register, job register.Job) (*Packet, error) {
	p := &Packet{Job: job}
	var err error
	if p.Prints, err = r.Prints(ctx, job.ID); err != nil {
		return nil, err
	}
	papers := make([][]register.Paper, len(p.Prints))
	reviewed, most := -1, -1
	for i, print := range p.Prints {
		if papers[i], err = r.Papers(ctx, print.Event); err != nil {
			return nil, err
		}
		if n := len(counting(papers[i])); n >= most {
			reviewed, most = i, n
		}
	}
	if reviewed < 0 {
		return nil, fmt.Errorf("job %s was never printed", job.ID)
	}
	for i, list := range papers {
		if i != reviewed {
			p.others = append(p.others, counting(list)...)
		}
	}
	p.Print, p.papers = p.Prints[reviewed], papers[reviewed]
	if p.settled, err = r.Settled(ctx, p.Print.Event); err != nil {
		return nil, err
	}
	if p.readings, err = r.Readings(ctx, p.Print.Event); err != nil {
		return nil, err
	}
	if p.decisions, err = r.Decisions(ctx, job.ID); err != nil {
		return nil, err
	}
	raw, err := r.Manifest(ctx, p.Print)
	if err != nil {
		return nil, err
	}
	p.Manifest, err = manifest.Decode(raw)
	return p, err
}

// counting gives the papers that count.
func counting(papers []register.Paper) (out []register.Paper) {
	for _, p := range papers {
		if p.Counts {
			out = append(out, p)
		}
	}
	return out
}

// State is what became of a packet, in a word.
type State string

// The states of a packet.
const (
	Out     State = "out"    // nothing of it came back
	Partial State = "partly" // a page with something to write on is missing
	Back    State = "back"   // all came back
	Closed  State = "closed" // and was found complete
	Void    State = "void"   // it does not count
)

// State gives the packet's state.
func (p *Packet) State() State {
	switch {
	case p.Job.State == register.JobClosed:
		return Closed
	case p.Job.State == register.JobVoid:
		return Void
	case p.nothing():
		return Out
	}
	back := p.back()
	for i := range p.Manifest.Pages {
		if _, came := back[p.Manifest.Pages[i].Number]; !came && len(p.Manifest.Pages[i].Boxes) > 0 {
			return Partial
		}
	}
	return Back
}

// nothing reports that nothing came back of any print, and nothing was typed in.
func (p *Packet) nothing() bool {
	return len(p.papers)+len(p.others)+len(p.readings)+len(p.settled) == 0
}

// Came is how many pages of the print came back.
func (p *Packet) Came() int { return len(p.back()) }

// back gives the papers that count by their page.
func (p *Packet) back() map[int]register.Paper {
	out := map[int]register.Paper{}
	for _, q := range counting(p.papers) {
		out[q.Page] = q
	}
	return out
}

// When is the day of a review, and how many days after its own day a packet that has not
// come back is late. The zero When takes every packet for late.
type When struct {
	Today string // year-month-day
	Days  int
}

// Findings gives what is to be found, the gravest first, then by page.
func (p *Packet) Findings(when When) []Finding {
	l := &look{Packet: p, board: boardOf(&p.Manifest), came: p.back(), marks: map[string]register.Mark{}}
	for _, paper := range l.came {
		for _, b := range paper.Boxes {
			l.marks[b.ID] = b.Is
		}
	}
	for box, s := range p.settled {
		l.marks[box] = s.Is
	}
	if p.nothing() {
		l.outstanding(when)
	} else {
		l.readUndone()
		l.pages()
		l.locks()
		l.zero()
		l.steps()
		l.wear()
		l.instruments()
		l.signOff()
		l.unsure()
	}
	for i := range l.found {
		l.finish(&l.found[i])
	}
	slices.SortStableFunc(l.found, func(a, b Finding) int {
		if a.Gravity != b.Gravity {
			return int(a.Gravity) - int(b.Gravity)
		}
		return a.Page - b.Page
	})
	return l.found
}

// Open gives the findings that stand: those that nobody accepted, but for remarks. A
// packet of which none stands can be closed.
func Open(all []Finding) (out []Finding) {
	for _, f := range all {
		if f.Stands() {
			out = append(out, f)
		}
	}
	return out
}
