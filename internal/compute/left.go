package compute

import (
	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
)

// Left decides an optional condition for the rules of order, without a word on a
// page: yes where it holds, or else what is left of it that the records do not decide;
// nil where it does not hold.
func (n *Numbers) Left(e *formula.Expr) (yes bool, left *formula.Open) {
	f := n.form(e)
	if f == nil {
		return true, nil
	}
	yes, known := n.known(f)
	if known {
		return yes, nil
	}
	names := &names{recorded: n.plans.recorded, plan: n.plan, members: membersOf(n.Book)}
	return false, e.Left(func(part *formula.Expr) (bool, bool) {
		f, problems := names.condition(part)
		if f == nil || problems.HasErrors() {
			return false, false
		}
		return n.known(f)
	})
}

// known evaluates a condition; known is false where the records do not decide it, or
// it has no answer.
func (n *Numbers) known(f *compiled) (yes, known bool) {
	got, missing, err := n.eval(f, "", nil)
	if err != nil || len(missing) > 0 {
		return false, false
	}
	return missing == nil && got.Value.Yes, true
}

// facts are what the rules of order ask of a unit's liquid, as conditions over terms.
// The margins are those of the fragment liquid-dangers: 20 K below boiling is common practice,
// 16.7 K below the flash point that of 29 CFR 1910.106(a)(19), both from memory.
var facts = map[string]string{
	"flammable": `not none(liquid.flash_point) and heated_category(liquid.flash_point, none(liquid.boiling_point) ? q("700 degC") : liquid.boiling_point, duty.temperature) > 0`,
	"gas":       `known(liquid.gas)`,
	"hot-liquid": `not none(liquid.boiling_point) and duty.temperature > (known(liquid.vapour.at) ? boiling_at(site.air_pressure, liquid.boiling_point, q("1.01325 bar(a)"), liquid.vapour.at, liquid.vapour.pressure) : liquid.boiling_point) - q("20 K")` +
		` or not none(liquid.flash_point) and liquid.flash_point - q("16.7 K") > site.surroundings and duty.temperature > liquid.flash_point - q("16.7 K")`,
	"hot-metal": `duty.temperature > touch_limit("bare metal", q("1 min"))`,
	"flush":     `liquid.flush.medium != "none"`,
	"solid":     `not none(liquid.freezing_point) and liquid.freezing_point > site.surroundings - q("5 K")`,
}

// compileFacts compiles the facts. One that a site's terms do not let compile stays
// open.
func compileFacts(recorded map[string]*ref) map[string]*compiled {
	k := &names{recorded: recorded}
	out := make(map[string]*compiled, len(facts))
	for name, text := range facts {
		if f, problems := k.condition(formula.Parse(text, diag.Pos{})); !problems.HasErrors() {
			out[name] = f
		}
	}
	return out
}

// Fact decides something that the rules of order ask of the unit, by its name there: by
// what the procedure says that it holds, and for one with a liquid by the records.
// known is false where they do not decide it.
func (n *Numbers) Fact(name string, liquid bool) (yes, known bool) {
	known = true
	ask := func(f *compiled) {
		y, k := n.known(f)
		yes, known = yes || y && k, known && k
	}
	if f := n.plans.facts[name]; f != nil && liquid {
		ask(f)
	}
	for _, h := range n.Procedure.Holds {
		if f := n.form(h.When); f != nil && h.Fact.Name == name {
			ask(f)
		}
	}
	return yes, known || yes
}
