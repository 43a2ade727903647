package compute

import (
	"cmp"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// conditions compiles the conditions and the numbers of figures.
func (k *compiler) conditions() {
	k.pl.proc.Conditions(func(e *formula.Expr) {
		if k.unknownReading(e) {
			return
		}
		f, list := k.names.condition(e)
		k.problems = append(k.problems, list...)
		k.notDrawn(f, e.At, "a condition")
		k.pl.forms[e] = f
	})
	k.pl.proc.Figures(func(f *procedure.Figure) {
		for _, n := range f.Numbers {
			if k.unknownReading(n.Is) {
				continue
			}
			c := k.check(n.Is, procedure.Single, quantity.KindLength)
			k.notDrawn(c, n.Is.At, "a drawing")
			k.pl.forms[n.Is] = c
			if c != nil && c.Type().Sort != formula.Quantity {
				k.problems.Errorf(n.Is.At, "dimension", "", "the figure's %s is a number; this is %s", n.Key, c.Type())
			}
		}
	})
}

// condition compiles a condition, which is yes or no.
func (k *names) condition(e *formula.Expr) (*compiled, diag.List) {
	f, list := k.check(e, procedure.Single, quantity.KindLength)
	if f != nil && f.Type().Sort != formula.YesNo {
		list.Errorf(e.At, "condition", `compare it, such as built.seal == "component"`, "a condition is yes or no; this is %s", f.Type())
	}
	return f, list
}

// texts finds what the names in texts, tables and blanks stand for. A term that is a
// band is in no scope, and prints whole.
func (k *compiler) texts() {
	check := func(name string, at diag.Pos) {
		r := k.names.find(name, procedure.Single)
		if r != nil || k.noSuchReading(name, at) {
			return
		}
		hint := cmp.Or(diag.DidYouMean(name, slices.Sorted(slices.Values(scope{k.names, procedure.Single, quantity.KindLength}.Names()))), "name a term, a value of this procedure, or a word such as unit.id")
		k.problems.Errorf(at, "unknown-name", hint, "nothing is named %s", name)
	}
	k.pl.proc.Texts(func(t procedure.Text) {
		for _, part := range t.Parts {
			if part.Name != "" {
				check(part.Name, part.At)
			}
		}
	})
	k.pl.proc.Refs(func(r *procedure.Ref) { check(r.Name, r.At) })
}

// pulled is what is pulled for a size, its kits and supplies, with the conditions
// compiled.
type pulled struct {
	kits     []*compiled // beside Size.Kits; nil: always
	supplies []*compiled
}

// compilePulled compiles the conditions of a size's kits and supplies, which may
// name the terms.
func (c *Plans) compilePulled(s *record.Size) (*pulled, diag.List) {
	var list diag.List
	k := &names{recorded: c.recorded}
	when := func(t record.Text) *compiled {
		if !t.Known() {
			return nil
		}
		f, problems := k.condition(formula.Parse(t.S, t.Pos(0)))
		list = append(list, problems...)
		return f
	}
	out := &pulled{}
	for _, kit := range s.Kits {
		out.kits = append(out.kits, when(kit.When))
	}
	for _, u := range s.Supplies {
		out.supplies = append(out.supplies, when(u.When))
	}
	return out, list
}

// WantsKit decides whether the unit takes a kit of its size, by its index; sure is
// false where the records do not say.
func (n *Numbers) WantsKit(i int) (yes, sure bool) { return n.wants(n.pulled.kits[i]) }

// WantsSupply decides whether the unit takes a supply of its size, by its index;
// one is taken where the records do not say.
func (n *Numbers) WantsSupply(i int) bool {
	yes, _ := n.wants(n.pulled.supplies[i])
	return yes
}

func (n *Numbers) wants(f *compiled) (yes, sure bool) {
	if f == nil {
		return true, true
	}
	yes, undecided := n.decide(f)
	return yes || len(undecided) > 0, len(undecided) == 0
}

// form gives the compiled formula of a condition; nil where there is none.
func (n *Numbers) form(e *formula.Expr) *compiled {
	if e == nil {
		return nil
	}
	return n.plan.forms[e]
}

// decide evaluates a condition. undecided says what is not on record.
func (n *Numbers) decide(f *compiled) (yes bool, undecided []gap) {
	got, missing, err := n.eval(f, "", nil)
	if err == nil {
		err = failing(missing)
	}
	if err != nil {
		n.fault(err, "condition "+f.Text())
		return false, nil
	}
	if len(missing) > 0 {
		return false, missing
	}
	return missing == nil && got.Value.Yes, nil
}

// Applies decides an optional condition. only is what to print before a step whose
// condition cannot be decided.
func (n *Numbers) Applies(e *formula.Expr) (yes bool, only packet.Phrase) {
	f := n.form(e)
	if f == nil {
		return true, nil
	}
	yes, undecided := n.decide(f)
	if len(undecided) > 0 && n.Blank {
		return true, packet.Phrase{{Text: n.Word("may_apply")}}
	}
	if len(undecided) > 0 {
		for _, g := range undecided {
			n.missing[g.Name] = append(n.missing[g.Name], "the condition "+f.Text())
			n.lacks(g.Name)
		}
		return true, packet.Phrase{{Text: n.Word("may_apply")}}
	}
	return yes, nil
}

// Because gives what a condition was decided by: each name in it with its value, as
// recorded or unrounded; "" where it is not on record.
func (n *Numbers) Because(e *formula.Expr) [][2]string {
	f := n.form(e)
	if f == nil {
		return nil
	}
	var out [][2]string
	for _, ref := range f.refs {
		u := ref.of("")
		value := ""
		switch {
		case u.term != nil:
			if s, ok := n.Book.Scalar(n.Unit, u.term.Name); ok {
				value = s.Written
			}
		case u.word != nil:
			value = u.word(n).S
		case u.energy != "":
			if yes, known := n.holds(u.energy); known {
				value = n.yesNo(yes)
			}
		case u.value != nil:
			res := n.Result(u.value, u.member)
			if part := res.at(u.end); part != nil {
				value = n.exactly(res, part)
			}
		default:
			value = n.property(u).written
		}
		if strings.HasSuffix(u.full(), ".none") && value != "" {
			continue // the name itself is among them
		}
		out = append(out, [2]string{u.full(), value})
	}
	return out
}

// Amount works out a number of a drawing, which belongs to what. missing names what is
// not on record; ok is false where the number has no answer, which is reported.
func (n *Numbers) Amount(e *formula.Expr, what string) (v quantity.Value, missing []string, ok bool) {
	f := n.form(e)
	got, gaps, err := n.eval(f, "", nil)
	if err == nil && n.doubt == 0 {
		err = failing(gaps)
	}
	switch {
	case err != nil:
		n.fault(err, what)
		return v, nil, false
	case gaps != nil:
		return v, namesOf(gaps), true
	}
	return quantity.OfType(got.Value.SI, f.Type().Quantity), nil, true
}

// lacks notes what a sheet lacks, in words, for Unknown.
func (n *Numbers) lacks(name string) {
	if w := n.inWords(name); !slices.Contains(n.unknown, w) {
		n.unknown = append(n.unknown, w)
	}
}

// Unknown says in words what was wanted and is not on record since it was last asked:
// a sheet names it once, in one line.
func (n *Numbers) Unknown() []string {
	defer func() { n.unknown = nil }()
	return n.unknown
}

// inWords gives what a name on record stands for, as a mechanic would say it.
func (n *Numbers) inWords(name string) string {
	if t := n.Book.TermOf(n.Unit, name); t != nil {
		return n.What(t)
	}
	of := procedure.ParseName(name)
	if _, is := ready[of.Group][of.Rest]; is && of.Group != procedure.Single {
		what := of.Member
		if p := n.property(propertyOf(of.Group, of.Member, "what")); p.known {
			what = p.value.Text
		}
		return what + ", " + n.propertyWord(of.Rest)
	}
	if w := n.plans.words.Get("compose.unknown." + name); w != "" {
		return w
	}
	_, own, _ := strings.Cut(name, ".") // a part that the design does not have at all
	return strings.ReplaceAll(cmp.Or(own, name), "_", " ")
}

// Suppose begins the rendering of what depends on an undecided condition, and gives
// the function that ends it. Until then a formula without an answer prints as NOT
// ON RECORD instead of refusing the packet: what the condition would have kept it
// from is not known.
func (n *Numbers) Suppose(only packet.Phrase) (end func()) {
	if only == nil {
		return func() {}
	}
	n.doubt++
	return func() { n.doubt-- }
}
