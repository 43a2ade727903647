package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Way is a direction of rounding.
type Way uint8

const (
	Nearest Way = iota
	Down        // toward minus infinity: for an upper limit
	Up          // toward plus infinity: for a lower limit
)

// tolerance is how near to a grid point counts as on it, as a part of one step. It
// absorbs the error of binary arithmetic (0.1/0.01 is not 10) and is far below
// anything that an instrument shows.
const tolerance = 1e-7

// binary is the relative error of a few steps of binary arithmetic.
const binary = 1e-14

// Grain is the finest difference that is printed: a step in a unit. denominator
// is set where the step is a fraction of an inch, and then prints as one.
type Grain struct {
	Unit        Unit
	Step        float64 // in Unit, above zero
	denominator int     // 64 for 1/64 in; 0 prints decimals
}

// parseGrain reads a resolution such as "0.5 mm" or "1/64 in". The error is a
// *ParseError.
func parseGrain(text string) (Grain, error) {
	v, err := ParseAny(text)
	if err != nil {
		return Grain{}, err
	}
	u, _ := v.Written()
	if v.si-u.offset <= 0 {
		return Grain{}, &ParseError{Message: fmt.Sprintf("a resolution of %s is not above zero", short(text)), Hint: "write it as 0.01 mm"}
	}
	g := Grain{Unit: u, Step: v.In(u)}
	if _, den, ok := strings.Cut(strings.Fields(text)[0], "/"); ok && strings.HasPrefix(strings.TrimSpace(text), "1/") {
		if d, err := strconv.Atoi(den); err == nil && d > 0 && d <= 128 && d&(d-1) == 0 {
			g.denominator = d
		}
	}
	return g, nil
}

// count gives how many whole steps a value comes to, rounded the given way.
func (g Grain) count(v Value, way Way) float64 {
	n := v.In(g.Unit) / g.Step
	// A very large count carries the error of its own size.
	if near := math.Round(n); math.Abs(n-near) <= math.Max(tolerance, math.Abs(near)*binary) {
		return near
	}
	switch way {
	case Down:
		return math.Floor(n)
	case Up:
		return math.Ceil(n)
	}
	return math.Round(n)
}

// round gives the value on the grain's grid, rounded the given way.
func (g Grain) round(v Value, way Way) Value {
	r := FromUnit(g.count(v, way)*g.Step, g.Unit)
	r.typ = v.typ
	return r
}

// Number prints a rounded value's number without its unit. Decimal is the
// decimal sign of the page's language.
func (g Grain) Number(v Value, way Way, decimal string) string {
	n := g.count(v, way)
	if g.denominator > 0 {
		return fractionText(int(n), g.denominator)
	}
	s := strconv.FormatFloat(n*g.Step, 'f', g.places(), 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	if decimal != "." && decimal != "" {
		s = strings.Replace(s, ".", decimal, 1)
	}
	return strings.Replace(s, "-", "−", 1)
}

// Printed gives the number that Number prints, without the error of binary arithmetic.
func (g Grain) Printed(v Value, way Way) float64 {
	n := g.count(v, way)
	if g.denominator > 0 {
		return n / float64(g.denominator)
	}
	x, _ := strconv.ParseFloat(strconv.FormatFloat(n*g.Step, 'f', g.places(), 64), 64)
	return x + 0 // never minus zero
}

// Grain gives that to which amounts in the unit are printed where nothing else is asked.
func (u Unit) Grain() Grain { return Grain{Unit: u, Step: math.Pow10(-u.places)} }

// Text prints a rounded value with its unit.
func (g Grain) Text(v Value, way Way, decimal string) string {
	return g.Unit.Join(g.Number(v, way, decimal))
}

// Join puts a number and the unit together as they are printed.
func (u Unit) Join(number string) string {
	switch {
	case u.Symbol == "":
		return number
	case u.tight:
		return number + u.Symbol
	}
	return number + "\u00a0" + u.Symbol
}

// places is the number of decimals that the step needs.
func (g Grain) places() int {
	for p := range 16 {
		x := g.Step * math.Pow10(p)
		if near := math.Round(x); near >= 1 && math.Abs(x-near) < 1e-6 {
			return p
		}
	}
	return 9 // such as a third
}

// fractionText prints n/den of an inch in lowest terms: "3/8", "1 1/2".
func fractionText(n, den int) string {
	sign := ""
	if n < 0 {
		sign, n = "−", -n
	}
	whole, top := n/den, n%den
	for top > 0 && top%2 == 0 {
		top, den = top/2, den/2
	}
	switch {
	case top == 0:
		return sign + strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, top, den)
	}
	return fmt.Sprintf("%s%d %d/%d", sign, whole, top, den)
}

