// Package history finds in a site's register what the next packet has to know of a unit:
// what was read on the packets of earlier jobs, and which parts were replaced.
//
// Entry point: Of. It belongs here if it decides which readings of a packet that came back
// become a unit's history. It is not for the form of that history as a record (record),
// nor for typing readings in (typein).
package history

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// Page is what one page of a packet adds to a unit's history.
type Page struct {
	Unit, Job, Day string
	Number         int // of the page in its packet
	Readings       []Reading
	Replaced       []string // parts, by name
}

// Reading is one reading with its name in the history.
type Reading struct {
	Name  string
	Left  bool   // as left; else as found
	Value string // a number with its unit, such as "31.94 mm"
}

// Of gives what the register knows of a unit, by the day of the jobs, their names and their
// pages. A job that is void adds nothing. Where a job was printed more than once, what was
// typed of a newer print stands for the same of an older one.
func Of(ctx context.Context, r *register.Register, unit string) ([]Page, error) {
	var jobs []register.Job
	err := r.Jobs(ctx, register.Query{Unit: unit}, func(j register.Job) error {
		if j.State != register.JobVoid {
			jobs = append(jobs, j)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	var out []Page
	for _, j := range jobs {
		pages, err := ofJob(ctx, r, j)
		if err != nil {
			return nil, fmt.Errorf("job %s: %w", j.ID, err)
		}
		out = append(out, pages...)
	}
	return out, nil
}

// ofJob gives what the pages of a job add, those of the newest print first looked at.
func ofJob(ctx context.Context, r *register.Register, j register.Job) ([]Page, error) {
	prints, err := r.Prints(ctx, j.ID)
	if err != nil {
		return nil, err
	}
	said := map[string]bool{} // by a newer print
	var out []Page
	for _, p := range slices.Backward(prints) {
		pages, err := ofPrint(ctx, r, j, p, said)
		if err != nil {
			return nil, err
		}
		for _, page := range pages {
			for _, reading := range page.Readings {
				said[reading.key()] = true
			}
			for _, part := range page.Replaced {
				said[part] = true
			}
		}
		out = append(out, pages...)
	}
	slices.SortStableFunc(out, func(a, b Page) int { return a.Number - b.Number })
	return out, nil
}

// key tells readings apart; no part has it as its name.
func (r Reading) key() string { return fmt.Sprintf("%s\x00%v", r.Name, r.Left) }

// Words that begin what a box keeps, before a name.
const (
	asFound  = "as_found"
	asLeft   = "as_left"
	replaced = "replaced"
)

// ofPrint gives what the pages of one print add beyond what is said already.
func ofPrint(ctx context.Context, r *register.Register, j register.Job, p register.Printed, said map[string]bool) ([]Page, error) {
	typed, err := r.Readings(ctx, p.Event)
	if err != nil {
		return nil, err
	}
	marks, err := r.Marks(ctx, p.Event)
	if err != nil || len(typed)+len(marks) == 0 {
		return nil, err
	}
	raw, err := r.Manifest(ctx, p)
	if err != nil {
		return nil, err
	}
	m, err := manifest.Decode(raw)
	if err != nil {
		return nil, err
	}
	var out []Page
	for i := range m.Pages {
		page := Page{Unit: j.Unit, Job: j.ID, Day: j.Day, Number: m.Pages[i].Number}
		worst := map[string]*kept{}
		var order []*kept
		for k := range m.Pages[i].Boxes {
			b := &m.Pages[i].Boxes[k]
			if b.Ask == nil {
				continue
			}
			as, name, _ := strings.Cut(b.Ask.Keep, " ")
			switch as {
			case replaced:
				if marks[b.ID] == register.Marked && !said[name] && !slices.Contains(page.Replaced, name) {
					page.Replaced = append(page.Replaced, name)
				}
			case asFound, asLeft:
				now := keptOf(Reading{Name: name, Left: as == asLeft}, typed[b.ID], b.Ask)
				if now == nil || said[now.key()] {
					continue
				}
				if was := worst[now.key()]; was == nil {
					worst[now.key()], order = now, append(order, now)
				} else if now.worse(was) {
					*was = *now
				}
			}
		}
		for _, k := range order {
			page.Readings = append(page.Readings, k.Reading)
		}
		if len(page.Readings)+len(page.Replaced) > 0 {
			out = append(out, page)
		}
	}
	return out, nil
}

// kept is a reading with what decides whether another of the same name is worse.
type kept struct {
	Reading
	value float64
	ask   *manifest.Ask
}

// keptOf gives what was typed into a box, nil where no number was.
func keptOf(r Reading, t register.Reading, ask *manifest.Ask) *kept {
	value, err := strconv.ParseFloat(t.Value, 64)
	if err != nil {
		return nil
	}
	r.Value = strings.TrimSpace(t.Value + " " + t.Unit)
	return &kept{r, value, ask}
}

// worse reports that a reading is nearer to its limit than another of the same feature, or
// farther beyond it: a part is as worn as it is at its worst place.
func (k *kept) worse(than *kept) bool { return k.margin() < than.margin() }

// margin is how far a reading is within the nearer of its limits, in the box's unit; with no
// limits the first that is read stands.
func (k *kept) margin() float64 {
	switch a := k.ask; {
	case a.Low != nil && a.High != nil:
		return min(k.value-*a.Low, *a.High-k.value)
	case a.Low != nil:
		return k.value - *a.Low
	case a.High != nil:
		return *a.High - k.value
	}
	return 0
}
