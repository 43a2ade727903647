package desk

import (
	"image"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/register"
	"jobsheaf/internal/review"
)

// papers is what is kept of packets that came back, so that it is not worked out anew for
// each page.
type papers struct {
	boxes  *recent[int64, *onPrint]
	opened *recent[pictureOf, *image.Gray]
	sums   *recent[sumsOf, []Summed]
	found  *recent[foundOf, *packetFound]
}

func newPapers() *papers {
	return &papers{newRecent[int64, *onPrint](16), newRecent[pictureOf, *image.Gray](8), newRecent[sumsOf, []Summed](64), newRecent[foundOf, *packetFound](500)}
}

// packetFound is what a review finds of a packet, and what it is of.
type packetFound struct {
	register.Job
	Print    register.Printed // the one that is reviewed
	Prints   int
	State    review.State
	Came, Of int // pages
	Findings []review.Finding
}

// Stand gives the findings that bar the packet from being closed.
func (p *packetFound) Stand() int { return len(review.Open(p.Findings)) }

// Let and Remarks count the other findings.
func (p *packetFound) Let() (n int) {
	for _, f := range p.Findings {
		if f.Let != nil {
			n++
		}
	}
	return n
}

// Remarks counts what is said and asks for nothing.
func (p *packetFound) Remarks() int { return len(p.Findings) - p.Stand() - p.Let() }

// foundOf names a review: of a job as it was after an event, on a day.
type foundOf struct {
	job   string
	event int64
	when  review.When
}

// late is how many days after its own a packet is late, as where the command is not told.
const late = 3

// foundIn reviews a job.
func (v *visit) foundIn(job register.Job, days int) (*packetFound, error) {
	ctx := v.r.Context()
	last, err := v.Register.Last(ctx, job.ID)
	if err != nil {
		return nil, err
	}
	when := review.When{Today: v.Now().Format(time.DateOnly), Days: days}
	return v.found.get(foundOf{job.ID, last, when}, func() (*packetFound, error) {
		p, err := review.Of(ctx, v.Register, job)
		if err != nil {
			return nil, err
		}
		return &packetFound{Job: p.Job, Print: p.Print, Prints: len(p.Prints), State: p.State(), Came: p.Came(), Of: len(p.Manifest.Pages), Findings: p.Findings(when)}, nil
	})
}

// reviewWords gives the words in which findings are told, in the language of the page.
func (v *visit) reviewWords() (review.Words, error) {
	site, err := v.read()
	if err != nil {
		return nil, err
	}
	return site.Words[v.Language()].For("review", new(diag.List)).Say, nil
}

// StateOf says what became of a packet.
func (f *frame) StateOf(s review.State) string {
	say, err := f.reviewWords()
	if err != nil {
		return string(s)
	}
	return say("state." + string(s))
}

// Mechanic reports whether whoever asks may type and settle.
func (v *visit) Mechanic() bool { return v.role >= mechanic }
