package compose

import (
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// Worn is what a unit's history tells of the wear of one feature.
type Worn struct {
	Part   packet.Phrase
	Says   packet.Phrase // rate and forecast; nil where the history does not tell
	Trend  packet.Figure // a drawing of its readings, its limit and the forecast
	Due    string        // the day that is forecast for its limit, YYYY-MM-DD; "" where none is
	First  string        // the earliest such day, where readings scatter; else Due
	Passed bool          // its limit is reached already, as far as the history tells
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
		says := r.forecast(f)
		if len(says) > 0 { // which follows the part's name in the annex
			says[0].Text = strings.TrimPrefix(says[0].Text, " · ")
		}
		now := Worn{Part: r.partOf(f), Says: says, Trend: drawn, Passed: w.none == "wear.forecast_passed"}
		if w.none == "" {
			now.Due = w.forecast.Day.Format(time.DateOnly)
			if now.First = now.Due; w.forecast.Spread {
				now.First = w.forecast.Earliest.Format(time.DateOnly)
			}
		}
		out = append(out, now)
	}
	slices.SortStableFunc(out, Worn.Compare)
	return out, r.Problems
}

// Compare orders by when limits come: what is passed, then by day, then what has none.
func (w Worn) Compare(other Worn) int {
	rank := func(w Worn) string {
		switch {
		case w.Passed:
			return ""
		case w.Due == "":
			return "~"
		}
		return w.Due
	}
	return strings.Compare(rank(w), rank(other))
}
