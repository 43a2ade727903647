package week

import (
	"slices"
	"strings"

	"jobsheaf/internal/front"
)

// withdrawals gives the jobs that an earlier run printed and that the list has
// cancelled, or no longer names, as long as any of their files is in the output.
func (o *output) withdrawals(l, before *Ledger, cancelled []string) ([]front.Withdrawal, error) {
	live := map[string]bool{}
	for i := range l.Jobs {
		live[l.Jobs[i].Job.Job] = true
	}
	for i := range l.Refused {
		live[l.Refused[i].Job] = true
	}
	var candidates []front.Withdrawal
	if before != nil {
		candidates = append(candidates, before.Withdraw...)
		if before.List == l.List {
			for i := range before.Jobs {
				candidates = append(candidates, before.withdrawal(&before.Jobs[i]))
			}
		}
	}
	for _, id := range cancelled {
		if id != "" && id[0] != '.' && !strings.ContainsAny(id, `/\:`) { // else it can have no file
			candidates = append(candidates, front.Withdrawal{Job: id})
		}
	}
	var out []front.Withdrawal
	for _, w := range candidates {
		if live[w.Job] {
			continue
		}
		live[w.Job] = true // once
		w.Cancelled = w.Cancelled || slices.Contains(cancelled, w.Job)
		w.Files = nil
		names := []string{w.Job + ".pdf", w.Job + ".json", annexFile(w.Job)}
		if w.Print != "" && !slices.ContainsFunc(l.Rounds, func(d RoundDone) bool { return d.File == w.Print }) {
			names = append(names, w.Print)
		}
		for _, name := range names {
			there, err := o.there(name)
			if err != nil {
				return nil, err
			}
			if there {
				w.Files = append(w.Files, name)
			}
		}
		if len(w.Files) > 0 {
			out = append(out, w)
		}
	}
	slices.SortFunc(out, func(a, b front.Withdrawal) int { return strings.Compare(a.Job, b.Job) })
	return out, nil
}

// withdrawal says what was printed of a job.
func (l *Ledger) withdrawal(d *Done) front.Withdrawal {
	w := front.Withdrawal{Job: d.Job.Job, Unit: d.Unit, Day: d.Day, Crew: d.Crew, Fingerprint: d.Fingerprint}
	for _, r := range l.Rounds {
		if r.Day == d.Day && r.Crew == d.Crew {
			w.Print, w.PrintFingerprint = r.File, r.Fingerprint
		}
	}
	return w
}
