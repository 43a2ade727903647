// Package week prints many jobs: it spreads them over the processors and hands
// the finished files on in the order of the list.
//
// Entry points: Press.Print for one job, Press.Run for many. It belongs here if it
// is about a batch of packets. It is not for what a packet says (compose) nor for
// the file system and the clock (cli).
package week

import (
	"bytes"
	"context"
	"fmt"
	"runtime"
	"sync"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/record"
)

// File is a finished file: its name within the output folder, and its bytes.
type File struct {
	Name string
	Data []byte
}

// Made is what became of a job. Files is empty where it was refused.
type Made struct {
	Job      *record.Job
	Packet   *packet.Packet
	Pages    int
	Files    []File
	Problems diag.List
}

// Refused reports whether nothing was printed.
func (m Made) Refused() bool { return len(m.Files) == 0 }

// Press prints jobs. It is safe for concurrent use.
type Press struct {
	Composer *compose.Composer
}

// Print makes the files of one job: the packet as PDF, and its manifest. A fault
// of the records is among the problems; the error is any other, such as a bug.
func (p *Press) Print(job *record.Job) (made Made, err error) {
	made.Job = job
	pk, problems := p.Composer.Make(job)
	made.Problems = problems
	if pk == nil {
		return made, nil
	}
	doc, more := layout.Layout(*pk)
	for i := range more { // layout speaks of the packet; the reader wants the job's place
		more[i].Message = "job " + job.ID.S + ", " + more[i].Pos.String() + ": " + more[i].Message
		more[i].Pos = job.At
	}
	made.Problems = append(made.Problems, more...).Sorted()
	if more.HasErrors() {
		return made, nil
	}
	m, err := manifest.From(doc, manifest.Job{ID: pk.Job.ID, Unit: pk.Job.Unit, Procedure: pk.Job.Procedure, Revision: pk.Job.Revision, Day: pk.Job.Day, Program: pk.Program}).Encode()
	if err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	if doc.Attachments, err = carried(pk, m); err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	var buf bytes.Buffer
	if err := pdf.Write(&buf, doc); err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	made.Packet, made.Pages = pk, len(doc.Pages)
	made.Files = []File{{job.ID.S + ".pdf", buf.Bytes()}, {job.ID.S + ".json", m}}
	return made, nil
}

// Run prints the jobs, as many at a time as there are processors, and hands each
// on in the order of the list, one after another. It stops at the first error of
// each or of the machine, or when ctx ends, after the jobs in hand.
func (p *Press) Run(ctx context.Context, jobs []*record.Job, each func(Made) error) error {
	type slot struct {
		made Made
		err  error
		done chan struct{}
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	workers := max(1, runtime.GOMAXPROCS(0))
	slots := make(chan *slot, 2*workers) // in order; its length bounds what waits in memory
	work := make(chan func())
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for do := range work {
				do()
			}
		})
	}
	go func() {
		defer close(slots)
		defer close(work)
		for _, j := range jobs {
			s := &slot{done: make(chan struct{})}
			select {
			case <-ctx.Done():
				return
			case slots <- s:
			}
			work <- func() {
				defer close(s.done)
				s.made, s.err = p.Print(j)
			}
		}
	}()
	var first error
	for s := range slots {
		<-s.done
		if first != nil {
			continue
		}
		if first = s.err; first == nil {
			first = each(s.made)
		}
		if first != nil {
			cancel()
		}
	}
	wg.Wait()
	if first == nil {
		first = ctx.Err()
	}
	return first
}
