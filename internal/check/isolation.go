package check

// isolation: every energy that a unit is known to hold has a point where it is
// shut off. OSHA 29 CFR 1910.147(c)(4)(ii) wants the steps for each; which energy
// follows from which record is said in record (Unit.Unisolated).
var isolation = rule{
	name: "isolation",
	what: "a unit has an isolation point for each energy that its record shows: electrical for its drive, liquid on both sides, heat for a jacket",
	run: func(r *run) {
		for _, u := range r.units() {
			if u.Broken() {
				continue // what seems to be missing may be what could not be read
			}
			at := u.At
			if len(u.Isolate) > 0 {
				at = u.Isolate[0].At
			}
			for _, gap := range u.Unisolated() {
				r.warnf(at, places(gap.At), "add the point where it is shut off; until then the cover sheet says NOT ON RECORD", "%s has no isolation point for its %s energy", u.String(), gap.Energy)
			}
			if u.LiquidName.Known() && u.Points("liquid", "pressure", "chemical") == 1 {
				r.warnf(at, places(u.LiquidName.At), "suction and discharge are both shut off as a rule", "%s has one isolation point for liquid", u.String())
			}
		}
	},
}
