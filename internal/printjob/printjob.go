// Package printjob prints one job: its packet and its annex as PDF, and the manifest
// that says where each box lies.
//
// Entry points: Maker.Print for one job; Maker.Run for many, several at a time;
// Maker.Rehearse to collect problems without printing. It belongs here if it is
// about one packet's files. It is not for what a packet says (compose), for many
// packets in one file (week), nor for the file system and the clock (cli).
package printjob

import (
	"bytes"
	"context"
	"fmt"

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

// Obstacle says why one file cannot be read or written, where that is a matter of
// its name alone.
type Obstacle struct {
	Name string `json:"file"` // within the output folder
	Why  string `json:"why"`
}

func (o *Obstacle) Error() string { return o.Name + ": " + o.Why }

// Made is what became of a job. Packet is nil where it cannot be printed. Pages and
// what follows are of a job that was printed and not only composed.
type Made struct {
	Job      *record.Job
	Packet   *packet.Packet
	Problems diag.List

	Bound
	Annex     Bound
	AnnexFile File // its file, whether it is among Files or not
	Files     []File
}

// Bound is a document as a print file takes it in.
type Bound struct {
	Pages   int
	Drawn   *pdf.Drawn
	Outline []page.Mark // bookmarks
}

// Maker prints jobs. It is safe for concurrent use.
type Maker struct {
	Composer *compose.Composer
	Workers  int  // how many jobs are printed at a time; 0: as many as there are processors
	Annex    bool // the annex is a file too, and stands behind its packet in print files
}

// AnnexOf gives the name of a job's annex: of its file without the extension, and of its
// pages. No job has it as its ID.
func AnnexOf(job string) string { return job + record.AnnexTail }

// Print makes the files of one job: the packet as PDF, its manifest, and its annex
// where that is asked for. A fault
// of the records is among the problems; the error is any other, such as a bug.
func (m *Maker) Print(job *record.Job) (made Made, err error) {
	made.Job = job
	desk := layout.NewDesk()
	defer desk.Done()
	pk, doc, annex, problems := m.lay(job, desk)
	if made.Problems = problems; pk == nil {
		return made, nil
	}
	places := manifest.From(doc, manifest.Job{ID: pk.Job.ID, Unit: pk.Job.Unit, Procedure: pk.Job.Procedure, Revision: pk.Job.Revision, Day: pk.Job.Day, Program: pk.Program, Annex: len(annex.Pages)})
	places.Ask(pk.Asks())
	boxes, err := places.Encode()
	if err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	from := source(pk)
	annex.Attachments = []page.Attachment{from}
	behind, bound, err := bind(annex, AnnexOf(job.ID.S)+" ")
	if err != nil {
		return made, fmt.Errorf("job %s, annex: %w", job.ID.S, err)
	}
	says := said.Get().(*bytes.Buffer)
	defer said.Put(says)
	if doc.Attachments, err = carried(pk, from, boxes, behind, says); err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	file, own, err := bind(doc, "")
	if err != nil {
		return made, fmt.Errorf("job %s: %w", job.ID.S, err)
	}
	made.Packet, made.Bound, made.Annex = pk, own, bound
	made.Files = []File{{job.ID.S + ".pdf", file}, {job.ID.S + ".json", boxes}}
	if made.AnnexFile = (File{AnnexOf(job.ID.S) + ".pdf", behind}); m.Annex {
		made.Files = append(made.Files, made.AnnexFile)
	}
	return made, nil
}

// bind draws a document and writes it, its pages numbered behind the prefix.
func bind(doc page.Doc, prefix string) ([]byte, Bound, error) {
	b := Bound{Pages: len(doc.Pages), Outline: doc.Outline}
	var err error
	if b.Drawn, err = pdf.Draw(doc.Pages); err != nil {
		return nil, b, err
	}
	var buf bytes.Buffer
	w, err := pdf.NewWriter(&buf, doc)
	if err != nil {
		return nil, b, err
	}
	if err := w.AddDrawn(b.Drawn, doc.Outline, prefix); err != nil {
		return nil, b, err
	}
	err = w.Close()
	return buf.Bytes(), b, err
}

// lay makes a job's packet and lays it and its annex out on a desk; the packet is nil where
// it is refused.
func (m *Maker) lay(job *record.Job, desk *layout.Desk) (pk *packet.Packet, doc, annex page.Doc, problems diag.List) {
	pk, problems = m.Composer.Make(job)
	if pk == nil {
		return nil, page.Doc{}, page.Doc{}, problems
	}
	doc, more := desk.Layout(*pk)
	annex, behind := desk.Annex(*pk)
	more = append(more, behind...)
	for i := range more { // layout speaks of the packet; the reader wants the job's place
		more[i].Message = "job " + job.ID.S + ", " + more[i].Pos.String() + ": " + more[i].Message
		more[i].Pos = job.At
	}
	problems = append(problems, more...).Sorted()
	if more.HasErrors() {
		return nil, page.Doc{}, page.Doc{}, problems
	}
	return pk, doc, annex, problems
}

// Rehearse composes and lays out jobs without printing, to collect problems: it
// hands on those of each job, in order, with a warning for each packet that has more
// pages than its procedure allows. It stops when ctx ends.
func (m *Maker) Rehearse(ctx context.Context, jobs []*record.Job, each func(diag.List)) error {
	return spread(ctx, m.Workers, len(jobs), func(i int) (diag.List, error) {
		desk := layout.NewDesk()
		defer desk.Done()
		pk, doc, _, problems := m.lay(jobs[i], desk)
		if pk != nil {
			problems = append(problems, m.overBudget(jobs[i], doc)...).Sorted()
		}
		return problems, nil
	}, func(l diag.List) error { each(l); return nil })
}

// Task is a job to print, or only to compose.
type Task struct {
	Job         *record.Job
	ComposeOnly bool
}

// Run does the tasks, several at a time, and hands each result on in their order,
// one after another. It stops at the first error of each or of the machine, or when
// ctx ends, after the jobs in hand.
func (m *Maker) Run(ctx context.Context, tasks []Task, each func(Made) error) error {
	return spread(ctx, m.Workers, len(tasks), func(i int) (Made, error) {
		if !tasks[i].ComposeOnly {
			return m.Print(tasks[i].Job)
		}
		pk, problems := m.Composer.Make(tasks[i].Job)
		return Made{Job: tasks[i].Job, Packet: pk, Problems: problems}, nil
	}, each)
}
