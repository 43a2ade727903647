package typein

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/quantity"
)

// Sign is the decimal sign of a packet's pages: a point or a comma, 0 where no page shows
// one.
type Sign byte

// decimals finds the decimal signs of a text.
var decimals = regexp.MustCompile(`[0-9]([.,])([0-9]+)`)

// signOf finds the sign in what the pages print of limits and of readings: they are what
// the person at the pump had before the eyes, whatever the site writes by now.
func signOf(m *manifest.Manifest) Sign {
	for i := range m.Pages {
		for k := range m.Pages[i].Boxes {
			a := m.Pages[i].Boxes[k].Ask
			if a == nil || a.For != manifest.ForReading {
				continue
			}
			if found := decimals.FindStringSubmatch(a.Limits + " " + a.Last); found != nil {
				return Sign(found[1][0])
			}
		}
	}
	return 0
}

// print writes a number as the pages do.
func (s Sign) print(number string) string {
	if s == ',' {
		return strings.Replace(number, ".", ",", 1)
	}
	return number
}

// Typed is a typed text, understood.
type Typed struct {
	Text    string // without the spaces around it
	Value   string // of a number in Unit, with a decimal point and as many digits as were typed; of a day, YYYY-MM-DD
	Unit    string // that which the box asks for
	Missing bool   // it says that nothing was measured
	Verdict Verdict
}

// Print writes what is kept.
func (t Typed) Print() string {
	switch {
	case t.Missing:
		return "not measured"
	case t.Value == "":
		return t.Text
	case t.Unit == "" || t.Unit == "°":
		return t.Value + t.Unit
	}
	return t.Value + " " + t.Unit
}

// unread is the error of a text that says nothing that can be kept. It tells what would.
type unread struct {
	what, hint string
	is         Word
}

func (e *unread) Error() string {
	if e.hint == "" {
		return e.what
	}
	return e.what + ": " + e.hint
}

// mostText is the most bytes of a text, mostDigits the most digits of a number: more are
// lost in binary arithmetic, and no instrument shows them.
const (
	mostText   = 2000
	mostDigits = 15
)

var (
	numberForm   = regexp.MustCompile(`^([+−–-]?) ?([0-9.,'’]*[0-9][0-9.,'’]*) ?(.*)$`)
	fractionForm = regexp.MustCompile(`^([+−–-]?) ?(?:([0-9]{1,6})[ -])?([0-9]{1,6})/([0-9]{1,3}) ?(.*)$`)
	missingForm  = regexp.MustCompile(`(?i)^(?:[-–—−]|n/?a|n\.a\.|not measured)$`)
	signless     = strings.NewReplacer(".", "", ",", "", "'", "", "’", "")
)

// Read says what a text means that was typed for a box. Numbers may have either decimal
// sign. One that could have a sign between thousands, such as 1,234, is refused unless that
// sign is the page's decimal sign: nothing shows which is meant. Another unit is converted to the one asked for,
// to as many digits as the typed ones are worth. The error says what would do.
func Read(text string, ask *manifest.Ask, sign Sign) (Typed, error) {
	text, err := line(text)
	if err != nil {
		return Typed{}, err
	}
	switch {
	case ask.For == manifest.ForDue && !missingForm.MatchString(text):
		return readDay(text)
	case ask.For != manifest.ForReading:
		return Typed{Text: text, Verdict: Verdict{Is: isFree}}, nil
	case missingForm.MatchString(text):
		return Typed{Text: text, Missing: true, Verdict: Verdict{Is: isMissing}}, nil
	}
	n, err := readNumber(text, ask, sign)
	if err != nil {
		return Typed{}, err
	}
	t := Typed{Text: text, Value: n.value, Unit: ask.Unit}
	t.Verdict = judge(n, ask, sign)
	return t, nil
}

// Why holds a reason to what a reason is: it has words.
func Why(text string) (string, error) {
	text, err := line(text)
	if err == nil && !strings.ContainsFunc(text, unicode.IsLetter) {
		err = &unread{what: fmt.Sprintf("%q is no reason", clip(text)), hint: "say it in words", is: says("no_reason", "text", clip(text))}
	}
	return text, err
}

// line holds a text to one line that prints.
func line(text string) (string, error) {
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		return "", &unread{what: "nothing is typed", is: says("not_typed")}
	case len(text) > mostText:
		return "", &unread{what: fmt.Sprintf("the text has more than %d bytes", mostText), is: says("long", "n", mostText)}
	case !utf8.ValidString(text):
		return "", &unread{what: "the text is not in UTF-8", is: says("no_print", "char", "UTF-8")}
	}
	for _, r := range text {
		if !unicode.IsPrint(r) && !unicode.Is(unicode.Zs, r) {
			return "", &unread{what: fmt.Sprintf("the text holds %U, which does not print", r), hint: "type it again", is: says("no_print", "char", fmt.Sprintf("%U", r))}
		}
	}
	return text, nil
}

