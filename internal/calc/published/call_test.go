package published

import (
	"errors"
	"math"
	"strings"
	"testing"

	"jobsheaf/internal/quantity"
)

func doubled() quantity.Function {
	return quantity.Function{Name: "doubled", Args: []string{"length"}, What: "twice a length", Formula: "2 L", Range: "any", Source: "none",
		Call: func(l quantity.Length) (quantity.Length, error) {
			if l < 0 {
				return 0, errors.New("below zero")
			}
			return 2 * l, nil
		}}
}

func TestFunctionFaults(t *testing.T) {
	if err := Fault(doubled()); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(*quantity.Function){
		"name":       func(f *quantity.Function) { f.Name = "Doubled" },
		"source":     func(f *quantity.Function) { f.Source = "" },
		"range":      func(f *quantity.Function) { f.Range = "" },
		"args":       func(f *quantity.Function) { f.Args = nil },
		"arg name":   func(f *quantity.Function) { f.Args = []string{"a b"} },
		"no call":    func(f *quantity.Function) { f.Call = nil },
		"nil call":   func(f *quantity.Function) { f.Call = (func(quantity.Length) (quantity.Length, error))(nil) },
		"float64":    func(f *quantity.Function) { f.Call = func(l float64) (quantity.Length, error) { return 0, nil } },
		"one result": func(f *quantity.Function) { f.Call = func(l quantity.Length) quantity.Length { return l } },
		"variadic": func(f *quantity.Function) {
			f.Call = func(l ...quantity.Length) (quantity.Length, error) { return 0, nil }
		},
	} {
		f := doubled()
		spoil(&f)
		if Fault(f) == nil {
			t.Errorf("%s: no fault found", name)
		}
	}
}

func TestFunctionApply(t *testing.T) {
	f := doubled()
	if got, err := Apply(f, quantity.Length(3)); err != nil || got != quantity.Length(6) {
		t.Errorf("Apply(3 m) = %v, %v", got, err)
	}
	for want, args := range map[string][]any{
		"takes 1 arguments":      {},
		"wants a quantity.Leng":  {3.0},
		"argument length wants":  {nil},
		"below zero":             {quantity.Length(-1)},
		"gave no finite number:": {quantity.Length(math.Inf(1))},
	} {
		if _, err := Apply(f, args...); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Apply(%v): %v, want %q", args, err, want)
		}
	}
}
