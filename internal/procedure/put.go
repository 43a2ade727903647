package procedure

import (
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// put is the steps that a template puts into a place that a fragment leaves open.
type put struct {
	in    Ref
	steps []Step
}

// puts reads the key put: steps by the name of the place that they go to.
func puts(m *source.Map) []put {
	var out []put
	in := m.Map("put")
	for _, e := range in.Entries() {
		p := put{in: Ref{e.Key.S, e.Key.At}}
		for _, v := range in.List(e.Key.S) {
			if s := v.Map(); s != nil {
				p.steps = append(p.steps, step(s))
			}
		}
		out = append(out, p)
	}
	return out
}

// fill puts the steps of a procedure and of its fragments into the places that the
// stages leave open. A place into which nothing is put goes, and a stage that has no
// steps then.
func (l *loader) fill(p *Procedure, of []*template) {
	left := map[string]diag.Pos{} // the places, each with where it is
	var names []string
	for i := range p.Stages {
		for _, s := range p.Stages[i].Steps {
			if s.place == nil {
				continue
			}
			name := s.place.Name
			if first, twice := left[name]; twice {
				l.problems.Add(diag.Problem{Pos: s.place.At, Severity: diag.Error, Rule: "put", Related: []diag.Pos{first},
					Message: "there are two places named " + name + " in procedure " + p.Name, Hint: "give one of them another name"})
			}
			left[name], names = s.place.At, append(names, name)
		}
	}
	into := map[string][]Step{}
	for _, t := range of {
		for _, u := range t.put {
			if _, is := left[u.in.Name]; !is {
				l.problems.Errorf(u.in.At, "put", diag.OneOf(u.in.Name, names), "no stage of procedure %s has a place named %s", p.Name, source.Quote(u.in.Name))
				continue
			}
			into[u.in.Name] = append(into[u.in.Name], u.steps...)
		}
	}
	for i := range p.Stages {
		var steps []Step
		for _, s := range p.Stages[i].Steps {
			if s.place == nil {
				steps = append(steps, s)
			} else {
				steps = append(steps, into[s.place.Name]...)
			}
		}
		p.Stages[i].Steps = steps
	}
	p.Stages = slices.DeleteFunc(p.Stages, func(s Stage) bool { return len(s.Steps) == 0 })
}
