package quantity

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// ParseError says what is wrong with the text of a quantity and what would do.
type ParseError struct {
	Offset  int // runes from the start of the text
	Message string
	Hint    string
}

func (e *ParseError) Error() string { return e.Message }

// moved counts the place of an error in a part of a text from the start of the
// whole, by runes before the part.
func moved(err error, by int) error {
	if e, ok := err.(*ParseError); ok {
		e.Offset += by
	}
	return err
}

// Example gives a well-formed value of a kind, for hints.
func Example(k Kind) string {
	m := map[Kind]string{
		KindNumber: "0.75", KindLength: "0.08 mm or 3 thou", KindTemperature: "60 degC", KindTemperatureDifference: "5 K",
		KindTorque: "85 N.m or 63 ft.lbf", KindPressure: "6 bar", KindGaugePressure: "6 bar", KindAbsolutePressure: "1.01 bar(a)",
		KindSpeed: "280 rpm", KindFlow: "9 m3/h", KindMass: "12 kg", KindVolume: "3.5 L", KindAngle: "30 deg", KindTime: "9 h",
		KindDensity: "1530 kg/m3", KindDynamicViscosity: "120 mPa.s", KindKinematicViscosity: "46 cSt", KindPower: "5.5 kW",
		KindForce: "12 kN", KindExpansion: "11.7 um/(m.K)", KindSpecificHeat: "460 J/(kg.K)",
	}
	if s, ok := m[k]; ok {
		return s
	}
	return "1 " + ASCII(Preferred(k, Metric).Symbol)
}

// wanted is the hint for a value that cannot be read. It names units and no value: one
// that stood there would be copied into a record.
func wanted(k Kind) string {
	metric, us := ASCII(Preferred(k, Metric).Symbol), ASCII(Preferred(k, US).Symbol)
	switch {
	case k == KindNumber:
		return "write a plain number, with a point before the decimals"
	case metric == us:
		return "write it with its unit, such as " + metric
	}
	return "write it with its unit, such as " + metric + " or " + us
}

// ASCII gives a unit's symbol in characters that every keyboard has.
func ASCII(symbol string) string { return typed.Replace(symbol) }

var typed = strings.NewReplacer("·", ".", "µ", "u", "²", "2", "³", "3", "Ω", "ohm", "Δ°", "delta deg", "°C", "degC", "°F", "degF", "°", "deg")

// Largest is the greatest magnitude that a record may write, in SI units. What
// is beyond it is a slip of the pen: no pump has a length or pressure like it.
const Largest = 1e13

// Parse reads "number unit" as a value of kind k. The number is decimal with a
// point ("0.08"), or a fraction ("3/8", "1 1/2"). A kind with a dimension must
// have its unit written; a plain pressure is taken as a gauge pressure where one
// is wanted, since that is what a plant's gauges show. The error is a
// *ParseError.
func Parse(text string, k Kind) (Value, error) {
	num, rest, err := parseNumber(text)
	if err != nil {
		if err.Hint == "" {
			err.Hint = wanted(k)
		}
		return Value{}, err
	}
	off := utf8.RuneCountInString(text) - utf8.RuneCountInString(strings.TrimLeft(rest, " "))
	name := strings.TrimSpace(rest)
	u, uerr := findUnit(name, k)
	if uerr != nil {
		uerr.Offset = off
		return Value{}, uerr
	}
	if k == KindGaugePressure && u.Kind == KindPressure {
		u.Kind = KindGaugePressure
		if g, ok := unitOf(u.Symbol+"(g)", KindGaugePressure); ok {
			u = g
		}
	}
	v := FromUnit(num, u)
	if math.Abs(v.si) > Largest || math.IsNaN(v.si) {
		return Value{}, &ParseError{Message: fmt.Sprintf("%s is too large to be a %s", strings.TrimSpace(text), k), Hint: "look at the number and at its unit"}
	}
	if k == KindTemperature && v.si < 0 {
		return Value{}, &ParseError{Message: fmt.Sprintf("%s is below absolute zero", strings.TrimSpace(text)), Hint: "look at the number and at its unit"}
	}
	if k == KindAbsolutePressure && v.si < 0 {
		return Value{}, &ParseError{Message: fmt.Sprintf("%s is below vacuum", strings.TrimSpace(text)), Hint: "look at the number and at its unit"}
	}
	return v, nil
}

// ParseBand reads "low..high unit" (the unit may stand at both ends) as a closed
// band of kind k, with low below high.
func ParseBand(text string, k Kind) (Band, error) {
	lo, hi, ok := strings.Cut(text, "..")
	if !ok {
		return Band{}, &ParseError{Message: fmt.Sprintf("%q is not a band", short(text)), Hint: `write both limits and the unit, such as "40..45 N.m"`}
	}
	h, err := Parse(hi, k)
	if err != nil {
		return Band{}, moved(err, utf8.RuneCountInString(lo)+len(".."))
	}
	if _, rest, nerr := parseNumber(lo); nerr == nil && strings.TrimSpace(rest) == "" {
		lo += " " + h.unit.Symbol
	}
	l, err := Parse(lo, k)
	if err != nil {
		return Band{}, err
	}
	if l.si >= h.si {
		return Band{}, &ParseError{Message: fmt.Sprintf("the band %s has its limits swapped or equal", strings.TrimSpace(text)), Hint: "write the lower limit first"}
	}
	return Band{&l, &h}, nil
}

