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

	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// quoted finds the words that a page asks for.
var quoted = regexp.MustCompile(`\.Say "([^"]+)"`)

// TestWordsAreAskedFor holds the catalogue of fixed words to the code: a key is one that
// some room can ask for, put together of strings that stand in the code. A word that
// nothing prints is translated for nothing.
func TestWordsAreAskedFor(t *testing.T) {
	strs := map[string]bool{}
	root := filepath.Join("..", "..", "internal")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".html") { // a page of the desk
			raw, err := os.ReadFile(path)
			for _, m := range quoted.FindAllStringSubmatch(string(raw), -1) {
				strs[m[1]] = true
			}
			return err
		}
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
				if s, err := strconv.Unquote(l.Value); err == nil && s != "" {
					strs[s] = true
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	catalogue, problems := words.Load(nil, templates.FS, "en", nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	n := 0
	for key := range catalogue.All() {
		n++
		if _, rest, _ := strings.Cut(key, "."); !asked(rest, strs, 3) && !strs[key] {
			t.Errorf("no room asks for %s", key)
		}
	}
	if n < 100 || !asked("cover.prove", strs, 1) || asked("cover.nothing", strs, 3) {
		t.Errorf("%d words and %d strings cannot be told apart", n, len(strs))
	}
}

// asked reports whether a key can be put together of so many strings, with or without a
// full stop between them. A single letter is none.
func asked(key string, strs map[string]bool, most int) bool {
	if strs[key] {
		return true
	}
	for i := 2; i < len(key) && most > 1; i++ {
		if strs[key[:i]] && asked(strings.TrimPrefix(key[i:], "."), strs, most-1) {
			return true
		}
	}
	return false
}
