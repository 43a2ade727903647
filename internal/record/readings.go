package record

import (
	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/source"
)

// This file is about what a feature measures: a length, or any other kind of quantity,
// such as a pressure, a resistance or a count. Its values say which; a feature without
// any is of the kind that its instrument reads. Readings in a history are of the kind
// of what they are readings of.

// measured reads an amount of whatever kind its unit says. A length is held to the
// range of parts; a slip in any other is for check to find.
func measured(t Text) Amount {
	v, ok := ofAnyKind(t)
	if !ok {
		return Amount{}
	}
	return measuredAs(t, v.Type())
}

// ofAnyKind reads a quantity of whatever kind; ok is false where there is none.
func ofAnyKind(t Text) (v quantity.Value, ok bool) {
	if !t.Known() {
		return v, false
	}
	v, err := quantity.ParseAny(t.S)
	if err != nil {
		t.QuantityError(err)
	}
	return v, err == nil
}

// measuredAs reads an amount of a kind, as measured does.
func measuredAs(t Text, typ quantity.Type) Amount {
	kind, _ := typ.Kind()
	within := quantity.Band{}
	if kind == quantity.KindLength {
		within = reading
	}
	a, _ := t.Amount(kind, within)
	return a
}

// values lists what a feature's record says of its size.
func (f *Feature) values() []*Amount { return []*Amount{&f.New, &f.RejectBelow, &f.RejectAbove} }

// Kind gives the kind of quantity that a feature is measured in: a length, and known is
// false, where neither its values nor its instrument say.
func (f *Feature) Kind() (k quantity.Kind, known bool) {
	for _, a := range f.values() {
		if a.Known() {
			return a.Value.Type().Kind()
		}
	}
	if !f.hasReads {
		return quantity.KindLength, false
	}
	return f.reads, true
}

// oneKind reports values of a feature that are not of one kind. A plain pressure stands
// for a gauge pressure beside one that says so.
func oneKind(f *Feature) {
	var first *Amount
	for _, a := range f.values() {
		if a.Known() && a.Value.Type() == quantity.KindGaugePressure.Type() {
			for _, b := range f.values() {
				if b.Known() && b.Value.Type() == quantity.KindPressure.Type() {
					*b = measuredAs(b.Text, quantity.KindGaugePressure.Type())
				}
			}
		}
	}
	for _, a := range f.values() {
		switch {
		case !a.Known():
		case first == nil:
			first = a
		case a.Value.Type() != first.Value.Type():
			a.Errorf(0, "feature-kind", "write new, reject_below and reject_above in units of one kind", "%s is a %s, and %s above it is a %s", source.Quote(a.S), a.Value.Type(), source.Quote(first.S), first.Value.Type())
			*a = Amount{}
		}
	}
}

// linkFeatures gives each feature the kind that its instrument reads, and reports one
// whose values are of another. Of a point on a scale, such as a temperature, an
// instrument reads differences.
func (l *loader) linkFeatures() {
	for _, d := range l.Designs {
		before := l.said(&d.Record)
		seen := map[diag.Pos]bool{}
		for _, s := range d.Sizes {
			for _, f := range s.Features {
				in := l.Instruments[f.Instrument.S]
				if in == nil || in.Show.Grain[0].Step == 0 {
					continue
				}
				reads := in.Show.Grain[0].Unit.Kind
				if k, known := f.Kind(); known && k.Type().Dim != reads.Type().Dim && !seen[f.Instrument.At] {
					seen[f.Instrument.At] = true
					f.Instrument.Errorf(0, "feature-kind", "name an instrument that reads a "+k.String(), "the feature %s is a %s, and the %s reads a %s", f.Name, k, in.ID, reads)
				}
				f.reads, f.hasReads = reads, true
			}
		}
		l.more(&d.Record, before)
	}
}

// linkHistory reads the readings of entries of a record as the kind of what they are of.
func (l *loader) linkHistory(s *Size, entries []HistoryEntry, of *Record) {
	if s == nil {
		return
	}
	before := l.said(of)
	for _, h := range entries {
		for _, readings := range []map[string]Amount{h.AsFound, h.AsLeft} {
			for name, a := range readings {
				kind, known := s.kindOf(name)
				if !known || a.Value.Type() == kind.Type() {
					continue
				}
				if a = measuredAs(a.Text, kind.Type()); a.Known() {
					readings[name] = a
				} else {
					delete(readings, name)
				}
			}
		}
	}
	l.more(of, before)
}

// kindOf gives the kind of what a history names: a feature, or a term of the size.
func (s *Size) kindOf(name string) (quantity.Kind, bool) {
	if f := s.Features[name]; f != nil {
		k, _ := f.Kind()
		return k, true
	}
	for _, term := range historyTerms(name) {
		if at, ok := s.Scalars[term]; ok && at.Form == FormAmount {
			return at.Term.Kind, true
		}
	}
	return 0, false
}

// HistoryTerm gives the term that a history means by a name which is no feature; nil where
// there is none.
func (b *Book) HistoryTerm(name string) *Term {
	for _, n := range historyTerms(name) {
		if t := b.Terms[n]; t != nil && t.Form == FormAmount {
			return t
		}
	}
	return nil
}

// historyTerms are the terms that a history may mean by a name, the first that is there.
func historyTerms(name string) [2]string { return [2]string{name + ".set", name} }

// said is how many problems a record's document has so far; more adds those that came
// since to the loader's.
func (l *loader) said(r *Record) int {
	if r.doc == nil {
		return 0
	}
	return len(r.doc.Problems)
}

func (l *loader) more(r *Record, before int) {
	if r.doc != nil {
		l.problems = append(l.problems, r.doc.Problems[before:]...)
	}
}
