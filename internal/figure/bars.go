package figure

import (
	"fmt"
	"math"
	"slices"

	"jobsheaf/internal/page"
)

// bars is a plain bar chart: hours of work by day.
var bars = spec{
	name: "bars", what: "Hours by day", least: 50,
	needs: []Need{
		{Name: "days", Kind: List, What: "what stands under each bar", low: 1, high: 31},
		{Name: "hours", Kind: Series, What: "how long each bar is", low: 1, high: 31, each: [2]float64{0, 1e5}},
		{Name: "title", Kind: Text, What: "what the chart shows, with its unit"},
		{Name: "capacity", Kind: Number, What: "hours that there are in a day", low: 0, high: 1e5, Optional: true},
	},
	words: []string{"bars_capacity", decimal},
	draw:  drawBars,
}

func drawBars(g *pen) error {
	names, values := g.list("days"), g.series("hours")
	if len(names) != len(values) {
		return fmt.Errorf("\"days\" and \"hours\" have %d and %d items, not the same number", len(names), len(values))
	}
	top := max(g.num("capacity"), slices.Max(values))
	if top == 0 {
		top = 1
	}
	// The bars lie, a row each, so that a day's name of any length has room.
	const row, thick = 6.0, 3.6
	inset := 0.0
	for _, n := range names {
		inset = max(inset, min(work.width(n), g.d.W*0.4))
	}
	inset += 2
	room := 0.0
	for _, v := range values {
		room = max(room, strong.width(hoursText(v, g.words(decimal))))
	}
	length := g.d.W - inset - room - 2
	y := g.para(strong, 0, 0, g.d.W, g.param("title")) + 1
	start := y
	for i, v := range values {
		h := max(row, work.tall(inset-2, names[i])+1)
		below := g.para(work, 0, y+(h-work.tall(inset-2, names[i]))/2, inset-2, names[i])
		mid := y + h/2
		if w := v / top * length; w > 0 {
			g.fill(&black, page.Rect(inset, mid-thick/2, w, thick))
		}
		s := hoursText(v, g.words(decimal))
		g.text(strong, inset+v/top*length+1.5, mid+strong.cap()/2, s)
		y = max(y+h, below)
	}
	g.line(plain, inset, start, inset, y)
	if g.given("capacity") {
		x := inset + g.num("capacity")/top*length
		g.add(page.Path{Segs: page.Polyline(x, start, x, y), Stroke: &white, Width: 3 * plain})
		g.dashed(heavy, dashes, page.Polyline(x, start, x, y))
		y = g.para(note, 0, y+1, g.d.W, g.words("bars_capacity")+": "+hoursText(g.num("capacity"), g.words(decimal)))
	}
	g.d.H = y + 0.5
	return nil
}

// hoursText prints hours to a tenth, without the tenth where it is nought.
func hoursText(v float64, sign string) string {
	if v = math.Round(v*10) / 10; v == math.Trunc(v) {
		return decimalText(v, 0, sign)
	}
	return decimalText(v, 1, sign)
}
