package formula

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/expr-lang/expr/ast"
	exprs "github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// longest is the greatest length of an expression, in runes. What is longer
// belongs in several named values, each with its own line of working.
const longest = 2000

const ruleSyntax = "formula-syntax"

// Parse reads an expression. at is the place of its first rune, from which all
// other places are counted. A text that cannot be read has no names; Check says
// what is wrong with it.
func Parse(text string, at diag.Pos) *Expr {
	e := &Expr{Text: text, At: at}
	e.tree, e.faults = e.parse()
	if e.tree != nil {
		e.scan(e.tree, map[ast.Node]bool{})
	}
	return e
}

// Readable reports whether the syntax of the expression is sound.
func (e *Expr) Readable() bool { return e.tree != nil }

// Names gives the names that the expression mentions, with their places, in
// order. A name that is mentioned twice is there twice.
func (e *Expr) Names() []Name { return e.names }

// Bare reports whether the expression is a name and nothing else.
func (e *Expr) Bare() bool {
	if e.tree == nil {
		return false
	}
	_, name := dotted(e.tree)
	return name
}

// Computes reports whether the expression does arithmetic of its own or is a number
// without a name, rather than name, choose, compare or call something.
func (e *Expr) Computes() bool {
	switch e.tree.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		return true
	}
	return e.arithmetic
}

// scan collects the names of a node. The middle of a < b < c hangs in the tree
// twice, and is looked at once.
func (e *Expr) scan(n ast.Node, seen map[ast.Node]bool) {
	if n == nil || seen[n] {
		return
	}
	seen[n] = true
	all := func(nodes ...ast.Node) {
		for _, n := range nodes {
			e.scan(n, seen)
		}
	}
	switch n := n.(type) {
	case *ast.IdentifierNode:
		e.mention(n, "")
	case *ast.MemberNode:
		if !e.mention(n, "") {
			all(n.Node, n.Property)
		}
	case *ast.CallNode:
		f, named := n.Callee.(*ast.IdentifierNode)
		switch {
		case !named:
			all(n.Callee)
		case f.Value == "none" && len(n.Arguments) == 1 && e.mention(n.Arguments[0], noneSuffix):
			return
		}
		all(n.Arguments...)
	case *ast.BuiltinNode:
		all(n.Arguments...)
	case *ast.UnaryNode:
		all(n.Node)
	case *ast.BinaryNode:
		e.arithmetic = e.arithmetic || slices.Contains([]string{"+", "-", "*", "/", "**", "^"}, n.Operator)
		all(n.Left, n.Right)
	case *ast.ConditionalNode:
		all(n.Cond, n.Exp1, n.Exp2)
	case *ast.ArrayNode:
		all(n.Nodes...)
	}
}

// mention notes a node that is a name, and reports whether it is one.
func (e *Expr) mention(n ast.Node, suffix string) bool {
	name, ok := dotted(n)
	if ok {
		e.names = append(e.names, Name{name + suffix, e.pos(start(n))})
	}
	return ok
}

// pos gives the place of a rune of the text. The lines of a text of several all
// start in one column, as those of a literal block scalar do.
func (e *Expr) pos(offset int) diag.Pos {
	p := e.At
	if p.Line == 0 {
		return p
	}
	n := 0
	for _, r := range e.Text {
		if n == offset {
			break
		}
		n++
		if p.Col++; r == '\n' {
			p.Line, p.Col = p.Line+1, e.At.Col
		}
	}
	return p
}

