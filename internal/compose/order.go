package compose

import (
	"slices"

	"jobsheaf/internal/formula"
	"jobsheaf/internal/order"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
)

// held says which energies the rules of order tell apart; any other is what a lock alone
// holds back.
var held = map[string]order.Energy{"liquid": order.Liquid, "pressure": order.Liquid, "chemical": order.Liquid, "heat": order.Heat}

// standsFor says what a place of the unit's kind of machine is to the work, without the
// name of a point there.
func (r *run) standsFor(place string) order.Point {
	p := order.Point{Place: place, Is: order.Elsewhere}
	if of := r.Unit.Machine.Place(place); of != nil {
		p.Is, p.Of, p.Apart, p.Tagged = order.Is(of.Is), held[of.Of], of.Apart, of.Tags
		p.Inlet, p.Outlet = of.Side == record.Inlet, of.Side == record.Outlet
	}
	return p
}

// pointOf says what a point of the unit's table is to the work. Where the record does not
// say where it is, what it shuts off still tells those at the drive.
func (r *run) pointOf(p *record.IsolationPoint) order.Point {
	place := p.Spot.S
	if place == "" {
		place = p.Role()
	}
	out := r.standsFor(place)
	out.Name, out.Is, out.At = p.Point.S, order.Is(p.Role()), p.At
	return out
}

// machine is the unit as the rules of order see it. What a unit without a liquid does not
// hold is not asked for.
func (r *run) machine() order.Machine {
	kind := r.Unit.Machine
	m := order.Machine{Known: kind.PlaceNames(), StandsFor: r.standsFor, Unlisted: len(r.Unit.Isolate) == 0, Displacement: kind != nil && kind.Displaces}
	for i := range r.Unit.Isolate {
		m.Points = append(m.Points, r.pointOf(&r.Unit.Isolate[i]))
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
