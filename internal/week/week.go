// Package week prints many jobs: it spreads the jobs of a list over the processors,
// and gathers the packets into print files with their front matter.
//
// Entry points: Press.Print for one job, Press.Run for many; Printer.Print for a
// whole list, which gives a Ledger of what was printed. It belongs here if it is
// about a batch of packets. It is not for reading lists (joblist), for what a packet
// says (compose), nor for the file system and the clock (cli).
package week

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"runtime"
	"sync"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
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

	drawn   *pdf.Drawn  // its pages, for a print file
	outline []page.Mark // their bookmarks
}

// Refused reports whether nothing was printed.
func (m Made) Refused() bool { return len(m.Files) == 0 }

// Press prints jobs. It is safe for concurrent use.
type Press struct {
	Composer *compose.Composer
	Workers  int // how many jobs are printed at a time; 0: as many as there are processors
}

// Print makes the files of one job: the packet as PDF, and its manifest. A fault
// of the records is among the problems; the error is any other, such as a bug.
func (p *Press) Print(job *record.Job) (made Made, err error) {
	made.Job = job
	pk, doc, problems := p.lay(job)
	if made.Problems = problems; pk == nil {
		return made, nil
	}
	m, err := manifest.From(doc, manifest.Job{ID: pk.Job.ID, Unit: pk.Job.Unit, Procedure: pk.Job.Procedure, Revision: pk.Job.Revision, Day: pk.Job.Day, Program: pk.Program}).Encode()
	if err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	if doc.Attachments, err = carried(pk, m); err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	if made.drawn, err = pdf.Draw(doc.Pages); err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	var buf bytes.Buffer
	if err := write(&buf, doc, made.drawn); err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	made.outline = doc.Outline
	made.Packet, made.Pages = pk, len(doc.Pages)
	made.Files = []File{{job.ID.S + ".pdf", buf.Bytes()}, {job.ID.S + ".json", m}}
	return made, nil
}

// lay makes a job's packet and lays it out; the packet is nil where it is refused.
func (p *Press) lay(job *record.Job) (*packet.Packet, page.Doc, diag.List) {
	pk, problems := p.Composer.Make(job)
	if pk == nil {
		return nil, page.Doc{}, problems
	}
	doc, more := layout.Layout(*pk)
	for i := range more { // layout speaks of the packet; the reader wants the job's place
		more[i].Message = "job " + job.ID.S + ", " + more[i].Pos.String() + ": " + more[i].Message
		more[i].Pos = job.At
	}
	problems = append(problems, more...).Sorted()
	if more.HasErrors() {
		return nil, page.Doc{}, problems
	}
	return pk, doc, problems
}

// Rehearse does all with jobs that could turn up a problem, and prints nothing: it
// hands on what there is to say of each, in order. It stops when ctx ends.
func (p *Press) Rehearse(ctx context.Context, jobs []*record.Job, each func(diag.List)) error {
	return spread(ctx, p.Workers, len(jobs), func(i int) (diag.List, error) {
		_, _, problems := p.lay(jobs[i])
		return problems, nil
	}, func(l diag.List) error { each(l); return nil })
}

// write writes a document whose pages are drawn.
func write(to io.Writer, doc page.Doc, drawn *pdf.Drawn) error {
	w, err := pdf.NewWriter(to, doc)
	if err != nil {
		return err
	}
	if err := w.AddDrawn(drawn, doc.Outline, ""); err != nil {
		return err
	}
	return w.Close()
}

// Run prints the jobs, several at a time, and hands each on in the order of the
// list, one after another. It stops at the first error of each or of the machine,
// or when ctx ends, after the jobs in hand.
func (p *Press) Run(ctx context.Context, jobs []*record.Job, each func(Made) error) error {
	return spread(ctx, p.Workers, len(jobs), func(i int) (Made, error) { return p.Print(jobs[i]) }, each)
}

// spread does n things, as many at a time as there are workers, and hands each
// result on in order, one after another. Only a few results wait in memory. It
// stops at the first error, or when ctx ends, after what is in hand.
func spread[T any](ctx context.Context, workers, n int, do func(i int) (T, error), each func(T) error) error {
	type slot struct {
		result T
		err    error
		done   chan struct{}
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	slots := make(chan *slot, workers+1) // in order; its length bounds what waits in memory
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
		for i := range n {
			s := &slot{done: make(chan struct{})}
			select {
			case <-ctx.Done():
				return
			case slots <- s:
			}
			work <- func() {
				defer close(s.done)
				s.result, s.err = do(i)
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
			first = each(s.result)
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
