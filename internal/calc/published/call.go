package published

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"

	"jobsheaf/internal/quantity"
)

var (
	errorType  = reflect.TypeFor[error]()
	stringType = reflect.TypeFor[string]()
	boolType   = reflect.TypeFor[bool]()
	snake      = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
)

// Fault says what is wrong with an entry of a function table, or nil: a table
// whose names, texts or Go signature do not fit together is a bug.
func Fault(f quantity.Function) error {
	wrong := func(format string, args ...any) error {
		return fmt.Errorf("function %q: %s", f.Name, fmt.Sprintf(format, args...))
	}
	if !snake.MatchString(f.Name) {
		return wrong("the name is not snake_case")
	}
	for _, e := range []struct{ what, text string }{{"What", f.What}, {"Formula", f.Formula}, {"Range", f.Range}, {"Source", f.Source}} {
		if e.text == "" {
			return wrong("%s is empty", e.what)
		}
	}
	t := reflect.TypeOf(f.Call)
	if t == nil || t.Kind() != reflect.Func || reflect.ValueOf(f.Call).IsNil() {
		return wrong("Call is not a Go function")
	}
	if t.IsVariadic() || t.NumIn() != len(f.Args) {
		return wrong("%d argument names for the Go signature %s", len(f.Args), t)
	}
	for i := range t.NumIn() {
		if !snake.MatchString(f.Args[i]) {
			return wrong("the argument name %q is not snake_case", f.Args[i])
		}
		if !plainType(t.In(i)) {
			return wrong("argument %s has the type %s, which no formula can give", f.Args[i], t.In(i))
		}
	}
	if t.NumOut() != 2 || !plainType(t.Out(0)) || t.Out(1) != errorType {
		return wrong("the Go signature %s does not return (named type, error)", t)
	}
	return nil
}

// Apply calls the function with arguments of exactly the Go types of its
// signature. The error is that of the function, or says which argument is of the
// wrong type.
func Apply(f quantity.Function, args ...any) (any, error) {
	if err := Fault(f); err != nil {
		return nil, err
	}
	if len(args) != len(f.Args) {
		return nil, fmt.Errorf("%s takes %d arguments, found %d", f.Name, len(f.Args), len(args))
	}
	call := reflect.ValueOf(f.Call)
	in := make([]reflect.Value, len(args))
	for i, a := range args {
		in[i] = reflect.ValueOf(a)
		if !in[i].IsValid() || in[i].Type() != call.Type().In(i) {
			return nil, fmt.Errorf("%s: argument %s wants a %s, found %T", f.Name, f.Args[i], call.Type().In(i), a)
		}
	}
	out := call.Call(in)
	if err, _ := out[1].Interface().(error); err != nil {
		return nil, err
	}
	if out[0].CanFloat() && (math.IsNaN(out[0].Float()) || math.IsInf(out[0].Float(), 0)) {
		return nil, errors.New(f.Name + " gave no finite number: the arguments are out of its range (" + f.Range + ")")
	}
	return out[0].Interface(), nil
}

func plainType(t reflect.Type) bool {
	_, named := quantity.KindOfGo(t)
	return named || t == stringType || t == boolType
}
