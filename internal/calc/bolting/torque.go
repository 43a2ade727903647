// Package bolting computes what a bolted joint needs: stress area, proof load,
// preload, torque with its scatter, passes, the order of tightening and the load on its
// gasket.
//
// Entry points: Functions, which templates call by name, and CrossPattern. It
// belongs here if it is about bolts, their order, or what the joint's gasket asks of
// them. It is not for the stress of flanges, nor for which joint a unit has: that is in
// the records.
package bolting

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jobsheaf/internal/quantity"
)

// The widest loads, torques and friction that a bolt of the known threads can
// be asked for; what is beyond is a slip of the pen.
const (
	leastForce, mostForce   = quantity.Force(10), quantity.Force(5e6)
	leastTorque, mostTorque = quantity.Torque(0.01), quantity.Torque(1e5)
	leastMu, mostMu         = quantity.Number(0.04), quantity.Number(0.40)
)

func preloadWithin(f quantity.Force) error {
	return quantity.Within("preload", f, leastForce, mostForce)
}

// frictionWithin checks a coefficient of friction; place says where it rubs.
func frictionWithin(place string, mu quantity.Number) error {
	return quantity.Within("friction "+place, mu, leastMu, mostMu)
}

func nutFactorWithin(k quantity.Number) error {
	return quantity.Within("nut factor", k, 0.05, 0.60)
}

// named is a figure that goes by a name.
type named struct {
	name  string
	value quantity.Number
}

// Conditions are those of thread and seat that NutFactor knows.
func Conditions() []string { return names(nutFactors) }

// Methods are those of tightening that Scatter knows.
func Methods() []string { return names(scatters) }

func names(table []named) []string {
	out := make([]string, len(table))
	for i, e := range table {
		out[i] = e.name
	}
	return out
}

func lookUp(what, name string, table []named) (quantity.Number, error) {
	want := normal(name)
	known := make([]string, len(table))
	for i, e := range table {
		if e.name == want {
			return e.value, nil
		}
		known[i] = `"` + e.name + `"`
	}
	return 0, fmt.Errorf("%s %q is not known: want one of %s", what, name, strings.Join(known, ", "))
}

// normal writes a name the one way: lower case, single spaces, no hyphens but in
// anti-seize.
func normal(name string) string {
	s := strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(name, "-", " "))), " ")
	return strings.ReplaceAll(s, "anti seize", "anti-seize")
}

// nutFactors by condition. Sources: Shigley, Mechanical Engineering Design, 9th
// ed., table 8-15 (seen) for black, zinc plated, lubricated, cadmium plated and
// anti-seize; "dry" is 0.20 for clean dry steel (seen in a handbook page; other
// tables give 0.18 to 0.27 for dry steel on steel).
var nutFactors = []named{
	{"black", 0.30}, {"dry", 0.20}, {"zinc plated", 0.20}, {"oiled", 0.18}, {"lubricated", 0.18},
	{"cadmium plated", 0.16}, {"anti-seize", 0.12},
}

// NutFactor gives the nut factor K for a condition of thread and seat.
// Range: the conditions of the table; any other is an error that lists them.
// Stainless on stainless is left out on purpose: published values run from 0.30
// to 0.50 and it galls when dry.
// Source: Shigley, Mechanical Engineering Design, 9th ed., table 8-15; "dry"
// from a handbook page (clean dry steel).
func NutFactor(condition string) (quantity.Number, error) {
	return lookUp("condition", condition, nutFactors)
}

// scatters by method of tightening, as ± parts of the preload wanted. Sources:
// Machinery's Handbook, accuracy of bolt preload application methods (by feel,
// turn of nut, indicating washer, elongation) and NASA's preload criteria (torque
// wrench unlubricated, cadmium plated and lubricated; hydraulic tensioner), both
// seen as quoted in a course page. A torque wrench with no condition named is
// ±30 %, as a bolting glossary after Bickford gives it (seen).
var scatters = []named{
	{"feel", 0.35}, {"torque wrench, dry", 0.35}, {"torque wrench", 0.30}, {"torque wrench, cadmium plated", 0.30},
	{"torque wrench, oiled", 0.25}, {"turn of nut", 0.15}, {"hydraulic tensioner", 0.15},
	{"load indicating washer", 0.10}, {"bolt elongation", 0.05},
}

