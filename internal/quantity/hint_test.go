package quantity

import (
	"errors"
	"testing"
)

// A hint names units, never a value: one that stood there would be copied.
func TestHintsHoldNoValue(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		hint string
	}{
		{"1.53 SG", KindDensity, "write it with its unit, such as kg/m3 or lb/ft3"},
		{"7.5 HP", KindPower, "did you mean hp?"},
		{"hot", KindTemperature, "write it with its unit, such as degC or degF"},
		{"7.5", KindPower, "write it with its unit, such as kW or hp"},
		{"0,5 mm", KindLength, "write a point for the comma"},
		{"half", KindNumber, "write a plain number, with a point before the decimals"},
	} {
		_, err := Parse(c.text, c.kind)
		var pe *ParseError
		if !errors.As(err, &pe) || pe.Hint != c.hint {
			t.Errorf("%q: %+v, want the hint %q", c.text, pe, c.hint)
		}
	}
}
