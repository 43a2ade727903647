package cli

import (
	"context"

	"jobsheaf/internal/printjob"
	"jobsheaf/internal/record"
	"jobsheaf/internal/register"
)

// number tells jobs that were printed before which print of theirs this is, and which one
// it replaces. One that comes out as its newest print was made stays that print, so that a
// run that is repeated prints the same.
func (e *entering) number(ctx context.Context, site string, maker *printjob.Maker, jobs []*record.Job) error {
	if e.no {
		return nil
	}
	r, err := ifAny(ctx, site)
	if err != nil || r == nil {
		return err
	}
	defer r.Close()
	var again []printjob.Task
	prints := map[*record.Job][]register.Printed{}
	for _, j := range jobs {
		all, err := r.Prints(ctx, j.ID.S)
		if err != nil {
			return err
		}
		if len(all) == 0 {
			continue
		}
		as(j, all[:len(all)-1])
		prints[j] = all
		again = append(again, printjob.Task{Job: j, ComposeOnly: true})
	}
	// Whether it is the newest print once more is known by what it would be as that print.
	return maker.Run(ctx, again, func(m printjob.Made) error {
		all := prints[m.Job]
		if m.Packet != nil && m.Packet.Fingerprint != all[len(all)-1].Fingerprint {
			as(m.Job, all)
		}
		return nil
	})
}

// as makes a job's packet the print that follows some.
func as(j *record.Job, before []register.Printed) {
	j.Print, j.Replaces = 0, ""
	if n := len(before); n > 0 {
		j.Print, j.Replaces = n+1, before[n-1].Fingerprint
	}
}
