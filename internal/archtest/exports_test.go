package archtest

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// listed is what `go list` says of a package.
type listed struct {
	ImportPath, Dir, Export string
	GoFiles                 []string
	Standard                bool
}

// program is our packages, type-checked together, so that a name used in one
// package is the same object as the name declared in another.
type program struct {
	fset  *token.FileSet
	pkgs  []*types.Package // in the order of their imports
	infos map[*types.Package]*types.Info
}

// loadProgram type-checks what ships: the command with all that it imports, and what
// packs it.
func loadProgram(t *testing.T) *program {
	t.Helper()
	cmd := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles,Standard", "./cmd/...")
	cmd.Dir, cmd.Stderr = filepath.Join("..", ".."), os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	p := &program{fset: token.NewFileSet(), infos: map[*types.Package]*types.Info{}}
	exports, ours := map[string]string{}, map[string]*types.Package{}
	outside := importer.ForCompiler(p.fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	from := importerFunc(func(path string) (*types.Package, error) {
		if pkg := ours[path]; pkg != nil {
			return pkg, nil
		}
		return outside.Import(path)
	})
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var l listed
		if err := d.Decode(&l); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(l.ImportPath, "jobsheaf/") {
			exports[l.ImportPath] = l.Export
			continue
		}
		var files []*ast.File
		for _, name := range l.GoFiles {
			f, err := parser.ParseFile(p.fset, filepath.Join(l.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		info := &types.Info{Uses: map[*ast.Ident]types.Object{}, Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}}
		pkg, err := (&types.Config{Importer: from}).Check(l.ImportPath, p.fset, files, info)
		if err != nil {
			t.Fatal(err)
		}
		ours[l.ImportPath] = pkg
		p.pkgs, p.infos[pkg] = append(p.pkgs, pkg), info
	}
	return p
}

type importerFunc func(path string) (*types.Package, error)

func (f importerFunc) Import(path string) (*types.Package, error) { return f(path) }

// usedOutside gives the objects that some package other than their own names, the
// types that these mention, since whoever gets a value needs its type, and the types
// of fields that are written as JSON.
func (p *program) usedOutside() map[types.Object]bool {
	used := map[types.Object]bool{}
	var mention func(t types.Type)
	mark := func(o types.Object) {
		if used[o] {
			return
		}
		used[o] = true
		if _, ok := o.(*types.TypeName); !ok {
			mention(o.Type())
			return
		}
		s, ok := o.Type().Underlying().(*types.Struct)
		for i := 0; ok && i < s.NumFields(); i++ {
			if _, json := reflect.StructTag(s.Tag(i)).Lookup("json"); json {
				mention(s.Field(i).Type())
			}
		}
	}
	mention = func(t types.Type) {
		switch t := t.(type) {
		case *types.Named:
			if t.Obj().Pkg() != nil {
				mark(t.Origin().Obj())
			}
			for a := range t.TypeArgs().Types() {
				mention(a)
			}
		case *types.Alias:
			mark(t.Obj())
			mention(t.Rhs())
		case *types.Pointer:
			mention(t.Elem())
		case *types.Slice:
			mention(t.Elem())
		case *types.Array:
			mention(t.Elem())
		case *types.Map:
			mention(t.Key())
			mention(t.Elem())
		case *types.Signature:
			for v := range t.Params().Variables() {
				mention(v.Type())
			}
			for v := range t.Results().Variables() {
				mention(v.Type())
			}
		}
	}
	for _, pkg := range p.pkgs {
		info := p.infos[pkg]
		for _, o := range info.Uses {
			if o.Pkg() == nil || o.Pkg() == pkg {
				continue
			}
			switch v := o.(type) {
			case *types.Func:
				mark(v.Origin())
			case *types.Var:
				mark(v.Origin())
			default:
				mark(o)
			}
		}
		for e, tv := range info.Types {
			if !namesEveryField(info, e) {
				continue
			}
			if s, ok := tv.Type.Underlying().(*types.Struct); ok {
				for f := range s.Fields() {
					if f.Pkg() != pkg {
						mark(f.Origin())
					}
				}
			}
		}
	}
	// Templates call by name what the calc rooms list in their Functions.
	for _, pkg := range p.pkgs {
		table, info := pkg.Scope().Lookup("Functions"), p.infos[pkg]
		if table == nil || !strings.Contains(pkg.Path(), "/calc/") {
			continue
		}
		for id, o := range info.Uses {
			if v, ok := o.(*types.Func); ok && o.Pkg() == pkg && p.fset.Position(id.Pos()).Filename == p.fset.Position(table.Pos()).Filename {
				mark(v)
			}
		}
	}
	// Of an enumeration all constants are used where one is.
	enums := map[types.Type]bool{}
	for o := range used {
		if c, ok := o.(*types.Const); ok {
			enums[c.Type()] = true
		}
	}
	for _, pkg := range p.pkgs {
		for _, n := range pkg.Scope().Names() {
			if c, ok := pkg.Scope().Lookup(n).(*types.Const); ok && enums[c.Type()] && isNamed(c.Type()) {
				used[c] = true
			}
		}
	}
	return used
}

// namesEveryField reports whether an expression leans on each field of its struct: a
// literal without keys, or a conversion from another struct with the same fields.
func namesEveryField(info *types.Info, e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.CompositeLit:
		if len(e.Elts) == 0 {
			return false
		}
		_, keyed := e.Elts[0].(*ast.KeyValueExpr)
		return !keyed
	case *ast.CallExpr:
		return info.Types[e.Fun].IsType()
	}
	return false
}

func isNamed(t types.Type) bool { _, ok := t.(*types.Named); return ok }

// interfaceMethods gives the names of the methods of every interface that our
// packages or those they import declare: such a method is called through it.
func (p *program) interfaceMethods() map[string]bool {
	names, seen := map[string]bool{"Error": true, "Unwrap": true}, map[*types.Package]bool{}
	var visit func(pkg *types.Package)
	visit = func(pkg *types.Package) {
		if seen[pkg] {
			return
		}
		seen[pkg] = true
		for _, n := range pkg.Scope().Names() {
			if tn, ok := pkg.Scope().Lookup(n).(*types.TypeName); ok {
				if i, ok := tn.Type().Underlying().(*types.Interface); ok {
					for m := range i.Methods() {
						names[m.Name()] = true
					}
				}
			}
		}
		for _, imp := range pkg.Imports() {
			visit(imp)
		}
	}
	for _, pkg := range p.pkgs {
		visit(pkg)
	}
	return names
}

// exported gives the exported names that a package declares, by what a reader
// would call them: functions, types, variables, methods and fields.
func exported(pkg *types.Package, throughInterface map[string]bool) map[string]types.Object {
	out := map[string]types.Object{}
	for _, n := range pkg.Scope().Names() {
		o := pkg.Scope().Lookup(n)
		if o.Exported() {
			out[n] = o
		}
		tn, ok := o.(*types.TypeName)
		if !ok || tn.IsAlias() {
			continue
		}
		named, ok := tn.Type().(*types.Named)
		if !ok {
			continue
		}
		for m := range named.Methods() {
			if m.Exported() && !throughInterface[m.Name()] {
				out[n+"."+m.Name()] = m
			}
		}
		if s, ok := named.Underlying().(*types.Struct); ok && o.Exported() {
			for i := range s.NumFields() {
				_, json := reflect.StructTag(s.Tag(i)).Lookup("json")
				if f := s.Field(i); f.Exported() && !f.Embedded() && !json {
					out[n+"."+f.Name()] = f
				}
			}
		}
	}
	return out
}

// onPages gives the names of fields and methods that the desk's pages call by name.
func onPages(t *testing.T) map[string]bool {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "desk", "pages", "*.html"))
	if err != nil || len(files) < 5 {
		t.Fatalf("%d pages, %v", len(files), err)
	}
	names := map[string]bool{}
	for _, f := range files {
		raw, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range calledOnPage.FindAllStringSubmatch(string(raw), -1) {
			names[m[1]] = true
		}
	}
	return names
}

var calledOnPage = regexp.MustCompile(`\.([A-Z]\w*)`)

// Nothing is exported without a user outside its package; tests are no users.
func TestExportsAreUsed(t *testing.T) {
	p := loadProgram(t)
	used, throughInterface := p.usedOutside(), p.interfaceMethods()
	if len(p.pkgs) < 20 || len(used) < 500 {
		t.Fatalf("looked at %d packages and %d uses only: the walk is wrong", len(p.pkgs), len(used))
	}
	onPages := onPages(t)
	unused := map[string]bool{}
	for _, pkg := range p.pkgs {
		room, ok := strings.CutPrefix(pkg.Path(), "jobsheaf/internal/")
		if !ok {
			continue
		}
		for n, o := range exported(pkg, throughInterface) {
			_, of, isOf := strings.Cut(n, ".")
			if !used[o] && !(isOf && onPages[of]) {
				unused[room+"."+n] = true
			}
		}
	}
	for _, n := range slices.Sorted(maps.Keys(unused)) {
		t.Errorf("no other package uses %s: keep it inside its own", n)
	}
}
