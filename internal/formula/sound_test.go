package formula

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/builtin"
	"pgregory.net/rapid"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"
)

// arithmetic draws an expression of numbers and names.
func arithmetic(t *rapid.T, names []string, depth int) string {
	sub := func() string { return arithmetic(t, names, depth-1) }
	if depth == 0 || rapid.IntRange(0, 4).Draw(t, "leaf") == 0 {
		if rapid.Bool().Draw(t, "name") {
			return rapid.SampledFrom(names).Draw(t, "which")
		}
		return fmt.Sprintf("%.2f", rapid.Float64Range(0.1, 9).Draw(t, "literal"))
	}
	switch op := rapid.SampledFrom([]string{"+", "-", "*", "/", "** 2", "** -1", "-x", "abs", "sqrt", "min", "max"}).Draw(t, "op"); op {
	case "** 2", "** -1":
		return "(" + sub() + ") " + op
	case "-x":
		return "(-" + sub() + ")"
	case "abs", "sqrt":
		return op + "(" + sub() + ")"
	case "min", "max":
		return op + "(" + sub() + ", " + sub() + ")"
	default:
		return "(" + sub() + " " + op + " " + sub() + ")"
	}
}

// condition draws a condition over numbers.
func condition(t *rapid.T, names []string, depth int) string {
	if depth == 0 {
		op := rapid.SampledFrom([]string{"<", "<=", ">", ">="}).Draw(t, "compare")
		return arithmetic(t, names, 1) + " " + op + " " + arithmetic(t, names, 1)
	}
	a, b := condition(t, names, depth-1), condition(t, names, depth-1)
	switch op := rapid.SampledFrom([]string{"and", "or", "not", "?"}).Draw(t, "logic"); op {
	case "not":
		return "not (" + a + ")"
	case "?":
		return "((" + a + ") ? (" + b + ") : (" + condition(t, names, depth-1) + "))"
	default:
		return "((" + a + ") " + op + " (" + b + "))"
	}
}

// TestAgainstExpr holds our evaluation against the expression language's own
// virtual machine, for numbers, where the two must agree.
func TestAgainstExpr(t *testing.T) {
	names := []string{"x", "y", "ratio"}
	scope := named{"x": {}, "y": {}, "ratio": {}}
	agreed := 0
	rapid.Check(t, func(t *rapid.T) {
		values := map[string]any{"sqrt": math.Sqrt}
		env := func(name string) (Value, bool) { return Value{SI: values[name].(float64)}, true }
		for _, n := range names {
			values[n] = float64(rapid.IntRange(-50, 50).Draw(t, n)) / 8
		}
		logic := rapid.Bool().Draw(t, "logic")
		text := arithmetic(t, names, 4)
		if logic {
			text = condition(t, names, 3)
		}
		f, probs := check(text, scope, at)
		if f == nil {
			if probs[0].Rule == "formula-value" || probs[0].Rule == ruleSyntax && len(text) > longest { // such as the root of -2
				return
			}
			t.Fatalf("%s: %v", text, probs)
		}
		got, err := f.eval(env)
		if err != nil {
			return // what we refuse, the machine gives as Inf or NaN
		}
		program, err := expr.Compile(text, expr.Env(values))
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		want, err := expr.Run(program, values)
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if logic {
			if got.Value.Yes != want.(bool) {
				t.Fatalf("%s with %v: %v, the machine says %v", text, values, got.Value.Yes, want)
			}
		} else if w := want.(float64); math.Abs(got.Value.SI-w) > 1e-12*math.Abs(w) {
			t.Fatalf("%s with %v: %v, the machine says %v", text, values, got.Value.SI, w)
		}
		agreed++
	})
	if agreed < 30 {
		t.Errorf("only %d expressions were compared", agreed)
	}
}

// TestHomogeneous is the proof of the dimension check: an expression that passes
// it gives the same amount whatever the base units are. Each base unit is
// replaced by one of another size; the result must scale by the powers that its
// type says, and a condition must not change.
func TestHomogeneous(t *testing.T) {
	kinds := map[string]quantity.Kind{
		"gap": quantity.KindLength, "width": quantity.KindLength, "mass": quantity.KindMass, "load": quantity.KindForce,
		"speed": quantity.KindSpeed, "rise": quantity.KindTemperatureDifference, "x": quantity.KindNumber, "area": quantity.KindArea,
	}
	var names []string
	for n := range kinds {
		names = append(names, n)
	}
	slices.Sort(names)
	passed := 0
	rapid.Check(t, func(t *rapid.T) {
		// Few names are drawn at a time, so that many expressions fit together.
		few := rapid.SliceOfNDistinct(rapid.SampledFrom(names), 1, 3, rapid.ID).Draw(t, "names")
		text := arithmetic(t, few, 3)
		if rapid.Bool().Draw(t, "compared") {
			text += " < " + arithmetic(t, few, 2)
		}
		f, probs := check(text, scope, at)
		if f == nil {
			for _, p := range probs {
				if p.Rule != ruleKind && p.Rule != "formula-value" {
					t.Fatalf("%s: %s", text, p)
				}
			}
			return
		}
		values := map[string]float64{}
		for _, n := range few {
			values[n] = rapid.Float64Range(0.5, 3).Draw(t, n)
		}
		size := quantity.Type{} // of the new base units, as powers of two, so that scaling is exact
		size.Dim = quantity.Dim{
			L: int8(rapid.IntRange(-4, 4).Draw(t, "m")) * 2, M: int8(rapid.IntRange(-4, 4).Draw(t, "kg")) * 2,
			T: int8(rapid.IntRange(-4, 4).Draw(t, "s")) * 2, K: int8(rapid.IntRange(-4, 4).Draw(t, "K")) * 2, A: int8(rapid.IntRange(-4, 4).Draw(t, "rad")) * 2,
			I: int8(rapid.IntRange(-4, 4).Draw(t, "A")) * 2,
		}
		scale := func(d quantity.Dim) float64 {
			s := size.Dim
			return math.Exp2(float64(int(d.L)*int(s.L) + int(d.M)*int(s.M) + int(d.T)*int(s.T) + int(d.K)*int(s.K) + int(d.A)*int(s.A) + int(d.I)*int(s.I)))
		}
		one, err := f.eval(func(n string) (Value, bool) { return Value{SI: values[n]}, true })
		two, err2 := f.eval(func(n string) (Value, bool) { return Value{SI: values[n] * scale(kinds[n].Type().Dim)}, true })
		if (err == nil) != (err2 == nil) {
			t.Fatalf("%s: %v in one system of units, %v in the other", text, err, err2)
		}
		want := one.Value.SI * scale(f.Type().Quantity.Dim)
		if one.Value.Yes != two.Value.Yes || math.Abs(two.Value.SI-want) > 1e-9*math.Abs(want) {
			t.Fatalf("%s hangs on the units: %v and %v (scaled: %v)", text, one.Value, two.Value, want)
		}
		if err == nil {
			passed++
		}
	})
	if passed < 20 {
		t.Errorf("only %d expressions passed the check", passed)
	}
}

