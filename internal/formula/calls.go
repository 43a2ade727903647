package formula

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/quantity"
)

const ruleArguments = "formula-arguments"

// call checks a call of a built-in or of a calc function.
func (c *compiler) call(at int, name string, nodes []ast.Node) (part, bool) {
	if len(nodes) > 0 && start(nodes[0]) < at {
		return c.fail(at, ruleSyntax, "write it as "+name+"(...)", "a pipe has no meaning here")
	}
	if slices.Contains(builtins, name) {
		return c.builtin(at, name, nodes)
	}
	f, ok := find(name)
	if !ok {
		return c.unknown(at, name)
	}
	args, ok := c.all(nodes...)
	if len(nodes) != len(f.Args) {
		return c.fail(at, ruleArguments, "write it as "+usage(f.Name), "%s takes %s, found %d", f.Name, arguments(len(f.Args)), len(nodes))
	}
	if !ok {
		return part{}, false
	}
	sig := reflect.TypeOf(f.Call)
	out := part{typ: typeOf(sig.Out(0)), fixed: true}
	wants := func(i int) Type { return typeOf(sig.In(i)) }
	if f.Any != nil && args[0].typ.Sort == Quantity && !args[0].bare && args[0].typ.Quantity != wants(0).Quantity {
		kind := args[0].typ.Quantity
		f.Call, out.typ = f.Any, Type{Quantity: kind}
		wants = func(i int) Type {
			if i == len(args)-1 {
				return Type{Quantity: quantity.Type{Dim: kind.Dim}}
			}
			return Type{Quantity: kind}
		}
	}
	for i, a := range args {
		ok = c.argument(f, i, a, wants(i)) && ok
		out.fixed = out.fixed && a.fixed
	}
	if !ok {
		return part{}, false
	}
	c.calls = c.add(f)
	for _, t := range looksUp(f) {
		c.calls = c.add(t.f)
	}
	out.run = apply(f, args, c.pos(at))
	return out, true
}

// add gives the functions that are called with one more.
func (c *compiler) add(f quantity.Function) []quantity.Function {
	if slices.ContainsFunc(c.calls, func(g quantity.Function) bool { return g.Name == f.Name }) {
		return c.calls
	}
	return append(c.calls, f)
}

// lookUp is a function that looks up a figure, and which arguments of the function that
// takes the figure it is called with.
type lookUp struct {
	f    quantity.Function
	args []int
}

// looksUp lists the figures that a function takes from tables, which is its own where it
// has a symbol.
func looksUp(f quantity.Function) []lookUp {
	calls := f.Tables
	if f.Symbol != "" {
		calls = append([]string{usage(f.Name)}, calls...)
	}
	list := make([]lookUp, len(calls))
	for i, call := range calls {
		name, args, _ := strings.Cut(strings.TrimSuffix(call, ")"), "(")
		list[i].f, _ = find(name)
		for _, a := range strings.Split(args, ", ") {
			list[i].args = append(list[i].args, slices.Index(f.Args, a))
		}
	}
	return list
}

// figure looks up a figure with the arguments of the call that takes it.
func (l lookUp) figure(in []reflect.Value) (Figure, bool) {
	fig := Figure{Function: l.f}
	own := make([]reflect.Value, len(l.args))
	for i, a := range l.args {
		own[i] = in[a]
		if in[a].Kind() == reflect.String {
			fig.Of = append(fig.Of, in[a].String())
		}
	}
	v, err := invoke(reflect.ValueOf(l.f.Call), own)
	fig.SI = v.SI
	return fig, err == nil
}

// arguments counts arguments in words.
func arguments(n int) string {
	if n == 1 {
		return "1 argument"
	}
	return fmt.Sprintf("%d arguments", n)
}

// unknown says that there is no such function.
func (c *compiler) unknown(at int, name string) (part, bool) {
	names := slices.Clone(builtins)
	for _, f := range table {
		names = append(names, f.Name)
	}
	hint := cmp.Or(diag.DidYouMean(name, names), "jobsheaf explain --functions lists them")
	return c.fail(at, "formula-function", hint, "unknown function %q", name)
}

// argument holds an argument to what the function wants.
func (c *compiler) argument(f quantity.Function, i int, a part, want Type) bool {
	if a.typ.Sort == want.Sort && a.typ.Quantity == want.Quantity {
		return true
	}
	hint := "write it as " + usage(f.Name)
	if want.Sort == Quantity && a.typ.Sort == Quantity {
		if k, ok := want.Quantity.Kind(); ok && a.bare {
			hint = "write it with its unit, as " + constantText(k)
		} else if h := kindHint(part{typ: want}, a); h != "" {
			hint = h
		}
	}
	_, ok := c.fail(a.from, ruleArguments, hint, "%s wants %s for its %s, found %s", f.Name, want, f.Args[i], describe(a))
	return ok
}

// constantText is an example of a constant of a kind.
func constantText(k quantity.Kind) string {
	if k == quantity.KindGaugePressure { // in records a plain bar is a gauge pressure, in q() a difference
		return `q("6 bar(g)")`
	}
	example, _, _ := strings.Cut(quantity.Example(k), " or ")
	return fmt.Sprintf("q(%q)", example)
}

// typeOf gives the type that a Go type of a function's signature holds.
func typeOf(t reflect.Type) Type {
	switch k, ok := quantity.KindOfGo(t); {
	case ok:
		return Is(k)
	case t.Kind() == reflect.String:
		return Type{Sort: Text}
	}
	return Type{Sort: YesNo}
}

// apply makes the call of a function.
func apply(f quantity.Function, args []part, place diag.Pos) eval {
	call := reflect.ValueOf(f.Call)
	sig := call.Type()
	tables := looksUp(f)
	return func(env Env) cell {
		in := make([]reflect.Value, len(args))
		var open []cell
		var by cell
		for i, a := range args {
			x := a.run(env)
			by = by.under(x)
			if x.err != nil || len(x.missing) > 0 {
				open = append(open, x)
				continue
			}
			in[i] = argumentOf(sig.In(i), x.v)
		}
		if open != nil {
			return unsettled(open...)
		}
		v, err := invoke(call, in)
		if err != nil {
			return cell{err: &Error{place, fmt.Errorf("%s: %w", f.Name, err)}}
		}
		out := v.orError(typeOf(sig.Out(0)), place).under(by)
		for _, t := range tables {
			if fig, ok := t.figure(in); ok {
				out.figures = append(out.figures, fig)
			}
		}
		return out
	}
}

// argumentOf puts a value into the Go type that a function takes.
func argumentOf(t reflect.Type, v Value) reflect.Value {
	out := reflect.New(t).Elem()
	switch t.Kind() {
	case reflect.Float64:
		out.SetFloat(v.SI)
	case reflect.String:
		out.SetString(v.Text)
	default:
		out.SetBool(v.Yes)
	}
	return out
}

// invoke calls a function. A panic in it is a bug, but must not take the other
// jobs of a run with it.
func invoke(call reflect.Value, in []reflect.Value) (v Value, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("a bug in this function: %v", r)
		}
	}()
	out := call.Call(in)
	if e, _ := out[1].Interface().(error); e != nil {
		return Value{}, e
	}
	switch r := out[0]; r.Kind() {
	case reflect.Float64:
		v.SI = r.Float()
	case reflect.String:
		v.Text = r.String()
	default:
		v.Yes = r.Bool()
	}
	return v, nil
}

// orError holds the result of a function to what its type can be.
func (v Value) orError(t Type, place diag.Pos) cell {
	if t.Sort == Quantity {
		return settled(v.SI, t.Quantity, place)
	}
	return cell{v: v}
}
