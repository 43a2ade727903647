package compose_test

import (
	"math"
	"strconv"
	"strings"

	"jobsheaf/internal/packet"
)

// byHand works a sum out as a person would, from its terms as they are printed and the
// numbers in its boxes. It knows nothing of the formula.
type byHand struct {
	t     interface{ Fatalf(string, ...any) }
	terms []packet.Term
	box   map[string]float64
}

func (h *byHand) next() string {
	if len(h.terms) == 0 || h.terms[0].Blank != nil {
		return ""
	}
	return h.terms[0].Text
}

func (h *byHand) take() packet.Term {
	out := h.terms[0]
	h.terms = h.terms[1:]
	return out
}

func (h *byHand) sum() float64 {
	x := h.product()
	for h.next() == "+" || h.next() == "−" {
		if op := h.take().Text; op == "+" {
			x += h.product()
		} else {
			x -= h.product()
		}
	}
	return x
}

func (h *byHand) product() float64 {
	x := h.one()
	for h.next() == "×" || h.next() == "÷" {
		if op := h.take().Text; op == "×" {
			x *= h.one()
		} else {
			x /= h.one()
		}
	}
	return x
}

func (h *byHand) one() float64 {
	t := h.take()
	switch {
	case t.Blank != nil:
		x, known := h.box[t.Blank.ID]
		if !known {
			h.t.Fatalf("nothing says what goes into the box %s", t.Blank.ID)
		}
		return x
	case t.Text == "(":
		x := h.sum()
		h.take()
		return x
	case t.Text == "|":
		x := h.sum()
		h.take()
		return math.Abs(x)
	case t.Text == "−":
		return -h.one()
	case strings.HasPrefix(t.Text, "the "):
		h.take()
		x := h.sum()
		for h.next() == ";" {
			h.take()
			if y := h.sum(); (y < x) == strings.Contains(t.Text, "smaller") {
				x = y
			}
		}
		h.take()
		return x
	}
	number, _, _ := strings.Cut(strings.ReplaceAll(t.Text, "−", "-"), "\u00a0")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil {
		h.t.Fatalf("%q is no number", t.Text)
	}
	return x
}
