package bolting

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/quantity"
)

const (
	mm   = 1e-3   // m
	inch = 0.0254 // m
)

// thread is a screw thread of 60° profile, with its basic sizes in metres.
type thread struct {
	name            string
	diameter, pitch float64 // major diameter d, pitch P
	metric          bool
	size            float64 // d in the unit of its family: mm or in
}

// d2 and d3 are the basic pitch diameter and the minor diameter of the bolt.
// Source: ISO 724 and ISO 898-1:2013 clause 9.1.6.1 (ASME B1.1 has the same d2).
func (t thread) d2() float64 { return t.diameter - 0.649519*t.pitch }
func (t thread) d3() float64 { return t.diameter - 1.226869*t.pitch }

// d0 is the diameter of the stress area, between d2 and d3.
func (t thread) d0() float64 { return (t.d2() + t.d3()) / 2 }

// metricPitches are the pitches in mm, coarse first, of each diameter in mm.
// Source: ISO 261 (coarse pitches seen in a table of ISO 898-1; fine pitches
// from memory). Diameters above M39 are outside ISO 898-1 and left out.
var metricPitches = map[float64][]float64{
	3: {0.5}, 4: {0.7}, 5: {0.8}, 6: {1}, 8: {1.25, 1}, 10: {1.5, 1.25, 1}, 12: {1.75, 1.5, 1.25},
	14: {2, 1.5, 1}, 16: {2, 1.5, 1}, 18: {2.5, 2, 1.5, 1}, 20: {2.5, 2, 1.5, 1}, 22: {2.5, 2, 1.5, 1}, 24: {3, 2, 1.5, 1},
	27: {3, 2, 1.5, 1}, 30: {3.5, 2, 1.5, 1}, 33: {3.5, 2, 1.5}, 36: {4, 3, 2, 1.5}, 39: {4, 3, 2, 1.5},
}

// unifiedSeries are the threads per inch of each series by diameter in inches.
// Source: ASME B1.1 (UNC to 1 in and UNF seen; UNC above 1 in and 8UN from memory).
var unifiedSeries = map[string]map[float64]float64{
	"UNC": {0.25: 20, 0.3125: 18, 0.375: 16, 0.4375: 14, 0.5: 13, 0.5625: 12, 0.625: 11, 0.75: 10, 0.875: 9, 1: 8,
		1.125: 7, 1.25: 7, 1.375: 6, 1.5: 6},
	"UNF": {0.25: 28, 0.3125: 24, 0.375: 24, 0.4375: 20, 0.5: 20, 0.5625: 18, 0.625: 18, 0.75: 16, 0.875: 14, 1: 12,
		1.125: 12, 1.25: 12, 1.375: 12, 1.5: 12},
	"8UN": {1: 8, 1.125: 8, 1.25: 8, 1.375: 8, 1.5: 8, 1.625: 8, 1.75: 8, 1.875: 8, 2: 8, 2.25: 8, 2.5: 8},
}

const threadsKnown = "want a metric thread M3 to M39 such as M12 or M12x1.25, or a unified one 1/4 to 2-1/2 in such as 3/8-16, 5/8-11 UNC, 1/2-20 UNF, 1-1/8-8 8UN"

// parseThread reads a designation. The error names what is wanted.
func parseThread(name string) (thread, error) {
	s := strings.Join(strings.Fields(strings.ToUpper(name)), " ")
	if rest, ok := strings.CutPrefix(s, "M"); ok {
		return parseMetric(name, rest)
	}
	return parseUnified(name, s)
}

func parseMetric(name, rest string) (thread, error) {
	size, pitch, fine := strings.Cut(strings.ReplaceAll(rest, "×", "X"), "X")
	d, err := plainDecimal(strings.TrimSpace(size))
	pitches, known := metricPitches[d]
	if err != nil || !known {
		return thread{}, fmt.Errorf("thread %q is not known: %s", name, threadsKnown)
	}
	p := pitches[0]
	if fine {
		p, err = plainDecimal(strings.TrimSpace(pitch))
		if err != nil || !slices.Contains(pitches, p) {
			return thread{}, fmt.Errorf("thread %q is not known: want one of the pitches %s of M%s", name, joined(pitches), size)
		}
	}
	return thread{name: name, diameter: d * mm, pitch: p * mm, metric: true, size: d}, nil
}

