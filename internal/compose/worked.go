package compose

import (
	"jobsheaf/internal/compute"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
)

// Worked is what comes of readings that are typed at a desk.
type Worked struct {
	Entries  []packet.Entry    // of the values asked for
	Verdicts []compute.Verdict // on the readings and the values that are held to limits
}

// WorkOut works values of a job out from readings, pairs of name and text; all that can be
// where no value is named. The list says why the job cannot be printed; the error, what
// is wrong with a reading or a name.
func (c *Composer) WorkOut(job *record.Job, readings [][2]string, values []string) (*Worked, diag.List, error) {
	n, problems := c.plans.Job(job)
	if n == nil {
		return nil, problems, nil
	}
	for _, r := range readings {
		if err := n.Take(r[0], r[1]); err != nil {
			return nil, problems, err
		}
	}
	if len(values) == 0 {
		values = n.WorkedOut()
	}
	out := &Worked{Verdicts: n.Judged()}
	for _, name := range values {
		e, v, err := n.Worked(name)
		if err != nil {
			return nil, problems, err
		}
		out.Entries = append(out.Entries, *e)
		if v != nil {
			out.Verdicts = append(out.Verdicts, *v)
		}
	}
	return out, n.Problems, nil
}
