package hydraulics

import (
	"math"

	"jobsheaf/internal/quantity"
)

// ringClearances are the least diametral clearances of wear rings, in mm, of diameters
// below those given, in mm.
//
// Source: API 610, 11th ed., table 6 (from memory).
var ringClearances = []struct{ below, clearance float64 }{
	{50, .25}, {65, .28}, {80, .30}, {90, .33}, {100, .35}, {115, .38}, {125, .40}, {150, .43}, {175, .45}, {200, .48}, {225, .50}, {250, .53}, {275, .55},
	{300, .58}, {325, .60}, {350, .63}, {375, .65}, {400, .68}, {425, .70}, {450, .73}, {475, .75}, {500, .78}, {525, .80}, {550, .83}, {575, .85}, {600, .88},
	{625, .90}, {650, .95},
}

// RingClearance gives the least diametral clearance of a wear ring by the diameter of the
// part that turns: a table up to 650 mm, above it 0.95 mm and 1 µm for each further mm. In
// m. Materials that gall, and liquids above 260 °C, take 0.125 mm more. It is for pumps to
// API 610; other pumps are built closer or wider, by their own record. Range: 10 mm to 2 m.
//
// Source: API 610, 11th ed., table 6 and its text (from memory).
func RingClearance(diameter quantity.Length) (quantity.Length, error) {
	if err := quantity.Within("diameter of the ring", diameter, 0.010, 2); err != nil {
		return 0, err
	}
	mm := float64(diameter) * 1e3
	for _, r := range ringClearances {
		if mm < r.below*(1-1e-12) {
			return quantity.Length(r.clearance * 1e-3), nil
		}
	}
	return quantity.Length((0.95 + 0.001*math.Ceil(mm-650-1e-9)) * 1e-3), nil
}

// ChamberRunout gives the greatest runout of the face of a seal chamber, as a dial reads
// it: 0.5 µm for each mm of its bore. In m. Range: bore 20 mm to 1 m.
//
// Source: API 610, 11th ed., 6.8 (from memory).
func ChamberRunout(bore quantity.Length) (quantity.Length, error) {
	return bore * 5e-4, quantity.Within("bore of the seal chamber", bore, 0.020, 1)
}

// FrontTurns gives by how many turns of its adjusting screws an impeller is drawn back
// from contact to its front clearance: n = c/P. Range: c 0.05 to 5 mm, pitch 0.2 to 10 mm.
//
// Source: geometry of the thread.
func FrontTurns(clearance, pitch quantity.Length) (quantity.Number, error) {
	if err := quantity.Within("front clearance", clearance, 5e-5, 5e-3); err != nil {
		return 0, err
	}
	if err := quantity.Within("pitch of the adjusting screws", pitch, 2e-4, 0.010); err != nil {
		return 0, err
	}
	return quantity.Number(clearance / pitch), nil
}
