package formula

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

// Longest is the greatest length of an expression, in runes. What is longer
// belongs in several named values, each with its own line of working.
const Longest = 2000

const ruleSyntax = "formula-syntax"

// source is the text of an expression with its place.
type source struct {
	text string
	at   diag.Pos
}

// pos gives the place of a rune of the text. The lines of a text of several all
// start in one column, as those of a literal block scalar do.
func (s source) pos(offset int) diag.Pos {
	p := s.at
	if p.Line == 0 {
		return p
	}
	n := 0
	for _, r := range s.text {
		if n == offset {
			break
		}
		n++
		if p.Col++; r == '\n' {
			p.Line, p.Col = p.Line+1, s.at.Col
		}
	}
	return p
}

// parse reads the syntax of the expression, or says what is wrong with it.
func (s source) parse() (tree ast.Node, probs diag.List) {
	const example = `write it as arc_travel(end_clearance.set, housing.diameter, housing.lead) or duty.speed > q("280 rpm")`
	switch {
	case !utf8.ValidString(s.text):
		probs.Errorf(s.at, ruleSyntax, "save the file as UTF-8", "the expression holds bytes that are not text")
		return nil, probs
	case strings.TrimSpace(s.text) == "":
		probs.Errorf(s.at, ruleSyntax, example, "found nothing where an expression is wanted")
		return nil, probs
	case utf8.RuneCountInString(s.text) > Longest:
		probs.Errorf(s.at, ruleSyntax, "name its parts as values of their own", "the expression is longer than %d characters", Longest)
		return nil, probs
	}
	defer func() { // the parser is not ours: what it cannot take is a fault of the text
		if r := recover(); r != nil {
			tree = nil
			probs.Errorf(s.at, ruleSyntax, example, "the expression cannot be read: %v", r)
		}
	}()
	t, err := parser.ParseWithConfig(s.text, ours)
	if err == nil && t.Node != nil {
		return t.Node, nil
	}
	at, message := s.at, "the expression cannot be read"
	var fe *file.Error
	if errors.As(err, &fe) {
		at, message = s.pos(fe.From), s.plain(fe)
	}
	probs.Errorf(at, ruleSyntax, s.syntaxHint(fe, example), "%s", message)
	return nil, probs
}

// ours tells the parser that our words and functions are calls like any other,
// even where the expression language has a use of its own for the name.
var ours = func() *conf.Config {
	c := conf.CreateNew()
	for _, name := range wordNames {
		c.Functions[name] = &builtin.Function{Name: name}
	}
	for _, f := range table {
		c.Functions[f.Name] = &builtin.Function{Name: f.Name}
	}
	return c
}()

var tokenForm = regexp.MustCompile(`^unexpected token \w+\((".*")\)$`)

// plain puts the parser's message into our words.
func (s source) plain(e *file.Error) string {
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
func (s source) syntaxHint(e *file.Error, example string) string {
	if e == nil {
		return example
	}
	r := []rune(s.text)
	from := min(e.From, len(r))
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

// dotted gives the name that a chain of members spells: joints.head.torque, or
// joints["head"].torque where a name holds a hyphen.
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
