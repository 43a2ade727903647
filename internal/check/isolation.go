package check

import (
	"fmt"
	"strings"
)

// isolation: every energy that a unit is known to hold has a point where it is
// shut off. OSHA 29 CFR 1910.147(c)(4)(ii) wants the steps for each; which energy
// follows from which record, and how many points it has, its kind of machine says.
var isolation = rule{
	name: "isolation",
	what: "a unit has as many isolation points as its kind of machine says for each energy that its record shows",
	run: func(r *run) {
		for _, u := range r.units() {
			if u.Broken() {
				continue // what seems to be missing may be what could not be read
			}
			at := u.At
			if len(u.Isolate) > 0 {
				at = u.Isolate[0].At
			}
			for _, h := range u.Holds() {
				switch {
				case h.Points == 0:
					r.warnf(at, places(h.At), "add the point where it is shut off; until then the cover sheet says NOT ON RECORD", "%s has no isolation point for its %s energy", u.String(), h.Energy.Energy)
				case h.Points < h.Energy.Points:
					has, all := fmt.Sprint(h.Points, " isolation points"), "all"
					if h.Points == 1 {
						has = "one isolation point"
					}
					if len(h.Energy.At) == 2 {
						all = "both"
					}
					r.warnf(at, places(h.At), strings.Join(h.Energy.At, " and ")+" are "+all+" shut off as a rule", "%s has %s for %s", u.String(), has, h.Energy.Energy)
				}
			}
		}
	},
}
