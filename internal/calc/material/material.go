// Package material keeps what the other calc packages need to know of a
// material: how stiff it is and how it grows with heat.
//
// Entry points: Named, Names. It belongs here if it is a property of a material
// at working temperature, with its source. It is not for strength of bolts
// (bolting) nor for liquids (liquid).
package material

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/quantity"
)

// Material is one row of the table.
type Material struct {
	Name      string
	Modulus   quantity.Pressure  // Young's modulus E
	Poisson   quantity.Number    // Poisson's ratio ν
	Expansion quantity.Expansion // linear, mean about room temperature
	Source    string
}

// The temperatures between which a single value of expansion is used. The
// tables give room-temperature values; up to 200 °C the mean of steels and irons
// rises by some 10 %, which the result inherits (common practice, no source).
const (
	Coldest = quantity.Temperature(243.15) // −30 °C
	Hottest = quantity.Temperature(473.15) // 200 °C
)

const (
	gpa   = 1e9
	micro = 1e-6
)

// table holds typical values. Where a source gives a range, the value lies in it
// and the source says the range.
var table = []Material{
	{"cast iron", 100 * gpa, 0.26, 11.4 * micro, "Callister, App. B: gray iron G3000, E 90 to 113 GPa, α 11.4; ν 0.21 to 0.30 (continuum mechanics text, table 5.2)"},
	{"ductile iron", 169 * gpa, 0.29, 11.2 * micro, "Callister, App. B: ductile iron 60-40-18; ν from memory"},
	{"steel", 207 * gpa, 0.293, 11.7 * micro, "Callister, App. B: plain carbon steel 1020; ν Dowling, table 5.2 (mild steel)"},
	{"alloy steel", 207 * gpa, 0.293, 12.3 * micro, "Callister, App. B: 4140 and 4340; ν as mild steel, Dowling, table 5.2"},
	{"stainless steel", 193 * gpa, 0.30, 15.9 * micro, "Callister, App. B: type 316; ν continuum mechanics text, table 5.2"},
	{"stainless steel 304", 193 * gpa, 0.30, 17.2 * micro, "Callister, App. B: type 304; ν continuum mechanics text, table 5.2"},
	{"bronze", 100 * gpa, 0.34, 18.0 * micro, "Callister, App. B: bearing bronze C93200, α 18.0; E from memory (Gere: bronze 96 to 120 GPa, ν 0.34)"},
	{"carbon graphite", 20 * gpa, 0.20, 4.5 * micro, "from memory, to be checked with the maker: resin-impregnated grade, E 15 to 25 GPa, α 4 to 5 (Callister: isostatic graphite E 11.7, α 2.2 to 6.0)"},
	{"silicon carbide", 396 * gpa, 0.22, 4.1 * micro, "Dowling, table 5.2: E 396 GPa, ν 0.22; Callister, App. B: sintered, α 4.1"},
	{"aluminium oxide", 380 * gpa, 0.22, 7.4 * micro, "Callister, App. B: 99.9 % alumina; ν Dowling, table 5.2"},
}

// Named gives a material by its name; hyphens and capitals do not matter. The
// error lists the names that are known.
func Named(name string) (Material, error) {
	want := strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(name, "-", " "))), " ")
	i := slices.IndexFunc(table, func(m Material) bool { return m.Name == want })
	if i < 0 {
		return Material{}, fmt.Errorf("material %q is not known: want one of %s", name, strings.Join(Names(), ", "))
	}
	return table[i], nil
}

// Names lists the materials in the order of the table.
func Names() []string {
	names := make([]string, len(table))
	for i, m := range table {
		names[i] = m.Name
	}
	return names
}
