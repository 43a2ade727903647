package formula

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"

	"jobsheaf/internal/diag"
)

// sameness is how near two numbers count as equal, as a part of the greater: 25.4 mm
// is 1 in, though their binary metres differ in the last digit.
const sameness = 1e-9

// either joins two conditions: "or" is decided by a yes on either side, "and" by
// a no. The second side is not evaluated where the first decides, so that the
// first may guard it; where the first depends on a missing name the second may
// still decide, and its faults, which the first may guard against, do not count.
func either(a, b eval, decides bool) eval {
	return func(env Env) cell {
		x := a(env)
		if x.err != nil || len(x.missing) == 0 && x.v.Yes == decides {
			return x
		}
		y := b(env)
		switch {
		case len(x.missing) == 0:
			return y
		case y.err != nil:
			return x
		case len(y.missing) == 0 && y.v.Yes == decides:
			return y
		}
		return cell{missing: join(x.missing, y.missing)}
	}
}

// compare checks a comparison: of two quantities of one type, of two texts that
// can be alike, or of two yes-or-no values.
func (c *compiler) compare(op string, at int, a, b part) (part, bool) {
	p := part{typ: Type{Sort: YesNo}, fixed: a.fixed && b.fixed}
	if a.typ.Sort != b.typ.Sort {
		return c.fail(at, ruleKind, `write text in quotes, and yes or no as true or false`, "cannot compare %s with %s", describe(a), describe(b))
	}
	order := op != "==" && op != "!="
	var test func(x, y Value) bool
	switch a.typ.Sort {
	case Quantity:
		if a.typ.Quantity != b.typ.Quantity {
			return c.fail(at, ruleKind, kindHint(a, b), "cannot compare %s with %s", describe(a), describe(b))
		}
		test, p.measured = comparison(op), true
	case Text:
		if !c.alike(a, b) {
			return part{}, false
		}
		test = func(x, y Value) bool { return (x.Text == y.Text) == (op == "==") }
	case YesNo:
		test = func(x, y Value) bool { return (x.Yes == y.Yes) == (op == "==") }
	}
	if order && a.typ.Sort != Quantity {
		return c.fail(at, ruleKind, "compare with == or !=", "%s has no order", describe(a))
	}
	p.run = func(env Env) cell {
		x, y := a.run(env), b.run(env)
		if x.err != nil || y.err != nil || len(x.missing)+len(y.missing) > 0 {
			return unsettled(x, y)
		}
		return cell{v: Value{Yes: test(x.v, y.v)}}
	}
	return p, true
}

// comparison compares numbers; those within sameness of each other are equal.
func comparison(op string) func(x, y Value) bool {
	return func(x, y Value) bool {
		same := math.Abs(x.SI-y.SI) <= sameness*max(math.Abs(x.SI), math.Abs(y.SI))
		switch op {
		case "==":
			return same
		case "!=":
			return !same
		case "<":
			return x.SI < y.SI && !same
		case "<=":
			return x.SI < y.SI || same
		case ">":
			return x.SI > y.SI && !same
		}
		return x.SI > y.SI || same
	}
}

// alike says whether two texts can be the same; a word that a term can never be
// is a misspelling.
func (c *compiler) alike(a, b part) bool {
	if a.typ.OneOf == nil || b.typ.OneOf == nil {
		return true
	}
	if slices.ContainsFunc(a.typ.OneOf, func(w string) bool { return slices.Contains(b.typ.OneOf, w) }) {
		return true
	}
	if a.fixed && !b.fixed {
		a, b = b, a
	}
	hint := ""
	if len(b.typ.OneOf) == 1 {
		if near := diag.Nearest(b.typ.OneOf[0], a.typ.OneOf); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
	}
	_, ok := c.fail(b.from, "formula-word", hint, "%s can never be the other side, which is one of %s", quoted(b.typ.OneOf), strings.Join(a.typ.OneOf, ", "))
	return ok
}

func quoted(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = fmt.Sprintf("%q", w)
	}
	return strings.Join(out, ", ")
}

// among checks "text in [list of texts]".
func (c *compiler) among(n *ast.BinaryNode) (part, bool) {
	a, ok := c.node(n.Left)
	list, isList := n.Right.(*ast.ArrayNode)
	if !isList || len(list.Nodes) == 0 {
		return c.fail(start(n.Right), ruleSyntax, `write it as built.seal in ["component", "cartridge"]`, "in wants a list of texts")
	}
	words, fine := c.all(list.Nodes...)
	if !ok || !fine || !c.wants(a, Text, "in") {
		return part{}, false
	}
	set := map[string]bool{}
	for _, w := range words {
		switch {
		case !w.fixed:
			_, ok = c.fail(w.from, ruleKind, `write it as built.seal in ["component", "cartridge"]`, "the list after in holds texts, found a name")
		case !c.wants(w, Text, "the list after in") || !c.alike(a, w):
			ok = false
		default:
			set[w.run(nil).v.Text] = true
		}
	}
	inner := a.run
	return part{typ: Type{Sort: YesNo}, fixed: a.fixed, run: func(env Env) cell {
		v := inner(env)
		if v.err != nil || len(v.missing) > 0 {
			return v
		}
		return cell{v: Value{Yes: set[v.v.Text]}}
	}}, ok
}

// choice checks "condition ? one : other"; both sides are of one type, and only
// the one that is chosen is evaluated.
func (c *compiler) choice(n *ast.ConditionalNode) (part, bool) {
	ps, ok := c.all(n.Cond, n.Exp1, n.Exp2)
	if !ok || !c.wants(ps[0], YesNo, "a choice") {
		return part{}, false
	}
	cond, one, other := ps[0], ps[1], ps[2]
	t := one.typ
	switch {
	case one.typ.Sort != other.typ.Sort || one.typ.Quantity != other.typ.Quantity:
		return c.fail(other.from, ruleKind, kindHint(one, other), "the sides of a choice differ: %s and %s", describe(one), describe(other))
	case one.typ.OneOf == nil || other.typ.OneOf == nil:
		t.OneOf = nil
	default:
		t.OneOf = slices.Concat(one.typ.OneOf, other.typ.OneOf)
		slices.Sort(t.OneOf)
		t.OneOf = slices.Compact(t.OneOf)
	}
	tells := cond.measured && t.Sort == Quantity
	taken := map[bool]Governing{
		true:  {Taken: n.Exp1.String(), When: n.Cond.String(), Yes: true},
		false: {Taken: n.Exp2.String(), When: n.Cond.String()},
	}
	return part{typ: t, fixed: cond.fixed && one.fixed && other.fixed, run: func(env Env) cell {
		x := cond.run(env)
		if x.err != nil || len(x.missing) > 0 {
			return x
		}
		side := other
		if x.v.Yes {
			side = one
		}
		y := side.run(env)
		if tells {
			y.governed = append([]Governing{taken[x.v.Yes]}, y.governed...)
		}
		return y
	}}, true
}
