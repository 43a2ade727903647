package history

import (
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/register"
)

var by = register.By{Who: "planner", At: time.Date(2026, 12, 1, 9, 0, 0, 0, time.UTC)}

// box is what the tests know of a box.
type box struct {
	keep      string
	page      int
	low, high *float64
}

var boxes = map[string]box{
	"pin.A": {"as_found pin", 1, new(31.9), nil}, "pin.B": {"as_found pin", 1, new(31.9), nil}, "pin.left": {"as_left pin", 1, new(31.9), nil},
	"bore.A": {"as_found bore", 1, nil, new(32.1)}, "bore.B": {"as_found bore", 1, nil, new(32.1)}, "note": {"", 1, nil, nil},
	"gap": {"as_left gap", 2, new(0.1), new(0.2)}, "gap2": {"as_left gap", 2, new(0.1), new(0.2)}, "new": {"replaced pin and bushing", 2, nil, nil},
}

// printed enters a packet.
func printed(t *testing.T, r *register.Register, job, day, fingerprint string) int64 {
	t.Helper()
	_, err := r.Enter(t.Context(), by, func(yield func(register.Print, error) bool) {
		yield(register.Print{Job: job, Unit: "P-1", Procedure: "rebuild", Day: day, Fingerprint: fingerprint, Pages: 2, Manifest: []byte(fingerprint)}, nil)
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
		name, value, _ := strings.Cut(field, "=")
		is, err := r.Readings(t.Context(), print)
		if err != nil {
			t.Fatal(err)
		}
		b := boxes[name]
		reading := register.Reading{Print: print, Box: name, Text: value, Unit: "mm", Keep: b.keep, Page: b.page, Low: b.low, High: b.high, Before: is[name].Event}
		if value != "none" {
			reading.Value = value
		}
		if _, err := r.Type(t.Context(), by, reading); err != nil {
			t.Fatal(err)
		}
	}
}

// says writes what a register knows in one line a page.
func says(t *testing.T, r *register.Register, unit string) (out []string) {
	t.Helper()
	pages, err := Of(t.Context(), r, unit)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pages {
		line := fmt.Sprintf("%s %s %d:", p.Job, p.Day, p.Page)
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
		for _, unit := range []string{"P-1", ""} {
			if got := says(t, r, unit); !reflect.DeepEqual(got, want) {
				t.Errorf("of %q it knows\n%s\nwant\n%s", unit, strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
		}
		if got := says(t, r, "P-2"); got != nil {
			t.Errorf("of another unit it knows %q", got)
		}
	}
	settle := func(print int64, is register.Mark) {
		t.Helper()
		said, err := r.Settled(t.Context(), print)
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Settle(t.Context(), by, register.Settled{Print: print, Box: "new", Is: is, Keep: boxes["new"].keep, Page: 2, Before: said["new"].Event}); err != nil {
			t.Fatal(err)
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
	_, _, err = r.See(t.Context(), by, register.Paper{State: register.Placed, Scan: strings.Repeat("a", 64), At: 1, Print: first, Page: 2,
		Boxes: []register.Box{{ID: "new", Is: register.Marked, Keep: boxes["new"].keep}}})
	if err != nil {
		t.Fatal(err)
	}
	after := []string{"K-1 2026-11-01 1: pin left false 31.95 mm; bore left false 32.05 mm;", "K-1 2026-11-01 2: gap left true 0.13 mm; replaced pin and bushing;", "K-2 2026-12-01 1: pin left true 31.98 mm;"}
	expect(after...)
	// That a reading's box is marked is no reading.
	if err := r.Settle(t.Context(), by, register.Settled{Print: first, Box: "pin.A", Is: register.Marked, Keep: boxes["pin.A"].keep, Page: 1}); err != nil {
		t.Fatal(err)
	}
	expect(after...)
	settle(first, register.Blank)
	expect(after[0], "K-1 2026-11-01 2: gap left true 0.13 mm;", after[2])
	settle(first, register.Marked)
	expect(after...)
	// Of a job that was printed again the newer print stands for the same reading.
	again := printed(t, r, "K-1", "2026-11-01", "00000009")
	typed(t, r, again, "pin.A=31.97")
	after[0] = "K-1 2026-11-01 1: pin left false 31.97 mm; bore left false 32.05 mm;"
	expect(after...)
	if err := r.Decide(t.Context(), by, register.Decision{Kind: register.MakeVoid, Print: later, Why: "it was not done"}); err != nil {
		t.Fatal(err)
	}
	expect(after[:2]...)
	if faults, err := r.Verify(t.Context(), register.Head{}); err != nil || faults != nil {
		t.Errorf("the register has faults: %q (%v)", faults, err)
	}
}
