package review

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// Standing is the error of who would close a packet while findings stand.
type Standing struct {
	job   string
	Found []Finding
}

func (s *Standing) Error() string {
	return fmt.Sprintf("job %s is not closed: findings stand: %s", s.job, keys(s.Found))
}

func keys(list []Finding) string {
	var out []string
	for _, f := range list {
		out = append(out, f.Key)
	}
	return strings.Join(out, " ")
}

// Close files a packet as complete. A packet of which findings stand is refused with a
// Standing.
func Close(ctx context.Context, r *register.Register, by register.By, job register.Job) error {
	p, err := Of(ctx, r, job)
	if err != nil {
		return err
	}
	if stand := Open(p.Findings(When{})); len(stand) > 0 {
		return &Standing{job.ID, stand}
	}
	return r.Decide(ctx, by, register.Decision{Kind: register.Close, Print: p.Print.Event})
}

// Accept lets findings of a packet through, each named by its key, and gives those that it
// let through. Where nobody could have been hurt and the work is right, the first parts of
// keys name all that begin so. Nothing is entered where a name fits none that stands.
func Accept(ctx context.Context, r *register.Register, by register.By, job register.Job, names []string, why string) ([]Finding, error) {
	p, err := Of(ctx, r, job)
	if err != nil {
		return nil, err
	}
	stand := Open(p.Findings(When{}))
	var chosen []Finding
	for _, name := range names {
		fits := false
		for _, f := range stand {
			if f.Key == name || f.Lumped() && strings.HasPrefix(f.Key, name+"-") {
				fits = true
				if !slices.ContainsFunc(chosen, func(c Finding) bool { return c.Key == f.Key }) {
					chosen = append(chosen, f)
				}
			}
		}
		if !fits {
			return nil, fmt.Errorf("job %s: no finding %s stands; what stands: %s", job.ID, name, keys(stand))
		}
	}
	for _, f := range chosen {
		if err := r.Decide(ctx, by, register.Decision{Kind: register.Accept, Print: p.Print.Event, Finding: f.Key, Why: why}); err != nil {
			return nil, err
		}
	}
	return chosen, nil
}

// Settle enters what a person says of a box: whether it is marked. What was said of it
// before is taken back by that.
func Settle(ctx context.Context, r *register.Register, by register.By, job register.Job, box string, is register.Mark) error {
	p, err := Of(ctx, r, job)
	if err != nil {
		return err
	}
	for i := range p.Manifest.Pages {
		for _, b := range p.Manifest.Pages[i].Boxes {
			if b.ID != box {
				continue
			}
			s := register.Settled{Print: p.Print.Event, Box: box, Is: is, Page: p.Manifest.Pages[i].Number, Paper: p.back()[p.Manifest.Pages[i].Number].Event, Before: p.settled[box].Event}
			if b.Ask != nil && b.Ask.For == manifest.ForVerdict { // what a reading keeps is what is typed in
				s.Keep = b.Ask.Keep
			}
			return r.Settle(ctx, by, s)
		}
	}
	return fmt.Errorf("job %s, print %d has no box %s", job.ID, p.Print.N, box)
}
