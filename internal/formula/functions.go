package formula

import (
	"reflect"
	"slices"
	"strings"

	"jobsheaf/internal/calc/alignment"
	"jobsheaf/internal/calc/belts"
	"jobsheaf/internal/calc/bolting"
	"jobsheaf/internal/calc/clearance"
	"jobsheaf/internal/calc/duty"
	"jobsheaf/internal/calc/fits"
	"jobsheaf/internal/calc/gears"
	"jobsheaf/internal/calc/gland"
	"jobsheaf/internal/calc/hydraulics"
	"jobsheaf/internal/calc/lifting"
	"jobsheaf/internal/calc/liquid"
	"jobsheaf/internal/calc/motor"
	"jobsheaf/internal/calc/relief"
	"jobsheaf/internal/calc/running"
	"jobsheaf/internal/calc/slip"
	"jobsheaf/internal/calc/wear"
	"jobsheaf/internal/quantity"
)

// table holds the functions of the calc packages, one line a package, in order
// of their names.
var table = func() []quantity.Function {
	all := slices.Concat(
		alignment.Functions,
		belts.Functions,
		bolting.Functions,
		clearance.Functions,
		duty.Functions,
		fits.Functions,
		gears.Functions,
		gland.Functions,
		hydraulics.Functions,
		lifting.Functions,
		liquid.Functions,
		motor.Functions,
		relief.Functions,
		running.Functions,
		slip.Functions,
		wear.Functions,
	)
	slices.SortFunc(all, func(f, g quantity.Function) int { return strings.Compare(f.Name, g.Name) })
	return all
}()

// Functions lists every function that an expression may call, in order of name.
func Functions() []quantity.Function { return slices.Clone(table) }

// find gives a function by its name.
func find(name string) (quantity.Function, bool) {
	i, ok := slices.BinarySearchFunc(table, name, func(f quantity.Function, name string) int { return strings.Compare(f.Name, name) })
	if !ok {
		return quantity.Function{}, false
	}
	return table[i], true
}

// Signature writes how a function is called and what it takes and gives, such as
// "arc_travel(clearance: length, diameter: length, lead: length) length".
func Signature(f quantity.Function) string {
	t := reflect.TypeOf(f.Call)
	args := make([]string, len(f.Args))
	for i, a := range f.Args {
		args[i] = a + ": " + typeOf(t.In(i)).String()
	}
	return f.Name + "(" + strings.Join(args, ", ") + ") " + typeOf(t.Out(0)).String()
}

// usage writes how a function is called, for hints.
func usage(name string) string {
	f, _ := find(name)
	return name + "(" + strings.Join(f.Args, ", ") + ")"
}
