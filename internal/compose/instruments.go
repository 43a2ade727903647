package compose

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
)

// instrumentTable begins the table that asks for the number and the calibration of
// each instrument; namedInstruments fills it.
func (r *run) instrumentTable() *packet.Table {
	t := r.table("instruments", column{"name", 2, 0}, column{"number", 0, 15.5}, column{"due", 0, 0})
	t.Double = true
	return t
}

// namedInstruments gives a row to each instrument that the packet names, which are known
// once the sheets are written.
func (r *run) namedInstruments() {
	for _, n := range slices.Sorted(maps.Keys(r.Instruments())) {
		r.instruments.Rows = append(r.instruments.Rows, packet.Row{Cells: []packet.Cell{{Text: packet.Say(r.Translate(n))},
			{Blanks: []packet.Blank{{ID: r.places.id("instrument", slug(n), "number"), Kind: packet.Words, Characters: 3}}},
			{Blanks: []packet.Blank{{ID: r.places.id("instrument", slug(n), "due"), Kind: packet.Words, Characters: 4}}}}})
	}
}

var point = regexp.MustCompile(`(\d)\.(\d)`)

// pointed prints an amount as a record has it: its digits as they stand, with the
// decimal sign of the pages and the unit's symbol.
func (r *run) pointed(written string) string {
	number := written
	at := strings.LastIndex(written, " ")
	v, err := quantity.ParseAny(written)
	known := err == nil && at > 0
	if known {
		number = written[:at]
	}
	number = point.ReplaceAllString(number, "${1}"+r.Decimal+"${2}")
	if u, ok := v.Written(); known && ok {
		return u.Join(number)
	}
	return number
}
