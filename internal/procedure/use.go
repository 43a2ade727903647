package procedure

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/source"
)

// find gives the fragment that a name means, or reports that there is none.
func (l *loader) find(r Ref) *template {
	t := l.templates[r.Name]
	switch {
	case t == nil:
		var names []string
		for n, t := range l.templates {
			if t.fragment {
				names = append(names, n)
			}
		}
		l.problems.Errorf(r.At, "unknown-fragment", diag.OneOf(r.Name, names), "there is no fragment named %s", source.Quote(r.Name))
	case !t.fragment:
		l.problems.Add(diag.Problem{Pos: r.At, Severity: diag.Error, Rule: "unknown-fragment", Related: []diag.Pos{t.at},
			Message: r.Name + " is a procedure and cannot be used by another", Hint: "move what they share into a fragment"})
		return nil
	}
	return t
}

// useFaults reports what is wrong with the fragments that one template names.
func (l *loader) useFaults(t *template) {
	seen := map[string]Ref{}
	for _, u := range t.use {
		if first, twice := seen[u.Name]; twice {
			l.problems.Add(diag.Problem{Pos: u.At, Severity: diag.Error, Rule: "used-twice", Related: []diag.Pos{first.At},
				Message: "the fragment " + u.Name + " is named twice", Hint: "keep one of the two"})
		}
		seen[u.Name] = u
	}
	placed := map[string]Ref{}
	for _, p := range t.places {
		if p.use == nil {
			continue
		}
		if _, used := seen[p.use.Name]; !used {
			l.problems.Errorf(p.use.At, "unused-fragment", "add it to use: at the top", "the stages of %s are placed here, but it is not used", source.Quote(p.use.Name))
		}
		if first, twice := placed[p.use.Name]; twice {
			l.problems.Add(diag.Problem{Pos: p.use.At, Severity: diag.Error, Rule: "used-twice", Related: []diag.Pos{first.At},
				Message: "the stages of " + p.use.Name + " appear here twice", Hint: "keep one of the two"})
		}
		placed[p.use.Name] = *p.use
	}
	for _, u := range t.use {
		f := l.templates[u.Name]
		if _, ok := placed[u.Name]; f != nil && f.fragment && len(f.places) > 0 && !ok {
			l.problems.Errorf(u.At, "unused-fragment", "add - use: "+u.Name+" where its stages belong", "the stages of %s are placed nowhere", source.Quote(u.Name))
		}
	}
}

// assemble works the fragments into a procedure and checks the whole. ok is false
// where it or a fragment of it has an error.
func (l *loader) assemble(t *template) (p *Procedure, ok bool) {
	order, ok := l.order(t, nil, map[*template]bool{})
	if !ok {
		return nil, false
	}
	out := t.Procedure
	m := merge{into: &out, language: t.language, values: map[valueKey]Value{}}
	out.Scope, out.values, out.eachJoint, out.eachFeature, out.eachAssembly = nil, nil, nil, nil, nil
	out.Cover, out.Job, out.Numbers, out.Wear, out.Holds = Cover{}, JobSheet{}, Numbers{}, Wear{}, nil
	for _, part := range order {
		ok = ok && !part.doc.Problems.HasErrors()
		m.add(part)
	}
	out.Stages = l.stages(t, nil)
	l.fill(&out, order)
	slices.SortFunc(out.Files, func(a, b File) int { return cmp.Or(strings.Compare(a.Path, b.Path), slices.Compare(a.Raw, b.Raw)) })
	l.problems = append(l.problems, m.problems...)
	out.index = indexOf(&out)
	l.rules(&out, order)
	// What is wrong with the use of fragments stands on the list already.
	for _, pr := range l.problems {
		if pr.Severity == diag.Error && slices.ContainsFunc(order, func(part *template) bool { return part.doc.Span.Holds(pr.Pos) }) {
			ok = false
		}
	}
	return &out, ok
}

// order lists a template with the fragments that it uses, each once and after
// those that it uses itself.
func (l *loader) order(t *template, chain []string, done map[*template]bool) (out []*template, ok bool) {
	if done[t] {
		return nil, true
	}
	chain = append(slices.Clone(chain), t.Name)
	ok = true
	for _, u := range t.use {
		if i := slices.Index(chain, u.Name); i >= 0 {
			l.problems.Errorf(u.At, "circle", "a fragment cannot use itself", "the fragments use each other in a circle: %s", strings.Join(append(chain[i:], u.Name), " uses "))
			return nil, false
		}
		f := l.find(u)
		if f == nil {
			ok = false
			continue
		}
		part, fine := l.order(f, chain, done)
		out, ok = append(out, part...), ok && fine
	}
	done[t] = true
	return append(out, t), ok
}

