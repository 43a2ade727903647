package check

import (
	"slices"
	"strings"

	"jobsheaf/internal/record"
)

// isolation: every energy that a unit is known to hold has a point where it is
// shut off. OSHA 29 CFR 1910.147(c)(4)(ii) wants the steps for each; which energy
// follows from which record is our own reading.
var isolation = Rule{
	Name: "isolation",
	What: "a unit has an isolation point for each energy that its record shows: electrical for its drive, liquid on both sides, heat for a jacket",
	run: func(r *run) {
		for _, u := range r.units() {
			if u.Broken() {
				continue // what seems to be missing may be what could not be read
			}
			if len(u.Isolate) == 0 {
				r.errorf(u.At, nil, "add isolate: with a point for each energy", "%s has no isolation point on record", u.String())
				continue
			}
			count := map[string]int{}
			for _, p := range u.Isolate {
				count[p.Energy.S]++
			}
			at := u.Isolate[0].At
			if drive, ok := firstOf(u, "drive."); ok && count["electrical"] == 0 {
				r.errorf(at, places(drive.At), "add the point that isolates the motor", "%s has a drive and no electrical isolation point", u.String())
			}
			if u.LiquidName.Known() {
				switch n := count["liquid"] + count["pressure"] + count["chemical"]; n {
				case 0:
					r.errorf(at, places(u.LiquidName.At), "add suction and discharge valves", "%s pumps %s and has no isolation point for liquid", u.String(), u.LiquidName)
				case 1:
					r.warnf(at, places(u.LiquidName.At), "suction and discharge are both shut off as a rule", "%s has one isolation point for liquid", u.String())
				}
			}
			if jacket, ok := u.Scalars["built.jacket"]; ok && jacket.Yes && count["heat"] == 0 {
				r.errorf(at, places(jacket.At), "add the point that shuts off the heating", "%s has a heating jacket and no isolation point for heat", u.String())
			}
		}
	},
}

// firstOf gives the value of a unit whose name begins so and that stands first in
// its record.
func firstOf(u *record.Unit, prefix string) (first record.Scalar, ok bool) {
	for _, name := range inOrder(u.Scalars) {
		s := u.Scalars[name]
		if strings.HasPrefix(name, prefix) && (!ok || slices.MinFunc([]record.Scalar{s, first}, func(a, b record.Scalar) int { return a.At.Compare(b.At) }).Name == s.Name) {
			first, ok = s, true
		}
	}
	return first, ok
}
