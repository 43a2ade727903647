package bolting

import (
	"fmt"
	"strings"

	"jobsheaf/internal/quantity"
)

const (
	mpa = 1e6
	ksi = 6894757.293168361 // Pa
)

// strength is one row of a table of bolt strengths, in Pa. It holds for
// diameters over `over` up to and including `upTo`, in the unit of the thread's
// family (mm or in).
type strength struct {
	grade                  string
	metric, unified        bool
	over, upTo             float64
	proof, yield, ultimate float64
	standardProof          bool // false: no proof stress is standardised, and yield stands in for it
}

// strengths is in the order in which the grades are listed in messages.
//
// Sources: ISO 898-1, table of mechanical properties (seen; 8.8 is split at
// 16 mm). SAE J429 as printed in Shigley, Mechanical Engineering Design, 5th ed.,
// p. 341 (seen). ASTM A193 grade B7, up to 2-1/2 in (seen on a supplier's data
// page; metric value 720 MPa from memory). ISO 3506-1 A2 and A4 (seen, with the
// limit of M20 for classes 70 and 80; later editions go further, which could not
// be verified, so larger sizes are refused).
var strengths = []strength{
	{grade: "4.6", metric: true, over: 4.5, upTo: 39, proof: 225 * mpa, yield: 240 * mpa, ultimate: 400 * mpa, standardProof: true},
	{grade: "5.8", metric: true, over: 4.5, upTo: 24, proof: 380 * mpa, yield: 420 * mpa, ultimate: 520 * mpa, standardProof: true},
	{grade: "8.8", metric: true, over: 4.5, upTo: 16, proof: 580 * mpa, yield: 640 * mpa, ultimate: 800 * mpa, standardProof: true},
	{grade: "8.8", metric: true, over: 16, upTo: 39, proof: 600 * mpa, yield: 660 * mpa, ultimate: 830 * mpa, standardProof: true},
	{grade: "10.9", metric: true, over: 4.5, upTo: 39, proof: 830 * mpa, yield: 940 * mpa, ultimate: 1040 * mpa, standardProof: true},
	{grade: "12.9", metric: true, over: 4.5, upTo: 39, proof: 970 * mpa, yield: 1100 * mpa, ultimate: 1220 * mpa, standardProof: true},
	{grade: "SAE 2", unified: true, over: 0.2, upTo: 0.75, proof: 55 * ksi, yield: 57 * ksi, ultimate: 74 * ksi, standardProof: true},
	{grade: "SAE 2", unified: true, over: 0.75, upTo: 1.5, proof: 33 * ksi, yield: 36 * ksi, ultimate: 60 * ksi, standardProof: true},
	{grade: "SAE 5", unified: true, over: 0.2, upTo: 1, proof: 85 * ksi, yield: 92 * ksi, ultimate: 120 * ksi, standardProof: true},
	{grade: "SAE 5", unified: true, over: 1, upTo: 1.5, proof: 74 * ksi, yield: 81 * ksi, ultimate: 105 * ksi, standardProof: true},
	{grade: "SAE 8", unified: true, over: 0.2, upTo: 1.5, proof: 120 * ksi, yield: 130 * ksi, ultimate: 150 * ksi, standardProof: true},
	{grade: "B7", unified: true, over: 0.2, upTo: 2.5, proof: 105 * ksi, yield: 105 * ksi, ultimate: 125 * ksi},
	{grade: "B7", metric: true, over: 4.5, upTo: 39, proof: 720 * mpa, yield: 720 * mpa, ultimate: 860 * mpa},
	{grade: "A2-50", metric: true, over: 4.5, upTo: 39, proof: 210 * mpa, yield: 210 * mpa, ultimate: 500 * mpa},
	{grade: "A2-70", metric: true, over: 4.5, upTo: 20, proof: 450 * mpa, yield: 450 * mpa, ultimate: 700 * mpa},
	{grade: "A2-80", metric: true, over: 4.5, upTo: 20, proof: 600 * mpa, yield: 600 * mpa, ultimate: 800 * mpa},
	{grade: "A4-50", metric: true, over: 4.5, upTo: 39, proof: 210 * mpa, yield: 210 * mpa, ultimate: 500 * mpa},
	{grade: "A4-70", metric: true, over: 4.5, upTo: 20, proof: 450 * mpa, yield: 450 * mpa, ultimate: 700 * mpa},
	{grade: "A4-80", metric: true, over: 4.5, upTo: 20, proof: 600 * mpa, yield: 600 * mpa, ultimate: 800 * mpa},
}

// find gives the strength of a grade in a thread's size. The error names the
// known grades, or the sizes for which the grade's strength is known.
func find(grade string, t thread) (strength, error) {
	var known, sizes []string
	for _, s := range strengths {
		if len(known) == 0 || known[len(known)-1] != s.grade {
			known = append(known, s.grade)
		}
		if s.grade != grade {
			continue
		}
		if s.metric == t.metric && t.size > s.over && t.size <= s.upTo {
			return s, nil
		}
		if s.metric {
			sizes = append(sizes, fmt.Sprintf("metric threads M5 to M%g", s.upTo))
		} else {
			sizes = append(sizes, fmt.Sprintf("unified threads 1/4 in to %g in", s.upTo))
		}
	}
	if sizes == nil {
		return strength{}, fmt.Errorf("grade %q is not known: want one of %s", grade, strings.Join(known, ", "))
	}
	return strength{}, fmt.Errorf("grade %q has no strength on record for thread %s: want %s", grade, t.name, strings.Join(sizes, ", or "))
}

func graded(grade, threadName string) (strength, thread, error) {
	t, err := parseThread(threadName)
	if err != nil {
		return strength{}, t, err
	}
	s, err := find(grade, t)
	return s, t, err
}

// ProofStrength gives the stress under proof load Sp of a bolt grade in a thread
// size. For B7 and stainless steel, which have no standard proof stress, it is
// the yield or 0.2 % proof stress; StrengthBasis says which.
// Range: the grades and sizes of the table; any other is an error that lists them.
// Source: ISO 898-1; SAE J429; ASTM A193; ISO 3506-1 (see strengths).
func ProofStrength(grade, threadName string) (quantity.Pressure, error) {
	s, _, err := graded(grade, threadName)
	return quantity.Pressure(s.proof), err
}

// YieldStrength gives the least yield strength, or stress at 0.2 % permanent
// set, of a bolt grade in a thread size. Range and source: as ProofStrength.
func YieldStrength(grade, threadName string) (quantity.Pressure, error) {
	s, _, err := graded(grade, threadName)
	return quantity.Pressure(s.yield), err
}

// TensileStrength gives the least tensile strength of a bolt grade in a thread
// size. Range and source: as ProofStrength.
func TensileStrength(grade, threadName string) (quantity.Pressure, error) {
	s, _, err := graded(grade, threadName)
	return quantity.Pressure(s.ultimate), err
}

// StrengthBasis says what ProofStrength gives for a grade, in words for the
// annex. Range and source: as ProofStrength.
func StrengthBasis(grade, threadName string) (string, error) {
	s, _, err := graded(grade, threadName)
	switch {
	case err != nil:
		return "", err
	case s.standardProof:
		return "stress under proof load", nil
	}
	return "yield strength, since no proof stress is standardised for " + grade, nil
}
