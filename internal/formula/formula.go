// Package formula parses, checks and evaluates one expression of a template. The
// syntax is that of github.com/expr-lang/expr, of which only this package knows;
// the functions are those of the calc packages, gathered in Functions.
//
// Entry points, in their order: Parse; Expr.Names, the only scanner of names;
// Expr.Check, which checks every name, dimension and argument before any unit is
// looked at; and Formula.Eval. It belongs here if it is about what an expression
// means. It is not for what a name stands for (procedure and compute) nor for any
// computation of the trade (calc).
//
// A fault in an expression is a problem with its place in the template. A fault
// in evaluation (an argument out of its range, a division by zero) is an *Error.
package formula

import (
	"fmt"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// Sort says which of three sorts of thing a value is.
type Sort uint8

const (
	Quantity Sort = iota // a number with its dimension
	Text
	YesNo
)

// Type is what an expression or a name gives.
type Type struct {
	Sort     Sort
	Quantity quantity.Type // of a Quantity
	OneOf    []string      // of a Text: the only words that it may be; nil for any
}

// Is makes the type of a quantity of a kind.
func Is(k quantity.Kind) Type { return Type{Quantity: k.Type()} }

// String names the type in words.
func (t Type) String() string {
	switch t.Sort {
	case Text:
		if len(t.OneOf) > 0 {
			return "one of " + strings.Join(t.OneOf, ", ")
		}
		return "text"
	case YesNo:
		return "yes or no"
	}
	return t.Quantity.String()
}

// Value is the value of a name or of an expression: the field of its sort.
type Value struct {
	SI   float64 // of a Quantity; always finite
	Text string
	Yes  bool
}

// Expr is an expression that was read and not checked yet.
type Expr struct {
	Text string
	At   diag.Pos // of its first rune

	tree       ast.Node  // nil where the text cannot be read
	faults     diag.List // that say why
	names      []Name
	arithmetic bool // it has + - * / or a power
}

// Name is a name at one place of an expression. It is dotted as templates write
// it: "end_clearance.set", "joints.head.torque", however it was written there.
type Name struct {
	Name string
	At   diag.Pos
}

// Scope says which names an expression may use.
type Scope interface {
	// Type gives the type of a name; ok is false where the scope does not have it.
	Type(name string) (t Type, ok bool)
	// Names lists all names of the scope, for hints.
	Names() []string
}

// Env gives the value of the name with that index among the formula's Names; ok
// is false where it is not on record. It is called at most once for a place in
// the expression.
type Env func(name int) (v Value, ok bool)

// Result is what an expression comes to. Where Missing is not empty, the outcome
// depends on those names, they are not on record, and there is no value.
type Result struct {
	Value    Value
	Missing  []int // indexes into the formula's Names, rising
	Governed []Governing
	Figures  []Figure // that it took from the program's tables
}

// Figure is what a function that has a symbol took from a table.
type Figure struct {
	Function quantity.Function
	Of       []string // what it was looked up by, of its arguments the texts
	SI       float64
}

// Governing says which of several limits a value took: the argument that min or
// max picked, or the side of a choice that a comparison of quantities decided.
// What the build of a unit decides, such as its material, is no limit.
type Governing struct {
	Taken string // the argument or side, as an expression
	When  string // of a choice: its condition; "" for min and max
	Yes   bool   // of a choice: how the condition came out
}

// Formula is a checked expression. It is safe for concurrent use.
type Formula struct {
	text  string
	typ   Type
	names []string
	calls []quantity.Function
	run   eval
}

// Text gives the expression as the template has it.
func (f *Formula) Text() string { return f.text }

// Type gives the type of the result.
func (f *Formula) Type() Type { return f.typ }

// Names gives the names that the expression mentions, sorted, each once, those
// inside known() too; none(name) mentions name.none.
func (f *Formula) Names() []string { return slices.Clone(f.names) }

// Functions gives the calc functions that the expression calls, in order of
// their first mention, each with those by which it looks up figures.
func (f *Formula) Functions() []quantity.Function { return slices.Clone(f.calls) }

// Error is a fault in the evaluation of an expression: the records hold values
// for which it has no answer.
type Error struct {
	At  diag.Pos // the offending part of the expression
	Err error
}

func (e *Error) Error() string { return fmt.Sprintf("%s: %s", e.At, e.Err) }

func (e *Error) Unwrap() error { return e.Err }

// Eval gives the expression's result in an environment. A name that is not on
// record leaves its outcome open: "a and b" is no where a is no, whatever b may
// be; a choice needs only the side that is chosen; known(name) is always decided.
// The error is an *Error.
func (f *Formula) Eval(env Env) (Result, error) {
	c := f.run(env)
	switch {
	case c.err != nil:
		return Result{}, c.err
	case len(c.missing) > 0:
		missing := slices.Clone(c.missing)
		slices.Sort(missing)
		return Result{Missing: slices.Compact(missing)}, nil
	}
	return Result{Value: c.v, Governed: c.governed, Figures: c.figures}, nil
}

// cell is what a part of an expression comes to: a value, the names that it
// depends on, or an error.
type cell struct {
	v        Value
	missing  []int
	err      *Error
	governed []Governing // by what decided v, the outermost first
	figures  []Figure
}

// under adds what decided the parts that a value was computed from, and their figures.
func (c cell) under(parts ...cell) cell {
	for _, p := range parts {
		if len(p.governed) > 0 {
			c.governed = slices.Concat(c.governed, p.governed)
		}
		if len(p.figures) > 0 {
			c.figures = slices.Concat(c.figures, p.figures)
		}
	}
	return c
}

// eval evaluates a part of an expression.
type eval func(Env) cell
