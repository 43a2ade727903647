package check

import (
	"slices"

	"jobsheaf/internal/procedure"
)

// opens: what a step opens or shuts by the name of its place stands on the unit's
// isolation table. A vent that nobody has named is looked for with the liquid behind it.
var opens = rule{
	name: "opens",
	what: "a unit has an isolation point at each place that the steps name: vent and drain, a jacket's supply, return and drain, the seal's flush, the tracing of the pipes",
	run: func(r *run) {
		var named []string
		for _, p := range r.procedures() {
			p.Texts(func(t procedure.Text) {
				for _, part := range t.Parts {
					named = append(named, part.Name)
				}
			})
		}
		for _, u := range r.units() {
			if u.Broken() || !u.LiquidName.Known() || len(u.Isolate) == 0 {
				continue // without any point the whole table prints NOT ON RECORD
			}
			for _, place := range []struct{ at, term, has string }{
				{"vent", "piping.vent_point", ""}, {"drain", "piping.drain_point", ""},
				{"jacket supply", "piping.jacket_supply_point", "built.jacket"}, {"jacket return", "piping.jacket_return_point", "built.jacket"},
				{"jacket drain", "piping.jacket_drain_point", "built.jacket"},
				{"seal flush", "piping.seal_flush_point", "built.flush"},
				{"tracing", "piping.tracing_point", "piping.tracing"},
			} {
				if _, known := u.Scalars[place.term]; known || !slices.Contains(named, place.term) {
					continue
				}
				at := u.Isolate[0].At
				if place.has != "" {
					has := u.Scalars[place.has]
					if !has.Yes && (has.Text == "" || has.Text == "none") {
						continue
					}
					at = has.At
				}
				r.errorf(at, nil, "add it under isolate, with at: "+place.at, "%s has no isolation point at: %s, which a procedure opens or shuts", u.String(), place.at)
			}
		}
	},
}
