// Package history finds in a site's register what the next packet has to know of a unit:
// what was read on the packets of earlier jobs, and which parts were replaced.
//
// Entry point: Of. It belongs here if it decides which readings of a packet that came back
// become a unit's history. It is not for the form of that history as a record (record),
// nor for typing readings in (typein).
package history

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/record"
	"jobsheaf/internal/register"
)

// Of gives what the register knows of a unit, or of all where the name is "", by the day of
// the jobs, their names and their pages. A job that is void adds nothing. Where a job was
// printed more than once, what was typed of a newer print stands for the same of an older
// one. Of several readings of one feature the worst counts: a part is as worn as it is at its
// worst place.
func Of(ctx context.Context, r *register.Register, unit string) ([]record.PageHistory, error) {
	var out []record.PageHistory
	var job past
	err := r.Kept(ctx, unit, func(k register.Kept) error {
		if k.Job != job.name {
			out = append(out, job.pages()...)
			job = past{name: k.Job, print: map[string]int64{}, of: map[string]kept{}}
		}
		job.add(k)
		return nil
	})
	return append(out, job.pages()...), err
}

// past is what is known of one job.
type past struct {
	name  string
	print map[string]int64 // of what is kept, the print of which it was taken
	of    map[string]kept
	order []string // the keys of these
}

// kept is something that is kept, with how far a number is within its limits.
type kept struct {
	register.Kept
	margin float64
}

// add takes something up, unless a newer print or a worse reading stands there.
func (p *past) add(k register.Kept) {
	// A number says what a box holds, and a mark that a part was replaced.
	if (k.Reading == nil) != strings.HasPrefix(k.Keep, replaced+" ") || p.print[k.Keep] > k.Print {
		return
	}
	now := kept{Kept: k}
	if k.Reading != nil {
		value, err := strconv.ParseFloat(k.Reading.Value, 64)
		if err != nil {
			return // no number was typed
		}
		now.margin = margin(value, k.Reading.Low, k.Reading.High)
	}
	was, there := p.of[k.Keep]
	switch {
	case !there:
		p.order = append(p.order, k.Keep)
		p.print[k.Keep] = k.Print
	case now.margin >= was.margin:
		return
	}
	p.of[k.Keep] = now
}

// margin is how far a number is within the nearer of its limits. Without limits all are
// alike, and the first that was typed stands.
func margin(value float64, low, high *float64) float64 {
	switch {
	case low != nil && high != nil:
		return min(value-*low, *high-value)
	case low != nil:
		return value - *low
	case high != nil:
		return *high - value
	}
	return 0
}

// Words that begin what is kept, before a name.
const (
	asFound  = "as_found"
	asLeft   = "as_left"
	replaced = "replaced"
)

// pages gives what is known of a job, by page.
func (p *past) pages() []record.PageHistory {
	var out []record.PageHistory
	for _, key := range p.order {
		k := p.of[key]
		i := slices.IndexFunc(out, func(page record.PageHistory) bool { return page.Page == k.Page })
		if i < 0 {
			i = len(out)
			out = append(out, record.PageHistory{Unit: k.Unit, Job: k.Job, Day: k.Day, Page: k.Page})
		}
		switch as, name, _ := strings.Cut(key, " "); {
		case as == replaced:
			out[i].Replaced = append(out[i].Replaced, name)
		case as == asFound || as == asLeft:
			out[i].Readings = append(out[i].Readings, record.PageReading{Name: name, Left: as == asLeft, Value: strings.TrimSpace(k.Reading.Value + " " + k.Reading.Unit)})
		}
	}
	slices.SortFunc(out, func(a, b record.PageHistory) int { return a.Page - b.Page })
	return slices.DeleteFunc(out, func(page record.PageHistory) bool { return len(page.Readings)+len(page.Replaced) == 0 })
}
