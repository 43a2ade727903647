package compute

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// This file is about readings that are known, as at a desk when a packet has come back:
// what was worked out by hand is then worked out here, and held to the same limits.

// Verdict says how a reading, or what was worked out from some, stands to its limits as
// they print: a value beyond them by less than rounding took from them is outside.
type Verdict struct {
	Name   string `json:"name"`
	Value  string `json:"value"`
	Limits string `json:"limits"`
	Within bool   `json:"within"`
}

// Take enters a reading as it was typed, before any value is asked for. The error says
// what a person can do about it.
func (n *Numbers) Take(name, text string) error {
	rd := n.plan.readings["readings."+strings.TrimPrefix(name, "readings.")]
	if rd == nil {
		have := make([]string, 0, len(n.plan.readings))
		for full := range n.plan.readings {
			have = append(have, strings.TrimPrefix(full, "readings."))
		}
		slices.Sort(have)
		if len(have) == 0 {
			return fmt.Errorf("procedure %s names no reading", n.Procedure.Name)
		}
		return fmt.Errorf("procedure %s has no reading %q; %s", n.Procedure.Name, name, cmp.Or(diag.DidYouMean(name, have), "there are "+diag.Some(have, 8)))
	}
	if _, twice := n.taken[rd]; twice {
		return fmt.Errorf("the reading %s is given twice", name)
	}
	kind, _ := rd.typ.Quantity.Kind()
	v, err := quantity.Parse(text, kind)
	if err != nil {
		hint := ""
		if u, ok := n.UnitOf(rd.Blank); ok && u.Symbol != "" {
			hint = "; its box on the page is in " + quantity.ASCII(u.Symbol)
		}
		return fmt.Errorf("the reading %s: %w%s", name, err, hint)
	}
	if n.taken == nil {
		n.taken = map[*reading]quantity.Value{}
	}
	n.taken[rd] = v
	return nil
}

// WorkedOut gives the names of the values that draw on readings, all of which are known.
func (n *Numbers) WorkedOut() []string {
	var out []string
	for _, v := range n.plan.order[procedure.Single] {
		if v.drawsOn() && !slices.ContainsFunc(v.drawn(), func(rd *reading) bool { _, known := n.taken[rd]; return !known }) {
			out = append(out, v.Name)
		}
	}
	return out
}

// Worked works a value out from the readings that are known. It gives its entry and the
// verdict on it, nil where it is held to nothing. The error says what is wanted.
func (n *Numbers) Worked(name string) (*packet.Entry, *Verdict, error) {
	src, _ := n.Procedure.Find(procedure.ParseName(name))
	v := n.plan.values[src]
	if src == nil || v == nil || v.Group != procedure.Single {
		known := make([]string, 0, len(n.plan.order[procedure.Single]))
		for _, v := range n.plan.order[procedure.Single] {
			known = append(known, v.Name)
		}
		return nil, nil, fmt.Errorf("procedure %s has no value %q; %s", n.Procedure.Name, name, cmp.Or(diag.DidYouMean(name, known), "there are "+diag.Some(known, 8)))
	}
	res := n.Result(v, "")
	switch {
	case res.err != nil:
		return nil, nil, fmt.Errorf("%s: %w", name, res.err)
	case len(res.missing) > 0:
		return nil, nil, fmt.Errorf("%s needs what is not on record: %s", name, strings.Join(res.Lacks(), ", "))
	case res.waiting():
		var flags []string
		for _, list := range res.waits {
			for _, rd := range list {
				flag := "--reading " + strings.TrimPrefix(rd.name, "readings.") + "=..."
				if u, ok := n.UnitOf(rd.Blank); ok {
					flag += quantity.ASCII(u.Symbol)
				}
				flags = appendNew(flags, flag)
			}
		}
		return nil, nil, fmt.Errorf("%s draws on readings that are not given; add %s", name, strings.Join(flags, " "))
	case res.Without:
		return nil, nil, fmt.Errorf("%s does not apply to unit %s", name, n.Unit.ID)
	}
	n.explain(res)
	e := n.working.of(res.Name)
	e.Printed, e.Rounded = n.printedText(res, e.Exactly), n.rounded(res)
	target := res.got[procedure.Target]
	if target == nil || !res.limited() {
		return e, nil, nil
	}
	return e, n.verdict(res.Name, res.quantity(target), res.band(), res.Show), nil
}

// Judged gives the verdicts on the readings that are known and held to limits, by name.
func (n *Numbers) Judged() []Verdict {
	var out []Verdict
	for _, full := range slices.Sorted(maps.Keys(n.plan.readings)) {
		rd := n.plan.readings[full]
		v, known := n.taken[rd]
		if !known {
			continue
		}
		var band quantity.Band
		show := quantity.ShowFor(quantity.KindNumber)
		for end, ref := range map[procedure.End]*procedure.Ref{procedure.Low: rd.Blank.Low, procedure.High: rd.Blank.High} {
			if ref == nil {
				continue
			}
			limit, s, ok := n.limit(ref.Name, end)
			switch {
			case !ok:
			case end == procedure.Low:
				band.Low, show = &limit, s
			default:
				band.High, show = &limit, s
			}
		}
		if band.Low != nil || band.High != nil {
			out = append(out, *n.verdict(rd.name, v, band, show))
		}
	}
	return out
}

// limit gives an end of what a blank is held to, and how it prints; ok is false where it
// is not known.
func (n *Numbers) limit(name string, end procedure.End) (v quantity.Value, show quantity.Show, ok bool) {
	switch r := n.ref(name); {
	case r == nil:
	case r.term != nil:
		s, have := n.Book.Scalar(n.Unit, r.term.Name)
		show = r.term.Show
		switch {
		case !have:
		case s.Form == record.FormAmount:
			return s.Value, recordedShow(show, s.Value), true
		case s.Form == record.FormBand:
			show = show.Following(*s.Band.Low, *s.Band.High)
			if show.Way = ways[end]; end == procedure.Low {
				return *s.Band.Low, show, true
			}
			return *s.Band.High, show, true
		}
	case r.value != nil:
		res := n.Result(r.value, r.of("").member)
		show = res.Show
		if r.end != procedure.Whole {
			end = r.end
		}
		if !res.Value.Band() {
			end = procedure.Whole
		} else {
			show.Way = ways[end]
		}
		if got := res.got[end]; got != nil {
			return res.quantity(got), show, true
		}
	}
	return v, show, false
}

// verdict holds an amount to a band as it prints.
func (n *Numbers) verdict(name string, v quantity.Value, b quantity.Band, show quantity.Show) *Verdict {
	g := show.Grain[n.System]
	value := v.Plain()
	if _, written := v.Written(); !written {
		value = g.Unit.Join(strings.Replace(quantity.Figures(v.In(g.Unit), 7), ".", n.Decimal, 1))
	}
	return &Verdict{Name: name, Value: value, Limits: n.bandText(b, show), Within: g.Holds(b, v)}
}
