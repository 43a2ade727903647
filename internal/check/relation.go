package check

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// tolerance is the relative error that the conversion of units costs.
const tolerance = 1e-9

// relation is a relation with its formulas compiled.
type relation struct {
	record.Relation
	when, is, from, to *formula.Formula
}

// relate holds each record to each relation that is of its kind.
func (r *run) relate() {
	n := r.numbers
	of := map[string][]*view{"site": {n.site}, "crew": n.crews, "liquid": n.liquidOrder, "joint": n.joints, "assembly": n.assemblies}
	for _, s := range r.sizes() {
		of["size"] = append(of["size"], n.sizes[s])
	}
	for _, u := range r.units() {
		of["unit"] = append(of["unit"], n.units[u])
	}
	scopes := map[string]scope{}
	for _, owner := range record.RelationOwners {
		if owner != "feature" {
			scopes[owner] = r.scope(owner, quantity.KindLength)
		}
	}
	features := map[quantity.Kind]scope{quantity.KindLength: r.scope("feature", quantity.KindLength)}
	for kind := range n.features {
		features[kind] = r.scope("feature", kind)
	}
	for _, rel := range r.Relations {
		if rel.Of == "feature" {
			r.relateFeatures(rel, features)
			continue
		}
		c, problems := compile(rel, scopes[rel.Of])
		switch {
		case c != nil:
			for _, v := range of[rel.Of] {
				if rel.Machine == "" || rel.Machine == v.machine {
					r.hold(c, v)
				}
			}
		case !rel.BuiltIn: // a built-in one may name a part that no design of this site has
			r.problems = append(r.problems, problems...)
		}
	}
}

// relateFeatures holds features to a relation: those that are measured in a kind of
// quantity in which it means something.
func (r *run) relateFeatures(rel record.Relation, scopes map[quantity.Kind]scope) {
	c, problems := compile(rel, scopes[quantity.KindLength])
	fits := c != nil
	for _, kind := range slices.Sorted(maps.Keys(r.numbers.features)) {
		c, _ = compile(rel, scopes[kind])
		if fits = fits || c != nil; c == nil {
			continue
		}
		for _, v := range r.numbers.features[kind] {
			if rel.Machine == "" || rel.Machine == v.machine {
				r.hold(c, v)
			}
		}
	}
	if !fits && !rel.BuiltIn {
		r.problems = append(r.problems, problems...)
	}
}

// featureKinds gives the kind of quantity that each feature is measured in, by name; of
// one that two sizes measure in two kinds none.
func (r *run) featureKinds() map[string]quantity.Kind {
	kinds, mixed := map[string]quantity.Kind{}, map[string]bool{}
	for _, s := range r.sizes() {
		for _, name := range s.FeatureOrder {
			k, _ := s.Features[name].Kind()
			had, seen := kinds[name]
			mixed[name] = mixed[name] || seen && had != k
			kinds[name] = k
		}
	}
	maps.DeleteFunc(kinds, func(name string, _ quantity.Kind) bool { return mixed[name] })
	return kinds
}

// scope is what a relation may name: formula.Scope over a map.
type scope map[string]formula.Type

func (s scope) Type(name string) (formula.Type, bool) { t, ok := s[name]; return t, ok }

func (s scope) Names() []string { return slices.Collect(maps.Keys(s)) }

