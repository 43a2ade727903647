package quantity

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Systems says in which systems of units a page prints: in one alone, or in both, of
// which the second stands in brackets. The zero Systems is metric alone.
type Systems struct {
	First System
	Both  bool
}

// systemsNamed are the systems of a page as a site's record writes them.
var systemsNamed = []struct {
	name string
	on   Systems
}{{"metric", Systems{}}, {"us", Systems{First: US}}, {"both", Systems{Both: true}}, {"us and metric", Systems{First: US, Both: true}}}

// SystemsNames are the names of the systems of a page, for ParseSystems.
func SystemsNames() []string {
	var names []string
	for _, n := range systemsNamed {
		names = append(names, n.name)
	}
	return names
}

// SystemsNamed gives the systems of a page by name: metric or us alone, both (metric
// first), us and metric (us first). What has no such name is metric.
func SystemsNamed(name string) Systems {
	for _, n := range systemsNamed {
		if n.name == name {
			return n.on
		}
	}
	return Systems{}
}

// printed lists the systems that are printed.
func (on Systems) printed() []System {
	if on.Both {
		return []System{on.First, on.First.Other()}
	}
	return []System{on.First}
}

// pair is an amount written in both systems, as running text has it: 10 mm (0.394 in).
var pair = regexp.MustCompile(`([−-]?\d+(?:[.,]\d+)?)[ \x{a0}](\S+) \(([−-]?\d+(?:[.,]\d+)?)[ \x{a0}]([^\s()]+)\)`)

// InText leaves of each amount that a text states in both systems, such as 10 mm
// (0.394 in), what the page prints. What does not agree to a twentieth is no such
// amount, and stays as it is.
func (on Systems) InText(text string) string {
	if on == (Systems{Both: true}) || !mayHavePair(text) {
		return text // metric before us is how texts are written
	}
	return pair.ReplaceAllStringFunc(text, func(found string) string {
		m := pair.FindStringSubmatch(found)
		a, okA := written(m[1], m[2])
		b, okB := written(m[3], m[4])
		if !okA || !okB || a.unit.system == b.unit.system || !a.agrees(b) {
			return found
		}
		head, tail, _ := strings.Cut(found, " (")
		tail = strings.TrimSuffix(tail, ")")
		if a.unit.system != on.First {
			head, tail = tail, head
		}
		if on.Both {
			return head + " (" + tail + ")"
		}
		return head
	})
}

// mayHavePair reports whether a text has a bracket that a number begins: most have none,
// and looking for a pair takes fifty times as long.
func mayHavePair(text string) bool {
	for {
		at := strings.IndexByte(text, '(')
		if at < 0 {
			return false
		}
		rest := text[at+1:]
		if rest != "" && (rest[0] >= '0' && rest[0] <= '9' || rest[0] == '-' || strings.HasPrefix(rest, "−")) {
			return true
		}
		text = rest
	}
}

// minus reads the signs that texts are written with as a number is.
var minus = strings.NewReplacer("−", "-", ",", ".")

// written reads a number of a text with its unit.
func written(number, unit string) (Value, bool) {
	n, err := strconv.ParseFloat(minus.Replace(number), 64)
	found := unitIndex[normal.Replace(unit)]
	if err != nil || len(found) == 0 {
		return Value{}, false
	}
	return FromUnit(n, found[0]), true
}

// agrees reports whether two amounts are one, told in two units: to a twentieth, as
// points on a scale or as differences.
func (v Value) agrees(w Value) bool {
	const share = 1. / 20
	near := func(x, y float64) bool { return math.Abs(x-y) <= share*max(math.Abs(x), math.Abs(y)) }
	if v.typ.Dim != w.typ.Dim {
		return false
	}
	// A twentieth of kelvins is more than a difference between two readings: points on
	// a scale are compared by their own numbers.
	points := v.unit.offset != 0 && w.unit.offset != 0 && math.Abs(v.si-w.si) <= 0.5
	return points || near(v.si-v.unit.offset, w.si-w.unit.offset)
}
