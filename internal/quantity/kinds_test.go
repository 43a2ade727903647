package quantity

import (
	"strings"
	"testing"
)

func TestKindsByName(t *testing.T) {
	names := KindNames()
	if len(names) != int(kindCount) {
		t.Errorf("%d names of %d kinds", len(names), kindCount)
	}
	seen := map[string]bool{}
	for i, name := range names {
		k, ok := KindNamed(name)
		if !ok || k != Kind(i) || k.String() != name || seen[name] {
			t.Errorf("%q is kind %d, %v, and not %d alone", name, k, ok, i)
		}
		seen[name] = true
		if of, ok := k.Type().Kind(); !ok || of.Type() != k.Type() {
			t.Errorf("%s: its type is that of %s, %v", name, of, ok)
		}
	}
	if k, ok := KindNamed("colour"); ok {
		t.Errorf("a colour is a %s", k)
	}
	for _, none := range []Kind{kindCount, kindCount + 1} {
		if !strings.HasPrefix(none.String(), "kind ") || none.Type() != (Type{}) {
			t.Errorf("a kind that there is not is %s of %v", none, none.Type())
		}
	}
}

// Types that have no kind of their own are named by their dimension.
func TestTypeNames(t *testing.T) {
	for want, typ := range map[string]Type{
		"m^4": {Dim: Dim{L: 4}}, "kg·s^-1": {Dim: Dim{M: 1, T: -1}}, "m^-3·kg^-1·s^2·K^-2·rad": {Dim: Dim{L: -3, M: -1, T: 2, K: -2, A: 1}},
		"length": {Dim: Dim{L: 1}}, "gauge pressure": KindGaugePressure.Type(), "number": {},
	} {
		if got := typ.String(); got != want {
			t.Errorf("%v is called %s, not %s", typ, got, want)
		}
	}
}

// What may be done with points on a scale, and what comes of it.
func TestTypesOfResults(t *testing.T) {
	length, temp, diff := KindLength.Type(), KindTemperature.Type(), KindTemperatureDifference.Type()
	gauge, abs, bar, number := KindGaugePressure.Type(), KindAbsolutePressure.Type(), KindPressure.Type(), KindNumber.Type()
	for _, c := range []struct {
		a    Type
		op   string
		b    Type
		want string // "" where it is refused
	}{
		{length, "+", length, "length"}, {length, "+", number, ""}, {temp, "+", diff, "temperature"}, {diff, "+", temp, "temperature"}, {temp, "+", temp, ""},
		{gauge, "+", abs, ""}, {gauge, "+", bar, "gauge pressure"}, {bar, "+", abs, "absolute pressure"}, {diff, "+", diff, "temperature difference"},
		{length, "-", length, "length"}, {length, "-", number, ""}, {temp, "-", diff, "temperature"}, {temp, "-", temp, "temperature difference"}, {diff, "-", temp, ""},
		{gauge, "-", gauge, "pressure"}, {gauge, "-", abs, ""}, {gauge, "-", bar, "gauge pressure"}, {bar, "-", gauge, ""}, {bar, "-", bar, "pressure"},
		{length, "*", length, "area"}, {length, "*", KindArea.Type(), "volume"}, {temp, "*", number, ""}, {number, "*", temp, ""}, {gauge, "*", gauge, ""}, {bar, "*", KindArea.Type(), "force"},
		{length, "/", length, "number"}, {KindVolume.Type(), "/", length, "area"}, {temp, "/", number, ""}, {number, "/", abs, ""}, {KindForce.Type(), "/", KindArea.Type(), "pressure"},
		{KindMass.Type(), "*", KindMass.Type(), "kg^2"}, {diff, "*", diff, "K^2"}, {KindAngle.Type(), "*", KindAngle.Type(), "rad^2"}, {KindVelocity.Type(), "*", KindVelocity.Type(), "m^2·s^-2"},
		{KindMass.Type(), "/", KindMass.Type(), "number"}, {diff, "/", diff, "number"}, {KindSpeed.Type(), "/", KindSpeed.Type(), "number"}, {KindVelocity.Type(), "/", KindVelocity.Type(), "number"},
		{KindPower.Type(), "/", KindSpeed.Type(), "m^2·kg·s^-2·rad^-1"},
	} {
		do := map[string]func(Type, Type) (Type, error){"+": Type.Plus, "-": Type.Minus, "*": Type.Times, "/": Type.Over}[c.op]
		got, err := do(c.a, c.b)
		switch {
		case c.want == "" && err == nil:
			t.Errorf("%s %s %s is %s, and is not refused", c.a, c.op, c.b, got)
		case c.want != "" && (err != nil || got.String() != c.want):
			t.Errorf("%s %s %s is %s, %v, want %s", c.a, c.op, c.b, got, err, c.want)
		}
	}
}
