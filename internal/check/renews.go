package check

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// renews: a part that a procedure renews is one that some feature names, or its row of
// the wear sheet would still ask for a verdict.
var renews = rule{
	name: "renews",
	what: "a part that a procedure renews is one that a feature of a design names under replaces",
	run: func(r *run) {
		if r.library == nil || len(r.Designs) == 0 {
			return
		}
		var parts []string
		for _, s := range r.sizes() {
			for _, name := range s.FeatureOrder {
				if p := s.Features[name].Replaces; p.Known() {
					parts = append(parts, p.S)
				}
			}
		}
		slices.Sort(parts)
		parts = slices.Compact(parts)
		for _, name := range r.library.Names() {
			p, _ := r.library.Procedure(name)
			if p == nil {
				continue
			}
			for _, part := range p.Wear.Renews {
				// A procedure of the program's own may be for pumps that this site has not.
				if slices.Contains(parts, part.Name) || strings.HasPrefix(part.At.File, "built-in/") {
					continue
				}
				hint := cmp.Or(diag.DidYouMean(part.Name, parts), "the parts are those that features name under replaces")
				r.warnf(part.At, nil, hint, "no feature is renewed by the part %s", part.Name)
			}
		}
	},
}
