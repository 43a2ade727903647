// Package published holds the calc packages against figures that others have
// published: the tables in testdata/published, one CSV for each topic.
//
// Entry points: Run, from a test of a calc package; Inputs, for tests that vary what
// the tables hold. It belongs here if it reads or judges a row of those tables. It is
// not for the figures themselves, nor for tests of shape (monotony, inverses), which
// stand beside the code they test.
//
// A table has the columns function, inputs, expected, tolerance, unit, source,
// kind; a line that starts with # is a comment. Inputs are written
// "name=value unit; name=value unit" with every argument of the function.
// Expected is a number in the unit, "true" or "false", a text, or
// "refused: words", where the function must give an error that holds the words.
// Tolerance is absolute in the unit ("0.05") or a part of the figure ("0.6%").
package published

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jobsheaf/internal/quantity"
)

// Kinds are what a source may be, strongest first.
var Kinds = []string{
	"standard", "handbook", "worked example",
	"derived",        // follows from a published figure by arithmetic, and stands nowhere itself
	"unnamed source", // seen, but nobody kept where
	"common practice", FromMemory, ByHand,
}

const (
	// FromMemory marks a figure that was recalled and not seen in its source.
	FromMemory = "from memory"
	// ByHand marks a figure that we worked out beside the program: it holds the code to
	// its formula, and is no outside check of that formula.
	ByHand = "by hand"
)

// widest is the largest part of the expected figure that a tolerance may come
// to: with a wider one a row would pass on a wrong formula.
const widest = 0.10

// slack absorbs the error of binary arithmetic where the tolerance is 0.
const slack = 1e-9

var columns = []string{"function", "inputs", "expected", "tolerance", "unit", "source", "kind"}

// Row is one published figure.
type Row struct {
	Line                                                      int
	Function, Inputs, Expected, Tolerance, Unit, Source, Kind string
}

// fewest is how many rows a table has at least.
const fewest = 10

// Run checks every row of testdata/published/<topic>.csv against the functions;
// each row is a subtest. A test of package internal/calc/<topic> calls it. The
// table has ten rows from outside or more, most of them seen and not from memory, and
// one row at least for each function. A function says that it has no outside check where all its
// rows are our own, and only there.
func Run(t *testing.T, topic string, functions []quantity.Function) {
	t.Helper()
	for _, f := range functions {
		if err := Fault(f); err != nil {
			t.Error(err)
		}
	}
	name := topic + ".csv"
	file, err := os.Open(filepath.Join("..", "..", "..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := Read(file)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	recalled, ours := 0, 0
	called, outside := map[string]bool{}, map[string]bool{}
	for _, r := range rows {
		called[r.Function] = true
		outside[r.Function] = outside[r.Function] || r.Kind != ByHand
		switch r.Kind {
		case FromMemory:
			recalled++
		case ByHand:
			ours++
		}
		t.Run(fmt.Sprintf("line %d %s", r.Line, r.Function), func(t *testing.T) {
			if err := r.Check(functions); err != nil {
				t.Errorf("%s:%d: %v", name, r.Line, err)
			}
		})
	}
	if outer := len(rows) - ours; outer < fewest || 2*recalled >= outer {
		t.Errorf("%s: %d rows from outside, %d of them from memory: want %d or more, the lesser part from memory", name, outer, recalled, fewest)
	}
	for _, f := range functions {
		switch {
		case !called[f.Name]:
			t.Errorf("%s: no row for %s", name, f.Name)
		case outside[f.Name] && f.Unchecked:
			t.Errorf("%s: there is an outside row for %s, which says that it has none", name, f.Name)
		case !outside[f.Name] && !f.Unchecked:
			t.Errorf("%s: all rows for %s are our own: say so with Unchecked", name, f.Name)
		}
	}
}

// Read reads a table. The error names the line of the first row that is not
// well formed: a wrong number of columns, no source, an unknown kind.
func Read(r io.Reader) ([]Row, error) {
	in := csv.NewReader(r)
	in.Comment, in.FieldsPerRecord = '#', len(columns)
	head, err := in.Read()
	if err != nil {
		return nil, err
	}
	if !slices.Equal(head, columns) {
		return nil, fmt.Errorf("the columns are %s, want %s", strings.Join(head, ","), strings.Join(columns, ","))
	}
	var rows []Row
	for {
		rec, err := in.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, err
		}
		line, _ := in.FieldPos(0)
		for i := range rec {
			rec[i] = strings.TrimSpace(rec[i])
		}
		row := Row{line, rec[0], rec[1], rec[2], rec[3], rec[4], rec[5], rec[6]}
		switch {
		case row.Source == "":
			return nil, fmt.Errorf("line %d: no source", line)
		case !slices.Contains(Kinds, row.Kind):
			return nil, fmt.Errorf("line %d: kind %q, want one of %s", line, row.Kind, strings.Join(Kinds, ", "))
		case row.Expected == "":
			return nil, fmt.Errorf("line %d: nothing expected", line)
		}
		rows = append(rows, row)
	}
}

// Check calls the row's function with its inputs and says how the result
// differs from the published figure, or nil where it agrees.
func (r Row) Check(functions []quantity.Function) error {
	i := slices.IndexFunc(functions, func(f quantity.Function) bool { return f.Name == r.Function })
	if i < 0 {
		return fmt.Errorf("no function %q", r.Function)
	}
	f := functions[i]
	if err := Fault(f); err != nil {
		return err
	}
	args, err := arguments(f, r.Inputs)
	if err != nil {
		return err
	}
	got, callErr := Apply(f, args...)
	if words, ok := strings.CutPrefix(r.Expected, "refused:"); ok {
		words = strings.TrimSpace(words)
		switch {
		case words == "":
			return errors.New(`"refused:" names no words of the error`)
		case callErr == nil:
			return fmt.Errorf("%s(%s) = %v, want it refused", f.Name, r.Inputs, got)
		case !strings.Contains(callErr.Error(), words):
			return fmt.Errorf("refused with %q, want the words %q", callErr, words)
		}
		return nil
	}
	if callErr != nil {
		return callErr
	}
	return r.compare(got)
}

// Inputs gives the inputs of all rows of all tables that some functions accept, by the
// name of the function: a start for tests that vary them. dir is the folder of the
// tables.
func Inputs(dir string, functions []quantity.Function) (map[string][][]any, error) {
	names, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("no tables in %s: %v", dir, err)
	}
	out := map[string][][]any{}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		rows, err := Read(bytes.NewReader(data))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		for _, r := range rows {
			i := slices.IndexFunc(functions, func(f quantity.Function) bool { return f.Name == r.Function })
			if i < 0 {
				return nil, fmt.Errorf("%s:%d: no function %q", name, r.Line, r.Function)
			}
			args, err := arguments(functions[i], r.Inputs)
			if err != nil {
				continue // a row that wants its inputs refused
			}
			if _, err := Apply(functions[i], args...); err == nil {
				out[r.Function] = append(out[r.Function], args)
			}
		}
	}
	return out, nil
}

