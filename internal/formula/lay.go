package formula

import (
	"slices"

	"github.com/expr-lang/expr/ast"

	"jobsheaf/internal/diag"
)

// Laid is a part of a formula that is worked out by hand: an operation on other parts,
// or what one of its numbers is.
type Laid struct {
	Op    string // + - * / neg abs min max; ? for a choice; "" for a number
	Parts []*Laid
	Type  Type

	Open   int      // of a number that is not known when pages are printed: the index of its name; else -1
	Closed *Formula // of any other: what it is computed by
	When   *Formula // of a choice: whether it is the first part, else the second
}

// Lay lays a formula out for working by hand. open says which names are not known when
// pages are printed. Only + - * /, abs, min and max can be worked out so, and a choice by
// what is known; for anything else the list says what stands in the way. The formula has
// been checked against the scope.
func (e *Expr) Lay(scope Scope, open func(name string) bool) (*Laid, diag.List) {
	c := compiler{Expr: e, scope: scope}
	for _, n := range e.names {
		c.slots = append(c.slots, n.Name)
	}
	slices.Sort(c.slots)
	c.slots = slices.Compact(c.slots)
	l := layer{compiler: &c, open: open}
	out := l.lay(e.tree)
	if len(c.probs) > 0 {
		return nil, c.probs.Sorted()
	}
	return out, nil
}

type layer struct {
	*compiler
	open func(name string) bool
}

// isOpen reports whether a node hangs on a name that is open.
func (l *layer) isOpen(n ast.Node) bool {
	sub := &Expr{Text: l.Text, At: l.At, tree: n}
	sub.scan(n, map[ast.Node]bool{})
	return slices.ContainsFunc(sub.names, func(n Name) bool { return l.open(n.Name) })
}

func (l *layer) lay(n ast.Node) *Laid {
	p, ok := l.node(n)
	if !ok {
		return nil
	}
	if !l.isOpen(n) {
		if _, named := p.typ.Quantity.Kind(); named || p.typ.Sort != Quantity {
			return &Laid{Type: p.typ, Open: -1, Closed: &Formula{text: n.String(), typ: p.typ, names: l.slots, run: p.run}}
		}
	}
	of := func(op string, nodes ...ast.Node) *Laid {
		out := &Laid{Op: op, Type: p.typ, Open: -1}
		for _, n := range nodes {
			out.Parts = append(out.Parts, l.lay(n))
		}
		return out
	}
	if name, is := dotted(n); is {
		return &Laid{Type: p.typ, Open: l.slot(name)}
	}
	switch n := n.(type) {
	case *ast.BinaryNode:
		switch n.Operator {
		case "+", "-", "*", "/":
			return of(n.Operator, n.Left, n.Right)
		}
	case *ast.UnaryNode:
		switch n.Operator {
		case "-":
			return of("neg", n.Node)
		case "+":
			return l.lay(n.Node)
		}
	case *ast.ConditionalNode:
		if when, ok := l.node(n.Cond); ok && !l.isOpen(n.Cond) {
			out := of("?", n.Exp1, n.Exp2)
			out.When = &Formula{text: n.Cond.String(), typ: when.typ, names: l.slots, run: when.run}
			return out
		}
	case *ast.CallNode:
		if f, named := n.Callee.(*ast.IdentifierNode); named && slices.Contains([]string{"abs", "min", "max"}, f.Value) {
			return of(f.Value, n.Arguments...)
		}
	case *ast.BuiltinNode:
		if slices.Contains([]string{"abs", "min", "max"}, n.Name) {
			return of(n.Name, n.Arguments...)
		}
	}
	l.fail(start(n), "worksheet", "write it with + - * /, abs, min and max, or print a table over one reading (paper: {table: readings.NAME, ...})", "this cannot be laid out to be worked out by hand")
	return nil
}
