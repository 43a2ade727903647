package quantity

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
)

func doubled() Function {
	return Function{Name: "doubled", Args: []string{"length"}, What: "twice a length", Formula: "2 L", Range: "any", Source: "none",
		Call: func(l Length) (Length, error) {
			if l < 0 {
				return 0, errors.New("below zero")
			}
			return 2 * l, nil
		}}
}

func TestFunctionFaults(t *testing.T) {
	if err := doubled().Fault(); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(*Function){
		"name":       func(f *Function) { f.Name = "Doubled" },
		"source":     func(f *Function) { f.Source = "" },
		"range":      func(f *Function) { f.Range = "" },
		"args":       func(f *Function) { f.Args = nil },
		"arg name":   func(f *Function) { f.Args = []string{"a b"} },
		"no call":    func(f *Function) { f.Call = nil },
		"nil call":   func(f *Function) { f.Call = (func(Length) (Length, error))(nil) },
		"float64":    func(f *Function) { f.Call = func(l float64) (Length, error) { return 0, nil } },
		"one result": func(f *Function) { f.Call = func(l Length) Length { return l } },
		"variadic":   func(f *Function) { f.Call = func(l ...Length) (Length, error) { return 0, nil } },
	} {
		f := doubled()
		spoil(&f)
		if f.Fault() == nil {
			t.Errorf("%s: no fault found", name)
		}
	}
}

func TestFunctionApply(t *testing.T) {
	f := doubled()
	if got, err := f.Apply(Length(3)); err != nil || got != Length(6) {
		t.Errorf("Apply(3 m) = %v, %v", got, err)
	}
	for want, args := range map[string][]any{
		"takes 1 arguments":      {},
		"wants a quantity.Leng":  {3.0},
		"argument length wants":  {nil},
		"below zero":             {Length(-1)},
		"gave no finite number:": {Length(math.Inf(1))},
	} {
		if _, err := f.Apply(args...); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Apply(%v): %v, want %q", args, err, want)
		}
	}
}

// TestKindOfGo holds the map of Go types to the names of the kinds: every kind
// has one, and it is the one that is called like it.
func TestKindOfGo(t *testing.T) {
	if len(kindOfGo) != int(kindCount) {
		t.Errorf("%d Go types for %d kinds", len(kindOfGo), kindCount)
	}
	for typ, k := range kindOfGo {
		name := strings.NewReplacer(" ", "", "-", "").Replace(k.String())
		if !strings.EqualFold(name, typ.Name()) {
			t.Errorf("%s is mapped to %s", typ, k)
		}
	}
	if _, ok := KindOfGo(reflect.TypeFor[float64]()); ok {
		t.Error("a bare float64 has a kind")
	}
}
