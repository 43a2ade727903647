package check

import "jobsheaf/internal/quantity"

// What an instrument of a shop is good for, as a part of what it reads to. Common
// practice, no source.
const (
	surest = 0.25 // an instrument on which a part of a step is read off
	unsure = 5.5  // one that is read much finer than it is true
)

// instruments holds the two numbers of each instrument of the site against each other.
func (r *run) instruments() {
	for _, name := range inOrder(r.Instruments) {
		in := r.Instruments[name]
		if in.BuiltIn || !in.Resolution.Known() || !in.Uncertainty.Known() {
			continue
		}
		g := in.Show.Grain[0] // the other is about as fine
		o := &owner{name: in.String(), confirmed: in.Confirmed, keys: map[string]bool{}}
		r.numbers.owners = append(r.numbers.owners, o)
		resolution := r.numbers.written(o, "resolution", in.Resolution.S, quantity.FromUnit(g.Step, g.Unit), in.Resolution.At)
		uncertainty := r.numbers.number(o, "uncertainty", in.Uncertainty)
		share := in.Uncertainty.Value.SI() / (g.Step * g.Unit.Factor)
		r.claim([]*number{resolution, uncertainty}, share >= surest && share <= unsure, false, func() string {
			return "an instrument is true to about what it reads to: its uncertainty is " + in.Stated.S
		})
	}
}
