package quantity

import (
	"reflect"
	"strings"
	"testing"
)

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
