package check

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// renews: a part that a procedure renews is one that some feature names, or its row of
// the wear sheet would still ask for a verdict.
var renews = rule{
	name: "renews",
	what: "a part that a procedure renews is one that a feature of a design names under replaces",
	run: func(r *run) {
		if len(r.Designs) == 0 {
			return
		}
		var parts []string
		for _, s := range r.sizes() {
			parts = append(parts, renewable(s)...)
		}
		slices.Sort(parts)
		parts = slices.Compact(parts)
		for _, p := range r.procedures() {
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

// renewable names the parts that a size's features name under replaces, each once.
func renewable(s *record.Size) []string {
	var out []string
	for _, name := range s.FeatureOrder {
		if p := s.Features[name].Replaces; p.Known() && !slices.Contains(out, p.S) {
			out = append(out, p.S)
		}
	}
	return out
}
