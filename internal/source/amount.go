package source

import (
	"errors"
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

// Amount is a quantity as the file has it. The zero Amount stands for what is not
// on record.
type Amount struct {
	Text
	Value quantity.Value
}

// Band is a band as the file has it, such as "40..45 N.m".
type Band struct {
	Text
	quantity.Band
}

// Amount reads the text as a quantity of a kind within a range, whose ends count
// as within and may be open. ok is false where it is not, and that is reported.
func (t Text) Amount(kind quantity.Kind, within quantity.Band) (Amount, bool) {
	if !t.Known() {
		return Amount{}, false
	}
	v, err := quantity.Parse(t.S, kind)
	if err != nil {
		t.QuantityError(err)
		return Amount{}, false
	}
	if !t.inRange(v, within) {
		return Amount{}, false
	}
	return Amount{t, v}, true
}

// Band reads the text as a band of a kind, both of whose ends are in a range.
func (t Text) Band(kind quantity.Kind, within quantity.Band) (Band, bool) {
	if !t.Known() {
		return Band{}, false
	}
	b, err := quantity.ParseBand(t.S, kind)
	if err != nil {
		t.QuantityError(err)
		return Band{}, false
	}
	if !t.inRange(*b.Low, within) || !t.inRange(*b.High, within) {
		return Band{}, false
	}
	return Band{t, b}, true
}

// QuantityError reports what package quantity found wrong with the text, at the rune
// where it begins.
func (t Text) QuantityError(err error) {
	var pe *quantity.ParseError
	if errors.As(err, &pe) {
		t.Errorf(pe.Offset, "quantity", pe.Hint, "%s", pe.Message)
		return
	}
	t.Errorf(0, "quantity", "", "%s", err)
}

// inRange reports a value outside its range, naming the range. What lies beyond an
// end by the rounding of unit conversion counts as within.
func (t Text) inRange(v quantity.Value, r quantity.Band) bool {
	tolerance := 1e-12 * math.Abs(v.SI())
	if (r.Low == nil || v.SI() >= r.Low.SI()-tolerance) && (r.High == nil || v.SI() <= r.High.SI()+tolerance) {
		return true
	}
	t.Errorf(0, "range", "", "%s is outside the range of this value, %s", Quote(t.S), rangeText(r))
	return false
}

// rangeText says a range in words.
func rangeText(r quantity.Band) string {
	switch {
	case r.Low != nil && r.High != nil:
		return fmt.Sprintf("%s to %s", r.Low.Plain(), r.High.Plain())
	case r.Low != nil:
		return r.Low.Plain() + " or more"
	case r.High != nil:
		return r.High.Plain() + " or less"
	}
	return "any"
}

// Within makes a range of a kind from the texts of its ends; an empty text leaves
// an end open. It is for ranges written in the program, and panics on a mistake in one.
func Within(kind quantity.Kind, low, high string) quantity.Band {
	end := func(s string) *quantity.Value {
		if s == "" {
			return nil
		}
		v, err := quantity.Parse(s, kind)
		if err != nil {
			panic("source: " + s + ": " + err.Error())
		}
		return &v
	}
	return quantity.Band{Low: end(low), High: end(high)}
}

// Amount gives a quantity of a kind within a range.
func (m *Map) Amount(key string, kind quantity.Kind, within quantity.Band) Amount {
	a, _ := m.Text(key).Amount(kind, within)
	return a
}

// Amounts gives the quantities of a list.
func (m *Map) Amounts(key string, kind quantity.Kind, within quantity.Band) []Amount {
	var out []Amount
	for _, t := range m.Texts(key) {
		if a, ok := t.Amount(kind, within); ok {
			out = append(out, a)
		}
	}
	return out
}

// Band gives a band of a kind within a range.
func (m *Map) Band(key string, kind quantity.Kind, within quantity.Band) Band {
	b, _ := m.Text(key).Band(kind, within)
	return b
}

// Whole gives a whole number from low to high, both counted.
func (m *Map) Whole(key string, low, high int) Amount {
	l, h := quantity.Of(float64(low), quantity.KindNumber), quantity.Of(float64(high), quantity.KindNumber)
	a := m.Amount(key, quantity.KindNumber, quantity.Band{Low: &l, High: &h})
	if a.Known() && a.Value.SI() != math.Trunc(a.Value.SI()) {
		a.Errorf(0, "quantity", "write a whole number", "%s is not a whole number", Quote(a.S))
		return Amount{}
	}
	return a
}