// Scatter gives the spread of preload that a method of tightening leaves, as a
// ± fraction. Range: the methods of the table; any other is an error that lists
// them. Source: Machinery's Handbook and NASA preload criteria (see scatters).
func Scatter(method string) (quantity.Number, error) { return lookUp("method", method, scatters) }

// torqueMethods are the methods that a torque wrench carries out, each with the
// conditions of thread and seat that it is for; none for one that is for all.
var torqueMethods = map[string][]string{
	"torque wrench":                 nil,
	"torque wrench, dry":            {"dry", "black"},
	"torque wrench, cadmium plated": {"cadmium plated"},
	"torque wrench, oiled":          {"oiled", "lubricated", "anti-seize"},
}

// TorqueScatter gives the spread of preload that a torque wrench leaves at a joint, as
// a ± fraction: Scatter, held to the joint. A method of another tool, whose preload no
// torque sets, and one for another condition of the threads are errors, since their
// scatter is not that of the torque printed.
// Range: the methods of Scatter that name the torque wrench, each with its conditions.
// Source: as Scatter.
func TorqueScatter(method, condition string) (quantity.Number, error) {
	s, err := Scatter(method)
	if err != nil {
		return 0, err
	}
	if _, err := NutFactor(condition); err != nil {
		return 0, err
	}
	conditions, byTorque := torqueMethods[normal(method)]
	switch {
	case !byTorque:
		return 0, fmt.Errorf("method %q sets no torque: want torque wrench, with or without the condition of the threads", method)
	case conditions != nil && !slices.Contains(conditions, normal(condition)):
		return 0, fmt.Errorf("method %q is not for threads that are %s: want %s, or torque wrench alone", method, normal(condition), strings.Join(conditions, " or "))
	}
	return s, nil
}

// ProofLoad gives Fp = As Sp. Range: the threads and grades of StressArea and
// ProofStrength. Source: ISO 898-1:2013, clause 9.6 and its tables of proof
// loads; SAE J429.
func ProofLoad(threadName, grade string) (quantity.Force, error) {
	s, t, err := graded(grade, threadName)
	return quantity.Force(t.tensileArea() * s.proof), err
}

// Preload gives Fi = fraction · As · Sp. Range: fraction 0.1 to 0.9 of proof load.
// Source: Shigley, Mechanical Engineering Design, eq. 8-31 and 8-32 (0.75 for
// joints that are taken apart, 0.90 for permanent ones).
func Preload(threadName, grade string, fraction quantity.Number) (quantity.Force, error) {
	if err := quantity.Within("fraction of proof load", fraction, 0.1, 0.9); err != nil {
		return 0, err
	}
	f, err := ProofLoad(threadName, grade)
	return quantity.Force(fraction) * f, err
}

// Torque gives the short form T = K d F. Range: K 0.05 to 0.60, F 10 N to 5 MN.
// Source: Shigley, Mechanical Engineering Design, eq. 8-27.
func Torque(k quantity.Number, threadName string, preload quantity.Force) (quantity.Torque, error) {
	if err := cmp.Or(nutFactorWithin(k), preloadWithin(preload)); err != nil {
		return 0, err
	}
	t, err := parseThread(threadName)
	return quantity.Torque(float64(k) * t.diameter * float64(preload)), err
}

// seatRow holds, in mm, the clearance hole and the outer diameters of the
// bearing face under a hexagon head or nut and under a socket head.
type seatRow struct{ hole, hex, socket float64 }

