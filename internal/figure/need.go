package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// Kind says in which map of Params a need is looked for.
type Kind string

const (
	Number Kind = "number"
	Text   Kind = "text"
	List   Kind = "list"
	Series Kind = "series"
)

// Need is one parameter that a figure wants.
type Need struct {
	Name     string
	Kind     Kind
	What     string     // one line, with its unit
	low      float64    // of a number, or of how many items a list or series has; both ends are in range
	high     float64    //
	whole    bool       // the number is a count, or each one of a series
	OneOf    []string   // the only texts, or items of a list, that are taken
	others   bool       // other items are taken too, as the drawing says
	Optional bool       // what is left out is left out of the drawing too
	each     [2]float64 // the range of each number of a series
	most     int        // characters of the text, or of an item; 0 for as many as any may have
}

// longest is how many characters a text or an item may have.
const longest = 160

// Needs gives what a figure wants, in order.
func Needs(name string) ([]Need, error) {
	s, err := find(name)
	if err != nil {
		return nil, err
	}
	return slices.Clone(s.needs), nil
}

// Takes says how much a figure takes of a text or list: how many items, and how
// many characters each of them may have.
func Takes(name, need string) (items, characters int, err error) {
	s, err := find(name)
	if err != nil {
		return 0, 0, err
	}
	for i := range s.needs {
		switch n := &s.needs[i]; {
		case n.Name != need || n.Kind == Number || n.Kind == Series:
		case n.Kind == List:
			return int(n.high), n.characters(), nil
		default:
			return 1, n.characters(), nil
		}
	}
	return 0, 0, s.stranger(need, List)
}

func (n *Need) characters() int {
	if n.most > 0 {
		return n.most
	}
	return longest
}

// decimal is the word for the page's decimal sign, which the catalogue holds
// for all of its readers.
const decimal = "decimal"

// wordKey gives a word's key in the catalogue.
func wordKey(word string) string {
	if word == decimal {
		return "compose.decimal_sign"
	}
	return "figure." + word
}

// check holds the parameters against what the figure needs.
func (s *spec) check(p Params) error {
	for i := range s.needs {
		if err := s.needs[i].check(p); err != nil {
			return err
		}
	}
	if len(s.words) > 0 && p.Words == nil {
		return fmt.Errorf("no catalogue of words was given")
	}
	for _, w := range s.words {
		if key := wordKey(w); p.Words(key) == "" {
			return fmt.Errorf("the catalogue of words lacks %q", key)
		}
	}
	return s.strangers(p)
}

// strangers refuses parameters that the figure does not know: a misspelt
// optional one would otherwise be left out of the drawing without a word.
func (s *spec) strangers(p Params) error {
	for name := range p.Numbers {
		if !s.wants(name, Number) {
			return s.stranger(name, Number)
		}
	}
	for name := range p.Texts {
		if !s.wants(name, Text) {
			return s.stranger(name, Text)
		}
	}
	for name := range p.Lists {
		if !s.wants(name, List) {
			return s.stranger(name, List)
		}
	}
	for name := range p.Series {
		if !s.wants(name, Series) {
			return s.stranger(name, Series)
		}
	}
	return nil
}

func (s *spec) wants(name string, k Kind) bool {
	for i := range s.needs {
		if s.needs[i].Name == name && s.needs[i].Kind == k {
			return true
		}
	}
	return false
}

func (s *spec) stranger(name string, k Kind) error {
	var known []string
	for _, n := range s.needs {
		if n.Kind == k {
			known = append(known, n.Name)
		}
	}
	if known == nil {
		return fmt.Errorf("it takes no %s, found %q", k, name)
	}
	return fmt.Errorf("it takes no %s %q, only %s", k, name, strings.Join(known, ", "))
}

func (n *Need) check(p Params) error {
	switch n.Kind {
	case Number:
		v, ok := p.Numbers[n.Name]
		if !ok {
			return n.missing()
		}
		if !within(v, n.low, n.high) {
			return fmt.Errorf("number %q (%s) is %v, outside %v to %v", n.Name, n.What, v, n.low, n.high)
		}
		if n.whole && v != math.Trunc(v) {
			return fmt.Errorf("number %q (%s) is %v, not a whole number", n.Name, n.What, v)
		}
	case Text:
		v, ok := p.Texts[n.Name]
		if !ok {
			return n.missing()
		}
		if err := n.item(v); err != nil {
			return fmt.Errorf("text %q (%s) %w", n.Name, n.What, err)
		}
	case List:
		v, ok := p.Lists[n.Name]
		if !ok {
			return n.missing()
		}
		if float64(len(v)) < n.low || float64(len(v)) > n.high {
			return fmt.Errorf("list %q (%s) has %d items, outside %v to %v", n.Name, n.What, len(v), n.low, n.high)
		}
		for i, t := range v {
			if err := n.item(t); err != nil {
				return fmt.Errorf("item %d of list %q (%s) %w", i+1, n.Name, n.What, err)
			}
		}
	case Series:
		v, ok := p.Series[n.Name]
		if !ok {
			return n.missing()
		}
		return n.series(v)
	}
	return nil
}

// series checks each number of a series, and how many there are.
func (n *Need) series(v []float64) error {
	if float64(len(v)) < n.low || float64(len(v)) > n.high {
		return fmt.Errorf("series %q (%s) has %d numbers, outside %v to %v", n.Name, n.What, len(v), n.low, n.high)
	}
	for i, x := range v {
		switch {
		case !within(x, n.each[0], n.each[1]):
			return fmt.Errorf("number %d of series %q (%s) is %v, outside %v to %v", i+1, n.Name, n.What, x, n.each[0], n.each[1])
		case n.whole && x != math.Trunc(x):
			return fmt.Errorf("number %d of series %q (%s) is %v, not a whole number", i+1, n.Name, n.What, x)
		}
	}
	return nil
}

// within allows what the conversion into the drawing's unit may cost.
func within(v, low, high float64) bool {
	const tolerance = 1e-9
	return v >= low-tolerance*math.Abs(low) && v <= high+tolerance*math.Abs(high)
}

func (n *Need) missing() error {
	if n.Optional {
		return nil
	}
	return fmt.Errorf("%s %q (%s) is missing", n.Kind, n.Name, n.What)
}

// item checks one text.
func (n *Need) item(t string) error {
	switch count := utf8.RuneCountInString(t); {
	case strings.TrimSpace(t) == "":
		return fmt.Errorf("is empty")
	case count > n.characters():
		return fmt.Errorf("%q has %d characters, more than %d", t, count, n.characters())
	case n.OneOf != nil && !n.others && !slices.Contains(n.OneOf, t):
		return fmt.Errorf("is %q, not one of %s", t, strings.Join(n.OneOf, ", "))
	}
	return nil
}
