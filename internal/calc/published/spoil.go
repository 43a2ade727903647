package published

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/quantity"
)

// Spoil calls a function with its good arguments, which must be accepted, and
// then with each argument in turn made worthless: no number, infinite, huge,
// negative, zero, a text that names nothing. Each such call must be refused with
// an error that says what is wanted, and none may panic. Zero is fine for the
// arguments named in zeroFine.
func Spoil(t *testing.T, f quantity.Function, good []any, zeroFine ...string) {
	t.Helper()
	if err := accepted(f, good); err != nil {
		t.Error(err)
		return
	}
	for i, name := range f.Args {
		for _, bad := range worthless(good[i], slices.Contains(zeroFine, name)) {
			args := slices.Clone(good)
			args[i] = bad
			if err := refused(f, args); err != nil {
				t.Errorf("%s with %s = %v: %v", f.Name, name, bad, err)
			}
		}
	}
}

// accepted says why good arguments are not: a function that is new in its table has
// none yet in the test of its room.
func accepted(f quantity.Function, good []any) error {
	if len(good) != len(f.Args) {
		return fmt.Errorf("%s: %d good arguments, want %d (%s): add them to the map of good arguments in the test of its room",
			f.Name, len(good), len(f.Args), strings.Join(f.Args, ", "))
	}
	if _, err := Apply(f, good...); err != nil {
		return fmt.Errorf("%s%v: %w", f.Name, good, err)
	}
	return nil
}

// worthless gives values of the same Go type that no formula can use.
func worthless(good any, zeroFine bool) []any {
	v := reflect.ValueOf(good)
	switch {
	case v.Kind() == reflect.String:
		return []any{"", "no such thing", "\x00é"}
	case !v.CanFloat():
		return nil
	}
	numbers := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300, -math.Abs(v.Float()) - 1e-3}
	if !zeroFine {
		numbers = append(numbers, 0)
	}
	out := make([]any, len(numbers))
	for i, n := range numbers {
		out[i] = reflect.ValueOf(n).Convert(v.Type()).Interface()
	}
	return out
}

// refused says what is wrong with the way in which a call was answered.
func refused(f quantity.Function, args []any) (fault error) {
	defer func() {
		if r := recover(); r != nil {
			fault = fmt.Errorf("panic: %v", r)
		}
	}()
	got, err := Apply(f, args...)
	switch {
	case err == nil:
		return fmt.Errorf("gave %v, want it refused", got)
	case strings.Contains(err.Error(), "gave no finite number"):
		return fmt.Errorf("was not checked by the function itself: %w", err)
	case !strings.Contains(err.Error(), "want"):
		return fmt.Errorf("the error does not say what is wanted: %w", err)
	}
	return nil
}