// compile compiles a relation; nil where its formulas have problems.
func compile(rel record.Relation, scope scope) (*relation, diag.List) {
	c := &relation{Relation: rel}
	var problems diag.List
	expr := func(text record.Text) *formula.Formula {
		if !text.Known() {
			return nil
		}
		f, list := formula.Parse(text.S, text.At).Check(scope)
		problems = append(problems, list...)
		return f
	}
	if rel.When.Known() {
		var list diag.List
		c.when, list = condition(rel.When, scope)
		problems = append(problems, list...)
	}
	c.is, c.from, c.to = expr(rel.Is), expr(rel.From), expr(rel.To)
	if c.is == nil || len(problems) > 0 {
		return nil, problems
	}
	for _, f := range []struct {
		*formula.Formula
		text record.Text
	}{{c.is, rel.Is}, {c.from, rel.From}, {c.to, rel.To}} {
		switch {
		case f.Formula == nil:
		case f.Type().Sort != formula.Quantity:
			problems.Errorf(f.text.At, "dimension", "compare numbers; a word belongs into when", "this is %s, and is no quantity", f.Type())
		case f.Type().Quantity != c.is.Type().Quantity:
			problems.Errorf(f.text.At, "dimension", "write is, from and to in one kind of quantity", "this is %s, where is comes to %s", f.Type(), c.is.Type())
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return c, nil
}

// condition compiles a condition; nil where it has problems.
func condition(text record.Text, scope scope) (*formula.Formula, diag.List) {
	f, problems := formula.Parse(text.S, text.At).Check(scope)
	if len(problems) == 0 && f.Type().Sort != formula.YesNo {
		problems.Errorf(text.At, "condition", "compare something", "a condition is yes or no; this is %s", f.Type())
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return f, nil
}

// evaluate works a formula out; ok is false where something is not on record or it has
// no answer.
func evaluate(f *formula.Formula, env func(name string) (formula.Value, bool)) (v formula.Value, ok bool) {
	names := f.Names()
	got, err := f.Eval(func(i int) (formula.Value, bool) { return env(names[i]) })
	return got.Value, err == nil && len(got.Missing) == 0
}

// scope gives the names that a relation may use: terms that its owner can see, the
// parts of all designs by name, and its own part as joint, feature or assembly; kind is
// that of the feature in hand. A feature that two designs measure in two kinds has no
// name here.
func (r *run) scope(owner string, kind quantity.Kind) scope {
	scope := scope{}
	for name, t := range r.Terms {
		if !sees(owner, name) {
			continue
		}
		switch t.Form {
		case record.FormAmount:
			scope[name] = formula.Is(t.Kind)
		case record.FormYesNo:
			scope[name] = formula.Type{Sort: formula.YesNo}
		case record.FormWords:
			scope[name] = formula.Type{Sort: formula.Text, OneOf: t.Words}
		}
	}
	if owner == "site" || owner == "liquid" {
		return scope
	}
	parts := map[string]map[string]formula.Type{
		"crew": {"people": {}, "hours": formula.Is(quantity.KindTime)},
		"joint": {"count": {}, "fraction": {}, "pass_1": {}, "pass_2": {}, "pass_3": {}, "circle": formula.Is(quantity.KindLength), "thread": {Sort: formula.Text},
			"torque.low": formula.Is(quantity.KindTorque), "torque.high": formula.Is(quantity.KindTorque)},
		"feature":  {"new": formula.Is(kind), "reject_below": formula.Is(kind), "reject_above": formula.Is(kind)},
		"assembly": {"mass": formula.Is(quantity.KindMass)},
	}
	for name, typ := range parts[owner] {
		scope[owner+"."+name] = typ
	}
	kinds := r.featureKinds()
	for _, s := range r.sizes() {
		for _, of := range []struct {
			plural, singular string
			names            []string
		}{{"joints", "joint", s.JointOrder}, {"features", "feature", s.FeatureOrder}, {"assemblies", "assembly", s.AssemblyOrder}} {
			for _, part := range of.names {
				for name, typ := range parts[of.singular] {
					if of.singular == "feature" {
						kind, plain := kinds[part]
						if !plain {
							continue
						}
						typ = formula.Is(kind)
					}
					scope[of.plural+"."+part+"."+name] = typ
				}
			}
		}
	}
	return scope
}

// sees reports whether a record can see a term: a size does not know of the units
// that have it.
func sees(owner, term string) bool {
	first, _, dotted := strings.Cut(term, ".")
	whose := "size"
	switch {
	case !dotted:
	case first == "site" || first == "liquid":
		whose = first
	case slices.Contains([]string{"built", "duty", "piping", "drive", "unit"}, first):
		whose = "unit"
	}
	switch owner {
	case "unit":
		return true
	case "site", "crew", "liquid":
		return whose == "site" || whose == owner
	}
	return whose == "site" || whose == "size"
}

// hold evaluates a relation for one record. What is not on record, or has no
// answer, is not held against anybody: other rules tell of it.
func (r *run) hold(c *relation, v *view) {
	var members []*number
	env := func(name string) (formula.Value, bool) {
		e, ok := v.find(name)
		if ok && e.number != nil && !slices.Contains(members, e.number) {
			members = append(members, e.number)
		}
		return e.value, ok
	}
	if c.when != nil {
		if yes, ok := evaluate(c.when, env); !ok || !yes.Yes {
			return
		}
		members = nil // what decides whether a relation applies is not what it is about
	}
	is, ok := evaluate(c.is, env)
	if !ok {
		return
	}
	ends := [2]float64{math.Inf(-1), math.Inf(1)}
	for i, f := range []*formula.Formula{c.from, c.to} {
		if f == nil {
			continue
		}
		end, ok := evaluate(f, env)
		if !ok {
			return
		}
		ends[i] = end.SI
	}
	// The record's own numbers come before those of what it is an instance of: a size
	// is looked at by every unit that has it.
	slices.SortStableFunc(members, func(a, b *number) int { return cmp.Compare(foreign(a, v), foreign(b, v)) })
	slack := tolerance * math.Abs(is.SI)
	holds := is.SI >= ends[0]-slack && is.SI <= ends[1]+slack
	r.claim(members, holds, c.Must, func() string {
		typ := c.is.Type().Quantity
		says, name := c.Why.S, c.Is.S
		if len(name) > longest {
			name = "what is compared" // a long formula helps nobody who looks for a slip
		}
		says += " (" + name + " is " + short(is.SI, typ, 3, members...)
		if c.from != nil {
			says += ", expected at least " + short(ends[0], typ, 3, members...)
		}
		if c.to != nil {
			says += ", expected at most " + short(ends[1], typ, 3, members...)
		}
		return strings.Replace(says, ", expected at most", ", at most", strings.Count(says, "expected at least")) + ")"
	})
}

// foreign gives 1 for a number of another record than the view's own, else 0.
func foreign(n *number, v *view) int {
	if n.of != v.of {
		return 1
	}
	return 0
}

// longest is how long a formula may be to stand in a message.
const longest = 60

// short prints a value to a few figures, in the unit in which the record gives a
// like number.
func short(si float64, typ quantity.Type, figures int, like ...*number) string {
	for _, n := range like {
		if u, ok := n.value.Written(); ok && n.value.Type() == typ {
			return u.Join(quantity.Figures(quantity.OfType(si, typ).In(u), figures))
		}
	}
	k, named := typ.Kind()
	if !named {
		return quantity.Figures(si, figures) + " " + typ.String()
	}
	u := quantity.Preferred(k, quantity.Metric)
	return u.Join(quantity.Figures(quantity.OfType(si, typ).In(u), figures))
}
