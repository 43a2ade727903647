package compose

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"jobsheaf/internal/compute"
	"jobsheaf/internal/formula"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
)

// instrumentTable begins the table that asks for the number and the calibration of
// each instrument; namedInstruments fills it.
func (r *run) instrumentTable() *packet.Table {
	t := r.table("instruments", column{"name", 2, 0}, column{"number", 0, 15.5}, column{"due", 0, 0})
	t.Double, t.Title = true, "" // its headings say it
	return t
}

// useInstrument gives an instrument that is read elsewhere than on the wear sheet.
func (r *run) useInstrument(name string) *record.Instrument {
	r.used[name] = true
	return r.Instrument(name)
}

// namedInstruments gives a row to each instrument that the packet names, which are known
// once the sheets are written.
func (r *run) namedInstruments() {
	for _, n := range slices.Sorted(maps.Keys(r.Instruments())) {
		if !r.used[n] { // the wear sheet asks at each part, and one whose uncertainty alone is worked with is not brought
			continue
		}
		r.instruments.Rows = append(r.instruments.Rows, packet.Row{Cells: []packet.Cell{{Text: packet.Say(r.Translate(n))},
			{Blanks: []packet.Blank{{ID: r.places.id("instrument", slug(n), "number"), Kind: packet.Words, Characters: 3, Ask: &manifest.Ask{For: manifest.ForNumber, Of: n, Tool: r.Translate(n)}}}},
			{Blanks: []packet.Blank{{ID: r.places.id("instrument", slug(n), "due"), Kind: packet.Words, Characters: 4, Ask: &manifest.Ask{For: manifest.ForDue, Of: n, Tool: r.Translate(n)}}}}}})
	}
}

// reach is the torques that a wrench is set to, from the least to the greatest, in
// newton metres.
type reach struct {
	low, high float64
	show      quantity.Show
	entries   []string // of the working, by name
}

// reaches notes that a torque is set with its wrench.
func (r *run) reaches(res *compute.Result) {
	kind, _ := res.Value.Kind()
	tool := res.Tool()
	if kind != quantity.KindTorque || tool == nil || !res.Known() {
		return
	}
	at := slices.IndexFunc(r.Working(), func(e packet.Entry) bool { return e.Name == res.Name })
	if at < 0 {
		return // it is not printed
	}
	e := r.Working()[at]
	for _, si := range []*float64{e.SI, e.Low, e.High} {
		if si == nil {
			continue
		}
		of, had := r.reach[tool.Name]
		if !had {
			of = reach{low: *si, high: *si, show: res.Show}
		}
		of.low, of.high = min(of.low, *si), max(of.high, *si)
		if !slices.Contains(of.entries, res.Name) {
			of.entries = append(of.entries, res.Name)
		}
		r.reach[tool.Name] = of
	}
}

// wrenches lists the torque wrenches that the card's torques ask for, each with the
// range that it must have.
func (r *run) wrenches() (items []packet.ListItem, needed []packet.Item) {
	for _, name := range slices.Sorted(maps.Keys(r.reach)) {
		of := r.reach[name]
		end := func(which string, si float64) packet.Phrase {
			show := of.show
			show.Way = quantity.Nearest
			text := r.TextOf(show, quantity.OfType(si, formula.Is(quantity.KindTorque).Quantity))
			e := packet.Entry{Name: "instruments." + name + "." + which, What: r.Word("instruments.reach") + ", " + r.Word(which) + ": " + r.Translate(name),
				Formula: r.Word("instruments.reach_of"), Sources: []string{r.Word("instruments.reach_of")}, SI: new(si), Kind: quantity.KindTorque.String(), Exactly: text, Printed: text}
			for _, from := range of.entries {
				for _, w := range r.Working() {
					if w.Name == from {
						e.Inputs = append(e.Inputs, packet.Input{Name: from, Text: w.Exactly, Key: w.Key})
					}
				}
			}
			return r.Entered(text, e)
		}
		item := slices.Concat(packet.Say(r.Translate(name)+", "), end("low", of.low), packet.Say(" "+r.Word("to")+" "), end("high", of.high))
		text := packet.Phrase(item).String()
		items = append(items, supply(r.places.id("wrench", slug(name)), item))
		needed = append(needed, packet.Item{Item: text, Asks: []packet.Amount{{Kind: quantity.KindTorque.String(), Written: strings.TrimPrefix(text, r.Translate(name)+", "), Low: new(of.low), High: new(of.high)}}})
	}
	return items, needed
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
