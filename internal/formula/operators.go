package formula

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/expr-lang/expr/ast"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

const ruleKind = "formula-kind"

// steepest is the highest exponent of any base unit that a formula may reach.
const steepest = 12

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

// join puts two lists of missing names together without touching either.
func join(a, b []int) []int {
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
	for _, e := range []int8{d.L, d.M, d.T, d.K, d.A, d.I} {
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
