package scribble

import "math/rand/v2"

// Hand is one person's way of writing, with the pen in it.
type Hand struct {
	Name    string
	Pencil  bool // a bilevel scan loses it: the pages ask for a pen
	pen     pen
	slant   float64 // how far the top of a letter leans to the right, by its height
	height  float64 // of a digit, mm
	wide    float64 // of a digit, by its height
	tremble float64 // mm
	loose   float64 // how far it misses the points it aims at, by the height of a letter
	size    float64 // of ticks, by the box
	ticks   []string
	comma   bool // decimal comma
	bar7    bool
	flag1   bool
	open4   bool
	quick   bool   // initials run together, signatures are mostly tail
	letters string // its initials
}

var (
	blueBall  = pen{width: 0.46, tone: 74, cover: 0.95, skip: 0.01, drag: 0.6}
	blackBall = pen{width: 0.46, tone: 40, cover: 0.96, skip: 0.008, drag: 0.6}
	dryBall   = pen{width: 0.38, tone: 82, cover: 0.9, grain: 0.2, skip: 0.10, drag: 0.7}
	gel       = pen{width: 0.52, tone: 30, cover: 1, drag: 0.3}
	felt      = pen{width: 1.0, tone: 22, cover: 1, drag: 0.15}
	blueFelt  = pen{width: 0.8, tone: 70, cover: 0.97, drag: 0.2}
	soft      = pen{width: 0.6, tone: 62, cover: 0.94, grain: 0.5, drag: 0.5}
	hard      = pen{width: 0.45, tone: 92, cover: 0.9, grain: 0.55, drag: 0.5}
	faint     = pen{width: 0.34, tone: 168, cover: 0.72, grain: 0.68, drag: 0.6}
)

// Hands are the people who write. The last three have a pencil.
var Hands = []Hand{
	{Name: "neat, blue ballpoint", pen: blueBall, slant: 0.08, height: 3.6, wide: 0.52, tremble: 0.035, loose: 0.025, size: 1, ticks: []string{"tick", "tick", "cross"}, flag1: true, letters: "RD"},
	{Name: "quick, blue ballpoint", pen: blueBall, slant: 0.34, height: 4.4, wide: 0.5, tremble: 0.06, loose: 0.06, size: 1.35, ticks: []string{"tick", "overshoot"}, open4: true, quick: true, letters: "HK"},
	{Name: "upright, black ballpoint", pen: blackBall, slant: -0.04, height: 3.9, wide: 0.6, tremble: 0.05, loose: 0.04, size: 0.95, ticks: []string{"cross", "cross", "fill"}, comma: true, bar7: true, flag1: true, letters: "LS"},
	{Name: "large, black felt pen", pen: felt, slant: 0.15, height: 5.0, wide: 0.55, tremble: 0.06, loose: 0.05, size: 1.4, ticks: []string{"tick", "cross", "slash"}, open4: true, letters: "MB"},
	{Name: "round, black gel pen", pen: gel, slant: 0.02, height: 3.4, wide: 0.66, tremble: 0.04, loose: 0.03, size: 0.9, ticks: []string{"tick", "small", "fill"}, comma: true, bar7: true, open4: true, letters: "ZE"},
	{Name: "shaky, dry blue ballpoint", pen: dryBall, slant: 0.12, height: 4.1, wide: 0.55, tremble: 0.11, loose: 0.07, size: 1.1, ticks: []string{"tick", "cross", "slash"}, flag1: true, letters: "TNC"},
	{Name: "hurried, blue felt pen", pen: blueFelt, slant: 0.25, height: 4.2, wide: 0.5, tremble: 0.06, loose: 0.07, size: 1.2, ticks: []string{"tick", "overshoot", "fill"}, comma: true, quick: true, letters: "UP"},
	{Name: "neat, soft pencil", Pencil: true, pen: soft, slant: 0.1, height: 3.8, wide: 0.55, tremble: 0.04, loose: 0.03, size: 1.05, ticks: []string{"tick", "tick", "cross"}, flag1: true, letters: "AW"},
	{Name: "quick, hard pencil", Pencil: true, pen: hard, slant: 0.28, height: 4.2, wide: 0.52, tremble: 0.06, loose: 0.06, size: 1.2, ticks: []string{"tick", "slash", "fill"}, comma: true, bar7: true, quick: true, letters: "JF"},
	{Name: "light, hard pencil", Pencil: true, pen: hard, slant: 0.05, height: 3.5, wide: 0.58, tremble: 0.05, loose: 0.04, size: 0.95, ticks: []string{"tick", "cross", "small"}, open4: true, letters: "VG"},
}

// someHand picks one; with a pencil if that is wanted, else never.
func someHand(rng *rand.Rand, pencil bool) *Hand {
	for {
		if h := &Hands[rng.IntN(len(Hands))]; h.Pencil == pencil {
			return h
		}
	}
}

// with is the same hand with another pen.
func (h *Hand) with(p pen) *Hand {
	o := *h
	o.pen = p
	return &o
}
