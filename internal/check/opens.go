package check

import (
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// opens: what a step opens or shuts by the name of its place stands on the unit's
// isolation table. A vent that nobody has named is looked for with the liquid behind it.
var opens = rule{
	name: "opens",
	what: "a unit has an isolation point at each place of its kind of machine that the steps name, if it has that place",
	run: func(r *run) {
		named := map[string]map[string]bool{} // by kind: the terms that steps for it name
		for kind := range r.Machines {
			named[kind] = map[string]bool{}
		}
		for _, p := range r.procedures() {
			p.Texts(func(t procedure.Text) {
				for _, part := range t.Parts {
					for kind := range named {
						if part.Name != "" && p.ForMachine(kind) {
							named[kind][part.Name] = true
						}
					}
				}
			})
		}
		for _, u := range r.units() {
			// Without any point the whole table prints NOT ON RECORD; without a liquid on
			// record nobody knows what stands behind the points.
			if u.Broken() || u.Machine == nil || u.HasLiquid() && !u.LiquidName.Known() || len(u.Isolate) == 0 {
				continue
			}
			for i := range u.Machine.Places {
				r.opened(u, &u.Machine.Places[i], named[u.Machine.ID])
			}
		}
	},
}

// opened reports a place that steps name, that a unit has, and at which it has no point.
// The drive and what is shut off on every machine of the kind are held to the rule
// isolation.
func (r *run) opened(u *record.Unit, p *record.Place, named map[string]bool) {
	term := record.PointAt(p.Place.S)
	if _, known := u.Scalars[term]; known || !named[term] || !u.Has(p) {
		return
	}
	if !p.If.Known() && p.Is != record.IsVent && p.Is != record.IsDrain || p.Of == "liquid" && !u.LiquidName.Known() {
		return
	}
	at := u.Isolate[0].At
	if p.If.Known() {
		at = u.Scalars[p.If.S].At
	}
	r.errorf(at, nil, "add it under isolate, with at: "+p.Place.S, "%s has no isolation point at: %s, which a procedure opens or shuts", u.String(), p.Place)
}
