package compose

import (
	"math"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
)

// coarsest is the largest part of an amount that one step of its instrument may be,
// where a finer instrument is at hand: common practice, no source.
const coarsest = 1. / 20

// instrumentFor takes the finer instrument of a value where the other one is too
// coarse for its amount, in either unit system: a pump asks for one wrench, whatever
// its site's units. What is worked out from such a value is read with the same
// instrument: a joint asks for one wrench, whatever the pass.
func (r *run) instrumentFor(res *result) {
	if res.v.fine == nil {
		return
	}
	for _, name := range res.asked {
		if from := r.meaning(name).res; from != nil && from.v.fine != nil && from.v.src.Finer.Name == res.v.src.Finer.Name {
			if from.fine {
				res.show, res.fine = *res.v.fine, true
			}
			return
		}
	}
	for _, v := range []*formula.Value{res.got[itself], res.got[target], res.got[upper], res.got[lower]} {
		if v == nil {
			continue
		}
		step := 0.
		for _, g := range res.show.Grain {
			step = max(step, g.Step*g.Unit.Factor)
		}
		if step > coarsest*math.Abs(v.SI) {
			res.show, res.fine = *res.v.fine, true
		}
		return
	}
}

// tool is the instrument that a value is read with, nil where the template names
// none.
func (res *result) tool() *procedure.Ref {
	if res.fine {
		return res.v.src.Finer
	}
	return res.v.src.Instrument
}

// toolOf names the instrument of a blank: the one that its template names, or the
// finer one of the value that it is held to where that value takes it.
func (r *run) toolOf(b *procedure.Blank) string {
	for _, ref := range []*procedure.Ref{b.Target, b.Low, b.High} {
		if ref == nil || r.c.book.Terms[ref.Name] != nil {
			continue
		}
		if res := r.meaning(ref.Name).res; res != nil && res.fine && res.v.src.Instrument.Name == b.Instrument.Name {
			return res.tool().Name
		}
	}
	return b.Instrument.Name
}
