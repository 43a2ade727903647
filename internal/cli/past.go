package cli

import (
	"context"
	"fmt"
	"maps"
	"os"
	"slices"

	"jobsheaf/internal/history"
	"jobsheaf/internal/record"
)

// past gives what a site's register knows of some units, of all where there are none; nothing
// where there is no register.
func past(ctx context.Context, dir string, units map[string]bool) ([]record.PageHistory, error) {
	r, err := ifAny(ctx, dir)
	if err != nil {
		return nil, fmt.Errorf("what was read on earlier packets is not known: %w", err)
	}
	if r == nil {
		return nil, nil
	}
	defer r.Close()
	if units == nil {
		return history.Of(ctx, r, "")
	}
	var out []record.PageHistory
	for _, unit := range slices.Sorted(maps.Keys(units)) {
		pages, err := history.Of(ctx, r, unit)
		if err != nil {
			return nil, err
		}
		out = append(out, pages...)
	}
	return out, nil
}

// unitsOf gives the units of jobs.
func unitsOf(jobs []*record.Job) map[string]bool {
	units := map[string]bool{}
	for _, j := range jobs {
		units[j.Unit.S] = true
	}
	return units
}

// knowing gives a site that was read with what its register knows of some units: another
// where it knows anything, else the same.
func (s *site) knowing(ctx context.Context, dir string, units map[string]bool) (*site, error) {
	pages, err := past(ctx, dir, units)
	if err != nil || len(pages) == 0 {
		return s, err
	}
	return readSite(record.WithRegister(os.DirFS(dir), pages)), nil
}
