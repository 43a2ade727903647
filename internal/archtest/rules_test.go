package archtest

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// rulesPage is where every rule that a problem may name is described.
const rulesPage = "../diag/README.md"

var ruleName = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// ruleAt says which argument of a function or method is a rule: of those that stand
// at more than one place, the first that is a text.
var ruleAt = map[string][]int{"Errorf": {1}, "Warnf": {1}, "errorf": {0}, "warnf": {0}, "fail": {0, 1}, "fault": {1}, "oneOf": {1}}

// rulesIn gives the rules that a file names.
func rulesIn(file *ast.File) []string {
	var rules []string
	note := func(e ast.Expr) bool {
		lit, ok := e.(*ast.BasicLit)
		if !ok || lit.Kind != token.STRING {
			return false
		}
		if s, err := strconv.Unquote(lit.Value); err == nil && ruleName.MatchString(s) {
			rules = append(rules, s)
		}
		return true
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			name := ""
			switch f := n.Fun.(type) {
			case *ast.Ident:
				name = f.Name
			case *ast.SelectorExpr:
				if x, ok := f.X.(*ast.Ident); ok && x.Name == "fmt" {
					return true
				}
				name = f.Sel.Name
			}
			for _, i := range ruleAt[name] {
				if i < len(n.Args) && note(n.Args[i]) {
					break
				}
			}
		case *ast.CompositeLit: // a problem, or a rule of the room check
			kind, _ := n.Type.(*ast.Ident)
			for _, e := range n.Elts {
				if kv, ok := e.(*ast.KeyValueExpr); ok {
					if key, ok := kv.Key.(*ast.Ident); ok && (key.Name == "Rule" || key.Name == "name" && kind != nil && kind.Name == "rule") {
						note(kv.Value)
					}
				}
			}
		case *ast.ValueSpec:
			for i, id := range n.Names {
				if strings.HasPrefix(id.Name, "rule") && i < len(n.Values) {
					note(n.Values[i])
				}
			}
		}
		return true
	})
	return rules
}

func TestEveryRuleIsDescribed(t *testing.T) {
	named := map[string]string{}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		switch filepath.Base(filepath.Dir(path)) {
		case "pdf", "pdfread", "pagecode", "quantity", "prove": // these know no problems
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		for _, rule := range rulesIn(file) {
			named[rule] = path
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(rulesPage)
	if err != nil {
		t.Fatal(err)
	}
	described := map[string]bool{}
	for line := range strings.Lines(string(page)) {
		cell, _, _ := strings.Cut(strings.TrimPrefix(line, "| "), " |")
		if !strings.HasPrefix(line, "| `") {
			continue
		}
		for _, rule := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(cell, -1) {
			if described[rule[1]] {
				t.Errorf("the rule %s is described twice", rule[1])
			}
			described[rule[1]] = true
			if named[rule[1]] == "" {
				t.Errorf("no code names the rule %s", rule[1])
			}
		}
	}
	for rule, path := range named {
		if !described[rule] {
			t.Errorf("%s names the rule %s, which %s does not describe", path, rule, rulesPage)
		}
	}
	if len(named) < 80 {
		t.Errorf("found %d rules: the walk is wrong", len(named))
	}
}
