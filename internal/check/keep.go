package check

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// keep: a reading that a blank keeps has a name in the history of some unit, or what is
// typed in there is refused.
var keep = rule{
	name: "keep",
	what: "a reading goes into the unit's history under the name of a feature of a design or of a quantity of its size table",
	run: func(r *run) {
		var have []string
		for _, s := range r.sizes() {
			have = append(have, s.FeatureOrder...)
		}
		slices.Sort(have)
		have = slices.Compact(have)
		for _, p := range r.procedures() {
			for i := range p.Stages {
				for j := range p.Stages[i].Steps {
					for _, b := range p.Stages[i].Steps[j].Blanks {
						// A procedure of the program's own may be for machines that this site has not.
						if b.Keep == nil || slices.Contains(have, b.Keep.Name.Name) || r.HistoryTerm(b.Keep.Name.Name) != nil || strings.HasPrefix(b.Keep.Name.At.File, "built-in/") {
							continue
						}
						hint := cmp.Or(diag.DidYouMean(b.Keep.Name.Name, have), "name a feature of a design, or a term of its sizes")
						r.errorf(b.Keep.Name.At, nil, hint, "no feature and no term is named %s", b.Keep.Name.Name)
					}
				}
			}
		}
	},
}
