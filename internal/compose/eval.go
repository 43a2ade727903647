package compose

import (
	"errors"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
)

// result computes a value for this unit, once; nil where the procedure has none of
// that name. name is full, without the end of a band.
func (r *run) result(name string) *result {
	if res, ok := r.results[name]; ok {
		return res
	}
	g, member, rest := split(name)
	v := r.plan.values[local[g]+rest]
	if v == nil {
		return nil
	}
	res := &result{v: v, show: v.show, name: name}
	r.results[name] = res
	for part, f := range v.formulas {
		if f == nil {
			continue
		}
		got, missing, err := r.evalNoting(f.Formula, g, member, &res.asked)
		switch {
		case err != nil:
			res.err = &unanswered{name: name, err: err}
		case missing == nil:
			res.got[part], res.by[part] = &got.Value, got.Governed
		case len(missing) > 0:
			res.missing = append(res.missing, missing...)
		}
	}
	if own := (*unanswered)(nil); errors.As(res.err, &own) {
		own.from = r.recordedOf(nil, res.asked)
	} else {
		res.err = r.failing(res.missing)
	}
	r.instrumentFor(res)
	slices.Sort(res.missing)
	res.missing = slices.Compact(res.missing)
	res.without = len(res.missing) == 0 && res.err == nil && res.got == [4]*formula.Value{}
	return res
}

// unanswered says that a value's formula has no answer for what is on record. What
// hangs on the value carries the same error on, so that it is told once.
type unanswered struct {
	name string     // of the value, in full
	from []recorded // what it was worked out from
	err  error
}

func (u *unanswered) Error() string { return u.err.Error() }
func (u *unanswered) Unwrap() error { return u.err }

// recorded is an amount that stands in a record.
type recorded struct {
	at diag.Pos
	si float64
}

// recordedOf adds to list what the records give of that which the names were worked
// out from.
func (r *run) recordedOf(list []recorded, names []string) []recorded {
	for _, name := range names {
		var one recorded
		switch m := r.meaning(name); {
		case m.res != nil:
			list = r.recordedOf(list, m.res.asked)
		case m.sort == aTerm:
			if s, ok := r.c.book.Scalar(r.unit, name); ok {
				one = recorded{s.At, s.Value.SI()}
			}
		case m.sort == aProperty:
			p := r.member(m.group, m.member, m.prop)
			one = recorded{p.at, p.value.SI}
		}
		if one.at.Line > 0 && !slices.Contains(list, one) {
			list = append(list, one)
		}
	}
	return list
}

// told adds to a problem where the numbers are recorded from which there is no
// answer; where one of them alone is the input that lies out of range, that is
// the problem's place.
func (u *unanswered) told(p *diag.Problem) {
	var out *quantity.OutOfRange
	ranged := errors.As(u.err, &out)
	var found []diag.Pos
	for _, one := range u.from {
		if ranged && one.si == out.SI {
			found = append(found, one.at)
		} else {
			p.Related = append(p.Related, one.at)
		}
	}
	if len(found) == 1 {
		p.Pos = found[0]
		return
	}
	p.Related = append(p.Related, found...)
}

// eval evaluates a formula of a group's value. missing is nil where there is a
// value, empty where the value does not apply to this unit.
func (r *run) eval(f *formula.Formula, g group, member string) (formula.Value, []string, error) {
	got, missing, err := r.evalNoting(f, g, member, nil)
	return got.Value, missing, err
}

// evalNoting is eval that notes the full names that the formula asked for: those
// of a side that was not chosen are not among them.
func (r *run) evalNoting(f *formula.Formula, g group, member string, asked *[]string) (formula.Result, []string, error) {
	var gone []string // names that the unit is known to be without
	got, err := f.Eval(func(name string) (formula.Value, bool) {
		full := r.full(name, g, member)
		if asked != nil {
			*asked = append(*asked, full)
		}
		v, ok, without := r.lookup(full)
		if without {
			gone = append(gone, name)
		}
		return v, ok
	})
	if err != nil {
		return formula.Result{}, nil, err
	}
	if len(got.Missing) == 0 {
		return got, nil, nil
	}
	missing := []string{}
	for _, n := range got.Missing {
		if !slices.Contains(gone, n) {
			missing = append(missing, r.roots(r.full(n, g, member))...)
		}
	}
	slices.Sort(missing)
	missing = slices.Compact(missing)
	return formula.Result{}, missing, nil
}