// clip cuts a text for a message.
func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return s
}

// readDay reads the day on which a calibration is due. Of a month alone it is the first
// day: what is due in it is held due from then.
func readDay(text string) (Typed, error) {
	for _, form := range []string{time.DateOnly, "2006-01"} {
		if day, err := time.Parse(form, text); err == nil {
			return Typed{Text: text, Value: day.Format(time.DateOnly), Verdict: Verdict{Is: isFree}}, nil
		}
	}
	return Typed{}, &unread{what: fmt.Sprintf("%q is not a day", clip(text)), hint: "write year-month-day, or year-month, such as 2027-03", is: says("no_day", "text", clip(text))}
}

// number is a number in the unit that a box asks for.
type number struct {
	value string  // in decimals
	step  float64 // what its last digit is worth in that unit; 0 of a fraction
}

// at gives its amount.
func (n number) at() float64 {
	x, _ := strconv.ParseFloat(n.value, 64) // it is made of a sign, digits and one point
	return x
}

func readNumber(text string, ask *manifest.Ask, sign Sign) (number, error) {
	s := strings.Join(strings.FieldsFunc(text, unicode.IsSpace), " ")
	if strings.ContainsRune(s, '±') {
		return number{}, &unread{what: "± is not part of a reading", hint: "write what was read, as one number", is: says("plus_minus")}
	}
	if strings.ContainsAny(s, "<>≤≥") {
		return number{}, &unread{what: fmt.Sprintf("%q is a bound and not a reading", clip(text)), hint: "write the number that was read, or - with the reason why there is none", is: says("bound", "text", clip(text))}
	}
	if strings.Contains(s, "..") {
		return number{}, &unread{what: fmt.Sprintf("%q is a band and not a reading", clip(text)), hint: "write one number", is: says("band", "text", clip(text))}
	}
	if m := fractionForm.FindStringSubmatch(s); m != nil {
		return readFraction(m, ask)
	}
	m := numberForm.FindStringSubmatch(s)
	if m == nil {
		return number{}, &unread{what: fmt.Sprintf("%q does not begin with a number", clip(text)), hint: "write what was read, or - with the reason why there is nothing", is: says("no_number", "text", clip(text))}
	}
	whole, fraction, err := digits(m[2], sign)
	if err != nil {
		return number{}, err
	}
	unit := m[3]
	if c, _ := utf8.DecodeRuneInString(unit); c >= '0' && c <= '9' && !strings.HasPrefix(unit, "1/") || strings.ContainsRune(".,'’", c) && unit != "" {
		return number{}, &unread{what: fmt.Sprintf("%q holds more than one number", clip(text)), hint: "write one, without spaces between its digits", is: says("more_numbers", "text", clip(text))}
	}
	value := signed(m[1], whole, fraction)
	return inAsked(value, math.Pow10(-len(fraction)), unit, ask)
}

// digits takes a number apart at its decimal sign.
func digits(s string, sign Sign) (whole, fraction string, err error) {
	points, commas := strings.Count(s, "."), strings.Count(s, ",")
	at := strings.LastIndexAny(s, ".,")
	switch {
	case strings.ContainsAny(s, "'’") || points+commas > 1:
		example := signless.Replace(s)
		if points == 1 && commas > 0 || commas == 1 && points > 0 {
			example = signless.Replace(s[:at]) + s[at:]
		}
		return "", "", &unread{what: fmt.Sprintf("%s has signs between its thousands", clip(s)), hint: "write it without, such as " + clip(example), is: says("thousands", "text", clip(s), "example", clip(example))}
	case at < 0:
		whole = s
	case at == len(s)-1:
		return "", "", &unread{what: fmt.Sprintf("%s ends in its decimal sign", s), hint: "write the digits behind it, or leave the sign", is: says("ends", "text", s)}
	default:
		whole, fraction = s[:at], s[at+1:]
		if Sign(s[at]) != sign && len(fraction) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0' {
			decimal := sign.print(whole + "." + fraction)
			e := &unread{what: fmt.Sprintf("%s may be %s or %s", s, decimal, whole+fraction), hint: fmt.Sprintf("write %s or %s", decimal, whole+fraction), is: says("either", "text", s, "decimal", decimal, "whole", whole+fraction)}
			if sign == 0 {
				e.is = says("either_sign", "text", s, "decimal", decimal+"0", "whole", whole+fraction)
				e.hint = fmt.Sprintf("write %s0 or %s, since no page shows which sign is meant", decimal, whole+fraction)
			}
			return "", "", e
		}
	}
	whole = strings.TrimLeft(whole, "0")
	if whole == "" {
		whole = "0"
	}
	if len(whole)+len(fraction) > mostDigits {
		return "", "", &unread{what: fmt.Sprintf("%s has more digits than an instrument shows", clip(s)), is: says("digits", "text", clip(s))}
	}
	return whole, fraction, nil
}

