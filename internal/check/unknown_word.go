package check

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/record"
)

// unknownWord: words that the computations look up must be in their tables, or a
// number would be missing only when the packet is made.
var unknownWord = Rule{
	Name: "unknown-word",
	What: "threads, grades, conditions and methods of joints, signs, drawings and the site's link are ones that the program knows",
	run: func(r *run) {
		refuse := func(t record.Text, fault func(string) error) {
			if t.Known() && fault != nil {
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
		if r.Site != nil {
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
				refuse(j.Thread, r.known.Thread)
				refuse(j.Condition, r.known.Condition)
				refuse(j.Method, r.known.Method)
				// With an unknown thread the grade cannot be judged, and it may stand where
				// every size has it from.
				if r.known.Grade != nil && j.Thread.Known() && (r.known.Thread == nil || r.known.Thread(j.Thread.S) == nil) {
					refuse(j.Grade, func(grade string) error { return r.known.Grade(grade, j.Thread.S) })
				}
			}
			for _, name := range s.FeatureOrder {
				listed(s.Features[name].Points, "drawing of where to measure", r.known.Drawings)
			}
		}
	},
}