// TestMissingIsUndecided holds the logic of missing names to its meaning: where
// Eval decides though names are missing, every value of theirs decides the same.
func TestMissingIsUndecided(t *testing.T) {
	scope := named{"a": {Sort: YesNo}, "b": {Sort: YesNo}, "c": {Sort: YesNo}}
	names := []string{"a", "b", "c"}
	var draw func(t *rapid.T, depth int) string
	draw = func(t *rapid.T, depth int) string {
		if depth == 0 {
			return rapid.SampledFrom(names).Draw(t, "name")
		}
		switch rapid.IntRange(0, 3).Draw(t, "op") {
		case 0:
			return "(" + draw(t, depth-1) + " and " + draw(t, depth-1) + ")"
		case 1:
			return "(" + draw(t, depth-1) + " or " + draw(t, depth-1) + ")"
		case 2:
			return "not " + draw(t, depth-1)
		}
		return "(" + draw(t, depth-1) + " ? " + draw(t, depth-1) + " : " + draw(t, depth-1) + ")"
	}
	rapid.Check(t, func(t *rapid.T) {
		text := draw(t, 3)
		f, probs := check(text, scope, at)
		if f == nil {
			t.Fatal(probs)
		}
		on := map[string]bool{}
		for _, n := range names {
			on[n] = rapid.Bool().Draw(t, n+" is on record")
		}
		part, err := f.eval(func(n string) (Value, bool) { return Value{Yes: true}, on[n] })
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range part.Missing {
			if on[m] || !strings.Contains(text, m) {
				t.Fatalf("%s: %s is said to be missing", text, m)
			}
		}
		if len(part.Missing) > 0 {
			return
		}
		for bits := range 8 {
			all, err := f.eval(func(n string) (Value, bool) {
				return Value{Yes: on[n] || bits>>slices.Index(names, n)&1 == 1}, true
			})
			if err != nil || all.Value.Yes != part.Value.Yes {
				t.Fatalf("%s was decided as %v with %v, but is %v, %v", text, part.Value.Yes, on, all.Value.Yes, err)
			}
		}
	})
}

// TestFunctions holds the table: every function is whole, no two share a name,
// and none takes the name of a built-in.
func TestFunctions(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range Functions() {
		if err := published.Fault(f); err != nil {
			t.Error(err)
			continue
		}
		if seen[f.Name] || slices.Contains(builtins, f.Name) {
			t.Errorf("the name %s is taken twice", f.Name)
		}
		seen[f.Name] = true
		sig := reflect.TypeOf(f.Call)
		for i := range sig.NumIn() {
			if _, ok := quantity.KindOfGo(sig.In(i)); !ok && sig.In(i).Kind() != reflect.String && sig.In(i).Kind() != reflect.Bool {
				t.Errorf("%s: argument %s is of no kind", f.Name, f.Args[i])
			}
		}
		if g, ok := find(f.Name); !ok || g.Name != f.Name {
			t.Errorf("%s is not found by its name", f.Name)
		}
	}
	if len(seen) < 30 {
		t.Errorf("only %d functions", len(seen))
	}
	f, _ := find("torque")
	if got := Signature(f); got != "torque(k: number, thread: text, preload: force) torque" {
		t.Error(got)
	}
}

// TestForeignBuiltins holds the built-ins of the expression language out: what
// tells the time or loops has no place in a template.
func TestForeignBuiltins(t *testing.T) {
	for _, b := range builtin.Builtins {
		if _, calc := find(b.Name); calc || slices.Contains(builtins, b.Name) {
			continue
		}
		if f, probs := check(b.Name+"(x, x)", scope, at); f != nil || len(probs) == 0 {
			t.Errorf("%s is let through", b.Name)
		}
	}
}

// TestEveryPackage holds the table to the calc packages that have functions.
func TestEveryPackage(t *testing.T) {
	ours, err := os.ReadFile("functions.go")
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../calc/*/*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(err, files)
	}
	for _, name := range files {
		code, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		pkg := filepath.Base(filepath.Dir(name))
		if strings.Contains(string(code), "\nvar Functions") && !strings.Contains(string(ours), "\t"+pkg+".Functions,") {
			t.Errorf("%s: the functions of %s are not in the table", name, pkg)
		}
	}
}
