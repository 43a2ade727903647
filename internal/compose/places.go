package compose

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"jobsheaf/internal/packet"
)

// places are the places to write on: a reading has one, at a step or in a table.
type places struct {
	ids     map[string]bool
	atSteps map[string][]string // the numbers of the steps at which a value is written down, by its name
	waiting []waiting
}

// waiting is a place in a table for a reading which the steps may have a place for
// too.
type waiting struct {
	name string // of the value that the reading is held to
	cell *packet.Cell
}

func newPlaces() places {
	return places{ids: map[string]bool{}, atSteps: map[string][]string{}}
}

// id makes a blank's name unique in the packet.
func (p *places) id(parts ...string) string {
	base := strings.Join(parts, ".")
	name := base
	for n := 2; p.ids[name]; n++ {
		name = fmt.Sprintf("%s-%d", base, n)
	}
	p.ids[name] = true
	return name
}

// atStep notes that a value is written down at a step.
func (p *places) atStep(value, step string) {
	if at := p.atSteps[value]; !slices.Contains(at, step) {
		p.atSteps[value] = append(at, step)
	}
}

// wait notes a place in a table that a step may have too.
func (p *places) wait(value string, cell *packet.Cell) {
	p.waiting = append(p.waiting, waiting{value, cell})
}

// sayWhereWritten puts the numbers of the steps in the place of a table's blank
// whose reading is written down at them.
func (r *run) sayWhereWritten() {
	for _, w := range r.places.waiting {
		if at := r.places.atSteps[w.name]; len(at) > 0 {
			*w.cell = packet.Cell{Text: packet.Say(r.WordWith("at_step", "n", strings.Join(at, ", ")))}
		}
	}
}

// slug makes a short name of a label: letters and digits, at most 24.
func slug(label string) string {
	var b strings.Builder
	for _, c := range strings.ToLower(label) {
		switch {
		case unicode.IsLetter(c) || unicode.IsDigit(c):
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 24 {
			break
		}
	}
	return strings.Trim(b.String(), "-")
}
