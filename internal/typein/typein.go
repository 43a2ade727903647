// Package typein is the typing in of what stands on paper that came back: which boxes of
// a packet are typed, in which order, and what a typed text means, held against the limits
// that the page prints.
//
// Entry points: Load for the boxes of a packet, Read for a text, Box.Reading for what the
// register gets; FromCSV and Template for a file of readings. It belongs here if every
// place at which readings are typed needs it. It is not for terminals, files or pages of
// a browser, nor for judging a packet as a whole (review).
package typein

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// Packet is a print of a job with its boxes to type in.
type Packet struct {
	Job   register.Job
	Print register.Printed
	Sign  Sign
	Boxes []Box // numbers first, then words, each in the order of the pages
	Blank int   // how many boxes for words were left out since nothing is written in them
}

// Box is a box to type in.
type Box struct {
	ID      string
	Page    int
	Sheet   string
	Ask     manifest.Ask
	Seen    register.Mark    // what is in it: as a person settled, else as it was read; "" where its page did not come back
	Picture string           // SHA-256 of the picture of its page, "" of none
	Was     register.Reading // what stands in the register; its event is 0 where nothing does

	print, paper int64
}

// Load gives the boxes of a job's print number n, from 1; n = 0 stands for the newest
// print of which paper came back, else the newest. Boxes for words count where they are
// asked for at a step or at the sign-off, or are of instruments, and something is written
// in them as far as is known; all gives names and all other words too.
func Load(ctx context.Context, r *register.Register, job string, n int, all bool) (*Packet, error) {
	var p Packet
	var err error
	if p.Job, err = r.Job(ctx, job); err != nil {
		return nil, err
	}
	prints, err := r.Prints(ctx, job)
	if err != nil {
		return nil, err
	}
	if n < 0 || n > len(prints) {
		return nil, fmt.Errorf("job %s was printed %d times; there is no print %d", p.Job.ID, len(prints), n)
	}
	p.Print = prints[cmp.Or(n, len(prints))-1]
	papers, err := r.Papers(ctx, p.Print.Event)
	for k := len(prints) - 2; n == 0 && k >= 0 && err == nil && len(papers) == 0; k-- {
		var of []register.Paper
		if of, err = r.Papers(ctx, prints[k].Event); len(of) > 0 {
			papers, p.Print = of, prints[k]
		}
	}
	if err != nil {
		return nil, err
	}
	raw, err := r.Manifest(ctx, p.Print)
	if err != nil {
		return nil, err
	}
	m, err := manifest.Decode(raw)
	if err != nil {
		return nil, fmt.Errorf("job %s, print %d: %w", p.Job.ID, p.Print.N, err)
	}
	settled, err := r.Settled(ctx, p.Print.Event)
	if err != nil {
		return nil, err
	}
	readings, err := r.Readings(ctx, p.Print.Event)
	if err != nil {
		return nil, err
	}
	p.Sign = signOf(&m)
	p.fill(&m, papers, settled, readings, all)
	return &p, nil
}

// fill puts together what is known of each box that may be typed.
func (p *Packet) fill(m *manifest.Manifest, papers []register.Paper, settled map[string]register.Settled, readings map[string]register.Reading, all bool) {
	of, seen := map[int]*register.Paper{}, map[string]register.Mark{}
	for i := range papers {
		if paper := &papers[i]; paper.Counts {
			of[paper.Page] = paper
			for _, b := range paper.Boxes {
				seen[b.ID] = b.Is
			}
		}
	}
	for id, s := range settled {
		seen[id] = s.Is
	}
	for i := range m.Pages {
		page := &m.Pages[i]
		for k := range page.Boxes {
			b := &page.Boxes[k]
			if !isTyped(b) {
				continue
			}
			box := Box{ID: b.ID, Page: page.Number, Sheet: page.Sheet, Ask: *b.Ask, Seen: seen[b.ID], Was: readings[b.ID], print: p.Print.Event}
			if paper := of[page.Number]; paper != nil {
				box.Picture, box.paper = paper.Picture, paper.Event
			}
			switch {
			case box.isNumber() || all || box.Was.Event != 0:
			case !matters(b):
				continue
			case box.Seen == register.Blank:
				p.Blank++
				continue
			}
			p.Boxes = append(p.Boxes, box)
		}
	}
	slices.SortStableFunc(p.Boxes, func(a, b Box) int { return cmp.Compare(rank(&a), rank(&b)) })
}

func rank(b *Box) int {
	if b.isNumber() {
		return 0
	}
	return 1
}

// isTyped reports whether what is written into a box may be typed: a tick may not.
func isTyped(b *manifest.Box) bool {
	if b.Ask == nil || b.Kind == "tick" {
		return false
	}
	switch b.Ask.For {
	case manifest.ForDone, manifest.ForTick, manifest.ForVerdict, manifest.ForHeld, manifest.ForSupply:
		return false
	}
	return true
}

// matters reports whether words are wanted unasked: of instruments, of what was not done,
// and what a step or the sign-off asks for, such as the cause of a failure.
func matters(b *manifest.Box) bool {
	switch b.Ask.For {
	case manifest.ForNumber, manifest.ForDue, manifest.ForMissed:
		return true
	case manifest.ForNotDone:
		return b.Kind != "sign" // by whom is a name
	case manifest.ForWords:
		return b.Ask.Step != "" || strings.HasPrefix(b.ID, "signoff.")
	}
	return false
}

// isNumber reports whether a number is asked for.
func (b *Box) isNumber() bool { return b.Ask.For == manifest.ForReading }

// Name says which box it is, as the page has it: 10.4 Smallest.
func (b *Box) Name() string {
	of := strings.ReplaceAll(b.Ask.Of, "_", " ")
	if b.Ask.For == manifest.ForNotDone {
		of = "not done, row " + of
	}
	var parts []string
	for _, s := range []string{b.Ask.Step, of, b.Ask.Label} {
		if s != "" && !slices.Contains(parts, s) {
			parts = append(parts, s)
		}
	}
	if len(parts) == 0 {
		return b.ID
	}
	return strings.Join(parts, " ")
}

// Reading is what the register gets of a text that was read for the box.
func (b *Box) Reading(t Typed, why string) register.Reading {
	return register.Reading{Print: b.print, Box: b.ID, Text: t.Text, Value: t.Value, Unit: t.Unit,
		Low: b.Ask.Low, High: b.Ask.High, Why: why, Keep: b.Ask.Keep, Page: b.Page, Paper: b.paper, Before: b.Was.Event}
}
