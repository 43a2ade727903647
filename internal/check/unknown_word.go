package check

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/calc/bolting"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// unknownWord: words that the computations look up must be in their tables, or a
// number would be missing only when the packet is made.
var unknownWord = rule{
	name: "unknown-word",
	what: "threads, grades, conditions and methods of joints, signs, drawings and the site's link are ones that the program knows",
	run: func(r *run) {
		refuse := func(t record.Text, fault func(string) error) {
			if t.Known() {
				if err := fault(t.S); err != nil {
					r.errorf(t.At, nil, "", "%s", err)
				}
			}
		}
		listed := func(t record.Text, what string, words []string) {
			if !t.Known() || words == nil || slices.Contains(words, t.S) {
				return
			}
			hint := cmp.Or(diag.DidYouMean(t.S, words), "known are "+strings.Join(words, ", "))
			r.errorf(t.At, nil, hint, "there is no %s %q", what, t.S)
		}
		if r.Site != nil && r.known.Link != nil {
			refuse(r.Site.Link, r.known.Link)
		}
		for _, name := range inOrder(r.Liquids) {
			for _, w := range r.Liquids[name].Wear {
				listed(w.Sign, "sign", r.known.Signs)
			}
		}
		for _, s := range r.sizes() {
			for _, name := range s.JointOrder {
				j := s.Joints[name]
				refuse(j.Thread, thread)
				refuse(j.Condition, func(c string) error { _, err := bolting.NutFactor(c); return err })
				refuse(j.Method, func(m string) error { _, err := bolting.Scatter(m); return err })
				// With an unknown thread the grade cannot be judged, and it may stand where
				// every size has it from.
				if j.Thread.Known() && thread(j.Thread.S) == nil {
					refuse(j.Grade, func(grade string) error { _, err := bolting.ProofStrength(grade, j.Thread.S); return err })
				}
			}
			for _, name := range s.FeatureOrder {
				listed(s.Features[name].Points, "drawing of where to measure", r.known.Drawings)
			}
		}
	},
}

// thread says what is wrong with the name of a thread.
func thread(name string) error { _, err := bolting.ThreadDiameter(name); return err }
