package formula

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

const (
	ruleKind = "formula-kind"
	// sameness is how near two numbers count as equal, as a part of the greater:
	// 25.4 mm is 1 in, though their binary metres differ in the last digit.
	sameness = 1e-9
	// steepest is the highest exponent of any base unit that a formula may reach.
	steepest = 12
)

// unary checks a sign or a not.
func (c *compiler) unary(n *ast.UnaryNode) (part, bool) {
	p, ok := c.node(n.Node)
	if !ok {
		return p, false
	}
	inner := p.run
	if n.Operator == "not" || n.Operator == "!" {
		if ok := c.wants(p, YesNo, "not"); !ok {
			return part{}, false
		}
		return part{typ: p.typ, fixed: p.fixed, measured: p.measured, run: func(env Env) cell {
			v := inner(env)
			v.v.Yes = !v.v.Yes
			return v
		}}, true
	}
	if ok := c.wants(p, Quantity, n.Operator); !ok {
		return part{}, false
	}
	if p.typ.Quantity.Datum != quantity.Difference {
		return c.fail(p.from, ruleKind, "subtract it from another, or from a constant such as q(\"0 degC\")", "%s is a point on a scale and takes no sign", p.typ)
	}
	if n.Operator == "+" {
		return p, true
	}
	return part{typ: p.typ, fixed: p.fixed, bare: p.bare, run: func(env Env) cell {
		v := inner(env)
		v.v.SI = -v.v.SI
		return v
	}}, true
}

// wants holds a part to a sort of value.
func (c *compiler) wants(p part, s Sort, by string) bool {
	if p.typ.Sort == s {
		return true
	}
	want, hint := "number", "compare texts with == or in"
	switch s {
	case YesNo:
		want, hint = "yes or no", "compare it, as in duty.speed > q(\"280 rpm\")"
	case Text:
		want, hint = "text", "write text in quotes, as in \"component\""
	}
	_, ok := c.fail(p.from, ruleKind, hint, "%s wants %s, found %s", by, want, describe(p))
	return ok
}

// describe says what a part is, for messages.
func describe(p part) string {
	switch {
	case p.bare:
		return "a bare number"
	case p.typ.Sort == Text && len(p.typ.OneOf) == 1 && p.fixed:
		return fmt.Sprintf("the text %q", p.typ.OneOf[0])
	case p.typ.Sort == Text:
		return "text"
	}
	return p.typ.String()
}

// binary checks an operator between two parts.
func (c *compiler) binary(n *ast.BinaryNode) (part, bool) {
	op := n.Operator
	switch op {
	case "in":
		return c.among(n)
	case "and", "&&", "or", "||", "+", "-", "*", "/", "**", "^", "==", "!=", "<", "<=", ">", ">=":
	default:
		return c.fail(n.Location().From, ruleSyntax, "use + - * / **, == != < <= > >=, and, or, not, in", "the operator %q has no meaning here", op)
	}
	ps, ok := c.all(n.Left, n.Right)
	if !ok {
		return part{}, false
	}
	a, b := ps[0], ps[1]
	at := n.Location().From
	switch op {
	case "and", "&&", "or", "||":
		okA, okB := c.wants(a, YesNo, op), c.wants(b, YesNo, op)
		decides := op == "or" || op == "||"
		return part{typ: Type{Sort: YesNo}, fixed: a.fixed && b.fixed, measured: a.measured || b.measured, run: either(a.run, b.run, decides)}, okA && okB
	case "==", "!=", "<", "<=", ">", ">=":
		return c.compare(op, at, a, b)
	}
	okA, okB := c.wants(a, Quantity, op), c.wants(b, Quantity, op)
	if !okA || !okB {
		return part{}, false
	}
	return c.arithmetic(op, at, a, b)
}

// either joins two conditions: "or" is decided by a yes on either side, "and" by
// a no. The second side is not evaluated where the first decides, so that the
// first may guard it; where the first hangs on a missing name the second may
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

// join puts two lists of missing names together without touching either.
func join(a, b []string) []string {
	switch {
	case len(a) == 0:
		return b
	case len(b) == 0:
		return a
	}
	return slices.Concat(a, b)
}

