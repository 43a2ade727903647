package figure

import (
	"slices"

	"jobsheaf/internal/page"
)

// boxLead is how far the points stand from the box, boxRoom how wide they are at most.
const boxLead, boxRoom = 5.0, 26.0

// drawIsolationBox is the sketch of a machine that is no pump: a box with its tag, and
// around it the points by place, in the order of the table. What is at none of its places
// stands below, off the box.
func drawIsolationBox(g *pen) error {
	where, places, err := g.pointsByPlace()
	if err != nil {
		return err
	}
	apart := where["elsewhere"]
	places = slices.DeleteFunc(places, func(p string) bool { return p == "elsewhere" })
	cx := g.d.W / 2
	boxHalf := min(max(9, cx-boxRoom-boxLead), 15)
	room := cx - boxHalf - boxLead
	low := [2]float64{rim, rim}
	type spot struct {
		place string
		side  int
		y     float64 // of its middle
		tall  float64
	}
	var spots []spot
	for i, p := range places {
		tall := note.tall(room, g.placeName(p)) + 0.6 + g.bubblesTall(where[p], room)
		spots = append(spots, spot{p, i % 2, low[i%2] + tall/2, tall})
		low[i%2] += tall + 3
	}
	title := note.tall(2*boxHalf-3, g.param("machine"))
	bottom := max(low[0]-3, low[1]-3, title+6, 14)
	for i := range spots { // each side stands in the middle of the box's height
		spots[i].y += (bottom - (low[spots[i].side] - 3)) / 2
	}
	g.shape(heavy, &white, page.Polygon(cx-boxHalf, 0.4, cx+boxHalf, 0.4, cx+boxHalf, bottom, cx-boxHalf, bottom))
	g.middle(note, cx-boxHalf+1.5, (bottom-title)/2, 2*boxHalf-3, g.param("machine"))
	for _, s := range spots {
		sign, left := -1.0, 0.0
		if s.side == 1 {
			sign, left = 1, g.d.W-room
		}
		edge := cx + sign*boxHalf
		g.line(plain, edge, s.y, edge+sign*(boxLead-1), s.y)
		y := g.middle(note, left, s.y-s.tall/2, room, g.placeName(s.place))
		g.bubbles(where[s.place], left, y+0.6, room, true)
	}
	if len(apart) > 0 {
		bottom = g.para(note, 0, bottom+3, g.d.W, g.words("elsewhere")) + 0.5
		g.bubbles(apart, 0, bottom, g.d.W, false)
		bottom += g.bubblesTall(apart, g.d.W)
	}
	g.d.H = g.isolationLegend(bottom+3) + 0.3
	return nil
}

// placeName is what a place is called: a word of the page's language where the sketch
// knows it, else as the kind of machine has it.
func (g *pen) placeName(place string) string {
	if slices.Contains(isolationPlaces, place) {
		return g.words(wordOfPlace(place))
	}
	return place
}
