package order

import (
	"maps"
	"slices"
	"strings"
)

// mostOpen is how many things that are not on record are run in every combination;
// more of them are run one at a time.
const mostOpen = 8

// factPrefix sets the facts apart from the conditions of steps.
const factPrefix = "fact: "

// waysOf lists the ways in which what is not on record may be. There is at least one.
func waysOf(m Machine, steps []Step) []map[string]bool {
	open := map[string]bool{}
	for name, f := range m.Facts {
		if f == Open {
			open[factPrefix+name] = true
		}
	}
	note := func(c Condition) {
		if c != nil {
			for _, a := range c.Atoms() {
				open[a] = true
			}
		}
	}
	for _, s := range steps {
		if len(s.Does) == 0 {
			continue
		}
		for _, c := range s.If {
			note(c)
		}
		for _, a := range s.Does {
			note(a.If)
		}
	}
	atoms := slices.Sorted(maps.Keys(open))
	if len(atoms) <= mostOpen {
		ways := make([]map[string]bool, 0, 1<<len(atoms))
		for bits := range 1 << len(atoms) {
			way := make(map[string]bool, len(atoms))
			for i, a := range atoms {
				way[a] = bits>>i&1 == 1
			}
			ways = append(ways, way)
		}
		return ways
	}
	var ways []map[string]bool
	for _, all := range []bool{true, false} {
		base := make(map[string]bool, len(atoms))
		for _, a := range atoms {
			base[a] = all
		}
		ways = append(ways, base)
		for _, a := range atoms {
			way := maps.Clone(base)
			way[a] = !all
			ways = append(ways, way)
		}
	}
	return ways
}

// supposes reports whether a way takes something for true of the unit that is not on
// record.
func supposes(way map[string]bool) bool {
	for name, yes := range way {
		if yes && strings.HasPrefix(name, factPrefix) {
			return true
		}
	}
	return false
}
