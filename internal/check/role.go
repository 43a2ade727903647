package check

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// role: who may sign is said of roles in which somebody signs, or it is never printed.
var role = rule{
	name: "role",
	what: "what a site says under signs is of a role that the pages have: of the sign-off, or of a hold point",
	run: func(r *run) {
		if r.Site == nil || r.known.Roles == nil || r.library == nil {
			return
		}
		roles := slices.Clone(r.known.Roles)
		for _, p := range r.procedures() {
			for _, stage := range p.Stages {
				for _, step := range stage.Steps {
					roles = append(roles, step.Hold.String())
				}
			}
		}
		for i, s := range roles {
			roles[i] = strings.ToLower(s)
		}
		roles = slices.DeleteFunc(roles, func(s string) bool { return s == "" }) // of a step that nobody holds
		slices.Sort(roles)
		roles = slices.Compact(roles)
		for _, name := range inOrder(r.Site.Signs) {
			if !slices.Contains(roles, name) {
				hint := cmp.Or(diag.DidYouMean(name, roles), "the roles are "+strings.Join(roles, ", "))
				r.warnf(r.Site.Signs[name].At, nil, hint, "nobody signs in the role %s, and who may is printed nowhere", name)
			}
		}
	},
}