// seats by metric size. Source: ISO 273 medium holes; ISO 4014 and ISO 4762,
// least washer-face diameter dw (from memory; M8, M10, M12, M16 and M20 hexagon
// reproduce the published torques of VDI 2230). A zero is a size not recalled
// with certainty, and is refused.
var seats = map[float64]seatRow{
	5: {5.5, 6.88, 8.03}, 6: {6.6, 8.88, 9.38}, 8: {9, 11.63, 12.33}, 10: {11, 14.63, 15.33}, 12: {13.5, 16.63, 17.23},
	14: {15.5, 19.64, 20.17}, 16: {17.5, 22.49, 23.17}, 18: {20, 25.34, 0}, 20: {22, 28.19, 28.87}, 22: {24, 31.71, 0},
	24: {26, 33.61, 34.81}, 27: {30, 38, 0}, 30: {33, 42.75, 43.61}, 33: {36, 46.55, 0}, 36: {39, 51.11, 52.54}, 39: {42, 55.86, 0},
}

// seatDiameter gives the mean diameter of the bearing face in m. For unified
// threads it is 1.25 d, since head and washer face are about 1.5 d across.
// Source: VDI 2230 Part 1, DKm = (dW + dh)/2; Shigley, eq. 8-26 (dc = 1.25 d).
func (t thread) seatDiameter(seat string) (float64, error) {
	if seat != "hex" && seat != "socket" {
		return 0, fmt.Errorf(`seat %q is not known: want "hex" or "socket"`, seat)
	}
	if !t.metric {
		return 1.25 * t.diameter, nil
	}
	row, outer := seats[t.size], 0.0
	if outer = row.hex; seat == "socket" {
		outer = row.socket
	}
	if outer == 0 {
		return 0, fmt.Errorf("no %s bearing face is on record for %s: want one of the sizes %s", seat, t.name, seatSizes(seat))
	}
	return (outer + row.hole) / 2 * mm, nil
}

func seatSizes(seat string) string {
	var sizes []float64
	for size, row := range seats {
		if seat == "hex" || row.socket > 0 {
			sizes = append(sizes, size)
		}
	}
	slices.Sort(sizes)
	return "M" + strings.ReplaceAll(joined(sizes), ", ", ", M")
}

// TorqueFriction gives the long form
// T = F (0.16 P + 0.58 d2 μG + DKm μK / 2), with the friction of thread μG and
// seat μK. Range: μ 0.04 to 0.40, F 10 N to 5 MN, the seats of seats.
// Source: VDI 2230 Part 1 (2003, 2015), assembly torque MA; agrees with
// Shigley, eq. 8-26, and ISO 16047.
func TorqueFriction(threadName string, preload quantity.Force, muThread, muSeat quantity.Number, seat string) (quantity.Torque, error) {
	t, err := parseThread(threadName)
	if err != nil {
		return 0, err
	}
	if err := cmp.Or(preloadWithin(preload), frictionWithin("of the thread", muThread), frictionWithin("of the seat", muSeat)); err != nil {
		return 0, err
	}
	dk, err := t.seatDiameter(seat)
	if err != nil {
		return 0, err
	}
	arm := 0.16*t.pitch + 0.58*t.d2()*float64(muThread) + dk/2*float64(muSeat)
	return quantity.Torque(float64(preload) * arm), nil
}

// FrictionOf gives the friction, alike in thread and seat, for which the long form
// comes to a nut factor: μ = (K − 0.16 P/d) / (0.58 d2/d + 0.625), the seat taken
// at a mean diameter of 1.25 d. Range: K 0.05 to 0.60, and a friction of 0.04 to
// 0.40 as a result.
// Source: Shigley, Mechanical Engineering Design, eq. 8-26 (dc = 1.25 d) and 8-27,
// which makes 0.20 of a friction of 0.15; linear in μ as VDI 2230 Part 1 has it.
func FrictionOf(k quantity.Number, threadName string) (quantity.Number, error) {
	if err := nutFactorWithin(k); err != nil {
		return 0, err
	}
	t, err := parseThread(threadName)
	if err != nil {
		return 0, err
	}
	mu := (k - quantity.Number(0.16*t.pitch/t.diameter)) / quantity.Number(0.58*t.d2()/t.diameter+1.25/2)
	if err := frictionWithin("that the nut factor stands for", mu); err != nil {
		return 0, err
	}
	return mu, nil
}

// PreloadLow gives the least preload that the method's scatter leaves,
// F (1 − s). Range: F 10 N to 5 MN, s 0 to 0.9.
// Source: NASA-STD-5020, P = (1 ± Γ) T/(K D) (from memory).
func PreloadLow(preload quantity.Force, scatter quantity.Number) (quantity.Force, error) {
	return spread(preload, scatter, -1)
}

