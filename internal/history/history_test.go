package history

import (
	"context"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/page"
	"jobsheaf/internal/register"
)

var by = register.By{Who: "planner", At: time.Date(2026, 12, 1, 9, 0, 0, 0, time.UTC)}

// printed enters a packet of two pages with boxes that keep their readings.
func printed(t *testing.T, r *register.Register, job, day, fingerprint string) int64 {
	t.Helper()
	box := func(id, kind, keep string, low, high *float64) manifest.Box {
		return manifest.Box{ID: id, Kind: kind, X: 20, Y: 20, W: 10, H: 8, Ask: &manifest.Ask{For: manifest.ForReading, Keep: keep, Unit: "mm", Low: low, High: high}}
	}
	m := manifest.From(pages(2), manifest.Job{ID: job, Unit: "P-1", Procedure: "rebuild", Day: day})
	m.Fingerprint = fingerprint
	m.Pages[0].Boxes = []manifest.Box{
		box("pin.A", "blank", "as_found pin", new(31.9), nil), box("pin.B", "blank", "as_found pin", new(31.9), nil), box("pin.left", "blank", "as_left pin", new(31.9), nil),
		box("bore.A", "blank", "as_found bore", nil, new(32.1)), box("bore.B", "blank", "as_found bore", nil, new(32.1)), box("note", "blank", "", nil, nil),
	}
	m.Pages[1].Boxes = []manifest.Box{box("gap", "blank", "as_left gap", new(0.1), new(0.2)), box("gap2", "blank", "as_left gap", new(0.1), new(0.2)), box("new", "tick", "replaced pin and bushing", nil, nil)}
	raw, err := m.Encode()
	if err != nil {
		t.Fatal(err)
	}
	_, err = r.Enter(t.Context(), by, func(yield func(register.Print, error) bool) {
		yield(register.Print{Job: job, Unit: "P-1", Procedure: "rebuild", Day: day, Fingerprint: fingerprint, Pages: 2, Manifest: raw}, nil)
	})
	if err != nil {
		t.Fatal(err)
	}
	p, err := r.Prints(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	return p[len(p)-1].Event
}

func typed(t *testing.T, r *register.Register, print int64, readings string) {
	t.Helper()
	for field := range strings.FieldsSeq(readings) {
		box, value, _ := strings.Cut(field, "=")
		is, err := r.Readings(t.Context(), print)
		if err != nil {
			t.Fatal(err)
		}
		reading := register.Reading{Print: print, Box: box, Text: value, Unit: "mm", Before: is[box].Event}
		if value != "none" {
			reading.Value = value
		}
		if _, err := r.Type(t.Context(), by, reading); err != nil {
			t.Fatal(err)
		}
	}
}

// says writes what a register knows in one line a page.
func says(t *testing.T, r *register.Register) (out []string) {
	t.Helper()
	pages, err := Of(context.Background(), r, "P-1")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pages {
		line := fmt.Sprintf("%s %s %d:", p.Job, p.Day, p.Number)
		for _, reading := range p.Readings {
			line += fmt.Sprintf(" %s left %v %s;", reading.Name, reading.Left, reading.Value)
		}
		for _, part := range p.Replaced {
			line += " replaced " + part + ";"
		}
		out = append(out, line)
	}
	return out
}

func TestWhatCameBackIsHistory(t *testing.T) {
	r, err := register.Open(t.Context(), filepath.Join(t.TempDir(), register.FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	expect := func(want ...string) {
		t.Helper()
		if got := says(t, r); !reflect.DeepEqual(got, want) {
			t.Errorf("it knows\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
	}
	later := printed(t, r, "K-2", "2026-12-01", "00000002")
	first := printed(t, r, "K-1", "2026-11-01", "00000001")
	expect()
	typed(t, r, later, "pin.left=31.98")
	// The worst place of a part is what counts: the smallest of a pin, the largest of a bore,
	// the nearest to a limit of a gap that has two.
	typed(t, r, first, "pin.A=31.95 pin.B=31.93 bore.A=32.05 bore.B=32.03 gap=0.13 gap2=0.19 note=7")
	expect("K-1 2026-11-01 1: pin left false 31.93 mm; bore left false 32.05 mm;", "K-1 2026-11-01 2: gap left true 0.19 mm;", "K-2 2026-12-01 1: pin left true 31.98 mm;")
	// A correction takes the place of what it corrects, and what is no number counts for nothing.
	typed(t, r, first, "pin.B=31.96 gap2=none")
	if err := r.Settle(t.Context(), by, register.Settled{Print: first, Box: "new", Is: register.Marked}); err != nil {
		t.Fatal(err)
	}
	expect("K-1 2026-11-01 1: pin left false 31.95 mm; bore left false 32.05 mm;", "K-1 2026-11-01 2: gap left true 0.13 mm; replaced pin and bushing;", "K-2 2026-12-01 1: pin left true 31.98 mm;")
	// Of a job that was printed again the newer print stands for the same reading.
	again := printed(t, r, "K-1", "2026-11-01", "00000009")
	typed(t, r, again, "pin.A=31.91")
	expect("K-1 2026-11-01 1: pin left false 31.91 mm;", "K-1 2026-11-01 1: bore left false 32.05 mm;", "K-1 2026-11-01 2: gap left true 0.13 mm; replaced pin and bushing;", "K-2 2026-12-01 1: pin left true 31.98 mm;")
	if err := r.Decide(t.Context(), by, register.Decision{Kind: register.MakeVoid, Print: later, Why: "it was not done"}); err != nil {
		t.Fatal(err)
	}
	expect("K-1 2026-11-01 1: pin left false 31.91 mm;", "K-1 2026-11-01 1: bore left false 32.05 mm;", "K-1 2026-11-01 2: gap left true 0.13 mm; replaced pin and bushing;")
}

// pages makes blank pages of A4.
func pages(n int) (doc page.Doc) {
	for range n {
		doc.Pages = append(doc.Pages, page.Page{W: 210, H: 297})
	}
	return doc
}
