package material

import (
	"strings"
	"testing"
)

func TestEveryMaterialIsPlausible(t *testing.T) {
	for _, name := range names() {
		m, err := Named(strings.ToUpper(strings.ReplaceAll(name, " ", "-")))
		if err != nil || m.name != name {
			t.Errorf("%s: %v", name, err)
		}
		if m.Modulus < 10e9 || m.Modulus > 500e9 || m.Poisson < 0.15 || m.Poisson > 0.40 || m.Expansion < 2e-6 || m.Expansion > 25e-6 || m.Source == "" {
			t.Errorf("%+v is out of all measure", m)
		}
		// What is brittle takes more when pressed than when pulled; nothing takes less.
		if m.Tension < 10e6 || m.Tension > m.Crushing || m.Crushing > 5e9 {
			t.Errorf("%s: %v Pa when pulled, %v Pa when pressed", name, m.Tension, m.Crushing)
		}
	}
	if _, err := Named("unobtainium"); err == nil || !strings.Contains(err.Error(), "ductile iron") {
		t.Errorf("an unknown material: %v", err)
	}
}
