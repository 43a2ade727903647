package check

import (
	"jobsheaf/internal/formula"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// wants: what a kind of machine asks its units for, and what it does not let them have.
var wants = rule{
	name: "wants",
	what: "a unit has what its kind of machine wants of it, and nothing that the kind bars",
	run: func(r *run) {
		scope := r.scope("unit", quantity.KindLength) // a unit sees no feature
		compiled := map[*record.Want]*formula.Formula{}
		holds := func(k *record.Machine, w *record.Want, u *record.Unit) bool {
			if !w.When.Known() {
				return true
			}
			f, done := compiled[w]
			if !done {
				c, problems := condition(w.When, scope)
				f, compiled[w] = c, c
				if !k.BuiltIn { // a built-in one may name a part that no design of this site has
					r.problems = append(r.problems, problems...)
				}
			}
			if f == nil {
				return false
			}
			v := r.numbers.units[u]
			yes, ok := evaluate(f, func(name string) (formula.Value, bool) { e, ok := v.find(name); return e.value, ok })
			return ok && yes.Yes
		}
		for _, u := range r.units() {
			k := u.Machine
			if k == nil || u.Broken() {
				continue
			}
			for i := range k.Wants {
				w := &k.Wants[i]
				if _, has := r.Scalar(u, w.Term.S); !has && holds(k, w, u) {
					r.warnf(u.At, places(w.Term.At), "put it on record", "%s has no %s: %s", u.String(), w.Term, w.Why)
				}
			}
			for i := range k.Bars {
				w := &k.Bars[i]
				if s, has := r.Scalar(u, w.Term.S); has && holds(k, w, u) {
					r.errorf(s.At, places(w.Term.At), "take it out, or mend what contradicts it", "%s has %s: %s", u.String(), w.Term, w.Why)
				}
			}
		}
	},
}
