package compose

import (
	"slices"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/order"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// stands says what each place of an isolation point is to the work.
var stands = map[string]order.Point{
	"drive":   {Is: order.Drive},
	"suction": {Is: order.Block, Of: order.Liquid, Inlet: true}, "discharge": {Is: order.Block, Of: order.Liquid, Outlet: true},
	"seal flush": {Is: order.Block, Of: order.Liquid},
	"vent":       {Is: order.Vent, Of: order.Liquid}, "drain": {Is: order.Drain, Of: order.Liquid},
	"jacket supply": {Is: order.Block, Of: order.Heat}, "jacket return": {Is: order.Block, Of: order.Heat},
	"jacket drain": {Is: order.Drain, Of: order.Heat},
	"elsewhere":    {Is: order.Elsewhere},
}

// standsFor makes a point of a place, without its name.
func standsFor(place string) order.Point {
	p := stands[place]
	p.Place = place
	return p
}

// pointOf says what a point of the unit's table is to the work.
func pointOf(p *record.IsolationPoint) order.Point {
	place := p.Spot.S
	switch {
	case p.AtDrive():
		place = "drive"
	case !p.Spot.Known():
		place = "elsewhere"
	}
	out := standsFor(place)
	out.Name = p.Point.S
	return out
}

// machine is the unit as the rules of order see it. What a unit without a liquid does not
// hold is not asked for.
func (r *run) machine() order.Machine {
	m := order.Machine{Known: record.Spots(), StandsFor: standsFor, Unlisted: len(r.Unit.Isolate) == 0, Displacement: true}
	for i := range r.Unit.Isolate {
		m.Points = append(m.Points, pointOf(&r.Unit.Isolate[i]))
	}
	m.Liquid = r.Unit.LiquidName.Known() || slices.ContainsFunc(m.Points, func(p order.Point) bool { return p.Of == order.Liquid })
	m.Facts = map[string]order.Fact{}
	for _, name := range order.Facts() {
		switch yes, known := r.Fact(name, m.Liquid); {
		case !known:
			m.Facts[name] = order.Open
		case yes:
			m.Facts[name] = order.Yes
		}
	}
	return m
}

// holdOrder runs the steps that apply, or may, in the order of the pages, and notes what
// breaks a rule of order. An empty form is for no unit in particular, and is not run.
func (r *run) holdOrder() {
	if r.Blank {
		return
	}
	r.Problems = append(r.Problems, order.Run(r.machine(), r.doing())...)
}

// doing lists what the steps do that apply, or may: those of back in service follow the
// others, as they do on the pages.
func (r *run) doing() []order.Step {
	var out []order.Step
	for _, sheet := range []procedure.Sheet{procedure.Steps, procedure.Service} {
		for i := range r.Procedure.Stages {
			src := &r.Procedure.Stages[i]
			stage, applies := r.conditions(src.When...)
			if src.Sheet != sheet || !applies {
				continue
			}
			for j := range src.Steps {
				s := &src.Steps[j]
				if len(s.Does) == 0 {
					continue
				}
				own, applies := r.conditions(s.When)
				if !applies {
					continue
				}
				step := order.Step{If: slices.Concat(stage, own)}
				for _, d := range s.Does {
					left, applies := r.conditions(d.When)
					if !applies {
						continue
					}
					a := d.Action
					if len(left) > 0 {
						a.If = left[0]
					}
					step.Does = append(step.Does, a)
				}
				if len(step.Does) > 0 {
					out = append(out, step)
				}
			}
		}
	}
	return out
}

// conditions decides conditions that all must hold: applies is false where one does
// not, and left holds those that the records do not decide.
func (r *run) conditions(all ...*formula.Expr) (left []order.Condition, applies bool) {
	for _, e := range all {
		switch yes, open := r.Left(e); {
		case open != nil:
			left = append(left, open)
		case !yes:
			return nil, false
		}
	}
	return left, true
}
