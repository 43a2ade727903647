package quantity

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
)

// Function describes one computation that templates may call by name. Each calc
// package lists its own in a table named Functions; the formula room compiles
// calls against it and the working sheet prints from it.
type Function struct {
	Name    string   // snake_case, as templates call it
	Args    []string // names of the arguments, in order
	What    string   // one line
	Formula string   // as printed on the working sheet, such as "s = π D c / lead"
	Range   string   // the valid range, in words
	Source  string   // standard and clause; or "common practice, no source"; or "from memory: ..."
	// Unchecked says that no figure from outside was found to hold the function to, but
	// only our own: whoever reads the working is told.
	Unchecked bool
	Call      any // a Go function over named types, string, bool and Number, returning (T, error)
}

var (
	errorType  = reflect.TypeFor[error]()
	stringType = reflect.TypeFor[string]()
	boolType   = reflect.TypeFor[bool]()
	snake      = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
)

var kindOfGo = map[reflect.Type]Kind{
	reflect.TypeFor[Number]():                KindNumber,
	reflect.TypeFor[Length]():                KindLength,
	reflect.TypeFor[Area]():                  KindArea,
	reflect.TypeFor[Volume]():                KindVolume,
	reflect.TypeFor[Mass]():                  KindMass,
	reflect.TypeFor[Time]():                  KindTime,
	reflect.TypeFor[Angle]():                 KindAngle,
	reflect.TypeFor[Temperature]():           KindTemperature,
	reflect.TypeFor[TemperatureDifference](): KindTemperatureDifference,
	reflect.TypeFor[Force]():                 KindForce,
	reflect.TypeFor[Torque]():                KindTorque,
	reflect.TypeFor[Pressure]():              KindPressure,
	reflect.TypeFor[GaugePressure]():         KindGaugePressure,
	reflect.TypeFor[AbsolutePressure]():      KindAbsolutePressure,
	reflect.TypeFor[Flow]():                  KindFlow,
	reflect.TypeFor[Speed]():                 KindSpeed,
	reflect.TypeFor[Velocity]():              KindVelocity,
	reflect.TypeFor[Power]():                 KindPower,
	reflect.TypeFor[DynamicViscosity]():      KindDynamicViscosity,
	reflect.TypeFor[KinematicViscosity]():    KindKinematicViscosity,
	reflect.TypeFor[Density]():               KindDensity,
	reflect.TypeFor[Expansion]():             KindExpansion,
	reflect.TypeFor[SpecificHeat]():          KindSpecificHeat,
	reflect.TypeFor[Conductivity]():          KindConductivity,
	reflect.TypeFor[FilmCoefficient]():       KindFilmCoefficient,
	reflect.TypeFor[Compressibility]():       KindCompressibility,
	reflect.TypeFor[PressureVelocity]():      KindPressureVelocity,
}

// KindOfGo gives the kind that a named Go type holds: Length gives KindLength.
// ok is false for every type that is not one of this package's named types.
func KindOfGo(t reflect.Type) (k Kind, ok bool) {
	k, ok = kindOfGo[t]
	return k, ok
}

// Fault says what is wrong with an entry of a function table, or nil: a table
// whose names, text or Go signature do not fit together is a bug, found by test.
func (f Function) Fault() error {
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
func (f Function) Apply(args ...any) (any, error) {
	if err := f.Fault(); err != nil {
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
	if out[0].CanFloat() && !finite(out[0].Float()) {
		return nil, errors.New(f.Name + " gave no finite number: the arguments are out of its range (" + f.Range + ")")
	}
	return out[0].Interface(), nil
}

func finite(x float64) bool { return x-x == 0 }

func plainType(t reflect.Type) bool {
	_, named := kindOfGo[t]
	return named || t == stringType || t == boolType
}
