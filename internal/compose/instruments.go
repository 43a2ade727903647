package compose

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
)

// instrumentTable asks for the number and the calibration of each instrument that
// the packet names, which are known once the sheets are written; nil where it names
// none.
func (r *run) instrumentTable() *packet.Table {
	if len(r.Instruments()) == 0 {
		return nil
	}
	t := r.table("instruments", column{"name", 3, 0}, column{"number", 1, 0}, column{"due", 1, 0})
	t.Double = true
	for _, n := range slices.Sorted(maps.Keys(r.Instruments())) {
		in := r.Instruments()[n]
		reads := r.ReadsTo(in)
		text := packet.Say(r.Translate(n) + "\n")
		if in.Show.Grain[r.System].Unit.Symbol == "" {
			text = append(text, packet.Span{Text: r.Word("instruments.counts") + " "})
		}
		text = append(text, packet.Span{Text: r.pointed(reads[0])})
		if len(reads) > 1 {
			text = append(text, packet.Span{Text: " " + r.Word("or") + " " + r.pointed(reads[1])})
		}
		if in.Uncertainty.Known() {
			text = append(text, packet.Span{Text: "; ±\u00a0" + r.pointed(r.Uncertain(in))})
		}
		t.Rows = append(t.Rows, packet.Row{Cells: []packet.Cell{{Text: text},
			{Blanks: []packet.Blank{{ID: r.places.id("instrument", slug(n), "number"), Kind: packet.Words, Characters: 5}}},
			{Blanks: []packet.Blank{{ID: r.places.id("instrument", slug(n), "due"), Kind: packet.Words, Characters: 6}}}}})
	}
	return t
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
