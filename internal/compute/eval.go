package compute

import (
	"errors"
	"slices"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/quantity"
)

// Result computes a value for a member of its group, once; member is "" for a value
// of the unit.
func (n *Numbers) Result(v *Value, member string) *Result {
	key := resultKey{v, member}
	if res, ok := n.results[key]; ok {
		return res
	}
	v = n.forMember(v, member)
	res := &Result{Value: v, Show: v.show, member: member, Name: v.Full(member)}
	n.results[key] = res
	for end, f := range v.formulas {
		if f == nil {
			continue
		}
		before := len(res.asked)
		got, missing, err := n.eval(f.compiled, member, &res.asked)
		for _, u := range res.asked[before:] {
			for _, rd := range n.waitsFor(u) {
				res.waits[end] = appendNew(res.waits[end], rd)
			}
		}
		switch {
		case err == nil && len(res.waits[end]) > 0:
			res.missing = append(res.missing, missing...)
		case err != nil:
			res.err = &unanswered{name: res.Name, err: err}
		case missing == nil:
			res.got[end], res.by[end] = &got.Value, got.Governed
			res.figures = append(res.figures, got.Figures...)
		case len(missing) > 0:
			res.missing = append(res.missing, missing...)
		}
	}
	if own := (*unanswered)(nil); errors.As(res.err, &own) {
		own.from = n.recordedOf(nil, res.asked)
	} else {
		res.err = failing(res.missing)
	}
	n.instrumentFor(res)
	n.featureShow(res)
	n.refine(res)
	res.missing = sorted(res.missing)
	res.Without = len(res.missing) == 0 && res.err == nil && !res.waiting() && res.got == [4]*formula.Value{}
	return res
}

// forMember gives a value as it is compiled for a member of its group. A feature that is
// measured in a kind of quantity that the value is not for is an error: nothing would
// stand where its limits do.
func (n *Numbers) forMember(v *Value, member string) *Value {
	f, known := n.Feature(member)
	if v.kinds == nil || !known {
		return v
	}
	kind, _ := f.Kind()
	if one := v.as(kind); one != nil {
		return one
	}
	n.Problems.Errorf(v.At, "feature-kind", "write its formula so that it serves both, or leave the feature out", "unit %s: %s is worked out for a %s, and features.%s is a %s", n.Unit.ID, v.Full(member), v.kind, member, kind)
	return v
}

// unanswered says that a value's formula has no answer for what is on record. What
// depends on the value passes the same error on, so that it is reported once.
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

// recordedOf adds to list the recorded amounts that what was asked for was worked
// out from.
func (n *Numbers) recordedOf(list []recorded, asked []use) []recorded {
	for _, u := range asked {
		var one recorded
		switch {
		case u.value != nil:
			list = n.recordedOf(list, n.Result(u.value, u.member).asked)
		case u.term != nil:
			if s, ok := n.Book.Scalar(n.Unit, u.term.Name); ok {
				one = recorded{s.At, s.Value.SI()}
			}
		case u.ready != nil:
			p := n.property(u)
			one = recorded{p.at, p.value.SI}
		}
		if one.at.Line > 0 && !slices.Contains(list, one) {
			list = append(list, one)
		}
	}
	return list
}

// describe adds to a problem where the numbers are recorded from which there is no
// answer; where one of them alone is the input that lies out of range, that is
// the problem's place.
func (u *unanswered) describe(p *diag.Problem) {
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

// eval evaluates a formula for a member. missing is nil where there is a value, empty
// where it does not apply to the unit. What the formula asked for is added to asked:
// the names of a side that was not chosen are not among it.
func (n *Numbers) eval(f *compiled, member string, asked *[]use) (got formula.Result, missing []gap, err error) {
	var gone []string // names on record that the unit is known to be without
	got, err = f.Eval(func(i int) (formula.Value, bool) {
		u := f.refs[i].of(member)
		if asked != nil {
			*asked = append(*asked, u)
		}
		v, ok, without := n.lookup(u)
		if without {
			gone = append(gone, u.lacks())
		}
		return v, ok
	})
	if err != nil {
		return formula.Result{}, nil, err
	}
	if len(got.Missing) == 0 {
		return got, nil, nil
	}
	missing = []gap{}
	for _, i := range got.Missing {
		if u := f.refs[i].of(member); !slices.Contains(gone, u.lacks()) {
			missing = append(missing, n.roots(u)...)
		}
	}
	return formula.Result{}, sorted(missing), nil
}

// roots gives what is not on record and a missing name depends on.
func (n *Numbers) roots(u use) []gap {
	if u.reading != nil {
		return nil
	}
	if u.value == nil {
		return []gap{{Name: u.lacks()}}
	}
	res := n.Result(u.value, u.member)
	if len(res.missing) > 0 || res.err == nil && res.waiting() {
		return res.missing
	}
	return []gap{{u.full(), res.err}}
}

// failing gives the error of the first gap that is a value whose formula has no
// answer.
func failing(gaps []gap) error {
	for _, g := range gaps {
		if g.err != nil {
			return g.err
		}
	}
	return nil
}

// fault reports an error of evaluation with the template's place and the unit's.
func (n *Numbers) fault(err error, name string) {
	at, cause := diag.Pos{}, err
	var fe *formula.Error
	if errors.As(err, &fe) {
		at, cause = fe.At, fe.Err
	}
	p := diag.Problem{Pos: n.Unit.At, Severity: diag.Error, Rule: "computation", Related: []diag.Pos{at},
		Hint: "correct the record that the formula draws on; the packet is not printed with a number out of range"}
	if own := (*unanswered)(nil); errors.As(err, &own) {
		name = own.name
		own.describe(&p)
	}
	p.Message = "unit " + n.Unit.ID + ", " + name + ": " + cause.Error()
	n.Problems.Add(p)
}
