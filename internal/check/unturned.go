package check

import "jobsheaf/internal/procedure"

// unturned: a torque on the card that no step, blank or drawing names is one that nobody is
// told to set.
var unturned = rule{
	name: "unturned",
	what: "a joint of a procedure's torque table is named by a step, a blank or a drawing (warning)",
	run: func(r *run) {
		for _, p := range r.procedures() {
			named := map[string]bool{}
			p.Mentions(func(ref procedure.Ref) {
				if n := procedure.ParseName(ref.Name); n.Group == procedure.PerJoint {
					named[n.Member] = true
				}
			})
			p.Figures(func(f *procedure.Figure) {
				if f.Joint != nil {
					named[f.Joint.Name] = true
				}
			})
			for _, j := range p.Numbers.Joints {
				if !named[j.Joint.Name] {
					r.warnf(j.Joint.At, nil, "name it where it is tightened, such as {joints."+j.Joint.Name+".torque}, or take it out of joints", "procedure %s has the torque of %s, and no step names this joint", p.Name, j.Joint.Name)
				}
			}
		}
	},
}
