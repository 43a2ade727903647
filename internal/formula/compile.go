package formula

import (
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// Check checks the expression against a scope. The formula is nil where there are
// problems.
func (e *Expr) Check(scope Scope) (*Formula, diag.List) {
	if e.tree == nil {
		return nil, e.faults
	}
	c := compiler{Expr: e, scope: scope}
	for _, n := range e.names {
		c.slots = append(c.slots, n.Name)
	}
	slices.Sort(c.slots)
	c.slots = slices.Compact(c.slots)
	n, ok := c.node(e.tree)
	if !ok {
		return nil, c.probs.Sorted() // the middle of a < b < c is checked twice
	}
	return &Formula{text: e.Text, typ: n.typ, names: c.slots, calls: c.calls, run: n.run}, nil
}

// mostWork is how many nodes of an expression are looked at. A chain such as
// a < b < c has its middle looked at twice, so that chains within chains would
// take for ever.
const mostWork = 2000

// compiler turns the syntax of one expression into typed parts.
type compiler struct {
	*Expr
	scope Scope
	probs diag.List
	slots []string // the names of the expression, sorted
	calls []quantity.Function
	work  int // nodes checked so far
}

// part is a checked part of an expression.
type part struct {
	typ   Type
	run   eval
	from  int  // offset of its first rune
	fixed bool // it uses no name: its value is known when it is compiled
	bare  bool // a number as it is typed, with no unit
	// measured: a condition that depends on a comparison of quantities
	measured bool
}

// fail adds a problem; its second result is false, to be passed on.
func (c *compiler) fail(offset int, rule, hint, format string, args ...any) (part, bool) {
	c.probs.Errorf(c.pos(offset), rule, hint, format, args...)
	return part{}, false
}

// node checks one node. ok is false where it or what it holds is wrong; what is
// wrong is then on the list.
func (c *compiler) node(n ast.Node) (p part, ok bool) {
	switch c.work++; {
	case c.work == mostWork:
		return c.fail(start(n), ruleSyntax, "name its parts as values of their own", "the expression is too involved")
	case c.work > mostWork:
		return part{}, false
	}
	switch n := n.(type) {
	case *ast.IntegerNode:
		p, ok = constant(Type{}, Value{SI: float64(n.Value)}), true
		p.bare = true
	case *ast.FloatNode:
		p, ok = constant(Type{}, Value{SI: n.Value}), true
		p.bare = true
	case *ast.BoolNode:
		p, ok = constant(Type{Sort: YesNo}, Value{Yes: n.Value}), true
	case *ast.StringNode:
		p, ok = constant(Type{Sort: Text, OneOf: []string{n.Value}}, Value{Text: n.Value}), true
	case *ast.IdentifierNode, *ast.MemberNode:
		p, ok = c.name(n)
	case *ast.UnaryNode:
		p, ok = c.unary(n)
	case *ast.BinaryNode:
		p, ok = c.binary(n)
	case *ast.ConditionalNode:
		p, ok = c.choice(n)
	case *ast.CallNode:
		if id, named := n.Callee.(*ast.IdentifierNode); named {
			p, ok = c.call(start(n), id.Value, n.Arguments)
		} else {
			p, ok = c.fail(start(n), ruleSyntax, "call a function by its name", "what is on record cannot be called")
		}
	case *ast.BuiltinNode: // a name that the expression language has a use for and we may have another
		p, ok = c.call(start(n), n.Name, n.Arguments)
	default:
		return c.refuse(n)
	}
	if !ok {
		return part{}, false
	}
	p.from = start(n)
	if p.fixed { // its value is known now, and a fault in it is one of the template
		v := p.run(nil)
		if v.err != nil {
			c.probs.Errorf(v.err.At, "formula-value", "", "%s", v.err.Err)
			return part{}, false
		}
		p.run = func(Env) cell { return v }
	}
	return p, true
}

// all checks several nodes, and says whether none of them is wrong.
func (c *compiler) all(nodes ...ast.Node) ([]part, bool) {
	parts, ok := make([]part, len(nodes)), true
	for i, n := range nodes {
		p, fine := c.node(n)
		parts[i], ok = p, ok && fine
	}
	return parts, ok
}

func constant(t Type, v Value) part {
	return part{typ: t, fixed: true, run: func(Env) cell { return cell{v: v} }}
}

// refuse turns down what the syntax has and templates do not.
func (c *compiler) refuse(n ast.Node) (part, bool) {
	what, hint := "this", "use names, numbers, comparisons, and, or, not, ? : and the calc functions"
	switch n.(type) {
	case *ast.NilNode:
		what, hint = "nil", "ask known(name) whether a term is on record"
	case *ast.ArrayNode:
		what, hint = "a list", `a list may stand after in only, as in built.seal in ["component", "cartridge"]`
	case *ast.ChainNode:
		what, hint = `"?."`, "ask known(name) whether a term is on record"
	case *ast.SliceNode:
		what = "a slice"
	case *ast.MapNode:
		what = "a map"
	case *ast.PredicateNode, *ast.PointerNode:
		what = "a predicate"
	case *ast.VariableDeclaratorNode:
		what, hint = "let", "name it as a value of its own, with its working"
	case *ast.SequenceNode:
		what, hint = "a sequence", "write one expression"
	case *ast.BytesNode:
		what = "a string of bytes"
	}
	return c.fail(start(n), ruleSyntax, hint, "%s has no meaning here", what)
}

// name checks a name that is used for its value.
func (c *compiler) name(n ast.Node) (part, bool) {
	name, typ, ok := c.resolve(n)
	if !ok {
		return part{}, false
	}
	return part{typ: typ, run: look(c.slot(name))}, true
}

// slot gives the index of a name among those of the formula.
func (c *compiler) slot(name string) int {
	i, _ := slices.BinarySearch(c.slots, name)
	return i
}

// look asks for the value of a name.
func look(slot int) eval {
	missing := []int{slot}
	return func(env Env) cell {
		if v, known := env(slot); known {
			return cell{v: v}
		}
		return cell{missing: missing}
	}
}

// resolve finds what a node names.
func (c *compiler) resolve(n ast.Node) (name string, typ Type, ok bool) {
	const rule = "formula-name"
	at := start(n)
	name, isName := dotted(n)
	if !isName {
		_, ok := c.fail(at, ruleSyntax, "write names as end_clearance.set or joints.head.torque", "this does not name anything")
		return "", Type{}, ok
	}
	if typ, ok = c.scope.Type(name); ok {
		return name, typ, true
	}
	have := slices.Sorted(slices.Values(c.scope.Names()))
	var inside []string
	for _, known := range have {
		if strings.HasPrefix(known, name+".") {
			inside = append(inside, known)
		}
	}
	_, isFunction := find(name)
	switch near := diag.DidYouMean(name, have); {
	case len(inside) > 0:
		_, ok = c.fail(at, rule, "write one of "+diag.Some(inside, 6), "%s stands for more than one value", name)
	case isFunction:
		_, ok = c.fail(at, rule, "call it as "+usage(name), "%s is a function", name)
	case near != "":
		_, ok = c.fail(at, rule, near, "unknown name %q", name)
	default:
		_, ok = c.fail(at, rule, "a name is a term, a value of this procedure, or joints.NAME.VALUE and the like", "unknown name %q", name)
	}
	return "", Type{}, ok
}
