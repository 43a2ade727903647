package check

import (
	"math"
	"strconv"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// number is one number of a record, as it is written: what can be doubted.
type number struct {
	key   string // within its record, as confirmed names it
	text  string // as the record has it
	value quantity.Value
	at    diag.Pos
	of    *owner

	held   int // how many claims that it has a part in were found true
	doubts int // and how many were not
}

// owner is a record, size or job whose numbers can be confirmed.
type owner struct {
	name      string // as messages say it, such as size 65 of design ring-gear-b
	confirmed []record.Confirmed
	keys      map[string]bool // of its numbers
	used      map[string]bool // of the keys confirmed: those that quieted something
}

// entry is what a name stands for: its value, and the number that gives it, nil
// for a text or a yes.
type entry struct {
	value  formula.Value
	number *number
}

// view is the names that a relation may use, by what they stand for. What it does
// not have, the views beneath it may.
type view struct {
	of      *owner
	machine string // the kind of a size, of its parts or of a unit; "" for others

	names map[string]entry
	below []*view
}

func (v *view) find(name string) (entry, bool) {
	if e, ok := v.names[name]; ok {
		return e, true
	}
	for _, b := range v.below {
		if e, ok := b.find(name); ok {
			return e, true
		}
	}
	return entry{}, false
}

// numbers holds every number of a site, by owner.
type numbers struct {
	at     map[diag.Pos]*number // a number that all sizes share is one
	owners []*owner

	site        *view
	sizes       map[*record.Size]*view
	liquids     map[*record.Liquid]*view
	units       map[*record.Unit]*view
	crews       []*view
	joints      []*view
	features    map[quantity.Kind][]*view // by what they are measured in
	assemblies  []*view
	hours       map[string][]point // of a job, by procedure
	liquidOrder []*view
}

// collect gathers the numbers of all records.
func (r *run) collect() *numbers {
	n := &numbers{at: map[diag.Pos]*number{}, sizes: map[*record.Size]*view{}, liquids: map[*record.Liquid]*view{}, units: map[*record.Unit]*view{}, features: map[quantity.Kind][]*view{}, hours: map[string][]point{}}
	n.site = n.view("the site", nil)
	if r.Site != nil {
		n.site.of.confirmed = r.Site.Confirmed
		n.scalars(n.site, r.Site.Scalars)
		for _, name := range inOrder(r.Site.Crews) {
			c := r.Site.Crews[name]
			p := &view{of: n.site.of, names: map[string]entry{}, below: []*view{n.site}}
			n.amount(p, "crew.people", "crews."+name+".people", c.People)
			n.amount(p, "crew.hours", "crews."+name+".hours", c.Hours)
			n.crews = append(n.crews, p)
		}
	}
	for _, name := range inOrder(r.Liquids) {
		q := r.Liquids[name]
		v := n.view(q.String(), q.Confirmed, n.site)
		n.scalars(v, q.Scalars)
		n.liquids[q], n.liquidOrder = v, append(n.liquidOrder, v)
	}
	for _, s := range r.sizes() {
		n.sizes[s] = n.size(s)
	}
	for _, u := range r.units() {
		n.units[u] = n.unit(u)
	}
	n.jobs(r)
	return n
}

func (n *numbers) view(name string, confirmed []record.Confirmed, below ...*view) *view {
	o := &owner{name: name, confirmed: confirmed, keys: map[string]bool{}}
	n.owners = append(n.owners, o)
	return &view{of: o, names: map[string]entry{}, below: below}
}

// number enters an amount; nil where it is not on record.
func (n *numbers) number(o *owner, key string, a record.Amount) *number {
	if !a.Known() {
		return nil
	}
	return n.written(o, key, a.S, a.Value, a.At)
}

func (n *numbers) written(o *owner, key, text string, v quantity.Value, at diag.Pos) *number {
	if !o.keys[key] { // those of jobs are shared and not written to
		o.keys[key] = true
	}
	had := n.at[at]
	if had == nil {
		had = &number{key: key, text: text, value: v, at: at, of: o}
		n.at[at] = had
	}
	return had
}

// scalars enters single values under their own names.
func (n *numbers) scalars(v *view, of map[string]record.Scalar) {
	for _, name := range inOrder(of) {
		s := of[name]
		e := entry{value: formula.Value{SI: s.Value.SI(), Text: s.Text, Yes: s.Yes}}
		switch s.Form {
		case record.FormBand, record.FormNone:
			continue // its ends, or NAME.none, stand beside it
		case record.FormAmount:
			key := name
			if s.Term.Of != "" {
				key = s.Term.Of // both ends of a band are one text
			}
			e.number = n.written(v.of, key, s.Written, s.Value, s.At)
		}
		v.names[name] = e
	}
}

// amount enters an amount under a name of its view.
func (n *numbers) amount(v *view, name, key string, a record.Amount) {
	if m := n.number(v.of, key, a); m != nil {
		v.names[name] = entry{formula.Value{SI: a.Value.SI()}, m}
	}
}

// part is a joint, feature or assembly whose numbers are entered in a view: in its own
// as joint.count, in that of its size as joints.head.count.
type part struct {
	*numbers
	in          *view
	prefix, key string
}

func (p part) amount(name string, a record.Amount) {
	p.numbers.amount(p.in, p.prefix+name, p.key+name, a)
}

// size enters what a size has, its joints, features and assemblies each with a
// view of its own over that of the size.
func (n *numbers) size(s *record.Size) *view {
	v := n.view("size "+s.Name+" of "+s.Design.String(), s.Confirmed, n.site)
	if k := s.Design.Machine; k != nil {
		v.machine = k.ID
	}
	n.scalars(v, s.Scalars)
	each := func(plural, singular, name string, enter func(p part)) *view {
		own := &view{of: v.of, machine: v.machine, names: map[string]entry{}, below: []*view{v}}
		key := plural + "." + name + "."
		enter(part{n, own, singular + ".", key})
		enter(part{n, v, key, key})
		return own
	}
	for _, name := range s.JointOrder {
		j := s.Joints[name]
		n.joints = append(n.joints, each("joints", "joint", name, func(p part) {
			p.amount("count", j.Count)
			p.amount("circle", j.Circle)
			p.amount("fraction", j.Fraction)
			if j.Thread.Known() {
				p.in.names[p.prefix+"thread"] = entry{value: formula.Value{Text: j.Thread.S}}
			}
			for i, a := range j.Passes {
				p.amount("pass_"+strconv.Itoa(i+1), a)
			}
			if j.Torque.Known() {
				m := n.written(v.of, p.key+"torque", j.Torque.S, *j.Torque.Low, j.Torque.At)
				p.in.names[p.prefix+"torque.low"] = entry{formula.Value{SI: j.Torque.Low.SI()}, m}
				p.in.names[p.prefix+"torque.high"] = entry{formula.Value{SI: j.Torque.High.SI()}, m}
			}
		}))
	}
	for _, name := range s.FeatureOrder {
		f := s.Features[name]
		kind, _ := f.Kind()
		n.features[kind] = append(n.features[kind], each("features", "feature", name, func(p part) {
			p.amount("new", f.New)
			p.amount("reject_below", f.RejectBelow)
			p.amount("reject_above", f.RejectAbove)
		}))
	}
	for _, name := range s.AssemblyOrder {
		a := s.Assemblies[name]
		n.assemblies = append(n.assemblies, each("assemblies", "assembly", name, func(p part) {
			p.amount("mass", a.Mass)
		}))
	}
	for i, a := range s.Supplies {
		n.number(v.of, "supplies."+strconv.Itoa(i+1)+".amount", a.Amount)
	}
	return v
}

// unit enters what a unit has, over what it is and what it pumps.
func (n *numbers) unit(u *record.Unit) *view {
	v := n.view(u.String(), u.Confirmed)
	if u.Machine != nil {
		v.machine = u.Machine.ID
	}
	if u.Size != nil {
		v.below = append(v.below, n.sizes[u.Size])
	}
	if u.Liquid != nil {
		v.below = append(v.below, n.liquids[u.Liquid])
	}
	v.below = append(v.below, n.site)
	n.scalars(v, u.Scalars)
	for _, h := range u.History {
		for i, readings := range []map[string]record.Amount{h.AsFound, h.AsLeft} {
			key := "history." + h.Job.S + "." + [...]string{"as_found", "as_left"}[i] + "."
			for _, name := range inOrder(readings) {
				n.number(v.of, key+name, readings[name])
			}
		}
	}
	return v
}

// jobKeys are the numbers of a job: all jobs share them, for a list may be long.
var jobKeys = map[string]bool{"people": true, "hours": true}

// jobs enters the jobs of the lists.
func (n *numbers) jobs(r *run) {
	for _, name := range inOrder(r.Lists) {
		for _, j := range r.Lists[name].Jobs {
			o := &owner{name: "job " + j.ID.S, confirmed: j.Confirmed, keys: jobKeys}
			if len(j.Confirmed) > 0 {
				n.owners = append(n.owners, o)
			}
			if h := n.number(o, "hours", j.Hours); h != nil {
				n.hours[j.Procedure.S] = append(n.hours[j.Procedure.S], point{0, math.Log(j.Hours.Value.SI()), h})
			}
		}
	}
}
