package slip

import (
	"math"
	"strings"
	"testing"

	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

// One case by hand: the walls of the rotor run at 29 · 0.07 = 2.03 m/s; half of that
// over (0.14 − 0.032)·1e-4 + 2·0.06·(1e-4 + 2e-4) = 4.68e-5 m² is 4.7502e-5 m³/s.
func TestDragByHand(t *testing.T) {
	g := Gaps{end: 1e-4, tip: 1e-4, crescent: 2e-4, bushing: 4e-5}
	slip, err := PumpSlip(g, rotor, 5e5, 0.1, 900)
	if err != nil {
		t.Fatal(err)
	}
	share, err := DragShare(g, rotor, 29, 5e5, 0.1, 900)
	if want := 4.7502e-5 / float64(slip); err != nil || math.Abs(float64(share)/want-1) > 1e-9 {
		t.Errorf("share %g, %v; want %g", share, err, want)
	}
	most, err := SlipBound(g, rotor, 29, 5e5, 0.1, 900)
	if want := float64(slip) + 4.7502e-5; err != nil || math.Abs(float64(most)/want-1) > 1e-9 {
		t.Errorf("at most %g, %v; want %g", most, err, want)
	}
}

// A thicker liquid slips less and drags as much: beyond the limit the slip of still
// walls is refused, and just below it is given.
func TestSlipIsRefusedWhereTheWallsCarryMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := draw(t)
		speed := quantity.Speed(rapid.Float64Range(1, 100).Draw(t, "speed"))
		share, err := DragShare(d.gaps, d.lands, speed, d.difference, d.viscosity, d.density)
		if err != nil {
			t.Fatal(err)
		}
		q, err := RunningSlip(d.gaps, d.lands, speed, d.difference, d.viscosity, d.density)
		switch {
		case share > dragLimit && (err == nil || !strings.Contains(err.Error(), "turning walls")):
			t.Fatalf("share %g: %v, %v, want it refused", share, q, err)
		case share <= dragLimit && (err != nil || q != d.slip(t)):
			t.Fatalf("share %g: %v, %v, want the slip", share, q, err)
		}
		twice, err := DragShare(d.gaps, d.lands, speed, d.difference, 2*d.viscosity, d.density)
		if err != nil || math.Abs(float64(twice/share)-2) > 1e-9 {
			t.Fatalf("twice as thick: share %g, %v, was %g", twice, err, share)
		}
		most, err := SlipBound(d.gaps, d.lands, speed, d.difference, d.viscosity, d.density)
		if err != nil || math.Abs(float64(most/d.slip(t))-1-float64(share)) > 1e-9*float64(1+share) {
			t.Fatalf("bound %g, %v, with a share of %g", most, err, share)
		}
	})
}

// What is renewed first is found by trying each clearance as new.
func TestFirstToRenew(t *testing.T) {
	renewed := Gaps{end: 1e-4, tip: 1e-4, crescent: 1e-4, bushing: 4e-5}
	for name, widen := range map[string]func(*Gaps){
		"end clearance":      func(g *Gaps) { g.end = 3e-4 },
		"tip clearance":      func(g *Gaps) { g.tip = 3e-4 },
		"crescent clearance": func(g *Gaps) { g.crescent = 3e-4 },
		"bushing clearance":  func(g *Gaps) { g.bushing = 3e-4 },
	} {
		worn := Gaps{end: 1.1e-4, tip: 1.1e-4, crescent: 1.1e-4, bushing: 4.4e-5}
		widen(&worn)
		if got, err := FirstToRenew(worn, renewed, rotor, 5e5, 0.1, 900); err != nil || got != name {
			t.Errorf("%s widest: %q, %v", name, got, err)
		}
	}
	if got, err := FirstToRenew(renewed, renewed, rotor, 5e5, 0.1, 900); err == nil || !strings.Contains(err.Error(), "want one") {
		t.Errorf("nothing worn: %q, %v", got, err)
	}
	narrower := renewed
	narrower.tip = 0.9e-4
	if got, err := FirstToRenew(narrower, renewed, rotor, 5e5, 0.1, 900); err == nil || !strings.Contains(err.Error(), "tip clearance, new,") {
		t.Errorf("a worn clearance narrower than new: %q, %v", got, err)
	}
	rapid.Check(t, func(t *rapid.T) {
		d := draw(t)
		worn := d.gaps
		for _, g := range []*quantity.Length{&worn.end, &worn.tip, &worn.crescent, &worn.bushing} {
			*g *= quantity.Length(rapid.Float64Range(1, 1.5).Draw(t, "worn to"))
		}
		first, err := FirstToRenew(worn, d.gaps, d.lands, d.difference, d.viscosity, d.density)
		if err != nil {
			t.Skip()
		}
		least, at := quantity.Flow(math.Inf(1)), ""
		for i, name := range gapNames {
			one := d
			one.gaps = worn
			*[]*quantity.Length{&one.gaps.end, &one.gaps.tip, &one.gaps.crescent, &one.gaps.bushing}[i] =
				[]quantity.Length{d.gaps.end, d.gaps.tip, d.gaps.crescent, d.gaps.bushing}[i]
			if q := one.slip(t); q < least {
				least, at = q, name
			}
		}
		if first != at {
			t.Errorf("%s first, by trying %s", first, at)
		}
	})
}
