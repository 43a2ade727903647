package figure

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"jobsheaf/internal/page"
)

// boltCircle is a bolted circle seen from outside, its first place at twelve
// o'clock, each bolt with its number in the tightening order.
var boltCircle = spec{
	name: "bolt-circle", what: "Bolted circle with the tightening order", least: 72,
	needs: []Need{
		{Name: "count", Kind: Number, What: "bolts in the circle", low: 3, high: 48, whole: true},
		{Name: "order", Kind: Series, What: "for each place, clockwise from twelve o'clock, when it is tightened: 1 is first", low: 3, high: 48, whole: true, each: [2]float64{1, 48}},
		{Name: "title", Kind: Text, What: "which joint it is"},
		{Name: "seat", Kind: Text, What: "what the tool holds", OneOf: []string{"hex", "socket"}},
		{Name: "passes", Kind: List, What: "what is done in each pass, such as its torque", low: 1, high: 8, Optional: true},
	},
	words: []string{"top", "tighten_in_order", "pass"},
	draw:  drawBoltCircle,
}

// orderOf reads the order, which has to hold each number from 1 to n once.
func orderOf(series []float64, n int) ([]int, error) {
	if len(series) != n {
		return nil, fmt.Errorf("series \"order\" has %d numbers for a count of %d", len(series), n)
	}
	order := make([]int, n)
	for i, v := range series {
		order[i] = int(v)
		switch {
		case order[i] > n:
			return nil, fmt.Errorf("number %d of series \"order\" is %v, outside 1 to %d", i+1, v, n)
		case slices.Contains(order[:i], order[i]):
			return nil, fmt.Errorf("number %d of series \"order\" is %v, which an earlier place has", i+1, v)
		}
	}
	return order, nil
}

func drawBoltCircle(g *pen) error {
	n := int(g.num("count"))
	order, err := orderOf(g.series("order"), n)
	if err != nil {
		return err
	}
	digits := strong
	switch {
	case n <= 16:
		digits.size = 12
	case n > 24:
		digits.face, digits.size = page.BoldCondensed, 8.5
	}
	// The circle is as small as the numbers allow, so that the words stand
	// beside it where there is room. A number's diagonal is its room.
	room := math.Hypot(digits.width(fmt.Sprint(n)), digits.cap()) + 0.4
	labelR := max(room*float64(n)/(2*math.Pi), 19)
	pitchR := labelR - digits.cap()/2 - 1.2
	head := min(3.6, 0.42*2*math.Pi*pitchR/float64(n)/1.1)
	pitchR -= head
	outer := labelR + room/2 + 0.8
	const flag = 6 // above the circle: the mark of the top
	cx, cy := outer, flag+outer
	beside := g.d.W - 2*outer - 5
	wide := beside >= 28
	if !wide {
		cx = g.d.W / 2
	}

	// The joint's face with its hole, and the bolts with their numbers on it.
	g.stroke(plain, page.Circle(cx, cy, outer-0.3))
	g.stroke(plain, page.Circle(cx, cy, pitchR-head-1.6))
	g.dashed(thin, chain, page.Circle(cx, cy, pitchR))
	for i, turn := range order {
		a := boltAngle(i, n)
		x, y := clock(cx, cy, pitchR, a)
		g.bolt(x, y, head, a, g.param("seat") == "socket", turn == 1)
		x, y = clock(cx, cy, labelR, a)
		g.mid(digits, x, y, strconv.Itoa(turn))
	}
	g.crossing(cx, cy, pitchR-head-2.2, order)

	// Twelve o'clock.
	g.head(cx, flag-0.6, 90, 3)
	g.text(note, cx+2.2, flag-1.2, g.words("top"))

	// The words.
	x, y, w := 2*outer+5, float64(flag), beside
	if !wide {
		x, y, w = 0, cy+outer+2, g.d.W
	}
	y = g.para(strong, x, y, w, g.param("title"))
	y = g.para(note, x, y+1, w, g.words("tighten_in_order"))
	for i, pass := range g.list("passes") {
		y = g.para(strong, x, y+1.2, w, fmt.Sprintf("%s %d: %s", g.words("pass"), i+1, pass))
	}
	g.d.H = max(y, cy+outer) + 0.5
	return nil
}

// boltAngle is the clock angle of a place of a bolted circle of n, wherever it is
// drawn: the first is at twelve o'clock.
func boltAngle(i, n int) float64 { return 360 * float64(i) / float64(n) }

// crossing draws how the wrench goes over for the first four bolts, in arrows
// inside the circle.
func (g *pen) crossing(cx, cy, r float64, order []int) {
	var at [5]float64
	for i, turn := range order {
		if turn <= 4 {
			at[turn] = boltAngle(i, len(order))
		}
	}
	for k := 1; k < 4 && k < len(order); k++ {
		x1, y1 := clock(cx, cy, r, at[k])
		x2, y2 := clock(cx, cy, r, at[k+1])
		if math.Hypot(x2-x1, y2-y1) > 8 {
			g.arrow(thin, 2.6, x1, y1, x2, y2)
		}
	}
}

// bolt draws a bolt head of radius r. The first one is black.
func (g *pen) bolt(x, y, r, turn float64, socket, first bool) {
	ground, in := &white, &white
	if first {
		ground = &black
	}
	if socket {
		g.shape(plain, ground, page.Circle(x, y, r))
		if !first {
			in = &black
		}
		g.fill(in, hexagon(x, y, r*0.5, turn))
		return
	}
	g.shape(plain, ground, hexagon(x, y, r, turn+30))
	ink := black
	if first {
		ink = white
	}
	g.ringLine(ink, x, y, r*0.66)
}
