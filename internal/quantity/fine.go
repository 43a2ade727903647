package quantity

import (
	"fmt"
	"math"
	"slices"
)

// fewest is how many readings of an instrument a band must hold for a reading to say
// anything of where in the band it lies. Common practice, no source.
const fewest = 5

// Unsuited says that a band is too narrow for an instrument, and which would do.
// Both amounts are of the band's kind, in SI.
type Unsuited struct {
	Grain       float64 // the coarsest resolution that would do
	Uncertainty float64 // the largest expanded uncertainty (k = 2) that would do
	message     string
}

func (e *Unsuited) Error() string { return e.message }

// Suits says whether an instrument that reads to this grain, with an expanded
// uncertainty U (k = 2) in SI, can tell that a band is met: the band holds at least
// five of its readings, both limits rounded inward, and is at least 2U wide. It is nil
// for a band that is open at an end, and else an error *Unsuited.
//
// Source: ISO 14253-1, twice U as wide as the tolerance leaves no conformance zone;
// the five readings are common practice, no source.
func (g Grain) Suits(b Band, uncertainty float64) error {
	if b.Low == nil || b.High == nil {
		return nil
	}
	width := b.High.si - b.Low.si
	e := &Unsuited{Grain: max(width, 0) / fewest, Uncertainty: max(width, 0) / 2}
	room := plain(width, differenceOf(b.Low.typ))
	switch readings := g.count(*b.High, Down) - g.count(*b.Low, Up) + 1; {
	case !(readings >= fewest):
		word := "readings"
		if readings == 1 {
			word = "reading"
		}
		e.message = fmt.Sprintf("the band of %s holds %g %s of %s: want at least %d", room, max(readings, 0), word, g.Unit.Join(Figures(g.Step, 6)), fewest)
	case !(width >= 2*uncertainty*(1-tolerance)):
		e.message = fmt.Sprintf("the band of %s is narrower than twice the uncertainty of %s", room, plain(uncertainty, differenceOf(b.Low.typ)))
	default:
		return nil
	}
	return e
}

// differenceOf gives the kind of a difference between two amounts of a type: the width
// of a band of temperatures is not itself a temperature.
func differenceOf(t Type) Kind {
	if k, ok := (Type{Dim: t.Dim}).Kind(); ok {
		return k
	}
	k, _ := t.Kind()
	return k
}

// Following gives the way to print what is not read from an instrument. Of what does
// not lie on its grid each grain is a fifth at most of the amount, or of the width where
// there are two amounts, so that rounding neither closes a band nor makes the two systems
// disagree; and an amount that was written in a unit prints whole, to no more than six
// finer steps. Steps are 1, 2 or 5 times a power of ten.
func (s Show) Following(amounts ...Value) Show {
	span := 0.0
	for _, a := range amounts {
		span = max(span, math.Abs(a.si))
	}
	if len(amounts) == 2 {
		span = math.Abs(amounts[0].si - amounts[1].si)
	}
	for sys := range s.Grain {
		g := &s.Grain[sys]
		off := slices.ContainsFunc(amounts, func(a Value) bool { return !g.holds(a) })
		if limit := span / fewest / g.Unit.Factor; off && limit > 0 && g.Step > limit*(1+tolerance) {
			*g = Grain{Unit: g.Unit, Step: oneTwoFive(limit)}
		}
	}
	for _, a := range amounts {
		u, written := a.Written()
		g, other := &s.Grain[u.system], &s.Grain[u.system.Other()]
		for finer := 0; written && finer < 6 && !g.holds(a); finer++ {
			*g = Grain{Unit: g.Unit, Step: oneTwoFive(g.Step * 0.99)}
			if peer := g.peer(); peer.Unit == other.Unit && peer.Step < other.Step {
				*other = peer
			}
		}
	}
	return s
}

// holds says whether an amount lies on the grain's grid.
func (g Grain) holds(v Value) bool { return g.count(v, Down) == g.count(v, Up) }

// oneTwoFive gives the largest step of 1, 2 or 5 times a power of ten that is no more
// than x.
func oneTwoFive(x float64) float64 {
	e := math.Pow10(int(math.Floor(math.Log10(x) + 1e-9)))
	for _, m := range []float64{5, 2} {
		if m*e <= x*(1+1e-9) {
			return m * e
		}
	}
	return e
}

// Within gives the way to print a target so that it stands within its limits as these are
// printed, rounded inward: nearest, or towards the middle where nearest lies beyond one.
func (s Show) Within(v Value, b Band, on Systems) Show {
	for _, sys := range on.printed() {
		g := s.Grain[sys]
		limits, ok := g.inward(b)
		if !ok {
			continue
		}
		at, least := g.round(v, s.Way).si, g.size()*tolerance
		switch {
		case limits.High != nil && at > limits.High.si+least:
			s.Way = Down
		case limits.Low != nil && at < limits.Low.si-least:
			s.Way = Up
		}
	}
	return s
}
