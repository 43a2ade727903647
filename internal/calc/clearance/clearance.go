// Package clearance computes how far a threaded bearing housing is turned to
// set the end clearance of the rotor, and how the clearance changes with heat.
//
// Entry points: Functions, which templates call by name. It belongs here if it
// is about setting or keeping the end clearance. It is not for the leakage that
// a clearance lets through (slip) nor for a fit between parts (fits).
package clearance

import (
	"fmt"
	"math"

	"jobsheaf/internal/quantity"
)

const (
	leastClearance, mostClearance = quantity.Length(1e-6), quantity.Length(0.02)
	leastDiameter, mostDiameter   = quantity.Length(0.005), quantity.Length(2)
	leastLead, mostLead           = quantity.Length(0.0002), quantity.Length(0.05)
	leastLength, mostLength       = quantity.Length(1e-4), quantity.Length(10)
	coldest, hottest              = quantity.Temperature(173.15), quantity.Temperature(673.15) // −100 and 400 °C
	mostDifference                = quantity.TemperatureDifference(500)
)

// ratio gives the arc on diameter D for one unit of axial travel, π D/lead.
func ratio(diameter, lead quantity.Length) (float64, error) {
	if err := quantity.Within("diameter", diameter, leastDiameter, mostDiameter); err != nil {
		return 0, err
	}
	if err := quantity.Within("lead", lead, leastLead, min(mostLead, diameter)); err != nil {
		return 0, err
	}
	return math.Pi * float64(diameter/lead), nil
}

// ArcTravel gives how far a mark on the housing's outside travels along the arc
// when the housing is turned for an end clearance: s = π D c / lead. D is the
// diameter at which the arc is measured, not that of the thread. For threads of
// several starts the lead counts, not the pitch.
// Range: clearance 1 µm to one lead (beyond a turn, marks cannot tell), D 5 mm to
// 2 m, lead 0.2 to 50 mm and at most D. Source: geometry of the helix.
func ArcTravel(clearance, diameter, lead quantity.Length) (quantity.Length, error) {
	r, err := ratio(diameter, lead)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("clearance", clearance, leastClearance, lead); err != nil {
		return 0, fmt.Errorf("%w (more than one turn cannot be told from the marks)", err)
	}
	return clearance * quantity.Length(r), nil
}

// ClearanceOfArc gives the end clearance that a travel of the mark gives:
// c = s lead / (π D), the inverse of ArcTravel. Range: a travel that gives 1 µm
// to one lead; D and lead as ArcTravel. Source: geometry of the helix.
func ClearanceOfArc(arc, diameter, lead quantity.Length) (quantity.Length, error) {
	r, err := ratio(diameter, lead)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("travel", arc, leastClearance*quantity.Length(r), lead*quantity.Length(r)); err != nil {
		return 0, err
	}
	return arc / quantity.Length(r), nil
}

// MisreadClearance gives what a mark misread by a length costs in clearance:
// Δc = Δs lead / (π D). Range: misread 1 µm to a tenth of the circumference; D
// and lead as ArcTravel. Source: geometry of the helix.
func MisreadClearance(misread, diameter, lead quantity.Length) (quantity.Length, error) {
	r, err := ratio(diameter, lead)
	if err != nil {
		return 0, err
	}
	if err := quantity.Within("misreading", misread, leastClearance, math.Pi*diameter/10); err != nil {
		return 0, err
	}
	return misread / quantity.Length(r), nil
}

// TurnCount gives the turns of the housing for an end clearance, n = c/lead.
// Range: clearance 1 µm to 20 mm, lead 0.2 to 50 mm. Source: geometry of the helix.
func TurnCount(clearance, lead quantity.Length) (quantity.Number, error) {
	if err := quantity.Within("clearance", clearance, leastClearance, mostClearance); err != nil {
		return 0, err
	}
	if err := quantity.Within("lead", lead, leastLead, mostLead); err != nil {
		return 0, err
	}
	return quantity.Number(clearance / lead), nil
}

// TurnAngle gives the angle to turn the housing for an end clearance,
// φ = 2π c/lead. Range and source: as TurnCount.
func TurnAngle(clearance, lead quantity.Length) (quantity.Angle, error) {
	n, err := TurnCount(clearance, lead)
	return quantity.Angle(2 * math.Pi * float64(n)), err
}