// full turns a group's local name into the full one.
func (r *run) full(name string, g group, member string) string {
	if g == single {
		return name
	}
	if rest, ok := strings.CutPrefix(name, local[g]); ok {
		return plural[g] + member + "." + rest
	}
	if rest, ok := strings.CutPrefix(name, "instrument."); ok {
		return plural[g] + member + ".instrument." + rest
	}
	return name
}

// roots gives the recorded names that a missing name hangs on.
func (r *run) roots(name string) []string {
	if g, _, rest := split(name); g != single {
		if _, is := ready[g][rest]; is {
			return []string{name}
		}
	}
	base, _ := stem(name)
	for _, n := range []string{name, base} {
		if res := r.results[n]; res != nil && len(res.missing) > 0 {
			return res.missing
		}
	}
	return []string{name}
}

// failing gives the error of the first of some names that stands for a value whose
// formula has no answer.
func (r *run) failing(names []string) error {
	for _, n := range names {
		base, _ := stem(n)
		for _, name := range []string{n, base} {
			if res := r.results[name]; res != nil && res.err != nil {
				return res.err
			}
		}
	}
	return nil
}

// enter begins the rendering of what hangs on an undecided condition, and gives
// the function that ends it. Until then a formula without an answer prints as NOT
// ON RECORD instead of refusing the packet: what the condition would have kept it
// from is not known.
func (r *run) enter(only packet.Phrase) (leave func()) {
	if only == nil {
		return func() {}
	}
	r.doubt++
	return func() { r.doubt-- }
}

// fault reports an error of evaluation with the template's place and the unit's.
func (r *run) fault(err error, name string) {
	at, cause := diag.Pos{}, err
	var fe *formula.Error
	if errors.As(err, &fe) {
		at, cause = fe.At, fe.Err
	}
	p := diag.Problem{Pos: r.unit.At, Severity: diag.Error, Rule: "computation", Related: []diag.Pos{at},
		Hint: "correct the record that the formula draws on; the packet is not printed with a number out of range"}
	if own := (*unanswered)(nil); errors.As(err, &own) {
		name = own.name
		own.told(&p)
	}
	p.Message = "unit " + r.unit.ID + ", " + name + ": " + cause.Error()
	r.problems.Add(p)
}

// form gives the compiled formula of a condition.
func (r *run) form(e *procedure.Expr) *formula.Formula {
	if e == nil {
		return nil
	}
	return r.plan.forms[e.At]
}

// decide evaluates a condition. undecided names what is not on record.
func (r *run) decide(f *formula.Formula) (yes bool, undecided []string) {
	v, missing, err := r.eval(f, single, "")
	if err != nil {
		r.fault(err, "condition "+f.Text())
		return false, nil
	}
	if err := r.failing(missing); err != nil {
		r.fault(err, "condition "+f.Text())
		return false, nil
	}
	if len(missing) > 0 {
		return false, missing
	}
	return missing == nil && v.Yes, nil
}

// applies decides an optional condition. only is what to print before a step whose
// condition cannot be decided.
func (r *run) applies(e *procedure.Expr) (yes bool, only packet.Phrase) {
	f := r.form(e)
	if f == nil {
		return true, nil
	}
	yes, undecided := r.decide(f)
	if len(undecided) > 0 && r.c.Blank {
		return true, packet.Phrase{{Text: r.word("may_apply")}}
	}
	if len(undecided) > 0 {
		for _, n := range undecided {
			r.missing[n] = append(r.missing[n], "the condition "+f.Text())
		}
		what := make([]string, len(undecided))
		for i, n := range undecided {
			what[i] = r.inWords(n)
		}
		return true, packet.Phrase{
			{Text: r.word("not_on_record") + ": " + strings.Join(what, ", "), Style: packet.Missing},
			{Text: " " + r.word("may_apply")},
		}
	}
	return yes, nil
}

// inWords gives what a name on record stands for, as a mechanic would say it; a
// name that is no term stands for itself.
func (r *run) inWords(name string) string {
	if t := r.c.book.Terms[name]; t != nil {
		return r.what(t)
	}
	return name
}
