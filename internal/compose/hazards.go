package compose

import (
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
)

// mostHazards is how many alerts are read at the head of a stage.
const mostHazards = 3

// hazards renders the alerts at the head of a stage that apply to this unit. A fourth
// one is printed all the same, and reported where the template has it.
func (r *run) hazards(src *procedure.Stage) []packet.Alert {
	n := 0
	for i := range src.Alerts {
		a := &src.Alerts[i]
		if yes, only := r.Applies(a.When); !yes || only != nil { // one of an empty form may not
			continue
		}
		if n++; n == mostHazards+1 {
			r.Problems.Warnf(a.At, "stage-hazard", "keep the gravest, and move the others to their steps", "job %s, unit %s: more than %d alerts apply at the head of the stage %q", r.Job.ID.S, r.Unit.ID, mostHazards, r.Plain(src.Title))
		}
	}
	return r.alerts(src.Alerts)
}