// arguments reads "name=value unit; ..." by the function's Go signature.
func arguments(f quantity.Function, inputs string) ([]any, error) {
	given := map[string]string{}
	for _, part := range strings.Split(inputs, ";") {
		name, text, ok := strings.Cut(part, "=")
		name = strings.TrimSpace(name)
		if !ok || !slices.Contains(f.Args, name) {
			return nil, fmt.Errorf("input %q: want name=value with a name of %s", strings.TrimSpace(part), strings.Join(f.Args, ", "))
		}
		if _, twice := given[name]; twice {
			return nil, fmt.Errorf("input %s is given twice", name)
		}
		given[name] = strings.TrimSpace(text)
	}
	call := reflect.TypeOf(f.Call)
	args := make([]any, len(f.Args))
	for i, name := range f.Args {
		text, ok := given[name]
		if !ok {
			return nil, fmt.Errorf("input %s is missing", name)
		}
		want := call.In(i)
		switch k, named := quantity.KindOfGo(want); {
		case named:
			v, err := quantity.Parse(text, k)
			if err != nil {
				return nil, fmt.Errorf("input %s: %w", name, err)
			}
			args[i] = reflect.ValueOf(v.SI()).Convert(want).Interface()
		case want.Kind() == reflect.Bool:
			b, err := strconv.ParseBool(text)
			if err != nil {
				return nil, fmt.Errorf("input %s: %q, want true or false", name, text)
			}
			args[i] = b
		default:
			args[i] = text
		}
	}
	return args, nil
}

func (r Row) compare(got any) error {
	k, named := quantity.KindOfGo(reflect.TypeOf(got))
	if !named {
		if s := fmt.Sprint(got); s != r.Expected {
			return fmt.Errorf("got %s, published %s", s, r.Expected)
		}
		return nil
	}
	unit, ok := quantity.UnitNamed(r.Unit, k)
	if !ok {
		return fmt.Errorf("%q is no unit of a %s", r.Unit, k)
	}
	want, err := strconv.ParseFloat(r.Expected, 64)
	if err != nil {
		return fmt.Errorf("expected %q is no number", r.Expected)
	}
	tolerance, err := r.tolerance(want)
	if err != nil {
		return err
	}
	si := reflect.ValueOf(got).Float()
	have := quantity.Of(si, k).In(unit)
	if d := math.Abs(have - want); !(d <= tolerance+slack*math.Abs(want)) {
		return fmt.Errorf("%s(%s) = %.6g %s, published %s %s within %s", r.Function, r.Inputs, have, r.Unit, r.Expected, r.Unit, r.Tolerance)
	}
	return nil
}

// tolerance gives the allowed difference in the row's unit.
func (r Row) tolerance(want float64) (float64, error) {
	text, part := strings.CutSuffix(r.Tolerance, "%")
	tol, err := strconv.ParseFloat(text, 64)
	if err != nil || !(tol >= 0) {
		return 0, fmt.Errorf("tolerance %q: want a number in the unit, or a percentage", r.Tolerance)
	}
	if part {
		tol *= math.Abs(want) / 100
	}
	if want != 0 && tol > widest*math.Abs(want)*(1+slack) {
		return 0, fmt.Errorf("tolerance %s is more than %g %% of %s: the row would pass on a wrong formula", r.Tolerance, widest*100, r.Expected)
	}
	return tol, nil
}
