package quantity

// Value is an amount with its type. It remembers the unit in which it was
// written, so that what a record says can be printed as it was said.
type Value struct {
	si   float64
	typ  Type
	unit Unit // as written; zero Kind and Symbol where it was computed
}

// Of makes a value of a kind from its SI amount.
func Of(si float64, k Kind) Value { return Value{si: si, typ: k.Type()} }

// OfType makes a value of any type from its SI amount.
func OfType(si float64, t Type) Value { return Value{si: si, typ: t} }

// SI gives the amount in SI units; a temperature in kelvin.
func (v Value) SI() float64 { return v.si }

// Type gives the dimension and datum.
func (v Value) Type() Type { return v.typ }

// Written gives the unit the value was written in; ok is false for a computed one.
func (v Value) Written() (u Unit, ok bool) { return v.unit, v.unit.Factor != 0 }

// In gives the number in a unit of the same type.
func (v Value) In(u Unit) float64 { return (v.si - u.offset) / u.Factor }

// FromUnit makes a value from a number in a unit.
func FromUnit(number float64, u Unit) Value {
	return Value{si: number*u.Factor + u.offset, typ: u.Kind.Type(), unit: u}
}

// Band is an interval. Either end may be open (nil).
type Band struct{ Low, High *Value }
