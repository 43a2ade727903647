package check

// serial: whether a kit that fits some serial numbers only is for a unit of its size
// can be seen.
var serial = rule{
	name: "serial",
	what: "where a kit of a unit's size is for some serial numbers only, the unit's own can be compared with them",
	run: func(r *run) {
		for _, u := range r.units() {
			if u.Size == nil || u.Broken() {
				continue
			}
			for _, k := range u.Size.Kits {
				if _, sure := k.ForSerial(u.Serial); sure {
					continue
				}
				at, bound := u.Serial.At, k.FromSerial
				if !bound.Known() {
					bound = k.ToSerial
				}
				if !u.Serial.Known() {
					r.warnf(u.At, places(bound.At), "add serial: ..., or ask the supplier with model and serial number", "the kit %s is for some serial numbers only, and %s has none on record", k.Kit, u.String())
					continue
				}
				r.warnf(at, places(bound.At), "serials are compared by the figures at their end, after the same beginning", "the serial %s cannot be compared with %s, from which the kit %s depends", u.Serial, bound, k.Kit)
			}
		}
	},
}
