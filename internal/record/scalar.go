package record

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/source"
)

// scalars reads entries as single values: those of owner "liquid" are terms
// liquid.*, those of owner "" the terms of a size, a mapping within reads as the
// names joined by points. from gives the source of a value by its layer.
func (l *loader) scalars(owner string, entries []source.Entry, into map[string]Scalar, from func(layer int) string) {
	for _, e := range entries {
		name := e.Key.S
		if owner != "" {
			name = owner + "." + name
		}
		t := l.Terms[name]
		switch {
		case t != nil && t.Of == "" && t.OfMachine(l.kind):
			l.scalar(l.own(t), e.Value, into, from(e.Value.Layer()))
		case e.Value.IsMap() && l.isPrefix(name):
			l.scalars(name, e.Value.Map().Entries(), into, from)
		default:
			l.unknownTerm(owner, name, e.Key)
		}
	}
}

// own gives a term as the kind of machine in hand has it.
func (l *loader) own(t *Term) *Term {
	if l.kind != nil && l.kind.Terms[t.Name] != nil {
		return l.kind.Terms[t.Name]
	}
	return t
}

// scalar reads one value as its term requires.
func (l *loader) scalar(t *Term, v source.Value, into map[string]Scalar, from string) {
	text := v.Text()
	if !text.Known() {
		return
	}
	if t.broken {
		text.Errorf(0, "term", "correct the term", "the term %s at %s is faulty, so its value cannot be checked", t.Name, t.At)
		return
	}
	s := Scalar{Name: t.Name, Term: t, Form: t.Form, Written: text.S, At: text.At, Source: from}
	ok := true
	switch {
	case t.mayBeNone && text.S == "none":
		s.Form = FormNone
	case t.Form == FormAmount:
		if ok = !slices.Contains(absent, strings.ToLower(text.S)); !ok {
			hint := "leave the line out: what is not on record prints as NOT ON RECORD"
			if t.mayBeNone {
				hint = "write none if there is no such value; if it is not known, leave the line out"
			}
			text.Errorf(0, "quantity", hint, "%s is not a value", source.Quote(text.S))
			break
		}
		var a Amount
		a, ok = text.Amount(t.Kind, t.bounds)
		s.Value = a.Value
		if ok && t.Whole && a.Value.SI() != math.Trunc(a.Value.SI()) {
			text.Errorf(0, "quantity", "write a whole number", "%s is not a whole number", source.Quote(text.S))
			ok = false
		}
	case t.Form == FormBand:
		var b Band
		b, ok = text.Band(t.Kind, t.bounds)
		s.Band = b.Band
	case t.Form == FormYesNo:
		s.Yes = text.S == "true"
		if ok = s.Yes || text.S == "false"; !ok {
			text.Errorf(0, "one-of", "write true or false", "found %s where true or false is wanted", source.Quote(text.S))
		}
	case t.Form == FormWords:
		s.Text = text.S
		if ok = len(t.Words) == 0 || slices.Contains(t.Words, text.S); !ok {
			text.Errorf(0, "one-of", diag.DidYouMean(text.S, t.Words), "found %s where one of these is wanted: %s", source.Quote(text.S), strings.Join(t.Words, ", "))
		}
	}
	if !ok {
		return
	}
	into[t.Name] = s
	for end := range t.ends() {
		e := s
		e.Name, e.Term, e.Form = t.Name+"."+end, l.Terms[t.Name+"."+end], FormAmount
		switch {
		case end == "none":
			e.Form, e.Yes = FormYesNo, s.Form == FormNone
		case end == "low":
			e.Value = *s.Band.Low
		case end == "high":
			e.Value = *s.Band.High
		}
		into[e.Name] = e
	}
}

// absent is what people write where they have no value.
var absent = []string{"n/a", "na", "n.a.", "none", "nil", "-", "--", "?", "tbd", "unknown"}

// isPrefix reports whether some term begins with the name and a point.
func (l *loader) isPrefix(name string) bool {
	if l.prefixes == nil || l.prefixTerms != len(l.Terms) {
		l.prefixes, l.prefixTerms = map[string]bool{}, len(l.Terms)
		for n, t := range l.Terms {
			for t.Of == "" {
				before, _, ok := cutLast(n)
				if !ok {
					break
				}
				l.prefixes[before], n = true, before
			}
		}
	}
	return l.prefixes[name]
}

// unknownTerm reports a key that is not a known term, with the nearest that is.
func (l *loader) unknownTerm(owner, name string, key Text) {
	if l.isPrefix(name) {
		key.Errorf(0, "shape", "write {key: value, ...}", "%s is not a single value: the terms %s.* are below it", name, name)
		return
	}
	if key.Full() {
		return
	}
	if t := l.Terms[name]; t != nil && t.Of == "" {
		key.Errorf(0, "unknown-key", "take it out, or say machine: "+t.machines[0]+" in the design", "%s is a term of the kind %s, and this is a %s", source.Quote(name), strings.Join(t.machines, ", "), l.kind.ID)
		return
	}
	var near []string
	for n, t := range l.Terms {
		first, _, _ := strings.Cut(n, ".")
		if t.Of == "" && t.OfMachine(l.kind) && (owner != "" && strings.HasPrefix(n, owner+".") || owner == "" && !isOwner(first)) {
			near = append(near, n)
		}
	}
	slices.Sort(near)
	hint := cmp.Or(diag.DidYouMean(name, near), "the terms allowed here are listed in terms.yaml; a site may add a term of its own")
	key.Errorf(0, "unknown-key", hint, "%s is not a known term", source.Quote(name))
}