// arithmetic checks + - * / and powers.
func (c *compiler) arithmetic(op string, at int, a, b part) (part, bool) {
	x, y := a.typ.Quantity, b.typ.Quantity
	var t quantity.Type
	var err error
	var compute func(x, y float64) float64
	switch op {
	case "+":
		t, err = x.Plus(y)
		compute = func(x, y float64) float64 { return x + y }
	case "-":
		t, err = x.Minus(y)
		compute = func(x, y float64) float64 { return x - y }
	case "*":
		t, err = x.Times(y)
		compute = func(x, y float64) float64 { return x * y }
	case "/":
		t, err = x.Over(y)
		compute = func(x, y float64) float64 { return x / y }
	default:
		t, err = power(a, b)
		compute = math.Pow
	}
	if err == nil && steep(t.Dim) {
		err = fmt.Errorf("the result would be in %s, which measures nothing", t)
	}
	if err != nil {
		hint := ""
		if op == "+" || op == "-" {
			hint = kindHint(a, b)
		}
		return c.fail(at, ruleKind, hint, "%s", err)
	}
	place := c.pos(at)
	return part{typ: Type{Quantity: t}, fixed: a.fixed && b.fixed, bare: a.bare && b.bare, run: func(env Env) cell {
		x, y := a.run(env), b.run(env)
		if x.err != nil || y.err != nil || len(x.missing)+len(y.missing) > 0 {
			return unsettled(x, y)
		}
		if op == "/" && y.v.SI == 0 {
			return cell{err: &Error{place, errors.New("division by zero")}}
		}
		return settled(compute(x.v.SI, y.v.SI), t, place).under(x, y)
	}}, true
}

// unsettled gives what stands in the way of a value: the first error, else the
// missing names of all.
func unsettled(cells ...cell) cell {
	var out cell
	for _, x := range cells {
		if x.err != nil {
			return cell{err: x.err}
		}
		out.missing = join(out.missing, x.missing)
	}
	return out
}

// settled holds a computed number to what its type can be.
func settled(x float64, t quantity.Type, place diag.Pos) cell {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return cell{err: &Error{place, errors.New("the result is not a finite number")}}
	case x < 0 && t.Datum == quantity.AbsoluteZero:
		return cell{err: &Error{place, errors.New("the result is a temperature below absolute zero")}}
	case x < 0 && t.Datum == quantity.Vacuum:
		return cell{err: &Error{place, errors.New("the result is a pressure below vacuum")}}
	}
	return cell{v: Value{SI: x}}
}

// power gives the type of a power: of a number any, of a quantity a whole one
// that stands in the text.
func power(a, b part) (quantity.Type, error) {
	if b.typ.Quantity != (quantity.Type{}) {
		return quantity.Type{}, fmt.Errorf("an exponent is a number, found %s", b.typ)
	}
	if a.typ.Quantity == (quantity.Type{}) {
		return quantity.Type{}, nil
	}
	if a.typ.Quantity.Datum != quantity.Difference {
		return quantity.Type{}, fmt.Errorf("%s is a point on a scale and has no powers", a.typ)
	}
	e := 0.5
	if b.fixed {
		e = b.run(nil).v.SI
	}
	if e != math.Trunc(e) || math.Abs(e) > steepest {
		return quantity.Type{}, fmt.Errorf("a power of %s wants a whole number in the text, such as ** 2", a.typ)
	}
	var t quantity.Type
	for range int(math.Abs(e)) {
		if e > 0 {
			t, _ = t.Times(a.typ.Quantity)
		} else {
			t, _ = t.Over(a.typ.Quantity)
		}
		if steep(t.Dim) {
			break
		}
	}
	return t, nil
}

// steep says that a dimension is beyond anything that a formula of the trade
// reaches; its exponents would in the end overflow.
func steep(d quantity.Dim) bool {
	for _, e := range []int8{d.L, d.M, d.T, d.K, d.A} {
		if e > steepest || e < -steepest {
			return true
		}
	}
	return false
}

// kindHint says how two kinds that do not fit are brought together.
func kindHint(a, b part) string {
	if a.bare && !b.bare {
		a, b = b, a
	}
	k, named := a.typ.Quantity.Kind()
	switch {
	case a.typ.Sort != Quantity || b.typ.Sort != Quantity:
		return ""
	case b.bare && named && k != quantity.KindNumber:
		return "write the constant with its unit, as " + constantText(k)
	case a.typ.Quantity.Dim == b.typ.Quantity.Dim && a.typ.Quantity.Dim == quantity.KindPressure.Type().Dim:
		return `a constant says what it counts from: q("6 bar(g)") above the surrounding air, q("6 bar(a)") above vacuum, q("6 bar") a difference`
	case a.typ.Quantity.Dim == b.typ.Quantity.Dim && a.typ.Quantity.Dim == quantity.KindTemperature.Type().Dim:
		return `a constant says which it is: q("60 degC") a temperature, q("5 K") a difference`
	}
	return ""
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
