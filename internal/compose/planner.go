package compose

import (
	"slices"
	"strings"

	"jobsheaf/internal/packet"
)

// due gives the features whose history says that their limit is reached by the day
// of the job, so that the planner orders the part before the pump is opened.
func (r *run) due() []packet.Due {
	if r.Size == nil {
		return nil
	}
	var out []packet.Due
	for _, name := range r.wornFeatures() {
		f, known := r.Feature(name)
		if !known {
			continue
		}
		w := r.wornBy(f)
		if w == nil {
			continue
		}
		passed := w.none == "wear.forecast_passed"
		before := r.dueBy(w)
		if passed || before {
			d := packet.Due{Part: strings.TrimSpace(f.Part.S + ": " + f.What.S)}
			if before {
				d.Month = r.months(w.forecast)
			}
			out = append(out, d)
		}
	}
	return out
}

// dangers gives every DANGER of the sheets, each once.
func dangers(sheets []packet.Sheet) []string {
	var out []string
	add := func(a *packet.Alert) {
		if a == nil || a.Signal != "danger" {
			return
		}
		for _, text := range append([]packet.Phrase{a.Text}, a.Lines...) {
			for line := range strings.Lines(text.String()) {
				if line = strings.Join(strings.Fields(line), " "); line != "" && !slices.Contains(out, line) {
					out = append(out, line)
				}
			}
		}
	}
	for _, s := range sheets {
		for _, b := range s.Blocks {
			add(b.Alert)
			if b.Step != nil {
				for i := range b.Step.Alerts {
					add(&b.Step.Alerts[i])
				}
			}
		}
	}
	return out
}