func parseUnified(name, s string) (thread, error) {
	unknown := fmt.Errorf("thread %q is not known: %s", name, threadsKnown)
	series := ""
	for _, known := range []string{"8UN", "UNC", "UNF", "UN"} {
		if rest, ok := strings.CutSuffix(s, known); ok {
			s, series = strings.TrimSpace(rest), strings.Replace(known, "UN", "8UN", 1)
			if known != "UN" {
				series = known
			}
			break
		}
	}
	cut := strings.LastIndex(s, "-")
	if cut < 0 {
		return thread{}, unknown
	}
	d, ok := inches(s[:cut])
	n, err := plainDecimal(strings.TrimSpace(s[cut+1:]))
	if !ok || err != nil {
		return thread{}, unknown
	}
	for _, in := range []string{"UNC", "UNF", "8UN"} {
		if (series == "" || series == in) && unifiedSeries[in][d] == n && n > 0 {
			return thread{name: name, diameter: d * inch, pitch: inch / n, size: d}, nil
		}
	}
	return thread{}, unknown
}

// inches reads "3/8", "1", "1-1/8" or "1 1/8".
func inches(s string) (float64, bool) {
	total := 0.0
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '-' })
	if len(parts) < 1 || len(parts) > 2 {
		return 0, false
	}
	for i, part := range parts {
		top, under, fraction := strings.Cut(part, "/")
		n, err := strconv.Atoi(top)
		if err != nil || strings.HasPrefix(top, "+") || n <= 0 || (len(parts) == 2 && fraction != (i == 1)) {
			return 0, false
		}
		den := 1
		if fraction {
			if den, err = strconv.Atoi(under); err != nil || den <= n {
				return 0, false
			}
		}
		total += float64(n) / float64(den)
	}
	return total, true
}

// plainDecimal reads digits with at most one point: no sign, exponent or "inf".
func plainDecimal(s string) (float64, error) {
	if s == "" || strings.Trim(s, "0123456789.") != "" {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return strconv.ParseFloat(s, 64)
}

func joined(numbers []float64) string {
	texts := make([]string, len(numbers))
	for i, n := range numbers {
		texts[i] = strconv.FormatFloat(n, 'f', -1, 64)
	}
	return strings.Join(texts, ", ")
}

// StressArea gives the nominal tensile stress area of a bolt's thread.
// As = (π/4) ((d2 + d3)/2)² with d2 = d − 0.649519 P and d3 = d − 1.226869 P,
// which is (π/4)(d − 0.9382 P)². Unified threads use 0.7854 (D − 0.9743/n)²,
// which is 1 to 2 % less, since it counts with the minor diameter of the nut.
// Range: the threads of ISO 261 M3 to M39, ASME B1.1 UNC and UNF 1/4 to 1-1/2 in,
// 8UN 1 to 2-1/2 in. Any other designation is an error.
// Source: ISO 898-1:2013, clause 9.1.6.1; ASME B1.1 (same form in Shigley,
// Mechanical Engineering Design, table 8-2).
func StressArea(threadName string) (quantity.Area, error) {
	t, err := parseThread(threadName)
	if err != nil {
		return 0, err
	}
	return quantity.Area(t.tensileArea()), nil
}

// tensileArea is the area that the bolt's strength is counted on, in m².
func (t thread) tensileArea() float64 {
	if t.metric {
		return math.Pi / 4 * t.d0() * t.d0()
	}
	d := t.diameter - 0.9743*t.pitch
	return 0.7854 * d * d
}

// ThreadDiameter gives the nominal (major) diameter of a thread.
// Range and errors: as StressArea. Source: ISO 261; ASME B1.1.
func ThreadDiameter(threadName string) (quantity.Length, error) {
	t, err := parseThread(threadName)
	return quantity.Length(t.diameter), err
}

// ThreadPitch gives the pitch of a thread: the coarse one where a metric
// designation names none.
// Range and errors: as StressArea. Source: ISO 261; ASME B1.1.
func ThreadPitch(threadName string) (quantity.Length, error) {
	t, err := parseThread(threadName)
	return quantity.Length(t.pitch), err
}
