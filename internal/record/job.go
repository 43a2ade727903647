package record

import (
	"fmt"
	"strings"

	"jobsheaf/internal/source"
)

// Raw gives what the job's own entry says, key by key: what the fingerprint is
// taken of. The other jobs of the list are no part of it, nor is the way the
// entry is written.
func (j *Job) Raw() []byte {
	var b strings.Builder
	for _, f := range []struct {
		key  string
		text Text
	}{{"job", j.ID}, {"unit", j.Unit}, {"procedure", j.Procedure}, {"day", j.Day}, {"crew", j.Crew}, {"people", j.People.Text}, {"hours", j.Hours.Text}} {
		if f.text.Known() {
			fmt.Fprintf(&b, "%s: %s\n", f.key, f.text)
		}
	}
	return []byte(b.String())
}

// Spans gives the lines of the list's file that hold the job: the list's first
// lines and its own entry, without the other jobs (unless they share a line).
// A job from the command line has none.
func (j *Job) Spans() []source.Span {
	if j.List == nil || len(j.List.Jobs) == 0 {
		return nil
	}
	whole := j.List.Span
	last := max(j.From.Line, j.To.Line-1)
	if j.To.Line <= j.From.Line {
		last = j.From.Line
	}
	return []source.Span{
		{File: whole.File, First: whole.First, Last: j.List.Jobs[0].From.Line - 1},
		{File: whole.File, First: j.From.Line, Last: last},
	}
}