// stages lays a template's stages out, those of fragments in their places. when
// holds the conditions under which the whole stands.
func (l *loader) stages(t *template, when []*formula.Expr) []Stage {
	var out []Stage
	for _, p := range t.places {
		if p.own != nil {
			s := *p.own
			s.When = slices.Concat(when, s.When)
			out = append(out, s)
			continue
		}
		// Only what is used is followed: there is no circle in that.
		if slices.ContainsFunc(t.use, func(u Ref) bool { return u.Name == p.use.Name }) {
			inner := when
			if p.when != nil {
				inner = append(slices.Clone(when), p.when)
			}
			out = append(out, l.stages(l.templates[p.use.Name], inner)...)
		}
	}
	return out
}

// merge adds templates into one procedure.
type merge struct {
	into     *Procedure
	language string
	values   map[valueKey]Value
	problems diag.List
}

func (m *merge) add(t *template) {
	if t.language != "" && m.language != "" && t.language != m.language {
		m.problems.Errorf(t.at, "language", "write the fragment in the language of the procedures that use it", "the fragment %s is in %s, procedure %s in %s", t.Name, t.language, m.into.Name, m.language)
	}
	p := m.into
	p.values = append(p.values, m.fresh(t.values)...)
	p.eachJoint = append(p.eachJoint, m.fresh(t.eachJoint)...)
	p.eachFeature = append(p.eachFeature, m.fresh(t.eachFeature)...)
	p.eachAssembly = append(p.eachAssembly, m.fresh(t.eachAssembly)...)
	p.Scope = unlike(p.Scope, t.Scope, itemKey)
	p.Cover.Hazards = unlike(p.Cover.Hazards, t.Cover.Hazards, func(a Alert) string { return string(a.Signal) + itemKey(Item{Say: a.Say, When: a.When}) })
	p.Cover.Wear = unlike(p.Cover.Wear, t.Cover.Wear, func(s Sign) string { return s.Sign.Name + itemKey(Item{Say: s.Say, When: s.When}) })
	p.Cover.FirstAid = unlike(p.Cover.FirstAid, t.Cover.FirstAid, itemKey)
	p.Cover.Prove = unlike(p.Cover.Prove, t.Cover.Prove, itemKey)
	p.Cover.Stop = unlike(p.Cover.Stop, t.Cover.Stop, itemKey)
	p.Job.Tools = unlike(p.Job.Tools, t.Job.Tools, itemKey)
	p.Job.Kits = p.Job.Kits || t.Job.Kits
	p.Job.Papers = unlike(p.Job.Papers, t.Job.Papers, itemKey)
	p.Job.Parts = unlike(p.Job.Parts, t.Job.Parts, itemKey)
	p.Job.Figures = append(p.Job.Figures, t.Job.Figures...)
	p.Numbers.Joints = unlike(p.Numbers.Joints, t.Numbers.Joints, func(j Joint) string { return j.Joint.Name + whenKey(j.When) })
	p.Numbers.Table = append(p.Numbers.Table, t.Numbers.Table...)
	p.Numbers.Figures = append(p.Numbers.Figures, t.Numbers.Figures...)
	p.Wear.All = p.Wear.All || t.Wear.All
	p.Wear.Features = unlike(p.Wear.Features, t.Wear.Features, func(r Ref) string { return r.Name })
	p.Wear.Renews = unlike(p.Wear.Renews, t.Wear.Renews, func(r Ref) string { return r.Name })
	p.Wear.Figures = append(p.Wear.Figures, t.Wear.Figures...)
	p.Holds = append(p.Holds, t.Holds...)
	p.Files = append(p.Files, File{Path: t.doc.Span.File, Line: t.doc.Span.First, BuiltIn: t.builtIn, Raw: t.doc.Raw()})
}

// fresh passes values on, and reports those whose name is taken.
func (m *merge) fresh(list []Value) []Value {
	for _, v := range list {
		key := v.key()
		if first, taken := m.values[key]; taken {
			m.problems.Add(diag.Problem{Pos: v.At, Severity: diag.Error, Rule: "duplicate-value", Related: []diag.Pos{first.At},
				Message: "there are two values named " + v.Full("") + " in procedure " + m.into.Name, Hint: "give one of them another name"})
		}
		m.values[key] = v
	}
	return list
}

// unlike adds the entries of b that a does not hold yet: two fragments may well
// ask for the same tool.
func unlike[T any](a, b []T, key func(T) string) []T {
	seen := map[string]bool{}
	for _, x := range a {
		seen[key(x)] = true
	}
	for _, x := range b {
		if k := key(x); !seen[k] {
			seen[k], a = true, append(a, x)
		}
	}
	return a
}

// itemKey is what two like items have in common; one that is carried is not left out
// for one in the annex.
func itemKey(i Item) string { return i.Say.String() + whenKey(i.When) + annexKey[i.Annex] }

var annexKey = map[bool]string{true: "\x00annex"}

func whenKey(e *formula.Expr) string {
	if e == nil {
		return ""
	}
	return "\x00" + e.Text
}