// PreloadHigh gives the greatest preload that the method's scatter leaves,
// F (1 + s). Range and source: as PreloadLow.
func PreloadHigh(preload quantity.Force, scatter quantity.Number) (quantity.Force, error) {
	return spread(preload, scatter, 1)
}

func spread(preload quantity.Force, scatter quantity.Number, sign float64) (quantity.Force, error) {
	if err := cmp.Or(preloadWithin(preload), quantity.Within("scatter", scatter, 0, 0.9)); err != nil {
		return 0, err
	}
	return preload * quantity.Force(1+sign*float64(scatter)), nil
}

// YieldUse gives the part of the yield strength that the axial stress alone
// uses, F/(As Re). Above 1 the bolt yields. Range: F 10 N to 5 MN.
// Source: definition of stress; Re as YieldStrength.
func YieldUse(threadName, grade string, preload quantity.Force) (quantity.Number, error) {
	s, t, err := graded(grade, threadName)
	if err != nil {
		return 0, err
	}
	if err := preloadWithin(preload); err != nil {
		return 0, err
	}
	return quantity.Number(float64(preload) / (t.tensileArea() * s.yield)), nil
}

// torsion gives √(1 + 3 [ (3/2)(d2/d0)(P/(π d2) + 1.155 μ) ]²): by how much the
// equivalent stress while tightening is above the axial one.
// Source: VDI 2230 Part 1, assembly preload FM.
func (t thread) torsion(mu quantity.Number) float64 {
	k := 1.5 * t.d2() / t.d0() * (t.pitch/(math.Pi*t.d2()) + 1.155*float64(mu))
	return math.Sqrt(1 + 3*k*k)
}

// YieldUseTorsion gives the part of the yield strength that axial and torsional
// stress use together while the bolt is tightened. Range: F 10 N to 5 MN,
// μ 0.04 to 0.40. Source: VDI 2230 Part 1, assembly preload FM, solved for the
// utilisation ν (von Mises).
func YieldUseTorsion(threadName, grade string, preload quantity.Force, muThread quantity.Number) (quantity.Number, error) {
	s, t, err := graded(grade, threadName)
	if err != nil {
		return 0, err
	}
	if err := cmp.Or(preloadWithin(preload), frictionWithin("of the thread", muThread)); err != nil {
		return 0, err
	}
	return quantity.Number(float64(preload) / (t.tensileArea() * s.yield) * t.torsion(muThread)), nil
}

// PreloadYield gives the preload at which axial and torsional stress together
// use a fraction of the yield strength: FM = A0 ν Re / √(1 + 3 [...]²).
// Range: fraction 0.1 to 0.9, μ 0.04 to 0.40.
// Source: VDI 2230 Part 1, assembly preload FM (tables for ν = 0.9).
func PreloadYield(threadName, grade string, fraction, muThread quantity.Number) (quantity.Force, error) {
	s, t, err := graded(grade, threadName)
	if err != nil {
		return 0, err
	}
	if err := cmp.Or(quantity.Within("fraction of yield", fraction, 0.1, 0.9), frictionWithin("of the thread", muThread)); err != nil {
		return 0, err
	}
	return quantity.Force(t.tensileArea() * float64(fraction) * s.yield / t.torsion(muThread)), nil
}

// PassTorque gives a pass's part of the final torque. Range: T 0.01 N·m to
// 100 kN·m, fraction 0.05 to 1.
// Source: ASME PCC-1 (2010 to 2019), legacy tightening: passes of 20 to 30 %,
// 50 to 70 % and 100 %, then once round (from memory).
func PassTorque(torque quantity.Torque, fraction quantity.Number) (quantity.Torque, error) {
	if err := quantity.Within("torque", torque, leastTorque, mostTorque); err != nil {
		return 0, err
	}
	if err := quantity.Within("fraction", fraction, 0.05, 1); err != nil {
		return 0, err
	}
	return torque * quantity.Torque(fraction), nil
}
