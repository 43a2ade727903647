package typein

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"jobsheaf/internal/manifest"
)

// Is says how a text stands to the limits of its box.
type Is string

// How a text may stand to limits.
const (
	isWithin  Is = "within"
	isOutside Is = "outside"
	isFree    Is = "free"    // there are no limits
	isMissing Is = "missing" // nothing was measured
)

// Verdict is what is to be said of a text at once.
type Verdict struct {
	Is     Is     `json:"is"`
	By     string `json:"by,omitempty"`     // of what is outside: 0.02 mm above 0.13 mm
	Doubt  string `json:"doubt,omitempty"`  // why its decimal sign may stand in the wrong place
	Coarse string `json:"coarse,omitempty"` // to what the page has it, where the number is coarser: 0.01 mm
	words  []Word
}

// NeedsWhy reports whether the text is kept with a reason only.
func (v Verdict) NeedsWhy() bool { return v.Is == isOutside || v.Is == isMissing }

// Say says it in a line; "" of words.
func (v Verdict) Say() string {
	var parts []string
	switch v.Is {
	case isWithin:
		parts = append(parts, "within")
	case isOutside:
		parts = append(parts, "OUTSIDE: "+v.By)
	case isMissing:
		parts = append(parts, "not measured")
	}
	if v.Doubt != "" {
		parts = append(parts, v.Doubt)
	}
	if v.Coarse != "" {
		parts = append(parts, "coarser than the "+v.Coarse+" of the page")
	}
	return strings.Join(parts, "; ")
}

// within holds an amount to its limits, which both belong to the band.
func within(x float64, ask *manifest.Ask) bool {
	return (ask.Low == nil || x >= *ask.Low) && (ask.High == nil || x <= *ask.High)
}

// tenfold is from what ratio on two readings are held apart by a slip of the decimal
// sign: wear and settings move by far less, and a slip by ten. Common practice, no source.
const tenfold = 8

// judge says what is to be said of a number.
func judge(n number, ask *manifest.Ask, sign Sign) Verdict {
	v, x := Verdict{Is: isFree}, n.at()
	with := func(number string) string {
		return Typed{Value: sign.print(number), Unit: ask.Unit}.Print()
	}
	switch {
	case ask.Low == nil && ask.High == nil:
	case within(x, ask):
		v.Is = isWithin
	default:
		v.Is = isOutside
		limit, side := ask.High, "above"
		if ask.Low != nil && x < *ask.Low {
			limit, side = ask.Low, "below"
		}
		at := strconv.FormatFloat(*limit, 'f', -1, 64)
		by := strconv.FormatFloat(math.Abs(x-*limit), 'f', max(places(at), places(n.value)), 64)
		v.By = fmt.Sprintf("%s %s %s", with(by), side, with(at))
		v.words = append(v.words, says(side, "by", with(by), "limit", with(at)))
		if ask.Low != nil && ask.High != nil {
			for _, times := range []float64{10, 0.1, 100, 0.01, 1000, 0.001} {
				if within(x*times, ask) {
					would := with(strconv.FormatFloat(x*times, 'g', mostDigits-3, 64))
					v.Doubt = would + " would be within"
					v.words = append(v.words, says("would", "text", would))
					break
				}
			}
		}
	}
	if v.Doubt == "" {
		doubt, is := slip(x, ask, sign, with)
		if v.Doubt = doubt; doubt != "" {
			v.words = append(v.words, is)
		}
	}
	if finest, ok := printedTo(ask); ok && n.step > finest*(1+1e-9) {
		v.Coarse = with(strconv.FormatFloat(finest, 'f', -1, 64))
		v.words = append(v.words, says("coarse", "step", v.Coarse))
	}
	return v
}

// slip says that an amount is so many times what the page lets expect, or so small a part
// of it, that its decimal sign may stand in the wrong place. "" says that it is not.
func slip(x float64, ask *manifest.Ask, sign Sign, with func(string) string) (string, Word) {
	from, smaller := "of last time", true
	expected, ok := lastOf(ask, sign)
	if !ok {
		// Below the only limit there is anything may be read, as at half the clearance that
		// is allowed; above it by so much hardly.
		from, smaller = "of the page", ask.Low == nil && ask.High == nil
		expected.value = strings.NewReplacer(",", ".", "−", "-").Replace(amounts.FindString(ask.Limits))
	}
	switch ratio := x / expected.at(); {
	case expected.at() == 0 || x == 0:
	case ratio >= tenfold:
		return fmt.Sprintf("%.0f times the %s %s", ratio, with(expected.value), from), says("times", "n", fmt.Sprintf("%.0f", ratio), "text", with(expected.value))
	case smaller && ratio > 0 && ratio <= 1./tenfold:
		return fmt.Sprintf("the %s %s is %.0f times as much", with(expected.value), from, 1/ratio), says("part", "n", fmt.Sprintf("%.0f", 1/ratio), "text", with(expected.value))
	}
	return "", Word{}
}

// amounts finds the numbers of a text.
var amounts = regexp.MustCompile(`[−-]?[0-9]+(?:[.,][0-9]+)?`)

// places is how many decimals a number has.
func places(number string) int {
	_, fraction, _ := strings.Cut(number, ".")
	return len(fraction)
}

// lastOf reads the reading of last time: "31.94 mm, 2025-05-02", "31.94 mm (1.257 in)".
func lastOf(ask *manifest.Ask, sign Sign) (number, bool) {
	text := ask.Last
	if at := strings.LastIndex(text, ", "); at >= 0 {
		text = text[:at]
	}
	text, _, _ = strings.Cut(text, " (")
	if text == "" {
		return number{}, false
	}
	n, err := readNumber(text, ask, sign)
	return n, err == nil && n.at() != 0
}

// printedTo gives to what the page prints the limits of a box: they are rounded to what
// the instrument shows. What stands in brackets is in another unit.
func printedTo(ask *manifest.Ask) (step float64, ok bool) {
	head, rest, _ := strings.Cut(ask.Limits, "(")
	if _, tail, closed := strings.Cut(rest, ")"); closed {
		head += tail
	}
	most := 0
	for _, found := range decimals.FindAllStringSubmatch(head, -1) {
		most = max(most, len(found[2]))
	}
	return math.Pow10(-most), most > 0
}
