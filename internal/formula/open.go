package formula

import (
	"slices"

	"github.com/expr-lang/expr/ast"
)

// Open is what is left of a condition that the records do not decide: comparisons,
// joined by and, or and not. Two conditions that ask for the same have the same
// comparison, whichever way round they ask.
type Open struct {
	join string // and, or, not; "" for a comparison
	atom string
	of   []*Open
}

// opposite gives the comparison that is true where another is false.
var opposite = map[string]string{"!=": "==", ">=": "<", "<=": ">"}

// Left gives what is left of a condition when those of its comparisons that decide
// knows are decided. It is nil where the text cannot be read.
func (e *Expr) Left(decide func(comparison *Expr) (yes, known bool)) *Open {
	if e.tree == nil {
		return nil
	}
	return e.left(e.tree, decide)
}

var always, never = &Open{join: "and"}, &Open{join: "or"}

func (e *Expr) left(n ast.Node, decide func(*Expr) (yes, known bool)) *Open {
	switch n := n.(type) {
	case *ast.UnaryNode:
		if n.Operator == "not" || n.Operator == "!" {
			return &Open{join: "not", of: []*Open{e.left(n.Node, decide)}}
		}
	case *ast.BinaryNode:
		switch n.Operator {
		case "and", "&&":
			return &Open{join: "and", of: []*Open{e.left(n.Left, decide), e.left(n.Right, decide)}}
		case "or", "||":
			return &Open{join: "or", of: []*Open{e.left(n.Left, decide), e.left(n.Right, decide)}}
		}
	}
	if yes, known := decide(Parse(n.String(), e.At)); known && yes {
		return always
	} else if known {
		return never
	}
	if b, ok := n.(*ast.BinaryNode); ok {
		if op, turned := opposite[b.Operator]; turned {
			return &Open{join: "not", of: []*Open{{atom: b.Left.String() + " " + op + " " + b.Right.String()}}}
		}
	}
	return &Open{atom: n.String()}
}

// Atoms lists the comparisons that are not decided, each once.
func (o *Open) Atoms() []string {
	var out []string
	if o.join == "" {
		out = append(out, o.atom)
	}
	for _, part := range o.of {
		out = append(out, part.Atoms()...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Holds decides the condition for given answers to its comparisons.
func (o *Open) Holds(yes map[string]bool) bool {
	holds := func(part *Open) bool { return part.Holds(yes) }
	switch o.join {
	case "and":
		return !slices.ContainsFunc(o.of, func(part *Open) bool { return !holds(part) })
	case "or":
		return slices.ContainsFunc(o.of, holds)
	case "not":
		return !o.of[0].Holds(yes)
	}
	return yes[o.atom]
}
