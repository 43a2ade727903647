package cli

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/record"
)

// madeReport is what make says at its end, for a person or as JSON.
type madeReport struct {
	Made     []madeJob `json:"made"`
	Refused  []string  `json:"refused,omitempty"`
	Pages    int       `json:"pages"`
	Problems diag.List `json:"problems"`
}

type madeJob struct {
	Job         string `json:"job"`
	Unit        string `json:"unit"`
	File        string `json:"file"`
	Pages       int    `json:"pages"`
	Fingerprint string `json:"fingerprint"`
}

func packetPath(out string, j *record.Job) string { return filepath.Join(out, j.ID.S+".pdf") }

// made takes in a job that was printed into a folder.
func (r *madeReport) made(got printjob.Made, out string) {
	r.Pages += got.Pages
	r.Made = append(r.Made, madeJob{Job: got.Job.ID.S, Unit: got.Job.Unit.S, File: packetPath(out, got.Job), Pages: got.Pages, Fingerprint: got.Packet.Fingerprint})
	old := filepath.Join(out, got.AnnexFile.Name)
	if was, err := os.ReadFile(old); err == nil && !bytes.Equal(was, got.AnnexFile.Data) {
		r.Problems.Warnf(got.Job.At, "old-print", "delete it, or print it again with --annex", "%s was printed in an earlier run and is not the annex of the packet as it is now", old)
	}
}

// printings lists the jobs that were printed.
func (r *madeReport) printings() []printing {
	var list []printing
	for _, j := range r.Made {
		list = append(list, printing{j.Job, j.Fingerprint})
	}
	return list
}

// refused takes in a job that was not printed.
func (r *madeReport) refused(j *record.Job, out string) {
	r.Refused = append(r.Refused, cmp.Or(j.ID.S, j.At.String()))
	for _, old := range []string{packetPath(out, j), filepath.Join(out, printjob.AnnexOf(j.ID.S)+".pdf")} {
		if _, err := os.Lstat(old); err == nil && j.ID.Known() {
			r.Problems.Warnf(j.At, "old-print", "delete it", "%s was printed in an earlier run and does not say what the records say now", old)
		}
	}
}

// tell prints the report: results to standard output, messages to standard error.
func (r *madeReport) tell(s Streams, from *excerpts, m making, jobs int, took time.Duration) error {
	if m.asJSON {
		return writeJSON(s.Out, r)
	}
	for _, j := range r.Made {
		fmt.Fprintf(s.Out, "%s\n", j.File)
	}
	if err := tellGathered(s.Err, s.Err, from, r.Problems, m.all, m.site); err != nil {
		return err
	}
	fmt.Fprintf(s.Err, "%s of %d printed, %s, %.1f s; %s\n", plural(len(r.Made), "packet"), jobs, plural(r.Pages, "page"), took.Seconds(), count(r.Problems))
	if len(r.Refused) > 0 {
		fmt.Fprintf(s.Err, "refused: %s\n", strings.Join(r.Refused, ", "))
	}
	return nil
}