// LeadMetric gives the lead of a thread from its pitch, lead = starts × P.
// Range: pitch 0.2 to 12 mm; 1 to 8 starts, a whole number.
// Source: definition of lead.
func LeadMetric(pitch quantity.Length, starts quantity.Number) (quantity.Length, error) {
	if err := quantity.Within("pitch", pitch, leastLead, 0.012); err != nil {
		return 0, err
	}
	if err := wholeStarts(starts); err != nil {
		return 0, err
	}
	return pitch * quantity.Length(starts), nil
}

// LeadInch gives the lead of a thread from its threads per inch,
// lead = starts × 1 in / n. Range: n 2 to 127 (lead of 0.2 mm and more); 1 to 8
// starts, a whole number. Source: definition of lead.
func LeadInch(threadsPerInch, starts quantity.Number) (quantity.Length, error) {
	if err := quantity.Within("threads per inch", threadsPerInch, 2, 127); err != nil {
		return 0, err
	}
	if err := wholeStarts(starts); err != nil {
		return 0, err
	}
	return quantity.Length(0.0254 * float64(starts/threadsPerInch)), nil
}

func wholeStarts(starts quantity.Number) error {
	if err := quantity.Within("number of starts", starts, 1, 8); err != nil {
		return err
	}
	if starts != quantity.Number(math.Trunc(float64(starts))) {
		return fmt.Errorf("number of starts %g is not whole: want 1 to 8", float64(starts))
	}
	return nil
}

// Growth gives how much longer a length becomes, ΔL = L α ΔT; negative where it
// cools. Range: L 0.1 mm to 10 m, α 0.1 to 300 µm/(m·K), ΔT −500 to 500 K.
// Source: definition of linear expansion.
func Growth(length quantity.Length, expansion quantity.Expansion, difference quantity.TemperatureDifference) (quantity.Length, error) {
	if err := quantity.Within("length", length, leastLength, mostLength); err != nil {
		return 0, err
	}
	if err := quantity.Within("expansion", expansion, 1e-7, 3e-4); err != nil {
		return 0, err
	}
	if err := quantity.Within("temperature difference", difference, -mostDifference, mostDifference); err != nil {
		return 0, err
	}
	return length * quantity.Length(float64(expansion)*float64(difference)), nil
}

// Closing gives how much of the end clearance the heat takes from cold to running:
// growth of the rotor less growth of the casing, (αr Lr − αc Lc)(T − T cold); below
// zero where the clearance opens. The expansions are the mean ones between the two
// temperatures. Rotor and casing are taken to be at one temperature; where the rotor
// is hotter, as on warming up, more is taken.
// Range: lengths 0.1 mm to 10 m, α 0.1 to 300 µm/(m·K), temperatures −100 to 400 °C.
// Source: definition of linear expansion.
func Closing(rotorLength quantity.Length, rotorExpansion quantity.Expansion, casingLength quantity.Length, casingExpansion quantity.Expansion, cold, running quantity.Temperature) (quantity.Length, error) {
	return ClosingApart(rotorLength, rotorExpansion, casingLength, casingExpansion, cold, running, running)
}

// ClosingApart is Closing while the rotor is at one temperature and the casing at
// another: αr Lr (T rotor − T cold) − αc Lc (T casing − T cold). The worst of a start
// from cold has the rotor at the liquid's temperature and the casing still cold. With
// radii for lengths it gives what the heat takes of a radial clearance.
// Range and source: as Closing.
func ClosingApart(rotorLength quantity.Length, rotorExpansion quantity.Expansion, casingLength quantity.Length, casingExpansion quantity.Expansion, cold, rotorAt, casingAt quantity.Temperature) (quantity.Length, error) {
	for _, e := range []struct {
		what string
		t    quantity.Temperature
	}{{"cold temperature", cold}, {"temperature of the rotor", rotorAt}, {"temperature of the casing", casingAt}} {
		if err := quantity.Within(e.what, e.t, coldest, hottest); err != nil {
			return 0, err
		}
	}
	rotor, err := Growth(rotorLength, rotorExpansion, quantity.TemperatureDifference(rotorAt-cold))
	if err != nil {
		return 0, fmt.Errorf("rotor: %w", err)
	}
	casing, err := Growth(casingLength, casingExpansion, quantity.TemperatureDifference(casingAt-cold))
	if err != nil {
		return 0, fmt.Errorf("casing: %w", err)
	}
	return rotor - casing, nil
}