// Show says how a value is printed: which way it is rounded and to what grain
// in each system.
type Show struct {
	Way   Way
	Grain [2]Grain // by System
}

// ParseShow reads how a value is printed, such as "nearest 0.5 mm",
// "down 0.01 mm or 0.0005 in" or "1 N.m" (nearest). Where only one system's
// grain is given, the other's is the 1-2-5 step at or below it. The error is a
// *ParseError.
func ParseShow(text string) (Show, error) { return parseShow(text, Grain.peer) }

// ParseResolution reads what an instrument reads to, such as "0.01 mm or 0.0005 in".
// One that is marked in one system alone ("0.01 mm") is read in that, whatever the
// page prints else. The error is a *ParseError.
func ParseResolution(text string) (Show, error) {
	return parseShow(text, func(g Grain) Grain { return g })
}

// parseShow reads a show; other gives the grain of the system that is not named.
func parseShow(text string, other func(Grain) Grain) (Show, error) {
	var s Show
	rest := strings.TrimSpace(text)
	for word, way := range map[string]Way{"nearest ": Nearest, "down ": Down, "up ": Up} {
		if r, ok := strings.CutPrefix(rest, word); ok {
			s.Way, rest = way, strings.TrimSpace(r)
			break
		}
	}
	var seen [2]bool
	at := utf8.RuneCountInString(text[:strings.LastIndex(text, rest)])
	for _, part := range strings.SplitN(rest, " or ", 2) {
		g, err := parseGrain(part)
		if err != nil {
			return Show{}, moved(err, at)
		}
		at += utf8.RuneCountInString(part) + len(" or ")
		if seen[g.Unit.system] {
			return Show{}, &ParseError{Message: fmt.Sprintf("%q gives two grains in one unit system", short(text)), Hint: "write one of each, such as nearest 0.5 mm or 1/64 in"}
		}
		s.Grain[g.Unit.system], seen[g.Unit.system] = g, true
		if !seen[g.Unit.system.Other()] {
			s.Grain[g.Unit.system.Other()] = other(g)
		}
	}
	if s.Grain[0].Unit.Kind.Type() != s.Grain[1].Unit.Kind.Type() {
		return Show{}, &ParseError{Message: fmt.Sprintf("%q mixes a %s with a %s", short(text), s.Grain[0].Unit.Kind, s.Grain[1].Unit.Kind), Hint: "both grains measure the same thing, such as nearest 0.5 mm or 1/64 in"}
	}
	// Two figures of one value, of which one is rounded far more, contradict each other.
	a, b := s.Grain[Metric], s.Grain[US]
	if finer, coarser := min(a.size(), b.size()), max(a.size(), b.size()); coarser > mostApart*finer {
		return Show{}, &ParseError{Message: fmt.Sprintf("the two grains of %q are more than %d times apart: what is printed in one system would contradict the other", short(text), mostApart),
			Hint: "write grains of about one size, such as nearest 0.5 mm or 1/64 in"}
	}
	return s, nil
}

// mostApart is how many times coarser the grain of one system may be than the
// other's: figures rounded to the two are then within two of the finer ones.
const mostApart = 4

// size gives a grain in SI.
func (g Grain) size() float64 { return g.Step * g.Unit.Factor }

// TooCoarse reports whether rounding takes away from a value what it says: the
// grain of a system that is printed is more than a fifth of it, and rounding moves it
// by more than a tenth. Zero, and a point on a scale, are never too small.
func (s Show) TooCoarse(v Value, on Systems) bool {
	if v.si == 0 || v.typ.Datum != Difference {
		return false
	}
	for _, sys := range on.printed() {
		g := s.Grain[sys]
		if g.size() > math.Abs(v.si)/5 && math.Abs(g.round(v, s.Way).si-v.si) > math.Abs(v.si)/10 {
			return true
		}
	}
	return false
}

