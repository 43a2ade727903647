package published

import (
	"errors"
	"strings"
	"testing"

	"jobsheaf/internal/quantity"
)

func TestRefusedFindsWhatIsLetThrough(t *testing.T) {
	f := quantity.Function{Name: "f", Args: []string{"a"}, What: "w", Formula: "f", Range: "r", Source: "s"}
	for want, call := range map[string]func(quantity.Length) (quantity.Length, error){
		"want it refused": func(quantity.Length) (quantity.Length, error) { return 1, nil },
		"panic: boom":     func(quantity.Length) (quantity.Length, error) { panic("boom") },
		"does not say":    func(quantity.Length) (quantity.Length, error) { return 0, errors.New("no") },
		"was not checked": func(a quantity.Length) (quantity.Length, error) { return (a - 1) / (a - 1), nil },
	} {
		f.Call = call
		if err := refused(f, []any{quantity.Length(1)}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
	f.Call = func(quantity.Length) (quantity.Length, error) { return 0, errors.New("want 1 mm to 2 mm") }
	if err := refused(f, []any{quantity.Length(1)}); err != nil {
		t.Error(err)
	}
}

func TestMissingGoodArgumentsAreNamed(t *testing.T) {
	f := quantity.Function{Name: "f", Args: []string{"a", "b"}, What: "w", Formula: "f", Range: "r", Source: "s",
		Call: func(a, b quantity.Length) (quantity.Length, error) { return max(a, b), nil }}
	if err := accepted(f, nil); err == nil || !strings.Contains(err.Error(), "f: 0 good arguments, want 2 (a, b): add them") {
		t.Errorf("got %v", err)
	}
	if err := accepted(f, []any{quantity.Length(1), quantity.Length(2)}); err != nil {
		t.Error(err)
	}
}
