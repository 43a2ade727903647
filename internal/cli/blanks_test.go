package cli

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/layout"
	"jobsheaf/internal/packet"
)

// counts are the readings that have no unit: numbers of things, and the pH.
var counts = []string{".ph", ".drops-in-five-minutes", ".current-a", ".gas-lel", ".breathing-zone-ppm", ".bear-on", ".rings-", ".drops-a-minute", ".flats-in-all", ".drop-over-clean", ".as_clean."} // four of them say their unit in the label

// TestBlanks holds the blanks of every packet of the demo sites: each has a name of
// its own, one for a reading says the unit, and each is a box on the paper.
func TestBlanks(t *testing.T) {
	for _, name := range []string{"soapworks", "candleworks-us"} {
		st := readSite(demo(t, name).files())
		for _, j := range st.jobs() {
			pk, problems := st.composer.Make(j)
			if pk == nil {
				t.Fatal(problems)
			}
			doc, _ := layout.Layout(*pk)
			boxes := map[string]bool{}
			for _, pg := range doc.Pages {
				for _, b := range pg.Boxes {
					if boxes[b.ID] {
						t.Errorf("%s: two boxes %s", j.ID.S, b.ID)
					}
					boxes[b.ID] = true
					if b.Hatched {
						t.Errorf("%s: %s is hatched, though nothing is missing", j.ID.S, b.ID)
					}
				}
			}
			readings := 0
			seen := map[string]bool{}
			for _, b := range blanksOf(t, pk) {
				if seen[b.ID] {
					t.Errorf("%s: two blanks %s", j.ID.S, b.ID)
				}
				seen[b.ID] = true
				if !boxes[b.ID] {
					t.Errorf("%s: the blank %s is no box on the paper", j.ID.S, b.ID)
				}
				if b.Kind == packet.Reading {
					readings++
					if b.Unit == "" && !slices.ContainsFunc(counts, func(c string) bool { return strings.Contains(b.ID, c) }) {
						t.Errorf("%s: the blank %s (%s) has no unit", j.ID.S, b.ID, b.Label)
					}
				}
			}
			if readings < 10 {
				t.Errorf("%s: %d readings", j.ID.S, readings)
			}
		}
	}
}

// blanksOf finds the blanks of a packet wherever they stand.
func blanksOf(t *testing.T, pk *packet.Packet) []packet.Blank {
	t.Helper()
	raw, err := json.Marshal(pk.Sheets)
	if err != nil {
		t.Fatal(err)
	}
	var all any
	if err := json.Unmarshal(raw, &all); err != nil {
		t.Fatal(err)
	}
	var blanks []packet.Blank
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, e := range v {
				walk(e)
			}
		case map[string]any:
			if v["id"] != nil && v["kind"] != nil {
				var b packet.Blank
				raw, _ := json.Marshal(v)
				if err := json.Unmarshal(raw, &b); err != nil {
					t.Fatal(err)
				}
				blanks = append(blanks, b)
			}
			for _, key := range slices.Sorted(maps.Keys(v)) {
				walk(v[key])
			}
		}
	}
	walk(all)
	return blanks
}
