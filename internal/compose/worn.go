package compose

import (
	"slices"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// Worn is what a unit's history tells of the wear of one feature.
type Worn struct {
	Feature string
	Part    packet.Phrase
	Says    packet.Phrase // rate and forecast; nil where the history does not tell
	Trend   packet.Figure // a drawing of its readings, its limit and the forecast
	Due     string        // the day that is forecast for its limit, YYYY-MM-DD; "" where none is
	Passed  bool          // its limit is reached already, as far as the history tells
}

// Worn gives what a unit's history tells of its wear up to the day of a job: the features
// whose limit comes first before the others. The list says why the job cannot be made.
func (c *Composer) Worn(job *record.Job) ([]Worn, diag.List) {
	n, problems := c.plans.Job(job)
	if n == nil {
		return nil, problems
	}
	r := c.begin(n)
	if r.Size == nil {
		return nil, r.Problems
	}
	var out []Worn
	for _, name := range r.Size.FeatureOrder {
		f := r.Size.Features[name]
		w := r.wornBy(f)
		if w == nil {
			continue
		}
		drawn := packet.Figure{Name: "trend", Numbers: map[string]float64{}, Texts: map[string]string{}, Lists: map[string][]string{}, Series: map[string][]float64{}}
		if len(r.trend(&procedure.Figure{Feature: &procedure.Ref{Name: name}}, &drawn)) > 0 {
			continue
		}
		now := Worn{Feature: name, Part: r.partOf(f), Says: r.forecast(f), Trend: drawn, Passed: w.none == "wear.forecast_passed" || r.dueBy(w)}
		if w.none == "" {
			now.Due = w.forecast.Day.Format(time.DateOnly)
		}
		out = append(out, now)
	}
	slices.SortStableFunc(out, func(a, b Worn) int { return a.first() - b.first() })
	return out, r.Problems
}

// first orders what is worn: what is passed, then by the month in which it will be, then
// what has no date.
func (w Worn) first() int {
	if w.Passed {
		return 0
	}
	day, err := time.Parse(time.DateOnly, w.Due)
	if err != nil {
		return 1 << 30
	}
	return day.Year()*12 + int(day.Month())
}