// WarmUp gives the temperature that the casing must have before a hot liquid is let to
// the rotor, so that the least clearance is left while the rotor is already hot:
//
//	T casing = T cold + [αr Lr (T − T cold) − (c − c least)] / (αc Lc)
//
// and no less than T cold, where no warm-up is needed. Range: as Closing, running above
// cold; clearances 1 µm to 20 mm, the least one below the one set; a result up to the
// running temperature, else even a warm casing leaves too little: an error.
// Source: as Closing.
func WarmUp(set, least, rotorLength quantity.Length, rotorExpansion quantity.Expansion, casingLength quantity.Length, casingExpansion quantity.Expansion, cold, running quantity.Temperature) (quantity.Temperature, error) {
	if err := quantity.Within("clearance set", set, leastClearance, mostClearance); err != nil {
		return 0, err
	}
	if err := quantity.Within("least clearance", least, leastClearance, set); err != nil {
		return 0, err
	}
	if err := quantity.Within("running temperature", running, cold, hottest); err != nil {
		return 0, err
	}
	taken, err := ClosingApart(rotorLength, rotorExpansion, casingLength, casingExpansion, cold, running, cold)
	if err != nil {
		return 0, err
	}
	casing := cold + quantity.Temperature(float64(taken-(set-least))/(float64(casingExpansion)*float64(casingLength)))
	if err := quantity.Within("temperature to warm the casing to", max(casing, cold), cold, running); err != nil {
		return 0, fmt.Errorf("%w: even with rotor and casing hot too little clearance is left", err)
	}
	return max(casing, cold), nil
}

// Settable gives the clearance that can be set by gauges of a step: the wanted one
// rounded up to whole steps, so that what is computed from it is computed from the
// figure that is printed. Range: wanted 1 µm to 20 mm, step 1 µm to 1 mm.
// Source: common practice, no source.
func Settable(wanted, step quantity.Length) (quantity.Length, error) {
	if err := quantity.Within("clearance", wanted, leastClearance, mostClearance); err != nil {
		return 0, err
	}
	if err := quantity.Within("step of the gauge", step, 1e-6, 1e-3); err != nil {
		return 0, err
	}
	// A ten-thousandth of a step absorbs the error of binary arithmetic.
	return step * quantity.Length(math.Ceil(float64(wanted/step)-1e-4)), nil
}

// ColdClearance gives the end clearance to set cold so that the wanted one is left
// at running temperature: c cold = c hot + what the heat takes, as Closing gives it.
// Range: hot clearance 1 µm to 20 mm; a result in the same range, else the casing
// outgrows the rotor by more than the clearance wanted. Source: as Closing.
func ColdClearance(hot, closing quantity.Length) (quantity.Length, error) {
	if err := quantity.Within("hot clearance", hot, leastClearance, mostClearance); err != nil {
		return 0, err
	}
	if err := quantity.Within("cold clearance", hot+closing, leastClearance, mostClearance); err != nil {
		return 0, fmt.Errorf("%w: the casing outgrows the rotor by more than the clearance wanted hot", err)
	}
	return hot + closing, nil
}

// HotClearance gives the end clearance at running temperature from the one set
// cold, the inverse of ColdClearance. Range and source: as ColdClearance; a
// result at or below zero is an error, since the rotor would touch.
func HotClearance(coldSet, closing quantity.Length) (quantity.Length, error) {
	if err := quantity.Within("cold clearance", coldSet, leastClearance, mostClearance); err != nil {
		return 0, err
	}
	if err := quantity.Within("hot clearance", coldSet-closing, leastClearance, mostClearance); err != nil {
		return 0, fmt.Errorf("%w: the rotor outgrows the casing and touches", err)
	}
	return coldSet - closing, nil
}
