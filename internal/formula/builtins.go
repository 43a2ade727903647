package formula

import (
	"errors"
	"math"

	"github.com/expr-lang/expr/ast"

	"jobsheaf/internal/quantity"
)

// builtins are the few functions that every expression has besides those of the
// calc packages; most of them work on more than one kind of quantity.
var builtins = []string{
	"abs",   // abs(x): the amount without its sign
	"ceil",  // ceil(x): the number, up to a whole one
	"floor", // floor(x): the number, down to a whole one
	"known", // known(name): whether the name is on record
	"max",   // max(x, y, ...): the greatest of several of one kind
	"min",   // min(x, y, ...): the least of several of one kind
	"none",  // none(name): whether the record says none, as of the flash point of a liquid that does not flash
	"q",     // q("0.5 mm"): a constant with its unit
	"round", // round(x): the number, to the nearest whole one, halves away from zero
	"sqrt",  // sqrt(x): the square root; of an area, a length
}

// noneSuffix ends the yes-or-no name beside that of a term that may be none.
const noneSuffix = ".none"

// builtin checks a call of one of the builtins.
func (c *compiler) builtin(at int, name string, args []ast.Node) (part, bool) {
	switch name {
	case "known", "none":
		return c.asks(at, name, args)
	case "q":
		return c.constant(at, args)
	case "min", "max":
		return c.extreme(at, name, args)
	}
	return c.single(at, name, args)
}

// asks checks known(name) and none(name). A name that a record may give as none
// has a yes-or-no name beside it, NAME.none; there is no value of the name then.
func (c *compiler) asks(at int, word string, args []ast.Node) (part, bool) {
	if len(args) != 1 {
		return c.fail(at, ruleArguments, "write it as "+word+"(liquid.flash_point)", "%s takes one name, found %s", word, arguments(len(args)))
	}
	name, _, ok := c.resolve(args[0])
	if !ok {
		return part{}, false
	}
	if word == "none" {
		beside := name + noneSuffix
		if t, ok := c.scope.Type(beside); !ok || t.Sort != YesNo {
			return c.fail(start(args[0]), "formula-name", "none is for terms that say none: true", "%s can never be none", name)
		}
		return part{typ: Type{Sort: YesNo}, run: look(c.slot(beside))}, true
	}
	slot := c.slot(name)
	return part{typ: Type{Sort: YesNo}, run: func(env Env) cell {
		_, known := env(slot)
		return cell{v: Value{Yes: known}}
	}}, true
}

// constant checks q("0.5 mm").
func (c *compiler) constant(at int, args []ast.Node) (part, bool) {
	const rule, hint = "formula-constant", `write it as q("0.5 mm")`
	if len(args) != 1 {
		return c.fail(at, rule, hint, "q takes one text, found %s", arguments(len(args)))
	}
	text, ok := args[0].(*ast.StringNode)
	if !ok {
		return c.fail(start(args[0]), rule, hint, "q takes a text in quotes")
	}
	v, err := quantity.ParseAny(text.Value)
	if err != nil {
		from := start(args[0])
		var pe *quantity.ParseError
		if errors.As(err, &pe) {
			from += 1 + pe.Offset
		}
		return c.fail(from, rule, hint, "%s", err)
	}
	return constant(Type{Quantity: v.Type()}, Value{SI: v.SI()}), true
}

// extreme checks min and max.
func (c *compiler) extreme(at int, word string, args []ast.Node) (part, bool) {
	if len(args) < 2 {
		return c.fail(at, ruleArguments, "write it as "+word+"(a, b)", "%s takes two arguments or more, found %d", word, len(args))
	}
	ps, ok := c.all(args...)
	if !ok {
		return part{}, false
	}
	out := part{typ: ps[0].typ, fixed: true, bare: true}
	for _, p := range ps {
		if !c.wants(p, Quantity, word) {
			return part{}, false
		}
		if p.typ.Quantity != out.typ.Quantity {
			return c.fail(p.from, ruleKind, kindHint(ps[0], p), "%s wants one kind, found %s and %s", word, describe(ps[0]), describe(p))
		}
		out.fixed, out.bare = out.fixed && p.fixed, out.bare && p.bare
	}
	pick := math.Min
	if word == "max" {
		pick = math.Max
	}
	out.run = func(env Env) cell {
		best, cells := 0, make([]cell, len(ps))
		settled := true
		for i, p := range ps {
			x := p.run(env)
			cells[i] = x
			settled = settled && x.err == nil && len(x.missing) == 0
			if x.v.SI != cells[best].v.SI && pick(cells[best].v.SI, x.v.SI) == x.v.SI {
				best = i
			}
		}
		if !settled {
			return unsettled(cells...)
		}
		return cell{v: cells[best].v, governed: []Governing{{Taken: args[best].String()}}}.under(cells[best])
	}
	return out, true
}

// single checks the built-ins of one argument.
func (c *compiler) single(at int, word string, args []ast.Node) (part, bool) {
	if len(args) != 1 {
		return c.fail(at, ruleArguments, "write it as "+word+"(x)", "%s takes one argument, found %d", word, len(args))
	}
	p, ok := c.node(args[0])
	if !ok || !c.wants(p, Quantity, word) {
		return part{}, false
	}
	t := p.typ.Quantity
	compute := map[string]func(float64) float64{"abs": math.Abs, "sqrt": math.Sqrt, "round": math.Round, "floor": math.Floor, "ceil": math.Ceil}[word]
	switch {
	case t.Datum != quantity.Difference:
		return c.fail(p.from, ruleKind, "take the difference of two of them", "%s is a point on a scale and has no %s", p.typ, word)
	case word == "sqrt":
		d := t.Dim
		if d.L%2 != 0 || d.M%2 != 0 || d.T%2 != 0 || d.K%2 != 0 || d.A%2 != 0 || d.I%2 != 0 {
			return c.fail(p.from, ruleKind, "the root of an area is a length", "%s has no square root with a unit", p.typ)
		}
		t.Dim = quantity.Dim{L: d.L / 2, M: d.M / 2, T: d.T / 2, K: d.K / 2, A: d.A / 2, I: d.I / 2}
	case word != "abs" && t != (quantity.Type{}):
		return c.fail(p.from, ruleKind, "divide by the step first, as in "+word+`(x / q("0.5 mm")) * q("0.5 mm")`, "%s wants a number, found %s", word, p.typ)
	}
	place := c.pos(at)
	return part{typ: Type{Quantity: t}, fixed: p.fixed, bare: p.bare, run: func(env Env) cell {
		x := p.run(env)
		switch {
		case x.err != nil || len(x.missing) > 0:
			return x
		case word == "sqrt" && x.v.SI < 0:
			return cell{err: &Error{place, errors.New("the square root of a number below zero")}}
		}
		return cell{v: Value{SI: compute(x.v.SI)}}.under(x)
	}}, true
}