// peer gives a grain in the other system's unit, no coarser than this one.
func (g Grain) peer() Grain {
	p := g.Unit.In(g.Unit.system.Other())
	if p.Symbol == g.Unit.Symbol {
		return g
	}
	return Grain{Unit: p, Step: oneTwoFive(g.Step * g.Unit.Factor / p.Factor)}
}

// Apart gives how a difference of two such amounts prints: of temperatures in K, of gauge
// pressures in bar.
func (s Show) Apart() Show {
	for i, g := range s.Grain {
		typ := g.Unit.Kind.Type()
		if typ.Datum == Difference {
			continue
		}
		kind, _ := Type{Dim: typ.Dim}.Kind()
		for _, u := range units {
			if u.Kind == kind && u.Factor == g.Unit.Factor && (u.system == g.Unit.system || u.peer == "") {
				s.Grain[i].Unit = u
				break
			}
		}
	}
	return s
}

// ShowFor gives the plain way to print a kind, where a template asks for none.
func ShowFor(k Kind) Show {
	var s Show
	for _, sys := range []System{Metric, US} {
		u := Preferred(k, sys)
		s.Grain[sys] = u.Grain()
	}
	return s
}

// Text prints a value in the systems of the page, the second in brackets; once where
// both come to the same unit, or the second is too coarse to say it.
func (s Show) Text(v Value, on Systems, decimal string) string {
	a, b := s.Grain[on.First], s.Grain[on.First.Other()]
	if !on.Both || a.Unit.Symbol == b.Unit.Symbol || s.TooCoarse(v, Systems{First: on.First.Other()}) {
		return a.Text(v, s.Way, decimal)
	}
	return a.Text(v, s.Way, decimal) + " (" + b.Text(v, s.Way, decimal) + ")"
}

// inward rounds a band to a grain so that it never widens: the lower limit up,
// the upper limit down. ok is false where rounding closes the band.
func (g Grain) inward(b Band) (r Band, ok bool) {
	if b.Low != nil {
		l := g.round(*b.Low, Up)
		r.Low = &l
	}
	if b.High != nil {
		h := g.round(*b.High, Down)
		r.High = &h
	}
	return r, r.Low == nil || r.High == nil || r.Low.si < r.High.si+g.Step*g.Unit.Factor*tolerance
}

// Holds reports whether an amount lies within a band as it prints: rounded inward.
func (g Grain) Holds(b Band, v Value) bool {
	r, _ := g.inward(b)
	slack := tolerance * g.size()
	return (r.Low == nil || v.si >= r.Low.si-slack) && (r.High == nil || v.si <= r.High.si+slack)
}

// BandText prints a band rounded inward: "0.08 to 0.12 mm", "at least 8 mm",
// "at most 50 °C". ok is false where rounding closes the band. words are the
// page language's "to", "at least" and "at most".
func (g Grain) BandText(b Band, decimal string, words [3]string) (text string, ok bool) {
	_, ok = g.inward(b)
	switch {
	case b.Low != nil && b.High != nil:
		return g.Unit.Join(g.Number(*b.Low, Up, decimal) + " " + words[0] + " " + g.Number(*b.High, Down, decimal)), ok
	case b.Low != nil:
		return words[1] + " " + g.Text(*b.Low, Up, decimal), ok
	case b.High != nil:
		return words[2] + " " + g.Text(*b.High, Down, decimal), ok
	}
	return "", false
}

// Plain prints a value as it was written, or in its kind's metric unit to seven
// figures where it was computed: for working and messages, never for a target.
func (v Value) Plain() string {
	u, ok := v.Written()
	if !ok {
		if k, named := v.typ.Kind(); named {
			u = Preferred(k, Metric)
		} else {
			return Figures(v.si, 7) + " " + v.typ.String()
		}
	}
	return u.Join(Figures(v.In(u), 7))
}

// Figures prints a number to so many significant figures. It uses no exponent
// within what records can hold: not everyone who reads a packet knows that sign.
func Figures(n float64, figures int) string {
	s := strconv.FormatFloat(n, 'g', figures, 64)
	if !strings.Contains(s, "e") || math.Abs(n) > 1e21 || math.Abs(n) < 1e-15 {
		return s
	}
	short, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return s
	}
	return strconv.FormatFloat(short, 'f', -1, 64)
}
