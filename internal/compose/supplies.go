package compose

import (
	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/record"
)

// pulled is what is pulled for a size, its kits and supplies, with the conditions
// compiled.
type pulled struct {
	kits     []*formula.Formula // beside Size.Kits; nil: always
	supplies []*formula.Formula
}

// compilePulled compiles the conditions of a size's kits and supplies, which may
// name the terms.
func compilePulled(s *record.Size, scope formula.Scope) (*pulled, diag.List) {
	var list diag.List
	when := func(t record.Text) *formula.Formula {
		if !t.Known() {
			return nil
		}
		f, problems := condition(t.S, scope, t.Pos(0))
		list = append(list, problems...)
		return f
	}
	out := &pulled{}
	for _, k := range s.Kits {
		out.kits = append(out.kits, when(k.When))
	}
	for _, u := range s.Supplies {
		out.supplies = append(out.supplies, when(u.When))
	}
	return out, list
}

// wanted decides a compiled condition; sure is false where the records do not say.
func (r *run) wanted(f *formula.Formula) (yes, sure bool) {
	if f == nil {
		return true, true
	}
	yes, undecided := r.decide(f)
	return yes || len(undecided) > 0, len(undecided) == 0
}
