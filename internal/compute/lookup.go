package compute

import (
	"math"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// mostSteps is how many numbers a table may have: more is not found at a glance.
const mostSteps = 30

// steps gives the numbers of a table in a unit, from one amount to another. They begin with
// the first where it was written in that unit, else on a whole step.
func steps(from, to quantity.Value, g quantity.Grain, u quantity.Unit) []float64 {
	step := g.Step * g.Unit.Factor / u.Factor
	low, high := from.In(u), to.In(u)
	if w, ok := from.Written(); !ok || w.Symbol != u.Symbol {
		low = math.Ceil(low/step-1e-6) * step
	}
	var out []float64
	for i := 0; len(out) <= mostSteps; i++ {
		x := low + float64(i)*step
		if x > high+1e-6*step {
			break
		}
		out = append(out, x)
	}
	return out
}

// lookupOver is the table of a value over a reading, worked out for this unit.
func (n *Numbers) lookupOver(res *Result, t *tableOver) *packet.Lookup {
	u, _ := n.UnitOf(t.Blank)
	g := t.step.Grain[n.System]
	at := steps(t.from, t.to, g, u)
	grain := quantity.Grain{Unit: u, Step: g.Step * g.Unit.Factor / u.Factor}
	if first := math.Abs(at[0] / grain.Step); math.Abs(first-math.Round(first)) > 1e-6 {
		grain.Step /= 10 // the first number lies between two steps
	}
	out := &packet.Lookup{What: n.whatOf(res, procedure.Whole), Note: n.Word("work.between"),
		Over: withUnit(n.WordWith("work.from", "what", n.Plain(t.Blank.Label), "n", n.outlined().read[t.name]), u.Symbol)}
	ends := []procedure.End{}
	for _, end := range [...]procedure.End{procedure.Whole, procedure.Low, procedure.Target, procedure.High} { // as they are read: what is aimed at between its limits
		if len(res.waits[end]) > 0 {
			ends = append(ends, end)
			label, box := n.Plain(res.Value.What), n.resultBlank(res, end)
			if res.Value.Band() {
				label = n.Word(map[procedure.End]string{procedure.Low: "at_least", procedure.High: "at_most", procedure.Target: "target"}[end])
				box.Label = label + ", " + box.Label
			}
			out.Rows = append(out.Rows, packet.LookupRow{Label: withUnit(label, res.Show.Grain[n.System].Unit.Symbol)})
			out.Result = append(out.Result, box)
		}
	}
	for _, x := range at {
		v := quantity.FromUnit(x, u)
		out.At = append(out.At, grain.Number(v, quantity.Nearest, n.Decimal))
		m := n.with(map[*reading]quantity.Value{t.reading: v})
		one := m.Result(res.Value, res.member)
		if one.err != nil {
			n.fault(one.err, res.Name)
			return out
		}
		for i, end := range ends {
			out.Rows[i].Cells = append(out.Rows[i].Cells, m.cell(one, end))
		}
	}
	return out
}

// cell prints an end of a result as a table has it, without its unit.
func (n *Numbers) cell(res *Result, end procedure.End) string {
	got := res.got[end]
	switch {
	case got == nil:
		return none
	case res.Value.typ.Sort != formula.Quantity:
		return n.Translate(got.Text)
	}
	way := ways[end]
	if end == procedure.Whole {
		way = res.Show.Way
	}
	return res.Show.Grain[n.System].Number(res.quantity(got), way, n.Decimal)
}

// with gives the numbers of the job as they are where readings are known.
func (n *Numbers) with(taken map[*reading]quantity.Value) *Numbers {
	m := *n
	m.taken, m.results, m.working, m.Problems = taken, map[resultKey]*Result{}, newWorking(usual), nil
	return &m
}

func withUnit(label, unit string) string {
	if unit == "" {
		return label
	}
	return label + ", " + unit
}