// parse reads the syntax of the expression, or says what is wrong with it.
func (e *Expr) parse() (tree ast.Node, probs diag.List) {
	const example = `write it as arc_travel(end_clearance.set, housing.diameter, housing.lead) or duty.speed > q("280 rpm")`
	switch {
	case !utf8.ValidString(e.Text):
		probs.Errorf(e.At, ruleSyntax, "save the file as UTF-8", "the expression holds bytes that are not text")
		return nil, probs
	case strings.TrimSpace(e.Text) == "":
		probs.Errorf(e.At, ruleSyntax, example, "found nothing where an expression is wanted")
		return nil, probs
	case utf8.RuneCountInString(e.Text) > longest:
		probs.Errorf(e.At, ruleSyntax, "name its parts as values of their own", "the expression is longer than %d characters", longest)
		return nil, probs
	}
	defer func() { // the parser is not ours: what it cannot take is a fault of the text
		if r := recover(); r != nil {
			tree = nil
			probs.Errorf(e.At, ruleSyntax, example, "the expression cannot be read: %v", r)
		}
	}()
	t, err := parser.ParseWithConfig(e.Text, ours)
	if err == nil && t.Node != nil {
		return t.Node, nil
	}
	at, message := e.At, "the expression cannot be read"
	var fe *file.Error
	if errors.As(err, &fe) {
		at, message = e.pos(fe.From), plain(fe)
	}
	probs.Errorf(at, ruleSyntax, e.syntaxHint(fe, example), "%s", message)
	return nil, probs
}

// ours tells the parser that our built-ins and functions are calls like any other,
// even where the expression language has a use of its own for the name.
var ours = func() *conf.Config {
	c := conf.CreateNew()
	for _, name := range builtins {
		c.Functions[name] = &exprs.Function{Name: name}
	}
	for _, f := range table {
		c.Functions[f.Name] = &exprs.Function{Name: f.Name}
	}
	return c
}()

var tokenForm = regexp.MustCompile(`^unexpected token \w+\((".*")\)$`)

// plain puts the parser's message into our words.
func plain(e *file.Error) string {
	switch m := tokenForm.FindStringSubmatch(e.Message); {
	case m != nil:
		return "found " + m[1] + " where it cannot stand"
	case e.Message == "unexpected token EOF", e.Message == "unexpected end of expression":
		return "the expression ends too early"
	case strings.HasPrefix(e.Message, "invalid") && strings.Contains(e.Message, "literal"):
		return "this is not a number that can be written: it is misspelt or too large"
	}
	return e.Message
}

var (
	unitAfterNumber = regexp.MustCompile(`([0-9][0-9.]*)\s*$`)
	firstWord       = regexp.MustCompile(`^[\pL%°µ][\pL\pN./·²³°%]*`)
)

// syntaxHint finds the commonest slips: a unit without q(), one equals sign,
// signs that keyboards do not have.
func (e *Expr) syntaxHint(fe *file.Error, example string) string {
	if fe == nil {
		return example
	}
	r := []rune(e.Text)
	from := min(fe.From, len(r))
	before, after := string(r[:from]), string(r[from:])
	if n := unitAfterNumber.FindStringSubmatch(before); n != nil {
		if u := firstWord.FindString(after); u != "" {
			if _, err := quantity.ParseAny("1 " + u); err == nil {
				return fmt.Sprintf(`write a constant with its unit as q("%s %s")`, n[1], u)
			}
		}
	}
	for sign, say := range map[string]string{"=": "compare with ==", "≤": "write <=", "≥": "write >=", "≠": "write !=", "×": "write *", "·": "write *", "−": "write -"} {
		if strings.HasPrefix(after, sign) {
			return say
		}
	}
	return example
}

// start gives the offset of the leftmost rune of a node. (A binary node stands
// on its operator, a member on its last name.)
func start(n ast.Node) int {
	switch n := n.(type) {
	case *ast.BinaryNode:
		return start(n.Left)
	case *ast.MemberNode:
		return start(n.Node)
	case *ast.ConditionalNode:
		return start(n.Cond)
	case *ast.CallNode:
		return start(n.Callee)
	case *ast.ChainNode:
		return start(n.Node)
	case *ast.SliceNode:
		return start(n.Node)
	case nil:
		return 0
	}
	return n.Location().From
}

// dotted gives the name that a chain of members spells: joints.head.torque, which
// may be written joints["head"].torque too.
func dotted(n ast.Node) (string, bool) {
	switch n := n.(type) {
	case *ast.IdentifierNode:
		return n.Value, true
	case *ast.MemberNode:
		base, ok := dotted(n.Node)
		p, str := n.Property.(*ast.StringNode)
		if ok && str && !n.Optional && !n.Method {
			return base + "." + p.Value, true
		}
	}
	return "", false
}
