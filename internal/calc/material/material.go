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
	name      string
	Modulus   quantity.Pressure  // Young's modulus E
	Poisson   quantity.Number    // Poisson's ratio ν
	Expansion quantity.Expansion // linear, mean about room temperature
	Tension   quantity.Pressure  // stress that it takes when pulled: yield, or the tensile strength of what breaks without
	Crushing  quantity.Pressure  // stress that it takes when pressed together
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
	mpa   = 1e6
	micro = 1e-6
)

// table holds typical values. Where a source gives a range, the value lies in it
// and the source says the range.
var table = []Material{
	{"cast iron", 100 * gpa, 0.26, 11.4 * micro, 207 * mpa, 207 * mpa, "Callister, App. B: gray iron G3000, E 90 to 113 GPa, α 11.4; ν 0.21 to 0.30 (continuum mechanics text, table 5.2); table B.4, G3000 tensile 207 MPa at least, taken for crushing too, which is higher"},
	{"ductile iron", 169 * gpa, 0.29, 11.2 * micro, 276 * mpa, 276 * mpa, "Callister, App. B: ductile iron 60-40-18; ν from memory; table B.4, yield 276 MPa at least"},
	{"steel", 207 * gpa, 0.293, 11.7 * micro, 210 * mpa, 210 * mpa, "Callister, App. B: plain carbon steel 1020; ν Dowling, table 5.2 (mild steel); table B.4, 1020 hot rolled, yield 210 MPa at least"},
	{"alloy steel", 207 * gpa, 0.293, 12.3 * micro, 417 * mpa, 417 * mpa, "Callister, App. B: 4140 and 4340; ν as mild steel, Dowling, table 5.2; table B.4, 4140 annealed, yield 417 MPa"},
	{"stainless steel", 193 * gpa, 0.30, 15.9 * micro, 205 * mpa, 205 * mpa, "Callister, App. B: type 316; ν continuum mechanics text, table 5.2; yield 205 MPa at least, hot finished and annealed, table B.4 from memory"},
	{"stainless steel 304", 193 * gpa, 0.30, 17.2 * micro, 205 * mpa, 205 * mpa, "Callister, App. B: type 304; ν continuum mechanics text, table 5.2; yield 205 MPa at least, hot finished and annealed, table B.4 from memory"},
	{"bronze", 100 * gpa, 0.34, 18.0 * micro, 125 * mpa, 125 * mpa, "Callister, App. B: bearing bronze C93200, α 18.0; E from memory (Gere: bronze 96 to 120 GPa, ν 0.34); table B.4, C93200 sand cast, yield 125 MPa"},
	{"carbon graphite", 20 * gpa, 0.20, 4.5 * micro, 25 * mpa, 150 * mpa, "from memory, to be checked with the maker: resin-impregnated grade, E 15 to 25 GPa, α 4 to 5 (Callister: isostatic graphite E 11.7, α 2.2 to 6.0); tension 25 MPa and crushing 150 MPa from memory, low for the grade"},
	{"silicon carbide", 396 * gpa, 0.22, 4.1 * micro, 210 * mpa, 2780 * mpa, "Dowling, table 5.2: E 396 GPa, ν 0.22; Callister, App. B: sintered, α 4.1; tension 210 to 370 MPa, crushing 2780 to 3900 MPa (a table of properties of materials, seen)"},
	{"aluminium oxide", 380 * gpa, 0.22, 7.4 * micro, 200 * mpa, 2000 * mpa, "Callister, App. B: 99.9 % alumina; ν Dowling, table 5.2; tension 200 MPa and crushing 2000 MPa from memory, low for the grade"},
}

// Named gives a material by its name; hyphens and capitals do not matter. The
// error lists the names that are known.
func Named(name string) (Material, error) {
	want := strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(name, "-", " "))), " ")
	i := slices.IndexFunc(table, func(m Material) bool { return m.name == want })
	if i < 0 {
		return Material{}, fmt.Errorf("material %q is not known: want one of %s", name, strings.Join(names(), ", "))
	}
	return table[i], nil
}

// names lists the materials in the order of the table.
func names() []string {
	names := make([]string, len(table))
	for i, m := range table {
		names[i] = m.name
	}
	return names
}
