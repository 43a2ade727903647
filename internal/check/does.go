package check

import "jobsheaf/internal/procedure"

// does: a procedure that says nothing of what its steps do cannot be held to the order
// of work (internal/order), and says so once.
var does = rule{
	name: "no-does",
	what: "a procedure says of its steps what they do to the machine, so that their order can be held to the rules",
	run: func(r *run) {
		for _, p := range r.procedures() {
			if len(p.Stages) > 0 && !saysWhat(p) {
				r.warnf(p.Title.At, nil, "add does: to the steps that stop, lock, open, close or start; see templates/README.md", "no step of procedure %s says what it does: its order is not checked", p.Name)
			}
		}
	},
}

func saysWhat(p *procedure.Procedure) bool {
	for i := range p.Stages {
		for j := range p.Stages[i].Steps {
			if len(p.Stages[i].Steps[j].Does) > 0 {
				return true
			}
		}
	}
	return false
}