// signed puts a number together.
func signed(sign, whole, fraction string) string {
	s := whole
	if fraction != "" {
		s += "." + fraction
	}
	if sign != "" && sign != "+" && strings.Trim(s, "0.") != "" {
		s = "-" + s
	}
	return s
}

// readFraction reads a fraction of an inch, a foot or a turn.
func readFraction(m []string, ask *manifest.Ask) (number, error) {
	unit := m[5]
	if unit == "" {
		unit = ask.Unit
	}
	u, _ := unitNamed(unit)
	whole, _ := strconv.ParseFloat("0"+m[2], 64) // at most six digits, as below
	top, _ := strconv.ParseFloat(m[3], 64)
	den, _ := strconv.Atoi(m[4])
	switch {
	case u.Symbol != "in" && u.Symbol != "ft" && u.Symbol != "turn":
		return number{}, &unread{what: "a fraction is of an inch, a foot or a turn", hint: "write its unit, or a decimal number", is: says("fraction")}
	case den < 2 || den > 128 || den&(den-1) != 0:
		return number{}, &unread{what: fmt.Sprintf("a %s/%s is on no rule", m[3], m[4]), hint: "write halves, quarters and so on down to 128ths, or a decimal number", is: says("no_rule", "text", m[3]+"/"+m[4])}
	}
	value := strconv.FormatFloat(whole+top/float64(den), 'f', -1, 64) // exact: the denominator is a power of two
	if m[1] != "" && m[1] != "+" && value != "0" {
		value = "-" + value
	}
	n, err := inAsked(value, 0, unit, ask)
	n.step = 0
	return n, err
}

// unitNamed finds a unit by what a page calls it.
func unitNamed(symbol string) (quantity.Unit, bool) {
	if symbol == "" {
		return quantity.Unit{}, false
	}
	v, err := quantity.ParseAny("1 " + symbol)
	if err != nil {
		return quantity.Unit{}, false
	}
	return v.Written()
}

// ofFraction is what a fraction is taken to be worth where it is put into another unit: a
// thousandth of an inch, which every 64th needs.
const ofFraction = 0.001

// inAsked gives a number that was typed with a unit, "" of none, in the unit asked for.
// step is what its last digit is worth, 0 of a fraction.
func inAsked(value string, step float64, unit string, ask *manifest.Ask) (number, error) {
	n := number{value, step}
	u, known := unitNamed(ask.Unit)
	if !known {
		if unit != "" && !strings.EqualFold(unit, ask.Unit) {
			wanted, is := "a number without a unit", says("unitless", "text", clip(unit))
			if ask.Unit != "" {
				wanted, is = ask.Unit, says("unit", "text", clip(unit), "unit", ask.Unit)
			}
			return n, &unread{what: fmt.Sprintf("%q is not what the box asks for", clip(unit)), hint: "it asks for " + wanted, is: is}
		}
		return n, nil
	}
	if unit == "" {
		unit = u.Symbol
	}
	v, err := quantity.Parse(value+" "+unit, u.Kind)
	if err != nil {
		u := &unread{what: err.Error(), is: says("unit", "text", clip(value+" "+unit), "unit", ask.Unit)}
		if p, ok := errors.AsType[*quantity.ParseError](err); ok {
			u.hint = p.Hint
		}
		return n, u
	}
	from, _ := v.Written()
	if from.Symbol == u.Symbol {
		return n, nil
	}
	if step == 0 {
		step = ofFraction
	}
	return converted(v.In(u), step*from.Factor/u.Factor, ask)
}

// converted writes a number that came out of another unit, in as many decimals as the
// typed digits are worth, and more where rounding would take it over a limit.
func converted(exact, step float64, ask *manifest.Ask) (number, error) {
	places := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	const most = 9 // further decimals
	n := number{step: step}
	inside := within(tidy(exact, places+most), ask)
	for more := range most + 1 {
		n.value = strconv.FormatFloat(exact, 'f', places+more, 64)
		if strings.Trim(n.value, "-0.") == "" {
			n.value = strings.TrimPrefix(n.value, "-")
		}
		if within(n.at(), ask) == inside {
			break
		}
	}
	if len(signless.Replace(strings.TrimPrefix(n.value, "-"))) > mostDigits {
		return n, &unread{what: "that is more than an instrument shows", hint: "look at the number and at its unit", is: says("digits", "text", clip(n.value))}
	}
	return n, nil
}

// tidy takes the error of binary arithmetic from an amount.
func tidy(x float64, places int) float64 {
	const figures = 13 // of the sixteen or so that arithmetic keeps
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', figures, 64), 64)
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'f', places, 64), 64)
	return x
}
