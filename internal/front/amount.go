package front

import (
	"slices"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
)

// total is a sum of amounts of one kind.
type total struct {
	kind  quantity.Kind
	si    float64
	units []quantity.Unit // in which the amounts are shown, each once
}

// totalOf begins a sum; ok is false for what cannot be added, such as two
// temperatures.
func totalOf(a packet.Amount) (t total, ok bool) {
	k, ok := quantity.KindNamed(a.Kind)
	if !ok {
		return t, false
	}
	if _, err := k.Type().Plus(k.Type()); err != nil {
		return t, false
	}
	t.kind = k
	return t, true
}

// add adds an amount of the same kind.
func (t *total) add(a packet.Amount) {
	t.si += a.SI
	u, ok := quantity.UnitNamed(a.Unit, t.kind)
	if ok && !slices.ContainsFunc(t.units, func(v quantity.Unit) bool { return v.Symbol == u.Symbol }) {
		t.units = append(t.units, u)
	}
}

// text writes the sum with a decimal point. Amounts in one unit stay in it, to ten
// figures. Those in several are given in the finest that the system s has among
// them, rounded up to the decimals in which the unit is shown, so that what is
// pulled is enough.
func (t *total) text(s quantity.System) string {
	v := quantity.Of(t.si, t.kind)
	switch len(t.units) {
	case 0:
		return number(t.si) // a plain number
	case 1:
		return spaced(t.units[0].Join(number(v.In(t.units[0]))))
	}
	var unit quantity.Unit
	for _, u := range t.units {
		u = u.In(s)
		if unit.Symbol == "" || u.Factor < unit.Factor {
			unit = u
		}
	}
	return spaced(unit.Grain().Text(v, quantity.Up, "."))
}

// spaced writes a text with plain spaces, for other programs to read.
func spaced(s string) string { return strings.Join(strings.Fields(s), " ") }
