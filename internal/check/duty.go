package check

import "jobsheaf/internal/record"

// duty: what a unit is used for lies within what its size and liquid allow.
var duty = rule{
	name: "duty",
	what: "the temperature, pressure and speed in service are within what the size allows, and the liquid is liquid at them",
	run: func(r *run) {
		for _, u := range r.units() {
			get := func(name string) (record.Scalar, bool) {
				s, ok := r.Scalar(u, name)
				return s, ok && s.Form == record.FormAmount
			}
			above := func(a, b string, hint, says string) {
				x, okX := get(a)
				y, okY := get(b)
				if okX && okY && x.Value.SI() > y.Value.SI() {
					r.errorf(x.At, places(y.At), hint, "%s is %s, %s %s of %s", a, x.Written, says, b, y.Written)
				}
			}
			above("duty.temperature", "max_temperature", "look at both", "above the")
			above("duty.speed", "max_speed", "look at both", "above the")
			above("duty.inlet", "duty.outlet", "look whether the two are swapped", "above the")
			if t, ok := get("duty.temperature"); ok {
				if f, ok := get("liquid.freezing_point"); ok && f.Value.SI() >= t.Value.SI() {
					r.errorf(t.At, places(f.At), "a liquid that sets is not pumped: look at both", "duty.temperature is %s, at or below the freezing point of %s", t.Written, f.Written)
				}
			}
			in, okIn := get("duty.inlet")
			out, okOut := get("duty.outlet")
			if most, ok := get("max_pressure"); ok && okIn && okOut && out.Value.SI()-in.Value.SI() > most.Value.SI()*(1+1e-9) {
				r.errorf(out.At, places(in.At, most.At), "look at all three", "the pressure rises from %s to %s, by more than the max_pressure of %s", in.Written, out.Written, most.Written)
			}
			if set, ok := get("duty.relief_set"); ok && okOut && set.Value.SI() <= out.Value.SI() {
				r.warnf(set.At, places(out.At), "it would blow in service", "duty.relief_set is %s, not above duty.outlet of %s", set.Written, out.Written)
			}
			if kind, ok := u.Scalars["built.relief_valve"]; ok && kind.Text == "none" {
				if set, ok := get("duty.relief_set"); ok {
					r.errorf(set.At, places(kind.At), "delete one of the two", "duty.relief_set is %s, but built.relief_valve is none", set.Written)
				}
			}
		}
	},
}
