// Package archtest tests the source tree as a whole: which package may import which,
// which one may use an outside library, that every rule of a problem is described, and
// that nothing is exported without need. It has no code of its own. A test belongs here
// if no single package could hold it.
package archtest

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// permitted lists the packages of ours that each package may import; nothing else
// is allowed. "*" allows all. What the table allows and nobody uses is an error too.
var permitted = map[string][]string{
	"cmd/jobsheaf": {"internal/cli"},
	"fonts":        {}, "templates": {}, "samples": {},
	"internal/diag": {}, "internal/quantity": {}, "internal/page": {}, "internal/pagecode": {}, "internal/pdfobject": {}, "internal/scan/sheets": {"internal/pdfobject"},
	"internal/calc":      {"internal/quantity"},
	"internal/source":    {"internal/diag", "internal/quantity"},
	"internal/words":     {"internal/source", "internal/diag"},
	"internal/record":    {"internal/source", "internal/diag", "internal/quantity"},
	"internal/formula":   {"internal/calc", "internal/quantity", "internal/diag"},
	"internal/order":     {"internal/diag"},
	"internal/procedure": {"internal/formula", "internal/order", "internal/source", "internal/diag", "internal/quantity"},
	"internal/check":     {"internal/record", "internal/procedure", "internal/formula", "internal/calc", "internal/diag", "internal/quantity"},
	"internal/packet":    {"internal/words", "internal/manifest"},
	"internal/compute":   {"internal/record", "internal/procedure", "internal/formula", "internal/packet", "internal/manifest", "internal/words", "internal/diag", "internal/quantity", "internal/calc"},
	"internal/origin":    {"internal/record", "internal/procedure", "internal/packet", "internal/words", "internal/diag"},
	"internal/compose":   {"internal/compute", "internal/order", "internal/origin", "internal/record", "internal/procedure", "internal/formula", "internal/packet", "internal/manifest", "internal/words", "internal/diag", "internal/quantity", "internal/calc"},
	"internal/typeface":  {"fonts", "internal/page"},
	"internal/figure":    {"internal/page", "internal/typeface"},
	"internal/layout":    {"internal/packet", "internal/words", "internal/figure", "internal/typeface", "internal/page", "internal/pagecode", "internal/diag"},
	"internal/pdf":       {"internal/page", "internal/typeface", "fonts"},
	"internal/pdfread":   {"internal/page", "internal/pdfobject"},
	"internal/manifest":  {"internal/page"},
	"internal/register":  {},
	"internal/history":   {"internal/register", "internal/record"},
	"internal/scan":      {"internal/manifest", "internal/page", "internal/pagecode"},
	"internal/intake":    {"internal/manifest", "internal/pagecode", "internal/register", "internal/scan", "internal/scan/sheets"},
	"internal/typein":    {"internal/register", "internal/manifest", "internal/quantity"},
	"internal/review":    {"internal/register", "internal/manifest", "internal/packet", "internal/words", "internal/layout", "internal/typeface", "internal/page", "internal/diag"},
	"internal/joblist":   {"internal/record", "internal/source", "internal/diag"},
	"internal/printjob":  {"internal/record", "internal/compose", "internal/packet", "internal/layout", "internal/page", "internal/pdf", "internal/manifest", "internal/diag"},
	"internal/front":     {"internal/packet", "internal/words", "internal/quantity", "internal/layout", "internal/page", "internal/diag"},
	"internal/week":      {"internal/printjob", "internal/front", "internal/record", "internal/procedure", "internal/origin", "internal/packet", "internal/words", "internal/layout", "internal/page", "internal/pdf", "internal/manifest", "internal/diag"},
	"internal/prove":     {"internal/printjob", "internal/origin", "internal/packet", "internal/pdf", "internal/pdfread", "internal/manifest", "internal/diag"},
	"internal/users":     {},
	"internal/desk":      {"fonts", "internal/users", "internal/register", "internal/typein", "internal/review", "internal/scan/sheets", "internal/history", "internal/record", "internal/compose", "internal/packet", "internal/words", "internal/figure", "internal/page", "internal/pagecode", "internal/manifest", "internal/diag", "internal/intake", "internal/week"},
	"internal/cli":       {"*"},
	"internal/archtest":  {},
	"testdata/bench":     {"*"},
	"testdata/scribble":  {"internal/manifest"},
	"cmd/release":        {"internal/cli"},
}

