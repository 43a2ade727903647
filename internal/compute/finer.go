package compute

import (
	"math"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/procedure"
)

// coarsest is the largest part of an amount that one step of its instrument may be,
// where a finer instrument is at hand: common practice, no source.
const coarsest = 1. / 20

// instrumentFor takes the finer instrument of a value where the other one is too
// coarse for its amount or cannot read its band, in either unit system: a pump asks for
// one wrench, whatever its site's units. What is worked out from such a value is read
// with the same instrument: a joint asks for one wrench, whatever the pass.
func (n *Numbers) instrumentFor(res *Result) {
	if res.Value.fine == nil {
		return
	}
	for _, u := range res.asked {
		if u.value == nil || u.value.fine == nil || u.value.Finer.Name != res.Value.Finer.Name {
			continue
		}
		if n.Result(u.value, u.member).fine {
			res.Show, res.fine = *res.Value.fine, true
		}
		return
	}
	if in := n.Book.Instruments[res.Value.Instrument.Name]; in != nil && in.Uncertainty.Known() && res.limited() {
		for _, g := range res.Show.Grain {
			if g.Suits(res.band(), in.Uncertainty.Value.SI()) != nil {
				res.Show, res.fine = *res.Value.fine, true
				return
			}
		}
	}
	for _, v := range []*formula.Value{res.got[procedure.Whole], res.got[procedure.Target], res.got[procedure.High], res.got[procedure.Low]} {
		if v == nil {
			continue
		}
		step := 0.
		for _, g := range res.Show.Grain {
			step = max(step, g.Step*g.Unit.Factor)
		}
		if step > coarsest*math.Abs(v.SI) {
			res.Show, res.fine = *res.Value.fine, true
		}
		return
	}
}

// Tool is the instrument that a value is read with, nil where the template names
// none.
func (res *Result) Tool() *procedure.Ref {
	if res.fine {
		return res.Value.Finer
	}
	return res.Value.Instrument
}

// ToolOf names the instrument of a blank: the one that its template names, or the
// finer one of the value that it is held to where that value takes it.
func (n *Numbers) ToolOf(b *procedure.Blank) string {
	for _, ref := range []*procedure.Ref{b.Target, b.Low, b.High} {
		if ref == nil {
			continue
		}
		if res := n.ResultNamed(ref.Name); res != nil && res.fine && res.Value.Instrument.Name == b.Instrument.Name {
			return res.Tool().Name
		}
	}
	n.holdBlank(b)
	return b.Instrument.Name
}
