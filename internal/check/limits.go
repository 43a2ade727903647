package check

import (
	"strings"

	"jobsheaf/internal/record"
)

// limits: limits stand the right way round, and what is set or new lies between.
var limits = rule{
	name: "limits",
	what: "the low, set and high values of a size, the new and reject values of a feature, and a liquid's points are in order",
	run: func(r *run) {
		for _, s := range r.sizes() {
			for _, name := range inOrder(s.Scalars) {
				if s.Scalars[name].Term.Of != "" {
					continue // the ends of one band were read in order
				}
				if base, ok := strings.CutSuffix(name, ".low"); ok {
					r.inOrderOf(s.Scalars, name, base+".set", true)
					r.inOrderOf(s.Scalars, name, base+".high", true)
				} else if base, ok := strings.CutSuffix(name, ".set"); ok {
					r.inOrderOf(s.Scalars, name, base+".high", true)
				}
			}
			for _, name := range s.FeatureOrder {
				r.featureLimits(s.Features[name])
			}
		}
		for _, name := range inOrder(r.Liquids) {
			q := r.Liquids[name].Scalars
			r.inOrderOf(q, "liquid.viscosity.cool_at", "liquid.viscosity.hot_at", false)
			r.inOrderOf(q, "liquid.viscosity.hot", "liquid.viscosity.cool", false)
			r.inOrderOf(q, "liquid.freezing_point", "liquid.boiling_point", false)
		}
	},
}

// inOrderOf reports two quantities of which the first is not below the second.
func (r *run) inOrderOf(of map[string]record.Scalar, low, high string, orEqual bool) {
	a, okA := of[low]
	b, okB := of[high]
	if !okA || !okB || a.Form != record.FormAmount || b.Form != record.FormAmount {
		return
	}
	if a.Value.SI() < b.Value.SI() || orEqual && a.Value.SI() == b.Value.SI() {
		return
	}
	r.errorf(a.At, places(b.At), "look whether the two are swapped", "%s is %s, not below %s, which is %s", low, a.Written, high, b.Written)
}

// featureLimits reports a feature that would be rejected when new.
func (r *run) featureLimits(f *record.Feature) {
	low, new, high := f.RejectBelow, f.New, f.RejectAbove
	if low.Known() && high.Known() && low.Value.SI() >= high.Value.SI() {
		r.errorf(low.At, places(high.At), "look whether the two are swapped", "features.%s is rejected below %s and above %s: nothing would pass", f.Name, low, high)
		return
	}
	if new.Known() && low.Known() && new.Value.SI() < low.Value.SI() {
		r.errorf(new.At, places(low.At), "an outside wears small, a bore wears large", "features.%s is %s when new, and rejected below %s", f.Name, new, low)
	}
	if new.Known() && high.Known() && new.Value.SI() > high.Value.SI() {
		r.errorf(new.At, places(high.At), "an outside wears small, a bore wears large", "features.%s is %s when new, and rejected above %s", f.Name, new, high)
	}
}