// doors says which package alone may import an outside library; every one that
// ships has its door.
var doors = map[string]string{
	"gopkg.in/yaml.v3":               "internal/source",
	"github.com/expr-lang/expr":      "internal/formula",
	"github.com/jung-kurt/gofpdf":    "internal/pdf",
	"github.com/klauspost/compress":  "internal/pdf",
	"github.com/skip2/go-qrcode":     "internal/pagecode",
	"github.com/xuri/excelize/v2":    "internal/joblist",
	"golang.org/x/image":             "internal/scan/sheets",
	"golang.org/x/text":              "internal/joblist",
	"github.com/spf13/cobra":         "internal/cli",
	"github.com/schollz/progressbar": "internal/cli",
	"golang.org/x/term":              "internal/cli",
	"golang.org/x/crypto":            "internal/users",
	"modernc.org/sqlite":             "internal/register",
	"github.com/makiuchi-d/gozxing":  "internal/scan",
	"golang.org/x/tools/txtar":       "internal/origin",
}

// tables reads the published figures, for tests alone.
var tables = filepath.Join("internal", "calc", "published", "published.go")

// room gives the row of the table for a package: packages below a row, such as
// the topics of calc, share it.
func room(pkg string) string {
	for p := pkg; p != "."; p = filepath.Dir(p) {
		if _, ok := permitted[p]; ok {
			return p
		}
	}
	return ""
}

func TestImportsGoOneWay(t *testing.T) {
	root := filepath.Join("..", "..")
	seen, used := 0, map[string]bool{} // used: of what the tables permit
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && path != root && d.Name() != ".." || d.Name() == "out" || d.Name() == "bin" || d.Name() == "dist") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") {
			return nil
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		pkg := filepath.ToSlash(filepath.Dir(rel))
		from := room(pkg)
		if from == "" {
			t.Errorf("%s: package %s has no row in the table of imports", rel, pkg)
			return nil
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, src, parser.ImportsOnly)
		if err != nil {
			return err
		}
		seen++
		test := strings.HasSuffix(path, "_test.go")
		for _, imp := range file.Imports {
			name, err := strconv.Unquote(imp.Path.Value)
			if err != nil {
				return err
			}
			if ours, ok := strings.CutPrefix(name, "jobsheaf/"); ok {
				// Tests may look at any room; the program's code may not.
				to := room(ours)
				if !test {
					used[from+" "+to] = true
				}
				if !test && to != from && !slices.Contains(permitted[from], to) && !slices.Contains(permitted[from], "*") {
					t.Errorf("%s: %s may not import %s", rel, from, to)
				}
				continue
			}
			if test || strings.HasPrefix(from, "testdata/") || from == "cmd/release" {
				continue
			}
			outside := strings.Contains(strings.Split(name, "/")[0], ".")
			for dep, door := range doors {
				if name == dep || strings.HasPrefix(name, dep+"/") {
					outside = false
					if used[dep] = true; from != door {
						t.Errorf("%s: only %s may import %s", rel, door, dep)
					}
				}
			}
			if outside {
				t.Errorf("%s: %s has no door in the table of outside libraries", rel, name)
			}
			if name == "os" && from != "internal/cli" && from != "cmd/jobsheaf" && rel != tables {
				t.Errorf("%s: only the command line sees the file system", rel)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for from, list := range permitted {
		for _, to := range list {
			if to != "*" && !used[from+" "+to] {
				t.Errorf("%s does not import %s: the table permits too much", from, to)
			}
		}
	}
	for dep, door := range doors {
		if !used[dep] {
			t.Errorf("%s does not import %s any more", door, dep)
		}
	}
	if seen < 20 {
		t.Fatalf("looked at %d files only: the walk is wrong", seen)
	}
}
