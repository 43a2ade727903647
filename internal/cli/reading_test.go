package cli

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// explain works out what a packet leaves to be worked out, says how it stands to its
// limits, and what to do about a reading that it cannot take.
func TestExplainWithReadings(t *testing.T) {
	site := []string{"--site", "../../testdata/readings", "--procedure", "align-by-dials"}
	run := func(code int, args ...string) (string, string) {
		return said(t, code, append(append([]string{"explain", "M-11"}, args...), site...)...)
	}
	text, _ := run(0, "shim_front", "--reading", "rim_bottom=0.14mm", "--reading", "face_bottom=-0.05 mm")
	for _, want := range []string{"shim_front: Shim to add", "reads     F = h + f · a / D", "f readings.face_bottom = -0.05\u00a0mm", "exactly   -0.003813559\u00a0mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("explain lacks %q:\n%s", want, text)
		}
	}
	// The same by hand: (0.14 + 0.06) / 2 − 0.05 × 655 / 118 mm.
	raw, _ := run(0, "shim_back", "--json", "--reading", "rim_bottom=0.14mm", "--reading", "face_bottom=-0.05mm")
	var got struct {
		Values []struct{ SI *float64 }
	}
	if err := json.Unmarshal([]byte(raw), &got); err != nil || len(got.Values) != 1 || got.Values[0].SI == nil {
		t.Fatalf("%v: %s", err, raw)
	}
	if want := ((0.14+0.06)/2 - 0.05*655/118) / 1000; math.Abs(*got.Values[0].SI-want) > 1e-12 {
		t.Errorf("shim_back is %v, by hand %v", *got.Values[0].SI, want)
	}
	for reading, want := range map[string]string{
		"rim_left=0.02mm": "offset = 0.04\u00a0mm: within its limits, at most 0.05\u00a0mm",
		"rim_left=1 thou": "offset = 0.0427\u00a0mm: within its limits",
		"rim_left=0.05mm": "offset = 0.055\u00a0mm: OUTSIDE its limits, at most 0.05\u00a0mm",
	} {
		if text, _ := run(0, "--reading", reading); !strings.Contains(text, want) {
			t.Errorf("%s lacks %q:\n%s", reading, want, text)
		}
	}
	for _, c := range []struct{ value, reading, say string }{
		{"shim_front", "rim_botom=0.1mm", "did you mean rim_bottom?"},
		{"shim_front", "rim_bottom=1 bar", `"bar" measures a pressure where a length is wanted; its box on the page is in mm`},
		{"shim_front", "rim_bottom=0.1", "a number with no unit where a length is wanted"},
		{"shim_front", "rim_bottom", "write name=value with its unit"},
		{"shim_front", "rim_bottom=0.1mm", "add --reading face_bottom=...mm"},
		{"shim_frnt", "rim_bottom=0.1mm", "did you mean shim_front?"},
	} {
		if _, errs := run(2, c.value, "--reading", c.reading); !strings.Contains(errs, c.say) {
			t.Errorf("%s %s says %q, want %q", c.value, c.reading, errs, c.say)
		}
	}
	// Without readings it says where they are taken.
	if text, _ := run(0, "shim_front"); !strings.Contains(text, "printed   as worked out at step 2.1") || !strings.Contains(text, "as read at step 1.1") {
		t.Errorf("explain without readings says:\n%s", text)
	}
}