// parseNumber reads a decimal or a fraction from the front of the text.
func parseNumber(text string) (num float64, rest string, perr *ParseError) {
	s := strings.TrimLeft(text, " ")
	fail := func(format string, args ...any) (float64, string, *ParseError) {
		return 0, "", &ParseError{Message: fmt.Sprintf(format, args...)}
	}
	if s == "" {
		return fail("found nothing where a quantity is wanted")
	}
	sign := 1.0
	switch {
	case strings.HasPrefix(s, "-"):
		sign, s = -1, s[1:]
	case strings.HasPrefix(s, "−"):
		sign, s = -1, s[len("−"):]
	case strings.HasPrefix(s, "+"):
		s = s[1:]
	}
	whole, s, ok := digits(s)
	if !ok {
		return fail("%q does not start with a number", short(text))
	}
	if strings.HasPrefix(s, ",") {
		return 0, "", &ParseError{Message: fmt.Sprintf("%q has a comma: the decimal sign in records is a point", short(text)), Hint: "write a point for the comma"}
	}
	// A fraction: "3/8", or "1 1/2" after a whole number.
	if n, d, r, ok := fraction(s, whole); ok {
		if d == 0 {
			return fail("%q divides by zero", short(text))
		}
		return sign * n / d, r, nil
	}
	if r := strings.TrimLeft(s, " -"); r != s && isWhole(whole) {
		if n, r2, ok := digits(r); ok && isWhole(n) {
			if top, d, r3, ok := fraction(r2, n); ok && d != 0 && top < d {
				return sign * (whole + top/d), r3, nil
			}
		}
	}
	return sign * whole, s, nil
}

// digits reads an unsigned decimal with an optional exponent.
func digits(s string) (float64, string, bool) {
	end, points, seen := 0, 0, false
	for end < len(s) {
		c := s[end]
		if c >= '0' && c <= '9' {
			seen = true
		} else if c == '.' && points == 0 && !strings.HasPrefix(s[end:], "..") {
			points++
		} else {
			break
		}
		end++
	}
	if !seen {
		return 0, s, false
	}
	if end < len(s) && (s[end] == 'e' || s[end] == 'E') {
		e := end + 1
		if e < len(s) && (s[e] == '+' || s[e] == '-') {
			e++
		}
		start := e
		for e < len(s) && s[e] >= '0' && s[e] <= '9' {
			e++
		}
		if e > start {
			end = e
		}
	}
	var f float64
	if _, err := fmt.Sscanf(s[:end], "%g", &f); err != nil || math.IsInf(f, 0) {
		return 0, s, false
	}
	return f, s[end:], true
}

// fraction reads "/d" after a whole numerator.
func fraction(s string, top float64) (n, d float64, rest string, ok bool) {
	if !isWhole(top) || !strings.HasPrefix(s, "/") {
		return 0, 0, s, false
	}
	d, rest, ok = digits(s[1:])
	if !ok || !isWhole(d) {
		return 0, 0, s, false
	}
	return top, d, rest, true
}

func isWhole(f float64) bool { return f == math.Trunc(f) && math.Abs(f) < 1e6 }

// short cuts a text for a message.
func short(s string) string {
	r := []rune(strings.TrimSpace(s))
	if len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return string(r)
}

// normal folds the ways of writing a unit into one.
var normal = strings.NewReplacer(" ", "", "\u00a0", "", ".", "·", "*", "·", "⋅", "·", "²", "2", "³", "3", "^", "")

var unitIndex = func() map[string][]Unit {
	m := map[string][]Unit{}
	for _, u := range units {
		m[normal.Replace(u.Symbol)] = append(m[normal.Replace(u.Symbol)], u)
	}
	for alias, sym := range aliasOf {
		if _, taken := m[alias]; !taken {
			m[alias] = m[normal.Replace(sym)]
		}
	}
	return m
}()

// findUnit finds what a text names as a unit of kind k.
func findUnit(name string, k Kind) (Unit, *ParseError) {
	if name == "" && k != KindNumber {
		return Unit{}, &ParseError{Message: fmt.Sprintf("a number with no unit where %s is wanted", article(k)), Hint: wanted(k)}
	}
	found, ok := unitIndex[normal.Replace(name)]
	if !ok {
		return Unit{}, &ParseError{Message: fmt.Sprintf("%q is not a unit that is known here", short(name)), Hint: meant(name, k)}
	}
	for _, u := range found {
		if u.Kind == k || (k == KindGaugePressure && u.Kind == KindPressure) {
			return u, nil
		}
	}
	return Unit{}, &ParseError{Message: fmt.Sprintf("%q measures %s where %s is wanted", name, article(found[0].Kind), article(k)), Hint: meant(name, k)}
}

// meant is the hint for a unit that is not known: the one of kind k that is written alike
// but for capitals, else how such values are written.
func meant(name string, k Kind) string {
	hint := wanted(k)
	for _, u := range units {
		if u.Kind == k && name != "" && strings.EqualFold(normal.Replace(u.Symbol), normal.Replace(name)) {
			hint = "did you mean " + ASCII(u.Symbol) + "?"
		}
	}
	return hint
}

// article gives a kind's name with its article.
func article(k Kind) string {
	if strings.ContainsRune("aeio", rune(k.String()[0])) {
		return "an " + k.String()
	}
	return "a " + k.String()
}

// UnitNamed finds the unit of a kind by any of its names.
func UnitNamed(name string, k Kind) (Unit, bool) {
	u, err := findUnit(name, k)
	return u, err == nil
}

// ParseAny reads "number unit" as a value of whatever kind the unit measures.
// "K" is read as a temperature difference, "bar" as a pressure difference.
func ParseAny(text string) (Value, error) {
	_, rest, perr := parseNumber(text)
	if perr != nil {
		return Value{}, perr
	}
	name := normal.Replace(strings.TrimSpace(rest))
	if name == "K" {
		return Parse(text, KindTemperatureDifference)
	}
	found := unitIndex[name]
	if len(found) == 0 {
		return Parse(text, KindLength) // for its message
	}
	return Parse(text, found[0].Kind)
}
